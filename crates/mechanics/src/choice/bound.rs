//! What no set of places can be better than.

use super::certificate::Free;
pub use super::certificate::certify;
use super::onset::Onset;
use super::programme::{self, Outcome};
use crate::motion::Wrench;
use std::sync::Arc;

/// What a solve may differ by from the bound that its multipliers prove, relative to that bound, to count as converged.
const AGREES: f64 = 1e-3;
/// Places that are solved for at once; all of them are counted when the bound is checked.
const AT_ONCE: usize = 160;
/// Times places with more worth than those solved for are added.
const ROUNDS: usize = 3;

/// One load that has to be carried at once with others by the same cups: `fixed` and so many times `scaled`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instance {
    /// What is carried once.
    pub fixed: Wrench,
    /// What is carried as many times as the score says: the required factor times the load.
    pub scaled: Wrench,
    /// No cup presses the part off itself with more than this, N; `None` where nothing says so.
    ///
    /// Of k cups none does with more than k - 1 times the largest vacuum force, where the load pulls: the others can pull no more.
    pub press: Option<f64>,
}

/// What a bound is asked of.
#[derive(Debug, Clone, PartialEq)]
pub struct BoundTask {
    /// By place.
    pub lips: Vec<Onset>,
    /// Kind of cup, by place.
    pub kinds: Vec<usize>,
    /// Loads that a set of places has to carry, each by a share of its own.
    pub instances: Vec<Instance>,
    /// At most so many cups: of a kind, or of all.
    pub counts: Vec<(Option<usize>, usize)>,
    /// Places of which one at most may be taken.
    pub cliques: Vec<Vec<usize>>,
    /// By place, which part of the plan it lies in, where two cups never fit into one part; empty where nothing is known of that.
    /// It is counted where a bound is checked, for places that are too many to be solved for.
    pub cells: Vec<u32>,
    /// Places that are taken.
    pub locked: Vec<usize>,
}

/// A bound with what proves it: see [`certify`].
#[derive(Debug, Clone, PartialEq)]
pub struct Certificate {
    /// No set of places has a higher score.
    pub value: f64,
    /// Velocity and turning of the part about the origin for each instance, per N and per N·mm, scaled so that the power of all
    /// `scaled` loads is 1.
    pub velocities: Vec<[f64; 6]>,
    /// Price of each clique; none where they prove no less.
    pub prices: Vec<f64>,
    /// What a cup at each place adds to the bound at most.
    pub worth: Vec<f64>,
}

/// What came of asking for a bound.
#[derive(Debug, Clone, PartialEq)]
pub enum Bound {
    /// Proved: the solver converged, and its multipliers were evaluated apart from it.
    Proved(Certificate),
    /// Nothing limits the score: the loads press the part on.
    Unlimited,
    /// The solver did not get there, or its multipliers prove less than it says: there is no bound.
    NotConverged,
}

impl Bound {
    /// The bound, infinite when there is no limit; `None` when nothing is known.
    pub fn value(&self) -> Option<f64> {
        match self {
            Self::Proved(certificate) => Some(certificate.value),
            Self::Unlimited => Some(f64::INFINITY),
            Self::NotConverged => None,
        }
    }
}

/// An upper bound of the score of any set of places that is allowed: stiffness is left free, every cup may carry whatever its limits
/// allow, and a place may be taken in part.
///
/// Maximise s with, for every instance j, Σ f_ij = fixed_j + s scaled_j, f_ij in y_i K_i, 0 <= y <= 1, y of the counted places summed at
/// most their count, of each clique at most 1, and 1 where locked. K_i is [`Onset`]; its elastic share meets it, so the
/// factor is no more than that. The dual - one velocity of the part for each instance - is what is solved and then checked.
/// Many places are solved for in part: the velocities are then checked against all of them, and the places that are worth more
/// join.
///
/// # Example
/// ```
/// use glam::{DVec2, DVec3};
/// use mechanics::Wrench;
/// use mechanics::choice::{Bound, BoundTask, Instance, Onset, bound};
/// let lip = |x: f64, y: f64| Onset {
///     at: DVec2::new(x, y), turn: 0.0, vacuum_force: 100.0, seal_force: 0.0, grip: 0.45, twist_arm: 20.0,
///     core: DVec2::ZERO, radius: 20.0, second: DVec2::splat(200.0),
/// };
/// // 50 N hang in the middle of four places; two cups carry 4 times that at most, wherever they are.
/// let weight = Wrench { force: DVec3::new(0.0, 0.0, -50.0), ..Wrench::zero(DVec3::ZERO) };
/// let task = BoundTask {
///     lips: vec![lip(-200.0, 0.0), lip(200.0, 0.0), lip(0.0, 200.0), lip(0.0, -200.0)],
///     kinds: vec![0; 4],
///     instances: vec![Instance { fixed: Wrench::zero(DVec3::ZERO), scaled: weight, press: None }],
///     counts: vec![(None, 2)], cliques: Vec::new(), cells: Vec::new(), locked: Vec::new(),
/// };
/// let Bound::Proved(certificate) = bound(&task) else { panic!("no bound") };
/// assert!((certificate.value - 4.0).abs() < 1e-6);
/// ```
pub fn bound(task: &BoundTask) -> Bound {
    bound_unless(task, &Stop::default())
}

