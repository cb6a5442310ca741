//! `circuit.source`: a source that does not suit the part or its feed.
//!
//! Why: a porous part needs flow at a moderate level; a deep source with little flow never gets there. An ejector far below
//! its rated feed gives neither.
//! Limits: fails when air comes through the part, the level asked for is not reached, and the source would reach it on a
//! tight part; advice at a feed of 345 to 415 kPa for a source rated higher (common practice, no source). Remedy: what the
//! curve needs.

use super::{Draft, Facts, RuleInfo};
use crate::{
    circuit,
    report::{CircuitStatus, Severity, level_curve_at},
};
use document::SourceKind;
use units::Quantity;

/// About 50 to 60 psi, kPa (common practice, no source).
const LOW_FEED_KPA: std::ops::RangeInclusive<f64> = 345.0..=415.0;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "circuit.source",
    title: "Source does not suit the part or the feed",
    explains: "A porous part needs flow, an airtight one a deep level. An ejector that is fed well below \
        its rated feed should be a low-feed type (common practice, no source).",
    fail: "air passes through the part, and a source with a deep enough level has too little flow for the \
        required level",
    watch: "",
    remedy: "the flow that the source must draw",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let porous = facts.part.is_some_and(circuit::is_porous);
    for circuit in facts.circuits {
        let held = facts.project.circuit(circuit.id);
        let Some(supply) = held.and_then(|circuit| circuit.supply.as_deref()) else { continue };
        let Some(model) = facts.project.source(&supply.source) else { continue };
        let words = facts.words;
        let worst = circuit.worst_cup().filter(|_| circuit.status == CircuitStatus::Solved);
        if let (true, Some(worst), Some(source)) = (porous, worst, circuit.sources.first()) {
            let wanted = circuit.wanted_kpa;
            let leak = level_curve_at(&source.leak_curve, wanted);
            let flow = level_curve_at(&source.curve, wanted).unwrap_or(0.0);
            if let Some(leak) = leak
                && worst.level_kpa < wanted
                && source.deepest_kpa >= wanted
                && flow < leak
            {
                let says = format!(
                    "Air passes through {}: at {} it leaks {}, and {} draws {} there, though it would reach \
                    {} on an airtight part.",
                    facts.part.map_or("the part", |part| part.name.as_str()),
                    words.level(wanted),
                    words.figure(leak, Quantity::Flow),
                    source.name,
                    words.figure(flow, Quantity::Flow),
                    words.level(source.deepest_kpa),
                );
                let needed = (1.0 + facts.project.rules.supply_margin) * leak;
                let remedy = format!(
                    "Use a source with more flow at a lower level: {} at {}.",
                    words.figure(needed, Quantity::Flow),
                    words.level(wanted)
                );
                out.push(
                    Draft::new(INFO.id, Severity::Fail, says)
                        .cups(facts.on_circuit(circuit.id))
                        .figure(flow, leak, Quantity::Flow)
                        .remedy(remedy)
                        .off(1.0 - flow / leak),
                );
            }
        }
        let feed = supply.feed_kpa.value;
        let rated = model.rated_feed_kpa;
        if model.kind == SourceKind::Ejector && LOW_FEED_KPA.contains(&feed) && rated > *LOW_FEED_KPA.end() {
            let says = format!(
                "{} is fed at {} and rated at {}: the feed pressure is low.",
                model.name,
                words.figure(feed, Quantity::FeedPressure),
                words.figure(rated, Quantity::FeedPressure),
            );
            out.push(
                Draft::new(INFO.id, Severity::Advice, says)
                    .figure(feed, rated, Quantity::FeedPressure)
                    .remedy("Raise the feed pressure at the ejector, or use a low-feed source.".to_owned()),
            );
        }
    }
}
