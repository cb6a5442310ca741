//! Figures that are nothing, endless, negative or absurd end in findings: no panic, no figure that is not one.

use crate::common;

use analysis::{Analyst, Report, Severity};

use common::*;
use document::{
    Attached, AttachedId, Circuit, CupModel, FrameId, FramePiece, FrictionPair, MassBy, Motion, MotionId,
    MotionKind, MoveProfile, Project, Sourced, Stroke, Tool, Worst,
};
use geometry::{LipShape, Vertex};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::sync::{Arc, LazyLock};
use telling::to_json;

static VALIDATOR: LazyLock<jsonschema::Validator> = LazyLock::new(|| {
    let schema = serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("a JSON text");
    jsonschema::draft202012::new(&schema).expect("a schema")
});

/// Sets one figure of a project.
type Spoil = fn(&mut Project, f64);

fn model_of(project: &mut Project) -> &mut CupModel {
    Arc::make_mut(&mut project.models[0])
}

fn motion_of(project: &mut Project) -> &mut Motion {
    Arc::make_mut(&mut project.motions[1])
}

const SPOILS: [(&str, Spoil); 35] = [
    ("cup x", |p, v| edit_layout(p, |l| l.cups[0].at.x = v)),
    ("cup turn", |p, v| edit_layout(p, |l| l.cups[0].turn_deg = v)),
    ("cup height", |p, v| edit_layout(p, |l| l.cups[0].height_mm = v)),
    ("round lip", |p, v| model_of(p).shape = LipShape::Round { diameter: v }),
    ("long lip", |p, v| model_of(p).shape = LipShape::Long { length: v, width: 20.0 }),
    ("long lip's width", |p, v| model_of(p).shape = LipShape::Long { length: 60.0, width: v }),
    ("corner", |p, v| model_of(p).shape = LipShape::Rectangle { length: 60.0, width: 40.0, corner: v }),
    ("sealing share", |p, v| model_of(p).sealing_share.value = v),
    ("axial", |p, v| model_of(p).axial_n_mm.value = v),
    ("lateral", |p, v| model_of(p).lateral_n_mm.value = v),
    ("tilt reduction", |p, v| model_of(p).tilt_reduction.value = v),
    ("seal minimum", |p, v| model_of(p).seal_minimum_n_mm.value = v),
    ("travel", |p, v| model_of(p).travel_mm.value = v),
    ("closes", |p, v| model_of(p).closes_mm = v),
    ("thickness", |p, v| edit_part(p, |part| part.thickness_mm = v)),
    ("mass", |p, v| edit_part(p, |part| part.mass = MassBy::Stated { kg: Sourced::stated(v) })),
    ("density", |p, v| edit_part(p, |part| part.mass = MassBy::Density { kg_m3: Sourced::stated(v) })),
    ("centre", |p, v| edit_part(p, |part| part.centre_of_gravity = Some(Sourced::stated(DVec3::splat(v))))),
    ("attached", |p, v| {
        edit_part(p, |part| {
            part.attached = vec![Attached {
                id: AttachedId(70),
                name: "Box".to_owned(),
                mass_kg: v,
                at: DVec3::splat(v),
                size: DVec3::splat(v),
                turn_deg: 0.0,
            }];
        });
    }),
    ("friction", |p, v| edit_part(p, |part| part.friction = Sourced::assumed(v))),
    ("uneven", |p, v| edit_part(p, |part| part.uneven_mm = v)),
    ("position", |p, v| edit_part(p, |part| part.placement.position_mm = v)),
    ("turn tolerance", |p, v| edit_part(p, |part| part.placement.turn_deg = v)),
    ("vertex", |p, v| {
        edit_part(p, |part| {
            Arc::make_mut(&mut part.outline).outer.vertices[2] =
                Vertex { at: glam::DVec2::splat(v), bulge: 0.0 }
        });
    }),
    ("modulus", |p, v| edit_part(p, |part| part.modulus_n_mm2 = Some(Sourced::stated(v)))),
    ("Poisson's ratio", |p, v| {
        edit_part(p, |part| {
            part.modulus_n_mm2 = Some(Sourced::assumed(210_000.0));
            part.poisson = Some(Sourced::stated(v));
        });
    }),
    ("bulge", |p, v| edit_part(p, |part| Arc::make_mut(&mut part.outline).outer.vertices[2].bulge = v)),
    ("acceleration", |p, v| motion_of(p).acceleration = DVec3::splat(v)),
    ("tilt", |p, v| motion_of(p).tilt_deg = v),
    ("turn rate", |p, v| motion_of(p).turn_rate_deg_s = DVec3::splat(v)),
    ("tilt to", |p, v| motion_of(p).worst = Worst::TiltTo { deg: v }),
    ("pivot", |p, v| motion_of(p).pivot_mm = DVec3::splat(v)),
    ("required factor", |p, v| motion_of(p).required_factor = v),
    ("level", |p, v| {
        p.circuits[0] = Arc::new(Circuit { level_kpa: Sourced::stated(v), ..Circuit::clone(&p.circuits[0]) });
    }),
    ("rules", |p, v| {
        p.site.altitude_m = v;
        p.rules.gap_watch_mm = v;
        p.rules.factor_watch = v;
        p.rules.centroid_offset_share = v;
        p.rules.most_over_mean = v;
        p.rules.slide_share = v;
        p.rules.favourable_weight = v;
        p.rules.sag_watch_mm = v;
    }),
];

