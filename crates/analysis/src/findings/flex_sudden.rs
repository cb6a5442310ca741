//! `flex.sudden`: an acceleration that comes at once pulls a cup by much more than the same held evenly.
//!
//! Why: a sheet that is stopped at once swings past its rest. Limit: the dynamic factor that the motion is counted with. Remedy: that
//! factor, or a stop that rises over a period.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{Rings, Severity},
    slow::Slow,
    words,
};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.sudden",
    title: "Sudden stop makes the part ring",
    explains: "A sudden acceleration across a thin sheet, as in an emergency stop, makes it overshoot: the \
        largest pull on each cup while it rings is calculated from its modes. Checked where a modulus of \
        elasticity is given.",
    fail: "",
    watch: "",
    remedy: "the dynamic factor to use for the motion",
};

/// Beyond the counted dynamic factor by this share.
const BEYOND: f64 = 0.05;

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(ringing) = facts.ringing.filter(|_| facts.bends().is_some()) else { return };
    for motion in &ringing.motions {
        let Rings::Sudden(ring) = &motion.rings else { continue };
        let Some(stated) = facts.project.motion(motion.id) else { continue };
        if ring.times <= stated.inertia_times * (1.0 + BEYOND) {
            continue;
        }
        let words = facts.words;
        let says = format!(
            "If the acceleration of {} is sudden, the part rings: {} then pulls up to {} instead of {}, {} \
            times the share of the acceleration.",
            words::inside(&stated.name),
            facts.tag_of(ring.cup),
            words.figure(ring.pull_n, Quantity::Force),
            words.figure(ring.even_pull_n, Quantity::Force),
            words.factor(ring.times),
        );
        let remedy = format!(
            "Use a dynamic factor of {}, or ramp the acceleration over one period of the lowest frequency.",
            words.factor(ring.times)
        );
        out.push(
            Draft::new(INFO.id, Severity::Advice, facts.as_it_bent(Slow::Ringing, says))
                .cups([ring.cup])
                .motion(motion.id)
                .figure(ring.times, stated.inertia_times, Quantity::Ratio)
                .remedy(remedy)
                .off(ring.times / stated.inertia_times.max(1.0) - 1.0),
        );
    }
}
