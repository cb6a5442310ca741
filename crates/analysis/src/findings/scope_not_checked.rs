//! `scope.not_checked`: what this version does not compute.
//!
//! Why: a figure that nobody worked out must not read as a pass.
//! Remedy: check it otherwise, in the trial pick.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{CircuitReport, CircuitStatus, Severity},
    words,
};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "scope.not_checked",
    title: "What is not checked",
    explains: "Results that are not calculated are named, so that their absence does not read as a pass.",
    fail: "",
    watch: "",
    remedy: "check them in the trial pick",
};

/// Figures that no stage computes, and why.
const NOT_BUILT: [(&str, &str); 1] = [(
    "sheet flexing",
    "the part is treated as rigid; sag, curvature at the lips and dishing are not calculated",
)];
/// The same of a part that is worked out as one that bends.
const NOT_BUILT_BENT: [(&str, &str); 1] = [(
    "limit factor and lost zones as the part bends",
    "they are for a rigid part; small deflections are assumed, and a sheet that sags by more than half its \
    thickness stiffens",
)];

/// Which of them.
pub(crate) fn not_built(bends: bool) -> &'static [(&'static str, &'static str)] {
    if bends { &NOT_BUILT_BENT } else { &NOT_BUILT }
}

/// What is not computed where a circuit has no source and hoses.
pub(crate) const CIRCUIT_STATED: (&str, &str) = (
    "vacuum circuit",
    "each cup is assumed to have the stated level for its circuit at its port; leaks, hoses and time to \
    level are not calculated",
);

/// They in one line.
const FEW_WORDS: &str = "Sheet flexing and the vacuum circuit are not checked.";
/// The same where every circuit is worked out.
const SHEET_ONLY: &str = "Sheet flexing is not checked.";

/// Of a part that bends.
const CIRCUIT_ONLY: &str = "The vacuum circuit is not checked.";

/// Whether some circuit has only a stated level, or there is none.
pub(crate) fn only_stated(circuits: &[CircuitReport]) -> bool {
    circuits.is_empty() || circuits.iter().any(|circuit| circuit.status == CircuitStatus::Stated)
}

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    if facts.cups.is_empty() {
        return;
    }
    // Where an input or the group leaves every motion without a figure, its own finding says so.
    let told = !facts.problems.is_empty()
        || facts.group_error
        || facts.body.is_none()
        || facts.cups.len() < facts.layout.cups.len();
    let without = facts.motions.iter().filter_map(|motion| Some((motion, motion.outcome.as_ref().err()?)));
    out.extend(without.filter(|_| !told).map(|(motion, reason)| {
        let says = words::sentence(&format!("{} has no factor: {reason}", motion.name));
        Draft::new(INFO.id, Severity::NotChecked, says)
            .motion(motion.id)
            .remedy("Correct its values; until then it is not checked.".to_owned())
            .off(1.0)
    }));
    let bends = matches!(facts.bending, Some(Ok(_)));
    let (says, remedy) = match (only_stated(facts.circuits), bends) {
        (true, false) => {
            (FEW_WORDS, "Check them in the trial pick: watch the sheet and the level, and open one cup.")
        }
        (true, true) => (CIRCUIT_ONLY, "Check it in the trial pick: watch the level, and open one cup."),
        (false, false) => (SHEET_ONLY, "Check it in the trial pick: watch the sheet sag and the lips close."),
        (false, true) => return,
    };
    out.push(Draft::new(INFO.id, Severity::NotChecked, says.to_owned()).remedy(remedy.to_owned()));
}
