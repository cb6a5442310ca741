//! The slow figures of one layout, by index of its cups.

use super::{
    lost::{self, First},
    range::{self, Range},
    stopped,
};
use crate::{
    circuit::{self, Coupling},
    envelopes, findings, loads,
    report::{CircuitDepth, EnvelopeReport, LimitFigure, Lost},
    snapshot::Snapshot,
};
use document::{CircuitId, CupId, MotionId};
use mechanics::{Contact, CupSpring, Limit, LimitOver, LimitSolver, LipStrength, LoadCase, limit_over};
use std::{cell::RefCell, collections::HashMap, sync::atomic::AtomicBool};

/// How much work one job may come to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Most {
    /// Cups in all programmes above which limit factors are worked out for the weakest motions and losses only.
    pub programmes: usize,
    /// Cups looked at in all losses, over all steps of each, above which the rest are left out.
    pub followed: usize,
}

/// Some seconds' work each.
pub(crate) const MOST: Most = Most { programmes: 60_000, followed: 2_000_000 };
/// Losses followed, through all cups at worst, to narrow a remedy down; of too many cups none is offered.
const REMEDY_FOLLOWS: usize = 24;
/// That no instant of a motion is worse is proved, which takes so many solves.
const PROVED: usize = 8;
/// Of more cups than this each solve takes so much longer, and each state and reading of a motion counts.
const MANY: usize = 300;
const MANY_TIMES: usize = 6;

/// Slow figures of one layout.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figures {
    pub motions: Vec<(MotionId, MotionFigures)>,
    /// Whether some limit factors were left out as too many.
    cut: bool,
    /// Largest accelerations with the part held level; `None` when gravity alone is too much.
    pub envelope: Option<EnvelopeReport>,
    /// What would keep the part on the tool in the worst loss that drops it.
    pub remedy: Option<DropRemedy>,
    /// Time, cost, open cups of circuits that were worked out.
    pub circuits: Vec<(CircuitId, CircuitDepth)>,
    /// Share of its level that each cup keeps after each loss; empty without a circuit that was solved.
    pub levels: Vec<(First, Vec<f64>)>,
}

/// Slow figures of one motion.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MotionFigures {
    case: LoadCase,
    /// With every cup.
    factor: f64,
    pub limit: LimitFigure,
    pub limit_at_least: Option<f64>,
    pub range: Option<Range>,
    pub lost: Vec<(First, LostFigures)>,
    /// With a cup left out and the levels of the others as they are, by its index; `None` where nothing is left that carries.
    /// Of very many cups those that were tried.
    pub without: Vec<(usize, Option<f64>)>,
}

/// What follows from one loss.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LostFigures {
    pub factor: Option<f64>,
    pub limit: LimitFigure,
    pub limit_at_least: Option<f64>,
    pub then_lost: Vec<usize>,
    pub holds: bool,
}

/// What would keep the part on the tool.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DropRemedy {
    pub motion: MotionId,
    pub lost: Lost,
    /// How many times as deep a level.
    pub level_times: Option<f64>,
    /// The share of acceleration and turning.
    pub acceleration_share: Option<f64>,
}

