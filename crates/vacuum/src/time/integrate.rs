//! One stretch of time in which nothing changes.

use crate::network::Network;
use crate::solve::{Iteration, Known, Laws, State, Storage, Unrest};

/// Where in its step the trapezoidal stage of TR-BDF2 ends: 2 - √2, which gives both stages the same matrix.
const STAGE: f64 = 2.0 - std::f64::consts::SQRT_2;
/// Error constant of the rule.
const ERROR: f64 = (-3.0 * STAGE * STAGE + 4.0 * STAGE - 2.0) / (12.0 * (2.0 - STAGE));
/// Volume that every node has at least, m³: a cubic millimetre, so that each has a pressure of its own at any time.
const LEAST_VOLUME: f64 = 1e-9;
/// First step and shortest step, s.
const FIRST_STEP: f64 = 1e-4;
const SHORTEST: f64 = 1e-11;
/// Steps in one stretch, at most.
const MOST_STEPS: usize = 100_000;

/// One step taken: times from the start of the stretch in s, pressures in Pa and their slopes in Pa/s by node.
pub(crate) struct Step<'a> {
    pub from_s: f64,
    pub length_s: f64,
    pub before: &'a [f64],
    pub after: &'a [f64],
    pub slope_before: &'a [f64],
    pub slope_after: &'a [f64],
}

pub(crate) struct Integrator<'a> {
    network: &'a Network,
    laws: Laws,
    /// Air stored per pressure, kg/Pa.
    stored: Vec<f64>,
    state: State,
    accuracy: f64,
}

impl<'a> Integrator<'a> {
    /// A network that starts from a state, or from the atmosphere.
    pub(crate) fn new(network: &'a Network, from: Option<&State>, accuracy: f64) -> Result<Self, Unrest> {
        let laws = Laws::new(network);
        let rt = network.air().rt();
        let stored = network.volumes_cm3().iter().map(|cm3| (cm3 * 1e-6).max(LEAST_VOLUME) / rt).collect();
        let nodes = laws.kept.len();
        let fits =
            from.filter(|state| state.squared.len() == nodes && state.through.len() == laws.ends.len());
        let state = fits.cloned().unwrap_or_else(|| State {
            squared: vec![laws.outside; nodes],
            through: vec![0.0; laws.ends.len()],
            entering: Vec::new(),
        });
        let mut integrator = Self { network, laws, stored, state, accuracy };
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
        self.state.squared.iter().map(|squared| squared.sqrt()).collect()
    }

    pub(crate) fn state(&self) -> State {
        self.state.clone()
    }

    /// Goes on for a while in steps no longer than `longest`, telling of every step; stops early when told to (then true). Fails with the time of a step that
    /// cannot be solved.
    pub(crate) fn run(
        &mut self,
        length: f64,
        longest: f64,
        tell: &mut dyn FnMut(&Step) -> bool,
    ) -> Result<bool, f64> {
        let mut state = self.state.clone();
        let mut iteration = self.iteration(self.laws.kept.clone());
        let nodes = self.stored.len();
        let mut storage = Storage { rate: vec![0.0; nodes], towards: vec![0.0; nodes] };
        let (mut inflow, mut inflow_stage, mut inflow_after) = (Vec::new(), Vec::new(), Vec::new());
        iteration.inflow(&state, &mut inflow);
        self.still_where_kept(&mut inflow);
        let mut before = pressures(&state);
        let (mut time, mut step) = (0.0, FIRST_STEP.min(length));
        for _ in 0..MOST_STEPS {
            if time >= length * (1.0 - 1e-12) {
                self.state = state;
                return Ok(false);
            }
            step = step.min(length - time).min(longest);
            let mut next = state.clone();
            let solved = self.stages(
                &mut iteration,
                &mut next,
                &mut storage,
                step,
                (&before, &inflow),
                &mut inflow_stage,
            );
            if solved.is_err() {
                step *= 0.25;
                if step < SHORTEST {
                    self.state = state;
                    return Err(time);
                }
                continue;
            }
            iteration.inflow(&next, &mut inflow_after);
            self.still_where_kept(&mut inflow_after);
            let after = pressures(&next);
            let error =
                self.error(&mut iteration, &storage, step, [&inflow, &inflow_stage, &inflow_after], &after);
            let grow = (0.9 * (self.accuracy / error.max(1e-30)).cbrt()).clamp(0.2, 4.0);
            if error > self.accuracy && step > SHORTEST {
                step *= grow.min(0.9);
                continue;
            }
            let slopes = |inflow: &[f64]| -> Vec<f64> {
                inflow.iter().zip(&self.stored).map(|(m, c)| m / c).collect()
            };
            let taken = Step {
                from_s: time,
                length_s: step,
                before: &before,
                after: &after,
                slope_before: &slopes(&inflow),
                slope_after: &slopes(&inflow_after),
            };
            let go_on = tell(&taken);
            time += step;
            step *= grow;
            state = next;
            before = after;
            std::mem::swap(&mut inflow, &mut inflow_after);
            if !go_on {
                self.state = state;
                return Ok(true);
            }
        }
        self.state = state;
        Err(time)
    }

