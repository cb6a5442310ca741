//! What is proposed, with its figures.

use super::{certainty::Certainty, cups, error::CannotPropose, suit::Suits};
use crate::{Report, Side, WorstLoss};
use document::{CupModel, Edit, Layout, MotionId, Pattern, Prefer, Project, Question};
use glam::DVec2;
use std::{cmp::Ordering, sync::Arc};

/// Positions within this are one value on a drawing, mm.
const ONE_VALUE: f64 = 0.05;

/// Which kind of layout it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// What there is.
    Present,
    /// One that was looked for.
    Pattern(Pattern),
}

impl Kind {
    /// What to call it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Present => "as it is",
            Self::Pattern(pattern) => pattern.name(),
        }
    }

    /// Its name in JSON.
    pub fn key(self) -> &'static str {
        match self {
            Self::Present => "present",
            Self::Pattern(pattern) => pattern.key(),
        }
    }
}

/// Figures of a proposal, from the report of its layout.
#[derive(Debug, Clone, PartialEq)]
pub struct ProposalFigures {
    /// Number of cups.
    pub cups: usize,
    /// Cups of each model, by its name.
    pub models: Vec<(String, usize)>,
    /// Least factor over required; infinite where nothing ends it, `None` where a motion has no figure.
    pub least: Option<f64>,
    /// Where that is.
    pub motion: Option<MotionId>,
    /// Name of that motion.
    pub motion_name: String,
    /// The part that makes it; nothing where the tool carries one.
    pub part_name: String,
    /// Factor there.
    pub factor: Option<f64>,
    /// Least factor of the first lip of what is left when the worst cup is lost; 0 where the part drops, `None` where it was not
    /// worked out.
    pub one_lost: Option<f64>,
    /// Whether the part is held whichever cup is lost.
    pub holds_lost: Option<bool>,
    /// The same with the worst zone lost; `None` also for a part that bends.
    pub zone_lost: Option<f64>,
    /// Least factor over required with every assumed input at its worst, where that was asked for.
    pub low_end: Option<f64>,
    /// Vacuum force of all cups, N.
    pub force_n: f64,
    /// Different X and different Y of its cups.
    pub different: [usize; 2],
    /// Zones that its cups are in, on a tool that carries several parts.
    pub zones: Option<usize>,
    /// Air that its circuits draw as long as they run, L/min ANR, for the part that takes most; `None` where no circuit is worked
    /// out.
    pub air_nl_min: Option<f64>,
}

/// One layout that is proposed, or the present one beside them.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// What kind it is.
    pub kind: Kind,
    /// As it would be added; its ids are given anew then.
    pub layout: Arc<Layout>,
    /// Its report, lost cups included.
    pub report: Arc<Report>,
    /// What stands in a table of all.
    pub figures: ProposalFigures,
    /// Whether everything that was asked for is met.
    pub meets: bool,
    /// What fails in a check of it beside what was asked for, as sentences, the worst first; what is accepted is left out.
    pub fails: Vec<String>,
    /// The least of all that was asked for over what must hold; 0 where a figure is missing.
    pub(super) counts: f64,
    /// Models that its cups are of.
    pub(super) models: Vec<Arc<CupModel>>,
}

impl Proposal {
    /// The edit that adds it to a project as a new layout; nothing else changes.
    pub fn edit(&self, project: &Project) -> Edit {
        cups::edit(project, &self.layout, &self.models)
    }

    /// The project with it as a further layout.
    pub fn project(&self, project: &Project) -> Project {
        cups::with(project, &self.layout, &self.models)
    }

    /// Its cups, with the model of each.
    pub fn cups(&self) -> impl Iterator<Item = (&document::Cup, &CupModel)> {
        self.layout.cups.iter().filter_map(|cup| {
            let model = self.models.iter().find(|model| model.id == cup.model)?;
            Some((cup, model.as_ref()))
        })
    }
}

/// How much one more cup at a place would help.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoreAt {
    /// mm.
    pub at: DVec2,
    /// Score with it over the score without it.
    pub times: f64,
}

