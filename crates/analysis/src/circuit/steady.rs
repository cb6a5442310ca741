//! A solved circuit, as the report tells it.

use super::{
    design,
    input::CircuitInput,
    lines::Piece,
    lower::{self, Built, Described},
};
use crate::{
    inputs::figures_in_words,
    report::{
        CellsReport, CircuitCup, CircuitElement, CircuitManifold, CircuitReport, CircuitSource,
        CircuitStatus, ElementOf, HoseRow, Severity, ZoneRow,
    },
};
use document::{Arrangement, Circuit, CircuitId};
use std::sync::Arc;
use units::{Part, Quantity, VacuumLevel, Worded};
use vacuum::{LinePart, Network, NodeId, Solution, State, Status, solve};

/// Points of a source's curve and of what the circuit leaks.
const CURVE_POINTS: usize = 25;
const LEAK_POINTS: usize = 9;

/// A circuit worked out: the report on it, and what the slow stages go on from.
#[derive(Debug, Clone)]
pub(crate) struct Solved {
    pub report: CircuitReport,
    pub built: Option<Arc<Built>>,
    /// Where there is a level at every cup.
    pub solution: Option<Arc<Solution>>,
}

/// A circuit without figures.
pub(crate) fn without(circuit: &Circuit, wanted_kpa: f64, status: CircuitStatus) -> CircuitReport {
    blank(circuit.id, &circuit.name, wanted_kpa, status)
}

fn blank(id: CircuitId, name: &str, wanted_kpa: f64, status: CircuitStatus) -> CircuitReport {
    CircuitReport {
        id,
        name: name.to_owned(),
        status,
        wanted_kpa,
        design: None,
        source_level_kpa: None,
        flow_nl_min: None,
        air_nl_min: None,
        power_w: None,
        cups: Vec::new(),
        elements: Vec::new(),
        sources: Vec::new(),
        manifolds: Vec::new(),
        hoses: Vec::new(),
        zones: Vec::new(),
        slow: None,
    }
}

/// Solves a circuit from the atmosphere, so that the figures depend on its inputs alone, to the last digit: what was worked
/// out before lends its order of elimination only. A start from the last state would save a few per cent of a step of a
/// drag, and a cup moved there and back would no longer find the slow figures that belong to it.
pub(crate) fn work_out(input: &CircuitInput, before: Option<&Solved>) -> Solved {
    let empty = |status: CircuitStatus, hoses: Vec<HoseRow>| CircuitReport {
        hoses,
        zones: zones(input),
        ..blank(input.id, &input.name, input.wanted_kpa, status)
    };
    let built = match lower::network_after(input, before.and_then(|solved| solved.built.as_deref())) {
        Ok(built) => built,
        Err(says) => {
            let says = says.iter().map(|says| figures_in_words(says)).collect();
            let report = empty(CircuitStatus::Invalid(says), Vec::new());
            return Solved { report, built: None, solution: None };
        }
    };
    let solution = solve(&built.network, None);
    let levels: Option<Vec<CircuitCup>> = input
        .cups
        .iter()
        .zip(&solution.cups)
        .zip(built.open_cells.iter().zip(&built.closed_cells))
        .map(|((cup, figures), (open_cells, closed))| {
            let through = open_cells.and_then(|id| solution.elements.get(id.index())?.flow_nl_min);
            Some(CircuitCup {
                id: cup.id,
                level_kpa: figures.level?.kpa(),
                // Once the levels at the switches are known.
                design_kpa: 0.0,
                leak_nl_min: figures.entering_nl_min? + through.unwrap_or(0.0),
                cells: cup.cells(&input.supply.0).map(|(open, all)| CellsReport {
                    open,
                    all,
                    closed: if *closed { open } else { 0 },
                }),
                // The findings judge it.
                against_wanted: Severity::Ok,
            })
        })
        .collect();
    let status = match (&solution.status, &levels) {
        (Status::NotConverged, _) => CircuitStatus::NotConverged,
        (Status::Undetermined { .. }, _) | (Status::Solved, None) => {
            CircuitStatus::Undetermined(format!("circuit {}: {}", input.name, solution.says(&built.network)))
        }
        (Status::Solved, Some(_)) => CircuitStatus::Solved,
    };
    let hoses = built.hoses.clone();
    let (CircuitStatus::Solved, Some(mut cups)) = (&status, levels) else {
        return Solved { report: empty(status, hoses), built: Some(Arc::new(built)), solution: None };
    };
    let spec = built.network.spec();
    let sources = sources(input, &built, &solution);
    let thresholds = input.thresholds.as_ref();
    let switches: Vec<(Option<document::CupId>, f64)> =
        sources.iter().map(|source| (source.cup, source.level_kpa)).collect();
    let designs = design::at_cups(thresholds, &switches, cups.iter().map(|cup| (cup.id, cup.level_kpa)));
    for (cup, design_kpa) in cups.iter_mut().zip(designs) {
        cup.design_kpa = design_kpa;
    }
    let running = spec.sources();
    let air: f64 = running.iter().filter_map(|named| named.source.consumption_nl_min(&input.air).ok()).sum();
    let power: f64 = running.iter().map(|named| named.source.power_w()).sum();
    let report = CircuitReport {
        design: sources.first().map(|source| design::worked_out(thresholds, source.level_kpa)),
        source_level_kpa: sources.first().map(|source| source.level_kpa),
        flow_nl_min: Some(sources.iter().map(|source| source.flow_nl_min).sum()),
        air_nl_min: (air > 0.0).then_some(air),
        power_w: (power > 0.0).then_some(power),
        cups,
        elements: elements(&built, &solution),
        sources,
        manifolds: manifolds(&built, &solution),
        ..empty(status, hoses)
    };
    Solved { report, built: Some(Arc::new(built)), solution: Some(Arc::new(solution)) }
}

