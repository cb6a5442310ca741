//! `circuit.hold`: the part is not held long enough when the feed fails.
//!
//! Why: loss of energy must not release the part at once; the level must last until the tool has set it down.
//! Limits: fails when the hold time is below that of the circuit's thresholds. Remedy: check valves, a tighter lip, more
//! volume.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitReport, Severity};
use crate::slow::Slow;
use document::{Project, Supply};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.hold",
    title: "Hold time too short if the feed fails",
    explains: "If compressed air or power fails, the vacuum must last until the part is set down.",
    fail: "hold time below that of the circuit\u{2019}s thresholds",
    watch: "",
    remedy: "a check valve at the source: the time it gives",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    if !facts.ages.is_current(Slow::Times) {
        return;
    }
    for circuit in facts.circuits {
        let held = facts.project.circuit(circuit.id);
        let Some(needed) = held.and_then(|circuit| circuit.thresholds).map(|thresholds| thresholds.hold_s)
        else {
            continue;
        };
        let Some(supply) = held.and_then(|circuit| circuit.supply.as_deref()) else { continue };
        let Some(time) = hold_time(facts.project, supply, circuit).filter(|time| *time < needed) else {
            continue;
        };
        let words = facts.words;
        let says = format!(
            "If the feed of {} fails, the part is held for {}; {} is required.",
            circuit.name,
            words.figure(time, Quantity::Time),
            words.figure(needed, Quantity::Time),
        );
        let with_check = circuit.slow.as_ref().and_then(|slow| slow.hold_with_check_s);
        let remedy = match with_check {
            Some(check) if check > time && check.is_finite() => format!(
                "A check valve at the source gives {}; tighter lips and a vessel give more.",
                words.figure(check, Quantity::Time)
            ),
            Some(check) if check > time => {
                "A check valve at the source holds it for more than ten minutes.".to_owned()
            }
            _ => "Use tighter lips, a vessel at the source or larger cups, or shorten the way to the \
                set-down point."
                .to_owned(),
        };
        out.push(
            Draft::new(INFO.id, Severity::Fail, says)
                .cups(facts.on_circuit(circuit.id))
                .figure(time, needed, Quantity::Time)
                .remedy(remedy)
                .off(1.0 - time / needed),
        );
    }
}

/// With the check valve that the source has where it can save air.
fn hold_time(project: &Project, supply: &Supply, circuit: &CircuitReport) -> Option<f64> {
    let slow = circuit.slow.as_ref()?;
    let has_check = project.source(&supply.source).is_some_and(|model| model.air_saving);
    if has_check { slow.hold_with_check_s } else { slow.hold_s }
}
