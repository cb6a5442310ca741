//! Factors are worked out at the level that the machine guarantees: what its switch waits for, not the best that the circuit
//! comes to.

use crate::common;

use analysis::{Analyst, CircuitReport, DesignFrom, Report, Severity};

use common::{circuits::*, *};
use document::{Project, Sourced, Thresholds};
use std::sync::Arc;
use telling::to_json;

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn circuit(report: &Report) -> &CircuitReport {
    report.circuits.first().expect("a circuit")
}

fn switched(held_kpa: f64, alarm_kpa: Option<f64>) -> Project {
    let mut project = fed();
    edit_supply(&mut project, |supply| supply.lip_gap_um = Sourced::stated(5.0));
    set(&mut project, held_kpa, alarm_kpa);
    project
}

fn set(project: &mut Project, held_kpa: f64, alarm_kpa: Option<f64>) {
    let thresholds = Thresholds { held_kpa, alarm_kpa, saving_off_kpa: 90.0, time_out_s: 2.0, hold_s: 0.0 };
    Arc::make_mut(&mut project.circuits[0]).thresholds = Some(thresholds);
}

fn factor(report: &Report) -> f64 {
    report.motions[0].outcome.as_ref().expect("a figure").factor
}

fn finding<'r>(report: &'r Report, rule: &str) -> Option<&'r analysis::Finding> {
    report.findings.iter().find(|finding| finding.rule == rule)
}

/// A level lift shared by all alike holds as many times as the level is deep: the factor goes with what the switch waits for.
#[test]
fn the_factor_goes_with_what_the_switch_waits_for() {
    let mut project = switched(60.0, None);
    let at_60 = whole(&project);
    set(&mut project, 30.0, None);
    let at_30 = whole(&project);
    for (report, held) in [(&at_60, 60.0), (&at_30, 30.0)] {
        let design = circuit(report).design.expect("levels");
        assert_eq!((design.design_kpa, design.alarm_kpa, design.from), (held, held, DesignFrom::Switch));
        assert!(design.steady_kpa > 60.0, "{design:?}");
        for (cup, on) in report.cups.iter().zip(&circuit(report).cups) {
            assert_eq!(cup.level_kpa, on.design_kpa);
            assert!((on.design_kpa - on.level_kpa * held / design.steady_kpa).abs() < 1e-9);
        }
        assert!(
            report
                .verdict
                .detail
                .contains(&format!("Factors are at {held:.1} kPa, from which the part counts as held."))
        );
    }
    assert!((factor(&at_60) / factor(&at_30) - 2.0).abs() < 1e-9);
}

#[test]
fn without_a_switch_level_a_share_of_the_steady_one_counts_and_is_listed_as_assumed() {
    let report = whole(&fed());
    let design = circuit(&report).design.expect("levels");
    assert_eq!(design.from, DesignFrom::Share);
    assert!((design.design_kpa - 0.85 * design.steady_kpa).abs() < 1e-9);
    assert!(
        report.verdict.detail.contains("85 % of the steady level, since no switch level is entered"),
        "{}",
        report.verdict.detail
    );
    let listed =
        |report: &Report| report.assumptions.iter().any(|one| one.what.starts_with("part-held level of"));
    assert!(listed(&report));
    assert!(!listed(&whole(&switched(50.0, None))));
}

/// A level that is stated in place of a source is what counts, unless the switch waits for less.
#[test]
fn a_stated_level_counts_as_stated() {
    let mut project = fed();
    Arc::make_mut(&mut project.circuits[0]).supply = None;
    let stated = whole(&project);
    let level = project.circuits[0].level_kpa.value;
    assert!(stated.cups.iter().all(|cup| (cup.level_kpa - level).abs() < 1e-9));
    set(&mut project, 0.5 * level, None);
    let less = whole(&project);
    assert!((factor(&less) / factor(&stated) - 0.5).abs() < 1e-9);
    set(&mut project, level + 10.0, None);
    let never = whole(&project);
    assert_eq!(factor(&never), factor(&stated));
    assert_eq!(finding(&never, "circuit.switch").map(|found| found.severity), Some(Severity::Fail));
}

#[test]
fn a_switch_that_waits_for_more_than_there_is_fails() {
    let report = whole(&switched(88.0, None));
    let design = circuit(&report).design.expect("levels");
    assert!(design.never_held() && design.design_kpa == design.steady_kpa, "{design:?}");
    let found = finding(&report, "circuit.switch").expect("a finding");
    assert_eq!((found.severity, found.limit), (Severity::Fail, Some(88.0)));
    assert!(found.says.contains("the machine never starts"), "{}", found.says);
}

/// What is offered as the alarm level keeps the required factor, and a little less does not.
#[test]
fn the_alarm_is_held_against_what_the_factors_need() {
    let mut project = switched(60.0, Some(1.0));
    Arc::make_mut(&mut project.motions[0]).required_factor = 6.0;
    let report = whole(&project);
    assert!(factor(&report) > 6.0, "{}", factor(&report));
    let found = finding(&report, "circuit.switch").expect("a finding");
    assert_eq!(found.severity, Severity::Watch);
    let needed = found.limit.expect("the level needed");
    let offered: f64 = found.remedy.split(' ').find_map(|word| word.parse().ok()).expect("a level");
    assert!(offered >= needed && offered < needed + 0.11, "{offered} {needed}");
    set(&mut project, offered, None);
    let taken = whole(&project);
    assert!(factor(&taken) >= 6.0 && finding(&taken, "circuit.switch").is_none(), "{}", factor(&taken));
    set(&mut project, needed - 0.1, None);
    assert!(factor(&whole(&project)) < 6.0);
    set(&mut project, 60.0, Some(offered));
    assert!(finding(&whole(&project), "circuit.switch").is_none());
}

/// Taking the levels that were worked out leaves what they were worked out for.
#[test]
fn suggested_levels_meet_the_required_factors() {
    for required in [2.0, 5.0, 9.0] {
        let mut project = fed();
        Arc::make_mut(&mut project.motions[0]).required_factor = required;
        let report = whole(&project);
        let controls = circuit(&report).slow.as_ref().and_then(|slow| slow.controls);
        let Some(controls) = controls else { continue };
        let stated = controls.thresholds();
        assert!(stated.alarm_kpa.is_some_and(|alarm| alarm <= stated.held_kpa), "{stated:?}");
        Arc::make_mut(&mut project.circuits[0]).thresholds = Some(stated);
        let taken = whole(&project);
        assert!(factor(&taken) >= required && finding(&taken, "circuit.switch").is_none(), "{stated:?}");
    }
}

#[test]
fn the_json_has_the_three_levels() {
    let project = switched(55.0, Some(50.0));
    let report = whole(&project);
    let json = to_json("a.ron", &project, &[report]);
    let text: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let circuits = &text["layouts"][0]["vacuum"]["circuits"][0];
    let levels = &circuits["levels"];
    assert_eq!((levels["design_kpa"].as_f64(), levels["alarm_kpa"].as_f64()), (Some(55.0), Some(50.0)));
    assert_eq!(levels["design_from"], "switch");
    assert!(levels["steady_kpa"].as_f64() == circuits["source_level_kpa"].as_f64());
    assert!(
        circuits["cups"][0]["design_level_kpa"].as_f64()
            == text["layouts"][0]["cups"][0]["level_kpa"].as_f64()
    );
}