/// Zones in the order of their first cup.
fn zones(input: &CircuitInput) -> Vec<ZoneRow> {
    let supply = &input.supply.0;
    let central = supply.arrangement == Arrangement::Central;
    let mut rows: Vec<ZoneRow> = Vec::new();
    for cup in &input.cups {
        if let Some(row) = rows.iter_mut().find(|row| row.zone == cup.zone) {
            row.cups.push(cup.id);
            continue;
        }
        let valve = supply.valve_of(&cup.zone).and_then(|valve| supply.valves.get(valve));
        let what = if central { "valve zone" } else { "feed valve zone" };
        rows.push(ZoneRow {
            zone: cup.zone.clone(),
            cups: vec![cup.id],
            valve: valve.map(|valve| format!("{what} {}", valve.zone)),
            check_valve: supply.check_valve_at_cup || valve.is_some_and(|valve| valve.check_valve),
        });
    }
    rows
}

fn level_at(built: &Built, solution: &Solution, node: NodeId) -> Option<f64> {
    let pressure = solution.nodes.get(node.index()).copied().flatten()?;
    Some(pressure.level(built.network.air().ambient).kpa())
}

fn manifolds(built: &Built, solution: &Solution) -> Vec<CircuitManifold> {
    let each = built.manifolds.iter().map(|manifold| CircuitManifold {
        name: manifold.name.clone(),
        ports: manifold
            .ports
            .iter()
            .filter_map(|(at, node)| Some((*at, level_at(built, solution, *node)?)))
            .collect(),
    });
    each.collect()
}

/// Elements one by one; a hose and each kind of its fittings apart.
fn elements(built: &Built, solution: &Solution) -> Vec<CircuitElement> {
    let mut out = Vec::new();
    let ids = built.network.spec().element_ids();
    for ((described, figures), id) in built.elements.iter().zip(&solution.elements).zip(ids) {
        let (Some(flow), Some(loss), Some(regime)) = (figures.flow_nl_min, figures.loss_kpa, figures.regime)
        else {
            continue;
        };
        let element = |what: Worded, loss_kpa: f64, hose: bool, piece: Option<&Piece>| CircuitElement {
            name: described.name.clone(),
            of: piece.map_or(described.of, |piece| piece.of),
            what,
            cup: described.cup,
            zone: described.zone.clone(),
            path: if hose { described.path.clone() } else { Vec::new() },
            length_mm: described.cut_mm.filter(|_| hose),
            bore_mm: piece.map(|piece| piece.bore_mm).or(described.bore_mm),
            method: piece.map(|piece| piece.method).filter(|method| !method.is_empty()),
            flow_nl_min: flow,
            loss_kpa,
            regime,
        };
        let Some(pieces) = &described.pieces else {
            let what =
                if described.what.is_empty() { channel_text(described) } else { described.what.clone() };
            out.push(element(what, loss, true, None));
            continue;
        };
        let parts = solution.part_losses(&built.network, id);
        // Friction is told part by part; what the air's acceleration takes is shared out with it.
        let friction: f64 = parts.iter().map(|part| part.loss_kpa).sum();
        let times = if friction > 0.0 { loss / friction } else { 1.0 };
        let of = |wanted: &dyn Fn(LinePart) -> bool| -> f64 {
            times * parts.iter().filter(|part| wanted(part.part)).map(|part| part.loss_kpa).sum::<f64>()
        };
        // The air's entrance at the cup stands behind the fittings and is told with the hose.
        let listed: usize = pieces.iter().map(|piece| piece.fittings).sum();
        let of_hose = of(&|part| !matches!(part, LinePart::Fitting(index) if index < listed));
        out.push(element(hose_text(described), of_hose, true, None));
        let mut first = 0;
        for piece in pieces {
            let range = first..first + piece.fittings;
            let loss = of(&|part| matches!(part, LinePart::Fitting(index) if range.contains(&index)));
            out.push(element(piece.what.clone(), loss, false, Some(piece)));
            first = range.end;
        }
    }
    out
}

