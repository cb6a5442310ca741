//! What stands in a new project, and in a new circuit, where nobody said anything: one table, read off the presets themselves.

use crate::{
    Arrangement, CellClosing, Circuit, CircuitId, Cup, CupId, Dust, Exhaust, Field, Layout, Motion, MotionId,
    MotionKind, Operation, Part, PartId, Project, Supply, Thresholds, fields, library, numbers, sources,
};
use std::sync::Arc;

/// A figure that is taken where nobody gave one.
#[derive(Debug, Clone, PartialEq)]
pub struct Customary {
    /// Which number of the file, with its range and what its range rests on.
    pub field: &'static Field,
    /// In the file's unit, rising; several where it depends on the kind of motion, on the source or on the surface.
    pub values: Vec<f64>,
    /// Why this figure.
    pub why: &'static str,
}

/// Reasons, by key of the field. Where none names a source it is common practice, no source.
const REASONS: &[(&str, &str)] = &[
    ("part.thickness_mm", "a sheet to begin with; it is asked for"),
    ("part.mass.Density.kg_m3", "steel, as the preset material"),
    ("part.friction", "rubber on dry clean steel, the preset material; assumed until it is measured"),
    ("part.uneven_mm", "flat sheet lies within this on a table"),
    ("part.placement.position_mm", "a stop or a stack places so well"),
    ("part.placement.turn_deg", "a stop or a stack places so well"),
    ("part.placement.drawing_mm", "a sheet is cut so well"),
    ("site.altitude_m", "sea level; a higher place gives less level and is asked for"),
    ("site.temperature_c", "ISO 8778 and ISO 6358 state flows at 20 °C"),
    ("rules.gap_watch_mm", "lips swell under load"),
    ("rules.factor_watch", "what is met by less wants a second look"),
    ("rules.centroid_offset_share", "a tenth of the spread shifts loads by about a tenth"),
    ("rules.most_over_mean", "a cup that takes half as much again is the first to let go"),
    ("rules.slide_share", "a thin ring's limit lies inside the friction ellipse by up to 2√2/π = 0.900"),
    ("rules.payload_watch", "a robot near its payload is slower and less exact"),
    ("rules.friction_spread", "friction of rubber on one surface scatters so much from day to day"),
    ("rules.stiffness_spread", "moulded rubber of one hardness scatters so much"),
    ("rules.lip_spread", "where a lip bears moves by so much under load"),
    ("rules.favourable_weight", "favourable permanent actions count at 0.9 (EN 1990, EQU; from memory)"),
    ("rules.supply_margin", "wear and a filter in use take a fourth of the flow"),
    ("rules.level_spread", "what a gauge tells apart"),
    ("rules.element_loss", "what loses a tenth of the level is worth a larger bore"),
    ("cycle.picks_per_hour", "one pick in six seconds; costs only"),
    ("cycle.hold_s", "a third of that pick; costs only"),
    ("cycle.hours_per_year", "two shifts; costs only"),
    (
        "cycle.air_price_per_m3",
        "the compressor's electricity at the figures below, and its upkeep; costs only",
    ),
    ("cycle.energy_price_per_kwh", "an industrial tariff; costs only"),
    ("cycle.compressor_kwh_per_m3", "isentropic work to 7 bar over an efficiency of 0.7: 0.0789 / 0.7"),
    ("motion.required_factor", "2 where lips are pulled, 4 where friction alone carries"),
    ("motion.acceleration", "what the kind of motion commonly has; the robot's own is asked for"),
    ("motion.inertia_times", "a smooth start; a sudden one is offered as twice"),
    ("circuit.level_kpa", "what a circuit with small leaks commonly keeps, while no source is chosen"),
    ("circuit.thresholds.held_kpa", "75 % of the level asked for: every good pick must pass it"),
    ("circuit.thresholds.saving_off_kpa", "95 % of the level asked for: the source must reach it"),
    ("circuit.thresholds.time_out_s", "longer than a good pick takes"),
    ("circuit.thresholds.hold_s", "time to set a part down"),
    ("circuit.supply.feed_kpa", "what the source is rated at; a long air line gives less"),
    ("circuit.supply.line.bore_mm", "from 4 mm for one cup to 25 mm for a blower, by what the source draws"),
    ("circuit.supply.line.length.slack_mm", "movement of posts and the bends at both ends"),
    ("circuit.supply.restriction.c_dm3_s_bar", "half to three quarters of an ideal hole of the hose's bore"),
    ("circuit.supply.restriction.b", "short parts have 0.3 to 0.5 (ISO 6358, from memory)"),
    ("circuit.supply.manifold.bore_mm", "one and a half times the main hose, so that ports differ little"),
    ("circuit.supply.manifold.length_mm", "ports 25 mm apart"),
    (
        "circuit.supply.lip_gap_um",
        "3 µm on smooth, 10 on porous, 20 on structured surfaces; a leak-down trial says better",
    ),
    ("circuit.supply.operation.valve_s", "a small solenoid valve's response"),
    ("circuit.supply.operation.switch_s", "a vacuum switch with its input and program cycle"),
    (
        "circuit.supply.operation.blow_off.feed_kpa",
        "blown off at no more than this, so that small parts stay",
    ),
    (
        "circuit.supply.operation.check_leak_nl_min",
        "a soft seat that is not quite tight; none would flatter the hold time",
    ),
    ("circuit.supply.operation.check_leak_at_kpa", "a level that check valves are commonly stated at"),
    ("circuit.supply.operation.exhaust.flow_loss_per_kpa", "a back-pressure of some kPa is felt in the flow"),
    (
        "circuit.supply.operation.exhaust.level_loss_per_kpa",
        "a back-pressure lowers the deepest level by about as much",
    ),
    ("circuit.supply.dust.load_g_m3", "a dusty workshop; packing and sawing have several times as much"),
    ("circuit.supply.dust.capacity_g", "a filter cartridge of a tool is half clogged by some grams"),
    ("circuit.supply.dust.cleaned_h", "once a week of one shift"),
    (
        "circuit.supply.cell_closing.at_nl_min",
        "more than a covered cell draws on board, less than an open one",
    ),
    ("circuit.supply.cell_closing.leak_nl_min", "a ball on its seat is not quite tight"),
    ("circuit.supply.operation.exhaust.length_mm", "a hose to beside the tool"),
];

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
    numbers::part(part, &mut add);
    numbers::site(&mut project.site, &mut add);
    numbers::rules(&mut project.rules, &mut add);
    numbers::cycle(&mut project.cycle, &mut add);
    for kind in MotionKind::ALL {
        numbers::motion(&mut Motion::preset(MotionId(1), *kind), &mut add);
    }
    for circuit in circuits(&project) {
        numbers::circuit(&mut Circuit::clone(&circuit), &mut add);
    }
    let reason = |key: &str| REASONS.iter().find(|(of, _)| *of == key).map(|(_, why)| *why);
    fields()
        .iter()
        .filter_map(|field| {
            let why = reason(field.key)?;
            let mut values: Vec<f64> =
                met.iter().filter(|(key, _)| *key == field.key).map(|(_, value)| *value).collect();
            values.sort_by(f64::total_cmp);
            values.dedup();
            // Pumps and blowers are not fed.
            values.retain(|value| field.key != "circuit.supply.feed_kpa" || *value > 0.0);
            (!values.is_empty()).then_some(Customary { field, values, why })
        })
        .collect()
}

/// Four cups of the library on a sheet.
fn sample() -> Project {
    let mut project = Project::new("", Part::rectangle(PartId(1), "", 600.0, 400.0));
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
            let operation = Operation { exhaust: Some(Exhaust::preset(8.0)), ..supply.operation.clone() };
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
            assert!(one.why.len() > 10, "{one:?}");
        }
        let listed: Vec<&str> = table.iter().map(|one| one.field.key).collect();
        for (key, _) in REASONS {
            assert!(fields().iter().any(|field| field.key == *key), "{key} is no field");
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
