//! `flex.factor`: a motion of a part that bends has less than its required factor.
//!
//! Why: cups in the middle of a thin sheet take more than they would of a rigid part, those at its rim less, and lips are tilted.
//! Limits: fails below the required factor, watched below 1.15 times that (project setting), where the part is not as good as
//! rigid. Remedy: more cups or a stiffer part where it sags most.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};
use mechanics::LipLimit;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.factor",
    title: "Factor of a part that bends under what is required",
    explains: "A thin sheet does not share its weight as a rigid part does: cups in its middle take more, and its slope tilts the lips. \
               Looked at where a modulus of elasticity is given.",
    fail: "factor of the bending part below the required factor",
    watch: "factor of the bending part below 1.15 times the required factor",
    remedy: "a cup near where the sheet sags most, or cups set closer",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(Ok(bending)) = facts.bending else { return };
    if bending.as_good_as_rigid() {
        return;
    }
    let watch = facts.project.rules.factor_watch.max(1.0);
    for motion in &bending.motions {
        let Some(report) = facts.motions.iter().find(|report| report.id == motion.id) else { continue };
        let ratio = motion.factor.value / report.required_factor;
        if ratio >= watch {
            continue;
        }
        let fails = ratio < 1.0;
        let tag = facts.tag_of(motion.governing_cup);
        let first = match motion.factor.limit {
            LipLimit::Slide => format!("{tag} slides first"),
            LipLimit::Seal => format!("the lip of {tag} opens first"),
        };
        let pulls =
            motion.cups.iter().find(|cup| cup.id == motion.governing_cup).map_or(String::new(), |cup| {
                format!(
                    ", with a pull of {} where a rigid part would give it {}",
                    facts.words.figure(cup.load.pull, Quantity::Force),
                    facts.words.figure(cup.rigid_pull_n, Quantity::Force),
                )
            });
        let says = format!(
            "{} of the part that bends holds {} of the {} required: {first}{pulls}.",
            words::capital(&report.name),
            facts.words.factor(motion.factor.value),
            facts.words.factor(report.required_factor),
        );
        let remedy = format!(
            "Put a cup near {}, where the part sags most, or set the cups closer.",
            facts.words.pair(motion.sag_at)
        );
        out.push(
            Draft::new(INFO.id, if fails { Severity::Fail } else { Severity::Watch }, says)
                .cups([motion.governing_cup])
                .motion(motion.id)
                .figure(motion.factor.value, report.required_factor, Quantity::Ratio)
                .remedy(remedy)
                .off(if fails { 2.0 - ratio } else { 1.0 - ratio / watch }),
        );
    }
}
