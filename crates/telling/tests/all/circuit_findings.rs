//! What is found in circuits, and what would explain a measurement.

use crate::common;

use analysis::{Analyst, CircuitReport, Report, Severity};
use common::{circuits::*, *};
use document::{LineLength, Project, Restriction, Sourced, Stage, TrialEntry, TrialKind};
use std::sync::Arc;

fn checked(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn circuit(report: &Report) -> &CircuitReport {
    report.circuits.first().expect("a circuit")
}

fn finding<'r>(report: &'r Report, rule: &str) -> Option<&'r analysis::Finding> {
    report.findings.iter().find(|finding| finding.rule == rule)
}

#[test]
fn a_porous_part_is_reckoned_airtight_only_where_somebody_says_so() {
    let mut project = fed();
    assert!(finding(&checked(&project), "circuit.porous").is_none());
    edit_part(&mut project, |part| part.surface.texture = document::Texture::Porous);
    let report = checked(&project);
    assert_eq!(finding(&report, "circuit.porous").expect("porous and airtight").severity, Severity::Fail);
    assert_eq!(report.verdict.severity, Severity::Fail);
    // A coat, said outright; or a figure, even an assumed one, which brings the level down.
    let airtight = circuit(&report).worst_cup().expect("cups").level_kpa;
    for (said, tight) in [
        (Sourced::stated(0.0), true),
        (Sourced::assumed(0.0), false),
        (Sourced::assumed(document::POROUS_UM_PA_S), true),
    ] {
        let leaks = said.value > 0.0;
        edit_part(&mut project, |part| part.permeance_um_pa_s = Some(said.clone()));
        let report = checked(&project);
        assert_eq!(finding(&report, "circuit.porous").is_none(), tight, "{said:?}");
        assert_eq!(
            circuit(&report).worst_cup().expect("cups").level_kpa < airtight - 10.0,
            leaks,
            "{said:?}"
        );
    }
    // Choosing a material brings its figure, assumed.
    for material in document::MATERIALS {
        let mut part = document::Part::clone(&project.parts[0]);
        material.apply_to(&mut part);
        assert_eq!(
            part.permeance_um_pa_s.is_some(),
            material.texture == document::Texture::Porous,
            "{}",
            material.name
        );
    }
}

#[test]
fn a_level_that_is_not_reached_fails_with_the_flow_it_needs() {
    let mut project = leaking();
    edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(6.0)));
    let report = checked(&project);
    let found = finding(&report, "circuit.level").expect("a finding");
    assert_eq!(found.severity, Severity::Fail);
    assert!(found.remedy.contains("must draw"), "{}", found.remedy);
    let source = finding(&report, "circuit.source").expect("a finding");
    assert!(source.says.contains("Air passes through Sheet"), "{}", source.says);
    assert!(finding(&checked(&fed()), "circuit.level").is_none());
    // A source that never gets so deep.
    let mut shallow = fed();
    edit_source(&mut shallow, |source| source.curve[1].level_kpa = 40.0);
    let report = checked(&shallow);
    let found = finding(&report, "circuit.level").expect("a finding");
    assert!(found.remedy.contains("reaches 40") || found.remedy.contains("at most"), "{}", found.remedy);
}

#[test]
fn hoses_necks_and_manifolds_are_found() {
    let mut project = leaking();
    edit_supply(&mut project, |supply| {
        supply.at.x = -400.0;
        supply.branch.bore_mm = 2.0;
        supply.main.bore_mm = 4.0;
    });
    let report = checked(&project);
    let neck = finding(&report, "circuit.loss").expect("a finding");
    assert!(neck.remedy.contains("bore"), "{}", neck.remedy);
    let mut uneven = leaking();
    edit_supply(&mut uneven, |supply| {
        let line = document::Line {
            length: LineLength::Typed { mm: 4000.0 },
            bore_mm: 3.0,
            ..supply.branch.clone()
        };
        supply.branches = vec![document::BranchLine { cup: document::CupId(101), line }];
    });
    let report = checked(&uneven);
    let hoses = finding(&report, "circuit.hoses").expect("a finding");
    assert!(hoses.says.contains("C1 only") && hoses.remedy.contains("C2 from"), "{hoses:?}");
    let mut long = leaking();
    edit_supply(&mut long, |supply| supply.manifold = Some(manifold(6, 3.0)));
    let report = whole(&long);
    let fed = finding(&report, "circuit.manifold").expect("a finding");
    assert!(fed.remedy.starts_with("Fed at both ends, the worst cup gets"), "{}", fed.remedy);
}