fn whole() -> Project {
    let kinds = [MotionKind::LevelLift, MotionKind::EmergencyStop, MotionKind::TurnOver, MotionKind::Swing];
    let motions =
        kinds.iter().enumerate().map(|(i, kind)| Motion::preset(MotionId(10 + i as u32), *kind)).collect();
    let mut project = project(
        plate(600.0, 400.0, 5.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    );
    // One over the edge, so that remedies are looked for too.
    edit_layout(&mut project, |layout| layout.cups[1].at.x = 590.0);
    project
}

fn holds_up(project: &Project, what: &str) {
    sound(project, &Analyst::new().check(project, layout(project)), what);
}

fn sound(project: &Project, report: &Arc<Report>, what: &str) {
    let text = to_json("a.ron", project, std::slice::from_ref(report));
    let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert!(!text.contains("null") && !text.contains("NaN"), "{what}: {text}");
    let problems: Vec<String> =
        VALIDATOR.iter_errors(&value).map(|error| format!("{}: {error}", error.instance_path())).collect();
    assert!(problems.is_empty(), "{what}: {problems:#?}");
    for motion in &report.motions {
        if let Ok(outcome) = &motion.outcome {
            assert!(!outcome.factor.is_nan(), "{what}");
            assert!(outcome.cups.iter().all(|cup| cup.load.pull.is_finite()), "{what}");
        }
    }
}

#[test]
fn every_figure_in_turn() {
    for (what, spoil) in SPOILS {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 0.0, 1e-300, 1e9, 1e300] {
            let mut project = whole();
            spoil(&mut project, value);
            holds_up(&project, &format!("{what} = {value}"));
        }
    }
}

#[test]
fn a_figure_that_is_nothing_never_meets_the_requirement() {
    for (what, spoil) in SPOILS {
        let mut project = whole();
        edit_layout(&mut project, |layout| layout.cups[1].at.x = 500.0);
        spoil(&mut project, f64::NAN);
        let report = Analyst::new().check(&project, layout(&project));
        let quiet = matches!(report.verdict.severity, Severity::Ok | Severity::Watch);
        // What the plan does not use may be nothing.
        assert!(!quiet, "{what} is not a number and the verdict is {:?}", report.verdict);
    }
}

fn tool_of(project: &mut Project) -> &mut Tool {
    let layout = Arc::make_mut(&mut project.layouts[0]);
    Arc::make_mut(&mut layout.tool)
}

/// Figures that the slow stages, the tool and leaking parts depend on.
const DEEP_SPOILS: [(&str, Spoil); 14] = [
    ("stroke", |p, v| stroke_of(p).mm = v),
    ("time", |p, v| stroke_of(p).time_s = v),
    ("inertia times", |p, v| motion_of(p).inertia_times = v),
    ("permeance", |p, v| edit_part(p, |part| part.permeance_um_pa_s = Some(Sourced::assumed(v)))),
    ("channel", |p, v| {
        edit_part(p, |part| part.permeance_um_pa_s = Some(Sourced::assumed(1.0)));
        model_of(p).channel_mm = Sourced::assumed(v);
    }),
    ("temperature", |p, v| {
        edit_part(p, |part| part.permeance_um_pa_s = Some(Sourced::assumed(1.0)));
        p.site.temperature_c = v;
    }),
    ("pair", |p, v| {
        edit_part(p, |part| {
            let friction = Sourced::assumed(v);
            part.pairs = vec![FrictionPair { lip_material: "rubber".to_owned(), friction }];
        });
    }),
    ("flange", |p, v| tool_of(p).flange = DVec3::splat(v)),
    ("fitting", |p, v| {
        let mut valve = Attached::point(AttachedId(71), "Valve", v, DVec3::splat(v));
        valve.size = DVec3::splat(v);
        tool_of(p).masses = vec![valve];
    }),
    ("rail", |p, v| {
        let mut rail = FramePiece::rail(FrameId(72), "Rail", DVec2::splat(v), 500.0, v);
        rail.height_mm = v;
        tool_of(p).frame = vec![rail];
    }),
    ("rail's length", |p, v| {
        tool_of(p).frame = vec![FramePiece::rail(FrameId(72), "Rail", DVec2::ZERO, v, 0.0)];
    }),
    ("payload", |p, v| p.site.payload_kg = Some(v)),
    ("cup mass", |p, v| model_of(p).mass_g = v),
    ("spreads", |p, v| {
        p.rules.friction_spread = v;
        p.rules.stiffness_spread = v;
        p.rules.lip_spread = v;
        p.rules.payload_watch = v;
        model_of(p).tilt_reduction = Sourced::assumed(1.0);
        model_of(p).sealing_share = Sourced::assumed(0.9);
        edit_part(p, |part| part.friction = Sourced::assumed(0.5));
    }),
];

fn stroke_of(project: &mut Project) -> &mut Stroke {
    motion_of(project).stroke.get_or_insert(Stroke {
        mm: 500.0,
        time_s: 0.8,
        profile: MoveProfile::Cycloid,
        pause_s: 0.0,
    })
}

#[test]
fn slow_figures_hold_up_too() {
    for (what, spoil) in DEEP_SPOILS {
        for value in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
            let mut project = whole();
            project.motions.truncate(2);
            spoil(&mut project, value);
            let report = Analyst::new().check_whole(&project, layout(&project));
            sound(&project, &report, &format!("{what} = {value}"));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, max_shrink_iters: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn several_at_once(
        spoiled in proptest::collection::vec((0..SPOILS.len(), prop_oneof![
            Just(f64::NAN), Just(0.0), Just(-5.0), Just(1e12), -1e3..1e3f64, 0.0..1.0f64,
        ]), 1..5),
    ) {
        let mut project = whole();
        let mut told = String::new();
        for (index, value) in spoiled {
            let (what, spoil) = SPOILS[index];
            spoil(&mut project, value);
            told.push_str(&format!("{what} = {value}, "));
        }
        holds_up(&project, &told);
    }
}