    /// Nothing is stored where a pressure is kept.
    fn still_where_kept(&self, inflow: &mut [f64]) {
        for (inflow, _) in inflow.iter_mut().zip(&self.laws.kept).filter(|(_, kept)| kept.is_some()) {
            *inflow = 0.0;
        }
    }

    /// The trapezoidal stage and the backward difference stage.
    fn stages(
        &self,
        iteration: &mut Iteration,
        next: &mut State,
        storage: &mut Storage,
        step: f64,
        (before, inflow): (&[f64], &[f64]),
        inflow_stage: &mut Vec<f64>,
    ) -> Result<(), Unrest> {
        for (rate, stored) in storage.rate.iter_mut().zip(&self.stored) {
            *rate = 2.0 * stored / (STAGE * step);
        }
        for (node, towards) in storage.towards.iter_mut().enumerate() {
            *towards = before[node] + inflow[node] / storage.rate[node];
        }
        // Start each stage where the slope points.
        for (node, squared) in
            next.squared.iter_mut().enumerate().filter(|(node, _)| self.laws.kept[*node].is_none())
        {
            let ahead = before[node] + STAGE * step * inflow[node] / self.stored[node];
            *squared = ahead.clamp(0.7 * before[node], 1.3 * before[node]).powi(2);
        }
        iteration.run(next, Some(storage))?;
        iteration.inflow(next, inflow_stage);
        self.still_where_kept(inflow_stage);
        let newest = 1.0 / (STAGE * (2.0 - STAGE));
        for (node, towards) in storage.towards.iter_mut().enumerate() {
            let stage = next.squared[node].sqrt();
            *towards = newest * stage - (newest - 1.0) * before[node];
            if self.laws.kept[node].is_none() {
                let ahead = stage + (stage - before[node]) * (1.0 - STAGE) / STAGE;
                next.squared[node] = ahead.clamp(0.7 * stage, 1.3 * stage).powi(2);
            }
        }
        iteration.run(next, Some(storage))?;
        Ok(())
    }

    /// The step's error at the worst node, Pa: the rule's third derivative term, damped where the network is stiff.
    fn error(
        &self,
        iteration: &mut Iteration,
        storage: &Storage,
        step: f64,
        [start, stage, end]: [&[f64]; 3],
        after: &[f64],
    ) -> f64 {
        let mut side: Vec<f64> = (0..after.len())
            .map(|node| {
                let third =
                    start[node] / STAGE - stage[node] / (STAGE * (1.0 - STAGE)) + end[node] / (1.0 - STAGE);
                let plain = 2.0 * ERROR * step * third / self.stored[node];
                if self.laws.kept[node].is_some() { 0.0 } else { storage.rate[node] * plain }
            })
            .collect();
        iteration.solve_again(&mut side);
        side.iter().zip(after).map(|(squared, p)| (squared / (2.0 * p)).abs()).fold(0.0, f64::max)
    }
}

fn pressures(state: &State) -> Vec<f64> {
    state.squared.iter().map(|squared| squared.sqrt()).collect()
}
