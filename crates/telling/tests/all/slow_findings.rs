//! What the rules about lost cups, robot, leaking parts, frames and assumed inputs say, word for word.

use crate::common;

use analysis::{Analyst, Finding, Fix, Report, Severity};
use common::*;
use document::{
    Accepted, Attached, AttachedId, CupId, FrameId, FramePiece, MassBy, Motion, MotionId, Project, Sourced,
    Tool, Worst,
};
use geometry::LipShape;
use glam::{DVec2, DVec3};
use std::sync::Arc;

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn find<'r>(report: &'r Report, id: &str) -> Option<&'r Finding> {
    report.findings.iter().find(|finding| finding.rule == id)
}

fn said<'r>(report: &'r Report, id: &str) -> &'r Finding {
    find(report, id).unwrap_or_else(|| panic!("no {id} among {:#?}", report.findings))
}

fn four(kg: f64, motions: Vec<Motion>) -> Project {
    project(
        plate(600.0, 400.0, kg),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

#[test]
fn a_part_that_stays_with_any_cup_lost_is_not_told_of() {
    assert!(find(&whole(&four(4.0, vec![still(1, "Lift", 2.0)])), "lost.drops").is_none());
}

#[test]
fn a_part_that_drops_with_one_cup_lost_fails_and_says_what_would_keep_it() {
    let project = four(22.0, vec![still(1, "Lift", 1.0)]);
    let report = whole(&project);
    let finding = said(&report, "lost.drops");
    assert_eq!(finding.severity, Severity::Fail);
    assert!(finding.says.starts_with("If C1 fails at lift, the part drops: C"), "{}", finding.says);
    assert!(finding.says.ends_with("follow. The same goes for C2, C3 and C4."), "{}", finding.says);
    assert_eq!(finding.subject.len(), 4);
    assert_eq!(finding.motion, Some(MotionId(1)));
    assert!(
        report.verdict.sentence.starts_with("Holds with every cup, but if C1 fails at lift, the part drops")
    );
    // The level that the remedy names keeps the part, and a little less does not.
    let level = finding.remedy.strip_prefix("A vacuum level of ").expect("a level");
    let level: f64 = level.split(' ').next().and_then(|text| text.parse().ok()).expect("a figure");
    assert!(level > LEVEL && level < 91.2);
    let at = |kpa: f64| {
        let mut project = project.clone();
        Arc::make_mut(&mut project.circuits[0]).level_kpa = Sourced::stated(kpa);
        find(&whole(&project), "lost.drops").is_none_or(|finding| finding.severity != Severity::Fail)
    };
    assert!(at(level) && !at(level - 0.5), "{level}");
    // Accepted with a reason it no longer decides.
    let mut accepted = project.clone();
    accepted.accepted.push(Accepted {
        rule: "lost.drops".to_owned(),
        subject: finding.subject.clone(),
        motion: finding.motion,
        layout: layout(&project),
        reason: "Carried low over a tray".to_owned(),
        by: String::new(),
        on: String::new(),
        seat: None,
    });
    assert_ne!(whole(&accepted).verdict.severity, Severity::Fail);
}

#[test]
fn a_part_that_slides_off_when_one_is_lost_is_kept_by_a_slower_motion() {
    let mut carry = still(1, "Carry", 1.0);
    carry.acceleration = DVec3::new(8.0, 0.0, 0.0);
    let report = whole(&four(11.0, vec![carry]));
    let finding = said(&report, "lost.drops");
    assert!(finding.remedy.contains("t most "), "{}", finding.remedy);
    assert!(finding.remedy.contains("of acceleration holds it"), "{}", finding.remedy);
}

#[test]
fn what_drops_with_every_cup_is_told_by_its_factor_only() {
    let report = whole(&four(60.0, vec![still(1, "Lift", 1.0)]));
    assert!(find(&report, "lost.drops").is_none());
    assert_eq!(said(&report, "factor.under_required").severity, Severity::Fail);
}

#[test]
fn one_cup_alone_always_drops() {
    let project = project(
        plate(200.0, 100.0, 0.5),
        model("round-50", round(50.0), 1.0),
        &[(100.0, 50.0)],
        vec![still(1, "Lift", 2.0)],
    );
    let report = whole(&project);
    let finding = said(&report, "lost.drops");
    assert_eq!(finding.says, "If C1 fails at lift, the part drops: no other cup holds it.");
    assert!(finding.remedy.starts_with("Add cups"));
}

#[test]
fn figures_of_an_earlier_plan_are_told_as_such() {
    let mut project = four(30.0, vec![still(1, "Lift", 1.0)]);
    let mut analyst = Analyst::new();
    analyst.check_whole(&project, layout(&project));
    edit_layout(&mut project, |layout| layout.cups[0].at.x += 5.0);
    let report = analyst.check(&project, layout(&project));
    assert!(said(&report, "lost.drops").says.starts_with("Before the last change: if C1 fails at lift"));
}

#[test]
fn a_zone_whose_loss_drops_the_part_is_watched() {
    let mut project = four(4.0, vec![still(1, "Lift", 2.0)]);
    edit_layout(&mut project, |layout| {
        layout.cups[2].zone = "B".to_owned();
        layout.cups[3].zone = "B".to_owned();
    });
    edit_part(&mut project, |part| part.mass = MassBy::Stated { kg: Sourced::stated(8.0) });
    let report = whole(&project);
    let finding = said(&report, "lost.drops");
    assert_eq!(finding.severity, Severity::Watch);
    assert_eq!(finding.says, "If all cups of zone A fail at lift, the part drops.");
    assert_eq!(finding.subject, [CupId(101), CupId(102)]);
    assert!(finding.remedy.starts_with("Split zone A"));
}

#[test]
fn too_heavy_for_the_robot_fails_and_near_it_is_watched() {
    let mut project = four(4.0, vec![still(1, "Lift", 2.0)]);
    edit_layout(&mut project, |layout| {
        layout.tool = Arc::new(Tool {
            flange: DVec3::new(300.0, 200.0, 150.0),
            masses: vec![Attached::point(AttachedId(9), "Valves", 2.0, DVec3::new(300.0, 200.0, 100.0))],
            frame: Vec::new(),
        });
    });
    project.site.payload_kg = Some(5.0);
    let report = whole(&project);
    let finding = said(&report, "robot.payload");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(
        finding.says,
        "Tool and part weigh 6.040 kg, not counting frame, whose mass is not stated; the robot may carry \
        5.000 kg."
    );
    assert_eq!(finding.remedy, "Take 1.040 kg off the tool, or use a robot with a higher payload.");
    assert!(report.verdict.sentence.starts_with("Too heavy for the robot: tool and part weigh 6.040 kg"));
    project.site.payload_kg = Some(6.5);
    assert_eq!(said(&whole(&project), "robot.payload").severity, Severity::Watch);
    project.site.payload_kg = Some(20.0);
    assert!(find(&whole(&project), "robot.payload").is_none());
    project.site.payload_kg = None;
    assert!(find(&whole(&project), "robot.payload").is_none());
}

#[test]
fn a_level_that_falls_towards_the_ends_names_the_height_that_would_keep_it() {
    let mut project = project(
        plate(600.0, 400.0, 0.5),
        model("long", LipShape::Long { length: 150.0, width: 30.0 }, 1.0),
        &[(300.0, 200.0)],
        vec![still(1, "Lift", 2.0)],
    );
    edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(1.0)));
    Arc::make_mut(&mut project.models[0]).channel_mm = Sourced::stated(0.1);
    let report = whole(&project);
    let finding = said(&report, "long.channel");
    assert_eq!(finding.severity, Severity::Watch);
    assert!(
        finding.says.starts_with(
            "Air passes through Sheet: under C1 (long) the level falls from 60.0 kPa at the port to "
        ),
        "{}",
        finding.says
    );
    let height = finding.remedy.strip_prefix("Ribs or a model with an air gap of ").expect("a height");
    let height: f64 = height.split(' ').next().and_then(|text| text.parse().ok()).expect("a figure");
    Arc::make_mut(&mut project.models[0]).channel_mm = Sourced::stated(height);
    assert!(find(&whole(&project), "long.channel").is_none());
}