/// Works out everything for a snapshot; `None` when stopped. What `earlier` holds of motions that did not change, on
/// cups that did not change, is taken over.
pub(crate) fn work_out(
    snapshot: &Snapshot,
    earlier: Option<(&Snapshot, &Figures)>,
    most: Most,
    cancel: &AtomicBool,
) -> Option<Figures> {
    let alike = earlier.filter(|(old, figures)| !figures.cut && old.shares_all_but_motions(snapshot));
    let held = |id: MotionId, case: &LoadCase| {
        let (_, figures) = alike?;
        figures.motions.iter().find(|(motion, f)| *motion == id && f.case == *case)
    };
    let losses = lost::all(snapshot);
    let cups = snapshot.cups.len();
    let all =
        PROVED.saturating_mul(1 + losses.len()).saturating_mul(cups).saturating_mul(snapshot.cases.len());
    let cut = all > most.programmes;
    let budget = if cut {
        Budget::of(snapshot, most.programmes)
    } else {
        Budget { motions: None, losses: losses.len() }
    };

    let fresh: Vec<(MotionId, LoadCase)> =
        snapshot.cases.iter().filter(|(id, case)| cut || held(*id, case).is_none()).copied().collect();
    let new_cases: Vec<LoadCase> = fresh.iter().map(|(_, case)| *case).collect();
    let mut ranges = range::ranges(snapshot, &new_cases, cancel)?.into_iter();
    let mut motions = Vec::with_capacity(snapshot.cases.len());
    let coupling = RefCell::new(Coupling::new(snapshot));
    let work = Work { snapshot, losses: &losses, budget, most, coupling: &coupling, cancel };
    for (id, case) in &snapshot.cases {
        if let Some(taken) = held(*id, case).filter(|_| !cut) {
            motions.push(taken.clone());
            continue;
        }
        let range = ranges.next().flatten();
        if let Some(figures) = work.motion(*id, case, range)? {
            motions.push((*id, figures));
        }
    }
    let remedy = work.remedy(&motions)?;
    let kept = |snapshot: &Snapshot| (snapshot.required, snapshot.favourable_weight);
    let envelope = match alike.filter(|(old, _)| kept(old) == kept(snapshot)) {
        Some((_, figures)) => figures.envelope.clone(),
        None => envelope(snapshot),
    };
    let circuits = circuit::work_out(snapshot, &|cup| after(&motions, cup), cancel)?;
    let levels = work.levels();
    Some(Figures { motions, cut, envelope, remedy, circuits, levels })
}

/// What the loss of one cup leads to: in the first motion in which the part drops, else in that in which most let go;
/// `None` when it was not followed in every motion.
fn after(motions: &[(MotionId, MotionFigures)], cup: usize) -> Option<(Vec<usize>, bool)> {
    let each: Vec<_> = motions
        .iter()
        .map(|(_, figures)| {
            let (_, lost) = figures.lost.iter().find(|(first, _)| *first == First::Cup(cup))?;
            Some((&lost.then_lost, lost.holds))
        })
        .collect::<Option<_>>()?;
    let each = each.into_iter();
    let worse = |a: &(&Vec<usize>, bool), b: &(&Vec<usize>, bool)| (!b.1, b.0.len()) > (!a.1, a.0.len());
    let worst = each.reduce(|a, b| if worse(&a, &b) { b } else { a });
    Some(worst.map_or((Vec::new(), true), |(then_lost, holds)| (then_lost.clone(), holds)))
}

/// The envelope with the part held level.
fn envelope(snapshot: &Snapshot) -> Option<EnvelopeReport> {
    let group = loads::factored(&snapshot.springs()).ok()?;
    let ids: Vec<CupId> = snapshot.cups.iter().map(|cup| cup.id).collect();
    let strengths = snapshot.strengths();
    envelopes::Held { body: &snapshot.body, group: &group, strengths: &strengths, ids: &ids }
        .level(snapshot.required, snapshot.favourable_weight)
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
    snapshot: &'a Snapshot,
    losses: &'a [First],
    budget: Budget,
    most: Most,
    coupling: &'a RefCell<Coupling<'a>>,
    cancel: &'a AtomicBool,
}

