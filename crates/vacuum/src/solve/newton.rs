//! Newton's iteration on flows and squared pressures together.
//!
//! Every element's law is linearised at its own flow, its ends left free; eliminating the flows leaves one equation per node
//! (after Todini & Pilati, *A gradient algorithm for the analysis of pipe networks*, 1988; from memory). Square-rooted laws
//! linearised by pressures alone cycle for ever near no flow; by flows they do not.

use super::law::{AtLaw, Laws, Linear};
use super::stored::{Held, Stored};
use super::tight::Known;
use crate::network::{Network, Pattern};
use units::VacuumLevel;

/// Squared pressures (Pa²) and flows (kg/s) of a network, to start the next solution from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct State {
    pub(crate) squared: Vec<f64>,
    pub(crate) through: Vec<f64>,
    pub(crate) entering: Vec<f64>,
}

impl State {
    /// The same level at every node of a network and no flow, as when it was shut off and has evened out.
    #[must_use]
    pub fn at_level(network: &Network, level: VacuumLevel) -> Self {
        let pa = level.absolute(network.air().ambient).kpa() * 1e3;
        let spec = network.spec();
        Self {
            squared: vec![pa * pa; spec.nodes().len()],
            through: vec![0.0; spec.elements().len()],
            entering: Vec::new(),
        }
    }
}

/// Air stored at nodes over a time step: flow in less `per_s` (mass at p - `towards`).
#[derive(Debug, Clone)]
pub(crate) struct Storage<'a> {
    /// What each node holds.
    pub stored: &'a Stored,
    /// 1/s.
    pub per_s: f64,
    /// kg per node.
    pub towards: Vec<f64>,
}

