//! `trial.level`: the level measured at a cup is not what its circuit comes to.
//!
//! Why: where the trial differs from what is worked out, an input is not as stated: a leak, a gap under a lip, a permeance, the
//! feed. Every figure that rests on it is off as well.
//! Limits: watched when the latest baseline measurement is off by more than 10 % of what is worked out. Remedy: which inputs of
//! the circuit are assumed.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitReport, CircuitStatus, Severity};
use document::{Origin, Stage, TrialKind};
use units::Quantity;

/// Share of the level that is worked out.
const OFF: f64 = 0.10;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "trial.level",
    title: "Measured level differs from the circuit",
    explains: "If the level measured in the trial does not match the calculated one, an input of the circuit \
        is wrong, and so is every result based on it.",
    fail: "",
    watch: "baseline measurement more than 10 % off the calculated level",
    remedy: "which inputs of the circuit are assumed and should be measured",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        for cup in &circuit.cups {
            let entries =
                facts.project.trial.entries.iter().rev().filter(|entry| entry.stage == Stage::Baseline);
            let of_cup = |kind: &TrialKind| matches!(kind, TrialKind::Level { layout, cup: at } if *layout == facts.layout.id && *at == cup.id);
            let Some(entry) = entries.into_iter().find(|entry| of_cup(&entry.what)) else { continue };
            let off = (entry.value - cup.level_kpa) / cup.level_kpa;
            if !off.is_finite() || off.abs() <= OFF {
                continue;
            }
            let words = facts.words;
            let on = if entry.on.is_empty() { String::new() } else { format!(" on {}", entry.on) };
            let says = format!(
                "{} was measured at {}{on}; its circuit should reach {}.",
                words.level(entry.value),
                facts.tag_of(cup.id),
                words.level(cup.level_kpa),
            );
            out.push(
                Draft::new(INFO.id, Severity::Watch, says)
                    .cups([cup.id])
                    .figure(entry.value, cup.level_kpa, Quantity::VacuumLevel)
                    .remedy(remedy(facts, circuit))
                    .off(off.abs() - OFF),
            );
        }
    }
}

fn remedy(facts: &Facts<'_>, circuit: &CircuitReport) -> String {
    let mut assumed: Vec<String> = Vec::new();
    if let Some(supply) = facts.project.circuit(circuit.id).and_then(|held| held.supply.as_ref()) {
        if supply.lip_gap_um.origin == Origin::Assumed {
            assumed.push("the gap under the lips".to_owned());
        }
        if supply.feed_kpa.origin == Origin::Assumed {
            assumed.push("the feed".to_owned());
        }
        if facts.project.source(&supply.source).is_some_and(|model| model.figures == Origin::Assumed) {
            assumed.push("the source\u{2019}s curve".to_owned());
        }
    }
    let permeance = facts.part.and_then(|part| part.permeance_um_pa_s.as_ref());
    if permeance.is_some_and(|permeance| permeance.origin == Origin::Assumed) {
        assumed.push("the air permeability of the part".to_owned());
    }
    if assumed.is_empty() {
        return "Look for a leak, a clogged filter or a hose that is not as entered.".to_owned();
    }
    format!(
        "Measure what is assumed: {}; then look for a leak or a clogged filter.",
        crate::words::list(&assumed)
    )
}
