//! `circuit.exhaust`: what stands behind an ejector takes its level or flow.
//!
//! Why: an ejector must get rid of the air it is fed with besides the air it draws; a long hose or a small silencer holds that up.
//! Limits: watched when a tenth of the deepest level or of the free flow is lost (common practice, no source); fails when nothing
//! is left of either. Remedy: wider, shorter, a larger silencer.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitStatus, Severity};
use units::Quantity;

/// So much of level or flow left is none to speak of (common practice, no source).
const LEFT: f64 = 0.9;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.exhaust",
    title: "Exhaust restricts the ejector",
    explains: "An ejector blows out both its feed air and the air it draws. Any restriction by a hose or \
        silencer costs level and flow.",
    fail: "no level or no flow remains",
    watch: "a tenth of the deepest level or of the free flow is lost",
    remedy: "a wider or shorter hose, a larger silencer",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        // All ejectors of a circuit have the same behind them.
        let Some((source, takes)) = circuit.sources.iter().find_map(|source| Some((source, source.exhaust?)))
        else {
            continue;
        };
        let left = takes.level_left.min(takes.flow_left);
        if left >= LEFT {
            continue;
        }
        let held = facts.project.circuit(circuit.id).and_then(|circuit| circuit.supply.as_deref());
        let stated = held.and_then(|supply| supply.operation.exhaust.as_ref());
        let behind = match stated {
            Some(exhaust) if exhaust.length_mm > 0.0 && exhaust.silencer.is_some() => "hose and silencer",
            Some(exhaust) if exhaust.silencer.is_some() => "the silencer",
            _ => "the hose",
        };
        let stands = facts.words.figure(takes.back_pressure_kpa, Quantity::FeedPressure);
        let lost = |left: f64| facts.words.figure(1.0 - left, Quantity::Share);
        let name = &source.name;
        let (severity, says) = if takes.all {
            let says = format!(
                "The exhaust of {name} is choked: {behind} would cause {stands} of back-pressure, which \
                leaves no {}.",
                if takes.level_left <= takes.flow_left { "level" } else { "flow" },
            );
            (Severity::Fail, says)
        } else {
            let says = format!(
                "{} behind {name} would cause {stands} of back-pressure at free flow; that costs {} of its \
                free flow and {} of its deepest level.",
                crate::words::capital(behind),
                lost(takes.flow_left),
                lost(takes.level_left),
            );
            (Severity::Watch, says)
        };
        let remedy = match stated {
            Some(exhaust) if exhaust.silencer.is_none() => "Take a wider or shorter exhaust hose.",
            Some(exhaust) if exhaust.length_mm <= 0.0 => "Take a larger silencer.",
            _ => "Take a wider or shorter exhaust hose, or a larger silencer.",
        };
        out.push(
            Draft::new(INFO.id, severity, says)
                .cups(facts.on_circuit(circuit.id))
                .figure(left, LEFT, Quantity::Ratio)
                .remedy(remedy.to_owned())
                .off(1.0 - left / LEFT),
        );
    }
}