/// Scale of squared pressures, Pa².
const SCALE: f64 = 1e10;
/// A step leaves at least this share of a squared pressure.
const STEP: f64 = 0.1;
/// Iterations with full steps in any case, iterations in all, and the least share of a step to take.
const FULL_STEPS: usize = 10;
const MOST_STEPS: usize = 80;
const LEAST_SHARE: f64 = 0.2;
/// Changes below which the iteration stands still: of flows relative to the largest, of squared pressures by `SCALE`.
const STILL_FLOW: f64 = 1e-8;
const STILL_SQUARED: f64 = 1e-10;
/// From so many times standing still on, it is worth looking whether every law holds already: the next step would be as much
/// smaller again.
const NEAR: f64 = 1e3;
/// Largest flow that counts as nothing, kg/s.
const NO_FLOW: f64 = 1e-14;
/// What may be missed: a law by this share of `SCALE`, a node's balance by this share of what passes.
const LAW_MISS: f64 = 1e-10;
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
    /// Steady states lie within bounds that courses in time may leave.
    pub bounded: bool,
    /// The state's flows are not known yet, not even roughly.
    fresh: bool,
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
    pub(crate) fn new(laws: &'a Laws, pattern: &'a Pattern, known: &Known) -> Self {
        let (fixed, still) = (known.squared.clone(), known.still.clone());
        Self {
            laws,
            pattern,
            fixed,
            still,
            bounded: true,
            fresh: false,
            linear: vec![Linear::default(); laws.ends.len()],
            entering: vec![(0.0, 0.0); laws.at.len()],
            entries: Vec::new(),
            change: Vec::new(),
            scratch: Vec::new(),
        }
    }

    /// A state to start from: the given one where it fits, half the atmosphere where not.
    pub(crate) fn start(&mut self, warm: Option<&State>) -> State {
        let nodes = self.fixed.len();
        let warm = warm.filter(|s| s.squared.len() == nodes && s.through.len() == self.laws.ends.len());
        self.fresh = warm.is_none();
        let mut state = warm.cloned().unwrap_or_else(|| State {
            squared: vec![0.25 * self.laws.outside; nodes],
            through: vec![0.0; self.laws.ends.len()],
            entering: Vec::new(),
        });
        self.settle(&mut state);
        state.entering = self.laws.at.iter().map(|at| at.flow(state.squared[at.node])).collect();
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
    pub(crate) fn run(&mut self, state: &mut State, storage: Option<&Storage<'_>>) -> Result<usize, Unrest> {
        let (mut share, mut before) = (1.0, f64::INFINITY);
        for step in 1..=MOST_STEPS {
            self.linearise(state, storage);
            self.fresh = false;
            if !self.solve() {
                return Err(Unrest);
            }
            let moved = self.advance(state, share, self.bounded && storage.is_none());
            if moved <= NEAR && self.satisfied(state, storage) {
                return Ok(step);
            }
            // Newton's steps shrink fast near the answer. Where they do not, they go to and fro: take less of them.
            let shrinks = moved <= (1.0 - 0.5 * share) * before;
            if shrinks {
                share = (2.0 * share).min(1.0);
            } else if step > FULL_STEPS {
                share = (0.5 * share).max(LEAST_SHARE);
            }
            before = moved;
        }
        Err(Unrest)
    }

    /// Linear laws, matrix and balance at a state.
    fn linearise(&mut self, state: &State, storage: Option<&Storage<'_>>) {
        let Self { laws, pattern, fixed, entries, change, .. } = self;
        entries.clear();
        entries.resize(pattern.entries(), 0.0);
        change.clear();
        change.resize(fixed.len(), 0.0);
        for (element, (law, &(from, to))) in laws.between.iter().zip(&laws.ends).enumerate() {
            let linear = if self.still[element] {
                Linear::default()
            } else if self.fresh {
                law.chord(laws.typical, state.squared[from], state.squared[to])
            } else {
                law.linear(state.through[element], state.squared[from], state.squared[to])
            };
            self.linear[element] = linear;
            change[from] -= linear.m;
            change[to] += linear.m;
            let (from_to, to_from) = pattern.between(element);
            // What leaves one node for another that is free is no excess.
            match (fixed[from].is_some(), fixed[to].is_some()) {
                (false, false) => {
                    entries[from_to] += linear.down;
                    entries[to_from] -= linear.up;
                }
                (false, true) => entries[pattern.excess(from)] += linear.up,
                (true, false) => entries[pattern.excess(to)] -= linear.down,
                (true, true) => {}
            }
        }
        for (index, at) in laws.at.iter().enumerate() {
            let (m, slope) = at.linear(state.entering[index], state.squared[at.node]);
            self.entering[index] = (m, slope);
            change[at.node] += m;
            entries[pattern.excess(at.node)] -= slope;
        }
        if let Some(storage) = storage {
            for (node, towards) in storage.towards.iter().enumerate() {
                change[node] += storage.per_s * towards;
            }
            storage.stored.each(&state.squared, |node, Held { mass, slope }| {
                change[node] -= storage.per_s * mass;
                entries[pattern.excess(node)] += storage.per_s * slope / (2.0 * state.squared[node].sqrt());
            });
        }
        for (node, fixed) in fixed.iter().enumerate() {
            if fixed.is_some() {
                change[node] = 0.0;
                entries[pattern.excess(node)] = 1.0;
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

    /// Moves the state by a share of the step found. Says how large the whole step was against one that counts as none.
    fn advance(&mut self, state: &mut State, share: f64, bounded: bool) -> f64 {
        // Air that is stored may come from outside the bounds of the steady state.
        let most_flow = if bounded { self.laws.most_flow } else { f64::INFINITY };
        let (low, high) = if bounded { (self.laws.least, self.laws.most) } else { (0.0, f64::INFINITY) };
        let mut moved: f64 = 0.0;
        for (change, squared) in self.change.iter_mut().zip(&state.squared) {
            let least = (STEP * squared).max(low) - squared;
            *change = change.clamp(least.min(0.0), (high - squared).max(0.0));
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
            let next = (m + up * self.change[from] + down * self.change[to]).clamp(-most_flow, most_flow);
            let step = next - state.through[element];
            state.through[element] += share * step;
            flow_moved = flow_moved.max(step.abs());
            most = most.max(state.through[element].abs());
        }
        for (index, at) in self.laws.at.iter().enumerate() {
            let (m, slope) = self.entering[index];
            let step = m + slope * self.change[at.node] - state.entering[index];
            state.entering[index] += share * step;
            flow_moved = flow_moved.max(step.abs());
            most = most.max(state.entering[index].abs());
        }
        for (squared, change) in state.squared.iter_mut().zip(&self.change) {
            *squared += share * change;
            moved = moved.max(change.abs());
        }
        (flow_moved / (STILL_FLOW * most + NO_FLOW)).max(moved / (STILL_SQUARED * SCALE))
    }

    /// Whether every law and every balance holds: the proof of a solution, apart from how it was found.
    fn satisfied(&mut self, state: &State, storage: Option<&Storage<'_>>) -> bool {
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

    fn balanced(&mut self, state: &State, storage: Option<&Storage<'_>>) -> bool {
        let nodes = self.fixed.len();
        let (sum, passing) = (&mut self.change, &mut self.scratch);
        sum.fill(0.0);
        passing.clear();
        passing.resize(nodes, 0.0);
        let mut flow = |passing: &mut [f64], node: usize, m: f64| {
            sum[node] += m;
            passing[node] += m.abs();
        };
        for (&(from, to), &m) in self.laws.ends.iter().zip(&state.through) {
            flow(passing, from, -m);
            flow(passing, to, m);
        }
        for (at, &m) in self.laws.at.iter().zip(&state.entering) {
            let m = if matches!(at.law, AtLaw::Source(_)) { at.flow(state.squared[at.node]) } else { m };
            flow(passing, at.node, m);
        }
        if let Some(storage) = storage {
            let mut gained: Vec<f64> = storage.towards.iter().map(|towards| -towards).collect();
            storage.stored.each(&state.squared, |node, held| {
                gained[node] += held.mass;
                // What rounding of pressure and mass alone stores.
                passing[node] += storage.per_s * held.mass * 16.0 * f64::EPSILON / BALANCE_MISS;
            });
            for (node, gained) in gained.into_iter().enumerate() {
                flow(passing, node, -storage.per_s * gained);
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
