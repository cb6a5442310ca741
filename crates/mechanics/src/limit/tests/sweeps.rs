use super::*;
use crate::{Body, Instant, LoadCase, Sweep, limit_over, load, worst_case};
use glam::DMat3;
use std::f64::consts::{FRAC_PI_2, TAU};

fn sweep(fixed: DVec3, along: DVec3, across: DVec3, from: f64, to: f64) -> LoadCase {
    LoadCase::swept(
        Instant::still(fixed),
        Sweep {
            gravity_along: DVec3::ZERO,
            gravity_across: DVec3::ZERO,
            acceleration_along: along,
            acceleration_across: across,
            from,
            to,
        },
    )
}

fn at(solver: &mut LimitSolver, body: &Body, case: &LoadCase, t: f64, lost: &[usize]) -> f64 {
    let wrench = load(body, &case.at(t), DVec3::ZERO);
    solver.solve_without(lost, &NOTHING, &wrench).multiple().unwrap()
}

#[test]
fn friction_on_edge_is_the_same_whichever_side_is_lowest() {
    let cups = [(200.0, 100.0), (-200.0, 100.0), (-200.0, -100.0), (200.0, -100.0)]
        .map(|(x, y)| Contact::point(DVec2::new(x, y), 50.0, 0.4));
    let body = Body { mass: 2.0, centre: DVec3::ZERO, inertia: DMat3::ZERO };
    let case = sweep(DVec3::ZERO, DVec3::X * 10.0, DVec3::Y * 10.0, 0.0, TAU);
    let worst = limit_over(&mut LimitSolver::new(&cups), &body, &case, 1.0, &[]);
    let Limit::Solved(found) = worst.limit else { panic!() };
    assert!((found - 4.0 * 0.4 * 50.0 / 20.0).abs() < 1e-6);
    assert!(worst.at_least <= found && worst.at_least > 0.97 * found);
}

#[test]
fn the_worst_direction_is_found_and_the_same_from_everywhere() {
    // The centre of gravity hangs low: shaking along the short side tips it over first.
    let cups = [(200.0, 60.0), (-200.0, 60.0), (-200.0, -60.0), (200.0, -60.0)]
        .map(|(x, y)| Contact::point(DVec2::new(x, y), 100.0, 1.5));
    let body = Body { mass: 4.0, centre: DVec3::new(0.0, 0.0, -80.0), inertia: DMat3::ZERO };
    let case = sweep(DVec3::NEG_Z * 10.0, DVec3::X * 8.0, DVec3::Y * 8.0, 0.0, TAU);
    let found = [0.0, 1.0, 2.5, 4.0, f64::NAN].map(|start| {
        let over = limit_over(&mut LimitSolver::new(&cups), &body, &case, start, &[]);
        // Along y: 2 F of a row against its half of the weight and the moment 32 N x 80 mm over 120 mm.
        assert!((over.t - FRAC_PI_2).abs() < 1e-2 || (over.t - 3.0 * FRAC_PI_2).abs() < 1e-2, "{over:?}");
        over.limit.multiple().unwrap()
    });
    let expected = 200.0 / (20.0 + 32.0 * 80.0 / 120.0);
    for found in found {
        assert!((found - expected).abs() < 1e-5 * expected, "{found} {expected}");
    }
}

