//! What must hold of scores, searches and bounds, whatever the places.

mod searching;
mod several;

use super::removal::Removal;
use super::*;
use crate::samples::strength;
use crate::{Body, CupGroup, CupLoad, Instant, LoadCase, Signs, Sweep, Wrench, worst_case};
use glam::{DMat3, DVec2, DVec3};
use proptest::prelude::*;
use std::f64::consts::TAU;

pub(super) const G: f64 = 9.80665;

pub(super) fn part(centre: DVec2) -> Body {
    let diagonal = DVec3::new(4e4, 9e4, 13e4);
    Body { mass: 4.0, centre: centre.extend(-2.0), inertia: DMat3::from_diagonal(diagonal) }
}

/// A cup of 20 mm radius, or 25 mm long beside it, at a place.
pub(super) fn place(at: DVec2, long: bool) -> Place {
    let mut lip = strength(20.0, if long { 30.0 } else { 0.0 });
    lip.slide_share = 0.85;
    Place {
        spring: CupSpring::along_lip(at, 0.0, 20.0, 12.0, &lip.line, 0.8).with_side_lever(if long {
            15.0
        } else {
            8.0
        }),
        strength: lip,
        kind: usize::from(long),
        zone: None,
    }
}

/// Lift with both signs, carry in every direction, a turn on edge with the weight kept.
pub(super) fn duties() -> Vec<Duty> {
    let level = Instant::still(DVec3::new(0.0, 0.0, -G));
    let lift = Instant { acceleration: DVec3::new(0.0, 0.0, 2.0), ..level };
    let circle = Sweep {
        gravity_along: DVec3::ZERO,
        gravity_across: DVec3::ZERO,
        acceleration_along: DVec3::X * 3.0,
        acceleration_across: DVec3::Y * 3.0,
        from: 0.0,
        to: TAU,
    };
    let turned = Instant {
        acceleration: DVec3::new(0.0, 1.0, 3.0),
        turn_acceleration: DVec3::new(0.0, 0.0, 2.0),
        ..Instant::still(DVec3::new(0.0, -5.0, 3.0))
    };
    let duty = |case, required| Duty { case, required, required_lost: 1.0 };
    vec![
        duty(LoadCase { signs: Signs::Worst, ..LoadCase::single(lift) }, 2.0),
        duty(LoadCase::swept(level, circle), 2.0),
        duty(LoadCase { signs: Signs::Worst, ..LoadCase::single(turned) }, 1.5),
    ]
}

pub(super) fn spots() -> impl Strategy<Value = Vec<DVec2>> {
    prop::collection::vec([-300.0..300.0f64, -200.0..200.0f64].prop_map(DVec2::from_array), 4..7)
}

#[test]
fn cups_beside_the_centre_of_gravity_score_nothing_where_they_must_stand_about_it() {
    let places: Vec<Place> =
        [(-200., -100.), (200., -100.), (0., 150.), (190., 140.), (-200., 0.), (200., 0.)]
            .map(|at| place(DVec2::from(at), false))
            .into();
    let mut scorer = Scorer::new(&part(DVec2::new(0.0, -20.0)), &duties(), &places);
    let balanced = Goal { balanced: true, ..Goal::default() };
    for (set, about) in [(vec![0, 1, 2], true), (vec![1, 2, 3], false), (vec![4, 5], true), (vec![0], true)] {
        let plain = scorer.exactly(Goal::default(), &set);
        assert!(set.len() < 3 || plain > 0.0, "{set:?}");
        let expected = if about { plain } else { 0.0 };
        assert_eq!(scorer.exactly(balanced, &set), expected, "{set:?}");
        assert_eq!(scorer.above(balanced, &set, -1.0), expected, "{set:?}");
    }
}

