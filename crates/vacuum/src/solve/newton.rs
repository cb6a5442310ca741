//! Newton's iteration on flows and squared pressures together.
//!
//! Every element's law is linearised at its own flow, its ends left free; eliminating the flows leaves one equation per node
//! (after Todini & Pilati, *A gradient algorithm for the analysis of pipe networks*, 1988; from memory). Square-rooted laws
//! linearised by pressures alone cycle for ever near no flow; by flows they do not.

use super::law::{AtLaw, Laws, Linear};
use crate::network::Pattern;

/// Squared pressures (Pa²) and flows (kg/s) of a network, to start the next solution from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct State {
    pub(crate) squared: Vec<f64>,
    pub(crate) through: Vec<f64>,
    pub(crate) entering: Vec<f64>,
}

/// Air stored at nodes over a time step: flow in less `rate` (p - `towards`).
#[derive(Debug, Clone, Default)]
pub(crate) struct Storage {
    /// kg/(s·Pa) per node.
    pub rate: Vec<f64>,
    /// Pa per node.
    pub towards: Vec<f64>,
}

/// Scale of squared pressures, Pa².
const SCALE: f64 = 1e10;
/// A step keeps squared pressures within these multiples.
const STEP: (f64, f64) = (0.3, 3.0);
/// Iterations with full steps, with half steps, and in all.
const FULL_STEPS: usize = 12;
const HALF_STEPS: usize = 40;
const MOST_STEPS: usize = 80;
/// Changes below which the iteration stands still: of flows relative to the largest, of squared pressures by `SCALE`.
const STILL_FLOW: f64 = 1e-8;
const STILL_SQUARED: f64 = 1e-10;
/// Largest flow that counts as nothing, kg/s.
const NO_FLOW: f64 = 1e-14;
/// What may be missed: a law by this share of `SCALE`, a node's balance by this share of what passes.
const LAW_MISS: f64 = 1e-11;
const BALANCE_MISS: f64 = 1e-8;

/// Everything the iteration needs besides the state, kept between solutions.
#[derive(Debug)]
pub(crate) struct Iteration<'a> {
    pub laws: &'a Laws,
    pub pattern: &'a Pattern,
    /// Squared pressures known beforehand.
    pub fixed: Vec<Option<f64>>,
    /// Elements that carry nothing, since nothing moves at either end.
    pub still: Vec<bool>,
    linear: Vec<Linear>,
    entering: Vec<(f64, f64)>,
    entries: Vec<f64>,
    change: Vec<f64>,
    scratch: Vec<f64>,
}

/// The iteration did not come to rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Unrest;

impl<'a> Iteration<'a> {
    pub(crate) fn new(laws: &'a Laws, pattern: &'a Pattern, fixed: Vec<Option<f64>>) -> Self {
        let still =
            laws.ends.iter().map(|&(from, to)| fixed[from].is_some() && fixed[from] == fixed[to]).collect();
        Self {
            laws,
            pattern,
            fixed,
            still,
            linear: vec![Linear::default(); laws.ends.len()],
            entering: vec![(0.0, 0.0); laws.at.len()],
            entries: Vec::new(),
            change: Vec::new(),
            scratch: Vec::new(),
        }
    }

    /// A state to start from: the given one where it fits, half the atmosphere and a trickle where not.
    pub(crate) fn start(&self, warm: Option<&State>) -> State {
        let nodes = self.fixed.len();
        let warm = warm.filter(|s| s.squared.len() == nodes && s.through.len() == self.laws.ends.len());
        let mut state = warm.cloned().unwrap_or_else(|| State {
            squared: vec![0.25 * self.laws.outside; nodes],
            through: vec![START_FLOW; self.laws.ends.len()],
            entering: Vec::new(),
        });
        self.settle(&mut state);
        if state.entering.len() != self.laws.at.len() {
            state.entering = self.laws.at.iter().map(|at| at.flow(state.squared[at.node])).collect();
        }
        state
    }