/// Asked now and then whether to stop, from the solver as well.
#[derive(Clone)]
pub struct Stop(Arc<dyn Fn() -> bool + Send + Sync>);

impl Stop {
    /// Stops once this says so.
    pub fn when(says: impl Fn() -> bool + Send + Sync + 'static) -> Self {
        Self(Arc::new(says))
    }

    /// Whether it says so now.
    pub fn is_asked(&self) -> bool {
        (self.0)()
    }
}

impl std::fmt::Debug for Stop {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(to, "Stop({})", self.is_asked())
    }
}

impl Default for Stop {
    fn default() -> Self {
        Self(Arc::new(|| false))
    }
}

/// As [`bound`]; what is stopped has not converged.
pub fn bound_unless(task: &BoundTask, stop: &Stop) -> Bound {
    let finite = |of: &[f64; 6]| of.iter().all(|v| v.is_finite());
    let loads =
        || task.instances.iter().flat_map(|of| [super::onset::six(&of.fixed), super::onset::six(&of.scaled)]);
    if !loads().all(|of| finite(&of)) || !task.lips.iter().all(Onset::is_finite) {
        return Bound::NotConverged;
    }
    if task.instances.iter().all(|of| super::onset::six(&of.scaled) == [0.0; 6]) {
        return Bound::Unlimited;
    }
    let free = Free::of(task);
    let all: Vec<usize> = (0..task.lips.len())
        .filter(|&place| (free.open[place] || free.locked[place]) && task.lips[place].holds())
        .collect();
    // Evenly among all, the locked ones with them.
    let step = all.len().div_ceil(AT_ONCE).max(1);
    let mut some: Vec<usize> = all
        .iter()
        .enumerate()
        .filter(|(index, place)| index % step == 0 || free.locked[**place])
        .map(|(_, place)| *place)
        .collect();
    let mut best: Option<Certificate> = None;
    let mut unlimited = false;
    for _ in 0..ROUNDS {
        let (objective, velocities, prices) = match programme::solve(task, &free, &some, stop) {
            Outcome::Solved { objective, velocities, prices } => (objective, velocities, prices),
            // With more places there are fewer velocities: nothing limits all of them either.
            Outcome::Unlimited => {
                unlimited = true;
                break;
            }
            Outcome::TooMuch => return without_fixed(task, stop),
            Outcome::NotConverged => break,
        };
        let Some(found) = certify(task, &velocities, &prices) else { break };
        let exact = found.value <= objective.max(0.0) * (1.0 + AGREES) + AGREES * AGREES;
        let worth = found.worth.clone();
        if best.as_ref().is_none_or(|held| found.value < held.value) {
            best = Some(found);
        }
        if some.len() == all.len() {
            // With all of them in it, a solve whose multipliers prove less than it says has not converged.
            best = best.filter(|_| exact);
            break;
        }
        if exact {
            break;
        }
        let mut more: Vec<usize> = all.iter().copied().filter(|place| !some.contains(place)).collect();
        more.sort_by(|a, b| worth[*b].total_cmp(&worth[*a]));
        some.extend(more.into_iter().take(AT_ONCE / 2));
        some.sort_unstable();
    }
    match best {
        Some(certificate) => Bound::Proved(certificate),
        None if unlimited => Bound::Unlimited,
        None => Bound::NotConverged,
    }
}

/// Where no set carries what is fixed, the loads that are multiplied as a whole bound the score all the same.
fn without_fixed(task: &BoundTask, stop: &Stop) -> Bound {
    let whole: Vec<bool> = task.instances.iter().map(|of| super::onset::six(&of.fixed) == [0.0; 6]).collect();
    let instances: Vec<Instance> =
        task.instances.iter().zip(&whole).filter(|(_, whole)| **whole).map(|(of, _)| *of).collect();
    if instances.is_empty() || instances.len() == task.instances.len() {
        return Bound::NotConverged;
    }
    match bound_unless(&BoundTask { instances, ..task.clone() }, stop) {
        Bound::Proved(mut certificate) => {
            // An instance that is left out takes part with no velocity.
            let mut of_whole = std::mem::take(&mut certificate.velocities).into_iter();
            let each = whole.iter().map(|whole| whole.then(|| of_whole.next()).flatten().unwrap_or([0.0; 6]));
            certificate.velocities = each.collect();
            Bound::Proved(certificate)
        }
        // Nothing multiplied limits it, and what is fixed is too much: that is not told apart here.
        Bound::Unlimited | Bound::NotConverged => Bound::NotConverged,
    }
}

impl Onset {
    fn is_finite(&self) -> bool {
        let numbers = [self.turn, self.vacuum_force, self.seal_force, self.grip, self.twist_arm, self.radius];
        self.at.is_finite()
            && self.core.is_finite()
            && self.second.is_finite()
            && numbers.iter().all(|v| v.is_finite())
    }
}
