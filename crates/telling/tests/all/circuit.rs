//! Circuits: closed forms, what a change must and must not do, bad input, open cups, memory.

use crate::common;

use analysis::{Analyst, CircuitReport, CircuitStatus, Report, Severity};

use common::{circuits::*, *};
use document::{Arrangement, Coil, Fed, FittingKind, FittingUse, LineLength, Project, Restriction, Sourced};
use proptest::prelude::*;
use std::sync::Arc;
use telling::to_json;

pub(crate) fn checked(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

pub(crate) fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

pub(crate) fn circuit(report: &Report) -> &CircuitReport {
    report.circuits.first().expect("a circuit")
}

fn levels(project: &Project) -> Vec<f64> {
    let report = checked(project);
    assert_eq!(circuit(&report).status, CircuitStatus::Solved, "{:?}", circuit(&report).status);
    circuit(&report).cups.iter().map(|cup| cup.level_kpa).collect()
}

pub(crate) fn worst(project: &Project) -> f64 {
    levels(project).into_iter().fold(f64::INFINITY, f64::min)
}

fn per_cup(project: &mut Project) {
    edit_supply(project, |supply| supply.arrangement = Arrangement::PerCup);
}

#[test]
fn without_a_supply_the_stated_level_counts() {
    let mut project = fed();
    Arc::make_mut(&mut project.circuits[0]).supply = None;
    let report = checked(&project);
    assert_eq!(circuit(&report).status, CircuitStatus::Stated);
    assert!(report.cups.iter().all(|cup| cup.level_kpa == LEVEL));
    assert!(report.not_checked.iter().any(|(what, _)| what == "vacuum circuit"));
    let report = checked(&fed());
    assert!(report.not_checked.iter().all(|(what, _)| what != "vacuum circuit"));
}

#[test]
fn on_a_tight_part_every_cup_has_the_deepest_level() {
    let report = checked(&fed());
    for cup in &circuit(&report).cups {
        assert!((cup.level_kpa - DEEPEST).abs() < 1e-6, "{}", cup.level_kpa);
        assert_eq!(cup.leak_nl_min, 0.0);
    }
    // The level that counts as held, where nobody stated one, times the area inside the sealing line.
    for cup in &report.cups {
        assert!((cup.vacuum_force_n - holds(50.0, 0.85 * DEEPEST)).abs() < 1e-4);
    }
}

#[test]
fn check_valves_on_a_tight_part_leave_the_deepest_level() {
    let mut project = fed();
    edit_supply(&mut project, |supply| {
        supply.check_valve_at_cup = true;
        supply.valves = vec![document::ZoneValve {
            zone: "A".to_owned(),
            restriction: Restriction { c_dm3_s_bar: 3.0, b: 0.3 },
            check_valve: true,
            manifold: None,
        }];
    });
    assert!(levels(&project).iter().all(|level| (level - DEEPEST).abs() < 1e-6));
    // Behind its check valve a tight cup keeps what it has when another opens, and when the feed fails.
    let report = Analyst::new().check_whole(&project, layout(&project));
    let slow = circuit(&report).slow.as_ref().expect("slow figures");
    assert!(slow.open.iter().all(|open| (open.least_level_kpa - DEEPEST).abs() < 1e-3), "{:?}", slow.open);
    assert_eq!(slow.hold_s, Some(f64::INFINITY));
    assert_eq!(slow.open_until[2].at, analysis::OpenAt::Never);
}

/// Source and leak balance where both curves cross: P A (pa² - p²) / (2 R T) of Darcy's law for an ideal gas, against a
/// straight curve; both worked out here, by halving.
#[test]
fn a_source_on_the_cup_balances_the_leak_by_closed_form() {
    let mut project = leaking();
    per_cup(&mut project);
    let found = checked(&project);
    let (pa, r, t, normal) = (101_325.0, 287.052_87, 293.15, 1.185);
    let t = t + project.site.temperature_c - 20.0;
    let cup = &found.cups[0];
    let area = std::f64::consts::PI / 4.0
        * (0.045_f64).powi(2)
        * cup.channel.map_or(1.0, |channel| channel.mean_share);
    let leak = |level: f64| {
        let p = pa - level * 1e3;
        PERMEANCE * 1e-6 * area * (pa * pa - p * p) / (2.0 * r * t) / normal * 6e4
    };
    let draws = |level: f64| FREE_FLOW * (1.0 - level / DEEPEST);
    // The cup's own bore lies between: C = 0.75 A 0.68473/(rho sqrt(R T0)), b = 0.5, ISO 6358 (formula from memory).
    let bore = std::f64::consts::FRAC_PI_4 * (project.models[0].bore_mm * 1e-3).powi(2);
    let c = 0.75 * bore * 0.684_731 / (normal * (r * 293.15_f64).sqrt());
    let passes = |level: f64, behind: f64| {
        let (p, q) = (pa - level * 1e3, pa - behind * 1e3);
        let share = ((q / p - 0.5) / 0.5).max(0.0);
        c * p * (293.15 / t).sqrt() * (1.0 - share * share).max(0.0).sqrt() * 6e4
    };
    // Level at the source that draws what leaks in, by halving.
    let (mut low, mut high) = (0.0, DEEPEST);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let behind = DEEPEST * (1.0 - leak(middle) / FREE_FLOW);
        if behind > middle && passes(middle, behind) > leak(middle) { low = middle } else { high = middle }
    }
    let behind = DEEPEST * (1.0 - leak(low) / FREE_FLOW);
    assert!((draws(behind) - leak(low)).abs() < 1e-9 && behind > low);
    let steady = circuit(&found).cups[0].level_kpa;
    assert!((steady - low).abs() < 1e-3, "{steady} {low}");
    assert!((circuit(&found).cups[0].leak_nl_min - leak(low)).abs() < 1e-3);
    assert_eq!(circuit(&found).sources.len(), 6);
    // The two curves that the report draws cross there.
    let source = &circuit(&found).sources[0];
    assert_eq!(source.leak_curve.len(), 9, "{:?}", source.leak_curve);
    let at = |curve: &[(f64, f64)], level: f64| analysis::level_curve_at(curve, level).expect("on the curve");
    assert!(at(&source.curve, behind - 3.0) > at(&source.leak_curve, behind - 3.0));
    assert!(at(&source.curve, behind + 3.0) < at(&source.leak_curve, behind + 3.0));
}