impl Work<'_> {
    /// One motion; `None` when stopped, `Some(None)` when it has no figure at all.
    fn motion(&self, id: MotionId, case: &LoadCase, range: Option<Range>) -> Option<Option<MotionFigures>> {
        let snapshot = self.snapshot;
        let (springs, strengths) = (snapshot.springs(), snapshot.strengths());
        let solved = loads::factored(&springs)
            .and_then(|group| loads::solve(&group, &snapshot.body, &strengths, case));
        let Ok(solved) = solved else { return Some(None) };
        let contacts: Vec<Contact> =
            snapshot.cups.iter().map(|cup| Contact::lip(cup.spring.at, &cup.strength)).collect();
        // One for each motion, so that its figures depend on nothing that was solved before it.
        let mut solver = LimitSolver::new(&contacts);
        let start = solved.result.worst_t;
        let mut limit =
            |start: f64, gone: &[usize]| limit_over(&mut solver, &snapshot.body, case, start, gone);
        let worth_it = self.budget.has(id);
        let (whole, whole_at_least) = match worth_it {
            true => figure(limit(start, &[]), solved.factor(), f64::INFINITY),
            false => (LimitFigure::Missing(TOO_MANY.to_owned()), None),
        };
        let most = match whole {
            LimitFigure::Factor(most) => most,
            LimitFigure::Unlimited | LimitFigure::Missing(_) => f64::INFINITY,
        };

        let mut lost: Vec<(First, f64, LostFigures)> = Vec::with_capacity(self.losses.len());
        // An equal share of the work for every motion, whatever its place in the list.
        let mut looks = self.most.followed / snapshot.cases.len().max(1);
        for first in self.weakest_first(&solved.result, looks) {
            if stopped(self.cancel) {
                return None;
            }
            let gone = first.cups(snapshot);
            let mut coupling = self.coupling.borrow_mut();
            let loss = lost::follow_within(snapshot, &springs, &mut coupling, case, &gone, &mut looks);
            drop(coupling);
            let Some(loss) = loss else { break };
            let state = loss.steps.first().and_then(|step| step.state.as_ref().ok());
            let then_lost: Vec<usize> =
                loss.steps.iter().skip(1).flat_map(|step| step.newly.iter().copied()).collect();
            let figures = LostFigures {
                factor: state.map(|state| state.factor().value),
                limit: LimitFigure::Missing(TOO_MANY.to_owned()),
                limit_at_least: None,
                then_lost,
                holds: loss.holds,
            };
            lost.push((first.clone(), state.map_or(start, |state| state.worst_t), figures));
        }
        for index in self.worth_a_limit(&lost).into_iter().filter(|_| worth_it) {
            if stopped(self.cancel) {
                return None;
            }
            let (first, start, figures) = &mut lost[index];
            let gone = first.cups(snapshot);
            let left = self.coupling.borrow_mut().strengths(&gone, &gone);
            let found = if left == strengths {
                limit(*start, &gone)
            } else {
                let contacts =
                    snapshot.cups.iter().zip(&left).map(|(cup, left)| Contact::lip(cup.spring.at, left));
                let mut weaker = LimitSolver::new(&contacts.collect::<Vec<Contact>>());
                limit_over(&mut weaker, &snapshot.body, case, *start, &gone)
            };
            (figures.limit, figures.limit_at_least) = figure(found, figures.factor.unwrap_or(0.0), most);
        }
        let without = self.without(case, &solved.result, &lost)?;
        let lost = lost.into_iter().map(|(first, _, figures)| (first, figures)).collect();
        Some(Some(MotionFigures {
            case: *case,
            factor: solved.factor(),
            limit: whole,
            limit_at_least: whole_at_least,
            range,
            lost,
            without,
        }))
    }

    /// What each loss leaves of the cups' levels.
    fn levels(&self) -> Vec<(First, Vec<f64>)> {
        let mut coupling = self.coupling.borrow_mut();
        if !coupling.any() {
            return Vec::new();
        }
        let left = |first: &First| {
            let gone = first.cups(self.snapshot);
            (first.clone(), coupling.shares(&gone, &gone))
        };
        self.losses.iter().map(left).collect()
    }

    /// Factors with each cup left out, of very many the weakest first. Where its loss leaves the others their level, that is
    /// the figure of its loss; `None` when stopped.
    fn without(
        &self,
        case: &LoadCase,
        result: &mechanics::CaseResult,
        lost: &[(First, f64, LostFigures)],
    ) -> Option<Vec<(usize, Option<f64>)>> {
        let (springs, strengths) = (self.snapshot.springs(), self.snapshot.strengths());
        let of_loss: HashMap<usize, Option<f64>> = lost
            .iter()
            .filter_map(|(first, _, figures)| match first {
                First::Cup(cup) => Some((*cup, figures.factor)),
                First::Zone(_) => None,
            })
            .collect();
        // As much work as for the losses.
        let mut looks = self.most.followed / self.snapshot.cases.len().max(1);
        let cups = self.weakest_first(result, looks).into_iter().filter_map(|first| match first {
            First::Cup(cup) => Some(*cup),
            First::Zone(_) => None,
        });
        let mut factors = Vec::with_capacity(springs.len());
        for cup in cups {
            if stopped(self.cancel) {
                return None;
            }
            let rest = |index: &usize| *index != cup;
            // Without a circuit that is worked out no level depends on a cup.
            let same = || {
                let mut coupling = self.coupling.borrow_mut();
                if !coupling.any() {
                    return true;
                }
                let left = coupling.strengths(&[cup], &[cup]);
                (0..springs.len()).filter(rest).all(|index| left.get(index) == strengths.get(index))
            };
            if let Some(factor) = of_loss.get(&cup).filter(|_| same()) {
                factors.push((cup, *factor));
                continue;
            }
            if looks < springs.len() {
                break;
            }
            looks -= springs.len();
            let springs: Vec<CupSpring> = (0..springs.len()).filter(rest).map(|i| springs[i]).collect();
            let strengths: Vec<LipStrength> =
                (0..strengths.len()).filter(rest).map(|i| strengths[i]).collect();
            let group = loads::factored(&springs).ok();
            let solved =
                group.and_then(|group| loads::solve(&group, &self.snapshot.body, &strengths, case).ok());
            factors.push((cup, solved.map(|solved| solved.factor())));
        }
        factors.sort_by_key(|(cup, _)| *cup);
        Some(factors)
    }

    /// All losses in their order, or, where that would be more than `most` cups to look at, zones first and then the cups
    /// with the smallest factor.
    fn weakest_first(&self, result: &mechanics::CaseResult, most: usize) -> Vec<&First> {
        let mut order: Vec<&First> = self.losses.iter().collect();
        if self.losses.len().saturating_mul(self.snapshot.cups.len()) > most {
            let factor = |first: &First| match first {
                First::Zone(_) => f64::NEG_INFINITY,
                First::Cup(cup) => result.cup_worst.get(*cup).map_or(f64::INFINITY, |(_, f)| f.value),
            };
            order.sort_by(|a, b| factor(a).total_cmp(&factor(b)));
        }
        order
    }

    /// All losses, or, where they are too many, those that leave least.
    fn worth_a_limit(&self, lost: &[(First, f64, LostFigures)]) -> Vec<usize> {
        let mut order: Vec<usize> = (0..lost.len()).collect();
        if self.budget.losses < lost.len() {
            let left = |index: &usize| lost[*index].2.factor.unwrap_or(0.0);
            order.sort_by(|a, b| left(a).total_cmp(&left(b)));
            order.truncate(self.budget.losses);
        }
        order
    }

    /// What would mend the loss of one cup that drops the part and leaves least; `None` when stopped.
    fn remedy(&self, motions: &[(MotionId, MotionFigures)]) -> Option<Option<DropRemedy>> {
        // What drops with every cup needs another remedy.
        let held = motions.iter().filter(|(_, figures)| figures.factor >= 1.0);
        let drops = held.flat_map(|(id, figures)| {
            figures
                .lost
                .iter()
                .filter(|(first, lost)| !lost.holds && matches!(first, First::Cup(_)))
                .map(move |(first, lost)| (*id, figures, first, lost))
        });
        // The first of those that leave the same, so that mirror images do not swap: the one that the finding tells.
        let drops: Vec<_> = drops.collect();
        let least = drops.iter().map(|drop| left_of(&drop.3.limit)).fold(f64::INFINITY, f64::min);
        let told = drops.iter().find(|drop| left_of(&drop.3.limit) <= least * (1.0 + findings::SAME_LOSS));
        let Some((motion, figures, first, _)) = told.copied() else { return Some(None) };
        let cups = self.snapshot.cups.len();
        if REMEDY_FOLLOWS.saturating_mul(cups * cups) > 10 * self.most.followed {
            return Some(None);
        }
        let gone = first.cups(self.snapshot);
        let level_times = lost::level_that_holds(
            self.snapshot,
            &figures.case,
            &gone,
            &mut self.coupling.borrow_mut(),
            self.cancel,
        );
        let acceleration_share = lost::acceleration_that_holds(
            self.snapshot,
            &figures.case,
            &gone,
            &mut self.coupling.borrow_mut(),
            self.cancel,
        );
        if stopped(self.cancel) {
            return None;
        }
        let Some(lost) = name(first, self.snapshot) else { return Some(None) };
        Some(Some(DropRemedy { motion, lost, level_times, acceleration_share }))
    }
}

