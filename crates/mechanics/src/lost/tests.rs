use super::*;
use crate::case::worst_case;
use crate::motion::{Instant, Sweep};
use crate::samples::strength;
use glam::{DMat3, DVec2, DVec3};
use std::f64::consts::TAU;

const G: f64 = 9.80665;

fn part(mass: f64, x: f64, y: f64) -> Body {
    Body { mass, centre: DVec3::new(x, y, -1.0), inertia: DMat3::ZERO }
}

fn still() -> LoadCase {
    LoadCase::single(Instant::still(DVec3::new(0.0, 0.0, -G)))
}

fn carried_level(a: f64) -> LoadCase {
    LoadCase::swept(
        Instant::still(DVec3::new(0.0, 0.0, -G)),
        Sweep {
            gravity_along: DVec3::ZERO,
            gravity_across: DVec3::ZERO,
            acceleration_along: DVec3::new(a, 0.0, 0.0),
            acceleration_across: DVec3::new(0.0, a, 0.0),
            from: 0.0,
            to: TAU,
        },
    )
}

fn points(places: &[(f64, f64)]) -> Vec<CupSpring> {
    places.iter().map(|&(x, y)| CupSpring::point(DVec2::new(x, y), 20.0, 10.0)).collect()
}

fn rectangle() -> Vec<CupSpring> {
    points(&[(-200.0, -150.0), (200.0, -150.0), (200.0, 150.0), (-200.0, 150.0)])
}

fn lip(force: f64) -> LipStrength {
    LipStrength { vacuum_force: force, ..strength(20.0, 0.0) }
}

#[test]
fn two_on_the_diagonal_take_the_load_of_a_lost_corner() {
    // Statics of three point supports: half each for the diagonal, nothing for the third.
    let weight = 8.0 * G;
    let loss = follow_loss(&part(8.0, 0.0, 0.0), &still(), &rectangle(), &[2], &mut |_| vec![lip(60.0); 4]);
    assert!(loss.holds && loss.steps.len() == 1);
    let step = &loss.steps[0];
    assert_eq!(
        (step.lost.as_slice(), step.newly.as_slice(), step.left.as_slice()),
        (&[2][..], &[2][..], &[0, 1, 3][..])
    );
    let result = step.state.as_ref().unwrap();
    let pulls: Vec<_> = result.loads.iter().map(|load| load.pull).collect();
    assert!(
        pulls[0].abs() < 1e-9
            && (pulls[1] - weight / 2.0).abs() < 1e-9
            && (pulls[2] - weight / 2.0).abs() < 1e-9
    );
    // The first of the two equals governs: the second that is left.
    assert_eq!(result.governing, 1);
}

#[test]
fn a_loss_runs_on_until_the_part_drops() {
    // 30 N hold a quarter of 8 kg (19.6 N), not a half (39.2 N): both of the diagonal go at once, and one point cup is left.
    let loss = follow_loss(&part(8.0, 0.0, 0.0), &still(), &rectangle(), &[2], &mut |_| vec![lip(30.0); 4]);
    assert!(!loss.holds);
    let lost: Vec<_> = loss.steps.iter().map(|step| (step.newly.clone(), step.left.clone())).collect();
    assert_eq!(lost, [(vec![2], vec![0, 1, 3]), (vec![1, 3], vec![0])]);
    assert!(matches!(loss.steps[1].state, Err(GroupError::AtOnePoint { .. })));
    assert_eq!(loss.steps[1].lost, [1, 2, 3]);
}

#[test]
fn a_loss_may_run_on_and_come_to_a_halt() {
    // A weak cup at the lost corner's side lets go too; the strong ones hold what is left.
    let springs = points(&[(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0), (150.0, 100.0)]);
    let strengths = [60.0, 60.0, 60.0, 60.0, 10.0].map(lip);
    let loss = follow_loss(&part(5.0, 150.0, 100.0), &still(), &springs, &[0], &mut |_| strengths.into());
    assert!(loss.holds);
    let newly: Vec<_> = loss.steps.iter().map(|step| step.newly.clone()).collect();
    assert_eq!(newly, [vec![0], vec![4]]);
    let first = loss.steps[0].state.as_ref().unwrap();
    assert!(first.factor().value < 1.0 && first.governing == 3); // the fourth that is left
    assert!(loss.steps[1].state.as_ref().unwrap().factor().value >= 1.0);
}

#[test]
fn neighbours_lose_level_to_an_open_cup() {
    let mut asked = Vec::new();
    // Each open cup costs the others a third of their level.
    let mut strengths = |lost: &[usize]| {
        asked.push(lost.to_vec());
        vec![lip(60.0 * (1.0 - lost.len() as f64 / 3.0)); 4]
    };
    let loss = follow_loss(&part(8.3, 0.0, 0.0), &still(), &rectangle(), &[2], &mut strengths);
    // 40 N hold not quite half of 8.3 kg.
    assert!(!loss.holds);
    assert_eq!(asked, [vec![2]]); // one cup is left then, which statics refuses before its strength matters
    let loss = follow_loss(&part(8.0, 0.0, 0.0), &still(), &rectangle(), &[2], &mut |lost| {
        vec![lip(60.0 * (1.0 - lost.len() as f64 / 3.0)); 4]
    });
    assert!(loss.holds); // 40 N against 39.2 N
}

