//! What stands in a new project, and in a new circuit, where nobody said anything: one table, read off the presets themselves.

use crate::{
    Arrangement, BlowOff, CellClosing, Circuit, CircuitId, Cup, CupId, Dust, Exhaust, Field, Layout, Motion,
    MotionId, MotionKind, Operation, Part, PartId, Project, Supply, Thresholds, fields, library, numbers,
    sources,
};
use std::sync::Arc;

/// A figure that is taken where nobody gave one.
#[derive(Debug, Clone, PartialEq)]
pub struct Customary {
    /// Which number of the file, with its range and what its range rests on.
    pub field: &'static Field,
    /// In the file's unit, rising; several where it depends on the kind of motion, on the source or on the surface.
    pub values: Vec<f64>,
}

/// Every default of a new project and a new circuit that is a figure, in the order of [`fields`]. Places, turns and directions
/// that follow from the part are left out.
///
/// ```
/// let required = document::customary().into_iter().find(|one| one.field.key == "motion.required_factor");
/// assert_eq!(required.map(|one| one.values), Some(vec![2.0, 4.0]));
/// ```
pub fn customary() -> Vec<Customary> {
    let mut met: Vec<(&'static str, f64)> = Vec::new();
    let mut add = |at: numbers::At<'_>, value: &mut f64| met.push((at.key, *value));
    let mut project = sample();
    let part = Arc::make_mut(&mut project.parts[0]);
    // A part is rigid until a person lets it bend.
    if let Some(steel) = crate::MATERIALS.first() {
        steel.let_bend(part);
    }
    numbers::part(part, &mut add);
    numbers::site(&mut project.site, &mut add);
    numbers::rules(&mut project.rules, &mut add);
    numbers::sheet(&mut project.sheet, &mut add);
    numbers::cycle(&mut project.cycle, &mut add);
    numbers::question(Arc::make_mut(&mut project.question), &mut add);
    for kind in MotionKind::ALL {
        numbers::motion(&mut Motion::preset(MotionId(1), *kind), &mut add);
    }
    for circuit in circuits(&project) {
        numbers::circuit(&mut Circuit::clone(&circuit), &mut add);
    }
    fields()
        .iter()
        .filter_map(|field| {
            if field.usual.is_empty() {
                return None;
            }
            let mut values: Vec<f64> =
                met.iter().filter(|(key, _)| *key == field.key).map(|(_, value)| *value).collect();
            values.sort_by(f64::total_cmp);
            values.dedup();
            // Pumps and blowers are not fed.
            values.retain(|value| field.key != "circuit.supply.feed_kpa" || *value > 0.0);
            (!values.is_empty()).then_some(Customary { field, values })
        })
        .collect()
}

/// Damping ratio of a sheet on its cups where nobody said: thin metal on rubber cups rings down at about this (common
/// practice, no source).
pub const USUAL_DAMPING: f64 = 0.01;

/// Four cups of the library on a sheet.
fn sample() -> Project {
    let part = Part::rectangle(PartId(1), "", 600.0, 400.0);
    // Of a part that is let bend.
    let part = Part { damping: Some(crate::Sourced::assumed(USUAL_DAMPING)), ..part };
    let mut project = Project::new("", part);
    let Some(model) = library().first() else { return project };
    let circuit = project.circuits[0].id;
    let cup = |number: u32, x: f64, y: f64| Cup {
        id: CupId(1000 + number),
        tag: format!("C{number}"),
        model: model.id.clone(),
        at: glam::DVec2::new(x, y),
        turn_deg: 0.0,
        height_mm: 0.0,
        circuit,
        zone: if number < 3 { "A".to_owned() } else { "B".to_owned() },
        locked: false,
    };
    let cups = vec![cup(1, 100.0, 100.0), cup(2, 500.0, 100.0), cup(3, 100.0, 300.0), cup(4, 500.0, 300.0)];
    project.layouts[0] = Arc::new(Layout { cups, ..Layout::clone(&project.layouts[0]) });
    project.models = vec![model.clone()];
    project
}

/// What a click makes of its circuit, for every source of the library and every way of feeding.
fn circuits(project: &Project) -> Vec<Arc<Circuit>> {
    let (layout, circuit) = (project.layouts[0].id, CircuitId(project.circuits[0].id.0));
    let mut out = vec![project.circuits[0].clone()];
    for source in sources() {
        for arrangement in [Arrangement::Central, Arrangement::PerCup, Arrangement::InLine] {
            let Some(supply) = Supply::preset(project, layout, circuit, source, arrangement) else {
                continue;
            };
            let level = project.circuits[0].level_kpa.value;
            // What may be added to a circuit, as it is to begin with.
            let operation = Operation {
                exhaust: Some(Exhaust::preset(8.0)),
                blow_off: BlowOff::valve(),
                ..supply.operation.clone()
            };
            let dust = Some(Dust::preset());
            let cell_closing = Some(CellClosing::preset());
            let supply = Supply { operation, dust, cell_closing, ..supply };
            out.push(Arc::new(Circuit {
                supply: Some(Arc::new(supply)),
                thresholds: Some(Thresholds::preset(level)),
                ..Circuit::clone(&project.circuits[0])
            }));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of what a preset fills in, only places, sizes drawn from the part and figures of motions that are nought have no reason.
    #[test]
    fn every_default_has_its_reason_and_lies_in_its_range() {
        let table = customary();
        for one in &table {
            assert!(one.values.iter().all(|value| one.field.allows(*value)), "{one:?}");
            assert!(one.field.usual.len() > 10, "{one:?}");
        }
        let listed: Vec<&str> = table.iter().map(|one| one.field.key).collect();
        for field in fields().iter().filter(|field| !field.usual.is_empty()) {
            assert!(listed.contains(&field.key), "{} has a reason and no default", field.key);
        }
        for key in [
            "part.friction",
            "rules.friction_spread",
            "rules.favourable_weight",
            "cycle.compressor_kwh_per_m3",
            "motion.required_factor",
            "circuit.level_kpa",
            "circuit.thresholds.held_kpa",
            "circuit.supply.feed_kpa",
            "circuit.supply.line.bore_mm",
            "circuit.supply.lip_gap_um",
            "circuit.supply.dust.load_g_m3",
            "circuit.supply.cell_closing.leak_nl_min",
            "circuit.supply.operation.valve_s",
            "circuit.supply.operation.exhaust.flow_loss_per_kpa",
        ] {
            assert!(listed.contains(&key), "{key} is not listed");
        }
        // The reason names the figures: isentropic work over the efficiency.
        let work = table.iter().find(|one| one.field.key == "cycle.compressor_kwh_per_m3").expect("there");
        assert!((work.values[0] - 0.0789 / 0.7).abs() < 1e-3, "{work:?}");
    }
}