#[test]
fn flows_balance_and_losses_add_up() {
    let report = checked(&leaking());
    let circuit = circuit(&report);
    let leaks: f64 = circuit.cups.iter().map(|cup| cup.leak_nl_min).sum();
    let drawn = circuit.flow_nl_min.expect("a flow");
    assert!((leaks - drawn).abs() < 1e-6 * drawn, "{leaks} {drawn}");
    let source = circuit.source_level_kpa.expect("a level");
    for cup in &circuit.cups {
        let on_the_way =
            |element: &&analysis::CircuitElement| element.cup == Some(cup.id) || element.cup.is_none();
        let lost: f64 = circuit.elements.iter().filter(on_the_way).map(|element| element.loss_kpa).sum();
        assert!((cup.level_kpa + lost - source).abs() < 1e-6, "{} + {lost}, {source}", cup.level_kpa);
    }
    let drawn = |element: &analysis::CircuitElement| !element.path.is_empty() || element.length_mm.is_none();
    assert!(circuit.elements.iter().all(|element| drawn(element) && element.bore_mm.is_some()));
}

#[test]
fn what_helps_and_what_harms() {
    let base = leaking();
    let with = |edit: &dyn Fn(&mut document::Supply)| {
        let mut project = base.clone();
        edit_supply(&mut project, edit);
        worst(&project)
    };
    let now = worst(&base);
    assert!(with(&|supply| supply.branch.bore_mm = 6.0) > now);
    assert!(with(&|supply| supply.main.bore_mm = 10.0) > now);
    let elbow =
        |kind| move |supply: &mut document::Supply| supply.main.fittings = vec![FittingUse::new(kind, 2)];
    let (sharp, swept) = (with(&elbow(FittingKind::Elbow90)), with(&elbow(FittingKind::Elbow45)));
    assert!(sharp < swept && swept < now);
    assert!(with(&|supply| supply.main.coil = Some(Coil { turns: 8.0, diameter_mm: 120.0 })) < now);
    assert!(with(&|supply| supply.main.length = LineLength::Typed { mm: 3000.0 }) < now);
    assert!(with(&|supply| supply.lip_gap_um = Sourced::stated(20.0)) < now);
    assert!(with(&|supply| supply.arrangement = Arrangement::PerCup) > now);
    let filter = Restriction { c_dm3_s_bar: 1.0, b: 0.4 };
    assert!(with(&|supply| supply.filter = Some(filter)) < now);
    assert!(with(&|supply| supply.restrictor = Some(filter)) < now);
}

#[test]
fn equal_hoses_give_equal_levels_and_a_shorter_one_more() {
    let mut project = leaking();
    edit_supply(&mut project, |supply| supply.branch.length = LineLength::Typed { mm: 600.0 });
    let equal = levels(&project);
    assert!(equal.iter().all(|level| (level - equal[0]).abs() < 1e-6));
    let first = project.layouts[0].cups[0].id;
    edit_supply(&mut project, |supply| {
        let line = document::Line { length: LineLength::Typed { mm: 200.0 }, ..supply.branch.clone() };
        supply.branches = vec![document::BranchLine { cup: first, line }];
    });
    let uneven = levels(&project);
    assert!(uneven[0] > uneven[1] && (uneven[1] - uneven[5]).abs() < 1e-6);
}

