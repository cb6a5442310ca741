//! What happens when cups come off the part.

use crate::network::{CupId, Network};
use crate::solve::{Solution, State, Status, solve};
use units::VacuumLevel;

/// The circuit with some cups off the part.
#[derive(Debug, Clone, PartialEq)]
pub struct WithOpen {
    /// The cups that are off.
    pub open: Vec<CupId>,
    /// Level at each cup, those off the part included; `None` where unknown. A tight cup behind a check valve keeps the level it
    /// had before.
    pub levels: Vec<Option<VacuumLevel>>,
    /// The cup still on the part with the lowest level; `None` if none is on it or a level is unknown.
    pub worst: Option<(CupId, VacuumLevel)>,
    /// How solving ended.
    pub status: Status,
}

/// Every cup off the part in turn.
///
/// # Example
/// ```
/// # use units::VacuumLevel;
/// # use vacuum::*;
/// # let mut circuit = NetworkBuilder::new(Air::default());
/// # let port = circuit.node("port");
/// # circuit.source("pump", port, Source::pump(SourceCurve::linear(90.0, VacuumLevel::from_kpa(85.0)), 250.0));
/// # for name in ["C1", "C2", "C3"] {
/// #     let cup = circuit.cup(Cup::tight(name, 4.0).with_leak(Leak::porous(1.0, 1000.0)));
/// #     circuit.line(name, circuit.cup_node(cup), port, Line::hose(Hose::new(800.0, 6.0)));
/// # }
/// # let network = circuit.build().expect("a circuit of three cups");
/// for lost in each_cup_open(&network) {
///     let (_, level) = lost.worst.expect("two cups are left");
///     assert!(level.kpa() < 60.0); // kPa: an open bore takes most of what the pump draws
/// }
/// ```
#[must_use]
pub fn each_cup_open(network: &Network) -> Vec<WithOpen> {
    let intact = solve(network, None);
    network.spec().cup_ids().map(|cup| with_open(network, &intact, &[cup], None).0).collect()
}

/// Some cups off the part.
#[must_use]
pub fn cups_open(network: &Network, open: &[CupId]) -> WithOpen {
    with_open(network, &solve(network, None), open, None).0
}

fn with_open(
    network: &Network,
    before: &Solution,
    open: &[CupId],
    warm: Option<&State>,
) -> (WithOpen, Solution) {
    let opened = open.iter().fold(network.clone(), |network, &cup| network.with_cup_open(cup, true));
    let solution = solve(&opened, Some(warm.unwrap_or(&before.state)));
    let levels: Vec<Option<VacuumLevel>> = network
        .spec()
        .cups()
        .iter()
        .enumerate()
        .map(|(cup, placed)| {
            let (now, was) = (solution.cups[cup].level, before.cups[cup].level);
            let kept = solution.tight.get(placed.node.index()).copied().unwrap_or(false);
            match (now, was) {
                (Some(now), Some(was)) if kept && was.kpa() > now.kpa() => Some(was),
                _ => now,
            }
        })
        .collect();
    let mut worst: Option<(CupId, VacuumLevel)> = None;
    let mut known = true;
    for (cup, (placed, level)) in opened.spec().cups().iter().zip(&levels).enumerate() {
        if placed.cup.open {
            continue;
        }
        match level {
            None => known = false,
            Some(level) if worst.is_none_or(|(_, least)| level.kpa() < least.kpa()) => {
                worst = Some((CupId(cup), *level));
            }
            Some(_) => {}
        }
    }
    let status = solution.status.clone();
    (WithOpen { open: open.to_vec(), levels, worst: worst.filter(|_| known), status }, solution)
}

/// How many cups may come off the part.
#[derive(Debug, Clone, PartialEq)]
pub struct Survival {
    /// So many may, whichever they are, and every other cup keeps the level needed.
    pub open_cups: usize,
    /// The cups in the order that hurts most, up to the first that is too many (it is the last of the list, unless all may come off).
    pub worst_order: Vec<CupId>,
}

/// How many open cups the sources survive while every cup on the part keeps a level.
///
/// Each next cup is the one that hurts the others most: opening more never raises a level, so that this is the worst order for
/// circuits whose cups are alike; where they are not, it is close to it.
#[must_use]
pub fn survivable_open_cups(network: &Network, needed: VacuumLevel) -> Survival {
    let intact = solve(network, None);
    let enough =
        |worst: Option<(CupId, VacuumLevel)>| worst.is_some_and(|(_, level)| level.kpa() >= needed.kpa());
    let mut order: Vec<CupId> = Vec::new();
    if !enough(intact.worst_cup(network)) {
        return Survival { open_cups: 0, worst_order: order };
    }
    let cups: Vec<CupId> = network.spec().cup_ids().collect();
    while order.len() + 1 < cups.len() {
        let mut worst: Option<(CupId, Option<VacuumLevel>)> = None;
        for &cup in cups.iter().filter(|cup| !order.contains(cup)) {
            let open: Vec<CupId> = order.iter().copied().chain([cup]).collect();
            let level = with_open(network, &intact, &open, None).0.worst.map(|(_, level)| level);
            let kpa = |level: Option<VacuumLevel>| level.map_or(f64::NEG_INFINITY, VacuumLevel::kpa);
            if worst.is_none_or(|(_, least)| kpa(level) < kpa(least)) {
                worst = Some((cup, level));
            }
        }
        let Some((cup, level)) = worst else { break };
        order.push(cup);
        if level.is_none_or(|level| level.kpa() < needed.kpa()) {
            return Survival { open_cups: order.len() - 1, worst_order: order };
        }
    }
    Survival { open_cups: order.len(), worst_order: order }
}

#[cfg(test)]
mod tests;