    /// Puts what is known beforehand into a state.
    fn settle(&self, state: &mut State) {
        for (squared, fixed) in state.squared.iter_mut().zip(&self.fixed) {
            *squared = fixed.unwrap_or(*squared);
        }
        for (through, &still) in state.through.iter_mut().zip(&self.still) {
            if still {
                *through = 0.0;
            }
        }
    }

    /// Iterates a state to rest and says after how many steps.
    pub(crate) fn run(&mut self, state: &mut State, storage: Option<&Storage>) -> Result<usize, Unrest> {
        for step in 1..=MOST_STEPS {
            self.linearise(state, storage);
            if !self.solve() {
                return Err(Unrest);
            }
            let share = match step {
                ..=FULL_STEPS => 1.0,
                ..=HALF_STEPS => 0.5,
                _ => 0.2,
            };
            if self.advance(state, share) && self.satisfied(state, storage) {
                return Ok(step);
            }
        }
        Err(Unrest)
    }

    /// Linear laws, matrix and balance at a state.
    fn linearise(&mut self, state: &State, storage: Option<&Storage>) {
        let Self { laws, pattern, fixed, entries, change, .. } = self;
        entries.clear();
        entries.resize(pattern.entries(), 0.0);
        change.clear();
        change.resize(fixed.len(), 0.0);
        for (element, (law, &(from, to))) in laws.between.iter().zip(&laws.ends).enumerate() {
            let linear = if self.still[element] {
                Linear::default()
            } else {
                law.linear(state.through[element], state.squared[from], state.squared[to])
            };
            self.linear[element] = linear;
            change[from] -= linear.m;
            change[to] += linear.m;
            let (from_to, to_from) = pattern.between(element);
            if fixed[from].is_none() {
                entries[pattern.diagonal(from)] += linear.up;
                entries[from_to] += linear.down;
            }
            if fixed[to].is_none() {
                entries[pattern.diagonal(to)] -= linear.down;
                entries[to_from] -= linear.up;
            }
        }
        for (index, at) in laws.at.iter().enumerate() {
            let (m, slope) = at.linear(state.entering[index], state.squared[at.node]);
            self.entering[index] = (m, slope);
            change[at.node] += m;
            entries[pattern.diagonal(at.node)] -= slope;
        }
        if let Some(storage) = storage {
            for (node, squared) in state.squared.iter().enumerate() {
                let p = squared.sqrt();
                change[node] -= storage.rate[node] * (p - storage.towards[node]);
                entries[pattern.diagonal(node)] += storage.rate[node] / (2.0 * p);
            }
        }
        for (node, fixed) in fixed.iter().enumerate() {
            if fixed.is_some() {
                change[node] = 0.0;
                entries[pattern.diagonal(node)] = 1.0;
            }
        }
    }

    fn solve(&mut self) -> bool {
        if !self.pattern.eliminate(&mut self.entries) {
            return false;
        }
        self.pattern.solve(&self.entries, &mut self.change, &mut self.scratch);
        self.change.iter().all(|change| change.is_finite())
    }

    /// Solves the last matrix again with another right side.
    pub(crate) fn solve_again(&mut self, side: &mut [f64]) {
        self.pattern.solve(&self.entries, side, &mut self.scratch);
    }

