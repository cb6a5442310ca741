//! Every motion is taken at its start and its stop, and everywhere along it, unless a person keeps it to what is stated.

use crate::common;

use analysis::{Analyst, LimitFigure, MotionOutcome, Report};

use common::*;
use document::{Motion, Project, Sourced, StartStop, Worst};
use glam::DVec3;
use std::{path::PathBuf, sync::Arc};
use telling::to_json;

/// Standard acceleration of free fall, m/s² (exact by definition, 3rd CGPM 1901).
const G: f64 = 9.806_65;

/// Four cups under a part whose centre of gravity lies to the right and below the lips.
fn off_centre(motions: Vec<Motion>) -> Project {
    let mut part = plate(600.0, 400.0, 3.0);
    part.centre_of_gravity = Some(Sourced::stated(DVec3::new(360.0, 200.0, -30.0)));
    project(part, model("round-50", round(50.0), 1.0), &corners((300.0, 200.0), 200.0, 100.0), motions)
}

fn turning(sign: f64) -> Motion {
    let mut turn = still(1, "Turn", 2.0);
    turn.turn_acceleration_deg_s2 = DVec3::new(0.0, 400.0 * sign, 0.0);
    turn.pivot_mm = DVec3::new(-400.0, 200.0, 50.0);
    turn
}

fn check(project: &Project) -> Arc<Report> {
    let layout = layout(project);
    let mut analyst = Analyst::new();
    analyst.check_whole(project, layout)
}

fn outcome(report: &Report, index: usize) -> &MotionOutcome {
    report.motions[index].outcome.as_ref().expect("a figure")
}

fn limit(outcome: &MotionOutcome) -> f64 {
    match &outcome.slow.as_ref().expect("slow figures").limit {
        LimitFigure::Factor(value) => *value,
        other => panic!("no limit factor: {other:?}"),
    }
}

#[test]
fn a_turn_acceleration_gives_the_same_figures_in_either_sign() {
    let [one, other] = [1.0, -1.0].map(|sign| check(&off_centre(vec![turning(sign)])));
    let (one, other) = (outcome(&one, 0), outcome(&other, 0));
    assert!((one.factor - other.factor).abs() < 1e-9 * one.factor, "{} {}", one.factor, other.factor);
    assert!((limit(one) - limit(other)).abs() < 1e-5 * limit(one));
    // One of them is as stated, the other says that it is the stop.
    assert_eq!(one.member.turn_acceleration, -other.member.turn_acceleration);
    let says = [one, other].map(|of| of.governs.as_deref().unwrap_or_default());
    assert!(says.contains(&"with the turn acceleration reversed") && says.contains(&""), "{says:?}");
    let lost = [one, other].map(|of| {
        let lost = &of.slow.as_ref().expect("slow figures").lost;
        lost.iter().filter_map(|lost| lost.factor).collect::<Vec<f64>>()
    });
    for (a, b) in lost[0].iter().zip(&lost[1]) {
        assert!((a - b).abs() < 1e-9 * a.max(1.0), "{a} {b}");
    }
}

#[test]
fn kept_to_what_is_stated_a_motion_has_the_figure_of_that_alone() {
    let stated = |sign: f64| {
        let turn = Motion { start_stop: StartStop::AsStated, ..turning(sign) };
        outcome(&check(&off_centre(vec![turn])), 0).factor
    };
    let both = outcome(&check(&off_centre(vec![turning(1.0)])), 0).factor;
    assert!((stated(1.0) - stated(-1.0)).abs() > 0.01, "{} {}", stated(1.0), stated(-1.0));
    assert!((both - stated(1.0).min(stated(-1.0))).abs() < 1e-9);
    let report = check(&off_centre(vec![Motion { start_stop: StartStop::AsStated, ..turning(1.0) }]));
    assert_eq!(outcome(&report, 0).governs, None);
}