fn close(a: f64, b: f64, to: f64) -> bool {
    a == b || (a - b).abs() <= to * (a.abs() + b.abs())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_cup_taken_away_leaves_what_a_new_assembly_gives(spots in spots(), lost in 0..4usize, load in [-30.0..30.0f64, -30.0..30.0f64, -80.0..20.0f64, -9.0..9.0f64, -9.0..9.0f64, -9.0..9.0f64]) {
        let cups: Vec<CupSpring> = spots.iter().enumerate().map(|(i, at)| place(*at, i % 3 == 1).spring).collect();
        let group = CupGroup::new(&cups).unwrap();
        let [x, y, z, a, b, c] = load;
        let wrench = Wrench { force: DVec3::new(x, y, z), moment: DVec3::new(a, b, c), about: DVec3::ZERO };
        let before = group.share(&wrench);
        let removal = Removal::of(&group, lost, cups[lost].at, 300.0).unwrap();
        let more = group.share(&removal.instead(&before[lost]));
        let rest: Vec<CupSpring> = (0..cups.len()).filter(|i| *i != lost).map(|i| cups[i]).collect();
        let anew = CupGroup::new(&rest).unwrap().share(&wrench);
        let left = (0..cups.len()).filter(|i| *i != lost).map(|i| before[i].plus(1.0, &more[i]));
        for (left, anew) in left.zip(&anew) {
            let CupLoad { pull, slide, tilt, twist } = left.plus(-1.0, anew);
            prop_assert!(pull.abs() < 1e-7 && slide.length() < 1e-7 && tilt.length() < 1e-8 && twist.abs() < 1e-8, "{left:?} {anew:?}");
        }
    }

    #[test]
    fn the_score_is_that_of_the_worst_case(spots in spots()) {
        let places: Vec<Place> = spots.iter().enumerate().map(|(i, at)| place(*at, i % 3 == 1)).collect();
        let all: Vec<usize> = (0..places.len()).collect();
        let (body, duties) = (part(DVec2::new(20.0, -10.0)), duties());
        let mut scorer = Scorer::new(&body, &duties, &places);
        let springs: Vec<CupSpring> = places.iter().map(|place| place.spring).collect();
        let strengths: Vec<LipStrength> = places.iter().map(|place| place.strength).collect();
        let group = CupGroup::new(&springs).unwrap();
        let expected = duties
            .iter()
            .map(|duty| worst_case(&body, &duty.case, &group, &strengths).factor().value / duty.required)
            .fold(f64::INFINITY, f64::min);
        let goal = Goal::default();
        prop_assert_eq!(scorer.exactly(goal, &all), expected);
        let most = scorer.at_most(goal, &all, 0.0);
        prop_assert!(most >= expected * (1.0 - 1e-9) && most <= expected * 1.02, "{} {}", most, expected);
        // Without what sweeps the directions are all there are.
        let still = [duties[0], duties[2]];
        let mut scorer = Scorer::new(&body, &still, &places);
        for goal in [Goal::default(), Goal { one_lost: true, zone_lost: false, balanced: false }] {
            let (most, exact) = (scorer.at_most(goal, &all, -1.0), scorer.exactly(goal, &all));
            prop_assert!(close(most, exact, 1e-9), "{:?} {} {}", goal, most, exact);
        }
    }

    #[test]
    fn a_floor_changes_nothing_but_what_lies_below_it(spots in spots(), share in 0.0..2.0f64) {
        let places: Vec<Place> = spots.iter().map(|at| place(*at, false)).collect();
        let all: Vec<usize> = (0..places.len()).collect();
        let mut scorer = Scorer::new(&part(DVec2::ZERO), &duties(), &places);
        let goal = Goal { one_lost: true, zone_lost: false, balanced: false };
        let score = scorer.at_most(goal, &all, -1.0);
        let floor = score * share;
        let found = scorer.at_most(goal, &all, floor);
        let right = if score > floor { close(found, score, 1e-12) } else { found <= floor && found >= score * (1.0 - 1e-12) };
        prop_assert!(right, "{} {} {}", found, score, floor);
    }

    #[test]
    fn no_set_is_above_the_bound(spots in spots(), lost in any::<bool>()) {
        let places: Vec<Place> = spots.iter().enumerate().map(|(i, at)| place(*at, i % 2 == 1)).collect();
        let scorer = Scorer::new(&part(DVec2::new(30.0, 0.0)), &duties(), &places);
        let conflicts = Conflicts::of(places.len(), |a, b| spots[a].distance(spots[b]) < 80.0);
        let goal = Goal { one_lost: lost, zone_lost: false, balanced: false };
        let mut best = 0.0_f64;
        combinations(&conflicts, &[], 3, &mut |set| {
            best = best.max(scorer.exactly(goal, set));
            true
        });
        let mut instances = scorer.usual_instances(3);
        instances.extend(scorer.worst_instances(&[0, 1, 2], 3));
        let task = searching::task(&places, &conflicts, instances, 3);
        let certificate = match bound(&task) {
            Bound::Proved(certificate) => certificate,
            other => return Err(TestCaseError::fail(format!("no bound: {other:?}"))),
        };
        prop_assert!(certificate.value >= best * (1.0 - 1e-9), "{} {}", certificate.value, best);
        // What is proved does not rest on the solver: any other velocities prove a bound as well, and no better a one.
        let bent: Vec<[f64; 6]> = certificate.velocities.iter().map(|v| std::array::from_fn(|i| v[i] * (1.0 + 0.03 * ((i * 7 + 3) % 5) as f64))).collect();
        if let Some(other) = certify(&task, &bent, &certificate.prices) {
            prop_assert!(other.value >= best && other.value >= certificate.value * (1.0 - 1e-4), "{} {}", other.value, certificate.value);
        }
    }

    #[test]
    fn the_gauge_is_dual_to_what_a_tilt_takes(x in -1.0..1.0f64, y in -1.0..1.0f64, turn in -3.0..3.0f64) {
        for long in [false, true] {
            let mut of = place(DVec2::ZERO, long);
            of.strength.turn = turn;
            let lip = Onset::of(DVec2::ZERO, &of.strength);
            let rolling = lip.motion(DVec3::ZERO, DVec3::new(x, y, 0.0)).rolling;
            // The most power of any tilt that takes one newton: tried all round.
            let most = (0..3600).map(|i| {
                let tilt = DVec2::from_angle(f64::from(i) * TAU / 3600.0); // N·mm
                let load = CupLoad { tilt: tilt * 1e-3, ..CupLoad::default() };
                let takes = of.strength.demand(&load).0;
                tilt.dot(DVec2::new(x, y)) / takes
            }).fold(0.0, f64::max);
            prop_assert!(most <= rolling * (1.0 + 1e-9) && most >= rolling * (1.0 - 1e-3), "{rolling} {most}");
        }
    }
}