/// What was found for a question.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposals {
    /// What was asked for.
    pub question: Question,
    /// The same as a sentence.
    pub says: String,
    /// The best first; the present layout, where it has cups, is the last.
    pub proposals: Vec<Proposal>,
    /// Cups that the certainty is about.
    pub count: usize,
    /// What is proved of every layout of so many cups.
    pub certainty: Certainty,
    /// The same of one cup fewer, where that was asked; `None` where there is none or it is not known.
    pub fewer: Option<Certainty>,
    /// Places that the certainty covers, at how many mm.
    pub places: (usize, f64),
    /// Every model that was looked at.
    pub suits: Vec<Suits>,
    /// What could not be proposed beside, and why.
    pub beside: Vec<CannotPropose>,
    /// Whether it came to its end; otherwise the best so far.
    pub whole: bool,
    /// Why no layout of the places can be better, or that nothing is known of that, as a sentence.
    pub why_not_better: String,
    /// Why fewer cups do not do, as a sentence.
    pub why_not_fewer: String,
}

impl Proposals {
    /// Which of the proposals comes first, second and so on, by what is preferred; the present layout last.
    pub fn order(&self, prefer: Prefer) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.proposals.len()).collect();
        order.sort_by(|a, b| in_order(&self.proposals[*a], &self.proposals[*b], prefer));
        order
    }
}

/// What meets everything comes first, of that what fails in nothing else, in the order that is preferred; the present layout last.
pub(super) fn in_order(a: &Proposal, b: &Proposal, prefer: Prefer) -> Ordering {
    (a.kind == Kind::Present)
        .cmp(&(b.kind == Kind::Present))
        .then(b.meets.cmp(&a.meets))
        .then(a.fails.is_empty().cmp(&b.fails.is_empty()).reverse())
        .then_with(|| a.figures.before(&b.figures, prefer))
}

pub(super) fn figures(
    report: &Arc<Report>,
    layout: &Layout,
    models: &[Arc<CupModel>],
    low_end: bool,
) -> ProposalFigures {
    let sides = sides(report);
    let leasts: Option<Vec<_>> =
        sides.iter().map(|(name, side)| side.least_ratio().map(|least| (name, least, side))).collect();
    let least = leasts.and_then(|all| all.into_iter().reduce(|a, b| if b.1.0 < a.1.0 { b } else { a }));
    let losses: Option<Vec<f64>> =
        sides.iter().map(|(_, side)| side.worst_loss().as_ref().map(left)).collect();
    let holds: Option<Vec<bool>> = sides.iter().map(|(_, side)| Some(side.worst_loss()?.holds)).collect();
    let zones: Option<Vec<f64>> =
        sides.iter().map(|(_, side)| side.worst_zone().as_ref().map(left)).collect();
    let mut by_model: Vec<(String, usize)> = Vec::new();
    for cup in &layout.cups {
        let name = models
            .iter()
            .find(|model| model.id == cup.model)
            .map_or(&*cup.model.0, |model| model.name.as_str());
        match by_model.iter_mut().find(|(held, _)| held == name) {
            Some((_, count)) => *count += 1,
            None => by_model.push((name.to_owned(), 1)),
        }
    }
    let low = |side: &Side, motion: &crate::MotionReport| {
        let factor = side.report.factor_of(motion)?;
        Some(side.range_of(motion).map_or(factor, |[least, _]| least) / motion.required_factor)
    };
    let lowest = || {
        let each = sides.iter().flat_map(|(_, side)| side.report.motions.iter().map(|of| low(side, of)));
        each.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::min)
    };
    let air = |side: &Side| -> Option<f64> { side.report.circuits.iter().map(|of| of.air_nl_min).sum() };
    let most_air: Option<Vec<f64>> = sides.iter().map(|(_, side)| air(side)).collect();
    let cups = report.family.as_ref().map_or(&report.cups, |family| &family.cups);
    ProposalFigures {
        cups: layout.cups.len(),
        models: by_model,
        least: least.map(|(_, (ratio, _), _)| ratio),
        motion: least.map(|(_, (_, motion), _)| motion.id),
        motion_name: least.map_or_else(String::new, |(_, (_, motion), _)| motion.name.clone()),
        part_name: least.map_or_else(String::new, |(name, ..)| (*name).to_owned()),
        factor: least.and_then(|(_, (_, motion), side)| side.report.factor_of(motion)),
        one_lost: losses.and_then(|all| all.into_iter().reduce(f64::min)),
        holds_lost: holds.map(|all| all.into_iter().all(|holds| holds)),
        zone_lost: zones.and_then(|all| all.into_iter().reduce(f64::min)),
        low_end: if low_end { lowest() } else { None },
        force_n: cups.iter().map(|cup| cup.vacuum_force_n).sum(),
        different: [different(layout, |at| at.x), different(layout, |at| at.y)],
        zones: (sides.len() > 1).then(|| layout.zones().len()),
        air_nl_min: most_air
            .filter(|_| !report.circuits.is_empty())
            .and_then(|all| all.into_iter().reduce(f64::max)),
    }
}

