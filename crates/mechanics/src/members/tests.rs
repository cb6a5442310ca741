use super::*;
use crate::motion::{Body, Sweep, gravity_when_tilted};
use crate::samples::{any_strength, solid, springs};
use crate::{
    Contact, CupGroup, CupSpring, Envelope, Limit, LimitSolver, LipStrength, acceleration_scale_for,
    follow_loss, limit_over, worst_case,
};
use glam::{DMat3, DVec3};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

const G: f64 = 9.80665;

fn level() -> Instant {
    Instant::still(DVec3::new(0.0, 0.0, -G))
}

fn worst(case: LoadCase) -> LoadCase {
    LoadCase { signs: Signs::Worst, ..case }
}

#[test]
fn a_turn_has_four_states_and_what_does_not_move_has_one() {
    let turn = Instant { turn_rate: DVec3::X, turn_acceleration: DVec3::X * 3.0, ..level() };
    let case = worst(LoadCase::single(turn));
    let found: Vec<(f64, f64)> =
        case.members().map(|(_, case)| (case.fixed.turn_rate.x, case.fixed.turn_acceleration.x)).collect();
    assert_eq!(found, [(1.0, 3.0), (1.0, -3.0), (0.0, 3.0), (0.0, -3.0)]);
    assert!(case.members().all(|(member, state)| state == case.in_state(&member)));
    assert_eq!(worst(LoadCase::single(level())).members().count(), 1);
    // As stated it is one, and every state of a motion is as stated itself.
    assert_eq!(LoadCase::single(turn).members().count(), 1);
    assert!(case.members().all(|(_, state)| state.members().count() == 1));
    // With a lift it is every pair; a direction that is swept is not reversed besides.
    let lifted = Instant { acceleration: DVec3::Z, ..turn };
    assert_eq!(worst(LoadCase::single(lifted)).members().count(), 8);
    let any = Sweep {
        gravity_along: DVec3::ZERO,
        gravity_across: DVec3::ZERO,
        acceleration_along: DVec3::X,
        acceleration_across: DVec3::Y,
        from: 0.0,
        to: TAU,
    };
    assert_eq!(worst(LoadCase::swept(level(), any)).members().count(), 1);
}

/// A body with a sound inertia, off the cups' middle.
fn body() -> impl Strategy<Value = Body> {
    (0.5..10.0f64, solid(), [1.0..4.0f64, 1.0..4.0f64, 1.0..4.0f64]).prop_map(|(mass, at, sides)| {
        let side = DVec3::from_array(sides) * 100.0;
        let square = side * side;
        let about = DVec3::new(square.y + square.z, square.z + square.x, square.x + square.y) * (mass / 12.0);
        Body { mass, centre: DVec3::new(150.0, 150.0, 40.0) * at, inertia: DMat3::from_diagonal(about) }
    })
}

/// A motion that lifts and turns, at one attitude or tilting all the way.
fn case() -> impl Strategy<Value = LoadCase> {
    let parts = (solid(), solid(), solid(), solid());
    (parts, 0.0..PI, -PI..PI, any::<bool>(), 0.1..PI).prop_map(
        |((a, w, e, pivot), tilt, lowest, sweeps, by)| {
            let fixed = Instant {
                gravity: if sweeps { DVec3::ZERO } else { gravity_when_tilted(G, tilt, lowest) },
                acceleration: a * 5.0,
                turn_rate: w * 2.0,
                turn_acceleration: e * 10.0,
                pivot: pivot * 300.0,
            };
            let tilting = Sweep {
                gravity_along: DVec3::NEG_Z * G,
                gravity_across: DVec3::new(lowest.cos(), lowest.sin(), 0.0) * G,
                acceleration_along: DVec3::ZERO,
                acceleration_across: DVec3::ZERO,
                from: 0.5 * tilt,
                to: 0.5 * tilt + by,
            };
            worst(if sweeps { LoadCase::swept(fixed, tilting) } else { LoadCase::single(fixed) })
        },
    )
}

/// The same lip on every cup, so that the least factor moves with the load and not with the lips.
fn lips() -> impl Strategy<Value = Vec<LipStrength>> {
    any_strength().prop_map(|lip| vec![LipStrength { vacuum_force: 8.0 * lip.vacuum_force, ..lip }; 6])
}

/// Any state between start and stop, not only those that bound the others.
fn between() -> impl Strategy<Value = Member> {
    (-1.0..1.0f64, 0.0..1.0f64, -1.0..1.0f64).prop_map(|(acceleration, turn_rate, turn_acceleration)| {
        Member { acceleration, turn_rate, turn_acceleration }
    })
}

