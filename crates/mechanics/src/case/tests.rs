use super::*;
use crate::samples::{any_strength, solid, springs, strength};
use crate::{CupSpring, gravity_when_tilted};
use glam::{DMat3, DVec2};
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, TAU};

const LEVEL: DVec3 = DVec3::new(0.0, 0.0, -9.80665);

fn sheet(mass: f64) -> Body {
    let inertia = DMat3::from_diagonal(DVec3::new(0.08, 0.12, 0.2) * 1e6 * mass);
    Body { mass, centre: DVec3::new(20.0, -10.0, -2.0), inertia }
}

/// Carried level with `a` in the worst direction of the plane.
fn carry(a: f64) -> LoadCase {
    let sweep = Sweep {
        gravity_along: DVec3::ZERO,
        gravity_across: DVec3::ZERO,
        acceleration_along: DVec3::new(a, 0.0, 0.0),
        acceleration_across: DVec3::new(0.0, a, 0.0),
        from: 0.0,
        to: TAU,
    };
    LoadCase::swept(Instant::still(LEVEL), sweep)
}

/// Turned over from level to `tilt`.
fn turn_over(tilt: f64) -> LoadCase {
    let sweep = Sweep {
        gravity_along: LEVEL,
        gravity_across: gravity_when_tilted(9.80665, FRAC_PI_2, 0.7),
        acceleration_along: DVec3::ZERO,
        acceleration_across: DVec3::ZERO,
        from: 0.0,
        to: tilt,
    };
    LoadCase::swept(Instant::still(DVec3::ZERO), sweep)
}

fn one_cup() -> (CupGroup, LipStrength) {
    let lip = strength(20.0, 0.0);
    let spring = CupSpring::along_lip(DVec2::ZERO, 0.0, 20.0, 10.0, &lip.line, 1.0);
    (CupGroup::new(&[spring]).unwrap(), lip)
}

#[test]
fn one_cup_over_a_thin_sheet_is_equally_bad_in_every_direction() {
    let (group, lip) = one_cup();
    let body = Body { mass: 2.0, centre: DVec3::ZERO, inertia: DMat3::ZERO };
    let result = worst_case(&body, &carry(3.0), &group, &[lip]);
    // F / (m g + m a / μ).
    let expected = lip.vacuum_force / (2.0 * 9.80665 + 2.0 * 3.0 / 0.5);
    assert!((result.factor().value - expected).abs() < 1e-9 * expected);
    assert!((result.least_factor - expected).abs() < 1e-6 * expected);
}

#[test]
fn a_part_turned_over_slides_worst_where_pull_and_slide_add_up_to_most() {
    let (group, lip) = one_cup();
    let body = Body { mass: 2.0, centre: DVec3::ZERO, inertia: DMat3::ZERO };
    // Demand m g (cos t + sin t / μ) is largest at tan t = 1/μ = 2: m g √5.
    let result = worst_case(&body, &turn_over(FRAC_PI_2), &group, &[lip]);
    assert!((result.worst_t - 2_f64.atan()).abs() < 0.01_f64.to_radians());
    let expected = lip.vacuum_force / (2.0 * 9.80665 * 5_f64.sqrt());
    assert!((result.factor().value - expected).abs() < 1e-9 * expected);
    assert!(result.least_factor <= result.factor().value && result.least_factor > expected * (1.0 - 1e-8));
    assert_eq!(result.instant, turn_over(FRAC_PI_2).at(result.worst_t));
    // Stopped earlier, the end of the arc is worst.
    let early = worst_case(&body, &turn_over(1.0), &group, &[lip]);
    assert_eq!(early.worst_t, 1.0);
}

#[test]
fn without_a_sweep_it_is_one_evaluation() {
    let (group, lip) = one_cup();
    let still = LoadCase::single(Instant::still(LEVEL));
    let nothing_varies = LoadCase { sweep: carry(0.0).sweep, ..still };
    for case in [still, nothing_varies] {
        let result = worst_case(&sheet(2.0), &case, &group, &[lip]);
        assert_eq!(result.loads, group.share(&crate::load(&sheet(2.0), &case.fixed, DVec3::ZERO)));
        assert_eq!(result.factors[0], lip.factor(&result.loads[0]));
        assert_eq!(result.cup_worst, [(0.0, result.factors[0])]);
        assert_eq!((result.worst_t, result.governing), (0.0, 0));
        assert_eq!(result.least_factor, result.factor().value);
    }
}

#[test]
fn a_cup_that_holds_nothing_governs() {
    let lip = strength(20.0, 0.0);
    let dead = LipStrength { vacuum_force: 0.0, ..lip };
    let cups = [-100.0, 0.0, 100.0]
        .map(|x| CupSpring::along_lip(DVec2::new(x, 0.0), 0.0, 20.0, 10.0, &lip.line, 1.0));
    let group = CupGroup::new(&cups).unwrap();
    // Without vacuum, and without any strength given.
    for strengths in [vec![lip, lip, dead], vec![lip, lip]] {
        for case in [carry(2.0), LoadCase::single(Instant::still(LEVEL))] {
            let result = worst_case(&sheet(2.0), &case, &group, &strengths);
            assert_eq!((result.governing, result.factor().value, result.least_factor), (2, 0.0, 0.0));
            assert!(result.cup_worst[0].1.value > 0.0);
        }
    }
}

