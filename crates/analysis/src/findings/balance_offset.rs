//! `balance.offset`: the cups' centre is beside the centre of gravity.
//!
//! Why: the offset tips the part, so that some cups carry more than their share in every motion.
//! Limit: watched above 10 % of the cups' half extent along that axis (project setting). Remedy: the shift of the
//! group.

use super::{Draft, Facts, RuleInfo, remedies};
use crate::report::Severity;
use mechanics::Arrangement;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "balance.offset",
    title: "Cups off the centre of gravity",
    explains: "If the cups' centre of stiffness is off the centre of gravity, the part tips and some cups \
        carry more than their share in every motion.",
    fail: "",
    watch: "offset above 10 % of half the cups' extent",
    remedy: "the shift of the group",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(balance) = facts.balance else { return };
    let limit = facts.project.rules.centroid_offset_share;
    if matches!(facts.arrangement, Arrangement::Single { .. } | Arrangement::Empty) {
        return;
    }
    let share = |offset: f64, spread: f64| if spread > 1e-6 { offset.abs() / spread } else { 0.0 };
    let figure = share(balance.centroid_offset.x, balance.spread.x)
        .max(share(balance.centroid_offset.y, balance.spread.y));
    if figure <= limit + 1e-9 {
        return;
    }
    let says = format!(
        "The centre of gravity is {} from the cups\u{2019} centre, {} of half their extent.",
        facts.words.pair(balance.centroid_offset),
        facts.words.percent(figure),
    );
    let enough = |by: glam::DVec2| {
        let left = balance.centroid_offset - by;
        share(left.x, balance.spread.x).max(share(left.y, balance.spread.y)) <= limit
    };
    let (remedy, fix) = remedies::shift_group(facts, balance.centroid_offset, &enough);
    out.push(
        Draft::new(INFO.id, Severity::Watch, says)
            .figure(figure, limit, Quantity::Share)
            .remedy(remedy)
            .fix(fix)
            .off(figure / limit.max(1e-6) - 1.0),
    );
}
