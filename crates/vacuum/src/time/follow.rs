//! Following a network through time, with things that happen on the way.

use super::integrate::{Integrator, Step};
use crate::network::{CupId, ElementId, Network, SourceId};
use crate::solve::State;
use units::VacuumLevel;

/// Error allowed in each step where none is stated, kPa.
pub(crate) const USUAL_ACCURACY_KPA: f64 = 2e-6;

/// Smallest error that can be asked for, kPa: rounding is not far below.
const FINEST_KPA: f64 = 1e-8;
/// Nothing is followed for longer, s: a week. What is asked for longer ends at once, not converged.
const LONGEST_S: f64 = 604_800.0;
/// No step is longer than this share of the whole time, so that curves can be drawn.
const LONGEST_SHARE: f64 = 0.05;

/// Pieces that a step is drawn in that is longer than this share of the whole time.
const DRAWN: usize = 4;
const DRAWN_SHARE: f64 = 0.002;

/// Something that happens while the air flows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// A cup comes off the part or lands on it.
    CupOpen {
        /// The cup.
        cup: CupId,
        /// Off the part.
        open: bool,
    },
    /// A source starts or stops.
    SourceRunning {
        /// The source.
        source: SourceId,
        /// It runs.
        running: bool,
    },
    /// A valve opens or shuts.
    ValveOpen {
        /// The valve.
        valve: ElementId,
        /// It is open.
        open: bool,
    },
}

/// A change and when it happens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// Time from the start, s.
    pub at_s: f64,
    /// What happens.
    pub change: Change,
}

/// A level at a cup whose time is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watch {
    /// The cup.
    pub cup: CupId,
    /// The level.
    pub level: VacuumLevel,
    /// Asked for as the level rises; otherwise as it falls.
    pub rising: bool,
}

/// When to stop following, at the latest at the end of the time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// Not before.
    AtEnd,
    /// At the moment at which the last watched level is reached.
    AllReached,
    /// At the moment at which the first of them is.
    FirstReached,
}

/// How to follow a network.
#[derive(Debug, Clone, PartialEq)]
pub struct Follow {
    /// What happens on the way.
    pub events: Vec<Event>,
    /// Levels whose times are asked for.
    pub watches: Vec<Watch>,
    /// Times from the start at which samples are asked for besides those of the steps, rising, s.
    pub also_at: Vec<f64>,
    /// How long to follow it, s; a week at most.
    pub until_s: f64,
    /// When to stop before that.
    pub stop: Stop,
    /// Error allowed in each step, kPa, root mean square over the nodes.
    pub accuracy_kpa: f64,
}

impl Default for Follow {
    /// Nothing happens, nothing is watched, for 10 s.
    fn default() -> Self {
        Self {
            events: Vec::new(),
            watches: Vec::new(),
            also_at: Vec::new(),
            until_s: 10.0,
            stop: Stop::AtEnd,
            accuracy_kpa: USUAL_ACCURACY_KPA,
        }
    }
}

/// All cups at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// Time from the start, s.
    pub time_s: f64,
    /// Level of each cup.
    pub levels: Vec<VacuumLevel>,
}

/// When a watched level was reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reached {
    /// What was watched.
    pub watch: Watch,
    /// Time from the start, s; `None` if not while followed.
    pub at_s: Option<f64>,
}

/// How following ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TransientStatus {
    /// To its end.
    Complete,
    /// Some step could not be solved; what came before it holds.
    NotConverged {
        /// Time of the step, s.
        at_s: f64,
    },
}

/// The course of a network through time.
#[derive(Debug, Clone, PartialEq)]
pub struct Transient {
    /// How it ended.
    pub status: TransientStatus,
    /// Levels at the steps taken, close together where they change fast.
    pub samples: Vec<Sample>,
    /// Each watched level, in the order asked.
    pub reached: Vec<Reached>,
    /// The state at the end, to go on from.
    pub state: State,
}

/// Follows a network through time, from the atmosphere or from a state (of a steady solution or of another course).
///
/// # Units
/// s, kPa.
///
/// # Source
/// d(p V)/dt = R T (flow in) at every node, V being what cups leave of it at the pressure, by an implicit rule of the fourth
/// order (Kennedy & Carpenter 2003, see `rule`) with its embedded error estimate, filtered for stiffness (Hosea & Shampine,
/// Appl. Numer. Math. 20, 1996; both from memory): no step's error exceeds `accuracy_kpa`, root mean square over the nodes. Times in between by the
/// rule's own stages, to the same order; where following stops at a level, the last step is taken anew just so far.
#[must_use]
pub fn follow(network: &Network, from: Option<&State>, how: &Follow) -> Transient {
    // Nothing can be followed for ever, nor without any error.
    let bounded = how.until_s <= LONGEST_S;
    let until_s = if bounded { how.until_s.max(0.0) } else { 0.0 };
    let accuracy_pa = if how.accuracy_kpa > FINEST_KPA { how.accuracy_kpa } else { FINEST_KPA } * 1e3;
    let mut events: Vec<Event> = how.events.iter().copied().filter(|e| e.at_s <= until_s).collect();
    events.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    let mut current = network.clone();
    let mut record = Record::new(how);
    let mut time = 0.0;
    let mut state = from.cloned();
    let mut events = events.into_iter().peekable();
    loop {
        while let Some(event) = events.next_if(|event| event.at_s <= time) {
            current = changed(&current, event.change);
        }
        let end = events.peek().map_or(until_s, |event| event.at_s).min(until_s);
        let mut integrator = match Integrator::new(&current, state.as_ref(), accuracy_pa) {
            Ok(integrator) => integrator,
            Err(_) => {
                return record
                    .finish(TransientStatus::NotConverged { at_s: time }, state.unwrap_or_default());
            }
        };
        record.begin(&current, time, &integrator.pressures());
        let start = time;
        let ended = integrator.run(end - start, LONGEST_SHARE * until_s, &mut |step: &Step| {
            record.step(&current, start, step, how.stop)
        });
        time = ended.ok().flatten().map_or(end, |at| start + at);
        state = Some(integrator.state());
        let stopped = matches!(ended, Ok(Some(_)));
        if stopped {
            record.sample(&current, time, &integrator.pressures());
        }
        match ended {
            Err(at) => {
                return record
                    .finish(TransientStatus::NotConverged { at_s: start + at }, state.unwrap_or_default());
            }
            Ok(_) => {
                if stopped || time >= until_s {
                    let status = if bounded {
                        TransientStatus::Complete
                    } else {
                        TransientStatus::NotConverged { at_s: time }
                    };
                    return record.finish(status, state.unwrap_or_default());
                }
            }
        }
    }
}