const TOO_MANY: &str = "there are too many motions and cups: the limit factor is worked out for the weakest motions and losses only";

/// Multiple that is left, for comparing losses.
fn left_of(limit: &LimitFigure) -> f64 {
    match limit {
        LimitFigure::Factor(value) => *value,
        LimitFigure::Unlimited | LimitFigure::Missing(_) => f64::INFINITY,
    }
}

/// A limit as a figure. What the solver leaves in its last digits is taken off: a limit factor is never below the factor
/// of the first lip, and the loss of a cup never raises it.
fn figure(over: LimitOver, at_least: f64, at_most: f64) -> (LimitFigure, Option<f64>) {
    /// Relative precision that the solver is held to.
    const SOLVED_TO: f64 = 1e-5;
    let figure = match over.limit {
        Limit::Solved(value) => {
            let raised = if value < at_least && value >= at_least * (1.0 - SOLVED_TO) { at_least } else { value };
            LimitFigure::Factor(raised.min(at_most))
        }
        Limit::Infeasible => LimitFigure::Factor(0.0),
        Limit::Unlimited if at_most.is_finite() => LimitFigure::Factor(at_most),
        Limit::Unlimited => LimitFigure::Unlimited,
        Limit::NotConverged => LimitFigure::Missing(
            "the search for the best share of the load did not come to an end; the factor of the first lip stands"
                .to_owned(),
        ),
    };
    let proved = match figure {
        // Nothing is less than nothing.
        LimitFigure::Factor(0.0) => Some(0.0),
        LimitFigure::Factor(value) if over.at_least > 0.0 => Some(over.at_least.min(value)),
        LimitFigure::Factor(_) | LimitFigure::Unlimited | LimitFigure::Missing(_) => None,
    };
    (figure, proved)
}

pub(crate) fn name(first: &First, snapshot: &Snapshot) -> Option<Lost> {
    Some(match first {
        First::Cup(cup) => Lost::Cup(snapshot.cups.get(*cup)?.id),
        First::Zone(zone) => Lost::Zone(snapshot.zones.get(*zone)?.0.clone()),
    })
}

impl Snapshot {
    fn shares_all_but_motions(&self, other: &Self) -> bool {
        let rest = |snapshot: &Self| (snapshot.body, snapshot.level_room);
        rest(self) == rest(other)
            && self.circuits.len() == other.circuits.len()
            && self.circuits.iter().zip(&other.circuits).all(|(a, b)| a.same_air(b))
            && self.cups == other.cups
            && self.zones == other.zones
            && self.assumed == other.assumed
    }
}
