//! Projects made for tests and benchmarks, with figures that can be worked out by hand.
#![allow(dead_code, reason = "each test uses some of these")]

pub mod circuits;

use document::{
    CircuitId, Cup, CupId, CupModel, Edit, Layout, LayoutId, LipKind, MassBy, ModelId, Motion, MotionId,
    MotionKind, Part, PartId, Placement, Project, Seat, SeatId, Sourced, Texture, Worst,
};
use geometry::{LipShape, Loop, Outline};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// kPa at sea level on the one circuit.
pub const LEVEL: f64 = 60.0;
/// Sealing line over outer size of every model made here.
pub const SHARE: f64 = 0.9;

/// A flat model without a seal minimum, whose tilt stiffness is its lip line's times `tilt`.
pub fn model(id: &str, shape: LipShape, tilt: f64) -> CupModel {
    CupModel {
        sealing_share: Sourced::stated(SHARE),
        bore_mm: 3.0,
        height_mm: 20.0,
        travel_mm: Sourced::assumed(3.0),
        channel_mm: Sourced::assumed(2.0),
        folds: 0,
        axial_n_mm: Sourced::stated(20.0),
        lateral_n_mm: Sourced::stated(11.0),
        tilt_reduction: Sourced::stated(tilt),
        // On a ball joint: the hand figures know no lever.
        side_lever_mm: Some(Sourced::stated(0.0)),
        // Outside of the sealing line.
        lip_width_mm: Some(Sourced::stated(0.5 * (1.0 - SHARE) * shape.size().min_element())),
        hardness_shore_a: 50.0,
        lip: LipKind::Plain,
        lip_life_picks: Sourced::assumed(1_000_000.0),
        seal_minimum_n_mm: Sourced::stated(0.0),
        closes_mm: 0.5,
        allowed: vec![Texture::Smooth],
        material: "rubber".to_owned(),
        thread: "G1/8".to_owned(),
        mass_g: 10.0,
        ..CupModel::unstated(ModelId::from(id), id, shape)
    }
}

pub fn round(diameter: f64) -> LipShape {
    LipShape::Round { diameter }
}

/// A still, level motion without acceleration.
pub fn still(id: u32, name: &str, required: f64) -> Motion {
    Motion {
        name: name.to_owned(),
        required_factor: required,
        acceleration: DVec3::ZERO,
        worst: Worst::AsStated,
        ..Motion::preset(MotionId(id), MotionKind::Free)
    }
}

/// A plate `width` x `depth`, mass and centre of gravity stated (the latter in the lip plane, so that nothing tips), met
/// without tolerance; friction 0.5.
pub fn plate(width: f64, slow: f64, kg: f64) -> Part {
    let mut part = Part::rectangle(PartId(1), "Sheet", width, slow);
    part.mass = MassBy::Stated { kg: Sourced::stated(kg) };
    part.centre_of_gravity = Some(Sourced::stated(DVec3::new(0.5 * width, 0.5 * slow, 0.0)));
    part.friction = Sourced::stated(0.5);
    part.uneven_mm = 0.0;
    part.placement = Placement { position_mm: 0.0, turn_deg: 0.0, drawing_mm: 0.0 };
    part
}

/// Cups C1, C2 ... of one model on a part, with these motions.
pub fn project(part: Part, model: CupModel, at: &[(f64, f64)], motions: Vec<Motion>) -> Project {
    let mut project = Project::new("Test", part);
    project.motions = motions.into_iter().map(Arc::new).collect();
    let circuit = &mut project.circuits[0];
    *circuit = Arc::new(document::Circuit {
        level_kpa: Sourced::stated(LEVEL),
        ..document::Circuit::clone(circuit)
    });
    let circuit = circuit.id;
    let model_id = model.id.clone();
    project.models = vec![Arc::new(model)];
    let cups = at.iter().enumerate().map(|(i, at)| cup(i as u32 + 1, &model_id, *at, circuit)).collect();
    let layout = &mut project.layouts[0];
    *layout = Arc::new(Layout { cups, ..Layout::clone(layout) });
    project.last_id = 1000;
    project
}

pub fn cup(number: u32, model: &ModelId, at: (f64, f64), circuit: CircuitId) -> Cup {
    Cup {
        id: CupId(100 + number),
        tag: format!("C{number}"),
        model: model.clone(),
        at: DVec2::new(at.0, at.1),
        turn_deg: 0.0,
        height_mm: 0.0,
        circuit,
        zone: "A".to_owned(),
        locked: false,
    }
}

/// Corners of a rectangle about a centre.
pub fn corners(centre: (f64, f64), half_x: f64, half_y: f64) -> [(f64, f64); 4] {
    let (x, y) = centre;
    [(x - half_x, y - half_y), (x + half_x, y - half_y), (x + half_x, y + half_y), (x - half_x, y + half_y)]
}

