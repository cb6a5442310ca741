//! `circuit.hoses`: cups of a circuit get different levels because their hoses differ.
//!
//! Why: the cup on the long hose holds least and is the last to be there; the tool is as strong as that one.
//! Limits: watched when the levels at the cups of a circuit differ by more than 5 % (project setting) of the deepest and
//! their hoses differ in length. Remedy: the cut length of each.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitStatus, HoseRow, Severity};
use units::Quantity;

/// Hoses whose lengths differ by no more than this share are alike.
const ALIKE: f64 = 0.05;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.hoses",
    title: "Unequal hoses",
    explains: "The cup on the longest hose has the lowest level and reaches it last; the tool is only as \
        strong as that cup.",
    fail: "",
    watch: "levels at the cups of a circuit differ by more than 5 %, and their hoses differ",
    remedy: "the cut length of each hose that makes them equal",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        let Some(worst) = circuit.worst_cup() else { continue };
        let Some(best) = circuit.cups.iter().max_by(|a, b| a.level_kpa.total_cmp(&b.level_kpa)) else {
            continue;
        };
        let spread = (best.level_kpa - worst.level_kpa) / best.level_kpa;
        let limit = facts.project.rules.level_spread;
        let of_cups: Vec<&HoseRow> = circuit.hoses.iter().filter(|hose| hose.cup.is_some()).collect();
        let longest = of_cups.iter().map(|hose| hose.cut_length_mm).fold(0.0, f64::max);
        let shortest = of_cups.iter().map(|hose| hose.cut_length_mm).fold(f64::INFINITY, f64::min);
        if spread.is_nan() || spread <= limit || of_cups.len() < 2 || shortest >= longest * (1.0 - ALIKE) {
            continue;
        }
        let words = facts.words;
        let says = format!(
            "The hoses of {} differ: {} gets {}, {} only {}.",
            circuit.name,
            facts.tag_of(best.id),
            words.level(best.level_kpa),
            facts.tag_of(worst.id),
            words.level(worst.level_kpa),
        );
        let cut: Vec<String> = of_cups
            .iter()
            .filter(|hose| hose.cut_length_mm < longest * (1.0 - ALIKE))
            .map(|hose| format!("{} from {}", hose.from, words.length(hose.cut_length_mm)))
            .collect();
        let remedy = format!(
            "Move the source or manifold to the middle of the cups, or cut every branch to {}: {}.",
            words.length(longest),
            crate::words::list(&cut),
        );
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .cups([worst.id])
                .figure(spread, limit, Quantity::Share)
                .remedy(remedy)
                .off(spread - limit),
        );
    }
}
