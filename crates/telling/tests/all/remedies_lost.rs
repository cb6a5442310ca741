//! What is offered where the loss of one cup drops the part is enough: taken exactly as it is printed, the part stays in
//! that loss, on a first layout and on a later one.

use crate::common;

use analysis::{Analyst, Finding, Lost, Report, Severity};
use common::*;
use document::{CupId, Layout, LayoutId, Motion, Project, Sourced, Worst};
use glam::DVec3;
use std::sync::Arc;
use units::{AccelerationUnit, UnitChoice};

fn figure(says: &str, before: &str, after: &str) -> Option<f64> {
    let start = says.find(before)? + before.len();
    let rest = &says[start..];
    rest[..rest.find(after)?].replace(',', ".").parse().ok()
}

fn drops(report: &Report) -> Option<&Finding> {
    report.findings.iter().find(|f| f.rule == "lost.drops" && f.severity == Severity::Fail)
}

/// Whether the part stays in every motion when this cup lets go, but for motions that it does not hold with every cup.
fn stays(report: &Report, motion: document::MotionId, cup: CupId) -> bool {
    let motion = report.motions.iter().find(|held| held.id == motion).expect("the motion");
    let slow = motion.outcome.as_ref().expect("a figure").slow.as_ref().expect("slow figures");
    slow.lost.iter().find(|lost| lost.lost == Lost::Cup(cup)).expect("the loss").holds
}

/// Takes what the finding offers, each for itself; which were taken.
fn taken(project: &Project, id: LayoutId, units: &UnitChoice) -> Vec<&'static str> {
    let report = Analyst::with_units(*units).check_whole(project, id);
    let Some(finding) = drops(&report) else { return Vec::new() };
    let motion = finding.motion.expect("a motion");
    // "If C3 fails at ...": the loss that leaves least.
    let tag = finding.says.strip_prefix("If ").and_then(|says| says.split(' ').next()).expect("a cup");
    let cup = report.cups.iter().find(|cup| cup.tag == tag).expect("the cup").id;
    assert!(!stays(&report, motion, cup));
    let remedy = finding.remedy.to_lowercase();
    let mut out = Vec::new();
    let mut keeps = |what: &'static str, changed: &Project| {
        let after = Analyst::new().check_whole(changed, id);
        assert!(stays(&after, motion, cup), "{what}: {}", finding.remedy);
        out.push(what);
    };
    let stated = report.circuits.iter().all(|circuit| circuit.source_level_kpa.is_none());
    let level =
        figure(&remedy, " here (", " kpa stated").or_else(|| figure(&remedy, "a vacuum level of ", " kpa"));
    if let Some(level) = level.filter(|_| stated) {
        let mut changed = project.clone();
        changed.circuits.iter_mut().for_each(|c| Arc::make_mut(c).level_kpa = Sourced::stated(level));
        keeps("level", &changed);
    }
    let (unit, scale) = match units.acceleration {
        AccelerationUnit::Gravity => (" g of acceleration", 9.80665),
        _ => (" m/s² of acceleration", 1.0),
    };
    if let Some(most) = figure(&remedy, "at most ", unit) {
        let mut changed = project.clone();
        let index = changed.motions.iter().position(|m| m.id == motion).expect("the motion");
        let stated = &mut Arc::make_mut(&mut changed.motions[index]).acceleration;
        *stated = stated.normalize() * most * scale;
        keeps("acceleration", &changed);
    }
    out
}

fn made(kg: f64, motions: Vec<Motion>) -> Project {
    project(
        plate(600.0, 400.0, kg),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

#[test]
fn what_keeps_the_part_in_a_loss_does_as_printed() {
    let mut all = Vec::new();
    for (round, kg) in [13.0, 17.3, 21.7].into_iter().enumerate() {
        for size in [0.0, 1.7, 3.1] {
            let mut lift = still(1, "Lift", 1.0);
            lift.acceleration = DVec3::new(0.0, 0.0, size);
            let mut carry = still(2, "Carry", 1.0);
            carry.acceleration = DVec3::new(size, 0.0, 0.0);
            carry.worst = Worst::Direction;
            carry.inertia_times = if round == 1 { 1.5 } else { 1.0 };
            let units = match round {
                1 => UnitChoice {
                    acceleration: AccelerationUnit::Gravity,
                    decimal_comma: true,
                    ..UnitChoice::default()
                },
                _ => UnitChoice::default(),
            };
            let mut project = made(kg, vec![lift, carry]);
            if round == 2 {
                project.site.altitude_m = 900.0;
            }
            let first = layout(&project);
            all.extend(taken(&project, first, &units));
        }
    }
    for what in ["level", "acceleration"] {
        assert!(all.contains(&what), "{what} is never offered: {all:?}");
    }
}

/// A first layout of two cups in the middle says nothing of the later one that is asked about.
#[test]
fn what_keeps_the_part_in_a_loss_does_on_a_later_layout() {
    let mut lift = still(1, "Lift", 1.0);
    lift.acceleration = DVec3::new(0.0, 0.0, 1.7);
    let mut project = made(17.3, vec![lift]);
    let mut later = Layout::clone(&project.layouts[0]);
    later.id = LayoutId(77);
    for cup in &mut later.cups {
        cup.id = CupId(cup.id.0 + 500);
    }
    project.layouts.push(Arc::new(later));
    edit_layout(&mut project, |first| {
        first.cups.truncate(2);
        first.cups[0].at = glam::DVec2::new(270.0, 200.0);
        first.cups[1].at = glam::DVec2::new(330.0, 200.0);
    });
    assert!(taken(&project, LayoutId(77), &UnitChoice::default()).contains(&"level"));
}
