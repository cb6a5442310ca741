//! `scope.not_checked`: what this version does not compute.
//!
//! Why: a figure that nobody worked out must not read as a pass.
//! Remedy: check it otherwise, above all the loss of one cup, in the trial pick.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "scope.not_checked",
    title: "What is not checked",
    explains: "Figures that are not computed are named, so that their absence does not read as a pass.",
    fail: "",
    watch: "",
    remedy: "check them in the trial pick",
};

/// Figures that no stage computes, and why.
pub(crate) const NOT_BUILT: [(&str, &str); 6] = [
    (
        "limit factor",
        "the reserve behind the first lip that fails is not computed; the factor counts on no redistribution among cups",
    ),
    ("one cup lost", "every cup is taken to hold; the loss of one is not computed"),
    ("sheet flexing", "the part is taken as rigid; sag, curvature at the lips and dishing are not computed"),
    (
        "vacuum circuit",
        "each cup is taken to have the level stated for its circuit; leaks, hoses and time to level are not computed",
    ),
    (
        "envelope",
        "the largest acceleration held in each direction is not computed; each motion is held against its own",
    ),
    (
        "robot load",
        "the mass of the tool is not known; mass, centre of gravity and inertia of the part are given",
    ),
];

/// The first four in one line.
const FEW_WORDS: &str = "Loss of one cup, limit load, sheet flexing and the vacuum circuit are not checked.";

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    if facts.cups.is_empty() {
        return;
    }
    // Where an input or the group leaves every motion without a figure, its own finding says so.
    let told = !facts.problems.is_empty()
        || facts.group_error.is_some()
        || facts.body.is_none()
        || facts.cups.len() < facts.layout.cups.len();
    let without = facts.motions.iter().filter_map(|motion| Some((motion, motion.outcome.as_ref().err()?)));
    out.extend(without.filter(|_| !told).map(|(motion, reason)| {
        let says = words::sentence(&format!("{} has no factor: {reason}", motion.name));
        Draft::new(INFO.id, Severity::NotChecked, says)
            .motion(motion.id)
            .remedy("Mend its figures; until then nothing is known of it.".to_owned())
            .off(1.0)
    }));
    out.push(Draft::new(INFO.id, Severity::NotChecked, FEW_WORDS.to_owned()).remedy(
        "Look at them in the trial pick: close off one cup, and watch the sheet and the level.".to_owned(),
    ));
}