#[test]
fn nothing_limits_what_is_pressed_on_and_what_is_no_number_has_no_bound() {
    let places = [place(DVec2::new(-100.0, 0.0), false), place(DVec2::new(100.0, 0.0), false)];
    let up = LoadCase::single(Instant::still(DVec3::new(0.0, 0.0, G)));
    let duty = Duty { case: up, required: 2.0, required_lost: 1.0 };
    let scorer = Scorer::new(&part(DVec2::ZERO), &[duty], &places);
    let mut task = searching::task(&places, &Conflicts::of(2, |_, _| false), scorer.usual_instances(2), 2);
    assert_eq!(bound(&task), Bound::Unlimited);
    task.instances[0].scaled.force.x = f64::NAN;
    assert_eq!(bound(&task), Bound::NotConverged);
}

#[test]
fn what_is_stopped_has_no_bound() {
    let places = [place(DVec2::new(-100.0, 0.0), false), place(DVec2::new(100.0, 0.0), false)];
    let scorer = Scorer::new(&part(DVec2::ZERO), &duties(), &places);
    let task = searching::task(&places, &Conflicts::of(2, |_, _| false), scorer.usual_instances(2), 2);
    assert!(matches!(bound(&task), Bound::Proved(_)));
    assert_eq!(bound_unless(&task, &Stop::when(|| true)), Bound::NotConverged);
}
