//! `circuit.exhaust`: what stands behind an ejector takes its level or flow.
//!
//! Why: an ejector must get rid of the air it is fed with besides the air it draws; a long hose or a small silencer holds that up.
//! Limits: watched when a tenth of the deepest level or of the free flow is lost (common practice, no source); fails when nothing
//! is left. Remedy: wider, shorter, a larger silencer.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitStatus, Severity};
use units::Quantity;

/// So much of level or flow left is none to speak of (common practice, no source).
const LEFT: f64 = 0.9;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.exhaust",
    title: "Exhaust holds the ejector up",
    explains: "An ejector blows out the air that it is fed with and the air that it draws. What a hose or a silencer holds that \
               up is lost in level and flow.",
    fail: "no level is left",
    watch: "a tenth of the deepest level or of the free flow is lost",
    remedy: "a wider or shorter hose, a larger silencer",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        // All ejectors of a circuit have the same behind them.
        let worst = circuit.sources.iter().filter_map(|source| Some((source, source.exhaust?)));
        let Some((source, takes)) = worst.min_by(|a, b| a.1.level_left.total_cmp(&b.1.level_left)) else {
            continue;
        };
        if takes.level_left >= LEFT && takes.flow_left >= LEFT {
            continue;
        }
        let behind = facts.words.figure(takes.back_pressure_kpa, Quantity::FeedPressure);
        let lost = |left: f64| facts.words.figure(1.0 - left, Quantity::Share);
        let (severity, says) = if takes.all {
            let says = format!(
                "The air that {} is fed with does not get out: {behind} would stand behind it, and no level is left.",
                source.name,
            );
            (Severity::Fail, says)
        } else {
            let says = format!(
                "Hose and silencer behind {} hold its air up: {behind} stands behind it while it draws freely, which takes {} of \
                 its flow and {} of its deepest level.",
                source.name,
                lost(takes.flow_left),
                lost(takes.level_left),
            );
            (Severity::Watch, says)
        };
        out.push(
            Draft::new(INFO.id, severity, says)
                .cups(facts.on_circuit(circuit.id))
                .figure(takes.level_left.min(takes.flow_left), LEFT, Quantity::Ratio)
                .remedy("Take a wider or shorter exhaust hose, or a larger silencer.".to_owned())
                .off(1.0 - takes.level_left.min(takes.flow_left) / LEFT),
        );
    }
}
