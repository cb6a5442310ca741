use super::*;
use crate::samples::{any_strength, flat, solid, strength};
use crate::{CupGroup, CupSpring};
use proptest::prelude::*;

mod points;
mod sweeps;

const NOTHING: Wrench = Wrench { force: DVec3::ZERO, moment: DVec3::ZERO, about: DVec3::ZERO };

fn hanging(newtons: f64) -> Wrench {
    Wrench { force: DVec3::new(0.0, 0.0, -newtons), ..NOTHING }
}

fn moment(x: f64, y: f64, z: f64) -> Wrench {
    Wrench { moment: DVec3::new(x, y, z), ..NOTHING }
}

fn limit(cups: &[Contact], load: &Wrench) -> Limit {
    LimitSolver::new(cups).solve(&NOTHING, load)
}

#[track_caller]
fn expect(cups: &[Contact], load: &Wrench, expected: f64) {
    match limit(cups, load) {
        Limit::Solved(found) => assert!((found - expected).abs() < 1e-6 * expected, "{found} {expected}"),
        other => panic!("{other:?}, expected {expected}"),
    }
}

#[test]
fn one_round_lip() {
    let lip = strength(20.0, 0.0);
    let (cup, force) = ([Contact::lip(DVec2::new(30.0, -10.0), &lip)], lip.vacuum_force);
    let at = DVec3::new(30.0, -10.0, 0.0);
    expect(&cup, &Wrench { about: at, ..hanging(30.0) }, force / 30.0);
    // Tips off at force times radius: twice what its onset of leak allows.
    let tilt = DVec3::new(0.3, -0.4, 0.0);
    expect(&cup, &Wrench { about: at, ..moment(tilt.x, tilt.y, 0.0) }, force * 0.020 / 0.5);
    let slide = Wrench { force: DVec3::new(3.0, -4.0, 0.0), moment: DVec3::ZERO, about: at };
    expect(&cup, &slide, 0.5 * force / 5.0);
    expect(&cup, &Wrench { about: at, ..moment(0.0, 0.0, 0.2) }, 0.5 * force * 0.020 / 0.2);
    // A pull to the side of the lip: F = N + M/r.
    let aside = Wrench { about: at + DVec3::new(0.0, 5.0, 0.0), ..hanging(10.0) };
    expect(&cup, &aside, force / (10.0 + 10.0 * 5.0 / 20.0));
    // Pull and slide together: mu (F - k N) = k T.
    let both = Wrench { force: DVec3::new(6.0, 0.0, -8.0), moment: DVec3::ZERO, about: at };
    expect(&cup, &both, force / (8.0 + 6.0 / 0.5));
}

#[test]
fn a_long_lip_reaches_as_far_as_its_line() {
    let lip = LipStrength { turn: 0.7, ..strength(15.0, 60.0) };
    let cup = [Contact::lip(DVec2::ZERO, &lip)];
    let axis = DVec2::from_angle(0.7);
    // About its width axis the ends of its length hold on: 30 + 15 mm.
    let about_width = axis.perp() * 2.0;
    expect(&cup, &moment(about_width.x, about_width.y, 0.0), lip.vacuum_force * 0.045 / 2.0);
    let about_length = axis * 2.0;
    expect(&cup, &moment(about_length.x, about_length.y, 0.0), lip.vacuum_force * 0.015 / 2.0);
    // Aslant it is where a ray in that direction leaves the hull: force at (x, y) gives M = F (y, -x).
    for (ray, straight) in [(DVec2::new(0.8, 0.6), true), (DVec2::new(0.96, 0.28), false)] {
        let aslant = axis * ray.y - axis.perp() * ray.x;
        let Limit::Solved(found) = limit(&cup, &moment(aslant.x, aslant.y, 0.0)) else { panic!() };
        let place = ray * found / lip.vacuum_force * 1000.0;
        let (beyond, reach) = (DVec2::new(place.x - 30.0, place.y).length(), place.y);
        assert!((if straight { reach } else { beyond } - 15.0).abs() < 1e-5, "{place}");
    }
}

#[test]
fn a_rectangle_reaches_into_its_corners() {
    let shape = geometry::LipShape::Rectangle { length: 100.0, width: 60.0, corner: 0.0 };
    let lip = LipStrength { shape, line: shape.line(), ..strength(20.0, 0.0) };
    let cup = [Contact::lip(DVec2::ZERO, &lip)];
    // A pull on a line through the corner (50, 30): F = N (1 + 2/1) when it passes at twice the corner.
    let load = Wrench { about: DVec3::new(100.0, 60.0, 0.0), ..hanging(10.0) };
    expect(&cup, &load, lip.vacuum_force / 30.0);
}

