//! `assumed.inputs`: what is assumed makes the governing factor a range.
//!
//! Why: stiffness, sealing line and seal minimum are specific to a cup and measured, and so is what decides the level: the gap
//! under the lips, the feed, the source's curve, how easily air comes through the part. Friction has an entry of its own.
//! Limits: watched when the range of some motion reaches below its required factor, else advice when an assumed input other
//! than friction moves the factor of the motion that governs. Remedy: what to measure, the input that comes first in the list.

use super::{Draft, Facts, RuleInfo};
use crate::{assumed::Input, report::Severity, slow::Slow, words};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "assumed.inputs",
    title: "Assumed inputs make the factor a range",
    explains: "Stiffness, sealing line and seal minimum have to be measured on the cup; assumed values, \
        varied by the project\u{2019}s spreads, make the factor a range. So do assumed inputs that set the \
        vacuum level, for which the circuit is solved again: gap under the lips from half to double, air \
        permeability by half, feed pressure, source curve or stated level by a tenth (common practice, no \
        source).",
    fail: "",
    watch: "the range reaches below a required factor",
    remedy: "what to measure",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    // The names belong to this plan only.
    if !facts.ages.is_current(Slow::Ranges) {
        return;
    }
    // The motion that may fall short comes before the one that governs.
    let low = facts.low_range();
    let severity = if low.is_some() { Severity::Watch } else { Severity::Advice };
    let found = low.or_else(|| {
        let (motion, _) = facts.governing()?;
        Some((motion, motion.outcome.as_ref().ok()?.slow.as_ref()?.range.as_ref()?))
    });
    let Some((motion, range)) = found else { return };
    let is_friction = |name: &&String| {
        facts.assumed.iter().any(|(input, held)| held == *name && input.input == Input::Friction)
    };
    let others: Vec<String> = range.inputs.iter().filter(|name| !is_friction(name)).cloned().collect();
    if others.is_empty() {
        return;
    }
    let says = format!(
        "At {} the factor is between {} and {}, with {} required, because of assumed inputs: {}.",
        words::inside(&motion.name),
        facts.words.against(range.least, motion.required_factor),
        facts.words.factor(range.most),
        facts.words.factor(motion.required_factor),
        range.inputs.join(", "),
    );
    out.push(
        Draft::new(INFO.id, severity, says)
            .motion(motion.id)
            .figure(range.least, motion.required_factor, Quantity::Ratio)
            .remedy(
                "Measure these and enter the values as measured: friction by a slide test, the circuit by \
                the vacuum level at the last cup."
                    .to_owned(),
            )
            .off(match severity {
                Severity::Watch => 1.0 - range.least / motion.required_factor,
                _ => range.most / range.least.max(1e-9) - 1.0,
            }),
    );
}
