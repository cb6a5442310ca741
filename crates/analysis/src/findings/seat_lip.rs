//! `seat.lip`: a flat lip on a part that is uneven beyond what the lip closes.
//!
//! Why: a flat lip bridges small gaps only; bellows tip and settle, a flat lip leaks.
//! Limit: watched when the height variation is more than the model's lip closes. Remedy: bellows or a softer lip.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.lip",
    title: "Flat lip on an uneven part",
    explains: "A flat lip seals only small gaps; on a more uneven part it leaks where bellows would conform.",
    fail: "",
    watch: "height variation larger than a flat lip can seal",
    remedy: "bellows, a softer lip, or a flatter part",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(part) = facts.part else { return };
    for (model, cups) in facts.by_model() {
        if model.folds > 0 || part.uneven_mm <= model.closes_mm || part.uneven_mm > model.travel_mm.value {
            continue;
        }
        let says = format!(
            "{} varies in height by {}; the flat lip of {} ({}) seals up to {}.",
            part.name,
            facts.words.length(part.uneven_mm),
            model.name,
            facts.tags(&cups),
            facts.words.length(model.closes_mm),
        );
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .cups(cups.iter().map(|index| facts.cups[*index].id))
                .figure(part.uneven_mm, model.closes_mm, Quantity::Length)
                .remedy(format!(
                    "Use bellows of one fold or more, or a lip that seals {}.",
                    facts.words.length(part.uneven_mm)
                ))
                .off(part.uneven_mm / model.closes_mm.max(1e-3) - 1.0),
        );
    }
}
