//! `circuit.cycle`: a pick takes longer than the cycle leaves.
//!
//! Why: energy, air and cost are reckoned for so many picks an hour; valve, evacuation, switch, hold and release must fit between
//! two of them.
//! Limits: fails when one pick takes longer than an hour over the picks in it. Remedy: what takes the time, or fewer picks.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;
use crate::slow::Slow;
use units::Quantity;

const S_PER_H: f64 = 3600.0;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.cycle",
    title: "Pick and release take longer than the cycle",
    explains: "Valve, evacuation, switch, hold time and release must fit into one cycle.",
    fail: "pick and release take longer than one hour divided by the cycles per hour",
    watch: "",
    remedy: "the longest step, or fewer cycles per hour",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let picks = facts.project.cycle.picks_per_hour.value;
    if !(facts.ages.is_current(Slow::Times) && picks.is_finite() && picks > 0.0) {
        return;
    }
    let limit = S_PER_H / picks;
    for circuit in facts.circuits {
        let Some(pick_s) = circuit.slow.as_ref().and_then(|slow| slow.pick_s) else { continue };
        if pick_s <= limit {
            continue;
        }
        let words = facts.words;
        let time = |seconds: f64| words.figure(seconds, Quantity::Time);
        let says = format!(
            "Pick and release on {} take {}; {} cycles per hour leave {} for each.",
            circuit.name,
            time(pick_s),
            units::figure(picks, 0),
            time(limit)
        );
        let hold = facts.project.cycle.hold_s.value;
        let remedy = format!(
            "Enter fewer cycles per hour, or shorten the cycle: {} of it is hold time; larger bores and a \
            blow-off shorten the rest.",
            time(hold)
        );
        out.push(
            Draft::new(INFO.id, Severity::Fail, says)
                .cups(facts.on_circuit(circuit.id))
                .figure(pick_s, limit, Quantity::Time)
                .remedy(remedy)
                .off(1.0 - limit / pick_s),
        );
    }
}
