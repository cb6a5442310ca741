//! `circuit.open`: one open cup takes the level of the others.
//!
//! Why: an uncovered bore draws air at the speed of sound; on a shared source the other cups may fall below what they need.
//! Limits: fails when one open cup leads to the loss of the part, watched when it leads to the loss of another cup. Remedy:
//! restrictor or check valve at every cup, zones, with the level they leave.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitReport, HelpChange, HelpReport, OpenCupReport, Severity};
use crate::slow::Slow;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.open",
    title: "One open cup lowers the level at the others",
    explains: "An uncovered bore draws air at the speed of sound; on a shared source the other cups may fall \
        below the level they need.",
    fail: "the part drops with one cup open",
    watch: "another cup loses its seal with one cup open",
    remedy: "restrictor or check valve at every cup, or zones: the level they leave",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    if !facts.ages.is_current(Slow::Times) {
        return;
    }
    for circuit in facts.circuits {
        let Some(slow) = &circuit.slow else { continue };
        let bad = slow
            .open
            .iter()
            .filter(|open| touches(circuit, open) && (!open.holds || !open.then_lost.is_empty()));
        let worse = |a: &&OpenCupReport, b: &&OpenCupReport| {
            a.holds.cmp(&b.holds).then(a.least_level_kpa.total_cmp(&b.least_level_kpa))
        };
        let Some(worst) = bad.min_by(worse) else { continue };
        let words = facts.words;
        let ends = if worst.holds {
            let tags: Vec<String> = worst.then_lost.iter().map(|cup| facts.tag_of(*cup).to_owned()).collect();
            format!("{} would lose their seal too", crate::words::list(&tags))
        } else {
            "the part would drop".to_owned()
        };
        let says = format!(
            "With {} open, only {} remains at {} on {}: {ends}.",
            facts.tag_of(worst.cup),
            words.level(worst.least_level_kpa),
            facts.tag_of(worst.least_at),
            circuit.name,
        );
        let before = circuit.worst_cup().map_or(0.0, |cup| cup.level_kpa);
        out.push(
            Draft::new(INFO.id, if worst.holds { Severity::Watch } else { Severity::Fail }, says)
                .cups([worst.cup])
                .figure(worst.least_level_kpa, before, Quantity::VacuumLevel)
                .remedy(remedy(facts, &slow.helps))
                .off(1.0 - worst.least_level_kpa / before.max(1e-9)),
        );
    }
}

/// Whether the open cup lowers the level of others at all.
fn touches(circuit: &CircuitReport, open: &OpenCupReport) -> bool {
    let before = circuit.cups.iter().find(|cup| cup.id == open.least_at).map_or(0.0, |cup| cup.level_kpa);
    open.least_level_kpa < before * (1.0 - 1e-3)
}

fn remedy(facts: &Facts<'_>, helps: &[HelpReport]) -> String {
    let words = facts.words;
    let told = |help: &HelpReport| {
        let to = help.open_level_kpa_to?;
        (to > help.open_level_kpa_from?).then(|| {
            let what = crate::words::capital(&help.change.says(words.choice));
            format!("{what} keeps {} with one cup open", words.level(to))
        })
    };
    let at_cups = helps.iter().filter(|help| {
        use HelpChange as C;
        matches!(help.change, C::Restrictors(_) | C::CheckValves | C::SourceAtCups)
    });
    let figures: Vec<String> = at_cups.filter_map(told).collect();
    if figures.is_empty() {
        return "Split the cups into zones with a valve each, or use a source with more flow.".to_owned();
    }
    format!("{}. Zones with a valve each also limit the loss.", figures.join("; "))
}
