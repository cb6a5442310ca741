//! Figures of circuits that are nothing, endless, negative or absurd: no panic, no figure that is not one, no verdict that
//! all is well.

use crate::common;

use analysis::{Analyst, CircuitStatus, Severity};

use common::{circuits::*, *};
use document::{
    BranchLine, Cells, Coil, CupId, CurvePoint, FittingKind, FittingUse, LineLength, Project, Restriction,
    Sourced, ZoneValve,
};
use std::sync::Arc;
use telling::to_json;

/// Sets one figure of a project.
type Spoil = fn(&mut Project, f64);

const WIDE: Restriction = Restriction { c_dm3_s_bar: 3.0, b: 0.4 };

fn own(p: &mut Project, v: f64) {
    edit_supply(p, |s| {
        s.branches = vec![BranchLine { cup: CupId(101), line: line(v) }];
    });
}

/// What the circuit depends on; not a number there must leave no figure.
const SPOILS: [(&str, Spoil); 27] = [
    ("main bore", |p, v| edit_supply(p, |s| s.main.bore_mm = v)),
    ("branch bore", |p, v| edit_supply(p, |s| s.branch.bore_mm = v)),
    ("own bore", own),
    ("length", |p, v| edit_supply(p, |s| s.main.length = LineLength::Typed { mm: v })),
    ("slack", |p, v| edit_supply(p, |s| s.branch.length = LineLength::Plan { slack_mm: v })),
    ("turns", |p, v| edit_supply(p, |s| s.main.coil = Some(Coil { turns: v, diameter_mm: 100.0 }))),
    ("coil", |p, v| edit_supply(p, |s| s.main.coil = Some(Coil { turns: 3.0, diameter_mm: v }))),
    ("source x", |p, v| edit_supply(p, |s| s.at.x = v)),
    ("source z", |p, v| edit_supply(p, |s| s.at.z = v)),
    ("manifold x", |p, v| edit_supply(p, |s| s.manifold.as_mut().expect("one").at.x = v)),
    ("manifold turn", |p, v| edit_supply(p, |s| s.manifold.as_mut().expect("one").turn_deg = v)),
    ("manifold length", |p, v| edit_supply(p, |s| s.manifold.as_mut().expect("one").length_mm = v)),
    ("manifold bore", |p, v| edit_supply(p, |s| s.manifold.as_mut().expect("one").bore_mm = v)),
    ("restrictor", |p, v| edit_supply(p, |s| s.restrictor = Some(Restriction { c_dm3_s_bar: v, b: 0.5 }))),
    ("restrictor's ratio", |p, v| {
        edit_supply(p, |s| s.restrictor = Some(Restriction { c_dm3_s_bar: 0.3, b: v }))
    }),
    ("filter", |p, v| edit_supply(p, |s| s.filter = Some(Restriction { c_dm3_s_bar: v, b: v }))),
    ("gap", |p, v| edit_supply(p, |s| s.lip_gap_um = Sourced::stated(v))),
    ("cells", |p, v| {
        edit_supply(p, |s| s.area_gripper = Some(Cells { count: 20, bore_mm: v, restrictor: WIDE }));
    }),
    ("valve", |p, v| {
        let restriction = Restriction { c_dm3_s_bar: v, b: 0.4 };
        let valve = ZoneValve { zone: "A".to_owned(), restriction, check_valve: true, manifold: None };
        edit_supply(p, |s| s.valves = vec![valve]);
    }),
    ("feed", |p, v| {
        edit_supply(p, |s| s.feed_kpa = Sourced::stated(v));
        p.sources = vec![Arc::new(document::SourceModel { id: "pump".into(), ..ejector() })];
    }),
    ("curve's level", |p, v| edit_source(p, |s| s.curve[1].level_kpa = v)),
    ("curve's flow", |p, v| edit_source(p, |s| s.curve[0].flow_nl_min = v)),
    ("curve's middle", |p, v| {
        edit_source(p, |s| s.curve.insert(1, CurvePoint { level_kpa: 40.0, flow_nl_min: v }))
    }),
    ("power", |p, v| edit_source(p, |s| s.power_w = v)),
    ("volume", |p, v| edit_source(p, |s| s.volume_ml = v)),
    ("permeance", |p, v| edit_part(p, |part| part.permeance_um_pa_s = Some(Sourced::stated(v)))),
    ("cup's bore", |p, v| Arc::make_mut(&mut p.models[0]).bore_mm = v),
];