#[test]
fn the_first_of_equal_cups_governs_in_whatever_order_they_come() {
    let lip = strength(20.0, 0.0);
    let mut places = [(-210.0, -130.0), (210.0, -130.0), (210.0, 130.0), (-210.0, 130.0)];
    let body = Body { mass: 7.3, centre: DVec3::new(0.0, 0.0, -31.0), inertia: DMat3::ZERO };
    for _ in 0..4 {
        let springs =
            places.map(|(x, y)| CupSpring::along_lip(DVec2::new(x, y), 0.0, 20.0, 10.0, &lip.line, 1.0));
        let group = CupGroup::new(&springs).unwrap();
        let result = worst_case(&body, &carry(3.7), &group, &[lip; 4]);
        assert_eq!(result.governing, 0);
        let factors: Vec<f64> = result.cup_worst.iter().map(|(_, factor)| factor.value).collect();
        assert!(factors.iter().all(|factor| (factor - factors[0]).abs() < 1e-7 * factors[0]), "{factors:?}");
        places.rotate_left(1);
    }
}

#[test]
fn no_mass_no_limit() {
    let (group, lip) = one_cup();
    let result = worst_case(&sheet(0.0), &carry(2.0), &group, &[lip]);
    assert_eq!((result.factor().value, result.least_factor), (f64::INFINITY, f64::INFINITY));
    assert!(result.loads[0].pull == 0.0);
}

#[test]
fn a_part_pressed_on_in_every_direction_has_no_limit() {
    // Pushed up into the cup at 100 m/s²: friction under pressing needs no vacuum.
    let (group, lip) = one_cup();
    let body = Body { mass: 2.0, centre: DVec3::ZERO, inertia: DMat3::ZERO };
    let mut case = carry(2.0);
    case.fixed.acceleration.z = -100.0;
    assert_eq!(worst_case(&body, &case, &group, &[lip]).factor().value, f64::INFINITY);
}

#[test]
fn without_friction_the_carry_fails_and_the_lift_does_not() {
    let (group, lip) = one_cup();
    let slippery = [LipStrength { friction: 0.0, ..lip }];
    let carried = worst_case(&sheet(2.0), &carry(2.0), &group, &slippery);
    assert_eq!((carried.factor().value, carried.factor().limit), (0.0, LipLimit::Slide));
    let lifted = worst_case(&sheet(2.0), &LoadCase::single(Instant::still(LEVEL)), &group, &slippery);
    assert!(lifted.factor().value > 0.0);
}

#[test]
fn absurd_figures_end_in_a_factor_all_the_same() {
    let (group, lip) = one_cup();
    for a in [1e12, f64::INFINITY, f64::NAN] {
        let result = worst_case(&sheet(2.0), &carry(a), &group, &[lip]);
        assert!(result.factor().value >= 0.0 && result.factor().value < 1e-6, "{a} {:?}", result.factor());
        assert!(!result.least_factor.is_nan());
    }
}

/// A sweep of gravity and acceleration that is neither a circle nor an ellipse about zero.
fn any_case() -> impl Strategy<Value = LoadCase> {
    (solid(), solid(), solid(), solid(), solid(), solid(), -3.0..3.0f64, prop_oneof![Just(TAU), 0.0..6.0f64])
        .prop_map(|(g, a, along, across, rate, spin, from, span)| {
            let fixed = Instant {
                gravity: LEVEL * 0.6 + g * 3.0,
                acceleration: a * 4.0,
                turn_rate: rate,
                turn_acceleration: spin * 4.0,
                pivot: DVec3::new(-300.0, 200.0, 100.0),
            };
            let sweep = Sweep {
                gravity_along: along * 5.0,
                gravity_across: across * 5.0,
                acceleration_along: across * 3.0,
                acceleration_across: along * 6.0,
                from,
                to: from + span,
            };
            LoadCase::swept(fixed, sweep)
        })
}

fn span_holds(sweep: &Sweep, t: f64) -> bool {
    (sweep.from..=sweep.to).contains(&t) || sweep.to - sweep.from >= TAU
}

