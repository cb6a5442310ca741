//! How a part is let go: air let in or blown in, how long it takes, and what air that uses.

use super::{input::CircuitInput, lower::Built, operation};
use units::{AbsolutePressure, VacuumLevel};
use vacuum::{Leak, Network, Release, Solution, TransientStatus};

/// How long a release is followed, s.
const RELEASE_S: f64 = 60.0;
/// Share of its level below which a cup has let go.
const GONE: f64 = 0.05;
const S_PER_MIN: f64 = 60.0;

/// A part blown off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Blown {
    /// From the signal until every cup has let go, s.
    pub release_s: f64,
    /// Compressed air that takes, litres ANR: until the last cup has let go and the valve has shut again.
    pub air_nl: f64,
}

/// What came of a release.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum LetGo {
    /// Every cup has let go after this, s.
    After(f64),
    /// Followed to its end, some cup still holds.
    Not,
    /// It could not be followed.
    Unknown,
}

impl LetGo {
    /// s, where it lets go.
    pub(super) const fn seconds(self) -> Option<f64> {
        match self {
            Self::After(seconds) => Some(seconds),
            Self::Not | Self::Unknown => None,
        }
    }
}

/// What comes of it from the signal on: air comes in through the zones' valves, which open to the outside, and back
/// through the source; or it is blown in.
pub(super) fn released(
    (input, built): (&CircuitInput, &Built),
    (network, solution): (&Network, &Solution),
    blow: Option<Leak>,
) -> LetGo {
    match flowing(built, (network, solution), blow) {
        LetGo::After(time) => LetGo::After(operation::valve_s(input) + time),
        other => other,
    }
}

/// Time to let go once air flows.
fn flowing(built: &Built, (network, solution): (&Network, &Solution), blow: Option<Leak>) -> LetGo {
    let inlets = built.releases.iter();
    let inlets = inlets.filter_map(|(node, valve)| Some((*node, blow.or(valve.map(Leak::Vent))?)));
    let levels = solution.cups.iter().filter_map(|cup| cup.level);
    let deepest = levels.map(|level| level.kpa()).fold(0.0, f64::max);
    let gone = VacuumLevel::from_kpa(GONE * deepest);
    let how = Release { inlets: inlets.collect(), gone, until_s: RELEASE_S };
    let Ok(release) = vacuum::release(network, &solution.state, &how) else { return LetGo::Unknown };
    let all: Option<Vec<f64>> = release.times_s.into_iter().collect();
    match all.and_then(|all| all.into_iter().reduce(f64::max)) {
        Some(last) => LetGo::After(last),
        None if release.course.status == TransientStatus::Complete => LetGo::Not,
        None => LetGo::Unknown,
    }
}

/// The part blown off by every valve of the circuit; `None` without such a valve, or where it does not get to the cups.
///
/// The valve is choked for most of the time, so that it uses the same air all along.
pub(super) fn blown(input: &CircuitInput, built: &Built, solution: &Solution) -> Option<Blown> {
    let (through, gauge_kpa) = operation::blow_off(input)?;
    let time = flowing(built, (&built.network, solution), operation::blowing(input)).seconds()?;
    let feed = AbsolutePressure::from_kpa(gauge_kpa + input.air.ambient.kpa());
    let flow = through.flow(feed, AbsolutePressure::from_kpa(0.0), &input.air).nl_min;
    let valve_s = operation::valve_s(input);
    let open_s = time + valve_s;
    Some(Blown { release_s: valve_s + time, air_nl: flow * built.releases.len() as f64 * open_s / S_PER_MIN })
}
