//! Measurements of a circuit: those of the trial replace what was assumed, those of the field are explained.

use crate::common;

use analysis::{Analyst, CircuitReport, Report, Severity};
use common::{circuits::*, *};
use document::{
    BaselineCurve, CupId, CurveKind, Origin, Project, Restriction, Sourced, Stage, Trial, TrialEntry,
    TrialKind,
};
use std::sync::Arc;

fn checked(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

fn circuit(report: &Report) -> &CircuitReport {
    report.circuits.first().expect("a circuit")
}

fn level_at(project: &Project, cup: CupId) -> f64 {
    let report = checked(project);
    circuit(&report).cups.iter().find(|held| held.id == cup).expect("the cup").level_kpa
}

fn last_cup(project: &Project) -> CupId {
    project.layouts[0].cups.last().expect("a cup").id
}

fn level_entry(project: &Project, cup: CupId, value: f64) -> TrialEntry {
    let what = TrialKind::Level { layout: layout(project), cup };
    TrialEntry { what, value, stage: Stage::Baseline, on: "2026-03-12".to_owned(), by: "M. Huber".to_owned() }
}

fn with_gap(um: Sourced<f64>) -> Project {
    let mut project = fed();
    edit_supply(&mut project, |supply| supply.lip_gap_um = um);
    project
}

fn entered(project: &Project, entry: TrialEntry) -> (Project, Option<String>) {
    let entered = Analyst::new().enter_trial(project, entry).expect("a change");
    (entered.edit.apply(project).expect("a project"), entered.says)
}

fn gap(project: &Project) -> Sourced<f64> {
    project.circuits[0].supply.as_ref().expect("a supply").lip_gap_um.clone()
}

#[test]
fn a_measured_level_refits_the_gap_under_the_lips_and_the_report_agrees() {
    let assumed = with_gap(Sourced::assumed(3.0));
    let cup = last_cup(&assumed);
    // What would be measured on lips that leave 34 µm.
    let real = level_at(&with_gap(Sourced::stated(34.0)), cup);
    assert!(level_at(&assumed, cup) > real + 5.0);
    let (project, says) = entered(&assumed, level_entry(&assumed, cup, real));
    let fitted = gap(&project);
    assert_eq!((fitted.origin, fitted.on.as_str()), (Origin::Measured, "2026-03-12"));
    assert!((fitted.value / 34.0 - 1.0).abs() < 1e-3, "{}", fitted.value);
    assert!((level_at(&project, cup) - real).abs() < 0.02);
    let says = says.expect("what changed");
    assert!(says.contains("changed from 3.0 µm to 34.0 µm"), "{says}");
    // The entry is kept, the report says what the figure rests on, and neither assumes the gap nor finds a difference.
    assert_eq!(project.trial.entries.len(), 1);
    let report = checked(&project);
    let told = report.findings.iter().find(|finding| finding.rule == "trial.refit").expect("a finding");
    assert_eq!(told.severity, Severity::Advice);
    assert!(
        told.says.contains("is 34.0 µm since the trial") && told.says.contains("on 2026-03-12"),
        "{}",
        told.says
    );
    assert!(report.findings.iter().all(|finding| finding.rule != "trial.level"));
    assert!(report.assumptions.iter().all(|assumption| !assumption.what.starts_with("gap")));
    // One step back undoes both.
    let edit = Analyst::new().enter_trial(&assumed, level_entry(&assumed, cup, real)).expect("a change").edit;
    assert_eq!(
        edit.name(&assumed),
        "Enter the level measured at a cup, C6".replace(
            "the level measured at a cup",
            TrialKind::Level { layout: layout(&assumed), cup }.label()
        )
    );
    // Measured again, the later one counts.
    let again = level_at(&with_gap(Sourced::stated(50.0)), cup);
    let (project, _) = entered(&project, level_entry(&project, cup, again));
    assert!((gap(&project).value / 50.0 - 1.0).abs() < 1e-3);
}

#[test]
fn levels_at_several_cups_are_met_in_the_mean() {
    let mut real = with_gap(Sourced::stated(30.0));
    edit_supply(&mut real, |supply| supply.branch.bore_mm = 3.0);
    let mut project = real.clone();
    edit_supply(&mut project, |supply| supply.lip_gap_um = Sourced::assumed(5.0));
    let cups: Vec<CupId> = project.layouts[0].cups.iter().map(|cup| cup.id).collect();
    let measured = [level_at(&real, cups[0]) + 0.6, level_at(&real, cups[4]) - 0.6];
    for (cup, kpa) in [cups[0], cups[4]].into_iter().zip(measured) {
        (project, _) = entered(&project, level_entry(&project, cup, kpa));
    }
    let mean = |values: [f64; 2]| 0.5 * (values[0] + values[1]);
    let found = [level_at(&project, cups[0]), level_at(&project, cups[4])];
    assert!((mean(found) - mean(measured)).abs() < 0.02, "{found:?} {measured:?}");
    assert!((gap(&project).value / 30.0 - 1.0).abs() < 0.01);
}

#[test]
fn what_no_gap_explains_replaces_nothing_and_says_so() {
    let assumed = with_gap(Sourced::assumed(3.0));
    let cup = last_cup(&assumed);
    let (project, says) = entered(&assumed, level_entry(&assumed, cup, DEEPEST + 3.0));
    assert_eq!(gap(&project), gap(&assumed));
    assert!(says.expect("why").contains("Even with perfect lips"));
    let (project, says) = entered(&assumed, level_entry(&assumed, cup, 0.01));
    assert_eq!(gap(&project), gap(&assumed));
    assert!(says.expect("why").contains("with any gap"));
    let stated = with_gap(Sourced::stated(3.0));
    let (project, says) = entered(&stated, level_entry(&stated, cup, 60.0));
    assert_eq!(gap(&project), gap(&stated));
    assert!(says.expect("why").contains("was entered and is kept"));
    // A level on a circuit of which only a level is stated replaces that, as before.
    let mut plain = fed();
    Arc::make_mut(&mut plain.circuits[0]).supply = None;
    let (project, says) = entered(&plain, level_entry(&plain, cup, 51.0));
    assert!((project.circuits[0].level_kpa.value - 51.0).abs() < 1e-9 && says.is_none());
}

/// A circuit with a filter, fed by an ejector, and a part that leaks.
fn filtered() -> Project {
    let mut project = leaking();
    feed(&mut project, ejector(), supply(&ejector()));
    edit_supply(&mut project, |supply| supply.filter = Some(Restriction { c_dm3_s_bar: 4.0, b: 0.4 }));
    edit_source(&mut project, |source| source.air_saving = true);
    project
}

fn clogged(project: &Project, share: f64) -> Project {
    let mut project = project.clone();
    edit_supply(&mut project, |supply| {
        supply.filter =
            supply.filter.map(|filter| Restriction { c_dm3_s_bar: share * filter.c_dm3_s_bar, ..filter });
    });
    project
}

/// The evacuation that a project's report draws for a cup, as if it had been recorded.
fn recorded(project: &Project, cup: CupId, stage: Stage) -> BaselineCurve {
    let report = Analyst::new().check_whole(project, layout(project));
    let slow = circuit(&report).slow.as_ref().expect("slow figures").clone();
    let curve = slow.evacuation.into_iter().find(|curve| curve.cup == cup).expect("the cup");
    BaselineCurve {
        circuit: project.circuits[0].id,
        cup: Some(cup),
        kind: CurveKind::Evacuation,
        stage,
        on: String::new(),
        points: curve.points,
    }
}

#[test]
fn a_recorded_curve_of_the_field_tells_a_clogged_filter() {
    let mut project = filtered();
    let cup = last_cup(&project);
    let field = recorded(&clogged(&project, 0.1), cup, Stage::Field);
    project.trial = Arc::new(Trial { curves: vec![field], ..Trial::default() });
    let id = project.circuits[0].id;
    let found = Analyst::new().field_causes(&project, layout(&project), id).expect("causes");
    assert_eq!((found.measurements, found.with_baseline), (1, 0));
    assert!(found.causes[0].what.starts_with("filter clogged to 1"), "{:?}", found.causes);
    assert!(found.causes[0].unexplained_kpa < 0.2 * found.without_fault_kpa.expect("a figure"));
}

/// The part leaks twice what the project says, on the day of the trial and in the field: only the change is explained.
#[test]
fn a_baseline_curve_takes_out_what_was_off_from_the_start() {
    let project = filtered();
    let cup = last_cup(&project);
    let mut real = project.clone();
    edit_part(&mut real, |part| part.permeance_um_pa_s = Some(Sourced::stated(1.6 * PERMEANCE)));
    let field = recorded(&clogged(&real, 0.1), cup, Stage::Field);
    let baseline = recorded(&real, cup, Stage::Baseline);
    let id = project.circuits[0].id;
    let ranked = |curves: Vec<BaselineCurve>| {
        let mut project = project.clone();
        project.trial = Arc::new(Trial { curves, ..Trial::default() });
        Analyst::new().field_causes(&project, layout(&project), id).expect("causes")
    };
    let alone = ranked(vec![field.clone()]);
    let against = ranked(vec![baseline, field]);
    assert_eq!((against.measurements, against.with_baseline), (1, 1));
    assert!(against.causes[0].what.starts_with("filter clogged to 10 %"), "{:?}", against.causes);
    assert!(
        against.causes[0].unexplained_kpa < 0.2 * alone.causes[0].unexplained_kpa,
        "{alone:?} {against:?}"
    );
}

#[test]
fn a_leak_down_of_the_field_tells_a_leak_and_no_feed() {
    let mut project = with_gap(Sourced::stated(4.0));
    let sources = ejector();
    feed(&mut project, sources.clone(), supply(&sources));
    edit_source(&mut project, |source| source.air_saving = true);
    let id = project.circuits[0].id;
    let entry = |stage: Stage, value: f64| TrialEntry {
        what: TrialKind::LeakDown { circuit: id, from_kpa: 60.0, over_s: 2.0 },
        value,
        stage,
        on: String::new(),
        by: String::new(),
    };
    project.trial = Arc::new(Trial {
        entries: vec![entry(Stage::Baseline, 0.4), entry(Stage::Field, 30.0)],
        ..Trial::default()
    });
    let found = Analyst::new().field_causes(&project, layout(&project), id).expect("causes");
    assert_eq!((found.measurements, found.with_baseline), (1, 1));
    // One gauge does not tell a hole from a part that lets air through; holes alike are one line.
    let leaks = |what: &str| what.starts_with("leak ") || what.starts_with("air passes through the part");
    assert!(found.causes[..2].iter().all(|cause| leaks(&cause.what)), "{:?}", found.causes);
    assert!(found.causes[0].unexplained_kpa < 0.5);
    let explains = |cause: &&analysis::FieldCause| cause.unexplained_kpa < 0.5;
    let holes = found.causes.iter().filter(explains).filter(|cause| cause.what.starts_with("leak ")).count();
    assert_eq!(holes, 1, "{:?}", found.causes);
    assert!(
        found.causes.iter().any(|cause| cause.what.contains("do not tell these apart")),
        "{:?}",
        found.causes
    );
    let feed = found.causes.iter().find(|cause| cause.what.contains("fed at"));
    assert!(feed.is_none_or(|feed| feed.unexplained_kpa > 10.0), "{:?}", found.causes);
}