#[test]
fn one_open_cup_that_drops_the_part_names_restrictors() {
    let mut project = leaking();
    edit_supply(&mut project, |supply| {
        supply.branch.bore_mm = 8.0;
        supply.main.bore_mm = 12.0;
    });
    Arc::make_mut(&mut project.models[0]).bore_mm = 8.0;
    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(12.0) });
    let report = whole(&project);
    let open = finding(&report, "circuit.open").expect("a finding");
    assert_eq!(open.severity, Severity::Fail);
    assert!(open.remedy.contains("restrictor") && open.remedy.contains("one cup open"), "{}", open.remedy);
    let mut with = project.clone();
    edit_supply(&mut with, |supply| supply.restrictor = Some(Restriction { c_dm3_s_bar: 0.3, b: 0.5 }));
    let least = |report: &Report| {
        let slow = circuit(report).slow.as_ref().expect("slow figures");
        slow.open.iter().map(|open| open.least_level_kpa).fold(f64::INFINITY, f64::min)
    };
    assert!(least(&whole(&with)) > least(&report));
}

#[test]
fn a_hold_time_below_the_thresholds_fails() {
    let mut project = fed();
    edit_supply(&mut project, |supply| supply.lip_gap_um = Sourced::stated(5.0));
    let thresholds = document::Thresholds {
        held_kpa: 50.0,
        alarm_kpa: None,
        saving_off_kpa: 70.0,
        time_out_s: 2.0,
        hold_s: 500.0,
    };
    Arc::make_mut(&mut project.circuits[0]).thresholds = Some(thresholds);
    let report = whole(&project);
    let found = finding(&report, "circuit.hold").expect("a finding");
    assert_eq!(found.limit, Some(500.0));
    assert!(found.remedy.contains("check valve"), "{}", found.remedy);
}

/// A level measured at each cup of the project.
fn measure(project: &mut Project, levels: &[f64], stage: Stage) {
    let layout = project.layouts[0].clone();
    for (cup, value) in layout.cups.iter().zip(levels) {
        let what = TrialKind::Level { layout: layout.id, cup: cup.id };
        let entry = TrialEntry {
            what,
            value: *value,
            stage,
            on: "2026-05-04".to_owned(),
            by: "A. Tester".to_owned(),
        };
        Arc::make_mut(&mut project.trial).entries.push(entry);
    }
}

#[test]
fn a_measured_level_that_is_off_is_watched() {
    let mut project = leaking();
    edit_part(&mut project, |part| {
        part.permeance_um_pa_s.as_mut().expect("one").origin = document::Origin::Assumed
    });
    let levels: Vec<f64> = circuit(&checked(&project)).cups.iter().map(|cup| cup.level_kpa).collect();
    let mut as_worked_out = project.clone();
    measure(&mut as_worked_out, &levels, Stage::Baseline);
    assert!(finding(&checked(&as_worked_out), "trial.level").is_none());
    measure(&mut project, &[0.8 * levels[0]], Stage::Baseline);
    let report = checked(&project);
    let found = finding(&report, "trial.level").expect("a finding");
    assert!(found.says.contains("at C1 on 2026-05-04"), "{}", found.says);
    assert!(found.remedy.contains("the air permeability of the part"), "{}", found.remedy);
}

#[test]
fn the_cup_that_leaks_is_named_first() {
    let mut project = leaking();
    let id = project.circuits[0].id;
    let here = layout(&project);
    assert!(
        Analyst::new()
            .field_causes(&project, here, id)
            .expect_err("nothing measured")
            .contains("no field measurements")
    );
    // A leak at one cup lowers all levels, its own most.
    let before: Vec<f64> = circuit(&checked(&project)).cups.iter().map(|cup| cup.level_kpa).collect();
    let mut measured: Vec<f64> = before.iter().map(|level| level - 1.0).collect();
    measured[2] = before[2] - 2.5;
    measure(&mut project, &measured, Stage::Field);
    let causes = Analyst::new().field_causes(&project, here, id).expect("causes");
    assert_eq!(causes.measurements, 6);
    let first = &causes.causes[0];
    assert_eq!(first.cup, Some(project.layouts[0].cups[2].id), "{causes:?}");
    assert!(first.unexplained_kpa < causes.without_fault_kpa.expect("a figure"));
    assert!(causes.causes.windows(2).all(|pair| pair[0].unexplained_kpa <= pair[1].unexplained_kpa));
    Arc::make_mut(&mut project.circuits[0]).supply = None;
    assert!(Analyst::new().field_causes(&project, here, id).is_err());
}

#[test]
fn a_low_feed_is_advised_against() {
    let low = |kpa: f64| {
        let mut project = fed();
        feed(&mut project, ejector(), supply(&ejector()));
        edit_supply(&mut project, |supply| supply.feed_kpa = Sourced::stated(kpa));
        checked(&project)
    };
    let report = low(380.0);
    let found = finding(&report, "circuit.source").expect("a finding");
    assert_eq!(found.severity, Severity::Advice);
    assert!(found.says.contains("the feed pressure is low"), "{}", found.says);
    assert!(finding(&low(480.0), "circuit.source").is_none());
    // Less feed, less level.
    assert!(low(380.0).cups[0].level_kpa < low(480.0).cups[0].level_kpa);
}
