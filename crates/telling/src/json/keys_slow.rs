//! Keys of what a motion is, of the slow figures and of the tool.

use serde::Serialize;
use serde_with::skip_serializing_none;

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct SiteJson {
    pub altitude_m: Option<f64>,
    pub temperature_c: Option<f64>,
    /// What the robot may carry at its flange, tool and part together.
    pub payload_kg: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct SpreadJson {
    pub friction: Option<f64>,
    pub stiffness: Option<f64>,
    pub lip: Option<f64>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct ChannelJson {
    /// n = sqrt(12 viscosity permeance/height^3) of level(x) = level cosh(n (l - x))/cosh(n l).
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub fall_per_m: f64,
    /// l, from the port to the end of the sealing line.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub half_length_mm: f64,
    /// Level at the ends over that at the port.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub end_share: f64,
    /// Mean level over that at the port.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub mean_share: f64,
}

/// What a person entered for a motion.
#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct EnteredJson {
    pub tilt_deg: Option<f64>,
    pub lowest_deg: Option<f64>,
    /// What is checked in its worst state.
    #[cfg_attr(test, schemars(extend("enum" = ["as_stated", "direction", "lowest", "tilt"])))]
    pub worst: &'static str,
    pub tilt_to_deg: Option<f64>,
    /// How many times the inertial part is counted; accelerations below are that much larger, the turn rate by
    /// its root.
    pub inertia_times: Option<f64>,
    /// Both: fixed acceleration and turn acceleration as stated and reversed, the turn at its rate and standing,
    /// the worst of them; as_stated: only as stated.
    #[cfg_attr(test, schemars(extend("enum" = ["both", "as_stated"])))]
    pub start_stop: &'static str,
    /// As stated, or the stated direction with the peak of stroke and time; before inertia_times and before the
    /// worst direction.
    pub stated_acceleration_m_s2: Option<[f64; 3]>,
    pub stroke: Option<StrokeJson>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct StrokeJson {
    pub stroke_mm: Option<f64>,
    pub time_s: Option<f64>,
    #[cfg_attr(test, schemars(extend("enum" = ["trapezoid", "cycloid", "quintic"])))]
    pub profile: &'static str,
    /// 4.5, 2 pi or 10/sqrt 3 times stroke over time squared.
    pub peak_m_s2: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct MotionSlowJson<'a> {
    /// What the best share of the load could carry, at its worst instant and in the worse reading of the factor;
    /// leaves out that a side load tilts a tall cup, so that there is less reserve than it says; absent when
    /// nothing limits it or it was not calculated.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub limit_factor: Option<f64>,
    /// no instant of the motion has a smaller limit factor than this: what was proved; absent when nothing was.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub limit_factor_at_least: Option<f64>,
    #[cfg_attr(test, schemars(extend("const" = true)))]
    pub limit_unlimited: Option<bool>,
    /// Factor with assumed inputs off by its spread, and which assumed inputs move it.
    pub factor_range: Option<RangeJson<'a>>,
    /// Every cup lost in turn and left open on its circuit, which lowers the level at its neighbours:
    /// levels_when_lost has what is left; without it every cup keeps its level.
    pub one_cup_lost: Vec<LostJson<'a>>,
    /// Every zone of more than one cup that is not the whole tool.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub zone_lost: Vec<LostJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct RangeJson<'a> {
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub least: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub most: Option<f64>,
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub inputs: &'a [String],
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct LostJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub tag: Option<&'a str>,
    pub zone: Option<&'a str>,
    /// First lip of the remaining cups; absent when they cannot carry the motion at all.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub factor: Option<f64>,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub limit_factor: Option<f64>,
    /// As of the motion, for what is left.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub limit_factor_at_least: Option<f64>,
    #[cfg_attr(test, schemars(extend("const" = true)))]
    pub limit_unlimited: Option<bool>,
    /// Cups that fail because of it, in their order.
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub then_lost: Vec<&'a str>,
    /// Whether the tool still holds the part in the end.
    pub holds: bool,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct LevelsWhenLostJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub tag: Option<&'a str>,
    pub zone: Option<&'a str>,
    /// Every remaining cup.
    pub cups: Vec<LevelLeftJson<'a>>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct LevelLeftJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub tag: &'a str,
    /// At its port.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub level_kpa: f64,
    /// Mean level times the area inside the sealing line: what the factor and the limit factor of that loss are
    /// worked out with.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub vacuum_force_n: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct EnvelopeJson<'a> {
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub held: String,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub required_factor: f64,
    pub weakest: EnvelopePointJson<'a>,
    pub up: EnvelopePointJson<'a>,
    pub down: EnvelopePointJson<'a>,
    /// Where another cup or limit begins to govern.
    pub governing: Vec<EnvelopePointJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct EnvelopePointJson<'a> {
    pub direction_deg: Option<f64>,
    /// Absent when nothing limits it.
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub acceleration_m_s2: Option<f64>,
    #[cfg_attr(test, schemars(length(min = 1)))]
    pub cup: Option<&'a str>,
    #[cfg_attr(test, schemars(extend("enum" = ["seal", "slide"])))]
    pub limit: Option<&'static str>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct RobotLoadJson<'a> {
    #[serde(flatten)]
    pub carried: CarriedJson,
    pub flange_mm: [f64; 3],
    pub empty: Option<CarriedJson>,
    pub loaded: CarriedJson,
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub payload_kg: Option<f64>,
    /// Items without a stated mass.
    #[cfg_attr(test, schemars(inner(length(min = 1))))]
    pub left_out: &'a [String],
}

#[derive(Serialize, Clone, Copy)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct CarriedJson {
    #[cfg_attr(test, schemars(range(min = 0)))]
    pub mass_kg: f64,
    /// From the flange's centre, tool axes.
    pub centre_mm: [f64; 3],
    /// Ixx, Iyy, Izz, Ixy, Ixz, Iyz about the flange's centre; products with plain sign.
    pub inertia_kg_m2: [f64; 6],
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct ToolJson<'a> {
    pub frame: Vec<FrameJson<'a>>,
    pub masses: Vec<MassJson<'a>>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct FrameJson<'a> {
    pub name: &'a str,
    #[cfg_attr(test, schemars(extend("enum" = ["rail", "plate"])))]
    pub kind: &'static str,
    pub mass_kg: Option<f64>,
    pub centre_mm: Option<[f64; 3]>,
    pub size_mm: Option<[f64; 2]>,
    pub turn_deg: Option<f64>,
}

#[skip_serializing_none]
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct MassJson<'a> {
    pub name: &'a str,
    pub mass_kg: Option<f64>,
    pub centre_mm: Option<[f64; 3]>,
    /// Sides of a block, zero for a point.
    pub size_mm: Option<[f64; 3]>,
}