#[test]
fn two_cups() {
    let lip = strength(20.0, 0.0);
    let force = lip.vacuum_force;
    let pair = [-100.0, 100.0].map(|x| Contact::lip(DVec2::new(x, 0.0), &lip));
    expect(&pair, &hanging(40.0), 2.0 * force / 40.0);
    // About the line through both, only the lips: 2 F r.
    expect(&pair, &moment(1.0, 0.0, 0.0), 2.0 * force * 0.020);
    // Across it one pulls until it comes off at its outer edge, the other is pressed there: the part turns about the outer
    // edge of the pressed one, 120 mm from the middle, against 2 F.
    expect(&pair, &moment(0.0, 1.0, 0.0), 2.0 * force * 0.120);
    // Twist: each slides on its arm and turns: mu F sqrt(d² + r²).
    expect(&pair, &moment(0.0, 0.0, 1.0), 2.0 * 0.5 * force * 0.1_f64.hypot(0.020));
    let points = [-100.0, 100.0].map(|x| Contact::point(DVec2::new(x, 0.0), 80.0, 0.5));
    assert_eq!(limit(&points, &moment(1.0, 0.0, 0.0)), Limit::Solved(0.0)); // nothing carries it
}

#[test]
fn three_cups_are_decided_by_statics() {
    let cups =
        [(0.0, 0.0), (300.0, 0.0), (0.0, 200.0)].map(|(x, y)| Contact::point(DVec2::new(x, y), 60.0, 0.5));
    // In barycentric shares of the corners.
    for share in [[0.2, 0.3, 0.5], [1.0, 0.0, 0.0], [0.6, 0.4, 0.0]] {
        let at = cups.iter().zip(share).map(|(cup, share)| cup.at * share).sum::<DVec2>();
        let most = share.into_iter().fold(0.0, f64::max);
        expect(&cups, &Wrench { about: at.extend(0.0), ..hanging(30.0) }, 60.0 / (30.0 * most));
    }
}

#[test]
fn a_seal_takes_its_part_and_a_fixed_load_too() {
    let lip = LipStrength { seal_minimum: 0.1, ..strength(20.0, 0.0) };
    let cup = [Contact::lip(DVec2::ZERO, &lip)];
    let left = lip.vacuum_force - 0.1 * lip.line.length;
    expect(&cup, &hanging(20.0), left / 20.0);
    let mut solver = LimitSolver::new(&cup);
    let Limit::Solved(rest) = solver.solve(&hanging(15.0), &hanging(20.0)) else { panic!() };
    assert!((rest - (left - 15.0) / 20.0).abs() < 1e-6);
    assert_eq!(solver.solve(&hanging(left + 1.0), &hanging(20.0)), Limit::Infeasible);
    // What lightens the fixed load is the answer to it, up to where it presses.
    assert_eq!(solver.solve(&hanging(10.0), &hanging(-20.0)), Limit::Unlimited);
    // A seal that takes all that there is holds nothing.
    let dead = LipStrength { seal_minimum: lip.vacuum_force / lip.line.length, ..lip };
    assert_eq!(limit(&[Contact::lip(DVec2::ZERO, &dead)], &hanging(1.0)), Limit::Solved(0.0));
}

#[test]
fn degenerate_groups_and_loads_have_clear_outcomes() {
    assert_eq!(limit(&[], &hanging(1.0)), Limit::Solved(0.0));
    assert_eq!(LimitSolver::new(&[]).solve(&hanging(1.0), &hanging(1.0)), Limit::Infeasible);
    let cups = [(-100.0, 0.0), (100.0, 0.0), (0.0, 150.0)]
        .map(|(x, y)| Contact::lip(DVec2::new(x, y), &strength(20.0, 0.0)));
    assert_eq!(limit(&cups, &NOTHING), Limit::Unlimited);
    assert_eq!(LimitSolver::new(&cups).solve(&hanging(1.0), &NOTHING), Limit::Unlimited);
    assert_eq!(LimitSolver::new(&cups).solve(&hanging(1e4), &NOTHING), Limit::Infeasible);
    // Pressed on at the middle of the cups.
    assert_eq!(
        limit(&cups, &Wrench { about: DVec3::new(0.0, 50.0, 0.0), ..hanging(-5.0) }),
        Limit::Unlimited
    );
    let slippery = cups.map(|cup| Contact { grip: 0.0, ..cup });
    assert_eq!(limit(&slippery, &Wrench { force: DVec3::X, ..NOTHING }), Limit::Solved(0.0));
    assert!(matches!(limit(&slippery, &hanging(10.0)), Limit::Solved(times) if times > 1.0));
    let without = cups.map(|cup| Contact { vacuum_force: 0.0, ..cup });
    assert_eq!(limit(&without, &hanging(1.0)), Limit::Solved(0.0));
    assert_eq!(
        LimitSolver::new(&cups).solve_without(&[0, 1, 2], &NOTHING, &hanging(1.0)),
        Limit::Solved(0.0)
    );
}

