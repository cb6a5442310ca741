//! What a circuit may have besides: several sources, filters at the cups, cells that close, dust.

use crate::circuit::{checked, circuit, whole, worst};
use crate::circuit_cells::gripper;
use crate::common::{circuits::*, layout};
use analysis::{Analyst, CircuitStatus, Report, Severity};

use document::{CellClosing, Dust, Project, Restriction, Sourced};
use std::sync::Arc;
use telling::to_json;

const FILTER: Restriction = Restriction { c_dm3_s_bar: 2.0, b: 0.4 };

fn with(mut project: Project, edit: impl FnOnce(&mut document::Supply)) -> Project {
    edit_supply(&mut project, edit);
    project
}

fn ejected() -> Project {
    let mut project = leaking();
    feed(&mut project, ejector(), supply(&ejector()));
    project
}

/// Three side by side draw, use and cost what one of three times the size does.
#[test]
fn sources_side_by_side_are_one_of_their_sum() {
    let three = whole(&with(ejected(), |supply| supply.sources = 3));
    let mut large = ejected();
    edit_source(&mut large, |source| {
        source.curve.iter_mut().for_each(|point| point.flow_nl_min *= 3.0);
        source.feed.iter_mut().for_each(|point| point.air_nl_min *= 3.0);
        source.volume_ml *= 3.0;
    });
    let large = whole(&large);
    let (a, b) = (circuit(&three), circuit(&large));
    assert_eq!((a.status.clone(), a.air_nl_min), (CircuitStatus::Solved, Some(270.0)));
    assert_eq!(a.cups, b.cups);
    assert_eq!(
        (a.flow_nl_min, a.source_level_kpa, a.air_nl_min),
        (b.flow_nl_min, b.source_level_kpa, b.air_nl_min)
    );
    let slow = |report: &Report| circuit(report).slow.clone().expect("slow figures");
    assert_eq!(slow(&three).cost_per_year, slow(&large).cost_per_year);
    assert_eq!(slow(&three).evacuation, slow(&large).evacuation);
    assert_eq!(slow(&three).against.expect("both").central.sources, 3);
    assert_eq!(a.sources.len(), 1);
    assert_eq!(a.sources[0].name, "3 × Test ejector");
    assert!(worst(&with(ejected(), |supply| supply.sources = 3)) > worst(&ejected()));
    let none = checked(&with(ejected(), |supply| supply.sources = 0));
    assert!(matches!(&circuit(&none).status, CircuitStatus::Invalid(says) if says[0].contains("0 sources")));
}

#[test]
fn a_filter_at_every_cup_loses_by_its_own_flow() {
    let project = with(leaking(), |supply| supply.filter_at_cup = Some(FILTER));
    let report = checked(&project);
    let filters: Vec<_> =
        circuit(&report).elements.iter().filter(|e| e.name.starts_with("cup filter")).collect();
    assert_eq!(filters.len(), 6);
    let warm = 293.15 / (273.15 + project.site.temperature_c);
    for (filter, cup) in filters.iter().zip(&circuit(&report).cups) {
        let before = circuit(&report)
            .elements
            .iter()
            .filter(|e| e.cup == Some(cup.id) && e.name.starts_with("cup bore"));
        let front = 101.325 - cup.level_kpa - before.map(|e| e.loss_kpa).sum::<f64>();
        let share = (((front - filter.loss_kpa) / front - 0.4) / 0.6_f64).max(0.0);
        // ISO 6358, formula from memory.
        let passes = 60.0 * 2.0 * front * 1e-2 * warm.sqrt() * (1.0 - share * share).sqrt();
        assert!((passes / filter.flow_nl_min - 1.0).abs() < 1e-4, "{passes} {}", filter.flow_nl_min);
    }
    assert!(worst(&project) < worst(&leaking()));
}

/// Twelve of 24 cells hang over the edge. What closes is decided by the flow of one open cell at the steady level.
#[test]
fn cells_over_the_edge_close_when_they_draw_more_than_stated() {
    let open = checked(&gripper(600.0));
    let each = circuit(&open).cups[0].leak_nl_min / 12.0;
    let closing = |share: f64, leak: f64| {
        with(gripper(600.0), |supply| {
            supply.cell_closing = Some(CellClosing {
                at_nl_min: Sourced::stated(share * each),
                leak_nl_min: Sourced::stated(leak),
            });
        })
    };
    let above = checked(&closing(1.01, 0.01));
    assert_eq!(circuit(&above).cups, circuit(&open).cups);
    let below = checked(&closing(0.99, 0.05));
    let cup = circuit(&below).cups[0];
    assert_eq!(cup.cells.map(|cells| (cells.open, cells.closed, cells.all)), Some((12, 12, 24)));
    // Twelve choked leaks, and a pump with a straight curve.
    let warm = (293.15 / (273.15 + gripper(600.0).site.temperature_c)).sqrt();
    let leak = 12.0 * 0.05 * warm;
    assert!((cup.leak_nl_min / leak - 1.0).abs() < 1e-3, "{} {leak}", cup.leak_nl_min);
    let level = DEEPEST * (1.0 - leak / FREE_FLOW);
    assert!((cup.level_kpa - level).abs() < 0.05, "{} {level}", cup.level_kpa);
    assert!(below.findings.iter().any(|finding| finding.says.contains("have closed")));
    // Covered cells hold what they cover, open or closed.
    let tight = checked(&closing(0.99, 0.0));
    assert!((circuit(&tight).cups[0].level_kpa - DEEPEST).abs() < 1e-3);
    let text = to_json("a.ron", &closing(0.99, 0.05), &[below]);
    assert!(text.contains("\"cells_closed\": 12") || text.contains("\"cells_closed\":12"));
}

