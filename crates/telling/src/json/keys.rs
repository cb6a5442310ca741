//! The keys of the object, in the order in which they are written.

use super::bending::BendingJson;
use super::circuit::VacuumJson;
use super::keys_slow::*;
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
pub(super) struct CheckJson<'a> {
    pub format: u32,
    pub program: &'a str,
    pub file: &'a str,
    pub project: &'a str,
    pub verdict: VerdictJson,
    pub site: SiteJson,
    pub spread: SpreadJson,
    pub layouts: Vec<LayoutJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct UnreadJson<'a> {
    pub format: u32,
    pub program: &'a str,
    pub file: &'a str,
    pub unread: &'a str,
    pub verdict: VerdictJson,
}

#[derive(Serialize)]
pub(super) struct VerdictJson {
    pub severity: &'static str,
    pub sentence: String,
    pub detail: String,
}

#[derive(Serialize)]
pub(super) struct ApprovalJson {
    pub by: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub on: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mark: Option<&'static str>,
    pub open: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct LayoutJson<'a> {
    pub name: &'a str,
    pub verdict: VerdictJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub approval: Option<ApprovalJson>,
    /// The age of each slow figure.
    pub slow_figures: BTreeMap<&'static str, &'static str>,
    pub parts: Vec<PartJson<'a>>,
    pub cups: Vec<CupJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub counted_as_sealed: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub balance: Option<BalanceJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bending: Option<BendingJson<'a>>,
    pub motions: Vec<MotionJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub envelope_m_s2: Option<Vec<[f64; 2]>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub envelope: Option<EnvelopeJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub levels_when_lost: Vec<LevelsWhenLostJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tool: Option<ToolJson<'a>>,
    pub vacuum: VacuumJson<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub robot_load: Option<RobotLoadJson<'a>>,
    pub findings: Vec<FindingJson<'a>>,
    pub assumptions: Vec<AssumptionJson<'a>>,
    pub not_checked: Vec<NotCheckedJson<'a>>,
}

#[derive(Serialize)]
#[allow(non_snake_case, reason = "the keys of the object")]
pub(super) struct SecondMomentsJson {
    pub Ix: f64,
    pub Iy: f64,
    pub Ixy: f64,
}

#[derive(Serialize)]
pub(super) struct PartJson<'a> {
    pub name: &'a str,
    pub area_mm2: f64,
    pub perimeter_mm: f64,
    pub holes: usize,
    pub bounds_mm: [f64; 4],
    pub mass_kg: f64,
    pub centre_of_gravity_mm: [f64; 3],
    pub inertia_kg_m2: [f64; 6],
    pub second_moments_mm4: SecondMomentsJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub permeance_um_pa_s: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct CupJson<'a> {
    pub tag: &'a str,
    pub model: &'a str,
    pub at_mm: [f64; 2],
    pub turn_deg: f64,
    pub circuit: &'a str,
    pub zone: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub height_mm: Option<f64>,
    pub shape: &'static str,
    pub outer_mm: [f64; 2],
    pub sealing_mm: [f64; 2],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corner_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sealing_corner_mm: Option<f64>,
    pub lip_area_mm2: f64,
    pub lip_length_mm: f64,
    pub lip_mean_radius_mm: f64,
    pub lip_second_moments_mm3: [f64; 2],
    pub axial_n_mm: f64,
    pub lateral_n_mm: f64,
    pub tilt_nm_rad: [f64; 2],
    pub twist_nm_rad: f64,
    pub side_lever_mm: f64,
    pub friction: f64,
    pub seal_minimum_n_mm: f64,
    pub slide_share: f64,
    pub uneven_friction: UnevenJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clearance_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub required_clearance_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nearest: Option<&'static str>,
    pub level_kpa: f64,
    pub vacuum_force_n: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub channel: Option<ChannelJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lip_width_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub channel_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub model_height_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_factor: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_factor_motion: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_factor_required: Option<f64>,
}

/// Constants of the friction under the uneven pressure that tilt makes.
#[derive(Serialize)]
pub(super) struct UnevenJson {
    pub slide: f64,
    pub twist: f64,
    pub apart: f64,
    pub tilt: [f64; 2],
}

#[derive(Serialize)]
pub(super) struct BalanceJson<'a> {
    pub cup_centre_mm: [f64; 2],
    pub centroid_offset_mm: [f64; 2],
    pub spread_mm: [f64; 2],
    pub inside_hull: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_over_mean: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_over_mean_motion: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct MotionJson<'a> {
    pub name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub required_factor: Option<f64>,
    #[serde(flatten)]
    pub entered: Option<EnteredJson>,
    #[serde(flatten)]
    pub outcome: Option<OutcomeJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct OutcomeJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub factor: Option<f64>,
    pub governing_cup: &'a str,
    pub governing_limit: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub factor_whole_load: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub factor_weight_once: Option<f64>,
    pub governing_reading: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub favourable_weight: Option<f64>,
    pub governing_state: StateJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub governing_at_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub governs: Option<&'a str>,
    pub gravity_m_s2: [f64; 3],
    pub acceleration_m_s2: [f64; 3],
    pub turn_rate_rad_s: [f64; 3],
    pub turn_acceleration_rad_s2: [f64; 3],
    pub pivot_mm: [f64; 3],
    pub about_mm: [f64; 3],
    pub force_n: [f64; 3],
    pub tipping_moment_nm: [f64; 2],
    pub twist_nm: f64,
    pub cups: Vec<CupLoadJson<'a>>,
    #[serde(flatten)]
    pub slow: Option<MotionSlowJson<'a>>,
}

/// How many times each part of a motion is taken as entered.
#[derive(Serialize)]
pub(super) struct StateJson {
    pub acceleration: f64,
    pub turn_rate: f64,
    pub turn_acceleration: f64,
}

#[derive(Serialize)]
pub(super) struct CupLoadJson<'a> {
    pub tag: &'a str,
    pub pull_n: f64,
    pub slide_n: [f64; 2],
    pub tilt_nm: [f64; 2],
    pub twist_nm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub factor: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct FindingJson<'a> {
    pub rule: &'a str,
    pub severity: &'static str,
    pub subject: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub motion: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub figure: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<&'static str>,
    pub says: &'a str,
    pub remedy: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub accepted: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct AssumptionJson<'a> {
    pub what: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    pub unit: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    pub on: &'a str,
}

#[derive(Serialize)]
pub(super) struct NotCheckedJson<'a> {
    pub what: &'a str,
    pub why: &'a str,
}
