//! Keys of what a motion is, of the slow figures and of the tool.

use serde::Serialize;

#[derive(Serialize)]
pub(super) struct SiteJson {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub altitude_m: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature_c: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub payload_kg: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct SpreadJson {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub friction: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stiffness: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lip: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct ChannelJson {
    pub fall_per_m: f64,
    pub half_length_mm: f64,
    pub end_share: f64,
    pub mean_share: f64,
}

/// What a person entered for a motion.
#[derive(Serialize)]
pub(super) struct EnteredJson {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tilt_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lowest_deg: Option<f64>,
    pub worst: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tilt_to_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inertia_times: Option<f64>,
    pub start_stop: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stated_acceleration_m_s2: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stroke: Option<StrokeJson>,
}

#[derive(Serialize)]
pub(super) struct StrokeJson {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stroke_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time_s: Option<f64>,
    pub profile: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak_m_s2: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct MotionSlowJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_factor: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_factor_at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_unlimited: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub factor_range: Option<RangeJson<'a>>,
    pub one_cup_lost: Vec<LostJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub zone_lost: Vec<LostJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct RangeJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<f64>,
    pub inputs: &'a [String],
}

#[derive(Serialize)]
pub(super) struct LostJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tag: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub factor: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_factor: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_factor_at_least: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_unlimited: Option<bool>,
    pub then_lost: Vec<&'a str>,
    pub holds: bool,
}

#[derive(Serialize)]
pub(super) struct LevelsWhenLostJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tag: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zone: Option<&'a str>,
    pub cups: Vec<LevelLeftJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct LevelLeftJson<'a> {
    pub tag: &'a str,
    pub level_kpa: f64,
    pub vacuum_force_n: f64,
}

#[derive(Serialize)]
pub(super) struct EnvelopeJson<'a> {
    pub held: &'a str,
    pub required_factor: f64,
    pub weakest: EnvelopePointJson<'a>,
    pub up: EnvelopePointJson<'a>,
    pub down: EnvelopePointJson<'a>,
    pub governing: Vec<EnvelopePointJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct EnvelopePointJson<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub direction_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub acceleration_m_s2: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cup: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<&'static str>,
}

#[derive(Serialize)]
pub(super) struct RobotLoadJson<'a> {
    #[serde(flatten)]
    pub carried: CarriedJson,
    pub flange_mm: [f64; 3],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub empty: Option<CarriedJson>,
    pub loaded: CarriedJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub payload_kg: Option<f64>,
    pub left_out: &'a [String],
}

#[derive(Serialize, Clone, Copy)]
pub(super) struct CarriedJson {
    pub mass_kg: f64,
    pub centre_mm: [f64; 3],
    pub inertia_kg_m2: [f64; 6],
}

#[derive(Serialize)]
pub(super) struct ToolJson<'a> {
    pub frame: Vec<FrameJson<'a>>,
    pub masses: Vec<MassJson<'a>>,
}

#[derive(Serialize)]
pub(super) struct FrameJson<'a> {
    pub name: &'a str,
    pub kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub centre_mm: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_deg: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct MassJson<'a> {
    pub name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mass_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub centre_mm: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size_mm: Option<[f64; 3]>,
}
