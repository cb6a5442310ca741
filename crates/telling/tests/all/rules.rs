//! Projects that one rule after another is tried on, and what it says of them.
#![allow(dead_code, reason = "each test uses some of these")]

use crate::common::*;
use analysis::{Analyst, Finding, Fix, Report};
use document::{Motion, Project, Worst};
use glam::DVec3;
use std::sync::Arc;

/// The quick report on the first layout.
pub fn check(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

/// The first finding of a rule.
pub fn find<'r>(report: &'r Report, id: &str) -> Option<&'r Finding> {
    report.findings.iter().find(|finding| finding.rule == id)
}

/// The first finding of a rule, which must be there.
pub fn said<'r>(report: &'r Report, id: &str) -> &'r Finding {
    find(report, id).unwrap_or_else(|| panic!("no {id} among {:#?}", report.findings))
}

/// Four round cups of 50 mm under 4 kg, level and still.
pub fn holding() -> Project {
    with_motions(vec![still(1, "Lift", 2.0)])
}

/// The same with these motions.
pub fn with_motions(motions: Vec<Motion>) -> Project {
    project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

/// Carries a fix out.
pub fn apply(project: &mut Project, fix: &Fix) {
    let Fix::MoveCups(moves) = fix else { panic!("{fix:?} moves no cup") };
    edit_layout(project, |layout| {
        for (id, at) in moves {
            for cup in layout.cups.iter_mut().filter(|cup| cup.id == *id) {
                cup.at = *at;
            }
        }
    });
}

/// Level, accelerated in every direction.
pub fn stop(id: u32, name: &str, required: f64, acceleration: f64) -> Motion {
    let mut stop = still(id, name, required);
    stop.acceleration = DVec3::new(acceleration, 0.0, 0.0);
    stop.worst = Worst::Direction;
    stop
}
