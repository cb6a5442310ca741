//! What air and energy a circuit takes.

use super::{
    coupling::SnapshotCircuit,
    input::CircuitInput,
    lower::{self, Built},
    operation,
    release::{Blown, blown},
};
use crate::report::{ArrangementCost, ArrangementFigures, ControlsReport};
use document::{Arrangement, Cycle, Supply};
use units::{AbsolutePressure, VacuumLevel};
use vacuum::{AirSaving, Compressor, Evacuation, Network, Picking, pick_cost};

/// Air saving where nothing says otherwise: stops at this share of the level that all cups reach, starts again at that.
const STOP: f64 = 0.95;
const RESTART: f64 = 0.85;
/// How long an evacuation is followed, s.
const FOLLOWED_S: f64 = 30.0;
/// Index of 90 % among the usual shares.
const TO_90: usize = 2;
const L_PER_M3: f64 = 1e3;
const W_PER_KW: f64 = 1e3;
const S_PER_H: f64 = 3600.0;

/// What one pick takes and what that makes in a year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cost {
    /// `None` without an ejector.
    pub air_nl: Option<f64>,
    pub energy_wh: f64,
    pub energy_kwh_per_year: f64,
    pub cost_per_year: f64,
    /// From switching on until the signal to release, s.
    pub vacuum_s: f64,
    /// Of the source, s.
    pub running_s: f64,
    /// `None` without a motor.
    pub motors_run_s: Option<f64>,
}

/// What else a pick's cost follows from.
type Also<'a> = (Option<&'a ControlsReport>, Option<Blown>);

/// Of a circuit as it is; air is saved where its source can.
pub(crate) fn of(circuit: &SnapshotCircuit, built: &Built, also: Also<'_>) -> Option<Cost> {
    let saving = circuit.input.model.0.air_saving;
    cost(&circuit.input, built, saving, also).map(|(cost, _)| cost)
}

/// Central and one source per cup side by side.
pub(crate) fn against(
    circuit: &SnapshotCircuit,
    controls: Option<&ControlsReport>,
) -> Option<ArrangementCost> {
    let figures = |arrangement: Arrangement, name: &str| {
        let supply = Supply { arrangement, ..Supply::clone(&circuit.input.supply.0) };
        let input = circuit.input.supplied(supply);
        let built = lower::network(&input).ok()?;
        let solution = vacuum::solve(&built.network, None);
        let (_, worst) = solution.worst_cup(&built.network)?;
        let also = (controls, blown(&input, &built, &solution));
        let (all_on, to_90_s) = cost(&input, &built, false, also)?;
        let (saving, _) = cost(&input, &built, true, also)?;
        Some(ArrangementFigures {
            name: name.to_owned(),
            sources: built.sources.len(),
            worst_level_kpa: worst.kpa(),
            to_90_s,
            air_nl_per_pick: all_on.air_nl.unwrap_or(0.0),
            air_nl_per_pick_saving: saving.air_nl.unwrap_or(0.0),
            energy_kwh_per_year: all_on.energy_kwh_per_year,
            energy_kwh_per_year_saving: saving.energy_kwh_per_year,
            cost_per_year: all_on.cost_per_year,
            cost_per_year_saving: saving.cost_per_year,
        })
    };
    Some(ArrangementCost {
        central: figures(Arrangement::Central, "central")?,
        per_cup: figures(Arrangement::PerCup, "one source per cup")?,
    })
}