/// Statics: what starts downwards presses the part on, its stop pulls.
#[test]
fn a_descent_is_judged_as_it_stops() {
    let mut down = still(1, "Down", 2.0);
    down.acceleration = DVec3::new(0.0, 0.0, -4.0);
    let mut project = off_centre(vec![down]);
    edit_part(&mut project, |part| {
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(300.0, 200.0, 0.0)));
    });
    let report = check(&project);
    let held = 4.0 * holds(50.0, LEVEL) / (3.0 * (G + 4.0));
    assert!((outcome(&report, 0).factor - held).abs() < 1e-9 * held);
    assert_eq!(outcome(&report, 0).governs.as_deref(), Some("with the acceleration reversed"));
    let text = to_json("down.ron", &project, &[report]);
    assert!(text.contains(r#""governs":"with the acceleration reversed""#), "{text}");
    assert!(text.contains(r#""start_stop":"both""#), "{text}");
}

fn demos() -> Vec<(String, Project)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let files = std::fs::read_dir(folder).expect("the demos").flatten().map(|entry| entry.path());
    let mut found: Vec<(String, Project)> = files
        .filter(|path| path.extension().is_some_and(|extension| extension == "ron"))
        .map(|path| {
            let project = document::open(&path).expect("a project").0;
            (path.display().to_string(), project)
        })
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(found.len() >= 8, "{}", found.len());
    found
}

/// The figure after "it is" of "held still at 90.0° it is 3.23."
fn held_still(says: &str) -> Option<f64> {
    let (_, after) = says.split_once("held still ")?;
    let (_, figure) = after.split_once(" the factor is ")?;
    figure.trim_end_matches('.').parse().ok()
}

#[test]
fn no_finding_of_a_demo_names_a_lower_figure_at_rest_than_its_motion_has() {
    let mut seen = 0;
    for (file, mut project) in demos() {
        // Heavier, so that more motions fall short.
        for times in [1.0, 1.5] {
            for rule in project.motions.iter_mut() {
                Arc::make_mut(rule).required_factor *= times;
            }
            for layout in &project.layouts {
                let report = Analyst::new().check(&project, layout.id);
                for finding in &report.findings {
                    let Some(still) = held_still(&finding.says) else { continue };
                    seen += 1;
                    let motion = report.motions.iter().find(|m| Some(m.id) == finding.motion).expect("it");
                    let factor = motion.outcome.as_ref().expect("a figure").factor;
                    assert!(factor <= still + 0.005, "{file}: {factor} above {}", finding.says);
                }
            }
        }
    }
    assert!(seen > 0, "no demo has a part too heavy at rest");
}

/// What no engine has a part in: the factor at rest, at every degree of the tilt, each checked as a project of its own.
#[test]
fn a_turn_holds_no_more_than_the_part_at_rest_anywhere_along_it() {
    let mut over = still(1, "Over", 4.0);
    over.worst = Worst::TiltTo { deg: 120.0 };
    over.turn_rate_deg_s = DVec3::new(-90.0, 0.0, 0.0);
    over.turn_acceleration_deg_s2 = DVec3::new(-200.0, 0.0, 0.0);
    over.pivot_mm = DVec3::new(300.0, 200.0, 250.0);
    let whole = check(&off_centre(vec![over.clone()]));
    let factor = outcome(&whole, 0).factor;
    let mut least = f64::INFINITY;
    for deg in 0..=120 {
        let mut at = still(1, "At", 4.0);
        at.tilt_deg = f64::from(deg);
        at.lowest_deg = over.lowest_deg;
        for (rate, turn) in [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (1.0, -1.0), (0.0, 1.0), (0.0, -1.0)] {
            let state = Motion {
                turn_rate_deg_s: over.turn_rate_deg_s * rate,
                turn_acceleration_deg_s2: over.turn_acceleration_deg_s2 * turn,
                pivot_mm: over.pivot_mm,
                start_stop: StartStop::AsStated,
                ..at.clone()
            };
            let project = off_centre(vec![state]);
            let found = Analyst::new().check(&project, layout(&project));
            let found = outcome(&found, 0).factor;
            assert!(factor <= found * (1.0 + 1e-8), "{factor} {found} at {deg}, {rate} {turn}");
            least = least.min(found);
        }
    }
    // And no less than the least of them, but for what lies between two degrees.
    assert!(factor >= least * (1.0 - 1e-3), "{factor} {least}");
    let says = outcome(&whole, 0).governs.as_deref().expect("state and place");
    assert!(says.contains("turn") && says.contains(", at "), "{says}");
}