fn tool() -> impl Strategy<Value = (Vec<CupSpring>, Vec<LipStrength>)> {
    springs(1..7).prop_flat_map(|springs| {
        let strengths = prop::collection::vec(any_strength(), springs.len());
        (Just(springs), strengths)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_instant_is_worse_than_the_one_found((springs, strengths) in tool(), case in any_case()) {
        let (group, body) = (CupGroup::new(&springs).unwrap(), sheet(3.0));
        let result = worst_case(&body, &case, &group, &strengths);
        let sweep = case.sweep.unwrap();
        let mut least = f64::INFINITY;
        for i in 0..=360 {
            let t = sweep.from + (sweep.to - sweep.from) * f64::from(i) / 360.0;
            let at = worst_case(&body, &LoadCase { fixed: case.at(t), sweep: None, ..case }, &group, &strengths);
            for (cup, value) in at.factors.iter().map(|factor| factor.value).enumerate() {
                let found = result.cup_worst[cup].1.value;
                // A usage below a thousandth is resolved absolutely, to 1e-7.
                prop_assert!(value.recip() <= found.recip() * (1.0 + WORST) + 1e-7, "cup {cup} at {t}: {value} {found}");
                least = least.min(value);
            }
        }
        let governing = result.factor().value;
        prop_assert!(result.least_factor <= least * (1.0 + 1e-9), "{} {least}", result.least_factor);
        prop_assert!(governing.recip() >= least.recip() * (1.0 - WORST) - 1e-7);
        prop_assert!(result.least_factor >= governing * (1.0 - 1e-6) || governing > 500.0);
        // Around the governing instant nothing is worse, however near one looks.
        for step in 1..40 {
            for side in [-1.0, 1.0] {
                let t = result.worst_t + side * 0.01_f64.to_radians() * f64::from(step);
                if span_holds(&sweep, t) {
                    let fixed = LoadCase { fixed: case.at(t), sweep: None, ..case };
                    let near = worst_case(&body, &fixed, &group, &strengths).factors[result.governing].value;
                    prop_assert!(near.recip() <= governing.recip() * (1.0 + 2.0 * WORST) + 1e-11);
                }
            }
        }
        // The figures shown belong together.
        let loads = group.share(&crate::load(&body, &result.instant, group.centre().extend(0.0)));
        prop_assert_eq!(&loads, &result.loads);
        let shown = result.factors[result.governing].value;
        prop_assert!(shown == governing || (shown - governing).abs() < 1e-9 * governing);
        prop_assert!(result.cup_worst.iter().all(|(_, f)| f.value >= governing * (1.0 - 1e-8)));
    }

    #[test]
    fn turning_the_whole_job_changes_no_factor(
        (springs, strengths) in tool(), case in any_case(), turn in -3.0..3.0f64,
    ) {
        let body = sheet(3.0);
        let before = worst_case(&body, &case, &CupGroup::new(&springs).unwrap(), &strengths);
        let by = DMat3::from_rotation_z(turn);
        let flat = |v: DVec2| (by * v.extend(0.0)).truncate();
        let springs: Vec<_> =
            springs.iter().map(|s| CupSpring { at: flat(s.at), turn: s.turn + turn, ..*s }).collect();
        let strengths: Vec<_> =
            strengths.iter().map(|s| LipStrength { turn: s.turn + turn, ..*s }).collect();
        let turned = Body {
            mass: body.mass,
            centre: by * body.centre,
            inertia: by * body.inertia * by.transpose(),
        };
        let instant = |i: Instant| Instant {
            gravity: by * i.gravity,
            acceleration: by * i.acceleration,
            turn_rate: by * i.turn_rate,
            turn_acceleration: by * i.turn_acceleration,
            pivot: by * i.pivot,
        };
        let sweep = case.sweep.map(|s| Sweep {
            gravity_along: by * s.gravity_along,
            gravity_across: by * s.gravity_across,
            acceleration_along: by * s.acceleration_along,
            acceleration_across: by * s.acceleration_across,
            ..s
        });
        let case = LoadCase { fixed: instant(case.fixed), sweep, ..case };
        let after = worst_case(&turned, &case, &CupGroup::new(&springs).unwrap(), &strengths);
        let (a, b) = (before.factor().value, after.factor().value);
        prop_assert!(a == b || (a - b).abs() < WORST * a, "{a} {b}");
    }

    #[test]
    fn more_vacuum_friction_or_lip_never_lowers_and_more_mass_never_raises_the_factor(
        (springs, strengths) in tool(), case in any_case(), more in 1.0..3.0f64,
    ) {
        let group = CupGroup::new(&springs).unwrap();
        let factor = |body: &Body, strengths: &[LipStrength]| {
            worst_case(body, &case, &group, strengths).factor().value
        };
        let before = factor(&sheet(3.0), &strengths);
        let deeper: Vec<_> =
            strengths.iter().map(|s| LipStrength { vacuum_force: s.vacuum_force * more, ..*s }).collect();
        let drier: Vec<_> =
            strengths.iter().map(|s| LipStrength { friction: s.friction * more, ..*s }).collect();
        // The same springs under larger lips of the same shape.
        let larger: Vec<_> = strengths
            .iter()
            .map(|s| {
                let shape = s.shape.scaled(more);
                LipStrength { shape, line: shape.line(), vacuum_force: s.vacuum_force * more * more, ..*s }
            })
            .collect();
        for better in [deeper, drier, larger] {
            let after = factor(&sheet(3.0), &better);
            prop_assert!(after >= before * (1.0 - WORST), "{before} {after}");
        }
        prop_assert!(factor(&sheet(3.0 * more), &strengths) <= before * (1.0 + WORST));
    }
}
