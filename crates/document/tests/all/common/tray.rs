//! A project for tests that is written out by hand.

use super::circuits;
use document::*;
use geometry::{LipShape, Loop, Outline, Vertex};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// A small project with something of everything.
pub fn tray() -> Project {
    let vertex = |x: f64, y: f64, bulge: f64| Vertex { at: DVec2::new(x, y), bulge };
    let outer = Loop {
        vertices: vec![
            vertex(20.0, 0.0, 0.0),
            vertex(580.0, 0.0, 0.414_213_562_373_095_03),
            vertex(600.0, 20.0, 0.0),
            vertex(600.0, 380.0, 0.414_213_562_373_095_03),
            vertex(580.0, 400.0, 0.0),
            vertex(20.0, 400.0, 0.414_213_562_373_095_03),
            vertex(0.0, 380.0, 0.0),
            vertex(0.0, 300.0, 0.0),
            vertex(0.0, 20.0, 0.414_213_562_373_095_03),
        ],
    };
    let hole = Loop { vertices: vec![vertex(270.0, 200.0, 1.0), vertex(330.0, 200.0, 1.0)] };
    let mut part =
        Part::from_outline(PartId(1), "Tray blank", Arc::new(Outline { outer, holes: vec![hole] }));
    part.drawing = Some(DrawingOrigin {
        file_name: "tray.dxf".into(),
        sha256: "5d41402abc4b2a76b9719d911017c592".into(),
        unit: "mm".into(),
    });
    part.friction = Sourced::measured(0.42, "2026-01-31");
    part.keep_outs = vec![KeepOut {
        id: KeepOutId(2),
        name: "Print \"front\"".into(),
        area: Arc::new(Loop {
            vertices: vec![vertex(10.0, 10.0, 0.0), vertex(60.5, 10.0, 0.0), vertex(60.5, 40.0, 0.0)],
        }),
    }];
    part.attached = vec![Attached {
        id: AttachedId(3),
        name: "Bracket".into(),
        mass_kg: 0.35,
        at: DVec3::new(500.0, 300.0, -20.0),
        size: DVec3::ZERO,
        turn_deg: 0.0,
    }];
    let mut project = Project::new("Tray line 2", part);
    project.motions.push(Arc::new(Motion::preset(MotionId(project.next_id()), MotionKind::TurnOver)));
    project.last_id += 1;
    let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
    let flat = library().iter().find(|m| m.folds == 0).expect("the library has flat cups").clone();
    let long = library()
        .iter()
        .find(|m| matches!(m.shape, LipShape::Long { .. }))
        .expect("the library has long cups")
        .clone();
    let first = project.next_id();
    let cups = (0..4)
        .map(|i| Cup {
            id: CupId(first + i),
            tag: format!("C{}", i + 1),
            model: if i == 3 { long.id.clone() } else { flat.id.clone() },
            at: DVec2::new(100.0 + 133.5 * f64::from(i), 80.0 + 80.0 * f64::from(i % 2)),
            turn_deg: if i == 3 { 90.0 } else { 0.0 },
            height_mm: 0.0,
            circuit,
            zone: FIRST_ZONE.into(),
            locked: i == 0,
        })
        .collect();
    let place = vec![Edit::AddModel(flat), Edit::AddModel(long), Edit::AddCups { layout, cups }];
    let placed =
        Edit::Together { name: "Place cups".into(), edits: place }.apply(&project).expect("it is sound");
    let accept = Accepted {
        rule: "seat.overlap".into(),
        subject: vec![CupId(first), CupId(first + 1)],
        motion: None,
        layout,
        reason: "Trial pick of 12 March held".into(),
        by: "M. Huber".into(),
        on: "2026-03-12".into(),
        seat: None,
    };
    let accepted = Edit::Accept(accept).apply(&placed).expect("it is sound");
    circuits::with_circuits(with_the_rest(accepted))
}

fn with_the_rest(mut project: Project) -> Project {
    let first = project.next_id();
    let part = Arc::make_mut(&mut project.parts[0]);
    part.pairs = vec![
        FrictionPair {
            lip_material: "nitrile rubber".into(),
            friction: Sourced::measured(0.38, "2026-02-03"),
        },
        FrictionPair { lip_material: "silicone rubber".into(), friction: Sourced::stated(0.3) },
    ];
    part.permeance_um_pa_s = Some(Sourced::assumed(0.25));
    let stroke = Stroke { mm: 650.5, time_s: 0.75, profile: MoveProfile::Cycloid, pause_s: 0.0 };
    let stroke = Motion {
        stroke: Some(stroke),
        inertia_times: 2.0,
        ..Motion::preset(MotionId(first), MotionKind::StrokeAndTime)
    };
    project.motions.push(Arc::new(stroke));
    let valve = Attached::point(AttachedId(first + 1), "Valve block", 0.65, DVec3::new(300.0, 200.0, 95.5));
    let coupling = Attached {
        id: AttachedId(first + 2),
        name: "Coupling".into(),
        mass_kg: 1.2,
        at: DVec3::new(300.0, 200.0, 130.0),
        size: DVec3::new(80.0, 80.0, 40.0),
        turn_deg: 0.0,
    };
    let at = DVec2::new(40.5, 80.0);
    let shape =
        FrameShape::Rail { length_mm: 520.0, width_mm: 40.0, pitch_mm: 19.85, first_mm: 20.0, kg_m: 1.6 };
    let rail =
        FramePiece { shape, turn_deg: 4.5, ..FramePiece::rail(FrameId(first + 3), "Rail 1", at, 0.0, 0.0) };
    let plate = FramePiece::plate(FrameId(first + 4), "Plate", DVec2::new(200.0, 120.0), 200.0, 160.0);
    let tool = Tool {
        flange: DVec3::new(300.0, 200.0, 150.5),
        masses: vec![valve, coupling],
        frame: vec![rail, plate],
    };
    Arc::make_mut(&mut project.layouts[0]).tool = Arc::new(tool);
    project.site.payload_kg = Some(12.5);
    project.sheet.revisions = vec![
        Revision {
            index: "A".into(),
            date: "2026-02-01".into(),
            by: "M. Huber".into(),
            what: "First issue".into(),
        },
        Revision { index: "B".into(), what: "C4 turned \"upright\"".into(), ..Revision::default() },
    ];
    project.last_id = first + 4;
    project
}
