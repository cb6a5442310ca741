//! `circuit.level`: the level asked for is not reached at every cup, or with little flow to spare.
//!
//! Why: a source draws less the deeper the level, and what leaks in grows; where the two curves meet, the level stays.
//! Limits: fails when the level at some cup is below the level stated for the circuit, watched when the source draws less
//! than 25 % (project setting) more at that level than leaks in. Remedy: the flow the source needs, and what would help
//! most.

use super::{Draft, Facts, RuleInfo};
use crate::report::{CircuitReport, CircuitSource, CircuitStatus, Severity, level_curve_at};
use units::Quantity;

/// Levels closer than this share are equal.
const EQUAL: f64 = 1e-6;
/// A leak below this is none, L/min ANR.
const NO_LEAK: f64 = 1e-3;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.level",
    title: "Vacuum level not reached at a cup",
    explains: "The deeper the level, the less a source draws and the more leaks in; the level settles where \
        the two curves meet. Hoses cost level on the way.",
    fail: "level at a cup below the level stated for the circuit",
    watch: "less than 25 % of flow to spare over the leakage at that level",
    remedy: "the flow needed at that level; the change that helps most",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for circuit in facts.circuits.iter().filter(|circuit| circuit.status == CircuitStatus::Solved) {
        let Some(worst) = circuit.worst_cup() else { continue };
        let wanted = circuit.wanted_kpa;
        let words = facts.words;
        if worst.level_kpa < wanted * (1.0 - EQUAL) {
            let says = format!(
                "{} reaches {} at {}; {} is required.",
                circuit.name,
                words.level(worst.level_kpa),
                facts.tag_of(worst.id),
                words.level(wanted),
            );
            out.push(
                Draft::new(INFO.id, Severity::Fail, says)
                    .cups(
                        circuit
                            .cups
                            .iter()
                            .filter(|cup| cup.level_kpa < wanted * (1.0 - EQUAL))
                            .map(|cup| cup.id),
                    )
                    .figure(worst.level_kpa, wanted, Quantity::VacuumLevel)
                    .remedy(remedy(facts, circuit))
                    .off(1.0 - worst.level_kpa / wanted),
            );
            continue;
        }
        let margin = facts.project.rules.supply_margin;
        let tight = circuit.sources.iter().filter_map(|source| {
            let (flow, leak) = at_level(source, wanted)?;
            (leak > NO_LEAK && flow < (1.0 + margin) * leak).then_some((source, flow, leak))
        });
        let Some((source, flow, leak)) = tight.min_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2))) else {
            continue;
        };
        let says = format!(
            "{} draws {} at {}, of which {} leaks in: {} to spare.",
            source.name,
            words.figure(flow, Quantity::Flow),
            words.level(wanted),
            words.figure(leak, Quantity::Flow),
            words.percent(flow / leak - 1.0),
        );
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .cups(circuit.cups.iter().map(|cup| cup.id))
                .figure(flow, (1.0 + margin) * leak, Quantity::Flow)
                .remedy(remedy(facts, circuit))
                .off(1.0 - flow / ((1.0 + margin) * leak)),
        );
    }
}

/// What a source draws at a level, and what leaks in there.
fn at_level(source: &CircuitSource, level: f64) -> Option<(f64, f64)> {
    let leak = level_curve_at(&source.leak_curve, level)?;
    Some((level_curve_at(&source.curve, level).unwrap_or(0.0), leak))
}

fn remedy(facts: &Facts<'_>, circuit: &CircuitReport) -> String {
    let words = facts.words;
    let wanted = circuit.wanted_kpa;
    let margin = facts.project.rules.supply_margin;
    let needs = circuit.sources.first().and_then(|source| {
        let deepest = source.deepest_kpa;
        if deepest < wanted {
            return Some(format!(
                "{} reaches {} at most: use a source with a deeper level, or larger cups at a lower level",
                source.name,
                words.level(deepest)
            ));
        }
        let (flow, leak) = at_level(source, wanted)?;
        let needed = (1.0 + margin) * leak;
        (flow < needed && leak > NO_LEAK).then(|| {
            format!(
                "The source must draw {} at {} (now {}); zones with fewer cups leak less",
                words.figure(needed, Quantity::Flow),
                words.level(wanted),
                words.figure(flow, Quantity::Flow),
            )
        })
    });
    let helps = circuit
        .slow
        .as_ref()
        .and_then(|slow| slow.helps.first())
        .filter(|help| help.worst_level_kpa_to > help.worst_level_kpa_from * (1.0 + EQUAL));
    let best = helps.map(|help| {
        format!(
            "{} gives {} at the worst cup",
            crate::words::capital(&help.change.says(words.choice)),
            words.level(help.worst_level_kpa_to)
        )
    });
    match (needs, best) {
        (Some(needs), Some(best)) => format!("{needs}. {best}."),
        (Some(one), None) | (None, Some(one)) => format!("{one}."),
        (None, None) => {
            "Use larger bores, shorter hoses, or a source with more flow at this level.".to_owned()
        }
    }
}
