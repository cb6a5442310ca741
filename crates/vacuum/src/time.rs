//! Time: evacuation with cups sealing one after the other, release, and how long the level lasts without feed.

mod follow;
mod integrate;
mod rule;

pub use follow::{Change, Event, Follow, Reached, Sample, Stop, Transient, TransientStatus, Watch, follow};

use crate::leak::Leak;
use crate::network::{CupId, Network, NodeId, Problem};
use crate::solve::{Solution, State, Status, solve};
use crate::source::SourceCurve;
use crate::{Air, kg_s_from_nl_min};
use units::{AbsolutePressure, VacuumLevel};

/// Shares of the working level that an evacuation is timed to, unless others are asked for.
pub const USUAL_SHARES: [f64; 3] = [0.60, 0.75, 0.90];

/// How an evacuation is to be followed.
#[derive(Debug, Clone, PartialEq)]
pub struct Evacuation {
    /// Cups that are off the part at first, and when each lands on it, s.
    pub sealing: Vec<(CupId, f64)>,
    /// Shares of each cup's working level to time.
    pub shares: Vec<f64>,
    /// When to give up, s.
    pub until_s: f64,
    /// Error allowed in each step, kPa, root mean square over the nodes.
    pub accuracy_kpa: f64,
}

impl Default for Evacuation {
    /// All cups on the part from the start, 60, 75 and 90 %, up to 30 s.
    fn default() -> Self {
        Self {
            sealing: Vec::new(),
            shares: USUAL_SHARES.to_vec(),
            until_s: 30.0,
            accuracy_kpa: follow::USUAL_ACCURACY_KPA,
        }
    }
}

/// How fast the level arrives.
#[derive(Debug, Clone, PartialEq)]
pub struct EvacuationTimes {
    /// For each cup, the time to each share of its working level, s; `None` if not within the time followed.
    pub times_s: Vec<Vec<Option<f64>>>,
    /// Each cup's working level: the steady one with every cup that seals sealed.
    pub working: Vec<VacuumLevel>,
    /// The whole course.
    pub course: Transient,
}

impl EvacuationTimes {
    /// Time until every cup has reached its share, s: the time to wait for; `None` if one does not reach it.
    #[must_use]
    pub fn all_at_share(&self, share: usize) -> Option<f64> {
        let mut latest: f64 = 0.0;
        for times in &self.times_s {
            latest = latest.max((*times.get(share)?)?);
        }
        Some(latest)
    }
}

/// Why a course in time cannot be followed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TimeError {
    /// There is no working level to time against.
    #[error("the working level is not known: {0}")]
    NoWorkingLevel(String),
    /// The network with the release or fault in it is no network.
    #[error("{}", .0.first().map_or_else(String::new, ToString::to_string))]
    Problems(Vec<Problem>),
}