fn changed(network: &Network, change: Change) -> Network {
    match change {
        Change::CupOpen { cup, open } => network.with_cup_open(cup, open),
        Change::SourceRunning { source, running } => network.with_source_running(source, running),
        Change::ValveOpen { valve, open } => network.with_valve_open(valve, open),
    }
}

/// What is kept of a course.
struct Record {
    samples: Vec<Sample>,
    reached: Vec<Reached>,
    /// Times that samples are still asked for at, the next one last.
    asked: Vec<f64>,
    until_s: f64,
}

impl Record {
    fn new(how: &Follow) -> Self {
        let reached = how.watches.iter().map(|&watch| Reached { watch, at_s: None }).collect();
        let asked = how.also_at.iter().rev().copied().collect();
        Self { samples: Vec::new(), reached, asked, until_s: how.until_s }
    }

    /// When following is to stop, if it is by what has been reached.
    fn stops_at(&self, stop: Stop) -> Option<f64> {
        let times = self.reached.iter().map(|reached| reached.at_s);
        match stop {
            Stop::AtEnd => None,
            Stop::AllReached => times.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::max),
            Stop::FirstReached => times.flatten().reduce(f64::min),
        }
    }

    /// The first sample of a stretch; what is reached already counts from there.
    fn begin(&mut self, network: &Network, time: f64, pressures: &[f64]) {
        let ambient = network.air().ambient_pa();
        let spec = network.spec();
        if self.samples.is_empty() {
            self.sample(network, time, pressures);
        }
        for reached in self.reached.iter_mut().filter(|reached| reached.at_s.is_none()) {
            let Some(placed) = spec.cups().get(reached.watch.cup.index()) else { continue };
            let level = ambient - pressures[placed.node.index()];
            let wanted = reached.watch.level.kpa() * 1e3;
            let there = if reached.watch.rising { level >= wanted } else { level <= wanted };
            if there {
                reached.at_s = Some(time);
            }
        }
    }

    fn sample(&mut self, network: &Network, time_s: f64, pressures: &[f64]) {
        let ambient = network.air().ambient_pa();
        let cups = network.spec().cups().iter();
        let levels = cups
            .map(|placed| VacuumLevel::from_kpa((ambient - pressures[placed.node.index()]) * 1e-3))
            .collect();
        self.samples.push(Sample { time_s, levels });
    }

    /// Takes down a step; how far into it following is to stop, if it is.
    fn step(&mut self, network: &Network, start: f64, step: &Step, stop: Stop) -> Option<f64> {
        let ambient = network.air().ambient_pa();
        for reached in self.reached.iter_mut().filter(|reached| reached.at_s.is_none()) {
            let Some(placed) = network.spec().cups().get(reached.watch.cup.index()) else { continue };
            let node = placed.node.index();
            let wanted = ambient - reached.watch.level.kpa() * 1e3;
            let (before, after) = (step.before[node], step.after[node]);
            let crossed = if reached.watch.rising { after <= wanted } else { after >= wanted };
            if crossed {
                let share = if before == after { 0.0 } else { step.share_at(node, wanted) };
                reached.at_s = Some(start + step.from_s + share * step.length_s);
            }
        }
        let end = self.stops_at(stop).map(|at| at - start - step.from_s);
        self.between(network, start + step.from_s, step, end.unwrap_or(step.length_s));
        if end.is_none() {
            self.sample(network, start + step.from_s + step.length_s, step.after);
        }
        end
    }

    /// Samples within the part of a step that counts: those asked for and some more, so that what is drawn through them is a curve.
    fn between(&mut self, network: &Network, from: f64, step: &Step, counts_s: f64) {
        let pieces = if counts_s > DRAWN_SHARE * self.until_s { DRAWN } else { 1 };
        let mut times: Vec<f64> =
            (1..pieces).map(|piece| from + counts_s * piece as f64 / pieces as f64).collect();
        while let Some(at) = self.asked.pop_if(|at| *at < from + counts_s) {
            times.extend((at > from).then_some(at));
        }
        times.sort_by(f64::total_cmp);
        times.dedup();
        let ambient = network.air().ambient_pa();
        for time_s in times {
            let share = (time_s - from) / step.length_s;
            let nodes = network.spec().cups().iter().map(|placed| placed.node.index());
            let levels = step.pressures_at(share, nodes);
            let levels = levels.map(|pa| VacuumLevel::from_kpa((ambient - pa) * 1e-3)).collect();
            self.samples.push(Sample { time_s, levels });
        }
    }

    fn finish(self, status: TransientStatus, state: State) -> Transient {
        Transient { status, samples: self.samples, reached: self.reached, state }
    }
}
