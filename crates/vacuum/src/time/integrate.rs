//! One stretch of time in which nothing changes.

use super::rule::{self, AT, BEFORE, OWN, STAGES};
use crate::network::Network;
use crate::solve::{Iteration, Known, Laws, State, Storage, Stored, Unrest};

/// First step and shortest step, s.
const FIRST_STEP: f64 = 1e-4;
const SHORTEST: f64 = 1e-11;
/// Steps in one stretch, at most.
const MOST_STEPS: usize = 100_000;
/// Length of the step that every stretch opens with, s: small volumes come to terms with what flows there in it. Far below
/// anything that is timed.
const OPENING: f64 = 1e-8;
/// A change by more than this share of a pressure is not foreseen from its slope.
const FAR: f64 = 0.1;
/// Halvings of a step by which a moment in it is found.
const BISECTIONS: usize = 50;

/// One step taken, times from the start of the stretch in s.
pub(crate) struct Step<'a> {
    pub from_s: f64,
    pub length_s: f64,
    /// Pressures by node at its start and end, Pa.
    pub before: &'a [f64],
    pub after: &'a [f64],
    stored: &'a Stored,
    gained: &'a [f64],
    stages: &'a [Vec<f64>; STAGES],
}

impl Step<'_> {
    /// Air at a node once the stages have come in with these weights, kg.
    fn mass(&self, node: usize, weights: &[f64; STAGES + 1]) -> f64 {
        let stages = self.stages.iter().zip(&weights[1..]);
        let sum: f64 = stages.map(|(stage, weight)| weight * stage[node]).sum();
        let start = self.stored.mass_at(node, self.before[node]);
        start + self.length_s * (weights[0] * self.gained[node] + sum)
    }

    /// Pressures of nodes when a share of the step has passed, Pa.
    pub(crate) fn pressures_at(
        &self,
        share: f64,
        nodes: impl Iterator<Item = usize>,
    ) -> impl Iterator<Item = f64> {
        let weights = rule::within(share);
        nodes.map(move |node| {
            let (p, q) = (self.before[node], self.after[node]);
            let mass = self.mass(node, &weights);
            self.stored.pressure_of(node, mass, p + share * (q - p), (0.9 * p.min(q), 1.1 * p.max(q)))
        })
    }

    /// Which share of the step has passed when a node comes to a pressure between those at its ends.
    pub(crate) fn share_at(&self, node: usize, wanted: f64) -> f64 {
        let target = self.stored.mass_at(node, wanted);
        let rises = self.after[node] > self.before[node];
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..BISECTIONS {
            let middle = 0.5 * (low + high);
            if (self.mass(node, &rule::within(middle)) > target) == rises {
                high = middle
            } else {
                low = middle
            }
        }
        0.5 * (low + high)
    }
}

pub(crate) struct Integrator<'a> {
    network: &'a Network,
    laws: Laws,
    stored: Stored,
    state: State,
    accuracy: f64,
    /// Nodes whose pressure is not kept.
    free: usize,
}

/// Pressures at one time with what they change by.
struct Point {
    state: State,
    pressures: Vec<f64>,
    /// Air gained by each node, kg/s.
    gained: Vec<f64>,
    slopes: Vec<f64>,
}

/// What one step needs besides the point that it starts from.
struct Stepping<'a> {
    iteration: Iteration<'a>,
    storage: Storage<'a>,
    /// Air gained by each node in each stage, kg/s.
    stages: [Vec<f64>; STAGES],
}

impl<'a> Integrator<'a> {
    /// A network that starts from a state, or from the atmosphere.
    pub(crate) fn new(network: &'a Network, from: Option<&State>, accuracy: f64) -> Result<Self, Unrest> {
        let laws = Laws::new(network);
        let stored = Stored::of(network);
        let nodes = laws.kept.len();
        let fits =
            from.filter(|state| state.squared.len() == nodes && state.through.len() == laws.ends.len());
        let state = fits.cloned().unwrap_or_else(|| State {
            squared: vec![laws.outside; nodes],
            through: vec![0.0; laws.ends.len()],
            entering: Vec::new(),
        });
        let free = laws.kept.iter().filter(|kept| kept.is_none()).count().max(1);
        let mut integrator = Self { network, laws, stored, state, accuracy, free };
        let state = integrator.flows_at_once()?;
        integrator.state = state;
        Ok(integrator)
    }