#[test]
fn without_anything_that_varies_it_is_one_solve() {
    let cups = [Contact::point(DVec2::ZERO, 50.0, 0.4)];
    let body = Body { mass: 2.0, centre: DVec3::ZERO, inertia: DMat3::ZERO };
    let still = LoadCase::single(Instant::still(DVec3::NEG_Z * 10.0));
    let mut solver = LimitSolver::new(&cups);
    let over = limit_over(&mut solver, &body, &still, 7.0, &[]);
    assert_eq!(over.t, 0.0);
    let Limit::Solved(found) = over.limit else { panic!() };
    assert!((found - 2.5).abs() < 1e-7 && over.at_least == found);
    // A sweep of nothing, and one without extent.
    let nothing = sweep(DVec3::NEG_Z * 10.0, DVec3::ZERO, DVec3::ZERO, 0.0, 3.0);
    let narrow = sweep(DVec3::NEG_Z * 10.0, DVec3::X, DVec3::ZERO, FRAC_PI_2, FRAC_PI_2);
    for case in [nothing, narrow] {
        let over = limit_over(&mut solver, &body, &case, 1.0, &[]);
        assert!((over.limit.multiple().unwrap() - found).abs() < 1e-6);
    }
    // All cups lost: nothing is carried, and it is said so.
    let over = limit_over(&mut solver, &body, &narrow, 1.0, &[0]);
    assert_eq!((over.limit, over.at_least), (Limit::Solved(0.0), 0.0));
    let mut broken = LimitSolver::new(&[Contact { grip: f64::NAN, ..cups[0] }]);
    let shaken = sweep(DVec3::NEG_Z * 10.0, DVec3::X, DVec3::Y, 0.0, TAU);
    let over = limit_over(&mut broken, &body, &shaken, 1.0, &[]);
    assert_eq!((over.limit, over.at_least), (Limit::NotConverged, 0.0));
}

#[test]
fn a_pivot_at_the_centre_of_gravity_and_a_part_pressed_on() {
    let cups = [(100.0, 60.0), (-100.0, 60.0), (0.0, -60.0)]
        .map(|(x, y)| Contact::lip(DVec2::new(x, y), &strength(20.0, 0.0)));
    let mut solver = LimitSolver::new(&cups);
    let body = Body { mass: 1.0, centre: DVec3::new(0.0, 20.0, 0.0), inertia: DMat3::IDENTITY * 1e5 };
    let spin = Instant {
        turn_acceleration: DVec3::Z * 5.0,
        turn_rate: DVec3::Z * 3.0,
        pivot: body.centre,
        ..Instant::still(DVec3::ZERO)
    };
    let over = limit_over(&mut solver, &body, &LoadCase::single(spin), 0.0, &[]);
    assert!(matches!(over.limit, Limit::Solved(times) if times > 1.0), "{over:?}");
    let pressed = LoadCase::single(Instant::still(DVec3::Z * 10.0));
    assert_eq!(limit_over(&mut solver, &body, &pressed, 0.0, &[]).limit, Limit::Unlimited);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn no_instant_is_worse_than_found_nor_than_proved(
        (cups, _) in job(), along in solid(), across in solid(), centre in solid(),
        from in -3.0..3.0f64, span in 0.2..7.0f64, lost in 0usize..7,
    ) {
        let places = cups;
        let cups = contacts(&places);
        let body = Body { mass: 3.0, centre: centre * 60.0, inertia: DMat3::IDENTITY * 1e4 };
        let case = sweep(DVec3::NEG_Z * 9.81, along * 6.0, across * 6.0, from, from + span);
        let springs: Vec<_> = places
            .iter()
            .map(|(at, lip)| CupSpring::along_lip(*at, lip.turn, 20.0, 10.0, &lip.line, 1.0))
            .collect();
        let lips: Vec<_> = places.iter().map(|(_, lip)| *lip).collect();
        let elastic = worst_case(&body, &case, &CupGroup::new(&springs).unwrap(), &lips);
        let mut solver = LimitSolver::new(&cups);
        let over = limit_over(&mut solver, &body, &case, elastic.worst_t, &[]);
        let found = over.limit.multiple().unwrap();
        prop_assert!(elastic.least_factor <= found * (1.0 + 1e-6));
        prop_assert!(over.at_least <= found && over.t >= from - 1e-12 && over.t <= from + span + 1e-12);
        let lost = [lost % cups.len()];
        let less = limit_over(&mut solver, &body, &case, elastic.worst_t, &lost).limit.multiple().unwrap();
        prop_assert!(less <= found * (1.0 + 1e-3), "{less} {found}");
        for i in 0..=24 {
            let t = from + span.min(TAU) * f64::from(i) / 24.0;
            let here = at(&mut solver, &body, &case, t, &[]);
            prop_assert!(here >= over.at_least * (1.0 - 1e-6), "{here} below {over:?} at {t}");
            prop_assert!(here >= found * (1.0 - 1e-4), "{here} below {over:?} at {t}");
        }
    }
}
