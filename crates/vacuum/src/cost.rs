//! What the vacuum costs: air and energy per pick and per year.

use crate::network::{Network, SourceId};
use crate::solve::{State, solve};
use crate::source::SourceError;
use crate::time::{Evacuation, Follow, Landing, Stop, Watch, follow, landing};
use units::{AbsolutePressure, VacuumLevel};

/// J in a kWh.
const J_PER_KWH: f64 = 3.6e6;

/// What makes the compressed air.
///
/// # Example
/// ```
/// use units::AbsolutePressure;
/// use vacuum::Compressor;
///
/// let works = Compressor { line_kpa: 700.0, inlet: AbsolutePressure::from_kpa(100.0), efficiency: 0.7 };
/// assert!((works.electric_kwh_m3() - 0.1127).abs() < 1e-4);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compressor {
    /// Pressure of the works' line above the atmosphere, kPa: air is compressed to this, whatever an ejector is fed with.
    pub line_kpa: f64,
    /// Pressure at its inlet.
    pub inlet: AbsolutePressure,
    /// Isentropic work over electric work, losses of motor, drier and line included; 0.5 to 0.75 in good works.
    pub efficiency: f64,
}

impl Compressor {
    /// Work of isentropic compression, kWh per m³ at the inlet.
    ///
    /// # Source
    /// Any thermodynamics text: 3.5 p1 ((p2/p1)^(2/7) - 1).
    #[must_use]
    pub fn isentropic_kwh_m3(&self) -> f64 {
        let p = self.inlet.kpa() * 1e3;
        3.5 * p * (self.ratio().powf(1.0 / 3.5) - 1.0) / J_PER_KWH
    }

    /// Electric energy, kWh per m³ at the inlet.
    #[must_use]
    pub fn electric_kwh_m3(&self) -> f64 {
        self.isentropic_kwh_m3() / self.efficiency
    }

    fn ratio(&self) -> f64 {
        (self.line_kpa + self.inlet.kpa()) / self.inlet.kpa()
    }
}

/// Ejectors that stop at a level and start again at another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSaving {
    /// Level at every cup at which the sources stop.
    pub stop: VacuumLevel,
    /// Level at any cup at which they start again.
    pub restart: VacuumLevel,
}

/// One pick, and how many.
#[derive(Debug, Clone, PartialEq)]
pub struct Picking {
    /// From the start of evacuation to release, s.
    pub vacuum_s: f64,
    /// Picks in a year.
    pub picks_per_year: f64,
    /// Air saving, if there is any.
    pub saving: Option<AirSaving>,
    /// From a level at the switch until the air follows: delay of the switch and response of the valve, s.
    pub reaction_s: f64,
    /// How long motors run in one pick, s: a whole cycle; `None` where they stop and start with the vacuum.
    pub motors_run_s: Option<f64>,
    /// Compressed air that is blown off in one pick, litres ANR.
    pub blown_nl: f64,
    /// How cups land.
    pub evacuation: Evacuation,
    /// What makes the compressed air.
    pub compressor: Compressor,
    /// Price of a kWh, in any currency.
    pub price_per_kwh: f64,
}

/// What the vacuum costs.
#[derive(Debug, Clone, PartialEq)]
pub struct PickCost {
    /// How long the sources draw in one pick, s.
    pub running_s: f64,
    /// How long motors run in one pick, s.
    pub motors_run_s: f64,
    /// Whether air saving ever stopped them.
    pub saves: bool,
    /// Starts in one pick.
    pub starts: f64,
    /// Compressed air in one pick, what is blown off included, litres ANR.
    pub air_nl: f64,
    /// Energy in one pick, compressed air and motors, Wh.
    pub energy_wh: f64,
    /// Compressed air in a year, m³ ANR.
    pub air_per_year_m3: f64,
    /// Energy in a year, kWh.
    pub energy_per_year_kwh: f64,
    /// Its price in a year.
    pub price_per_year: f64,
}

/// Why there is no cost.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CostError {
    /// A source is not usable.
    #[error(transparent)]
    Source(#[from] SourceError),
    /// A figure cannot be.
    #[error("the {what} is {value}; it must be more than 0")]
    Figure {
        /// Which.
        what: &'static str,
        /// Its value.
        value: f64,
    },
}