#[test]
fn a_cup_beside_the_places_of_the_frame_is_moved_onto_it() {
    let mut project = four(4.0, vec![still(1, "Lift", 2.0)]);
    edit_layout(&mut project, |layout| {
        let rails = [100.0, 300.0]
            .iter()
            .enumerate()
            .map(|(i, y)| {
                let name = format!("Rail {}", i + 1);
                FramePiece::rail(FrameId(40 + i as u32), &name, DVec2::new(50.0, *y), 500.0, 0.0)
            })
            .collect();
        layout.tool = Arc::new(Tool { frame: rails, ..Tool::default() });
    });
    assert!(find(&whole(&project), "frame.off_slot").is_none());
    edit_layout(&mut project, |layout| layout.cups[0].at.y = 103.2);
    let report = whole(&project);
    let finding = said(&report, "frame.off_slot");
    assert_eq!(finding.severity, Severity::Watch);
    assert_eq!(finding.says, "C1 is 3.2 mm off the nearest mounting position of Rail 1.");
    assert_eq!(finding.remedy, "Move C1 by (0.0, \u{2212}3.2) mm.");
    let Some(Fix::MoveCups(moves)) = &finding.fix else { panic!("no fix") };
    assert!((moves[0].1 - DVec2::new(100.0, 100.0)).length() < 1e-9);
    // Far from every piece it is advice; a locked one is not moved.
    edit_layout(&mut project, |layout| {
        layout.cups[0].at.y = 200.0;
        layout.cups[1].at.y = 110.0;
        layout.cups[1].locked = true;
    });
    let report = whole(&project);
    let of_rule: Vec<&Finding> = report.findings.iter().filter(|f| f.rule == "frame.off_slot").collect();
    assert_eq!(of_rule.len(), 2);
    assert_eq!(of_rule[0].remedy, "Unlock C2 and move onto the frame.");
    assert!(of_rule[0].fix.is_none());
    assert_eq!(of_rule[1].says, "No frame piece carries C1.");
    assert_eq!(of_rule[1].severity, Severity::Advice);
    edit_layout(&mut project, |layout| layout.tool = Arc::default());
    assert!(find(&whole(&project), "frame.off_slot").is_none());
}