/// Follows the circuit from the atmosphere, all sources starting at once, and times each cup to shares of its working level.
///
/// Air is isothermal, the slow limit for release and a fair one for evacuation. The volumes are those of cups, hoses and
/// vessels ([`Network::volumes_cm3`]) with what cups give on their way down ([`Cup::down_at_kpa`](crate::Cup::down_at_kpa)).
///
/// # Errors
/// [`TimeError::NoWorkingLevel`] if the steady state with all cups sealed is not solved.
///
/// # Source
/// V dp/dt = R T (flow in), see [`follow`].
///
/// # Example
/// ```
/// use units::VacuumLevel;
/// use vacuum::*;
///
/// let mut circuit = NetworkBuilder::new(Air::default());
/// let vessel = circuit.vessel("vessel", 2000.0); // cm³
/// circuit.cup_at(Cup::tight("C1", 4.0), vessel);
/// let curve = SourceCurve::linear(72.0, VacuumLevel::from_kpa(85.0)); // L/min ANR, kPa
/// circuit.source("pump", vessel, Source::pump(curve, 250.0));
/// let network = circuit.build().expect("a cup and a pump");
/// let times = evacuate(&network, &Evacuation::default())?;
/// let to_90 = times.all_at_share(2).expect("reached");
/// // Constant volume flow S = 1.4078 L/s: V/S ln 10.
/// assert!((to_90 - 2.0 / 1.407_772 * 10.0_f64.ln()).abs() < 2e-3);
/// # Ok::<(), TimeError>(())
/// ```
pub fn evacuate(network: &Network, how: &Evacuation) -> Result<EvacuationTimes, TimeError> {
    let Landing { start, closed, events } = landing(network, &how.sealing);
    let working = levels(&closed, &solve(&closed, None))?;
    let watches = working.iter().enumerate().flat_map(|(cup, level)| {
        how.shares.iter().map(move |share| Watch {
            cup: CupId(cup),
            level: VacuumLevel::from_kpa(share * level.kpa()),
            rising: true,
        })
    });
    let course = follow(
        &start,
        None,
        &Follow {
            events,
            watches: watches.collect(),
            also_at: Vec::new(),
            until_s: how.until_s,
            stop: Stop::AllReached,
            accuracy_kpa: how.accuracy_kpa,
        },
    );
    let each = how.shares.len();
    let times_s = (0..working.len())
        .map(|cup| course.reached[cup * each..(cup + 1) * each].iter().map(|reached| reached.at_s).collect())
        .collect();
    Ok(EvacuationTimes { times_s, working, course })
}

/// A network before cups land, after, and when they do.
pub(crate) struct Landing {
    pub start: Network,
    pub closed: Network,
    pub events: Vec<Event>,
}

pub(crate) fn landing(network: &Network, sealing: &[(CupId, f64)]) -> Landing {
    let mut landing = Landing { start: network.clone(), closed: network.clone(), events: Vec::new() };
    for &(cup, at_s) in sealing {
        landing.start = landing.start.with_cup_open(cup, true);
        landing.closed = landing.closed.with_cup_open(cup, false);
        landing.events.push(Event { at_s, change: Change::CupOpen { cup, open: false } });
    }
    landing
}

fn levels(network: &Network, solution: &Solution) -> Result<Vec<VacuumLevel>, TimeError> {
    let levels: Option<Vec<_>> = solution.cups.iter().map(|cup| cup.level).collect();
    match (levels, &solution.status) {
        (Some(levels), Status::Solved | Status::Undetermined { .. }) => Ok(levels),
        _ => Err(TimeError::NoWorkingLevel(solution.says(network))),
    }
}

/// How a part is let go.
#[derive(Debug, Clone, PartialEq)]
pub struct Release {
    /// Where air is let in, and through what: a [`Leak::Vent`], or a [`Leak::Blow`] for blow-off.
    pub inlets: Vec<(NodeId, Leak)>,
    /// Level at which the part counts as let go.
    pub gone: VacuumLevel,
    /// When to give up, s.
    pub until_s: f64,
}

/// Time until each cup's level has gone after the sources stop and air is let in, s.
#[derive(Debug, Clone, PartialEq)]
pub struct ReleaseTimes {
    /// For each cup; `None` if not within the time followed.
    pub times_s: Vec<Option<f64>>,
    /// The whole course.
    pub course: Transient,
}

/// Stops all sources, lets air in, and times how fast each cup's level goes.
///
/// `from` is the state of a steady solution of the same network.
///
/// # Errors
/// [`TimeError::Problems`] if an inlet cannot be.
pub fn release(network: &Network, from: &State, how: &Release) -> Result<ReleaseTimes, TimeError> {
    let stopped = network.with_all_sources_running(false);
    let vented = stopped
        .edit(|circuit| {
            for (index, &(node, leak)) in how.inlets.iter().enumerate() {
                circuit.leak(&format!("release {}", index + 1), node, leak);
            }
        })
        .map_err(TimeError::Problems)?;
    let course = fall(&vented, from, &vec![how.gone; network.spec().cups().len()], how.until_s);
    Ok(ReleaseTimes { times_s: course.reached.iter().map(|reached| reached.at_s).collect(), course })
}

