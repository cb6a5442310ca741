//! A layout with everything known about it, as it is set beside another one.

use crate::{Analyst, Report};
use document::{LayoutId, Project};
use std::sync::Arc;

/// One layout with everything known about it.
pub struct Side {
    /// Its report, slow figures included.
    pub report: Arc<Report>,
}

/// Reports of those layouts that the project has.
pub fn sides(analyst: &mut Analyst, project: &Project, layouts: &[LayoutId]) -> Vec<Side> {
    layouts
        .iter()
        .filter(|id| project.layout(**id).is_some())
        .map(|id| Side { report: analyst.check_whole(project, *id) })
        .collect()
}

/// The loss of one cup that leaves least.
pub struct WorstLoss<'a> {
    /// What is lost, and what of it.
    pub lost: &'a crate::LostReport,
    /// In which motion.
    pub motion: &'a crate::MotionReport,
}

impl Side {
    /// Name of the layout.
    pub fn name(&self) -> &str {
        &self.report.layout_name
    }

    /// The motion with the least factor over required, and that ratio; `None` without a figure for every motion.
    pub fn least_ratio(&self) -> Option<(f64, &crate::MotionReport)> {
        let ratio = |motion: &crate::MotionReport| {
            let outcome = motion.outcome.as_ref().ok()?;
            Some(outcome.factor / motion.required_factor)
        };
        let all: Option<Vec<f64>> = self.report.motions.iter().map(ratio).collect();
        let (index, least) = all?.into_iter().enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some((least, &self.report.motions[index]))
    }

    /// The loss of one cup that drops the part, or else the one that leaves the least factor.
    pub fn worst_loss(&self) -> Option<WorstLoss<'_>> {
        let losses = self.report.motions.iter().flat_map(|motion| {
            let slow = motion.outcome.as_ref().ok().and_then(|outcome| outcome.slow.as_ref());
            slow.into_iter().flat_map(move |slow| {
                slow.lost
                    .iter()
                    .filter(|lost| matches!(lost.lost, crate::Lost::Cup(_)))
                    .map(move |lost| WorstLoss { lost, motion })
            })
        });
        // The first of those that leave the same, so that mirror images do not swap.
        let losses: Vec<WorstLoss<'_>> = losses.collect();
        let any_drops = losses.iter().any(|loss| !loss.lost.holds);
        let factor = |loss: &WorstLoss<'_>| loss.lost.factor.unwrap_or(0.0);
        let eligible = |loss: &&WorstLoss<'_>| !(any_drops && loss.lost.holds);
        let least = losses.iter().filter(eligible).map(factor).fold(f64::INFINITY, f64::min);
        losses
            .into_iter()
            .find(|loss| eligible(&loss) && factor(loss) <= least * (1.0 + crate::findings::SAME_LOSS))
    }

    /// The tag of a cup of this layout.
    pub fn tag(&self, cup: document::CupId) -> &str {
        self.report.cups.iter().find(|held| held.id == cup).map_or("", |held| held.tag.as_str())
    }

    /// Findings that fail and that nobody accepted.
    pub fn fails(&self) -> usize {
        let open = |finding: &&crate::Finding| {
            finding.severity == crate::Severity::Fail && finding.accepted.is_none()
        };
        self.report.findings.iter().filter(open).count()
    }
}
