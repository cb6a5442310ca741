//! `circuit.release`: the part is not let go.
//!
//! Why: check valves that keep the level when the feed fails keep it when the part is to be set down as well; a machine that waits
//! for the level to go waits for ever.
//! Limits: watched when neither venting nor blow-off takes the level at every cup below a twentieth within a minute. Remedy: a way
//! in for air behind the check valves.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitStatus, Severity};
use crate::slow::Slow;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.release",
    title: "Part is not released",
    explains: "Whatever holds the vacuum if the feed fails also holds it when the part should be released: \
        air must get in at the cups.",
    fail: "",
    watch: "neither venting nor blow-off brings the level below a twentieth at every cup within a minute",
    remedy: "a way for air to enter at the cups",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    if !facts.ages.is_current(Slow::Times) {
        return;
    }
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        let Some(slow) = circuit.slow.as_ref() else { continue };
        if !slow.still_held || slow.release_blow_off_s.is_some() {
            continue;
        }
        let held = facts.project.circuit(circuit.id).and_then(|held| held.supply.as_deref());
        let shut = held.is_some_and(|supply| supply.check_valve_at_cup);
        let because = if shut { ": the check valves hold it" } else { "" };
        let says = format!(
            "With its source off, {} still holds the part after a minute{because}. The cycle time is unknown.",
            circuit.name,
        );
        let remedy = "Blow air in behind the check valves, fit a vent at each cup, or move the check valves \
            to the source.";
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .cups(facts.on_circuit(circuit.id))
                .remedy(remedy.to_owned()),
        );
    }
}