#[test]
fn a_manifold_fed_at_both_ends_is_more_even() {
    let mut project = leaking();
    edit_supply(&mut project, |supply| supply.manifold = Some(manifold(6, 5.0)));
    let spread = |project: &Project| {
        let report = checked(project);
        let ports = &circuit(&report).manifolds[0].ports;
        let each = || ports.iter().map(|(_, level)| *level);
        assert_eq!(ports.len(), 6);
        each().fold(0.0, f64::max) - each().fold(f64::INFINITY, f64::min)
    };
    let one = spread(&project);
    edit_supply(&mut project, |supply| supply.manifold.as_mut().expect("one").fed = Fed::BothEnds);
    assert!(spread(&project) < 0.5 * one);
}

/// Bad input, and what the statement on it must name.
#[test]
fn each_bad_input_gets_one_clear_statement_and_no_figure() {
    type Spoil = fn(&mut Project);
    let cases: [(&str, Spoil); 7] = [
        ("bore", |p| edit_supply(p, |s| s.main.bore_mm = 0.0)),
        ("length", |p| edit_supply(p, |s| s.main.length = LineLength::Typed { mm: -5.0 })),
        ("rises", |p| {
            edit_source(p, |s| {
                s.curve.insert(1, document::CurvePoint { level_kpa: 40.0, flow_nl_min: 95.0 });
            })
        }),
        ("not in the project", |p| p.sources.clear()),
        ("feed", |p| {
            feed(p, ejector(), supply(&ejector()));
            edit_supply(p, |s| s.feed_kpa = Sourced::stated(900.0));
        }),
        ("gap", |p| edit_supply(p, |s| s.lip_gap_um = Sourced::stated(-3.0))),
        ("bore", |p| {
            edit_supply(p, |s| {
                s.branches = vec![document::BranchLine { cup: document::CupId(101), line: line(-1.0) }];
            })
        }),
    ];
    for (names, spoil) in cases {
        let mut project = leaking();
        spoil(&mut project);
        let report = whole(&project);
        assert!(
            report.motions.iter().all(|motion| motion.outcome.is_err()),
            "{names}: {:?}",
            circuit(&report).status
        );
        let told: Vec<&str> = report
            .findings
            .iter()
            .filter(|finding| finding.severity == Severity::Fail)
            .map(|finding| finding.says.as_str())
            .collect();
        assert!(told.iter().any(|says| says.to_lowercase().contains(names)), "{names}: {told:?}");
        assert!(circuit(&report).slow.is_none() && circuit(&report).cups.is_empty());
        let text = to_json("a.ron", &project, &[report]);
        assert!(!text.contains("null") && !text.contains("NaN"));
    }
}

#[test]
fn remembered_equals_cold() {
    let mut project = leaking();
    let mut analyst = Analyst::new();
    let steps: [fn(&mut Project); 8] = [
        |p| edit_source(p, |s| s.curve[0].flow_nl_min = 60.0),
        |p| p.cycle.hold_s.value += 1.0,
        |p| edit_layout(p, |l| l.cups[0].at.x += 7.0),
        |p| edit_supply(p, |s| s.branch.bore_mm = 5.0),
        |p| edit_layout(p, |l| l.cups[2].tag = "Left".to_owned()),
        |p| edit_supply(p, |s| s.main.bore_mm = 0.0),
        |p| edit_supply(p, |s| s.main.bore_mm = 9.0),
        |p| Arc::make_mut(&mut p.motions[0]).required_factor = 3.0,
    ];
    for step in steps {
        step(&mut project);
        assert_eq!(*analyst.check_whole(&project, layout(&project)), *whole(&project));
    }
    let quick = analyst.check(&project, layout(&project));
    edit_layout(&mut project, |l| l.cups[0].at.x += 1.0);
    let older = analyst.check(&project, layout(&project));
    // While a cup is dragged the levels are of this plan, the slow figures of the last one.
    assert_eq!(older.ages.of(analysis::Slow::Times), analysis::Age::Older);
    assert_eq!(circuit(&older).slow, circuit(&quick).slow);
    assert_ne!(circuit(&older).cups, circuit(&quick).cups);
}

