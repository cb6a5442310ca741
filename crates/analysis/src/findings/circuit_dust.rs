//! `circuit.dust`: filters clog before they are cleaned.
//!
//! Why: in dusty surroundings a filter that passed enough when it was clean takes the level with the hours.
//! Limits: watched when the level at the worst cup falls below the one that factors are worked out at before the filters are
//! cleaned; advice where dust is stated and no filter catches it. Remedy: the interval that keeps the level, a larger filter.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitStatus, Severity};
use crate::slow::Slow;
use units::{Quantity, three_figures};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.dust",
    title: "Filter clogs before it is cleaned",
    explains: "Dust in a filter lowers the level as running hours add up; clean it before the level falls \
        below the one the factors rely on.",
    fail: "",
    watch: "level at the worst cup below the design level before the filters are cleaned",
    remedy: "the interval that keeps the level",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        let held = facts.project.circuit(circuit.id);
        let Some(supply) = held.and_then(|circuit| circuit.supply.as_deref()) else { continue };
        if supply.dust.is_none() {
            continue;
        }
        if supply.filter.is_none() && supply.filter_at_cup.is_none() {
            let says =
                format!("Dust is stated for {}, and no filter keeps it from the source.", circuit.name);
            out.push(
                Draft::new(INFO.id, Severity::Advice, says)
                    .cups(facts.on_circuit(circuit.id))
                    .remedy("Add the filter that is fitted, or remove the dust.".to_owned()),
            );
            continue;
        }
        let dust = circuit.slow.as_ref().and_then(|slow| slow.dust.as_ref());
        let Some(dust) = dust.filter(|_| facts.ages.is_current(Slow::Times)) else { continue };
        let Some(keeps) = dust.keeps_h.filter(|keeps| *keeps < dust.cleaned_h) else { continue };
        let hours = |hours: f64| format!("{} h", three_figures(hours, facts.words.choice));
        let says = format!(
            "The filters of {} are cleaned every {}; after {} of running the level at the worst cup falls \
            below {}.",
            circuit.name,
            hours(dust.cleaned_h),
            hours(keeps),
            facts.words.level(dust.needed_kpa),
        );
        let remedy = if keeps > 0.0 {
            format!("Clean them at least every {}, or use a larger filter.", hours(keeps))
        } else {
            "Use a larger filter: even a clean one does not hold the level.".to_owned()
        };
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .cups(facts.on_circuit(circuit.id))
                .figure(keeps, dust.cleaned_h, Quantity::Ratio)
                .remedy(remedy)
                .off(1.0 - keeps / dust.cleaned_h),
        );
    }
}