/// How long each cup keeps its level after the feed fails.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldTimes {
    /// For each cup, the time until its level falls below the one needed, s; `None` if it is still held at the end of the
    /// time followed.
    pub times_s: Vec<Option<f64>>,
    /// The whole course.
    pub course: Transient,
}

impl HoldTimes {
    /// The time until the first cup falls below, s; `None` if all hold.
    #[must_use]
    pub fn first(&self) -> Option<f64> {
        self.times_s.iter().flatten().copied().reduce(f64::min)
    }
}

/// Stops all sources and times how long each cup stays above a level needed.
///
/// Whether air comes back through a stopped source is its own [`way_back`](crate::Source::way_back); check valves in the circuit
/// hold what is behind them. `needed` stands in the order of the cups; cups that are open count as fallen. A cup stays as far
/// down as it goes: that it stretches again as its level falls would make the time longer, and cannot be counted on.
#[must_use]
pub fn hold(network: &Network, from: &State, needed: &[VacuumLevel], until_s: f64) -> HoldTimes {
    let stopped = network.with_all_sources_running(false).with_cups_down();
    let course = fall(&stopped, from, needed, until_s);
    HoldTimes { times_s: course.reached.iter().map(|reached| reached.at_s).collect(), course }
}

fn fall(network: &Network, from: &State, to: &[VacuumLevel], until_s: f64) -> Transient {
    let watches = to.iter().enumerate();
    let watches = watches.map(|(cup, &level)| Watch { cup: CupId(cup), level, rising: false }).collect();
    let how = Follow { watches, until_s, stop: Stop::AllReached, ..Follow::default() };
    follow(network, Some(from), &how)
}

/// Time in which a source empties one volume from one pressure to another against a constant leak, in closed form: the hand
/// check of an evacuation without hoses. `None` if the leak keeps it from getting there.
///
/// # Units
/// Volume cm³, leak in litres ANR per minute, result s.
///
/// # Source
/// A straight curve of flow ANR against level draws a constant volume flow S above its ultimate pressure:
/// t = V/S ln((p0 - pe)/(p1 - pe)), pe where source and leak balance (any vacuum text, e.g. O'Hanlon; Jousten). A curve of
/// another shape counts as straight.
///
/// ```
/// use units::{AbsolutePressure, STANDARD_ATMOSPHERE, VacuumLevel};
/// use vacuum::{Air, SourceCurve, emptying_time_s};
///
/// let curve = SourceCurve::linear(72.0, VacuumLevel::from_kpa(85.0)); // L/min ANR, kPa
/// let to = AbsolutePressure::from_kpa(40.0);
/// let t = emptying_time_s(2000.0, &curve, 0.0, STANDARD_ATMOSPHERE, to, &Air::default()).expect("it gets there");
/// assert!((t - 1.815_963).abs() < 1e-6); // s
/// ```
#[must_use]
pub fn emptying_time_s(
    volume_cm3: f64,
    source: &SourceCurve,
    leak_nl_min: f64,
    from: AbsolutePressure,
    to: AbsolutePressure,
    air: &Air,
) -> Option<f64> {
    let deepest_pa = source.ultimate.kpa() * 1e3;
    let free = kg_s_from_nl_min(source.free_flow_nl_min);
    let speed = free * air.rt() / deepest_pa;
    let balance = air.ambient_pa() - deepest_pa + kg_s_from_nl_min(leak_nl_min) * deepest_pa / free;
    let above = |p: AbsolutePressure| p.kpa() * 1e3 - balance;
    let time = volume_cm3 * 1e-6 / speed * (above(from) / above(to)).ln();
    (above(to) > 0.0 && time.is_finite()).then_some(time)
}

#[cfg(test)]
mod tests;
