//! A part that bends, beyond its pulls: ringing, lost cups, ranges, two stiffnesses, one more cup, and what is no sheet.

use crate::common;

use analysis::{Analyst, BentReserve, Fix, Report, RingReport, Rings, Severity};
use common::*;
use document::{
    Attached, AttachedId, MassBy, Motion, MotionId, MotionKind, MoveProfile, Project, Sourced, Stroke,
};
use geometry::{Loop, Outline};
use glam::{DVec2, DVec3};
use std::sync::Arc;

fn checked(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn ring(report: &Report) -> &RingReport {
    report.ringing.as_ref().expect("it rings").as_ref().expect("figures")
}

fn reserve(report: &Report) -> &BentReserve {
    report.bent_reserve.as_ref().expect("it bends").as_ref().expect("figures")
}

/// Steel, 1600 x 600 mm, 1 mm thick, on two rows of three cups.
fn sheet(motions: Vec<Motion>) -> Project {
    let mut part = plate(1600.0, 600.0, 1.0);
    part.centre_of_gravity = None;
    part.thickness_mm = 1.0;
    part.mass = MassBy::Density { kg_m3: Sourced::stated(7850.0) };
    part.modulus_n_mm2 = Some(Sourced::stated(210_000.0));
    part.poisson = Some(Sourced::stated(0.3));
    let six = [(100., 100.), (800., 100.), (1500., 100.), (100., 500.), (800., 500.), (1500., 500.)];
    project(part, model("round-60", round(60.0), 1.0), &six, motions)
}

fn stroke(id: u32, direction: DVec3, time_s: f64) -> Motion {
    let mut motion = Motion::preset(MotionId(id), MotionKind::StrokeAndTime);
    motion.required_factor = 0.1;
    motion.acceleration = direction;
    motion.stroke = Some(Stroke { mm: 500.0, time_s, profile: MoveProfile::Trapezoid, pause_s: 0.0 });
    motion
}

#[test]
fn a_stroke_up_rings_and_one_in_the_plane_does_not() {
    let report = checked(&sheet(vec![stroke(1, DVec3::Z, 0.8), stroke(2, DVec3::X, 0.8)]));
    let ring = ring(&report);
    assert_eq!(ring.damping, analysis::USUAL_DAMPING);
    assert!(ring.modes.windows(2).all(|pair| pair[0].hz <= pair[1].hz) && ring.modes[0].hz > 0.5);
    assert!(ring.modes.iter().all(|mode| mode.shape.iter().all(|w| w.abs() <= 1.0 + 1e-9)));
    assert_eq!(ring.motions[1].rings, Rings::InPlane);
    let Rings::Stroke(up) = &ring.motions[0].rings else { panic!("{:?}", ring.motions[0].rings) };
    assert!(up.stated.most_mm.abs() > 0.0 && up.stated.left_mm >= 0.0);
    // A damped ring comes to rest by its envelope: amplitude times exp(-decay t) is the limit or less.
    let wait = up.stated.wait_s.expect("damped");
    assert!((wait > 0.0) == (up.stated.left_mm > ring.limit_mm), "{up:?}");
    // Others are sorted by when the part is at rest.
    let rest: Vec<f64> = up.others.iter().filter_map(|other| other.at_rest_s()).collect();
    assert!(rest.windows(2).all(|pair| pair[0] <= pair[1]), "{rest:?}");
    let finding = report.findings.iter().find(|finding| finding.rule == "flex.ring");
    assert_eq!(finding.is_some(), wait > 0.005);
}

#[test]
fn a_pause_that_is_long_enough_is_no_finding() {
    let mut project = sheet(vec![stroke(1, DVec3::Z, 0.5)]);
    let wait = |report: &Report| match &ring(report).motions[0].rings {
        Rings::Stroke(up) => up.stated.wait_s.expect("damped"),
        other => panic!("{other:?}"),
    };
    let report = checked(&project);
    let needed = wait(&report);
    assert!(needed > 0.1, "{needed}");
    let finding = report.findings.iter().find(|finding| finding.rule == "flex.ring").expect("told");
    assert_eq!(finding.severity, Severity::Watch);
    assert!(finding.says.contains("there is no pause after it"), "{}", finding.says);
    assert!(finding.remedy.starts_with("Pause for "), "{}", finding.remedy);
    let motion = Arc::make_mut(&mut project.motions[0]);
    motion.stroke.as_mut().expect("a stroke").pause_s = needed + 0.01;
    let report = checked(&project);
    assert!(report.findings.iter().all(|finding| finding.rule != "flex.ring"));
    // More damping, less to wait for.
    edit_part(&mut project, |part| part.damping = Some(Sourced::stated(0.1)));
    assert!(wait(&checked(&project)) < needed);
}

#[test]
fn a_sudden_stop_pulls_up_to_twice_its_share() {
    let mut stop = still(1, "Stop", 0.1);
    stop.acceleration = DVec3::new(0.0, 0.0, 5.0);
    let report = checked(&sheet(vec![stop, still(2, "Lift", 0.1)]));
    let Rings::Sudden(sudden) = &ring(&report).motions[0].rings else {
        panic!("{:?}", ring(&report).motions)
    };
    assert!(sudden.times > 1.2 && sudden.times < 2.6, "{sudden:?}");
    assert!(sudden.pull_n > sudden.even_pull_n && sudden.sag_times > 1.2, "{sudden:?}");
    assert_eq!(ring(&report).motions[1].rings, Rings::InPlane);
}

#[test]
fn a_lost_cup_leaves_less_on_a_sheet_that_bends() {
    let project = sheet(vec![still(1, "Lift", 0.5)]);
    let report = checked(&project);
    let rigid = report.motions[0].outcome.as_ref().expect("a figure").slow.as_ref().expect("calculated");
    let bent = &reserve(&report).motions[0];
    assert_eq!(bent.lost.len(), 6);
    // The middle of a row: its neighbours are far, and the sheet hands its load to them and to the cup opposite.
    let middle = project.layouts[0].cups.iter().find(|cup| cup.tag == "C2").expect("C2").id;
    let lost = bent.lost.iter().find(|lost| lost.cup == middle).expect("C2");
    let held = rigid.lost.iter().find(|lost| lost.lost == analysis::Lost::Cup(middle)).expect("C2");
    assert!(lost.factor.expect("a factor") < 0.8 * held.factor.expect("a factor"), "{lost:?} {held:?}");
    // The same as a plan that never had it.
    let mut without = project.clone();
    edit_layout(&mut without, |layout| layout.cups.retain(|cup| cup.id != middle));
    let alone = checked(&without);
    let bending = alone.bending.as_ref().expect("it bends").as_ref().expect("figures");
    assert!((lost.factor.expect("a factor") / bending.motions[0].factor.value - 1.0).abs() < 1e-6);
}

#[test]
fn an_assumed_modulus_widens_the_range_and_a_stated_one_does_not() {
    let mut project = sheet(vec![still(1, "Lift", 0.5)]);
    let range = |project: &Project| reserve(&checked(project)).motions[0].range;
    let stated = range(&project);
    edit_part(&mut project, |part| part.modulus_n_mm2 = Some(Sourced::assumed(210_000.0)));
    let [least, most] = range(&project).expect("a range");
    let factor =
        checked(&project).bending.clone().expect("it bends").expect("figures").motions[0].factor.value;
    assert!(least < factor && factor < most, "{least} {factor} {most}");
    assert!(stated.is_none_or(|[low, high]| high - low < most - least), "{stated:?}");
    // A modulus tried as stiffer cups gives what the softer sheet itself gives.
    edit_part(&mut project, |part| part.modulus_n_mm2 = Some(Sourced::stated(210_000.0 * 0.85)));
    let softer =
        checked(&project).bending.clone().expect("it bends").expect("figures").motions[0].factor.value;
    assert!((softer - least).abs() < 1e-6 * least || softer > least, "{softer} {least}");
}

#[test]
fn two_equal_stiffnesses_are_one_and_a_turned_board_bends_the_other_way() {
    let mut project = sheet(vec![still(1, "Lift", 0.1)]);
    let sag = |project: &Project| {
        checked(project).bending.clone().expect("it bends").expect("figures").motions[0].sag_mm.abs()
    };
    let one = sag(&project);
    edit_part(&mut project, |part| part.modulus_across_n_mm2 = Some(Sourced::stated(210_000.0)));
    assert!((sag(&project) / one - 1.0).abs() < 1e-6);
    edit_part(&mut project, |part| {
        part.modulus_across_n_mm2 = Some(Sourced::stated(21_000.0));
        part.along_deg = 0.0;
    });
    let along = sag(&project);
    edit_part(&mut project, |part| part.along_deg = 90.0);
    // The long way needs the stiffness: across it the sheet sags more.
    assert!(sag(&project) > 1.5 * along && along > one, "{along} {one}");
}

#[test]
fn one_more_cup_gives_what_is_offered() {
    let mut project = sheet(vec![still(1, "Lift", 2.0)]);
    edit_layout(&mut project, |layout| layout.cups.retain(|cup| cup.tag != "C2"));
    project.rules.sag_watch_mm = 0.5;
    let report = checked(&project);
    let more = reserve(&report).one_more.expect("a cup helps");
    assert!(more.after_mm < 0.7 * more.before_mm);
    let finding = report.findings.iter().find(|finding| finding.rule == "flex.sag").expect("told");
    assert_eq!(finding.fix, Some(Fix::AddCup { like: more.like, at: more.at }));
    edit_layout(&mut project, |layout| {
        let like = layout.cups.iter().find(|cup| cup.id == more.like).expect("it is there").clone();
        layout.cups.push(document::Cup {
            id: document::CupId(9_000),
            tag: "C9".to_owned(),
            at: more.at,
            ..like
        });
    });
    let now = checked(&project).bending.clone().expect("it bends").expect("figures").motions[0].sag_mm.abs();
    assert!((now / more.after_mm - 1.0).abs() < 1e-6, "{now} {more:?}");
}

/// A cup that was tried for the sag is no fix of a factor or a stress that nobody worked out with it.
#[test]
fn what_was_tried_for_the_sag_is_offered_for_the_sag_alone() {
    let mut project = sheet(vec![still(1, "Lift", 500.0)]);
    edit_layout(&mut project, |layout| layout.cups.retain(|cup| cup.tag != "C2"));
    project.rules.sag_watch_mm = 0.5;
    edit_part(&mut project, |part| part.allowable_n_mm2 = Some(document::Sourced::stated(0.01)));
    let report = checked(&project);
    assert!(reserve(&report).one_more.is_some());
    for rule in ["flex.factor", "flex.stress"] {
        let finding = report.findings.iter().find(|finding| finding.rule == rule).expect(rule);
        assert_eq!(finding.fix, None, "{rule}");
        assert!(finding.remedy.ends_with("with it shows once it is placed."), "{}", finding.remedy);
    }
    assert!(report.findings.iter().any(|finding| finding.rule == "flex.sag" && finding.fix.is_some()));
}

#[test]
fn one_more_cup_stands_on_the_persons_grid() {
    let mut project = sheet(vec![still(1, "Lift", 2.0)]);
    edit_layout(&mut project, |layout| layout.cups.retain(|cup| cup.tag != "C2"));
    let mut analyst = Analyst::new();
    for step in [5.0, 6.35] {
        analyst.set_step(Some(step));
        let report = analyst.check_whole(&project, project.layouts[0].id);
        let more = reserve(&report).one_more.expect("a cup helps");
        let off = (more.at / step - (more.at / step).round()).abs().max_element();
        assert!(off < 1e-6 && more.after_mm < more.before_mm, "{step}: {more:?}");
    }
}

#[test]
fn stress_is_held_against_what_is_stated_only() {
    let mut project = sheet(vec![still(1, "Lift", 0.1)]);
    let told =
        |project: &Project| checked(project).findings.iter().any(|finding| finding.rule == "flex.stress");
    let stress = reserve(&checked(&project)).motions[0].stress_n_mm2;
    assert!(stress > 1.0 && !told(&project), "{stress}");
    edit_part(&mut project, |part| part.allowable_n_mm2 = Some(Sourced::stated(0.9 * stress)));
    assert!(told(&project));
    // Dishing is held against it too, and that is no more here than it closes.
    edit_part(&mut project, |part| part.allowable_n_mm2 = Some(Sourced::stated(1.1 * stress)));
    assert!(!told(&project));
}

/// What is no sheet has no figures but a reason that says what to do.
#[test]
fn what_is_no_sheet_says_why() {
    let reason = |project: &Project| match checked(project).bending.clone() {
        Some(Err(reason)) => reason,
        other => panic!("{:?}", other.map(|held| held.map(|bending| bending.motions.len()))),
    };
    let base = sheet(vec![still(1, "Lift", 0.1)]);
    let mut outside = base.clone();
    edit_part(&mut outside, |part| {
        part.attached.push(Attached {
            id: AttachedId(900),
            name: "Motor".to_owned(),
            mass_kg: 2.0,
            at: DVec3::new(-50.0, 300.0, -20.0),
            size: DVec3::ZERO,
            turn_deg: 0.0,
        });
    });
    let says = reason(&outside);
    assert!(
        says.contains("does not lie fully on the sheet's material") && says.contains("move it"),
        "{says}"
    );
    let mut sliver = base.clone();
    edit_part(&mut sliver, |part| {
        let thin = Loop::rectangle(DVec2::new(0.0, 100.0), DVec2::new(1600.0, 100.4));
        part.outline = Arc::new(Outline { outer: thin, holes: Vec::new() });
    });
    let report = checked(&sliver);
    assert!(!matches!(report.bending, Some(Ok(_))), "a sliver has no figures");
    for spoil in [
        (|part: &mut document::Part| part.thickness_mm = 0.0) as fn(&mut document::Part),
        |part| part.modulus_n_mm2 = Some(Sourced::stated(0.0)),
        |part| part.poisson = Some(Sourced::stated(0.7)),
    ] {
        let mut project = base.clone();
        edit_part(&mut project, spoil);
        let report = checked(&project);
        assert!(!matches!(report.bending, Some(Ok(_))));
        assert!(
            report.findings.iter().any(|finding| finding.rule.starts_with("input")),
            "{:?}",
            report.findings
        );
    }
}