#[test]
fn cups_left_in_line_drop_the_part_unless_their_lips_resist_tilt() {
    let places = [(-100.0, 0.0), (100.0, 0.0), (0.0, 120.0)];
    let loss =
        follow_loss(&part(1.0, 0.0, 0.0), &still(), &points(&places), &[2], &mut |_| vec![lip(60.0); 3]);
    assert!(!loss.holds && matches!(loss.steps[0].state, Err(GroupError::InLine { .. })));
    let round = strength(20.0, 0.0);
    let leaning: Vec<_> = places
        .iter()
        .map(|&(x, y)| CupSpring::along_lip(DVec2::new(x, y), 0.0, 20.0, 10.0, &round.line, 1.0))
        .collect();
    let loss = follow_loss(&part(1.0, 0.0, 0.0), &still(), &leaning, &[2], &mut |_| vec![round; 3]);
    assert!(loss.holds);
}

#[test]
fn losing_nothing_or_what_is_not_there_is_the_tool_as_it_stands() {
    for first in [&[][..], &[9][..]] {
        let loss =
            follow_loss(&part(4.0, 0.0, 0.0), &still(), &rectangle(), first, &mut |_| vec![lip(60.0); 4]);
        assert!(loss.holds && loss.steps.len() == 1 && loss.steps[0].lost.is_empty());
        assert_eq!(loss.steps[0].left, [0, 1, 2, 3]);
    }
}

#[test]
fn losing_every_cup_drops_the_part() {
    for springs in [rectangle(), Vec::new()] {
        let loss = follow_loss(&part(4.0, 0.0, 0.0), &still(), &springs, &[3, 0, 1, 2, 0], &mut |_| {
            vec![lip(60.0); 4]
        });
        assert!(!loss.holds);
        assert_eq!(loss.steps.last().unwrap().state, Err(GroupError::Empty));
    }
}

#[test]
fn cups_without_a_strength_hold_nothing_and_let_go_first() {
    let loss = follow_loss(&part(1.0, 0.0, 0.0), &still(), &rectangle(), &[], &mut |_| vec![lip(60.0); 3]);
    assert_eq!(loss.steps[1].newly, [3]);
    let loss = follow_loss(&part(1.0, 0.0, 0.0), &still(), &rectangle(), &[], &mut |_| Vec::new());
    assert!(!loss.holds && loss.steps[1].lost == [0, 1, 2, 3]);
}

#[test]
fn each_step_is_the_worst_case_of_what_is_left() {
    let places: Vec<_> = (0..6).map(|i| (f64::from(i % 3) * 150.0, f64::from(i / 3) * 200.0)).collect();
    let round = strength(18.0, 0.0);
    let springs: Vec<_> = places
        .iter()
        .map(|&(x, y)| CupSpring::along_lip(DVec2::new(x, y), 0.0, 20.0, 10.0, &round.line, 1.0))
        .collect();
    let (body, case) = (part(12.0, 130.0, 90.0), carried_level(6.0));
    let loss = follow_loss(&body, &case, &springs, &[1], &mut |_| vec![round; 6]);
    let mut before: Vec<usize> = Vec::new();
    for (i, step) in loss.steps.iter().enumerate() {
        before.extend(&step.newly);
        before.sort_unstable();
        assert_eq!(step.lost, before);
        let left: Vec<_> = step.left.iter().map(|&cup| springs[cup]).collect();
        let Ok(result) = &step.state else {
            assert!(CupGroup::new(&left).is_err() && i + 1 == loss.steps.len());
            continue;
        };
        let expected = worst_case(&body, &case, &CupGroup::new(&left).unwrap(), &vec![round; left.len()]);
        assert_eq!(result, &expected);
        if let Some(next) = loss.steps.get(i + 1) {
            assert!(next.newly.contains(&step.left[result.governing]) && result.factor().value < 1.0);
        }
    }
    // 12 kg at 6 m/s² are too much for five of these.
    assert!(loss.steps.len() > 1, "{}", loss.steps.len());
}

#[test]
fn a_loss_is_given_up_when_it_takes_too_many_looks() {
    let (springs, body) = (rectangle(), part(5.0, 0.0, 0.0));
    // 14 N a cup hold 5 kg on four with little to spare: with one gone the others follow.
    let strengths = |_: &[usize]| vec![lip(14.0); 4];
    let whole = follow_loss(&body, &still(), &springs, &[0], &mut { strengths });
    let steps = whole.steps.len();
    assert!(steps > 1, "nothing runs on");
    let mut most = 4 * steps;
    let within = follow_loss_within(&body, &still(), &springs, &[0], &mut most, &mut { strengths });
    assert_eq!((within, most), (Some(whole), 0));
    let mut most = 4 * steps - 1;
    assert_eq!(follow_loss_within(&body, &still(), &springs, &[0], &mut most, &mut { strengths }), None);
}