fn project_with_everything() -> Project {
    let mut project = leaking();
    edit_supply(&mut project, |supply| {
        supply.manifold = Some(manifold(6, 10.0));
        supply.branch.fittings = vec![FittingUse::new(FittingKind::Elbow90, 1)];
    });
    project
}

#[test]
fn every_figure_of_a_circuit_in_turn() {
    let schema = serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("a JSON text");
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    for (what, spoil) in SPOILS {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 0.0, 1e-300, 1e9, 1e300] {
            let what = format!("{what} = {value}");
            let mut project = project_with_everything();
            spoil(&mut project, value);
            let report = Analyst::new().check(&project, layout(&project));
            let text = to_json("a.ron", &project, &[Arc::clone(&report)]);
            assert!(!text.contains("null") && !text.contains("NaN"), "{what}: {text}");
            let object: serde_json::Value = serde_json::from_str(&text).expect("JSON");
            let problems: Vec<String> =
                validator.iter_errors(&object).map(|e| format!("{}: {e}", e.instance_path())).collect();
            assert!(problems.is_empty(), "{what}: {problems:#?}");
            let circuit = &report.circuits[0];
            let figures = circuit.cups.iter().flat_map(|cup| [cup.level_kpa, cup.leak_nl_min]);
            let losses = circuit.elements.iter().flat_map(|element| [element.flow_nl_min, element.loss_kpa]);
            assert!(figures.chain(losses).all(f64::is_finite), "{what}");
            if circuit.status == CircuitStatus::Solved {
                assert!(
                    circuit.cups.iter().all(|cup| cup.level_kpa >= -1e-6 && cup.level_kpa < 101.4),
                    "{what}"
                );
            } else {
                assert!(report.motions.iter().all(|motion| motion.outcome.is_err()), "{what}");
                assert_eq!(report.verdict.severity, Severity::Fail, "{what}: {:?}", report.verdict);
            }
            if value.is_nan() {
                assert_ne!(circuit.status, CircuitStatus::Solved, "{what}");
            }
        }
    }
}

#[test]
fn slow_figures_of_odd_circuits_are_figures() {
    let odd: [Spoil; 6] = [
        |p, _| edit_layout(p, |layout| layout.cups.truncate(1)),
        |p, _| edit_supply(p, |s| s.arrangement = document::Arrangement::InLine),
        |p, _| edit_supply(p, |s| s.check_valve_at_cup = true),
        |p, _| edit_supply(p, |s| s.area_gripper = Some(Cells { count: 20, bore_mm: 1.0, restrictor: WIDE })),
        |p, _| edit_part(p, |part| part.permeance_um_pa_s = Some(Sourced::stated(500.0))),
        |p, _| p.site.altitude_m = 3000.0,
    ];
    for (index, spoil) in odd.into_iter().enumerate() {
        let mut project = project_with_everything();
        spoil(&mut project, 0.0);
        let report = Analyst::new().check_whole(&project, layout(&project));
        let circuit = &report.circuits[0];
        assert_eq!(circuit.status, CircuitStatus::Solved, "{index}");
        let slow = circuit.slow.as_ref().expect("slow figures");
        let text = to_json("a.ron", &project, &[Arc::clone(&report)]);
        assert!(!text.contains("null") && !text.contains("NaN"), "{index}: {text}");
        assert!(
            slow.evacuation
                .iter()
                .all(|curve| curve.points.iter().all(|p| p.0.is_finite() && p.1.is_finite()))
        );
        assert!(slow.open.iter().all(|open| open.least_level_kpa.is_finite()));
        assert!(slow.helps.iter().all(|help| help.worst_level_kpa_to.is_finite()));
    }
}
