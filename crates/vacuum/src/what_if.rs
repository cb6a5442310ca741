//! What would help most: one change at a time, each really solved again.

use crate::network::{CupId, ElementId, ElementKind, Network};
use crate::open_cups::each_cup_open;
use crate::solve::{Status, solve};
use units::VacuumLevel;

/// The network with a hose of another length (mm); `None` if the element is no hose or not longer than that.
#[must_use]
pub fn shorter_hose(network: &Network, element: ElementId, length_mm: f64) -> Option<Network> {
    let placed = network.spec().elements().get(element.index())?;
    if placed.kind.line()?.hose?.length_mm <= length_mm {
        return None;
    }
    let shortened = network.edit(|circuit| {
        let Some(placed) = circuit.element_mut(element) else { return };
        if let ElementKind::Line(line) = &mut placed.kind
            && let Some(hose) = &mut line.hose
        {
            hose.length_mm = length_mm;
            if let Some(coil) = &mut hose.coil {
                coil.length_mm = coil.length_mm.min(length_mm);
            }
        }
    });
    shortened.ok()
}

/// What a change does.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Which of the changed networks, by its place in the list.
    pub change: usize,
    /// The cup with the lowest level after it.
    pub worst_cup: CupId,
    /// Its level.
    pub worst_level: VacuumLevel,
    /// How much deeper that is than the lowest level before, kPa; negative if the change harms.
    pub gain_kpa: f64,
    /// The lowest level of a cup on the part while any one other is off it; `None` if not asked for or not known.
    pub worst_with_one_open: Option<VacuumLevel>,
    /// How much deeper that is than before, kPa.
    pub gain_with_one_open_kpa: Option<f64>,
}

/// Solves every changed network and puts those first that help the worst cup most. Both sides are shown: what helps while all cups
/// are on the part, such as a larger bore, may harm when one is off it. Changes that cannot be solved are left out.
#[must_use]
pub fn rank(network: &Network, changes: &[Network], with_one_open: bool) -> Vec<Outcome> {
    let Some((_, before)) = solve(network, None).worst_cup(network) else { return Vec::new() };
    let open = |network: &Network| if with_one_open { worst_with_one_open(network) } else { None };
    let open_before = open(network);
    let mut outcomes: Vec<Outcome> = changes
        .iter()
        .enumerate()
        .filter_map(|(change, changed)| {
            let (worst_cup, worst_level) = solve(changed, None).worst_cup(changed)?;
            let worst_with_one_open = open(changed);
            Some(Outcome {
                change,
                worst_cup,
                worst_level,
                gain_kpa: worst_level.kpa() - before.kpa(),
                worst_with_one_open,
                gain_with_one_open_kpa: worst_with_one_open
                    .zip(open_before)
                    .map(|(after, before)| after.kpa() - before.kpa()),
            })
        })
        .collect();
    outcomes.sort_by(|a, b| b.gain_kpa.total_cmp(&a.gain_kpa));
    outcomes
}

fn worst_with_one_open(network: &Network) -> Option<VacuumLevel> {
    let cases = each_cup_open(network);
    if cases.iter().any(|case| case.status == Status::NotConverged) {
        return None;
    }
    let levels = cases.iter().filter_map(|case| case.worst.map(|(_, level)| level));
    levels.reduce(|a, b| if b.kpa() < a.kpa() { b } else { a })
}

#[cfg(test)]
mod tests;
