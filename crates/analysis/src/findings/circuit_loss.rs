//! `circuit.loss`: one hose, fitting, valve or filter takes much of the level.
//!
//! Why: one elbow, coil or neck can cost more than all the rest of the way; it is the cheapest thing to change.
//! Limits: watched when one element loses more than 10 % (project setting) of the source's level. Remedy: swept Y, straight
//! fitting, larger bore, the coil cut.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitElement, CircuitReport, CircuitStatus, ElementOf, Severity};
use document::{CupId, FittingKind};
use units::Quantity;
use vacuum::Regime;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.loss",
    title: "High loss in one elbow, coil or restriction",
    explains: "One elbow, coil or narrow piece can cost more level than the rest of the line from source to cup.",
    fail: "",
    watch: "loss in one element above 10 % of the source\u{2019}s level",
    remedy: "swept Y, straight fitting, larger bore, the coil cut",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        let Some(level) = circuit.source_level_kpa.filter(|level| *level > 0.0) else { continue };
        let limit = facts.project.rules.element_loss * level;
        for kin in kin(circuit, limit) {
            let Some(worst) = kin.iter().max_by(|a, b| a.loss_kpa.total_cmp(&b.loss_kpa)) else { continue };
            let words = facts.words;
            let others = match kin.len() {
                1 => String::new(),
                many => format!(" (and {} more like it)", many - 1),
            };
            let says = format!(
                "{} in {}{others} costs {} of the {} at the source of {}.",
                crate::words::capital(&worst.what.says(facts.words.choice)),
                worst.name,
                words.level(worst.loss_kpa),
                words.level(level),
                circuit.name,
            );
            let cups: Vec<CupId> = kin.iter().filter_map(|element| element.cup).collect();
            out.push(
                Draft::new(INFO.id, Severity::Watch, says)
                    .cups(cups)
                    .figure(worst.loss_kpa, limit, Quantity::VacuumLevel)
                    .remedy(remedy(worst).to_owned())
                    .off(worst.loss_kpa / limit - 1.0),
            );
        }
    }
}

/// Elements that lose more than the limit, those with one remedy and one kind of name together.
fn kin(circuit: &CircuitReport, limit: f64) -> Vec<Vec<&CircuitElement>> {
    let mut groups: Vec<Vec<&CircuitElement>> = Vec::new();
    for element in
        circuit.elements.iter().filter(|element| element.loss_kpa > limit && element.regime != Regime::Closed)
    {
        let alike = |other: &CircuitElement| {
            remedy(other) == remedy(element) && other.cup.is_some() == element.cup.is_some()
        };
        match groups.iter_mut().find(|group| group.first().is_some_and(|first| alike(first))) {
            Some(group) => group.push(element),
            None => groups.push(vec![element]),
        }
    }
    groups
}

fn remedy(element: &CircuitElement) -> &'static str {
    match element.of {
        ElementOf::Fitting(FittingKind::Elbow90 | FittingKind::Elbow45) => {
            "Use a wide bend or a straight fitting instead, or a larger bore."
        }
        ElementOf::PortTee => "Use a larger hose bore at the port, or fewer cups on it.",
        ElementOf::Fitting(FittingKind::TeeRun | FittingKind::TeeBranch) => {
            "Use a swept Y instead of the tee, or a larger bore."
        }
        ElementOf::Fitting(_) | ElementOf::Entry => "Use a larger bore.",
        ElementOf::CupBore => "Use a cup model with a larger bore.",
        ElementOf::Hose { coiled: true } => "Remove the coil, or use a larger bore.",
        ElementOf::Hose { coiled: false } => "Use the next larger bore, or a shorter hose.",
        ElementOf::Channel => "Use a manifold with a larger bore, or feed it at both ends.",
        ElementOf::Filter => "Clean the filter, or use a larger one.",
        ElementOf::CheckValve | ElementOf::Valve => "Use a valve with a higher conductance.",
        ElementOf::Restrictor | ElementOf::Cells => {
            "Use a higher conductance, as far as the level at the other cups allows with one cup open."
        }
    }
}