#[test]
fn a_solver_may_be_handed_to_a_worker() {
    fn may_move<T: Send>(_: &T) {}
    may_move(&LimitSolver::new(&[Contact::point(DVec2::ZERO, 1.0, 0.5)]));
}

#[test]
fn what_is_not_a_number_is_never_solved() {
    let cup = Contact::point(DVec2::ZERO, 50.0, 0.5);
    for bad in [f64::NAN, f64::INFINITY] {
        assert_eq!(limit(&[Contact { vacuum_force: bad, ..cup }], &hanging(1.0)), Limit::NotConverged);
        assert_eq!(limit(&[Contact { at: DVec2::new(bad, 0.0), ..cup }], &hanging(1.0)), Limit::NotConverged);
        assert_eq!(limit(&[cup], &hanging(bad)), Limit::NotConverged);
        assert_eq!(LimitSolver::new(&[cup]).solve(&hanging(bad), &hanging(1.0)), Limit::NotConverged);
    }
    assert_eq!(Limit::NotConverged.multiple(), None);
    assert_eq!(Limit::Unlimited.multiple(), Some(f64::INFINITY));
}

/// Places, lips and a load on them.
fn job() -> impl Strategy<Value = (Vec<(DVec2, LipStrength)>, Wrench)> {
    let cups = prop::collection::vec((flat(), any_strength()), 1..7);
    (cups, solid(), solid()).prop_map(|(cups, force, moment)| {
        let cups = cups.into_iter().map(|(at, lip)| (at * 400.0, lip)).collect();
        (cups, Wrench { force: force * 40.0, moment: moment * 2.0, about: DVec3::ZERO })
    })
}

fn contacts(cups: &[(DVec2, LipStrength)]) -> Vec<Contact> {
    cups.iter().map(|(at, lip)| Contact::lip(*at, lip)).collect()
}