#[test]
fn the_json_holds_the_circuit() {
    let schema = serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("a JSON text");
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    let mut manifolded = leaking();
    edit_supply(&mut manifolded, |supply| supply.manifold = Some(manifold(6, 10.0)));
    for project in [fed(), manifolded] {
        let report = whole(&project);
        let text = to_json("a.ron", &project, &[Arc::clone(&report)]);
        assert!(!text.contains("null") && !text.contains("NaN"), "{text}");
        let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let problems: Vec<String> =
            validator.iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert!(problems.is_empty(), "{problems:#?}");
        let printed = &value["layouts"][0]["vacuum"]["circuits"][0];
        assert_eq!(printed["status"], "solved");
        assert_eq!(printed["cups"][0]["tag"], "C1");
        assert!(printed["elements"].as_array().is_some_and(|list| !list.is_empty()));
        assert!(printed["sources"][0]["curve"].as_array().is_some_and(|curve| curve.len() > 5));
    }
}

#[test]
fn more_of_what_helps_never_lowers_the_level_of_a_leaking_cup() {
    let mut last = 0.0;
    for bore in [2.0, 3.0, 4.0, 6.0, 9.0, 12.0] {
        let mut project = leaking();
        edit_supply(&mut project, |supply| supply.branch.bore_mm = bore);
        let now = worst(&project);
        assert!(now > last, "{bore}: {now} {last}");
        last = now;
    }
    // With one cup open on a shared source the opposite may hold: a wide branch lets it take the level of the others.
    let open = |bore: f64| {
        let mut project = leaking();
        edit_supply(&mut project, |supply| supply.branch.bore_mm = bore);
        Arc::make_mut(&mut project.models[0]).bore_mm = 8.0;
        let report = whole(&project);
        let slow = circuit(&report).slow.as_ref().expect("slow figures");
        slow.open.iter().map(|open| open.least_level_kpa).fold(f64::INFINITY, f64::min)
    };
    assert!(open(3.0) > open(8.0));
}

/// Demos with a supply: every circuit is solved, what leaks is what the sources draw, and the figures come together.
#[test]
fn demo_circuits_are_solved() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).expect("the demos").map(|entry| entry.expect("a file").path()) {
        if entry.extension().is_none_or(|ending| ending != "ron") {
            continue;
        }
        let (project, _) = document::open(&entry).expect("a project");
        for held in &project.layouts {
            let report = Analyst::new().check(&project, held.id);
            for circuit in report.circuits.iter().filter(|circuit| circuit.status != CircuitStatus::Stated) {
                seen += 1;
                assert_eq!(circuit.status, CircuitStatus::Solved, "{}", entry.display());
                let leaks: f64 = circuit.cups.iter().map(|cup| cup.leak_nl_min).sum();
                let drawn = circuit.flow_nl_min.expect("a flow");
                assert!((leaks - drawn).abs() < 1e-4 * drawn.max(1.0), "{leaks} {drawn}");
            }
        }
    }
    assert!(seen > 0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Air balances; no level is deeper than the source's; wider hoses never lower one, a further leak never raises one;
    /// the order of the cups does not matter.
    #[test]
    fn any_circuit(
        bores in (2.5..8.0_f64, 4.0..14.0_f64),
        permeance in 0.05..4.0_f64,
        at in prop::array::uniform3(0.0..600.0_f64),
        ports in prop::option::of(6_u32..9),
        wider in 1.05..1.8_f64,
        gap in 5.0..60.0_f64,
    ) {
        let mut project = leaking();
        edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(permeance)));
        edit_supply(&mut project, |supply| {
            supply.at = glam::DVec3::new(at[0], at[1], 60.0 + 0.3 * at[2]);
            (supply.branch.bore_mm, supply.main.bore_mm) = bores;
            supply.manifold = ports.map(|ports| manifold(ports, 10.0));
        });
        let report = checked(&project);
        let leaks: f64 = circuit(&report).cups.iter().map(|cup| cup.leak_nl_min).sum();
        prop_assert!((leaks / circuit(&report).flow_nl_min.expect("a flow") - 1.0).abs() < 1e-6);
        let now = levels(&project);
        prop_assert!(now.iter().all(|level| *level > 0.0 && *level < DEEPEST));
        let mut wide = project.clone();
        edit_supply(&mut wide, |supply| {
            supply.branch.bore_mm *= wider;
            supply.main.bore_mm *= wider;
        });
        prop_assert!(levels(&wide).iter().zip(&now).all(|(after, before)| *after >= before - 1e-6));
        let mut worn = project.clone();
        edit_supply(&mut worn, |supply| supply.lip_gap_um = Sourced::stated(gap));
        prop_assert!(levels(&worn).iter().zip(&now).all(|(after, before)| *after <= before + 1e-6));
        let mut turned = project.clone();
        edit_layout(&mut turned, |layout| layout.cups.reverse());
        let turned: Vec<f64> = levels(&turned).into_iter().rev().collect();
        // Cups that lie alike along a manifold may change their ports.
        if ports.is_none() {
            prop_assert!(turned.iter().zip(&now).all(|(after, before)| (after - before).abs() < 1e-6));
        }
    }
}
