//! Every cup and zone lost in turn, in every motion, and what is left without each cup.

use super::{
    figure::{Figure, Most, On, Slow},
    follow::{self, First},
};
use crate::{
    circuit::{Coupling, SnapshotCircuit},
    loads,
    snapshot::Snapshot,
};
use document::MotionId;
use mechanics::{CaseResult, CupSpring, LipStrength, LoadCase};
use std::collections::HashMap;

/// What follows from every loss.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Losses {
    pub motions: Vec<(MotionId, MotionLosses)>,
    /// Share of its level that each cup keeps after each loss; empty without a circuit that was solved.
    pub levels: Vec<(First, Vec<f64>)>,
}

/// What follows in one motion.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MotionLosses {
    pub case: LoadCase,
    /// With every cup.
    pub factor: f64,
    /// Where along the sweep that is.
    pub worst_t: f64,
    /// Of very many cups those that were followed, the weakest first.
    pub lost: Vec<(First, LostFigures)>,
    /// With a cup left out and the levels of the others as they are, by its index; `None` where nothing is left that carries.
    /// Of very many cups those that were tried.
    pub without: Vec<(usize, Option<f64>)>,
    /// Whether every loss was followed and every cup tried.
    whole: bool,
}

/// What follows from one loss.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LostFigures {
    /// Factor of the first lip of what is left; `None` where nothing is left that carries.
    pub factor: Option<f64>,
    /// Where along the sweep that is.
    pub worst_t: f64,
    pub then_lost: Vec<usize>,
    pub holds: bool,
}

/// Whether body, cups and their air are the same.
pub(super) fn same_cups(a: &Snapshot, b: &Snapshot) -> bool {
    let same_air = |(a, b): (&SnapshotCircuit, &SnapshotCircuit)| a.same_air(b);
    a.body == b.body
        && a.cups == b.cups
        && a.circuits.len() == b.circuits.len()
        && a.circuits.iter().zip(&b.circuits).all(same_air)
}

impl Figure for Losses {
    const SLOW: Slow = Slow::Losses;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        same_cups(a, b) && a.zones == b.zones && a.cases == b.cases
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let snapshot = on.snapshot.as_ref();
        let earlier = on.shelf.latest::<Self>().filter(|(held, _)| {
            let old = held.of.as_ref();
            same_cups(old, snapshot) && old.zones == snapshot.zones
        });
        let all = follow::all(snapshot);
        let mut work = Work { on, snapshot, losses: &all, coupling: Coupling::new(snapshot), most: on.most };
        let mut motions = Vec::with_capacity(snapshot.cases.len());
        for (index, (id, case)) in snapshot.cases.iter().enumerate() {
            on.tell(index, snapshot.cases.len());
            let held = earlier.and_then(|(_, old)| {
                old.motions.iter().find(|(motion, of)| motion == id && of.case == *case && of.whole)
            });
            match held {
                Some(held) => motions.push(held.clone()),
                None => motions.extend(work.motion(case)?.map(|found| (*id, found))),
            }
        }
        Some(Self { motions, levels: work.levels() })
    }
}

impl Losses {
    /// Strengths of all cups after a loss, with what it leaves of their levels.
    pub(super) fn strengths(&self, snapshot: &Snapshot, first: &First) -> Vec<LipStrength> {
        let intact = snapshot.strengths();
        let Some((_, shares)) = self.levels.iter().find(|(lost, _)| lost == first) else { return intact };
        let scaled = |(strength, share): (LipStrength, &f64)| LipStrength {
            vacuum_force: strength.vacuum_force * share,
            ..strength
        };
        intact.into_iter().zip(shares).map(scaled).collect()
    }

    pub(super) fn of_motion(&self, motion: MotionId) -> Option<&MotionLosses> {
        self.motions.iter().find(|(id, _)| *id == motion).map(|(_, found)| found)
    }
}

struct Work<'a> {
    on: &'a On<'a>,
    snapshot: &'a Snapshot,
    losses: &'a [First],
    coupling: Coupling<'a>,
    most: Most,
}

