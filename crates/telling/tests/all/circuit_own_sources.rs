//! One source at every cup, on it or in its hose: levels, time, release, hold, cost, and what the zones' valves do there.

use crate::common;

use analysis::{Analyst, CircuitReport, CircuitSlow, Report, Severity};
use common::{circuits::*, *};
use document::{Arrangement, LineLength, Project, Restriction, Sourced, ZoneValve};
use std::sync::Arc;

const OWN: [Arrangement; 2] = [Arrangement::PerCup, Arrangement::InLine];

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn circuit(report: &Report) -> &CircuitReport {
    report.circuits.first().expect("a circuit")
}

fn slow(report: &Report) -> &CircuitSlow {
    circuit(report).slow.as_ref().expect("slow figures")
}

/// On a part that air comes through, fed by ejectors, two zones behind valves.
fn zoned(arrangement: Arrangement, check_valve: bool) -> Project {
    let mut project = leaking();
    feed(&mut project, ejector(), supply(&ejector()));
    edit_layout(&mut project, |layout| {
        for middle in [1, 4] {
            layout.cups[middle].zone = "B".to_owned();
        }
    });
    let valve = |zone: &str| ZoneValve {
        zone: zone.to_owned(),
        restriction: Restriction { c_dm3_s_bar: 3.0, b: 0.3 },
        check_valve,
        manifold: None,
    };
    edit_supply(&mut project, |supply| {
        supply.arrangement = arrangement;
        supply.valves = vec![valve("A"), valve("B")];
    });
    project
}

#[test]
fn every_slow_figure_is_there() {
    for arrangement in OWN {
        let report = whole(&zoned(arrangement, false));
        let found = circuit(&report);
        assert_eq!(found.sources.len(), 6);
        assert_eq!(found.hoses.len(), if arrangement == Arrangement::InLine { 6 } else { 0 });
        assert!(found.air_nl_min.is_some_and(|air| (air - 6.0 * 90.0).abs() < 1e-9));
        let slow = slow(&report);
        assert_eq!((slow.evacuation.len(), slow.open.len()), (6, 6));
        assert!(slow.evacuation.iter().all(|curve| curve.to_60_s < curve.to_90_s && curve.to_90_s.is_some()));
        // Blown in it goes sooner than back through the sources alone.
        let (release, blown) =
            (slow.release_s.expect("a release"), slow.release_blow_off_s.expect("a blow-off"));
        assert!(blown < release, "{blown} {release}");
        assert!(slow.hold_s.expect("a time") < slow.hold_with_check_s.expect("a time"));
        assert!(slow.air_nl_per_pick.expect("air") > 0.0 && slow.cost_per_year.expect("cost") > 0.0);
        let against = slow.against.as_ref().expect("both arrangements");
        assert_eq!((against.central.sources, against.per_cup.sources), (1, 6));
        assert!(slow.controls.is_some() && !slow.leak_down.is_empty());
        // A source at the cup evacuates faster than one for all (common practice, no source).
        let central = whole(&zoned(Arrangement::Central, false));
        let slowest =
            |slow: &CircuitSlow| slow.evacuation.iter().filter_map(|curve| curve.to_90_s).fold(0.0, f64::max);
        let shared = self::slow(&central);
        assert!(slowest(slow) < slowest(shared), "{arrangement:?}");
    }
}

/// A straight curve draws a constant volume flow S above its deepest level; see [`emptied_s`].
#[test]
fn a_cup_with_its_own_source_is_emptied_by_closed_form() {
    let mut project = fed();
    edit_supply(&mut project, |supply| supply.arrangement = Arrangement::PerCup);
    // So wide a bore does not hold the air back.
    Arc::make_mut(&mut project.models[0]).bore_mm = 16.0;
    let report = whole(&project);
    // Normal litres at 1.185 kg/m³ against R T at the site's temperature.
    let rt = 287.052_87 * (273.15 + project.site.temperature_c);
    let speed = FREE_FLOW / 6e4 * 1.185 * rt / (DEEPEST * 1e3);
    let expected = operation_s(&project) + emptied_s(&project, speed);
    for curve in &slow(&report).evacuation {
        let found = curve.to_90_s.expect("reached");
        assert!((found / expected - 1.0).abs() < 2e-3, "{found} {expected}");
    }
}