    /// Moves the state by a share of the step found; true if it hardly moved.
    fn advance(&mut self, state: &mut State, share: f64) -> bool {
        let mut moved: f64 = 0.0;
        for (change, squared) in self.change.iter_mut().zip(&state.squared) {
            *change = change.clamp((STEP.0 - 1.0) * squared, (STEP.1 - 1.0) * squared);
        }
        for at in &self.laws.at {
            // A step across the kink where a source stops drawing ends on it.
            if let AtLaw::Source(law) = &at.law {
                let (kink, squared) = (law.floor * law.floor, state.squared[at.node]);
                let beyond = squared + self.change[at.node];
                if (squared - kink) * (beyond - kink) < 0.0 && (squared / kink - 1.0).abs() > 1e-12 {
                    self.change[at.node] = kink - squared;
                }
            }
        }
        let (mut flow_moved, mut most): (f64, f64) = (0.0, 0.0);
        for (element, &(from, to)) in self.laws.ends.iter().enumerate() {
            let Linear { m, up, down } = self.linear[element];
            let next = m + up * self.change[from] + down * self.change[to];
            let step = share * (next - state.through[element]);
            state.through[element] += step;
            flow_moved = flow_moved.max(step.abs());
            most = most.max(state.through[element].abs());
        }
        for (index, at) in self.laws.at.iter().enumerate() {
            let (m, slope) = self.entering[index];
            let step = share * (m + slope * self.change[at.node] - state.entering[index]);
            state.entering[index] += step;
            flow_moved = flow_moved.max(step.abs());
            most = most.max(state.entering[index].abs());
        }
        for (squared, change) in state.squared.iter_mut().zip(&self.change) {
            *squared += share * change;
            moved = moved.max(change.abs());
        }
        flow_moved <= STILL_FLOW * most + NO_FLOW && moved <= STILL_SQUARED * SCALE
    }

    /// Whether every law and every balance holds: the proof of a solution, apart from how it was found.
    fn satisfied(&mut self, state: &State, storage: Option<&Storage>) -> bool {
        let allowed = LAW_MISS * SCALE;
        let laws = self.laws;
        let between = laws.between.iter().zip(&laws.ends).zip(&state.through).zip(&self.still);
        let holds = |miss: f64, size: f64| miss.abs() <= allowed + 1e-13 * size;
        let laws_hold = between.into_iter().all(|(((law, &(from, to)), &m), &still)| {
            let (from, to) = (state.squared[from], state.squared[to]);
            still || holds(law.miss(m, from, to), from.max(to))
        });
        let entering = laws.at.iter().zip(&state.entering);
        laws_hold
            && entering.into_iter().all(|(at, &m)| holds(at.miss(m, state.squared[at.node]), laws.outside))
            && self.balanced(state, storage)
    }

    fn balanced(&mut self, state: &State, storage: Option<&Storage>) -> bool {
        let nodes = self.fixed.len();
        let (sum, passing) = (&mut self.change, &mut self.scratch);
        sum.fill(0.0);
        passing.clear();
        passing.resize(nodes, 0.0);
        let mut flow = |node: usize, m: f64| {
            sum[node] += m;
            passing[node] += m.abs();
        };
        for (&(from, to), &m) in self.laws.ends.iter().zip(&state.through) {
            flow(from, -m);
            flow(to, m);
        }
        for (at, &m) in self.laws.at.iter().zip(&state.entering) {
            let m = if matches!(at.law, AtLaw::Source(_)) { at.flow(state.squared[at.node]) } else { m };
            flow(at.node, m);
        }
        if let Some(storage) = storage {
            for (node, squared) in state.squared.iter().enumerate() {
                flow(node, -storage.rate[node] * (squared.sqrt() - storage.towards[node]));
            }
        }
        let most = passing.iter().copied().fold(0.0, f64::max);
        sum.iter().zip(passing.iter()).zip(&self.fixed).all(|((sum, passing), fixed)| {
            fixed.is_some() || sum.abs() <= BALANCE_MISS * passing + 1e-13 * most + NO_FLOW
        })
    }

    /// Flow into each node from elements, leaks and sources, kg/s.
    pub(crate) fn inflow(&self, state: &State, inflow: &mut Vec<f64>) {
        inflow.clear();
        inflow.resize(self.fixed.len(), 0.0);
        for (&(from, to), &m) in self.laws.ends.iter().zip(&state.through) {
            inflow[from] -= m;
            inflow[to] += m;
        }
        for (at, &m) in self.laws.at.iter().zip(&state.entering) {
            inflow[at.node] +=
                if matches!(at.law, AtLaw::Source(_)) { at.flow(state.squared[at.node]) } else { m };
        }
    }
}

/// Flow every element starts from, kg/s: a trickle that is laminar in any hose.
const START_FLOW: f64 = 1e-7;