/// Cost of a network over the project's cycle, with the time to 90 % at the slowest cup from the signal on. The pick lasts
/// from switching on until release: the response of the valve, that time, the delay of the switch and the hold time of the
/// cycle. Motors run through the whole cycle unless they are stated to stop.
fn cost(
    input: &CircuitInput,
    built: &Built,
    saving: bool,
    (controls, blown): Also<'_>,
) -> Option<(Cost, Option<f64>)> {
    // While air is saved check valves keep the level.
    let network = &built.with_check_valves(&input.supply.0)?;
    let cycle = &input.cycle;
    // A cycle that cannot be gives no cost.
    let stated = [
        cycle.picks_per_hour.value,
        cycle.hours_per_year.value,
        cycle.hold_s.value,
        cycle.air_price_per_m3.value,
        cycle.energy_price_per_kwh.value,
        cycle.compressor_kwh_per_m3.value,
    ];
    if stated.iter().any(|value| !value.is_finite() || *value < 0.0) {
        return None;
    }
    let evacuation = Evacuation { until_s: FOLLOWED_S, ..Evacuation::default() };
    let to_90_s = vacuum::evacuate(network, &evacuation).ok().and_then(|times| times.all_at_share(TO_90));
    let (valve_s, switch_s) = (operation::valve_s(input), operation::switch_s(input));
    let vacuum_s = valve_s + to_90_s.unwrap_or(0.0) + switch_s + cycle.hold_s.value;
    let cycle_s = S_PER_H / cycle.picks_per_hour.value;
    let runs_on = !input.supply.0.operation.motors_stop && cycle_s.is_finite();
    let picking = Picking {
        vacuum_s,
        picks_per_year: picks_per_year(cycle),
        saving: saving.then(|| air_saving(input, network, controls)).flatten(),
        reaction_s: switch_s + valve_s,
        motors_run_s: runs_on.then_some(cycle_s),
        blown_nl: blown.map_or(0.0, |blown| blown.air_nl),
        evacuation,
        // Energy is reckoned from the cycle's own figure, below.
        compressor: Compressor { line_kpa: 700.0, inlet: AbsolutePressure::from_kpa(100.0), efficiency: 0.7 },
        price_per_kwh: cycle.energy_price_per_kwh.value,
    };
    let pick = pick_cost(network, &picking).ok()?;
    let power_w: f64 = network.spec().sources().iter().map(|named| named.source.power_w()).sum();
    let air_m3 = pick.air_nl / L_PER_M3;
    let motor_wh = power_w * pick.motors_run_s / S_PER_H;
    let energy_wh = air_m3 * cycle.compressor_kwh_per_m3.value * W_PER_KW + motor_wh;
    let picks = picking.picks_per_year;
    let per_pick =
        air_m3 * cycle.air_price_per_m3.value + motor_wh / W_PER_KW * cycle.energy_price_per_kwh.value;
    let cost = Cost {
        air_nl: (pick.air_nl > 0.0).then_some(pick.air_nl),
        energy_wh,
        energy_kwh_per_year: energy_wh / W_PER_KW * picks,
        cost_per_year: per_pick * picks,
        vacuum_s,
        running_s: pick.running_s,
        motors_run_s: (power_w > 0.0).then_some(pick.motors_run_s),
    };
    let finite = [cost.energy_wh, cost.energy_kwh_per_year, cost.cost_per_year];
    finite.iter().all(|value| value.is_finite()).then_some((cost, to_90_s.map(|time| time + valve_s)))
}

fn picks_per_year(cycle: &Cycle) -> f64 {
    cycle.picks_per_hour.value * cycle.hours_per_year.value
}

/// Where air saving stops and starts the sources: as the circuit's thresholds say, else as the controls could be set, within
/// what all cups reach.
fn air_saving(
    input: &CircuitInput,
    network: &Network,
    controls: Option<&ControlsReport>,
) -> Option<AirSaving> {
    let reached = vacuum::deepest_common_level(network)?.kpa();
    let (restart, stop) = match (&input.thresholds, controls) {
        (Some(stated), _) => (stated.held_kpa, stated.saving_off_kpa),
        (None, Some(controls)) => (controls.held_kpa, controls.saving_off_kpa),
        (None, None) => (RESTART * reached, STOP * reached),
    };
    let stop = stop.min(STOP * reached);
    let restart = restart.min(RESTART / STOP * stop);
    (restart > 0.0)
        .then(|| AirSaving { stop: VacuumLevel::from_kpa(stop), restart: VacuumLevel::from_kpa(restart) })
}