    /// The flows that belong to the pressures: every element by itself, between ends that are kept.
    fn flows_at_once(&self) -> Result<State, Unrest> {
        let kept = self.state.squared.iter().map(|&squared| Some(squared)).collect();
        let mut iteration = self.iteration(kept);
        let mut state = iteration.start(Some(&self.state));
        iteration.run(&mut state, None)?;
        Ok(state)
    }

    fn iteration(&self, kept: Vec<Option<f64>>) -> Iteration<'_> {
        let (nodes, elements) = (kept.len(), self.laws.ends.len());
        let known = Known {
            squared: kept,
            still: vec![false; elements],
            tight: vec![false; nodes],
            undetermined: Vec::new(),
        };
        let mut iteration = Iteration::new(&self.laws, &self.network.pattern, &known);
        iteration.bounded = false;
        iteration
    }

    /// Pressures now, Pa.
    pub(crate) fn pressures(&self) -> Vec<f64> {
        pressures(&self.state)
    }

    pub(crate) fn state(&self) -> State {
        self.state.clone()
    }

    /// Goes on for a while in steps no longer than `longest`, telling of every step. Where it is told how far into the step to
    /// end, the step is taken anew just so far, and the time of the end comes back. Fails with the time of a step that cannot be
    /// solved.
    pub(crate) fn run(
        &mut self,
        length: f64,
        longest: f64,
        tell: &mut dyn FnMut(&Step) -> Option<f64>,
    ) -> Result<Option<f64>, f64> {
        let (ended, state) = self.steps(length, longest, tell);
        self.state = state;
        ended
    }

    fn steps(
        &self,
        length: f64,
        longest: f64,
        tell: &mut dyn FnMut(&Step) -> Option<f64>,
    ) -> (Result<Option<f64>, f64>, State) {
        let mut stepping = self.stepping();
        let mut here = self.begin(&stepping.iteration);
        let (mut time, mut step) = (0.0, FIRST_STEP.min(length));
        if length > OPENING
            && let Ok(opened) = self.open(&mut stepping, &here)
        {
            (here, time) = (opened, OPENING);
        }
        for _ in 0..MOST_STEPS {
            if time >= length * (1.0 - 1e-12) {
                return (Ok(None), here.state);
            }
            step = step.min(length - time).min(longest);
            let Ok(next) = self.step(&mut stepping, &here, step) else {
                step *= 0.25;
                if step < SHORTEST {
                    return (Err(time), here.state);
                }
                continue;
            };
            let error = self.error(&mut stepping, &here, &next);
            let grow = (0.9 * (self.accuracy / error.max(1e-30)).powf(0.25)).clamp(0.2, 4.0);
            if error > self.accuracy && step > SHORTEST {
                step *= grow.min(0.9);
                continue;
            }
            let taken = Step {
                from_s: time,
                length_s: step,
                before: &here.pressures,
                after: &next.pressures,
                stored: &self.stored,
                gained: &here.gained,
                stages: &stepping.stages,
            };
            if let Some(end) = tell(&taken) {
                let end = end.clamp(SHORTEST, step);
                let next = self.step(&mut stepping, &here, end).unwrap_or(next);
                return (Ok(Some(time + end)), next.state);
            }
            time += step;
            step *= grow;
            here = next;
        }
        (Err(time), here.state)
    }

    fn stepping(&self) -> Stepping<'_> {
        let nodes = self.laws.kept.len();
        Stepping {
            iteration: self.iteration(self.laws.kept.clone()),
            storage: Storage { stored: &self.stored, per_s: 0.0, towards: vec![0.0; nodes] },
            stages: std::array::from_fn(|_| vec![0.0; nodes]),
        }
    }

    fn begin(&self, iteration: &Iteration<'_>) -> Point {
        let mut gained = Vec::new();
        iteration.inflow(&self.state, &mut gained);
        self.point(self.state.clone(), gained)
    }

    /// Nothing is gained where a pressure is kept.
    fn point(&self, state: State, mut gained: Vec<f64>) -> Point {
        for (gained, _) in gained.iter_mut().zip(&self.laws.kept).filter(|(_, kept)| kept.is_some()) {
            *gained = 0.0;
        }
        let held = self.stored.slopes(&state.squared);
        let slopes = gained.iter().zip(held).map(|(gained, held)| gained / held).collect();
        Point { pressures: pressures(&state), state, gained, slopes }
    }

    /// The opening step, by the implicit rule of the first order, which forgets at once what does not last.
    fn open(&self, stepping: &mut Stepping<'_>, here: &Point) -> Result<Point, Unrest> {
        let Stepping { iteration, storage, .. } = stepping;
        storage.per_s = 1.0 / OPENING;
        storage.towards = self.stored.masses(&here.state.squared);
        let mut next = here.state.clone();
        iteration.run(&mut next, Some(storage))?;
        let after = self.stored.masses(&next.squared);
        let gained =
            after.iter().zip(&storage.towards).map(|(after, before)| storage.per_s * (after - before));
        Ok(self.point(next, gained.collect()))
    }

    /// All stages of one step; where it ends.
    fn step(&self, stepping: &mut Stepping<'_>, here: &Point, step: f64) -> Result<Point, Unrest> {
        let masses = self.stored.masses(&here.state.squared);
        let mut next = here.state.clone();
        let Stepping { iteration, storage, stages } = stepping;
        storage.per_s = 1.0 / (OWN * step);
        let mut solved = vec![(0.0, here.state.clone())];
        for stage in 0..STAGES {
            let before = BEFORE[stage];
            for (node, mass) in masses.iter().enumerate() {
                let so_far: f64 =
                    (1..=stage).map(|earlier| before[earlier] * stages[earlier - 1][node]).sum();
                storage.towards[node] = mass + step * (before[0] * here.gained[node] + so_far);
            }
            if stage == 0 {
                // Start where the slope at the start points, unless it points far: then it does not last.
                for (node, squared) in next.squared.iter_mut().enumerate() {
                    let (p, change) = (squared.sqrt(), AT[0] * step * here.slopes[node]);
                    if change.abs() < FAR * p {
                        *squared = (p + change).powi(2);
                    }
                }
            } else {
                foresee(&mut next, &solved, AT[stage]);
            }
            iteration.run(&mut next, Some(storage))?;
            solved.push((AT[stage], next.clone()));
            let after = self.stored.masses(&next.squared);
            for (node, gained) in stages[stage].iter_mut().enumerate() {
                let kept = self.laws.kept[node].is_some();
                *gained = if kept { 0.0 } else { storage.per_s * (after[node] - storage.towards[node]) };
            }
        }
        let gained = stages[STAGES - 1].clone();
        Ok(self.point(next, gained))
    }

    /// The step's error, Pa, root mean square over the nodes: what a step of the third order would differ by, damped where the
    /// network is stiff. One hose of many that turns turbulent does not hold up all others.
    fn error(&self, stepping: &mut Stepping<'_>, here: &Point, next: &Point) -> f64 {
        let Stepping { iteration, stages, .. } = stepping;
        let mut side: Vec<f64> = (0..next.pressures.len())
            .map(|node| {
                let stages = stages.iter().enumerate();
                let sum: f64 =
                    stages.map(|(stage, gained)| rule::error_weight(stage + 1) * gained[node]).sum();
                // per_s is 1/(OWN step): the step cancels.
                let miss = (rule::error_weight(0) * here.gained[node] + sum) / OWN;
                if self.laws.kept[node].is_some() { 0.0 } else { miss }
            })
            .collect();
        iteration.solve_again(&mut side);
        let squares = side.iter().zip(&next.pressures).map(|(squared, p)| (squared / (2.0 * p)).powi(2));
        (squares.sum::<f64>() / self.free as f64).sqrt()
    }
}

/// Brings a state to where the parabola, or the straight line, through the last states found points: pressures and flows alike.
fn foresee(next: &mut State, found: &[(f64, State)], at: f64) {
    let last = &found[found.len().saturating_sub(3)..];
    let weights: Vec<f64> = last
        .iter()
        .map(|(own, _)| {
            let others = last.iter().map(|(other, _)| *other).filter(|other| other != own);
            others.map(|other| (at - other) / (own - other)).product()
        })
        .collect();
    let sum = |of: &dyn Fn(&State) -> f64| -> f64 {
        last.iter().zip(&weights).map(|((_, state), weight)| weight * of(state)).sum()
    };
    for (node, squared) in next.squared.iter_mut().enumerate() {
        let there = sum(&|state| state.squared[node]);
        if (there - *squared).abs() < FAR * *squared {
            *squared = there;
        }
    }
    for (element, through) in next.through.iter_mut().enumerate() {
        *through = sum(&|state| state.through[element]);
    }
    for (index, entering) in next.entering.iter_mut().enumerate() {
        *entering = sum(&|state| state.entering[index]);
    }
}

fn pressures(state: &State) -> Vec<f64> {
    state.squared.iter().map(|squared| squared.sqrt()).collect()
}
