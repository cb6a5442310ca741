//! Following a network through time, with things that happen on the way.

use super::integrate::{Integrator, Step};
use crate::network::{CupId, ElementId, Network, SourceId};
use crate::solve::State;
use units::VacuumLevel;

/// Error allowed in each step where none is stated, kPa.
pub(crate) const USUAL_ACCURACY_KPA: f64 = 0.0005;

/// Smallest error that can be asked for, kPa: rounding is not far below.
const FINEST_KPA: f64 = 1e-8;
/// Nothing is followed for longer, s: a week. What is asked for longer ends at once, not converged.
const LONGEST_S: f64 = 604_800.0;
/// No step is longer than this share of the whole time, so that curves can be drawn.
const LONGEST_SHARE: f64 = 0.05;

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

/// How to follow a network.
#[derive(Debug, Clone, PartialEq)]
pub struct Follow {
    /// What happens on the way.
    pub events: Vec<Event>,
    /// Levels whose times are asked for.
    pub watches: Vec<Watch>,
    /// How long to follow it, s; a week at most.
    pub until_s: f64,
    /// Stop once all watched levels have been reached.
    pub stop_when_reached: bool,
    /// Error allowed in each step, kPa.
    pub accuracy_kpa: f64,
}

impl Default for Follow {
    /// Nothing happens, nothing is watched, for 10 s.
    fn default() -> Self {
        Self {
            events: Vec::new(),
            watches: Vec::new(),
            until_s: 10.0,
            stop_when_reached: false,
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
/// V dp/dt = R T (flow in) at every node, by the implicit rule TR-BDF2 (Bank et al., IEEE Trans. Electron Devices 32, 1985)
/// with its embedded error estimate, filtered for stiffness (Hosea & Shampine, Appl. Numer. Math. 20, 1996; both from
/// memory): no step's error exceeds `accuracy_kpa` at any node. Times in between by a cubic through pressures and slopes.
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
            record.step(&current, start, step);
            !(how.stop_when_reached && record.all_reached())
        });
        time = end;
        state = Some(integrator.state());
        match ended {
            Err(at) => {
                return record
                    .finish(TransientStatus::NotConverged { at_s: start + at }, state.unwrap_or_default());
            }
            Ok(stopped) => {
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
}

impl Record {
    fn new(how: &Follow) -> Self {
        let reached = how.watches.iter().map(|&watch| Reached { watch, at_s: None }).collect();
        Self { samples: Vec::new(), reached }
    }

    fn all_reached(&self) -> bool {
        !self.reached.is_empty() && self.reached.iter().all(|reached| reached.at_s.is_some())
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

    fn step(&mut self, network: &Network, start: f64, step: &Step) {
        let ambient = network.air().ambient_pa();
        self.sample(network, start + step.from_s + step.length_s, step.after);
        for reached in self.reached.iter_mut().filter(|reached| reached.at_s.is_none()) {
            let Some(placed) = network.spec().cups().get(reached.watch.cup.index()) else { continue };
            let node = placed.node.index();
            let wanted = ambient - reached.watch.level.kpa() * 1e3;
            let (before, after) = (step.before[node], step.after[node]);
            let crossed = if reached.watch.rising { after <= wanted } else { after >= wanted };
            if crossed {
                let slopes =
                    (step.slope_before[node] * step.length_s, step.slope_after[node] * step.length_s);
                let share = crossing(before, after, slopes, wanted);
                reached.at_s = Some(start + step.from_s + share * step.length_s);
            }
        }
    }

    fn finish(self, status: TransientStatus, state: State) -> Transient {
        Transient { status, samples: self.samples, reached: self.reached, state }
    }
}

/// Where in a step (0 to 1) a cubic with these values and slopes at its ends passes a value between them.
fn crossing(before: f64, after: f64, slopes: (f64, f64), wanted: f64) -> f64 {
    if before == after {
        return 0.0;
    }
    let chord = after - before;
    // A cubic that does not run one way (Fritsch & Carlson 1980) would be worse than the chord.
    let one_way = |slope: f64| (0.0..=3.0).contains(&(slope / chord));
    let (a, b) = if one_way(slopes.0) && one_way(slopes.1) { slopes } else { (chord, chord) };
    let value = |s: f64| {
        let (s2, s3) = (s * s, s * s * s);
        before + a * (s3 - 2.0 * s2 + s) + b * (s3 - s2) + chord * (3.0 * s2 - 2.0 * s3)
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if (value(middle) - wanted) * chord > 0.0 { high = middle } else { low = middle }
    }
    0.5 * (low + high)
}
