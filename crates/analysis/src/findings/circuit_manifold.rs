//! `circuit.manifold`: the ports of a manifold fed from one end have different levels.
//!
//! Why: all the air of the far ports passes the near ones; the cups at the far end have the least level.
//! Limits: watched when the levels at its ports differ by more than 5 % (project setting) of the deepest and it is fed
//! from one end. Remedy: feed it at both ends, with the level that gives.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitStatus, HelpChange, Severity};
use document::Fed;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.manifold",
    title: "Manifold fed from one end",
    explains: "Air from the far ports passes all the near ones, so the cups at the far end have the lowest \
        level.",
    fail: "",
    watch: "levels at the ports of a manifold fed from one end differ by more than 5 %",
    remedy: "feed both ends: the level that gives",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        let supply = facts.project.circuit(circuit.id).and_then(|circuit| circuit.supply.as_deref());
        let Some(supply) = supply else { continue };
        let of_zones = supply.valves.iter().filter_map(|valve| valve.manifold);
        let one_end = supply.manifold.into_iter().chain(of_zones).any(|manifold| manifold.fed == Fed::OneEnd);
        if !one_end {
            continue;
        }
        for manifold in &circuit.manifolds {
            let levels = || manifold.ports.iter().map(|(_, level)| *level);
            let (low, high) = (levels().fold(f64::INFINITY, f64::min), levels().fold(0.0, f64::max));
            let spread = (high - low) / high;
            let limit = facts.project.rules.level_spread;
            if spread.is_nan() || spread <= limit {
                continue;
            }
            let words = facts.words;
            let says = format!(
                "The {} of {} is fed from one end: {} at its best port, {} at its last.",
                manifold.name,
                circuit.name,
                words.level(high),
                words.level(low),
            );
            let helps = circuit
                .slow
                .as_ref()
                .and_then(|slow| slow.helps.iter().find(|help| help.change == HelpChange::FedAtBothEnds));
            let remedy = match helps {
                Some(help) => format!(
                    "Fed at both ends, the worst cup gets {} instead of {}.",
                    words.level(help.worst_level_kpa_to),
                    words.level(help.worst_level_kpa_from)
                ),
                None => "Feed it at both ends, or use a larger bore.".to_owned(),
            };
            out.push(
                Draft::new(INFO.id, Severity::Watch, says)
                    .figure(spread, limit, Quantity::Share)
                    .remedy(remedy)
                    .off(spread - limit),
            );
        }
    }
}
