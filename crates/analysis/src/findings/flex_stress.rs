//! `flex.stress`: a part that bends has more bending stress than its material may have.
//!
//! Why: what is bent too far stays bent, or breaks. Limit: the allowable bending stress stated for the part; for glass the standard
//! that applies decides, so none is taken by itself. Remedy: the one more cup that lowers the sag most.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{SagIs, Severity},
    slow::Slow,
    words,
};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.stress",
    title: "Bending stress above the allowable",
    explains: "Largest principal bending stress at a face of a bending sheet, in its worst motion, against \
        the allowable stated for the part. Under a point mass and at a sharp inner corner it depends on the \
        mesh.",
    fail: "stress above the stated allowable",
    watch: "",
    remedy: "a cup near the largest sag",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let (Some(Ok(bending)), Some(reserve), Some(part)) = (facts.bending, facts.bent_reserve, facts.part)
    else {
        return;
    };
    let Some(allowable) = part.allowable_n_mm2.as_ref().map(|allowable| allowable.value) else { return };
    let worst = reserve.motions.iter().max_by(|a, b| a.stress_n_mm2.total_cmp(&b.stress_n_mm2));
    let Some(worst) = worst.filter(|motion| motion.stress_n_mm2 > allowable) else { return };
    let Some(report) = facts.motions.iter().find(|report| report.id == worst.id) else { return };
    let bent = bending.of_motion(worst.id).map_or(SagIs::Small, |bent| bent.sag_is);
    let worth = match bent {
        SagIs::Small => "",
        SagIs::Less | SagIs::VeryLarge => {
            " With a sag above half the thickness, small deflections do not cover the stress: use it as an \
            indication only."
        }
    };
    let stress = |value: f64| facts.words.figure(value, units::Quantity::Stress);
    let says = format!(
        "Bending stress reaches {} at {} at {}; {} is allowed.{worth}",
        stress(worst.stress_n_mm2),
        facts.place(worst.stress_at),
        words::inside(&report.name),
        stress(allowable),
    );
    let remedy = match facts.one_more() {
        // It was tried for the sag: no fix of a stress that nobody worked out with it.
        Some(_) => {
            format!("{} The stress with it shows once it is placed.", super::flex_sag::one_more_says(facts))
        }
        None => "Space the cups closer there, or move more slowly.".to_owned(),
    };
    out.push(
        Draft::new(INFO.id, Severity::Fail, facts.as_it_bent(Slow::BentReserve, says))
            .motion(worst.id)
            .figure(worst.stress_n_mm2, allowable, units::Quantity::Stress)
            .remedy(remedy)
            .off(worst.stress_n_mm2 / allowable - 1.0),
    );
}
