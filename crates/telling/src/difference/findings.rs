//! Findings of both sides, paired.

use super::{FindingChange, FindingChanges};
use analysis::{Finding, Report};
use document::{CupId, MotionId};

/// Findings that are less apart than this are as far off as they were.
const EQUAL: f64 = 0.005;

/// A rule, the cups it is about in the order of their ids, and the motion.
type Key = (&'static str, Vec<CupId>, Option<MotionId>);

fn key(finding: &Finding) -> Key {
    let mut cups = finding.subject.clone();
    cups.sort_unstable();
    // What is about a motion names the cup that governs it, and stays about the motion when another one does.
    let of_factor = ["factor.under_required", "flex.factor"].contains(&finding.rule);
    if finding.motion.is_some() && of_factor {
        cups.clear();
    }
    (finding.rule, cups, finding.motion)
}

/// Adds the findings of one layout that came, went, or are further off or less.
pub(super) fn pair(before: &Report, after: &Report, changes: &mut FindingChanges) {
    let layout = after.layout;
    let mut left: Vec<(Key, &Finding)> =
        before.findings.iter().map(|finding| (key(finding), finding)).collect();
    let mut come = Vec::new();
    for finding in &after.findings {
        let of = key(finding);
        // The findings of one key stand in the order of how far off they are.
        match left.iter().position(|(held, _)| *held == of) {
            Some(place) => {
                let (_, was) = left.remove(place);
                let change =
                    || FindingChange { layout, before: Some(was.clone()), after: Some(finding.clone()) };
                match worse(was, finding) {
                    Some(true) => changes.worse.push(change()),
                    Some(false) => changes.better.push(change()),
                    None => {}
                }
            }
            None => come.push(FindingChange { layout, before: None, after: Some(finding.clone()) }),
        }
    }
    changes.new.extend(come);
    changes.gone.extend(left.into_iter().map(|(_, was)| FindingChange {
        layout,
        before: Some(was.clone()),
        after: None,
    }));
}

/// By severity, then by how far off; `None` where both are the same.
fn worse(was: &Finding, is: &Finding) -> Option<bool> {
    if was.severity != is.severity {
        return Some(is.severity > was.severity);
    }
    let by = is.off - was.off;
    (by.abs() > EQUAL).then_some(by > 0.0)
}
