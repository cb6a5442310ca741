//! Limit factors: how many times the load could be carried were it shared in the best way, with every cup and after each
//! loss.

use super::{
    figure::{Figure, On, Slow},
    follow::First,
    losses::{Losses, MotionLosses, same_cups},
};
use crate::{loads, report::LimitFigure, snapshot::Snapshot};
use document::MotionId;
use mechanics::{Contact, Limit, LimitOver, LimitSolver, LipStrength, LoadCase, limit_over};

/// That no instant of a motion is worse is proved, which takes so many solves.
const PROVED: usize = 8;
/// Of more cups than this each solve takes so much longer, and each state and reading of a motion counts.
const MANY: usize = 300;
const MANY_TIMES: usize = 6;

/// Limit factors of every motion.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Limits {
    motions: Vec<(MotionId, MotionLimits)>,
    /// Whether some were left out as too many.
    cut: bool,
}

/// Limit factors of one motion.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MotionLimits {
    case: LoadCase,
    pub limit: LimitFigure,
    pub at_least: Option<f64>,
    /// After each loss that was followed.
    pub lost: Vec<LossLimit>,
}

/// Limit factor of what a loss leaves.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LossLimit {
    pub first: First,
    pub limit: LimitFigure,
    pub at_least: Option<f64>,
}

impl Figure for Limits {
    const SLOW: Slow = Slow::Limits;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        Losses::same_inputs(a, b) && a.required_of == b.required_of
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let losses = on.of_this_plan::<Losses>()?;
        let snapshot = on.snapshot.as_ref();
        let earlier = on.shelf.latest::<Self>().filter(|(held, limits)| {
            !limits.cut && same_cups(&held.of, snapshot) && held.of.zones == snapshot.zones
        });
        let all = super::follow::all(snapshot).len();
        let cups = snapshot.cups.len();
        let programmes =
            PROVED.saturating_mul(1 + all).saturating_mul(cups).saturating_mul(snapshot.cases.len());
        let cut = programmes > on.most.programmes;
        let budget = match cut {
            true => Budget::of(snapshot, on.most.programmes),
            false => Budget { motions: None, losses: all },
        };
        let contacts: Vec<Contact> =
            snapshot.cups.iter().map(|cup| Contact::lip(cup.spring.at, &cup.strength)).collect();
        let work = Work { on, losses, budget, contacts, strengths: snapshot.strengths() };
        let mut motions = Vec::with_capacity(losses.motions.len());
        for (index, (id, of)) in losses.motions.iter().enumerate() {
            on.tell(index, losses.motions.len());
            let same = |(motion, held): &&(MotionId, MotionLimits)| {
                motion == id && held.case == of.case && held.lost.len() == of.lost.len()
            };
            let held = earlier.filter(|_| !cut && of.lost.len() == all);
            match held.and_then(|(_, limits)| limits.motions.iter().find(same)) {
                Some(held) => motions.push(held.clone()),
                None => motions.push((*id, work.motion(*id, of)?)),
            }
        }
        Some(Self { motions, cut })
    }
}

impl Limits {
    pub(super) fn of_motion(&self, motion: MotionId) -> Option<&MotionLimits> {
        self.motions.iter().find(|(id, _)| *id == motion).map(|(_, found)| found)
    }

    /// What a loss leaves.
    pub(super) fn after(&self, motion: MotionId, first: &First) -> Option<&LimitFigure> {
        let found = self.of_motion(motion)?.lost.iter().find(|lost| lost.first == *first);
        found.map(|lost| &lost.limit)
    }
}

/// What limit factors are worked out for.
struct Budget {
    /// For these motions; `None` means all of them.
    motions: Option<Vec<MotionId>>,
    /// For so many losses of a motion.
    losses: usize,
}

impl Budget {
    /// Half for the weakest motions, half for their weakest losses.
    fn of(snapshot: &Snapshot, most_cups: usize) -> Self {
        let cups = snapshot.cups.len().max(1);
        let each = PROVED * cups * if cups > MANY { MANY_TIMES } else { 1 };
        // At least one, unless one alone would take too long.
        let motions = (most_cups / each).min(1).max((most_cups / 2 / each).min(snapshot.cases.len()));
        let strengths = snapshot.strengths();
        let mut factors: Vec<(f64, MotionId)> = loads::factored(&snapshot.springs())
            .map(|group| {
                let solved = snapshot.cases.iter().enumerate().filter_map(|(index, (id, case))| {
                    let solved = loads::solve(&group, &snapshot.body, &strengths, case).ok()?;
                    let required = snapshot.required_of.get(index).copied().unwrap_or(1.0);
                    Some((solved.factor() / required, *id))
                });
                solved.collect()
            })
            .unwrap_or_default();
        factors.sort_by(|a, b| a.0.total_cmp(&b.0));
        factors.truncate(motions);
        let chosen = factors.into_iter().map(|(_, id)| id).collect();
        Self { motions: Some(chosen), losses: most_cups / 2 / (each * motions.max(1)) * motions.min(1) }
    }

