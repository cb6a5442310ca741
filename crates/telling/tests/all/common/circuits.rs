//! Circuits made for tests: one invented source, hoses of one bore.

use super::{SHARE, edit_part, project, round, still};
use document::{
    Arrangement, Circuit, CurvePoint, Fed, FeedPoint, Line, LineLength, Manifold, Origin, Project,
    SourceKind, SourceModel, Sourced, Supply,
};
use glam::{DVec2, DVec3};
use std::sync::Arc;

pub const FREE_FLOW: f64 = 80.0;
pub const DEEPEST: f64 = 85.0;
/// µm/(Pa·s)
pub const PERMEANCE: f64 = 1.0;

/// A pump with a straight curve.
pub fn pump() -> SourceModel {
    let point = |level_kpa, flow_nl_min| CurvePoint { level_kpa, flow_nl_min };
    SourceModel {
        id: "pump".into(),
        name: "Test pump".into(),
        kind: SourceKind::Pump,
        curve: vec![point(0.0, FREE_FLOW), point(DEEPEST, 0.0)],
        curve_flow: document::CurveFlow::Anr,
        feed: Vec::new(),
        rated_feed_kpa: 0.0,
        power_w: 250.0,
        straight_bore_mm: None,
        air_saving: false,
        volume_ml: 5.0,
        mass_g: 900.0,
        figures: Origin::Stated,
        on: String::new(),
    }
}

/// An ejector with the same curve at its rated feed of 500 kPa.
pub fn ejector() -> SourceModel {
    let at = |feed_kpa, flow_share, level_share, air_nl_min| FeedPoint {
        feed_kpa,
        flow_share,
        level_share,
        air_nl_min,
    };
    SourceModel {
        id: "ejector".into(),
        name: "Test ejector".into(),
        kind: SourceKind::Ejector,
        feed: vec![at(350.0, 0.7, 0.75, 60.0), at(500.0, 1.0, 1.0, 90.0)],
        rated_feed_kpa: 500.0,
        power_w: 0.0,
        ..pump()
    }
}

pub fn line(bore_mm: f64) -> Line {
    Line { bore_mm, length: LineLength::Plan { slack_mm: 50.0 }, fittings: Vec::new(), coil: None }
}

/// One source amid the cups, without manifold, valve or filter; perfect lips.
pub fn supply(source: &SourceModel) -> Supply {
    Supply {
        source: source.id.clone(),
        arrangement: Arrangement::Central,
        sources: 1,
        feed_kpa: Sourced::stated(500.0),
        at: DVec3::new(300.0, 200.0, 100.0),
        main: line(8.0),
        fitting_loss: document::FittingLoss::default(),
        manifold: None,
        branch: line(4.0),
        branches: Vec::new(),
        restrictor: None,
        check_valve_at_cup: false,
        filter: None,
        filter_at_cup: None,
        dust: None,
        valves: Vec::new(),
        lip_gap_um: Sourced::stated(0.0),
        area_gripper: None,
        cell_closing: None,
        operation: document::Operation::default(),
    }
}

/// Along x over the middle, fed at one end.
pub fn manifold(ports: u32, bore_mm: f64) -> Manifold {
    Manifold {
        at: DVec2::new(300.0, 200.0),
        turn_deg: 0.0,
        length_mm: 480.0,
        bore_mm,
        ports,
        fed: Fed::OneEnd,
    }
}

pub fn feed(project: &mut Project, source: SourceModel, supply: Supply) {
    project.sources = vec![Arc::new(source)];
    let circuit = Circuit { supply: Some(Arc::new(supply)), ..Circuit::clone(&project.circuits[0]) };
    project.circuits[0] = Arc::new(circuit);
}

pub fn edit_supply(project: &mut Project, edit: impl FnOnce(&mut Supply)) {
    let circuit = Arc::make_mut(&mut project.circuits[0]);
    if let Some(supply) = circuit.supply.as_mut() {
        edit(Arc::make_mut(supply));
    }
}

pub fn edit_source(project: &mut Project, edit: impl FnOnce(&mut SourceModel)) {
    edit(Arc::make_mut(&mut project.sources[0]));
}

/// Six cups of 50 mm on a sheet of 600 x 400 mm and 4 kg, fed by the pump; lifted with factor 2.
pub fn fed() -> Project {
    let at = [(100.0, 100.0), (300.0, 100.0), (500.0, 100.0), (100.0, 300.0), (300.0, 300.0), (500.0, 300.0)];
    let model = super::model("round-50", round(50.0), 1.0);
    let mut project = project(super::plate(600.0, 400.0, 4.0), model, &at, vec![still(1, "Lift", 2.0)]);
    let source = pump();
    let supply = supply(&source);
    feed(&mut project, source, supply);
    project
}

/// The same on a part that air comes through.
pub fn leaking() -> Project {
    let mut project = fed();
    edit_part(&mut project, |part| part.permeance_um_pa_s = Some(Sourced::stated(PERMEANCE)));
    Arc::make_mut(&mut project.models[0]).channel_mm = Sourced::stated(5.0);
    project
}

/// Response of the valve of the first circuit, s.
pub fn operation_s(project: &Project) -> f64 {
    project.circuits[0].supply.as_ref().map_or(f64::NAN, |supply| supply.operation.valve_s.value)
}

/// Time in which a source of a constant volume flow S (m³/s) above its deepest level empties a tight cup with the source's own
/// volume to 90 % of that level: S (p - pu) dt = -d(p V), V falling from what is in the cup at rest by its travel as
/// (1 - v/f)², f twice the level at which a spring of its stiffness would be down. By Simpson's rule.
///
/// # Source
/// Balance of mass of an isothermal ideal gas; without travel V/S ln 10 (any vacuum text, e.g. Jousten).
pub fn emptied_s(project: &Project, speed: f64) -> f64 {
    let model = &project.models[0];
    let area = std::f64::consts::PI / 4.0 * (50.0 * SHARE).powi(2);
    let bore = std::f64::consts::PI / 4.0 * model.bore_mm * model.bore_mm * model.height_mm;
    let (travel, channel) = (model.travel_mm.value, model.channel_mm.value);
    let fixed = (area * channel + bore) * 1e-9 + project.sources[0].volume_ml * 1e-6;
    let given = area * travel * 1e-9;
    let full = 2.0 * model.axial_n_mm.value * travel / area * 1e6;
    let outside = 101_325.0;
    let (floor, end) = (outside - DEEPEST * 1e3, outside - 0.9 * DEEPEST * 1e3);
    // d(p V)/dp over S (p - pu).
    let rate = |p: f64| {
        let u = (outside - p) / full;
        let (left, slope) = if u < 1.0 { ((1.0 - u).powi(2), 2.0 * (1.0 - u) / full) } else { (0.0, 0.0) };
        (fixed + given * (left + p * slope)) / (speed * (p - floor))
    };
    let steps = 20_000;
    let width = (outside - end) / f64::from(steps);
    let sum: f64 = (0..=steps)
        .map(|i| {
            let weight = match i {
                0 => 1.0,
                i if i == steps => 1.0,
                i if i % 2 == 1 => 4.0,
                _ => 2.0,
            };
            weight * rate(end + f64::from(i) * width)
        })
        .sum();
    sum * width / 3.0
}
