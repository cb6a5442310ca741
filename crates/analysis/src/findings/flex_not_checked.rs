//! `flex.not_checked`: a part that is let bend has no figures of it.
//!
//! Why: a part that a person lets bend must not pass as a rigid one. Remedy: what stands in the way, or no modulus.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.not_checked",
    title: "Bending is not checked",
    explains: "A modulus of elasticity is given, and something stands in the way of working out how the part bends.",
    fail: "",
    watch: "",
    remedy: "what stands in the way",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(Err(reason)) = facts.bending else { return };
    let says = words::sentence(&format!("how the part bends is not checked: {reason}"));
    out.push(
        Draft::new(INFO.id, Severity::NotChecked, says)
            .remedy("Mend that, or take the part as rigid.".to_owned())
            .off(1.0),
    );
}