    fn has(&self, motion: MotionId) -> bool {
        self.motions.as_ref().is_none_or(|chosen| chosen.contains(&motion))
    }
}

struct Work<'a> {
    on: &'a On<'a>,
    losses: &'a Losses,
    budget: Budget,
    contacts: Vec<Contact>,
    strengths: Vec<LipStrength>,
}

impl Work<'_> {
    /// One motion; `None` when stopped.
    fn motion(&self, id: MotionId, of: &MotionLosses) -> Option<MotionLimits> {
        let snapshot = self.on.snapshot.as_ref();
        // One for each motion, so that its figures depend on nothing that was solved before it.
        let mut solver = LimitSolver::new(&self.contacts);
        let mut limit =
            |start: f64, gone: &[usize]| limit_over(&mut solver, &snapshot.body, &of.case, start, gone);
        let worth_it = self.budget.has(id);
        if self.on.stopped() {
            return None;
        }
        let (whole, at_least) = match worth_it {
            true => figure(limit(of.worst_t, &[]), of.factor, f64::INFINITY),
            false => (LimitFigure::Missing(TOO_MANY.to_owned()), None),
        };
        let most = match whole {
            LimitFigure::Factor(most) => most,
            LimitFigure::Unlimited | LimitFigure::Missing(_) | LimitFigure::Pending => f64::INFINITY,
        };
        let left_out = |first: &First| LossLimit {
            first: first.clone(),
            limit: LimitFigure::Missing(TOO_MANY.to_owned()),
            at_least: None,
        };
        let mut lost: Vec<LossLimit> = of.lost.iter().map(|(first, _)| left_out(first)).collect();
        for index in self.worth_a_limit(of).into_iter().filter(|_| worth_it) {
            if self.on.stopped() {
                return None;
            }
            let (first, figures) = &of.lost[index];
            let gone = first.cups(snapshot);
            let left = self.losses.strengths(snapshot, first);
            let found = if left == self.strengths {
                limit(figures.worst_t, &gone)
            } else {
                let contacts =
                    snapshot.cups.iter().zip(&left).map(|(cup, left)| Contact::lip(cup.spring.at, left));
                let mut weaker = LimitSolver::new(&contacts.collect::<Vec<Contact>>());
                limit_over(&mut weaker, &snapshot.body, &of.case, figures.worst_t, &gone)
            };
            let (limit, at_least) = figure(found, figures.factor.unwrap_or(0.0), most);
            lost[index] = LossLimit { first: first.clone(), limit, at_least };
        }
        Some(MotionLimits { case: of.case, limit: whole, at_least, lost })
    }

    /// All losses, or, where they are too many, those that leave least.
    fn worth_a_limit(&self, of: &MotionLosses) -> Vec<usize> {
        let mut order: Vec<usize> = (0..of.lost.len()).collect();
        if self.budget.losses < of.lost.len() {
            let left = |index: &usize| of.lost[*index].1.factor.unwrap_or(0.0);
            order.sort_by(|a, b| left(a).total_cmp(&left(b)));
            order.truncate(self.budget.losses);
        }
        order
    }
}

const TOO_MANY: &str = "too many motions and cups: the limit factor is calculated only for the weakest \
    motions and losses";

/// A limit as a figure. What the solver leaves in its last digits is taken off: a limit factor is never below the factor
/// of the first lip, and the loss of a cup never raises it.
fn figure(over: LimitOver, at_least: f64, at_most: f64) -> (LimitFigure, Option<f64>) {
    /// Relative precision that the solver is held to.
    const SOLVED_TO: f64 = 1e-5;
    let figure = match over.limit {
        Limit::Solved(value) => {
            let raised =
                if value < at_least && value >= at_least * (1.0 - SOLVED_TO) { at_least } else { value };
            LimitFigure::Factor(raised.min(at_most))
        }
        Limit::Infeasible => LimitFigure::Factor(0.0),
        Limit::Unlimited if at_most.is_finite() => LimitFigure::Factor(at_most),
        Limit::Unlimited => LimitFigure::Unlimited,
        Limit::NotConverged => LimitFigure::Missing(
            "the search for the best load sharing did not finish; the factor of the first lip applies"
                .to_owned(),
        ),
    };
    let proved = match figure {
        // Nothing is less than nothing.
        LimitFigure::Factor(0.0) => Some(0.0),
        LimitFigure::Factor(value) if over.at_least > 0.0 => Some(over.at_least.min(value)),
        LimitFigure::Factor(_) | LimitFigure::Unlimited | LimitFigure::Missing(_) | LimitFigure::Pending => {
            None
        }
    };
    (figure, proved)
}
