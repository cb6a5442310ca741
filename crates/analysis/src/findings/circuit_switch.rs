//! `circuit.switch`: what the vacuum switch waits for does not fit what the circuit comes to, or what the factors need.
//!
//! Why: the machine moves off once the switch says that the part is held, and stops below the alarm level; between the two it
//! carries the part at whatever level there is. Limits: fails where the circuit never comes to the level that the switch waits
//! for; watched where the alarm comes only below the level that the required factors need. Remedy: the levels to set.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitReport, DesignReport, Severity};
use crate::slow::Slow;
use units::Quantity;

/// Levels closer than this share are equal.
const EQUAL: f64 = 1e-6;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.switch",
    title: "Switch level out of reach, or alarm too low",
    explains: "The machine starts moving once the switch signals part held, and stops below the alarm level; \
        in between it carries the part at whatever level it has.",
    fail: "part-held level above the steady level",
    watch: "alarm level below what the required factors need",
    remedy: "the levels to set",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits {
        let Some(design) = &circuit.design else { continue };
        if design.never_held() {
            out.extend(never_held(facts, circuit, design));
        } else {
            out.extend(late_alarm(facts, circuit, design));
        }
    }
}

fn never_held(facts: &Facts<'_>, circuit: &CircuitReport, design: &DesignReport) -> Option<Draft> {
    let (words, held) = (facts.words, design.held_kpa?);
    let says = format!(
        "{} reaches {}; its switch signals \u{201c}part held\u{201d} only from {}, so the machine never starts.",
        circuit.name,
        words.level(design.steady_kpa),
        words.level(held),
    );
    let draft = Draft::new(INFO.id, Severity::Fail, says)
        .cups(facts.on_circuit(circuit.id))
        .figure(design.steady_kpa, held, Quantity::VacuumLevel)
        .remedy(
            "Set the switch below the level the circuit reaches, or give the circuit a deeper level."
                .to_owned(),
        )
        .off(1.0 - design.steady_kpa / held);
    Some(draft)
}

fn late_alarm(facts: &Facts<'_>, circuit: &CircuitReport, design: &DesignReport) -> Option<Draft> {
    if !facts.ages.is_current(Slow::Times) {
        return None;
    }
    let needed = circuit.slow.as_ref()?.controls.as_ref()?.alarm_kpa;
    // Short at the held level already: that is told of each motion.
    if design.design_kpa < needed || design.alarm_kpa >= needed * (1.0 - EQUAL) {
        return None;
    }
    let words = facts.words;
    let [enough, ..] = words.upwards(needed, Quantity::VacuumLevel);
    let says = format!(
        "On {} the alarm trips below {}; the required factors need {} at the switch, and in between the part \
        is still carried.",
        circuit.name,
        words.level(design.alarm_kpa),
        words.level(enough),
    );
    let draft = Draft::new(INFO.id, Severity::Watch, says)
        .cups(facts.on_circuit(circuit.id))
        .figure(design.alarm_kpa, needed, Quantity::VacuumLevel)
        .remedy(format!("Set the alarm to {} or deeper.", words.level(enough)))
        .off(1.0 - design.alarm_kpa / needed);
    Some(draft)
}
