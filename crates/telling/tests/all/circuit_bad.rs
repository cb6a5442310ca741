//! Circuits that cannot be: each gets one clear statement, and no figure comes of it.

use crate::common;

use analysis::{Analyst, CircuitStatus, Report, Severity};

use common::{circuits::*, *};
use document::{CircuitId, CurvePoint, LineLength, Project, Sourced};
use std::sync::Arc;
use telling::to_json;

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

/// Fails that say what is wrong with the inputs.
fn statements(report: &Report) -> Vec<&str> {
    let fails = report.findings.iter().filter(|finding| finding.severity == Severity::Fail);
    fails.map(|finding| finding.says.as_str()).collect()
}

fn spoiled(spoil: impl FnOnce(&mut Project)) -> (Project, Arc<Report>) {
    let mut project = leaking();
    spoil(&mut project);
    let report = whole(&project);
    (project, report)
}

/// No motion has a factor, no circuit a level, and the JSON has neither.
fn has_no_figure(project: &Project, report: &Arc<Report>) {
    assert!(report.motions.iter().all(|motion| motion.outcome.is_err()));
    assert!(report.circuits.iter().all(|circuit| circuit.cups.is_empty() && circuit.slow.is_none()));
    let text = to_json("a.ron", project, &[Arc::clone(report)]);
    assert!(!text.contains("null") && !text.contains("NaN"));
    assert_eq!(report.verdict.severity, Severity::Fail);
}

/// A source that is taken out of the project leaves hoses, manifold and cups as a loop that nothing draws from.
#[test]
fn a_loop_without_a_source() {
    let (project, report) = spoiled(|p| {
        edit_supply(p, |supply| {
            let mut both = manifold(6, 10.0);
            both.fed = document::Fed::BothEnds;
            supply.manifold = Some(both);
        });
        p.sources.clear();
    });
    has_no_figure(&project, &report);
    let name = &project.circuits[0].name;
    let told = statements(&report);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].contains(name.as_str()) && told[0].contains("source pump, which is not in the project"),
        "{told:?}"
    );
}

#[test]
fn a_cup_on_no_circuit() {
    let (project, report) = spoiled(|p| edit_layout(p, |layout| layout.cups[2].circuit = CircuitId(77)));
    assert!(report.motions.iter().all(|motion| motion.outcome.is_err()));
    let told = statements(&report);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("C3") && told[0].contains("circuit"), "{told:?}");
    let text = to_json("a.ron", &project, &[report]);
    assert!(!text.contains("null") && !text.contains("NaN"));
}

#[test]
fn a_cup_without_a_port() {
    let (_, report) = spoiled(|p| edit_supply(p, |supply| supply.manifold = Some(manifold(4, 10.0))));
    let told: Vec<&str> = report
        .findings
        .iter()
        .map(|finding| finding.says.as_str())
        .filter(|says| says.contains("ports"))
        .collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("6 cups") && told[0].contains("4 ports"), "{told:?}");
}

#[test]
fn a_bore_of_nothing() {
    let (project, report) = spoiled(|p| edit_supply(p, |supply| supply.branch.bore_mm = 0.0));
    has_no_figure(&project, &report);
    let told = statements(&report);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("bore") && told[0].contains("branch"), "{told:?}");
}

#[test]
fn a_negative_length() {
    let (project, report) =
        spoiled(|p| edit_supply(p, |supply| supply.main.length = LineLength::Typed { mm: -5.0 }));
    has_no_figure(&project, &report);
    let told = statements(&report);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("length") && told[0].contains("main hose"), "{told:?}");
}

#[test]
fn a_curve_that_rises_with_the_level() {
    let (project, report) = spoiled(|p| {
        edit_source(p, |source| source.curve.insert(1, CurvePoint { level_kpa: 40.0, flow_nl_min: 95.0 }));
    });
    has_no_figure(&project, &report);
    let told = statements(&report);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("rises from 80 L/min ANR to 95 L/min ANR at 40 kPa"), "{told:?}");
}

/// A source that is not deep enough, and one that has not the flow: the levels are figures, and one finding says that what was
/// asked for is not reached.
#[test]
fn a_source_that_never_reaches_the_level() {
    let shallow = spoiled(|p| {
        edit_part(p, |part| part.permeance_um_pa_s = None);
        edit_source(p, |source| source.curve[1].level_kpa = 45.0);
    });
    let weak = spoiled(|p| edit_part(p, |part| part.permeance_um_pa_s = Some(Sourced::stated(40.0))));
    for (what, (project, report)) in [("deep", shallow), ("flow", weak)] {
        let circuit = &report.circuits[0];
        assert_eq!(circuit.status, CircuitStatus::Solved);
        assert!(circuit.cups.iter().all(|cup| cup.level_kpa < circuit.wanted_kpa), "{what}");
        let told: Vec<&analysis::Finding> =
            report.findings.iter().filter(|finding| finding.rule == "circuit.level").collect();
        assert_eq!(told.len(), 1, "{what}: {told:?}");
        assert_eq!(told[0].severity, Severity::Fail);
        assert!(told[0].says.contains("60") && !told[0].remedy.is_empty(), "{what}: {}", told[0].says);
        let text = to_json("a.ron", &project, &[report]);
        assert!(!text.contains("null") && !text.contains("NaN"));
    }
}