#[test]
fn a_zone_valve_switches_the_feed_of_its_sources_and_says_so() {
    for arrangement in OWN {
        let report = whole(&zoned(arrangement, false));
        let zones = &circuit(&report).zones;
        let names: Vec<Option<&str>> = zones.iter().map(|zone| zone.valve.as_deref()).collect();
        assert_eq!(names, [Some("feed valve zone A"), Some("feed valve zone B")]);
        let told =
            report.findings.iter().find(|finding| finding.rule == "circuit.valves").expect("a finding");
        assert_eq!(told.severity, Severity::Advice);
        assert!(
            told.says.contains("switch the feed of the sources at the cups of zones A and B"),
            "{}",
            told.says
        );
        // A zone shut off, and every cup of it off the part: the others keep their level, as they do when one opens.
        let outcome = report.motions[0].outcome.as_ref().expect("a figure");
        let lost = &outcome.slow.as_ref().expect("slow figures").lost;
        let zone =
            lost.iter().find(|lost| lost.lost == analysis::Lost::Zone("B".to_owned())).expect("the zone");
        assert!(zone.factor.is_some_and(|factor| factor > 0.0) && zone.then_lost.is_empty());
    }
    // On a central source the valve stands in the way, and nothing needs to be said.
    let report = whole(&zoned(Arrangement::Central, false));
    assert!(report.findings.iter().all(|finding| finding.rule != "circuit.valves"));
    let mut idle = zoned(Arrangement::Central, false);
    edit_supply(&mut idle, |supply| supply.valves[1].zone = "C".to_owned());
    let report = whole(&idle);
    let told = report.findings.iter().find(|finding| finding.rule == "circuit.valves").expect("a finding");
    assert!(told.says.contains("zone C, which has no cups"), "{}", told.says);
}

/// A check valve that a zone asks for sits at each of its sources: with the feed gone the level stays without one in the
/// source, and it still goes when air is blown in.
#[test]
fn a_zone_check_valve_sits_at_every_source_of_the_zone() {
    for arrangement in OWN {
        let without = whole(&zoned(arrangement, false));
        let with = whole(&zoned(arrangement, true));
        let names: Vec<&str> = circuit(&with).elements.iter().map(|element| element.name.as_str()).collect();
        assert!(
            names.contains(&"check valve zone B at C2") && names.contains(&"check valve zone A at C1"),
            "{names:?}"
        );
        let (with, without) = (slow(&with), slow(&without));
        assert!(with.hold_s.expect("a time") > 1.5 * without.hold_s.expect("a time"));
        assert!(with.release_blow_off_s.is_some_and(|time| time < 1.0), "{:?}", with.release_blow_off_s);
    }
}

#[test]
fn in_line_the_hose_of_each_cup_counts() {
    let level = |mm: f64, arrangement: Arrangement| {
        let mut project = zoned(arrangement, false);
        edit_supply(&mut project, |supply| supply.branch.length = LineLength::Typed { mm });
        edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(4.0 * PERMEANCE)));
        let report = Analyst::new().check(&project, layout(&project));
        circuit(&report).worst_cup().expect("a level").level_kpa
    };
    let on_cup = level(100.0, Arrangement::PerCup);
    assert!(level(100.0, Arrangement::InLine) < on_cup);
    assert!(level(2000.0, Arrangement::InLine) < level(100.0, Arrangement::InLine));
    assert!((level(2000.0, Arrangement::PerCup) - on_cup).abs() < 1e-9);
}
