//! `flex.not_checked`: a part that is let bend has no figures of it.
//!
//! Why: a part that a person lets bend must not pass as a rigid one; a lip that reaches over an edge holds nothing that can be reckoned
//! with. Remedy: what stands in the way, or no modulus.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{BendingReport, Severity},
    words,
};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.not_checked",
    title: "Bending is not checked",
    explains: "A modulus of elasticity is given, but something prevents the bending calculation.",
    fail: "",
    watch: "",
    remedy: "what prevents it",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let reason = match facts.bending {
        None => return,
        Some(Ok(bending)) => return out.extend(left_out(facts, bending)),
        Some(Err(reason)) => reason,
    };
    let says = words::sentence(&format!("bending is not checked: {reason}"));
    out.push(
        Draft::new(INFO.id, Severity::NotChecked, says)
            .remedy("Fix that, or treat the part as rigid.".to_owned())
            .off(1.0),
    );
}

/// Cups that a sheet does not lie on wholly: the others have their figures.
fn left_out(facts: &Facts<'_>, bending: &BendingReport) -> Option<Draft> {
    let off: Vec<usize> = bending.off.iter().filter_map(|cup| facts.index_of(*cup)).collect();
    if off.is_empty() {
        return None;
    }
    let (tags, lie) = (facts.tags(&off), if off.len() == 1 { "lip does" } else { "lips do" });
    let says = format!(
        "Bending at {tags} is not checked: its {lie} not lie fully on the part. The other bending results \
        are without it."
    );
    let says = if off.len() == 1 {
        says
    } else {
        says.replace("its lips", "their lips").replace("without it", "without them")
    };
    Some(
        Draft::new(INFO.id, Severity::NotChecked, says)
            .cups(off.iter().map(|cup| facts.cups[*cup].id))
            .remedy("Move the lip onto the part.".to_owned())
            .off(0.9),
    )
}
