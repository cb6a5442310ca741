//! `flex.gap`: a part that bends leaves a gap at a lip that the lip does not close.
//!
//! Why: a lip follows a slope, not a bend across it; what it does not close leaks. Limit: what the cup's model closes, less the height
//! variation stated for the part. Remedy: a cup elsewhere, or a lip that closes more.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.gap",
    title: "Part bends away from a lip",
    explains: "How far a bending sheet departs from flat along a sealing line, against the gap that the lip \
        can seal.",
    fail: "gap larger than the lip can seal",
    watch: "",
    remedy: "a cup further from the bend, a smaller lip or one that seals a larger gap",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(Ok(bending)) = facts.bending else { return };
    for (index, placed) in facts.placed.iter().enumerate() {
        let Some(model) = facts.models.get(&placed.model).map(|held| held.model) else { continue };
        let gap_of = |motion: &crate::report::BentMotion| {
            motion.cups.iter().find(|cup| cup.id == placed.id).map(|cup| (motion.id, cup.gap_mm))
        };
        let gaps = bending.motions.iter().filter_map(gap_of);
        let Some((motion, gap)) = gaps.max_by(|a, b| a.1.total_cmp(&b.1)) else { continue };
        if gap <= model.closes_mm {
            continue;
        }
        let name = facts.motions.iter().find(|report| report.id == motion).map_or("", |report| &report.name);
        let says = format!(
            "The part bends away from the lip of {} by {} at {}; {} seals up to {}.",
            facts.tag(index),
            facts.words.length(gap),
            words::inside(name),
            model.name,
            facts.words.length(model.closes_mm),
        );
        out.push(
            Draft::new(INFO.id, Severity::Fail, says)
                .cups([facts.cups[index].id])
                .motion(motion)
                .figure(gap, model.closes_mm, Quantity::Length)
                .remedy(
                    "Move the cup away from the bend, or use a smaller lip or one that seals a larger gap."
                        .to_owned(),
                )
                .off(gap / model.closes_mm.max(1e-3) - 1.0),
        );
    }
}