/// The report of each part on the tool with its name; of one part alone that has none.
fn sides(report: &Arc<Report>) -> Vec<(&str, Side)> {
    match &report.family {
        Some(family) if family.seats.len() > 1 => {
            let side = |seat: &'_ crate::SeatReport| Side { report: Arc::clone(&seat.report) };
            family.seats.iter().map(|seat| (seat.name.as_str(), side(seat))).collect()
        }
        _ => vec![("", Side { report: Arc::clone(report) })],
    }
}

/// Factor of what a loss leaves; nothing where the part drops.
fn left(loss: &WorstLoss<'_>) -> f64 {
    if loss.holds { loss.factor.unwrap_or(0.0) } else { 0.0 }
}

/// How many different values cups have along an axis.
fn different(layout: &Layout, along: fn(DVec2) -> f64) -> usize {
    let mut values: Vec<f64> = layout.cups.iter().map(|cup| along(cup.at)).collect();
    values.sort_unstable_by(f64::total_cmp);
    values.dedup_by(|b, a| *b - *a <= ONE_VALUE);
    values.len()
}

impl ProposalFigures {
    /// Where the factor over required is least: "Carry on edge", of several parts "Carry on edge (Small blank)".
    pub fn least_where(&self) -> String {
        let part = if self.part_name.is_empty() { String::new() } else { format!(" ({})", self.part_name) };
        format!("{}{part}", self.motion_name)
    }

    /// The least of all that a question asks for over what must hold; 0 where a figure is missing.
    pub(super) fn counts(&self, question: &Question) -> f64 {
        let lost = |asked: bool, factor: Option<f64>| {
            if asked { factor.unwrap_or(0.0) / question.lost_factor } else { f64::INFINITY }
        };
        let low = if question.low_end { self.low_end.unwrap_or(0.0) } else { f64::INFINITY };
        self.least
            .unwrap_or(0.0)
            .min(low)
            .min(lost(question.one_lost, self.one_lost))
            .min(lost(question.zone_lost, self.zone_lost))
    }

    /// Which comes first of two that both meet what must hold, or both do not.
    pub(super) fn before(&self, other: &Self, prefer: Prefer) -> Ordering {
        let spread = |of: &Self| of.different.iter().sum::<usize>();
        let reserve = |of: &Self| of.least.unwrap_or(0.0);
        let air = |of: &Self| of.air_nl_min.unwrap_or(f64::INFINITY);
        let first = match prefer {
            Prefer::Cups => Ordering::Equal,
            Prefer::Reserve => reserve(other).total_cmp(&reserve(self)),
            Prefer::Positions => spread(self).cmp(&spread(other)),
            Prefer::Models => self.models.len().cmp(&other.models.len()),
            Prefer::Air => air(self).total_cmp(&air(other)),
        };
        first.then(self.cups.cmp(&other.cups)).then(reserve(other).total_cmp(&reserve(self)))
    }

    /// Whether another one is worse or equal in every column, and worse in one.
    pub(super) fn beats(&self, other: &Self) -> bool {
        let up = |a: Option<f64>, b: Option<f64>| a.unwrap_or(0.0).total_cmp(&b.unwrap_or(0.0));
        let columns = [
            other.cups.cmp(&self.cups),
            other.models.len().cmp(&self.models.len()),
            up(self.least, other.least),
            up(self.one_lost, other.one_lost),
            up(self.zone_lost, other.zone_lost),
            up(self.low_end, other.low_end),
            up(other.air_nl_min, self.air_nl_min),
            other.different.iter().sum::<usize>().cmp(&self.different.iter().sum::<usize>()),
            other.zones.cmp(&self.zones),
        ];
        columns.iter().all(|order| order.is_ge()) && columns.iter().any(|order| order.is_gt())
    }
}
