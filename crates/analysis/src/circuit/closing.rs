//! Cells of an area gripper that close where they draw too much.
//!
//! An open cell closes when its own flow is above what the circuit states. With every open cell open the circuit is solved;
//! the cells above it close, the level gets deeper, and others may follow, until none does: a cell that closed stays closed.
//! Cells of one cup draw alike, so they close together. Since a deeper level only ever makes a cell draw more, the outcome
//! does not depend on the order.

use super::{input::CircuitInput, lower::Built};
use vacuum::{ElementId, ElementKind, ORIFICE_CRITICAL_RATIO, Restriction, Solution, solve};

/// bar in the standard atmosphere.
const BAR: f64 = 1.013_25;
/// s in a minute.
const MINUTE: f64 = 60.0;
/// Conductance that stands for none, dm³/(s·bar): the network needs some.
const TIGHT: f64 = 1e-9;

/// Closes what closes: changes the network, and says so of each cup.
pub(super) fn close_cells(input: &CircuitInput, built: &mut Built) {
    let Some(closing) = &input.supply.0.cell_closing else { return };
    let most = closing.at_nl_min.value;
    loop {
        let solution = solve(&built.network, None);
        let closes: Vec<(usize, ElementId, f64)> = (0..input.cups.len())
            .filter(|place| built.closed_cells.get(*place) == Some(&false))
            .filter_map(|place| {
                let element = built.open_cells.get(place).copied().flatten()?;
                let (open, _) = input.cups[place].cells(&input.supply.0)?;
                let count = f64::from(open);
                (flow(&solution, element)? > most * count).then_some((place, element, count))
            })
            .collect();
        if closes.is_empty() {
            return;
        }
        let changed = built.network.edit(|circuit| {
            for (_, element, count) in &closes {
                if let Some(element) = circuit.element_mut(*element) {
                    element.kind = ElementKind::Restrictor(leak(closing.leak_nl_min.value * count));
                }
            }
        });
        let Ok(network) = changed else { return };
        built.network = network;
        for (place, element, _) in closes {
            built.closed_cells[place] = true;
            let what = &mut built.elements[element.index()].what;
            *what = std::mem::take(what).and(units::Worded::text(", closed"));
        }
    }
}

fn flow(solution: &Solution, element: ElementId) -> Option<f64> {
    solution.elements.get(element.index())?.flow_nl_min
}

/// What lets so much in at most, L/min ANR.
fn leak(nl_min: f64) -> Restriction {
    let conductance_dm3_s_bar = (nl_min / MINUTE / BAR).max(TIGHT);
    Restriction { conductance_dm3_s_bar, critical_ratio: ORIFICE_CRITICAL_RATIO }
}
