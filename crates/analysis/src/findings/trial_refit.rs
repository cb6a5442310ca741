//! `trial.refit`: the gap under the lips is the one that a measured level made it.
//!
//! Why: the level measured when the tool was taken into service replaced what was assumed of the gap; every figure of the
//! circuit now rests on that measurement, and whoever changes source or hoses should know. Limit: advice while the gap is
//! measured and a level of that layout is kept. Remedy: when to measure again.

use super::{Draft, Facts, RuleInfo};
use crate::{
    circuit::baseline_levels,
    report::{CircuitStatus, Severity},
    words,
};
use document::Origin;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "trial.refit",
    title: "Gap under the lips fitted to the trial",
    explains: "A level measured at commissioning replaces the assumed gap under the lips with the one at \
        which the circuit reaches that level.",
    fail: "",
    watch: "",
    remedy: "when to measure again",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let measured = baseline_levels(facts.project, facts.layout.id);
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        let held = facts.project.circuit(circuit.id);
        let Some(gap) = held.and_then(|circuit| circuit.supply.as_deref()).map(|supply| &supply.lip_gap_um)
        else {
            continue;
        };
        if gap.origin != Origin::Measured {
            continue;
        }
        let at = measured.iter().filter_map(|level| {
            let cup = circuit.cups.iter().find(|cup| cup.id == level.cup)?;
            let on = if level.on.is_empty() { String::new() } else { format!(" on {}", level.on) };
            let words = facts.words;
            let (tag, worked_out) = (facts.tag_of(cup.id), words.level(cup.level_kpa));
            Some((
                cup.id,
                format!("{worked_out} at {tag}, where {} was measured{on}", words.level(level.kpa)),
            ))
        });
        let (cups, at): (Vec<_>, Vec<String>) = at.unzip();
        if at.is_empty() {
            continue;
        }
        let says = format!(
            "The gap under the lips on {} is {} since the trial: with it the circuit reaches {}.",
            circuit.name,
            facts.words.length_of_gap(gap.value),
            words::list(&at),
        );
        out.push(
            Draft::new(INFO.id, Severity::Advice, says)
                .cups(cups)
                .figure(gap.value * 1e-3, f64::NAN, Quantity::Length)
                .remedy(
                    "Measure the level again after any change of lips, part, source or hoses.".to_owned(),
                ),
        );
    }
}
