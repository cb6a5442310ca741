//! The keys of a circuit, in the order in which they are written.

use super::elements::{DustJson, ElementJson};
use crate::json::network::{CycleJson, NetworkJson};
use crate::json::supply::SupplyJson;
use serde::Serialize;
use serde_with::skip_serializing_none;

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct VacuumJson<'a> {
    /// Reference state of every flow and amount of air in this object: litres of air with the mass that a litre
    /// has there, 1.185 kg/m³.
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub flows_of: &'static str,
    /// Cycles, hold time and prices behind the cost; prices in the currency, air per m³ ANR.
    pub cycle: CycleJson<'a>,
    pub circuits: Vec<CircuitJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct CircuitJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub name: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["stated", "solved", "not converged", "undetermined", "invalid"])))]
    pub status: &'static str,
    /// Why there is no result.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub says: Vec<&'a str>,
    /// Level stated for the circuit, at the site's atmosphere.
    pub wanted_level_kpa: Option<f64>,
    /// At the switch, which sits at the first source; absent without figures.
    pub levels: Option<LevelsJson>,
    /// At the first source.
    pub source_level_kpa: Option<f64>,
    /// Drawn by all sources.
    pub flow_nl_min: Option<f64>,
    /// Compressed air while on.
    pub air_nl_min: Option<f64>,
    pub power_w: Option<f64>,
    pub supply: Option<SupplyJson<'a>>,
    pub cups: Vec<CircuitCupJson<'a>>,
    /// A hose and each kind of its fittings apart.
    pub elements: Vec<ElementJson<'a>>,
    pub sources: Vec<CircuitSourceJson<'a>>,
    pub manifolds: Vec<ManifoldJson<'a>>,
    pub hoses: Vec<HoseJson<'a>>,
    /// For the controls: what switches which cups.
    pub zones: Vec<ZoneJson<'a>>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub air_nl_per_pick: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub energy_wh_per_pick: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub energy_kwh_per_year: Option<f64>,
    pub cost_per_year: Option<f64>,
    /// Until some factor is 1 after the feed fails; absent when longer than ten minutes or not known.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub hold_time_s: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub hold_time_with_check_valve_s: Option<f64>,
    /// Share of its design level that each cup has when the factor of some motion reaches 1: the hold times are
    /// from the design level to that.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub hold_level_share: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub release_s: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub release_blow_off_s: Option<f64>,
    /// Compressed air of one blow-off, counted in air_nl_per_pick.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub blow_off_nl_per_pick: Option<f64>,
    /// From the signal until the part is released, by blow-off where there is one.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub pick_s: Option<f64>,
    /// How long the source draws in one cycle.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub running_s: Option<f64>,
    /// How long motors run in one cycle.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub motors_run_s: Option<f64>,
    /// With how many cups open something comes about: a required factor missed, the part drops (a lip with a
    /// factor below 1 fails until the rest holds), another cup of the circuit below the required level. Open
    /// cups carry nothing. number 0: so with none open. cups: worst first; of one open cup every
    /// choice is tried, of more the worst next one. none instead of number: never, or no motion to tell by.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(test, schemars(extend("minItems" = 3, "maxItems" = 3)))]
    pub open_cups: Vec<OpenUntilJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub one_cup_open: Vec<OpenJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub helps: Vec<HelpJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub arrangements: Vec<ArrangementJson<'a>>,
    pub controls: Option<ControlsJson>,
    /// Level at the worst cup against the running hours since the filters were cleaned.
    pub dust: Option<DustJson>,
    /// The circuit as it was solved: times and cost can be recalculated from it, with operation and cycle.
    pub network: Option<NetworkJson<'a>>,
}

/// Without a number where it never comes about, or nothing tells.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct OpenUntilJson<'a> {
    #[cfg_attr(test, schemars(extend("enum" = ["until a required factor is missed", "until the part drops", "until the level is lost"])))]
    pub says: &'static str,
    pub number: Option<usize>,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub cups: Option<Vec<&'a str>>,
    #[cfg_attr(test, schemars(extend("enum" = ["never", "no motion"])))]
    pub none: Option<&'static str>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct CircuitCupJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub tag: &'a str,
    pub level_kpa: f64,
    /// Level that the cup's figures are calculated at.
    pub design_level_kpa: f64,
    /// Its level against the required level, as the finding circuit.level judges it.
    #[cfg_attr(test, schemars(extend("enum" = ["ok", "watch", "fail"])))]
    pub against_wanted: &'static str,
    pub leak_nl_min: f64,
    /// Until 90 % of its working level.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub time_to_level_s: Option<f64>,
    /// Cells of an area gripper; the vacuum force counts the share of them that is covered.
    pub cells: Option<u32>,
    /// Cells that lie off the part and draw air from outside.
    pub cells_open: Option<u32>,
    /// Of those, cells that have closed because they drew too much.
    pub cells_closed: Option<u32>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct BackPressureJson {
    pub back_pressure_kpa: f64,
    pub flow_left: f64,
    pub level_left: f64,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct CircuitSourceJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub name: &'a str,
    pub level_kpa: f64,
    pub flow_nl_min: f64,
    pub deepest_kpa: f64,
    /// Back-pressure of hose and silencer behind an ejector at free flow, and the
    /// shares of free flow and deepest level that leaves.
    pub exhaust: Option<BackPressureJson>,
    pub at_mm: Option<[f64; 3]>,
    /// Level kPa, flow L/min ANR.
    pub curve: Vec<[f64; 2]>,
    /// Leakage of the circuit with the source's port at that level.
    pub leak_curve: Vec<[f64; 2]>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct ManifoldJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub name: &'a str,
    pub port_levels_kpa: Vec<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct HoseJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub name: &'a str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub from: &'a str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub to: &'a str,
    pub bore_mm: Option<f64>,
    pub cut_length_mm: Option<f64>,
    pub fittings: String,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct ZoneJson<'a> {
    pub zone: &'a str,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub cups: Vec<&'a str>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub valve: Option<&'a str>,
    pub check_valve: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct OpenJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub tag: &'a str,
    pub least_level_kpa: f64,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub least_at: &'a str,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub then_lost: Vec<&'a str>,
    pub holds: bool,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct HelpJson {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub what: String,
    pub worst_level_kpa_from: f64,
    pub worst_level_kpa_to: f64,
    pub open_level_kpa_from: Option<f64>,
    pub open_level_kpa_to: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct ArrangementJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub name: &'a str,
    #[cfg_attr(test, schemars(range(min = 1)))]
    pub sources: usize,
    pub worst_level_kpa: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub time_to_level_s: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub air_nl_per_pick: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub air_nl_per_pick_saving: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub energy_kwh_per_year: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub energy_kwh_per_year_saving: f64,
    pub cost_per_year: f64,
    pub cost_per_year_saving: f64,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct LevelsJson {
    /// The level the circuit reaches, or the stated one.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub steady_kpa: f64,
    /// What factors are calculated at.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub design_kpa: f64,
    /// Below it the machine stops with a part held.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub alarm_kpa: f64,
    /// What the switch waits for, as stated.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub switch_held_kpa: Option<f64>,
    #[cfg_attr(test, schemars(extend("enum" = ["switch", "share_of_steady", "stated"])))]
    pub design_from: &'static str,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(in crate::json) struct ControlsJson {
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub held_kpa: f64,
    /// Lowest level at which every required factor is met.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub alarm_kpa: f64,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub saving_off_kpa: f64,
    /// From the signal until the controller sees the part as held.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub held_s: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub time_out_s: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub hold_s: Option<f64>,
}
