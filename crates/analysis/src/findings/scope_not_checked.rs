//! `scope.not_checked`: what this version does not compute.
//!
//! Why: a figure that nobody worked out must not read as a pass.
//! Remedy: check it otherwise, above all the loss of one cup, in the trial pick.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "scope.not_checked",
    title: "What is not checked",
    explains: "Figures that are not computed are named, so that their absence does not read as a pass.",
    fail: "",
    watch: "",
    remedy: "check them in the trial pick",
};

/// Figures that no stage computes, and why.
pub(crate) const NOT_BUILT: [(&str, &str); 4] = [
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
];

/// The same in one line.
const FEW_WORDS: &str = "Loss of one cup, limit load, sheet flexing and the vacuum circuit are not checked.";

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    if facts.cups.is_empty() {
        return;
    }
    out.push(Draft::new(INFO.id, Severity::NotChecked, FEW_WORDS.to_owned()).remedy(
        "Look at them in the trial pick: close off one cup, and watch the sheet and the level.".to_owned(),
    ));
}
