//! What would help most: one change at a time, each really solved again.

use crate::line::Line;
use crate::network::{CupId, ElementId, ElementKind, Network, NetworkBuilder};
use crate::open_cups::each_cup_open;
use crate::solve::{Status, solve};
use units::{VacuumLevel, figure};

/// A network with one change.
#[derive(Debug, Clone)]
pub struct Changed {
    /// What was changed, in words.
    pub name: String,
    /// The network with the change.
    pub network: Network,
}

impl Changed {
    fn of(network: &Network, name: String, change: impl FnOnce(&mut NetworkBuilder)) -> Option<Self> {
        Some(Self { name, network: network.edit(change).ok()? })
    }
}

/// The name of an element and its line; `None` if it is no hose.
fn line(network: &Network, element: ElementId) -> Option<(String, &Line)> {
    let placed = network.spec().elements().get(element.index())?;
    Some((placed.name.to_string(), placed.kind.line()?))
}

fn with_line(
    network: &Network,
    element: ElementId,
    name: String,
    change: impl FnOnce(&mut Line),
) -> Option<Changed> {
    Changed::of(network, name, |circuit| {
        if let Some(ElementKind::Line(line)) = circuit.element_mut(element).map(|placed| &mut placed.kind) {
            change(line);
        }
    })
}

/// A hose of another length (mm); `None` if it is no hose or not longer than that.
#[must_use]
pub fn shorter_hose(network: &Network, element: ElementId, length_mm: f64) -> Option<Changed> {
    let (name, old) = line(network, element)?;
    let length = old.hose?.length_mm;
    if length <= length_mm {
        return None;
    }
    with_line(
        network,
        element,
        format!("{name} {} mm long instead of {} mm", figure(length_mm, 0), figure(length, 0)),
        |line| {
            if let Some(hose) = &mut line.hose {
                hose.length_mm = length_mm;
                if let Some(coil) = &mut hose.coil {
                    coil.length_mm = coil.length_mm.min(length_mm);
                }
            }
        },
    )
}

/// What a change does.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// What was changed, in words.
    pub name: String,
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
pub fn rank(network: &Network, changes: &[Changed], with_one_open: bool) -> Vec<Outcome> {
    let Some((_, before)) = solve(network, None).worst_cup(network) else { return Vec::new() };
    let open = |network: &Network| if with_one_open { worst_with_one_open(network) } else { None };
    let open_before = open(network);
    let mut outcomes: Vec<Outcome> = changes
        .iter()
        .filter_map(|changed| {
            let (worst_cup, worst_level) = solve(&changed.network, None).worst_cup(&changed.network)?;
            let worst_with_one_open = open(&changed.network);
            Some(Outcome {
                name: changed.name.clone(),
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
