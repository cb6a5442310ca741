use super::*;
use crate::samples::{any_strength, cup_load, strength};
use crate::{CupSpring, Instant, Sweep};
use glam::{DMat3, DVec2};
use proptest::prelude::*;
use std::f64::consts::TAU;

const LEVEL: DVec3 = DVec3::new(0.0, 0.0, -9.80665);

fn four() -> (CupGroup, Vec<LipStrength>) {
    let lip = strength(20.0, 0.0);
    let springs = [(-200.0, -100.0), (200.0, -100.0), (200.0, 100.0), (-200.0, 100.0)]
        .map(|(x, y)| CupSpring::along_lip(DVec2::new(x, y), 0.0, 20.0, 10.0, &lip.line, 1.0));
    (CupGroup::new(&springs).unwrap(), vec![lip; 4])
}

fn part() -> Body {
    Body { mass: 6.0, centre: DVec3::new(15.0, 5.0, -20.0), inertia: DMat3::IDENTITY * 2e5 }
}

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

#[test]
fn the_scale_of_a_level_lift_is_that_of_its_force() {
    // Pull m (g + s a) / 4 against F: factor 2 at s = (4 F / (2 m) - g) / a.
    let (group, lips) = four();
    let body = Body { centre: DVec3::ZERO, ..part() };
    let lift = LoadCase::single(Instant { acceleration: DVec3::new(0.0, 0.0, 5.0), ..Instant::still(LEVEL) });
    let expected = (4.0 * lips[0].vacuum_force / (2.0 * 6.0) - 9.80665) / 5.0;
    let scale = acceleration_scale_for(&body, &lift, &group, &lips, 2.0).unwrap();
    assert!((scale - expected).abs() < 1e-6 * expected, "{scale} {expected}");
}

#[test]
fn gravity_alone_too_much_and_nothing_that_accelerates() {
    let (group, lips) = four();
    assert_eq!(acceleration_scale_for(&part(), &carry(1.0), &group, &lips, 100.0), None);
    assert_eq!(acceleration_scale_for(&part(), &carry(0.0), &group, &lips, 2.0), Some(f64::INFINITY));
    assert_eq!(acceleration_scale_for(&part(), &carry(1.0), &group, &lips, 0.0), Some(f64::INFINITY));
    // Pushed up into the cups, harder is only better.
    let press =
        LoadCase::single(Instant { acceleration: DVec3::new(0.0, 0.0, -20.0), ..Instant::still(LEVEL) });
    let body = Body { centre: DVec3::ZERO, ..part() };
    assert_eq!(acceleration_scale_for(&body, &press, &group, &lips, 2.0), Some(f64::INFINITY));
    assert_eq!(acceleration_scale_for(&part(), &carry(f64::NAN), &group, &lips, 2.0), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn at_the_scale_the_case_just_meets_what_is_required(
        a in 0.2..30.0f64, spin in 0.0..5.0f64, rate in 0.0..2.0f64, required in 1.0..4.0f64,
    ) {
        let (group, lips) = four();
        let mut case = carry(a);
        case.fixed.turn_acceleration = DVec3::new(0.0, spin, spin);
        case.fixed.turn_rate = DVec3::new(0.0, 0.0, rate);
        case.fixed.pivot = DVec3::new(-800.0, 0.0, 100.0);
        let scale = acceleration_scale_for(&part(), &case, &group, &lips, required).unwrap();
        let at = |scale: f64| {
            worst_case(&part(), &case.with_accelerations_scaled(scale), &group, &lips).factor().value
        };
        prop_assert!(at(scale) >= required * (1.0 - 1e-12));
        prop_assert!(at(scale * 1.0001) < required);
    }

    #[test]
    fn each_remedy_just_meets_what_is_required(
        lip in any_strength(), load in split_load(), required in 0.5..6.0f64, share in 0.5..1.0f64,
    ) {
        let factor = |lip: LipStrength| lip.readings(&load, share).worse().value;
        let vacuum_force = lip.vacuum_force_for(&load, required, share);
        if vacuum_force > 0.0 {
            let with = |times: f64| factor(LipStrength { vacuum_force: vacuum_force * times, ..lip });
            prop_assert!(with(1.0 + 1e-9) >= required * (1.0 - 1e-6) && with(1.0 - 1e-6) < required);
        }
        match lip.friction_for(&load, required, share) {
            Some(friction) => {
                let with = |times: f64| factor(LipStrength { friction: friction * times, ..lip });
                prop_assert!(with(1.0 + 1e-9) >= required * (1.0 - 1e-9) && with(0.999) < required);
            }
            None => {
                let grippy = LipStrength { friction: 1e9, ..lip };
                prop_assert!(factor(grippy) < required * (1.0 + 1e-9));
            }
        }
    }

    #[test]
    fn a_lip_of_the_size_named_just_meets_what_is_required(
        lip in any_strength(), load in split_load(), required in 0.5..6.0f64, share in 0.5..1.0f64,
    ) {
        let size = lip.lip_multiple_for(&load, required, share).unwrap();
        prop_assume!(size > 0.011); // below this nothing was looked at
        let (r, straight) = (lip.line.half_width, 2.0 * (lip.line.half_length - lip.line.half_width));
        let with = |size: f64| {
            let as_large = strength(r * size, straight * size);
            let changed = LipStrength {
                vacuum_force: as_large.vacuum_force, line: as_large.line, shape: as_large.shape, ..lip
            };
            changed.readings(&load, share).worse().value
        };
        prop_assert!(with(size * 1.0001) >= required && with(size * 0.9999) < required);
    }
}

fn split_load() -> impl Strategy<Value = SplitLoad> {
    (cup_load(), cup_load()).prop_map(|(weight, motion)| SplitLoad { weight, motion })
}

fn weight(load: CupLoad) -> SplitLoad {
    SplitLoad { weight: load, ..SplitLoad::default() }
}

#[test]
fn a_pull_that_no_friction_and_no_lip_can_help() {
    let lip = strength(20.0, 0.0);
    let pull = CupLoad { pull: lip.vacuum_force, ..CupLoad::default() };
    assert_eq!(lip.friction_for(&weight(pull), 2.0, 0.9), None);
    assert!((lip.vacuum_force_for(&weight(pull), 2.0, 0.9) - 2.0 * lip.vacuum_force).abs() < 1e-9);
    assert!((lip.lip_multiple_for(&weight(pull), 2.0, 0.9).unwrap() - 2_f64.sqrt()).abs() < 1e-9);
    let empty = LipStrength { vacuum_force: 0.0, ..lip };
    assert_eq!(empty.friction_for(&weight(CupLoad { pull: -5.0, slide: DVec2::X, ..pull }), 2.0, 0.9), None);
    let slippery = LipStrength { friction: 0.0, ..lip };
    let slide = CupLoad { slide: DVec2::X, ..CupLoad::default() };
    assert_eq!(slippery.vacuum_force_for(&weight(slide), 2.0, 0.9), f64::INFINITY);
    assert_eq!(slippery.lip_multiple_for(&weight(slide), 2.0, 0.9), None);
    let pressed = CupLoad { pull: -5.0, ..CupLoad::default() };
    assert_eq!(lip.vacuum_force_for(&weight(pressed), 2.0, 0.9), 0.0);
}
