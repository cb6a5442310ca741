//! A network that was built, told with every figure.

use super::{input::CircuitInput, lower::Built, operation, source};
use crate::report::{
    CircuitNetwork, NetworkCup, NetworkHose, NetworkLeak, NetworkLoss, NetworkNode, NetworkRelease,
    NetworkSource, NetworkThrough, NetworkWay,
};
use units::VacuumLevel;
use vacuum::{Element, ElementKind, Leak, Line, NamedSource, NodeId, PlacedCup, Restriction};

/// Points of a curve that is told in straight pieces.
const PIECES: usize = 40;

fn through(restriction: Restriction) -> NetworkThrough {
    NetworkThrough { c_dm3_s_bar: restriction.conductance_dm3_s_bar, b: restriction.critical_ratio }
}

/// Everything that levels, times and costs of a circuit follow from.
pub(super) fn network(input: &CircuitInput, built: &Built) -> CircuitNetwork {
    let spec = built.network.spec();
    let name =
        |node: NodeId| spec.nodes().get(node.index()).map_or_else(String::new, |node| node.name.to_string());
    let nodes = spec.nodes().iter();
    let holes = spec.leaks().iter().filter_map(|leak| match leak.leak {
        Leak::Hole { bore_mm, discharge } => Some((name(leak.node), bore_mm, discharge)),
        _ => None,
    });
    CircuitNetwork {
        atmosphere_kpa: input.air.ambient.kpa(),
        temperature_c: input.air.temperature_c,
        nodes: nodes
            .map(|node| NetworkNode { name: node.name.to_string(), volume_ml: node.volume_cm3 })
            .collect(),
        ways: spec.elements().iter().map(|element| way(element, &name)).collect(),
        cups: spec
            .cups()
            .iter()
            .zip(&input.cups)
            .map(|(placed, cup)| self::cup(placed, cup.id, &name))
            .collect(),
        holes: holes.collect(),
        sources: spec.sources().iter().filter_map(|named| told_source(input, named, &name)).collect(),
        releases: built
            .releases
            .iter()
            .map(|(node, vent)| NetworkRelease { node: name(*node), vent: vent.map(through) })
            .collect(),
        source_check_leak: operation::seep(&input.supply.0).and_then(|seep| seep.opening()).map(through),
    }
}

fn way(element: &Element, name: &dyn Fn(NodeId) -> String) -> NetworkWay {
    let plain = NetworkWay {
        name: element.name.to_string(),
        from: name(element.from),
        to: name(element.to),
        kind: element.kind.word(),
        hose: None,
        losses: Vec::new(),
        kinetic: false,
        through: None,
        seep: None,
    };
    match &element.kind {
        ElementKind::Line(line) => {
            NetworkWay { hose: hose(line), losses: losses(line), kinetic: line.kinetic, ..plain }
        }
        ElementKind::Restrictor(r) | ElementKind::Filter(r) | ElementKind::Valve { through: r, .. } => {
            NetworkWay { through: Some(through(*r)), ..plain }
        }
        ElementKind::CheckValve { through: r, seep, .. } => {
            let seep = seep.map(|seep| (seep.nl_min, seep.at.kpa()));
            NetworkWay { through: Some(through(*r)), seep, ..plain }
        }
    }
}

fn hose(line: &Line) -> Option<NetworkHose> {
    line.hose.map(|hose| NetworkHose {
        length_mm: hose.length_mm,
        bore_mm: hose.bore_mm,
        roughness_mm: hose.roughness_mm,
        coil_mm: hose.coil.map(|coil| (coil.length_mm, coil.diameter_mm)),
    })
}

fn losses(line: &Line) -> Vec<NetworkLoss> {
    let each = line.fittings.iter();
    each.map(|fitting| NetworkLoss { k: fitting.k(), k_low: fitting.k_low(), bore_mm: fitting.bore_mm })
        .collect()
}

fn cup(placed: &PlacedCup, id: document::CupId, name: &dyn Fn(NodeId) -> String) -> NetworkCup {
    let cup = &placed.cup;
    let leaks = cup.leaks.iter().filter_map(|leak| match *leak {
        Leak::Porous { permeance_um_pa_s, area_mm2, .. } => {
            Some(NetworkLeak::Porous(permeance_um_pa_s, area_mm2))
        }
        Leak::LipGap { length_mm, gap_mm, lip_width_mm } => {
            Some(NetworkLeak::LipGap(length_mm, gap_mm, lip_width_mm))
        }
        _ => None,
    });
    NetworkCup {
        id,
        node: name(placed.node),
        free_ml: cup.free_volume_cm3,
        held_ml: cup.held_volume_cm3,
        down_at_kpa: cup.down_at_kpa,
        leaks: leaks.collect(),
    }
}

fn told_source(
    input: &CircuitInput,
    named: &NamedSource,
    name: &dyn Fn(NodeId) -> String,
) -> Option<NetworkSource> {
    let (source, air) = (&named.source, &input.air);
    let flow = |kpa: f64| source.flow_nl_min(VacuumLevel::from_kpa(kpa), air).ok();
    let (free, deepest) = (flow(0.0)?, source.deepest(air).ok()?.kpa());
    // Between the points of a stated curve the engine runs straight; a point each suits every shape.
    let shape = (0..=PIECES).map(|piece| piece as f64 / PIECES as f64);
    let own = input.model.0.curve.iter().filter_map(|point| {
        let last = input.model.0.curve.last()?.level_kpa;
        (last > 0.0).then(|| point.level_kpa / last)
    });
    let mut shares: Vec<f64> = shape.chain(own).filter(|share| (0.0..=1.0).contains(share)).collect();
    shares.sort_by(f64::total_cmp);
    shares.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let shape = shares.into_iter().map(|share| Some((share, flow(share * deepest)? / free)));
    Some(NetworkSource {
        name: named.name.to_string(),
        node: name(named.node),
        free_flow_nl_min: free,
        deepest_kpa: deepest,
        shape: shape.collect::<Option<_>>()?,
        air_nl_min: source.consumption_nl_min(air).ok()?,
        power_w: source.power_w(),
        way_back: through(source::way_back(&input.model.0, source)),
    })
}
