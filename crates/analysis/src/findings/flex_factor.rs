//! `flex.factor`: a motion of a part that bends has less than its required factor.
//!
//! Why: cups in the middle of a thin sheet take more than they would of a rigid part, those at its rim less, and lips are tilted.
//! Limits: fails below the required factor, watched below 1.15 times that (project setting) and where what is assumed may take it
//! below, where the part is not as good as rigid. Remedy: the one more cup that lowers the sag most.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{BentMotion, MotionReport, Severity},
    slow::Slow,
    words,
};
use mechanics::LipLimit;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.factor",
    title: "Factor of a bending part below the required one",
    explains: "A thin sheet does not share its weight like a rigid part: cups in its middle carry more, and \
        its slope tilts the lips. Checked where a modulus of elasticity is given.",
    fail: "factor of the bending part below the required factor",
    watch: "factor of the bending part below 1.15 times the required factor, or its range below that",
    remedy: "a cup near the largest sag, or closer cup spacing",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(bending) = facts.bends() else { return };
    let watch = facts.project.rules.factor_watch.max(1.0);
    let reserve = facts.bent_reserve.filter(|_| facts.ages.is_current(Slow::BentReserve));
    for motion in &bending.motions {
        let Some(report) = facts.motions.iter().find(|report| report.id == motion.id) else { continue };
        let required = report.required_factor;
        let ratio = motion.factor.value / required;
        let range = reserve.and_then(|reserve| reserve.of_motion(motion.id)?.range);
        let may_fall = range.is_some_and(|[least, _]| least < required);
        if ratio >= watch && !may_fall {
            continue;
        }
        let fails = ratio < 1.0;
        let says = facts.as_it_bent(Slow::Bending, said(facts, report, motion, range));
        let remedy = match facts.one_more() {
            // It was tried for the sag: no fix of a factor that nobody worked out with it.
            Some(_) => format!(
                "{} The factor with it shows once it is placed.",
                super::flex_sag::one_more_says(facts)
            ),
            None => format!(
                "Put a cup near {}, where the part sags most, or space the cups closer.",
                facts.place(motion.sag_at)
            ),
        };
        out.push(
            Draft::new(INFO.id, if fails { Severity::Fail } else { Severity::Watch }, says)
                .cups([motion.governing_cup])
                .motion(motion.id)
                .figure(motion.factor.value, required, Quantity::Ratio)
                .remedy(remedy)
                .off(if fails { 2.0 - ratio } else { 1.0 - ratio / watch }),
        );
    }
}

fn said(facts: &Facts<'_>, report: &MotionReport, motion: &BentMotion, range: Option<[f64; 2]>) -> String {
    let (words, required) = (facts.words, report.required_factor);
    let tag = facts.tag_of(motion.governing_cup);
    let first = match motion.factor.limit {
        LipLimit::Slide => format!("{tag} slides first"),
        LipLimit::Seal => format!("{tag} loses its seal first"),
    };
    let governing = motion.cups.iter().find(|cup| cup.id == motion.governing_cup);
    let pulls = governing.map_or(String::new(), |cup| {
        format!(
            ", with a pull of {} where a rigid part would give it {}",
            words.figure(cup.load.pull, Quantity::Force),
            words.figure(cup.rigid_pull_n, Quantity::Force),
        )
    });
    let assumed = range.map_or(String::new(), |[least, most]| {
        format!(
            " With assumed inputs it is between {} and {}.",
            words.against(least, required),
            words.factor(most)
        )
    });
    format!(
        "{} holds, as the part bends, {} of the {} required: {first}{pulls}.{assumed}",
        words::capital(&report.name),
        words.against(motion.factor.value, required),
        words.factor(required),
    )
}