impl Work<'_> {
    /// One motion; `None` when stopped, `Some(None)` when it has no figure at all.
    fn motion(&mut self, case: &LoadCase) -> Option<Option<MotionLosses>> {
        let snapshot = self.snapshot;
        let (springs, strengths) = (snapshot.springs(), snapshot.strengths());
        let solved = loads::factored(&springs)
            .and_then(|group| loads::solve(&group, &snapshot.body, &strengths, case));
        let Ok(solved) = solved else { return Some(None) };
        let worst_t = solved.result.worst_t;
        let mut lost: Vec<(First, LostFigures)> = Vec::with_capacity(self.losses.len());
        // An equal share of the work for every motion, whatever its place in the list.
        let mut looks = self.most.followed / snapshot.cases.len().max(1);
        for first in weakest_first(self.losses, &solved.result, looks) {
            if self.on.stopped() {
                return None;
            }
            let gone = first.cups(snapshot);
            let loss = follow::follow_within(snapshot, &springs, &mut self.coupling, case, &gone, &mut looks);
            let Some(loss) = loss else { break };
            let state = loss.steps.first().and_then(|step| step.state.as_ref().ok());
            let figures = LostFigures {
                factor: state.map(|state| state.factor().value),
                worst_t: state.map_or(worst_t, |state| state.worst_t),
                then_lost: loss.steps.iter().skip(1).flat_map(|step| step.newly.iter().copied()).collect(),
                holds: loss.holds,
            };
            lost.push((first.clone(), figures));
        }
        let without = self.without(case, &solved.result, &lost)?;
        Some(Some(MotionLosses {
            case: *case,
            factor: solved.factor(),
            worst_t,
            whole: lost.len() == self.losses.len() && without.len() == springs.len(),
            lost,
            without,
        }))
    }

    /// What each loss leaves of the cups' levels.
    fn levels(&mut self) -> Vec<(First, Vec<f64>)> {
        if !self.coupling.any() {
            return Vec::new();
        }
        let mut left = |first: &First| {
            let gone = first.cups(self.snapshot);
            (first.clone(), self.coupling.shares(&gone, &gone))
        };
        self.losses.iter().map(&mut left).collect()
    }

    /// Factors with each cup left out, of very many the weakest first. Where its loss leaves the others their level, that is
    /// the figure of its loss; `None` when stopped.
    fn without(
        &mut self,
        case: &LoadCase,
        result: &CaseResult,
        lost: &[(First, LostFigures)],
    ) -> Option<Vec<(usize, Option<f64>)>> {
        let (springs, strengths) = (self.snapshot.springs(), self.snapshot.strengths());
        let of_loss: HashMap<usize, Option<f64>> = lost
            .iter()
            .filter_map(|(first, figures)| match first {
                First::Cup(cup) => Some((*cup, figures.factor)),
                First::Zone(_) => None,
            })
            .collect();
        // As much work as for the losses.
        let mut looks = self.most.followed / self.snapshot.cases.len().max(1);
        let cups = weakest_first(self.losses, result, looks).into_iter().filter_map(|first| match first {
            First::Cup(cup) => Some(*cup),
            First::Zone(_) => None,
        });
        let mut factors = Vec::with_capacity(springs.len());
        for cup in cups {
            if self.on.stopped() {
                return None;
            }
            let rest = |index: &usize| *index != cup;
            // Without a circuit that is worked out no level depends on a cup.
            let mut same = || {
                if !self.coupling.any() {
                    return true;
                }
                let left = self.coupling.strengths(&[cup], &[cup]);
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
}

/// All losses in their order, or, where that would be more than `most` cups to look at, zones first and then the cups
/// with the smallest factor.
fn weakest_first<'a>(losses: &'a [First], result: &CaseResult, most: usize) -> Vec<&'a First> {
    let mut order: Vec<&First> = losses.iter().collect();
    if losses.len().saturating_mul(result.cup_worst.len()) > most {
        let factor = |first: &First| match first {
            First::Zone(_) => f64::NEG_INFINITY,
            First::Cup(cup) => result.cup_worst.get(*cup).map_or(f64::INFINITY, |(_, f)| f.value),
        };
        order.sort_by(|a, b| factor(a).total_cmp(&factor(b)));
    }
    order
}
