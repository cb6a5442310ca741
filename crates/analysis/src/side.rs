//! A layout with everything known about it, as it is set beside another one.

use crate::{Analyst, Lost, MotionReport, Report};
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

/// The loss of one cup, or of one zone, that leaves least.
#[derive(Debug, Clone, PartialEq)]
pub struct WorstLoss<'a> {
    /// What is lost.
    pub lost: Lost,
    /// Factor of the first lip of what is left; `None` when what is left cannot carry the motion at all.
    pub factor: Option<f64>,
    /// Whether the part stays on the tool in the end.
    pub holds: bool,
    /// In which motion.
    pub motion: &'a MotionReport,
}

impl Side {
    /// Name of the layout.
    pub fn name(&self) -> &str {
        &self.report.layout_name
    }

    /// The motion with the least factor over required, and that ratio; `None` without a figure for every motion. Of a part that
    /// bends the factor as it bends.
    pub fn least_ratio(&self) -> Option<(f64, &MotionReport)> {
        let ratio = |motion: &MotionReport| Some(self.report.factor_of(motion)? / motion.required_factor);
        let all: Option<Vec<f64>> = self.report.motions.iter().map(ratio).collect();
        let (index, least) = all?.into_iter().enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some((least, &self.report.motions[index]))
    }

    /// Least and largest factor of a motion over what is assumed; `None` where nothing assumed moves it, or that was not worked
    /// out. Of a part that bends as it bends.
    pub fn range_of(&self, motion: &MotionReport) -> Option<[f64; 2]> {
        if self.report.bends().is_some() {
            let reserve = self.report.bent_reserve.as_ref()?.as_ref().ok()?;
            return reserve.of_motion(motion.id)?.range;
        }
        let range = motion.outcome.as_ref().ok()?.slow.as_ref()?.range.as_ref()?;
        Some([range.least, range.most])
    }

    /// The loss of one cup that drops the part, or else the one that leaves the least factor; `None` where losses were not worked
    /// out. Of a part that bends as it bends.
    pub fn worst_loss(&self) -> Option<WorstLoss<'_>> {
        if self.report.bends().is_none() {
            return worst(self.rigid_losses().filter(|loss| matches!(loss.lost, Lost::Cup(_))).collect());
        }
        let reserve = self.report.bent_reserve.as_ref()?.as_ref().ok()?;
        let of_motion = |motion: &'_ MotionReport| reserve.of_motion(motion.id).map(|of| of.lost.as_slice());
        let losses = self.report.motions.iter().flat_map(|motion| {
            of_motion(motion).unwrap_or_default().iter().map(move |lost| WorstLoss {
                lost: Lost::Cup(lost.cup),
                factor: lost.factor,
                holds: lost.holds,
                motion,
            })
        });
        worst(losses.collect())
    }

    /// The same of one zone: of the cup of a zone with one. `None` also for a part that bends, of which lost zones are not worked
    /// out.
    pub fn worst_zone(&self) -> Option<WorstLoss<'_>> {
        if self.report.bends().is_some() {
            return None;
        }
        let cups = &self.report.cups;
        let alone = |id: &document::CupId| {
            let zone = cups.iter().find(|cup| cup.id == *id).map(|cup| &cup.zone);
            cups.iter().filter(|cup| Some(&cup.zone) == zone).count() == 1
        };
        let of_zone = |loss: &WorstLoss<'_>| match &loss.lost {
            Lost::Zone(_) => true,
            Lost::Cup(id) => alone(id),
        };
        worst(self.rigid_losses().filter(of_zone).collect())
    }

    fn rigid_losses(&self) -> impl Iterator<Item = WorstLoss<'_>> {
        self.report.motions.iter().flat_map(|motion| {
            let slow = motion.outcome.as_ref().ok().and_then(|outcome| outcome.slow.as_ref());
            slow.into_iter().flat_map(move |slow| {
                slow.lost.iter().map(move |of| WorstLoss {
                    lost: of.lost.clone(),
                    factor: of.factor,
                    holds: of.holds,
                    motion,
                })
            })
        })
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

/// The first of those that leave the same, so that mirror images do not swap.
fn worst(losses: Vec<WorstLoss<'_>>) -> Option<WorstLoss<'_>> {
    let any_drops = losses.iter().any(|loss| !loss.holds);
    let factor = |loss: &WorstLoss<'_>| loss.factor.unwrap_or(0.0);
    let eligible = |loss: &&WorstLoss<'_>| !(any_drops && loss.holds);
    let least = losses.iter().filter(eligible).map(factor).fold(f64::INFINITY, f64::min);
    losses
        .into_iter()
        .find(|loss| eligible(&loss) && factor(loss) <= least * (1.0 + crate::findings::SAME_LOSS))
}