/// The multiple; the solver must get there.
fn solved(cups: &[Contact], load: &Wrench) -> f64 {
    limit(cups, load).multiple().unwrap_or(f64::NAN)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn the_springs_share_never_promises_more((cups, load) in job(), axial in 1.0..50.0f64, lateral in 1.0..50.0f64) {
        let springs: Vec<_> = cups
            .iter()
            .map(|(at, lip)| CupSpring::along_lip(*at, lip.turn, axial, lateral, &lip.line, 1.0))
            .collect();
        let loads = CupGroup::new(&springs).unwrap().share(&load);
        let elastic = loads.iter().zip(&cups).map(|(load, (_, lip))| lip.factor(load).value);
        let elastic = elastic.fold(f64::INFINITY, f64::min);
        let limit = solved(&contacts(&cups), &load);
        prop_assert!(elastic <= limit * (1.0 + 1e-6), "{elastic} {limit}");
    }

    #[test]
    fn more_vacuum_friction_or_lip_never_lowers_the_limit((cups, load) in job(), more in 1.0..2.5f64, which in 0usize..7) {
        let cups = contacts(&cups);
        let before = solved(&cups, &load);
        let which = which % cups.len();
        let better = |change: &dyn Fn(&Contact) -> Contact| {
            let mut cups = cups.clone();
            cups[which] = change(&cups[which]);
            solved(&cups, &load)
        };
        let found = [
            better(&|cup| Contact { vacuum_force: cup.vacuum_force * more, ..*cup }),
            better(&|cup| Contact { grip: cup.grip * more, ..*cup }),
            better(&|cup| Contact {
                core: cup.core * more,
                radius: cup.radius * more,
                twist_arm: cup.twist_arm * more,
                vacuum_force: cup.vacuum_force * more * more,
                seal_force: cup.seal_force * more,
                ..*cup
            }),
            better(&|cup| Contact { seal_force: cup.seal_force / more, ..*cup }),
        ];
        for after in found {
            prop_assert!(after >= before * (1.0 - 1e-6), "{before} {after}");
        }
    }

    #[test]
    fn losing_a_cup_never_raises_the_limit((cups, load) in job(), first in 0usize..7, second in 0usize..7) {
        let cups = contacts(&cups);
        let (first, second) = (first % cups.len(), second % cups.len());
        let mut solver = LimitSolver::new(&cups);
        let times = |limit: Limit| limit.multiple().unwrap_or(f64::NAN);
        let all = times(solver.solve(&NOTHING, &load));
        let without = times(solver.solve_without(&[first], &NOTHING, &load));
        let fewer = times(solver.solve_without(&[first, second], &NOTHING, &load));
        prop_assert!(without <= all * (1.0 + 1e-6) && fewer <= without * (1.0 + 1e-6), "{all} {without} {fewer}");
        // Left out, or never there.
        let mut left = cups.clone();
        left.remove(first);
        let never = times(LimitSolver::new(&left).solve(&NOTHING, &load));
        prop_assert!((never - without).abs() <= 1e-6 * never || never == without, "{never} {without}");
        // And the structure serves the whole group again.
        let again = times(solver.solve(&NOTHING, &load));
        prop_assert!((again - all).abs() <= 1e-6 * all || again == all);
    }

    #[test]
    fn turning_and_moving_everything_changes_nothing((cups, load) in job(), turn in -3.0..3.0f64, move_by in flat()) {
        let before = solved(&contacts(&cups), &load);
        let (by, move_by) = (DVec2::from_angle(turn), move_by * 2000.0);
        let turned = cups.iter().map(|(at, lip)| {
            Contact::lip(by.rotate(*at) + move_by, &LipStrength { turn: lip.turn + turn, ..*lip })
        });
        let flat = |v: DVec3| by.rotate(v.truncate()).extend(v.z);
        let load = Wrench {
            force: flat(load.force),
            moment: flat(load.moment),
            about: flat(load.about) + move_by.extend(0.0),
        };
        let after = solved(&turned.collect::<Vec<_>>(), &load);
        prop_assert!((after - before).abs() <= 1e-6 * before || after == before, "{before} {after}");
    }

    #[test]
    fn what_releases_one_load_bounds_every_other((cups, load) in job(), force in solid(), torque in solid()) {
        let cups = contacts(&cups);
        let mut solver = LimitSolver::new(&cups);
        let limit = solver.solve(&NOTHING, &load);
        if let (Limit::Solved(times), Some(release)) = (limit, solver.release) {
            prop_assert!((release.rate(&load) * times - 1.0).abs() < 1e-6);
            let other = Wrench { force: force * 30.0, moment: torque * 3.0, about: DVec3::ZERO };
            let carried = solved(&cups, &other);
            prop_assert!(release.rate(&other) * carried <= 1.0 + 1e-5 || carried.is_infinite() && release.rate(&other) < 1e-6);
        }
    }

    #[test]
    fn the_shares_of_a_limit_carry_its_load((cups, load) in job(), lost in 0usize..7) {
        let cups = contacts(&cups);
        let lost = if lost < cups.len() { vec![lost] } else { vec![] };
        let mut solver = LimitSolver::new(&cups);
        let limit = solver.solve_without(&lost, &NOTHING, &load);
        let times = limit.multiple().unwrap();
        prop_assume!(times > 0.0);
        prop_assert_eq!(solver.shares.len(), cups.len());
        let (mut force, mut moment, mut most) = (DVec3::ZERO, DVec3::ZERO, 0.0_f64);
        for (cup, share) in cups.iter().zip(&solver.shares) {
            let axis = DVec2::from_angle(cup.turn);
            let friction = -cup.grip * share.friction;
            let here = DVec3::new(friction.x, friction.y, -share.pull);
            force += here;
            let tilt = -axis.perp() * cup.core.x * share.lean.x - axis * cup.core.y * share.lean.y
                - cup.radius * share.roll;
            moment += (cup.at.extend(0.0).cross(here) + tilt.extend(friction.z * cup.twist_arm)) * MILLI;
            let pressed = share.lean.abs().max_element().max(share.roll.length());
            let seal = (share.pull + pressed) / (cup.vacuum_force - cup.seal_force);
            if *share != CupShare::default() {
                most = most.max(seal).max((share.pull + share.friction.length()) / cup.vacuum_force);
            }
        }
        let off = (force - load.force).length() + (moment - load.moment).length();
        prop_assert!(off < 1e-6 * (load.force.length() + load.moment.length()), "{off}");
        prop_assert!((most - times.recip()).abs() < 1e-6 * times.recip().max(1e-3), "{most} {times}");
    }

    #[test]
    fn twice_the_load_halves_the_multiple_and_a_fixed_part_of_it_counts((cups, load) in job(), part in 0.05..0.95f64) {
        let cups = contacts(&cups);
        let mut solver = LimitSolver::new(&cups);
        let times = |v: f64| Wrench { force: load.force * v, moment: load.moment * v, about: load.about };
        let Limit::Solved(whole) = solver.solve(&NOTHING, &load) else { return Ok(()) };
        let Limit::Solved(half) = solver.solve(&NOTHING, &times(2.0)) else { panic!() };
        prop_assert!((2.0 * half - whole).abs() < 1e-6 * whole.max(1e-3));
        // What is left of the multiple beside a share of it.
        prop_assume!(whole > 1e-3);
        let Limit::Solved(rest) = solver.solve(&times(part * whole), &load) else { panic!() };
        prop_assert!((rest - (1.0 - part) * whole).abs() < 1e-6 * whole);
        prop_assert_eq!(solver.solve(&times(1.01 * whole), &load), Limit::Infeasible);
    }
}