/// Instants of a sweep: its ends and some between.
fn instants(case: &LoadCase) -> Vec<f64> {
    let (from, to) = case.sweep.map_or((0.0, 0.0), |sweep| (sweep.from, sweep.to));
    let count = if case.sweep.is_some() { 12 } else { 0 };
    (0..=count).map(|i| from + (to - from) * f64::from(i) / f64::from(count.max(1))).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_state_and_no_position_has_less_than_the_factor_of_the_motion(
        body in body(), case in case(), cups in springs(3..6), lips in lips(), inside in between(),
    ) {
        let Ok(group) = CupGroup::new(&cups) else { return Ok(()) };
        let whole = worst_case(&body, &case, &group, &lips);
        let factor = whole.factor().value;
        prop_assert!(whole.least_factor <= factor);
        let mut reached = false;
        for (member, alone) in case.members() {
            let found = worst_case(&body, &alone, &group, &lips);
            prop_assert!(factor <= found.factor().value * (1.0 + 1e-8), "{factor} {member:?} {:?}", found.factor());
            reached |= member == whole.member && found.factor().value <= factor * (1.0 + 1e-8);
            for (held, cup) in whole.cup_worst.iter().zip(&found.cup_worst) {
                prop_assert!(held.1.value <= cup.1.value * (1.0 + 1e-8));
            }
            for (held, own) in [
                (whole.readings.whole_load, found.readings.whole_load),
                (whole.readings.weight_kept, found.readings.weight_kept),
            ] {
                let alike = found.governing == whole.governing;
                prop_assert!(!alike || held.value <= own.value * (1.0 + 1e-8), "{held:?} {own:?}");
            }
        }
        prop_assert!(reached, "{:?}", whole.member);
        // Between start and stop, standing still among it, at every position.
        for member in [inside, Member { acceleration: 0.0, turn_rate: 0.0, turn_acceleration: 0.0 }] {
            let state = case.in_state(&member);
            for t in instants(&case) {
                let at = LoadCase { fixed: state.at(t), sweep: None, ..state };
                let found = worst_case(&body, &at, &group, &lips).factor().value;
                prop_assert!(factor <= found * (1.0 + 1e-8), "{factor} {found} {member:?} at {t}");
            }
        }
    }

    #[test]
    fn reversing_what_is_stated_changes_no_figure(
        body in body(), case in case(), cups in springs(3..6), lips in lips(),
    ) {
        let Ok(group) = CupGroup::new(&cups) else { return Ok(()) };
        let other = LoadCase {
            fixed: Instant {
                turn_acceleration: -case.fixed.turn_acceleration,
                turn_rate: -case.fixed.turn_rate,
                acceleration: -case.fixed.acceleration,
                ..case.fixed
            },
            ..case
        };
        let [a, b] = [case, other].map(|case| worst_case(&body, &case, &group, &lips).factor().value);
        prop_assert!(a == b || (a - b).abs() <= 1e-8 * a, "{a} {b}");
    }

    #[test]
    fn fixed_as_stated_a_motion_has_the_factor_of_that_one_state(
        body in body(), case in case(), cups in springs(3..6), lips in lips(),
    ) {
        let Ok(group) = CupGroup::new(&cups) else { return Ok(()) };
        let stated = LoadCase { signs: Signs::AsStated, ..case };
        let Some((member, first)) = case.members().next() else { return Ok(()) };
        prop_assert_eq!(member, Member::AS_STATED);
        prop_assert_eq!(worst_case(&body, &stated, &group, &lips), worst_case(&body, &first, &group, &lips));
    }

    #[test]
    fn the_share_of_acceleration_that_is_offered_holds_in_every_state(
        body in body(), case in case(), cups in springs(3..6), lips in lips(), required in 0.5..3.0f64,
    ) {
        let Ok(group) = CupGroup::new(&cups) else { return Ok(()) };
        let Some(scale) = acceleration_scale_for(&body, &case, &group, &lips, required) else { return Ok(()) };
        prop_assume!(scale.is_finite());
        for (member, alone) in case.with_accelerations_scaled(scale).members() {
            let found = worst_case(&body, &alone, &group, &lips).factor().value;
            prop_assert!(found >= required * (1.0 - 1e-6), "{found} {required} {member:?}");
        }
    }

    #[test]
    fn what_the_envelope_allows_is_allowed_in_every_state(
        body in body(), case in case(), cups in springs(3..6), lips in lips(), toward in 0.0..TAU,
    ) {
        let Ok(group) = CupGroup::new(&cups) else { return Ok(()) };
        let states: Vec<Instant> =
            case.members().map(|(_, case)| Instant { acceleration: DVec3::ZERO, ..case.at(0.7) }).collect();
        let all = Envelope::through(&body, &states, &group, &lips, 1.2, 0.9);
        for state in &states {
            let one = Envelope::new(&body, state, &group, &lips, 1.2, 0.9);
            match (&all, one) {
                (Some(all), Some(one)) => {
                    let (all, one) = (all.in_plane(toward).acceleration, one.in_plane(toward).acceleration);
                    prop_assert!(all <= one * (1.0 + 1e-9), "{all} {one}");
                }
                (all, one) => prop_assert!(all.is_none() || one.is_some()),
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn no_state_has_less_than_the_limit_factor_intact_and_with_a_cup_lost(
        body in body(), case in case(), cups in springs(4..6), lips in lips(), inside in between(), gone in 0..4usize,
    ) {
        let contacts: Vec<Contact> =
            cups.iter().zip(&lips).map(|(cup, lip)| Contact::lip(cup.at, lip)).collect();
        for lost in [vec![], vec![gone]] {
            let whole = limit_over(&mut LimitSolver::new(&contacts), &body, &case, 0.0, &lost);
            let Some(limit) = whole.limit.multiple() else { continue };
            prop_assert!(whole.at_least <= limit);
            for (member, alone) in case.members() {
                let found = limit_over(&mut LimitSolver::new(&contacts), &body, &alone, 0.0, &lost);
                let Some(least) = found.limit.multiple() else { continue };
                prop_assert!(whole.at_least <= least * (1.0 + 1e-5), "{whole:?} {member:?} {found:?}");
                if whole.is_proved() {
                    prop_assert!(limit <= least * (1.0 + 6e-4), "{whole:?} {member:?} {found:?}");
                }
            }
            let state = case.in_state(&inside);
            for t in instants(&case) {
                let at = LoadCase { fixed: state.at(t), sweep: None, ..state };
                let found = limit_over(&mut LimitSolver::new(&contacts), &body, &at, 0.0, &lost);
                let Some(here) = found.limit.multiple() else { continue };
                prop_assert!(whole.at_least <= here * (1.0 + 1e-5), "{whole:?} {here} {inside:?} at {t}");
            }
        }
    }

    #[test]
    fn a_lost_cup_leaves_no_more_than_in_any_state(
        body in body(), case in case(), cups in springs(4..7), lips in lips(), gone in 0..4usize,
    ) {
        let follow = |case: &LoadCase, cups: &[CupSpring]| {
            follow_loss(&body, case, cups, &[gone], &mut |_| lips.clone())
        };
        let whole = follow(&case, &cups);
        for (member, alone) in case.members() {
            let one = follow(&alone, &cups);
            prop_assert!(one.holds || !whole.holds, "drops {member:?} alone, and not in all of them");
            if let (Ok(whole), Ok(one)) = (&whole.steps[0].state, &one.steps[0].state) {
                prop_assert!(whole.factor().value <= one.factor().value * (1.0 + 1e-8));
            }
        }
    }
}

/// One off the other side: a lip that the turn as stated presses on opens when the turn stops.
#[test]
fn the_stop_of_a_turn_opens_the_lip_that_its_start_presses() {
    let places = [(-100.0, -80.0), (100.0, -80.0), (100.0, 80.0), (-100.0, 80.0)];
    let cups = places.map(|(x, y)| CupSpring::point(glam::DVec2::new(x, y), 20.0, 10.0));
    let group = CupGroup::new(&cups).unwrap();
    let lips = [crate::samples::strength(20.0, 0.0); 4];
    let part = Body { mass: 4.0, centre: DVec3::new(60.0, 0.0, 0.0), inertia: DMat3::ZERO };
    // 20 rad/s² about y at 60 mm: 1.2 m/s² up or down.
    let turn = Instant { turn_acceleration: DVec3::Y * 20.0, ..level() };
    let case = worst(LoadCase::single(turn));
    let found = worst_case(&part, &case, &group, &lips);
    // Statics: two cups at 160 % of the mean carry 4 kg x (9.80665 + 1.2) m/s².
    let pull = 4.0 * (G + 1.2) / 4.0 * (1.0 + 60.0 / 100.0);
    assert!((found.factor().value - lips[0].vacuum_force / pull).abs() < 1e-9 * found.factor().value);
    assert_eq!(found.member.turn_acceleration, -1.0);
    assert!((found.wrench.force.z + 4.0 * (G + 1.2)).abs() < 1e-9);
    let solved = limit_over(
        &mut LimitSolver::new(&cups.map(|cup| Contact::lip(cup.at, &lips[0]))),
        &part,
        &case,
        0.0,
        &[],
    );
    assert!(matches!(solved.limit, Limit::Solved(limit) if limit >= found.factor().value));
}
