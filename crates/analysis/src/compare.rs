//! Alternatives side by side: one table of figures, the better one of each, and a sentence with those that decide.

mod long_pair;
mod notes;
pub(crate) mod rows;
mod sentence;
pub(crate) mod support;
mod text;

pub use long_pair::{LongPair, MoreFrom, SpacingReport, long_pair};
pub use text::compare_text;

use crate::{EnvelopeReport, Report, stages::Analyst, words::Words};
use document::{LayoutId, MotionId, Project};
use std::sync::Arc;
use support::Support;
use units::Quantity;

/// Two or more layouts compared.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Comparison {
    /// In the order asked for, with their names.
    pub layouts: Vec<(LayoutId, String)>,
    /// One figure each.
    pub rows: Vec<CompareRow>,
    /// Which is better for these motions and why, with the figures that decide.
    pub sentence: String,
    /// What of the sentence says how much each holds and which is better; the rest says why.
    pub lead: String,
    /// What the comparison rests on, one sentence each; where it departs from common practice, under which assumption.
    pub notes: Vec<String>,
    /// Beside `layouts`.
    pub envelopes: Vec<Option<EnvelopeReport>>,
    /// Where one long cup is compared with two round ones: who holds more, and from which spacing on.
    pub long_pair: Option<LongPair>,
}

/// One figure of every layout.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareRow {
    /// "Factor, level carry".
    pub name: String,
    /// What the numbers measure.
    pub quantity: Quantity,
    /// Beside [`Comparison::layouts`].
    pub figures: Vec<CompareFigure>,
    /// The better one; `None` when they are equal, better has no meaning here, the layouts are over different parts, the best
    /// does not hold what is required, or the difference is no larger than what is assumed could make it.
    pub better: Option<usize>,
    /// The motion it is about.
    pub motion: Option<MotionId>,
}

/// A figure, or the word that stands in its place.
#[derive(Debug, Clone, PartialEq)]
pub enum CompareFigure {
    /// In the base unit of the row's quantity.
    Number(f64),
    /// A factor and what it is held against.
    Factor {
        /// How many times the load is carried.
        factor: f64,
        /// How many times it must be.
        required: f64,
    },
    /// "no limit", "drops", "not checked".
    Words(String),
}

/// Compares layouts of a project with everything worked out. A layout that the project does not have is left out.
///
/// ```
/// use analysis::{Analyst, compare};
/// use document::{Part, PartId, Project};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let comparison = compare(&mut Analyst::new(), &project, &[project.layouts[0].id]);
/// assert_eq!(comparison.layouts.len(), 1);
/// assert!(comparison.sentence.starts_with("Only one layout"));
/// ```
pub fn compare(analyst: &mut Analyst, project: &Project, layouts: &[LayoutId]) -> Comparison {
    let sides = sides(analyst, project, layouts);
    let pair = long_pair(analyst, project, layouts);
    let support = Support::of(analyst, project, &sides);
    let units = analyst.units();
    let words = Words { choice: &units };
    let mut notes = notes::notes(&sides, &words);
    if let Some(pair) = &pair {
        notes.extend(notes::of_long_pair(project, &sides, pair, &words));
    }
    let (lead, reasons) = sentence::sentence(project, &sides, &support, pair.as_ref(), &words);
    Comparison {
        layouts: sides.iter().map(|side| (side.report.layout, side.name().to_owned())).collect(),
        rows: rows::rows(project, &sides, &support),
        sentence: format!("{lead} {reasons}").trim_end().to_owned(),
        lead,
        notes,
        envelopes: sides.iter().map(|side| side.report.envelope.clone()).collect(),
        long_pair: pair,
    }
}

/// One layout with everything known about it.
pub(crate) struct Side {
    pub report: Arc<Report>,
}

/// Reports of those layouts that the project has.
pub(crate) fn sides(analyst: &mut Analyst, project: &Project, layouts: &[LayoutId]) -> Vec<Side> {
    layouts
        .iter()
        .filter(|id| project.layout(**id).is_some())
        .map(|id| Side { report: analyst.check_whole(project, *id) })
        .collect()
}

/// The loss of one cup that leaves least.
pub(crate) struct WorstLoss<'a> {
    pub lost: &'a crate::LostReport,
    pub motion: &'a crate::MotionReport,
}

impl Side {
    pub(crate) fn name(&self) -> &str {
        &self.report.layout_name
    }

    /// The motion with the least factor over required, and that ratio; `None` without a figure for every motion.
    pub(crate) fn least_ratio(&self) -> Option<(f64, &crate::MotionReport)> {
        let ratio = |motion: &crate::MotionReport| {
            let outcome = motion.outcome.as_ref().ok()?;
            Some(outcome.factor / motion.required_factor)
        };
        let all: Option<Vec<f64>> = self.report.motions.iter().map(ratio).collect();
        let (index, least) = all?.into_iter().enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some((least, &self.report.motions[index]))
    }

    /// The loss of one cup that drops the part, or else the one that leaves the least factor.
    pub(crate) fn worst_loss(&self) -> Option<WorstLoss<'_>> {
        let losses = self.report.motions.iter().flat_map(|motion| {
            let depth = motion.outcome.as_ref().ok().and_then(|outcome| outcome.depth.as_ref());
            depth.into_iter().flat_map(move |depth| {
                depth
                    .lost
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
    pub(crate) fn tag(&self, cup: document::CupId) -> &str {
        self.report.cups.iter().find(|held| held.id == cup).map_or("", |held| held.tag.as_str())
    }

    /// Findings that fail and that nobody accepted.
    pub(crate) fn fails(&self) -> usize {
        let open = |finding: &&crate::Finding| {
            finding.severity == crate::Severity::Fail && finding.accepted.is_none()
        };
        self.report.findings.iter().filter(open).count()
    }
}
