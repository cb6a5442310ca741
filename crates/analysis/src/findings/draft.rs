//! A finding while a rule writes it.

use crate::report::{Finding, Fix, Severity};
use document::{CupId, MotionId};
use std::cmp::Ordering;
use units::Quantity;

/// A finding on its way; those of one severity are sorted by how far off they are.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    pub finding: Finding,
}

impl Draft {
    pub(crate) fn new(rule: &'static str, severity: Severity, says: String) -> Self {
        let finding = Finding {
            rule,
            severity,
            subject: Vec::new(),
            motion: None,
            seat: None,
            figure: None,
            limit: None,
            quantity: Quantity::Ratio,
            says,
            range: None,
            remedy: String::new(),
            accepted: None,
            fix: None,
            off: 0.0,
        };
        Self { finding }
    }

    pub(crate) fn cups(mut self, cups: impl IntoIterator<Item = CupId>) -> Self {
        self.finding.subject = cups.into_iter().collect();
        self
    }

    pub(crate) fn motion(mut self, motion: MotionId) -> Self {
        self.finding.motion = Some(motion);
        self
    }

    /// Figure and limit in base units; a figure that is not finite is left out.
    pub(crate) fn figure(mut self, figure: f64, limit: f64, quantity: Quantity) -> Self {
        self.finding.figure = figure.is_finite().then_some(figure);
        self.finding.limit = limit.is_finite().then_some(limit);
        self.finding.quantity = quantity;
        self
    }

    pub(crate) fn range(mut self, range: String) -> Self {
        self.finding.range = Some(range);
        self
    }

    pub(crate) fn remedy(mut self, remedy: String) -> Self {
        self.finding.remedy = remedy;
        self
    }

    pub(crate) fn fix(mut self, fix: Option<Fix>) -> Self {
        self.finding.fix = fix;
        self
    }

    /// 0 = at the limit, larger = further beyond it.
    pub(crate) fn off(mut self, off: f64) -> Self {
        self.finding.off = if off.is_nan() { 0.0 } else { off.clamp(f64::MIN, f64::MAX) };
        self
    }

    /// Accepted last; fail, watch, not checked, advice; furthest off first; then rule, motion and cups.
    pub(crate) fn order(&self, other: &Self) -> Ordering {
        let (a, b) = (&self.finding, &other.finding);
        a.accepted
            .is_some()
            .cmp(&b.accepted.is_some())
            .then_with(|| b.severity.cmp(&a.severity))
            .then_with(|| b.off.total_cmp(&a.off))
            .then_with(|| a.rule.cmp(b.rule))
            .then_with(|| a.motion.cmp(&b.motion))
            .then_with(|| a.subject.cmp(&b.subject))
    }
}