fn dusty(cleaned_h: f64) -> Project {
    let mut project = with(leaking(), |supply| {
        supply.filter = Some(FILTER);
        supply.dust = Some(Dust {
            load_g_m3: Sourced::stated(0.05),
            capacity_g: Sourced::stated(20.0),
            cleaned_h: Sourced::stated(cleaned_h),
        });
    });
    // Held without a break, so that what is drawn from hoses at each pick counts for little.
    project.cycle.picks_per_hour = Sourced::stated(6.0);
    project.cycle.hold_s = Sourced::stated(600.0);
    project
}

/// Dust caught is load times the air that passed; a filter with as much conductance left as that leaves has the same level.
#[test]
fn dust_takes_the_level_as_the_air_that_passed_says() {
    let project = dusty(400.0);
    let report = whole(&project);
    let dust = circuit(&report).slow.as_ref().and_then(|slow| slow.dust.clone()).expect("a curve");
    assert!(
        dust.points.len() > 5
            && dust.points.windows(2).all(|pair| pair[1].1 < pair[0].1 && pair[1].0 > pair[0].0)
    );
    assert!((dust.points[0].1 - worst(&project)).abs() < 1e-6);
    let keeps = dust.keeps_h.expect("it falls below the design level");
    let clogged = |filled: f64| {
        with(project.clone(), |supply| {
            supply.filter = Some(Restriction { c_dm3_s_bar: 2.0 / (1.0 + filled), ..FILTER });
        })
    };
    let (mut low, mut high) = (0.0, 8.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if worst(&clogged(middle)) > dust.needed_kpa { low = middle } else { high = middle }
    }
    let flow = |project: &Project| circuit(&checked(project)).flow_nl_min.expect("a flow");
    let mean = 0.5 * (flow(&project) + flow(&clogged(low)));
    // m³ around the tool in an ANR litre: 1.185 kg/m³ against the air there.
    let t = 273.15 + project.site.temperature_c;
    let m3 = 1.185 * 287.052_87 * t / 101_325.0 * 1e-3;
    let expected = low * 20.0 / (0.05 * m3 * mean * 60.0);
    assert!((keeps / expected - 1.0).abs() < 0.03, "{keeps} {expected}");
    let seldom = whole(&dusty(2.0 * keeps));
    let found = seldom.findings.iter().find(|finding| finding.rule == "circuit.dust").expect("a finding");
    assert!(found.severity == Severity::Watch && found.remedy.contains("at least every"), "{}", found.remedy);
    let often = whole(&dusty(0.5 * keeps));
    assert!(often.findings.iter().all(|finding| finding.rule != "circuit.dust"));
    let level =
        circuit(&often).slow.as_ref().and_then(|d| d.dust.clone()).and_then(|d| d.level_at_cleaning_kpa);
    assert!(level.is_some_and(|level| level > dust.needed_kpa));
}

#[test]
fn filters_at_the_cups_catch_the_dust_before_the_one_at_the_source() {
    let keeps = |project: &Project| {
        let report = whole(project);
        circuit(&report).slow.as_ref().and_then(|slow| slow.dust.clone()).and_then(|dust| dust.keeps_h)
    };
    let one = keeps(&dusty(1000.0)).expect("a time");
    // Six of the same capacity, each with a sixth of the air.
    let six = keeps(&with(dusty(1000.0), |supply| supply.filter_at_cup = supply.filter.take()));
    assert!(six.is_none_or(|six| six > 4.0 * one), "{six:?} {one}");
    let bare = whole(&with(dusty(10.0), |supply| supply.filter = None));
    let found = bare.findings.iter().find(|finding| finding.rule == "circuit.dust").expect("advice");
    assert_eq!(found.severity, Severity::Advice);
}

#[test]
fn what_is_assumed_is_listed_and_the_json_has_all_of_it() {
    let project = with(gripper(600.0), |supply| {
        supply.filter = Some(FILTER);
        supply.filter_at_cup = Some(FILTER);
        supply.dust = Some(Dust::preset());
        supply.cell_closing = Some(CellClosing::preset());
        supply.main.fittings = vec![document::FittingUse::new(document::FittingKind::WideBend, 1)];
    });
    let report: Arc<Report> = Analyst::new().check_whole(&project, layout(&project));
    let listed: Vec<&str> = report.assumptions.iter().map(|assumption| assumption.what.as_str()).collect();
    for what in [
        "dust in the air",
        "dust that halves",
        "between cleanings",
        "cell closing flow",
        "closed-cell leak",
        "bore of the fittings in the main hose",
    ] {
        assert!(listed.iter().any(|listed| listed.contains(what)), "{what}: {listed:?}");
    }
    let schema = serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("a JSON text");
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    let value: serde_json::Value =
        serde_json::from_str(&to_json("a.ron", &project, &[report])).expect("JSON");
    let problems: Vec<String> =
        validator.iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(problems.is_empty(), "{problems:#?}");
    let circuit = &value["layouts"][0]["vacuum"]["circuits"][0];
    assert!(circuit["dust"]["level_curve"].as_array().is_some_and(|curve| curve.len() > 1));
    assert_eq!(circuit["supply"]["cell_closing"]["at_nl_min"], 1.5);
}
