//! `circuit.invalid`: a circuit without a level.
//!
//! Why: what cannot be built, or has no steady state, has no figure; a motion whose cups hang on it has none either.
//! Limits: none. Remedy: what stands in the sentence itself.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{CircuitStatus, Severity},
    words,
};
use document::Subject;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.invalid",
    title: "Circuit cannot be calculated",
    explains: "A circuit with an impossible input, or without a steady state, has no level at its cups, so \
        no motion of those cups has a factor.",
    fail: "an input is impossible; nothing sets the level; no steady state is found",
    watch: "",
    remedy: "the input to correct",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    // A cup that cannot be worked with has its own finding, and so has the site.
    if facts.cups.len() < facts.layout.cups.len() {
        return;
    }
    for circuit in facts.circuits {
        // What the document finds wrong has its own finding.
        let supply = facts.project.circuit(circuit.id).and_then(|held| held.supply.as_ref());
        let told = |subject: &Subject| {
            *subject == Subject::Circuit(circuit.id)
                || supply.is_some_and(|supply| *subject == Subject::Source(supply.source.clone()))
        };
        if facts.problems.iter().any(|problem| told(&problem.subject)) {
            continue;
        }
        let name = &circuit.name;
        let (says, remedy): (Vec<String>, &str) = match &circuit.status {
            CircuitStatus::Stated | CircuitStatus::Solved => continue,
            CircuitStatus::Invalid(says) => (
                says.clone(),
                "Correct it in the circuit\u{2019}s form; until then no cup on it has a level.",
            ),
            CircuitStatus::Undetermined(says) => {
                (vec![says.clone()], "Open a valve on that line, or connect a running source.")
            }
            CircuitStatus::NotConverged => (
                vec![format!("circuit {name}: no steady state was found")],
                "Check bores, lengths and the source\u{2019}s curve for a value that is far off.",
            ),
        };
        out.extend(says.iter().map(|says| {
            Draft::new(INFO.id, Severity::Fail, words::sentence(&words::capital(says)))
                .cups(facts.on_circuit(circuit.id))
                .remedy(remedy.to_owned())
                .off(1.0)
        }));
    }
}
