//! `balance.hull`: the centre of gravity lies outside the cups.
//!
//! Why: a part held beside its centre of gravity hangs on the nearest cups and levers the others off.
//! Limit: fails outside the convex hull of the cups' centres. Remedy: the shift of the group.

use super::{Draft, Facts, RuleInfo, remedies};
use crate::{balance, report::Severity};
use mechanics::Arrangement;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "balance.hull",
    title: "Centre of gravity outside the cups",
    explains: "A part held beside its centre of gravity hangs on the nearest cups and presses or levers the others off.",
    fail: "centre of gravity outside the hull of the cups' centres",
    watch: "",
    remedy: "the shift of the group",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let (Some(balance), Some(body)) = (facts.balance, facts.body) else { return };
    if balance.inside_hull || facts.arrangement != Arrangement::Spread {
        return;
    }
    let distance = balance::hull_distance(facts.cups, body.centre);
    let says = format!("The centre of gravity is {} outside the cups.", facts.words.length(-distance));
    let (remedy, fix) = remedies::shift_group(facts, balance.centroid_offset);
    out.push(
        Draft::new(INFO.id, Severity::Fail, says)
            .figure(distance, 0.0, Quantity::Length)
            .remedy(remedy)
            .fix(fix)
            .off(1.0 - distance / balance.spread.max_element().max(1.0)),
    );
}