/// A length as the shop reads it, to a tenth of a millimetre.
fn size(mm: Option<f64>) -> Part {
    ((mm.unwrap_or(0.0) * 10.0).round() / 10.0, Quantity::Length).into()
}

fn hose_text(described: &Described) -> Worded {
    let coiled = described.of == ElementOf::Hose { coiled: true };
    let word = if coiled { "coiled hose" } else { "hose" };
    let length = described.cut_mm.unwrap_or(0.0).round();
    Worded::new("{} {}, {}", [word.into(), size(described.bore_mm), size(Some(length))])
}

fn channel_text(described: &Described) -> Worded {
    Worded::new("channel {}, {}", [size(described.bore_mm), size(described.cut_mm)])
}

fn sources(input: &CircuitInput, built: &Built, solution: &Solution) -> Vec<CircuitSource> {
    let air = built.network.air();
    let spec = built.network.spec();
    let deepest = spec
        .sources()
        .first()
        .and_then(|named| named.source.deepest(&air).ok())
        .map_or(0.0, |deepest| deepest.kpa());
    let at = |points: usize, index: usize| deepest * index as f64 / (points - 1) as f64;
    let leak_levels: Vec<f64> = (0..LEAK_POINTS).map(|index| at(LEAK_POINTS, index)).collect();
    let leaks = leaks_at(built, &leak_levels, &solution.state);
    built
        .sources
        .iter()
        .zip(spec.sources())
        .zip(&solution.sources)
        .enumerate()
        .filter_map(|(index, ((place, named), figures))| {
            let curve = (0..CURVE_POINTS).filter_map(|point| {
                let level = at(CURVE_POINTS, point);
                Some((level, named.source.flow_nl_min(VacuumLevel::from_kpa(level), &air).ok()?))
            });
            let leak_curve = leak_levels
                .iter()
                .zip(&leaks)
                .filter_map(|(level, flows)| Some((*level, *flows.as_ref()?.get(index)?)));
            Some(CircuitSource {
                name: if place.cup.is_some() { place.name.clone() } else { input.source_name() },
                cup: place.cup,
                level_kpa: figures.level?.kpa(),
                flow_nl_min: figures.flow_nl_min?,
                deepest_kpa: deepest,
                exhaust: named.source.exhaust_takes(&air).ok().flatten(),
                at: Some(place.at),
                curve: curve.collect(),
                leak_curve: leak_curve.collect(),
            })
        })
        .collect()
}

/// What arrives at each source while all source ports are kept at a level, L/min ANR, for each level; `None` where it
/// was not found.
pub(crate) fn leaks_at(built: &Built, levels: &[f64], near: &State) -> Vec<Option<Vec<f64>>> {
    let outside = built.network.air().ambient;
    let mut state = near.clone();
    let mut kept = built.network.clone();
    levels
        .iter()
        .map(|level| {
            let pressure = VacuumLevel::from_kpa(*level).absolute(outside);
            if !built.sources.iter().all(|source| kept.hold(source.node, pressure)) {
                return None;
            }
            let solution = solve(&kept, Some(&state));
            if solution.status == Status::NotConverged {
                return None;
            }
            let flows: Option<Vec<f64>> =
                built.sources.iter().map(|source| arriving(&kept, &solution, source.node)).collect();
            state = solution.state;
            flows
        })
        .collect()
}

/// Air that arrives at a node through elements and cups that stand on it, L/min ANR.
fn arriving(network: &Network, solution: &Solution, node: NodeId) -> Option<f64> {
    let spec = network.spec();
    let mut sum = 0.0;
    for (element, figures) in spec.elements().iter().zip(&solution.elements) {
        if element.to == node {
            sum += figures.flow_nl_min?;
        } else if element.from == node {
            sum -= figures.flow_nl_min?;
        }
    }
    for (placed, figures) in spec.cups().iter().zip(&solution.cups) {
        if placed.node == node {
            sum += figures.entering_nl_min?;
        }
    }
    // The engine's slope at rest leaves a trace.
    Some(if sum.abs() < 1e-9 { 0.0 } else { sum })
}