#[test]
fn assumed_inputs_are_listed_with_the_range_they_make() {
    let mut project = four(4.0, vec![still(1, "Lift", 2.0)]);
    Arc::make_mut(&mut project.models[0]).sealing_share = Sourced::assumed(SHARE);
    project.rules.lip_spread = 0.05;
    let report = whole(&project);
    let finding = said(&report, "assumed.inputs");
    assert_eq!(finding.severity, Severity::Advice);
    // Force goes with the square of the sealing line: 9.73 x 0.95² and x 1.05².
    assert_eq!(
        finding.says,
        "At lift the factor is between 8.78 and 10.7, with 2.00 required, because of assumed inputs: sealing \
        line of round-50."
    );
}

#[test]
fn gravity_alone_too_much_is_said() {
    let mut edge = still(1, "On edge", 4.0);
    edge.tilt_deg = 90.0;
    edge.acceleration = DVec3::new(0.0, 1.0, 0.0);
    let report = whole(&four(6.0, vec![edge]));
    let finding = said(&report, "factor.under_required");
    assert!(
        finding.says.contains("Weight alone is too much: held still like this the factor is "),
        "{}",
        finding.says
    );
    assert!(!finding.remedy.contains("of acceleration"), "{}", finding.remedy);
}

#[test]
fn two_round_cups_are_not_offered_where_they_do_not_fit() {
    let mut across = still(1, "Across", 2.0);
    across.acceleration = DVec3::new(0.0, 40.0, 0.0);
    across.worst = Worst::AsStated;
    let long = |slow: f64| {
        let mut part = plate(200.0, slow, 1.0);
        part.friction = Sourced::stated(2.0);
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(100.0, 0.5 * slow, -30.0)));
        project(
            part,
            model("long", LipShape::Long { length: 120.0, width: 30.0 }, 1.0),
            &[(100.0, 0.5 * slow)],
            vec![across.clone()],
        )
    };
    let roomy = whole(&long(100.0));
    assert!(said(&roomy, "long.alone").remedy.starts_with("Two round cups of "), "{:?}", roomy.findings);
    let narrow = whole(&long(34.0));
    assert!(said(&narrow, "long.alone").remedy.contains("do not fit here"), "{:?}", narrow.findings);
}