/// Air and energy of one pick and of a year.
///
/// With air saving the circuit is followed until every cup is at the stop level, left alone until one is at the restart
/// level, and brought back, each time on until switch and valve have reacted; what is left of the pick goes on in the same proportion. If the stop level is not reached within the
/// pick, nothing is saved, and [`PickCost::saves`] says so.
///
/// # Errors
/// A source without a curve, a figure that must be more than 0.
pub fn pick_cost(network: &Network, picking: &Picking) -> Result<PickCost, CostError> {
    let figures = [
        ("time under vacuum", picking.vacuum_s),
        ("efficiency of the compressor", picking.compressor.efficiency),
        ("line pressure of the compressor", picking.compressor.line_kpa),
    ];
    for (what, value) in figures {
        if !(value.is_finite() && value > 0.0) {
            return Err(CostError::Figure { what, value });
        }
    }
    let (running_s, starts, saves) = match picking.saving {
        None => (picking.vacuum_s, 1.0, false),
        Some(saving) => running(network, picking, saving),
    };
    let (mut air_per_min, mut power_w) = (0.0, 0.0);
    for named in network.spec().sources().iter().filter(|named| named.source.running) {
        air_per_min += named.source.consumption_nl_min(&network.air())?;
        power_w += named.source.power_w();
    }
    let air_nl = air_per_min * running_s / 60.0 + picking.blown_nl.max(0.0);
    let motors_run_s = picking.motors_run_s.map_or(running_s, |whole| whole.max(running_s));
    let energy_wh = air_nl * picking.compressor.electric_kwh_m3() + power_w * motors_run_s / 3600.0;
    let energy_per_year_kwh = energy_wh * 1e-3 * picking.picks_per_year;
    Ok(PickCost {
        running_s,
        motors_run_s,
        saves,
        starts,
        air_nl,
        energy_wh,
        air_per_year_m3: air_nl * 1e-3 * picking.picks_per_year,
        energy_per_year_kwh,
        price_per_year: energy_per_year_kwh * picking.price_per_kwh,
    })
}

/// How long the sources run, how often they start, and whether they stop at all.
fn running(network: &Network, picking: &Picking, saving: AirSaving) -> (f64, f64, bool) {
    let Landing { start, closed, events } = landing(network, &picking.evacuation.sealing);
    let leg = |network: &Network, from: Option<&State>, level, stop, until_s, events| {
        let watches = network.spec().cup_ids();
        let watches = watches.map(|cup| Watch { cup, level, rising: stop == Stop::AllReached }).collect();
        let how = Follow { events, watches, until_s, stop, ..Follow::default() };
        Leg::of(network, from, &how, picking.reaction_s)
    };
    let whole = picking.vacuum_s;
    let up = leg(&start, None, saving.stop, Stop::AllReached, whole, events);
    let Some(up) = up.filter(|up| up.time_s < whole) else { return (whole, 1.0, false) };
    let left = whole - up.time_s;
    let stopped = closed.with_all_sources_running(false);
    let down = leg(&stopped, Some(&up.state), saving.restart, Stop::FirstReached, left, Vec::new());
    let Some(down) = down.filter(|down| down.time_s < left) else { return (up.time_s, 1.0, true) };
    let again = leg(&closed, Some(&down.state), saving.stop, Stop::AllReached, whole, Vec::new());
    let Some(again) = again else { return (whole - down.time_s, 2.0, true) };
    let rounds = left / (down.time_s + again.time_s);
    (up.time_s + rounds * again.time_s, 1.0 + rounds, true)
}

/// From one switching to the next.
struct Leg {
    time_s: f64,
    state: State,
}

impl Leg {
    /// Follows to the level that switches, and on until the switch and the valve have reacted; `None` if it is not reached.
    fn of(network: &Network, from: Option<&State>, how: &Follow, reaction_s: f64) -> Option<Self> {
        let course = follow(network, from, how);
        let times = course.reached.iter().map(|reached| reached.at_s);
        let reached = match how.stop {
            Stop::FirstReached => times.flatten().reduce(f64::min),
            Stop::AllReached | Stop::AtEnd => {
                times.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::max)
            }
        };
        let time_s = reached?;
        if reaction_s <= 0.0 {
            return Some(Self { time_s, state: course.state });
        }
        let on = Follow { until_s: reaction_s, ..Follow::default() };
        let state = follow(network, Some(&course.state), &on).state;
        Some(Self { time_s: time_s + reaction_s, state })
    }
}

/// Air that each source uses while it runs, litres ANR per minute, and its motor's power, W.
///
/// # Errors
/// A source without a curve.
pub fn consumption(network: &Network) -> Result<Vec<(SourceId, f64, f64)>, SourceError> {
    let spec = network.spec();
    let each = spec.source_ids().zip(spec.sources());
    each.map(|(id, named)| Ok((id, named.source.consumption_nl_min(&network.air())?, named.source.power_w())))
        .collect()
}

/// The level below which no cup falls while all stay on the part: the deepest stop level that air saving can be set to.
#[must_use]
pub fn deepest_common_level(network: &Network) -> Option<VacuumLevel> {
    solve(network, None).worst_cup(network).map(|(_, level)| level)
}

#[cfg(test)]
mod tests;