pub fn layout(project: &Project) -> LayoutId {
    project.layouts[0].id
}

pub fn edit_layout(project: &mut Project, edit: impl FnOnce(&mut Layout)) {
    edit(Arc::make_mut(&mut project.layouts[0]));
}

pub fn edit_part(project: &mut Project, edit: impl FnOnce(&mut Part)) {
    edit(Arc::make_mut(&mut project.parts[0]));
}

/// What one round lip of this outer size holds at a level: force N.
pub fn holds(outer: f64, level: f64) -> f64 {
    let d = outer * SHARE;
    level * 1e3 * std::f64::consts::PI * d * d / 4.0 * 1e-6
}

/// A sheet of 1200 x 800 mm with a wavy rim and ten round holes, `vertices` corners altogether.
pub fn wavy_outline(vertices: usize) -> Outline {
    let in_hole = (vertices / 40).max(8);
    let rim = (vertices - 10 * in_hole).max(12);
    let around = |n: usize, centre: DVec2, radius: DVec2, wave: f64| {
        Loop::polygon((0..n).map(move |i| {
            let t = i as f64 / n as f64 * std::f64::consts::TAU;
            let r = radius * (1.0 + wave * (t * 17.0).sin());
            centre + DVec2::new(t.cos() * r.x, t.sin() * r.y)
        }))
    };
    let holes = (0..10)
        .map(|i| {
            let column = f64::from(i % 5);
            let row = f64::from(i / 5);
            let centre = DVec2::new(200.0 + column * 200.0, 250.0 + row * 300.0);
            around(in_hole, centre, DVec2::splat(20.0), 0.0).reversed()
        })
        .collect();
    Outline { outer: around(rim, DVec2::new(600.0, 400.0), DVec2::new(620.0, 420.0), 0.01), holes }
}

/// Cups on a grid over [`wavy_outline`] and motions of every kind.
pub fn large(cups: usize, vertices: usize, motions: usize) -> Project {
    let mut part = Part::from_outline(PartId(1), "Blank", Arc::new(wavy_outline(vertices)));
    part.thickness_mm = 1.5;
    part.friction = Sourced::stated(0.5);
    part.uneven_mm = 0.0;
    let kinds = [
        MotionKind::LevelLift,
        MotionKind::LevelCarry,
        MotionKind::OnEdge,
        MotionKind::EmergencyStop,
        MotionKind::Swing,
        MotionKind::TurnOver,
    ];
    let motions = (0..motions)
        .map(|i| {
            let mut motion = Motion::preset(MotionId(500 + i as u32), kinds[i % kinds.len()]);
            motion.name = format!("{} {i}", motion.name);
            motion.acceleration *= 1.0 + 0.01 * i as f64;
            motion
        })
        .collect();
    let columns = ((cups as f64 * 1.5).sqrt().ceil() as usize).max(2);
    let rows = cups.div_ceil(columns);
    let pitch = DVec2::new(800.0 / columns as f64, 500.0 / rows.max(2) as f64);
    let size = (0.7 * pitch.min_element()).clamp(8.0, 60.0);
    let at: Vec<(f64, f64)> = (0..cups)
        .map(|i| {
            let (column, row) = ((i % columns) as f64, (i / columns) as f64);
            (210.0 + pitch.x * column, 160.0 + pitch.y * row)
        })
        .collect();
    project(part, model("round", round(size), 1.0), &at, motions)
}

/// So many parts on the tool of a project, copies of its part, each a little elsewhere.
pub fn carried(project: &mut Project, parts: usize) {
    let layout = project.layouts[0].id;
    for place in 1..parts {
        let id = PartId(900 + place as u32);
        let part = Part { id, name: format!("Blank {place}"), ..Part::clone(&project.parts[0]) };
        let at = DVec2::new(1.5 * place as f64, -(place as f64));
        let seat = Seat { at, turn_deg: 0.1 * place as f64, ..Seat::of(SeatId(950 + 10 * place as u32), id) };
        let edits = [Edit::AddPart(Arc::new(part)), Edit::AddSeat { layout, seat }];
        for edit in edits {
            if let Ok(next) = edit.apply(project) {
                *project = next;
            }
        }
    }
}

/// The finished projects that come with the program.
pub fn demos() -> Vec<Project> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
        .unwrap_or_default();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "ron"));
    paths.sort();
    let projects: Vec<Project> =
        paths.iter().filter_map(|path| document::open(path).ok()).map(|(project, _)| project).collect();
    assert!(projects.len() >= 7, "{paths:?}");
    projects
}
