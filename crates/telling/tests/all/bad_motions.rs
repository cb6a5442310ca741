//! Motions and tools that cannot be worked out, or that are extreme, end in clear statements: no hang, nothing lost.

use crate::common;

use analysis::{Ages, Analyst, Report, Severity};

use common::*;
use document::{Motion, MotionId, MotionKind, MoveProfile, Project, Sourced, Stroke};
use glam::DVec3;
use std::sync::Arc;
use telling::{compare, to_json};

fn four(motions: Vec<Motion>) -> Project {
    project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

/// Checks it whole, compares it with itself, prints it.
fn whole(project: &Project) -> Arc<Report> {
    let mut analyst = Analyst::new();
    let report = analyst.check_whole(project, layout(project));
    let text = to_json("a.ron", project, std::slice::from_ref(&report));
    assert!(!text.contains("null") && !text.contains("NaN") && !text.contains("inf,"), "{text}");
    let comparison = compare(&mut analyst, project, &[layout(project), layout(project)]);
    assert!(!comparison.sentence().is_empty());
    report
}

#[test]
fn without_motions_there_is_nothing_to_judge() {
    let report = whole(&four(Vec::new()));
    assert_ne!(report.verdict.severity, Severity::Ok);
    assert_eq!(report.verdict.sentence, "No result yet: there is no motion, so no load to check");
    assert_eq!(report.ages, Ages::default());
    assert!(report.robot.is_some());
}

#[test]
fn a_motion_that_is_not_carried_at_rest_says_so() {
    let mut project = four(vec![Motion::preset(MotionId(1), MotionKind::EmergencyStop)]);
    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(400.0) });
    let report = whole(&project);
    assert!(report.ages.all_current());
    assert_eq!(report.verdict.severity, Severity::Fail);
    assert!(report.verdict.sentence.starts_with("Drops at emergency stop"), "{}", report.verdict.sentence);
    let finding = report.findings.iter().find(|f| f.rule == "factor.under_required").expect("a finding");
    assert!(finding.says.contains("Weight alone is too much"), "{}", finding.says);
    assert_eq!(report.envelope, None);
    let slow = report.motions[0].outcome.as_ref().expect("figures").slow.as_ref().expect("slow figures");
    assert!(slow.lost.iter().all(|lost| !lost.holds));
}

#[test]
fn without_friction_there_is_no_figure_and_one_finding_says_why() {
    for friction in [0.0, -0.3, f64::NAN] {
        let mut project = four(vec![Motion::preset(MotionId(1), MotionKind::OnEdge)]);
        edit_part(&mut project, |part| part.friction = Sourced::stated(friction));
        let report = whole(&project);
        assert_eq!(report.verdict.severity, Severity::Fail);
        assert!(report.motions[0].outcome.is_err());
        assert!(report.findings.iter().any(|f| f.rule.starts_with("input.")), "{:?}", report.findings);
        assert_eq!(report.ages, Ages::default());
    }
}

#[test]
fn a_turn_about_the_centre_of_gravity_only_twists_and_tips() {
    let mut swing = Motion::preset(MotionId(1), MotionKind::Swing);
    swing.pivot_mm = DVec3::new(300.0, 200.0, 0.0);
    let report = whole(&four(vec![swing]));
    let outcome = report.motions[0].outcome.as_ref().expect("a figure");
    assert!((outcome.wrench.force - DVec3::new(0.0, 0.0, -4.0 * 9.80665)).length() < 1e-9);
    assert!(outcome.wrench.moment.z.abs() > 0.1);
    assert!(outcome.slow.is_some());
}

#[test]
fn strokes_that_are_none_have_no_figure() {
    for (mm, time_s, direction) in [
        (800.0, 0.0, DVec3::X),
        (800.0, -1.0, DVec3::X),
        (800.0, f64::NAN, DVec3::X),
        (f64::INFINITY, 1.0, DVec3::X),
        (800.0, 1e-200, DVec3::X),
        (800.0, 1.0, DVec3::ZERO),
    ] {
        let mut carry = Motion::preset(MotionId(1), MotionKind::StrokeAndTime);
        carry.acceleration = direction;
        carry.stroke = Some(Stroke { mm, time_s, profile: MoveProfile::Quintic, pause_s: 0.0 });
        let report = whole(&four(vec![carry, still(2, "Lift", 2.0)]));
        let reason = report.motions[0].outcome.as_ref().expect_err("no result");
        assert!(!reason.is_empty());
        assert!(report.motions[1].outcome.as_ref().expect("a figure").slow.is_some(), "the other one stands");
        assert_eq!(report.verdict.severity, Severity::Fail);
    }
}

#[test]
fn inertia_counted_less_than_once_or_not_at_all_has_no_figure() {
    for times in [f64::NAN, -1.0, f64::INFINITY] {
        let mut carry = Motion::preset(MotionId(1), MotionKind::LevelCarry);
        carry.inertia_times = times;
        let report = whole(&four(vec![carry]));
        assert!(report.motions[0].outcome.is_err(), "{times}");
    }
}

#[test]
fn part_and_lip_that_leak_without_end_are_told() {
    for (permeance, height) in [(f64::NAN, 2.0), (-1.0, 2.0), (1.0, 0.0), (1.0, f64::NAN), (1e30, 2.0)] {
        let mut project = four(vec![still(1, "Lift", 2.0)]);
        edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(permeance)));
        Arc::make_mut(&mut project.models[0]).channel_mm = Sourced::stated(height);
        let report = whole(&project);
        assert_eq!(report.verdict.severity, Severity::Fail, "{permeance} {height}");
    }
}
