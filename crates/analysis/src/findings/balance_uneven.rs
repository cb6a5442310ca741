//! `balance.uneven`: one cup carries much more than the mean.
//!
//! Why: the most loaded lip decides; the others then hold in reserve what they cannot give.
//! Limit: watched above 1.5 times the mean pull (project setting), in motions that mainly pull; left to `balance.hull`
//! where the pull acts outside the cups. Remedy: the shift of the group, or how much wider to set the cups.

use super::{Draft, Facts, RuleInfo, remedies};
use crate::{balance, report::Severity, words};
use mechanics::Arrangement;
use units::Quantity;

/// An offset below this is not worth a shift, mm.
const WORTH_A_SHIFT: f64 = 1.0;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "balance.uneven",
    title: "One cup carries much more than the mean",
    explains: "The most loaded lip governs; spare capacity at the others does not help. Checked in motions \
        that mainly pull.",
    fail: "",
    watch: "most loaded cup above 1.5 times the mean pull",
    remedy: "the shift of the group, or how much wider to set the cups",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(balance) = facts.balance else { return };
    let (Some(ratio), Some(motion)) = (balance.most_over_mean, balance.most_over_mean_motion) else { return };
    let limit = facts.project.rules.most_over_mean;
    if ratio <= limit * (1.0 + 1e-9) || facts.arrangement != Arrangement::Spread {
        return;
    }
    let Some((report, case)) = facts.solved().find(|(report, _)| report.id == motion) else { return };
    // That the pull acts outside the cups in this motion is told already and is why they are uneven.
    let outside = || balance::pull_inside(&balance::hull(facts.cups), &case.result.wrench);
    if balance.inside_hull && outside().is_some_and(|distance| distance < 0.0) {
        return;
    }
    // The first of those that are equal but for rounding, so that mirror images do not swap.
    let pulls: Vec<f64> = case.result.loads.iter().map(|load| load.pull).collect();
    let pull = pulls.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let Some(most) = pulls.iter().position(|other| *other >= pull * (1.0 - 1e-9)) else { return };
    let says = format!(
        "{} carries {}, {} times the mean, at {}.",
        facts.tag(most),
        facts.words.figure(pull, Quantity::Force),
        facts.words.factor(ratio),
        words::inside(&report.name),
    );
    // The excess over the mean comes from the tipping moment and falls with the cups' distance from their centre.
    let wider = (limit > 1.0).then(|| (ratio - 1.0) / (limit - 1.0));
    let spread = wider.map(|times| {
        format!(
            "space the cups {} times as far from their centre",
            facts.words.factor((times * 100.0).ceil() / 100.0)
        )
    });
    let nearer =
        |by: glam::DVec2| (balance.centroid_offset - by).length() <= 0.5 * balance.centroid_offset.length();
    let shift = (balance.centroid_offset.length() > WORTH_A_SHIFT)
        .then(|| remedies::shift_group(facts, balance.centroid_offset, &nearer));
    let (remedy, fix) = match (shift, spread) {
        (Some((shift, fix)), Some(spread)) => (format!("{shift} Or {spread}."), fix),
        (Some((shift, fix)), None) => (shift, fix),
        (None, Some(spread)) => (format!("{}.", words::capital(&spread)), None),
        (None, None) => ("Reduce the acceleration, or add cups on the loaded side.".to_owned(), None),
    };
    out.push(
        Draft::new(INFO.id, Severity::Watch, says)
            .cups([facts.cups[most].id])
            .motion(motion)
            .figure(ratio, limit, Quantity::Ratio)
            .remedy(remedy)
            .fix(fix)
            .off(ratio / limit - 1.0),
    );
}
