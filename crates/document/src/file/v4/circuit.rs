//! Circuits, sources, cycle and trial as they stand in the file.
//!
//! Lengths mm, levels and feed pressures kPa, flow L/min ANR, conductance dm³/(s·bar), times s, power W.

use super::values::{bare, there};
use super::{Origin, Sourced, Three, Two, format_types};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Arrangement {
    Central,
    PerCup,
    InLine,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum LineLength {
    Plan { slack_mm: f64 },
    Typed { mm: f64 },
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum FittingKind {
    Elbow90,
    Elbow45,
    TeeRun,
    TeeBranch,
    SweptRun,
    SweptBranch,
    Straight,
    WideBend,
}
/// `(Elbow90, 2)`, or with what it has of its own: `(Elbow90, 2, (bore_mm: Some(5.0)))`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct FittingUse(
    pub FittingKind,
    pub u32,
    #[serde(default, skip_serializing_if = "FittingOwn::is_none")] pub FittingOwn,
);
/// What a fitting has of its own.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct FittingOwn {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bore_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow: Option<Restriction>,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) enum FittingLoss {
    #[default]
    MoreCareful,
    Table,
    TwoConstant,
    ThreeConstant,
}
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum BlowOff {
    Usual,
    NotFitted,
    Valve { restriction: Restriction, feed_kpa: f64 },
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Fed {
    OneEnd,
    BothEnds,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) enum CurveFlow {
    #[default]
    Anr,
    Inlet,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum SourceKind {
    Ejector,
    Pump,
    Blower,
}
/// Level, flow.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) struct CurvePoint(pub f64, pub f64);
/// Feed pressure, share of flow, share of level, air used.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) struct FeedPoint(pub f64, pub f64, pub f64, pub f64);
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum TrialKind {
    Level { layout: u32, cup: u32 },
    TimeToLevel { circuit: u32, level_kpa: f64 },
    LeakDown { circuit: u32, from_kpa: f64, over_s: f64 },
    Friction { part: u32, lip_material: String },
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Stage {
    Baseline,
    Field,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum CurveKind {
    Evacuation,
    LeakDown,
}

format_types! {
    Circuit {
        id: u32,
        name: String,
        level_kpa: Sourced<f64>,
        #[serde(default, deserialize_with = "there", serialize_with = "bare", skip_serializing_if = "Option::is_none")]
        thresholds: Option<Thresholds>,
        #[serde(default, deserialize_with = "there", serialize_with = "bare", skip_serializing_if = "Option::is_none")]
        supply: Option<Supply>,
    }
    Thresholds {
        held_kpa: f64,
        #[serde(default, deserialize_with = "there", serialize_with = "bare", skip_serializing_if = "Option::is_none")]
        alarm_kpa: Option<f64>,
        saving_off_kpa: f64,
        time_out_s: f64,
        hold_s: f64,
    }
    Supply {
        source: String,
        arrangement: Arrangement,
        #[serde(default = "one", skip_serializing_if = "is_one")]
        sources: u32,
        feed_kpa: Sourced<f64>,
        at: Three,
        main: Line,
        #[serde(default, skip_serializing_if = "FittingLoss::is_plain")]
        fitting_loss: FittingLoss,
        #[serde(default)]
        manifold: Option<Manifold>,
        branch: Line,
        #[serde(default)]
        branches: Vec<BranchLine>,
        #[serde(default)]
        restrictor: Option<Restriction>,
        #[serde(default)]
        check_valve_at_cup: bool,
        #[serde(default)]
        filter: Option<Restriction>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        filter_at_cup: Option<Restriction>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        dust: Option<Dust>,
        #[serde(default)]
        valves: Vec<ZoneValve>,
        lip_gap_um: Sourced<f64>,
        #[serde(default)]
        area_gripper: Option<Cells>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cell_closing: Option<CellClosing>,
        #[serde(default)]
        operation: Operation,
    }
    Dust {
        load_g_m3: Sourced<f64>,
        capacity_g: Sourced<f64>,
        cleaned_h: Sourced<f64>,
    }
    CellClosing {
        at_nl_min: Sourced<f64>,
        leak_nl_min: Sourced<f64>,
    }
    /// Every figure has its default where it is left out.
    Operation {
        #[serde(default = "usual::valve_s")]
        valve_s: Sourced<f64>,
        #[serde(default = "usual::switch_s")]
        switch_s: Sourced<f64>,
        #[serde(default = "usual::blow_off")]
        blow_off: BlowOff,
        #[serde(default)]
        motors_stop: bool,
        #[serde(default)]
        vessel_ml: f64,
        #[serde(default = "usual::check_leak_nl_min")]
        check_leak_nl_min: Sourced<f64>,
        #[serde(default = "usual::check_leak_at_kpa")]
        check_leak_at_kpa: f64,
        #[serde(default)]
        exhaust: Option<Exhaust>,
    }
    Exhaust {
        bore_mm: f64,
        length_mm: f64,
        #[serde(default)]
        silencer: Option<Restriction>,
        flow_loss_per_kpa: Sourced<f64>,
        level_loss_per_kpa: Sourced<f64>,
    }
    Line {
        bore_mm: f64,
        length: LineLength,
        #[serde(default)]
        fittings: Vec<FittingUse>,
        #[serde(default)]
        coil: Option<Coil>,
    }
    Coil {
        turns: f64,
        diameter_mm: f64,
    }
    BranchLine {
        cup: u32,
        line: Line,
    }
    Manifold {
        at: Two,
        turn_deg: f64,
        length_mm: f64,
        bore_mm: f64,
        ports: u32,
        fed: Fed,
    }
    Restriction {
        c_dm3_s_bar: f64,
        b: f64,
    }
    ZoneValve {
        zone: String,
        restriction: Restriction,
        #[serde(default)]
        check_valve: bool,
        #[serde(default)]
        manifold: Option<Manifold>,
    }
    Cells {
        count: u32,
        bore_mm: f64,
        restrictor: Restriction,
    }
    /// A source.
    Source {
        id: String,
        name: String,
        kind: SourceKind,
        #[serde(default, skip_serializing_if = "CurveFlow::is_plain")]
        curve_flow: CurveFlow,
        curve: Vec<CurvePoint>,
        #[serde(default)]
        feed: Vec<FeedPoint>,
        #[serde(default)]
        rated_feed_kpa: f64,
        #[serde(default)]
        power_w: f64,
        #[serde(default)]
        straight_bore_mm: Option<f64>,
        #[serde(default)]
        air_saving: bool,
        #[serde(default)]
        volume_ml: f64,
        #[serde(default)]
        mass_g: f64,
        figures: Origin,
        #[serde(default)]
        on: String,
    }
    Cycle {
        picks_per_hour: Sourced<f64>,
        hold_s: Sourced<f64>,
        hours_per_year: Sourced<f64>,
        air_price_per_m3: Sourced<f64>,
        energy_price_per_kwh: Sourced<f64>,
        compressor_kwh_per_m3: Sourced<f64>,
        currency: String,
    }
    TrialEntry {
        what: TrialKind,
        value: f64,
        stage: Stage,
        #[serde(default)]
        on: String,
        #[serde(default)]
        by: String,
    }
    BaselineCurve {
        circuit: u32,
        #[serde(default)]
        cup: Option<u32>,
        kind: CurveKind,
        stage: Stage,
        #[serde(default)]
        on: String,
        points: Vec<Two>,
    }
}

/// What was measured; both lists may be left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Trial {
    pub entries: Vec<TrialEntry>,
    pub curves: Vec<BaselineCurve>,
}

/// What a cycle is when it is left out; all assumed.
pub(in crate::file) fn cycle() -> Cycle {
    let assumed = |value: f64| Sourced(value, Origin::Assumed, String::new());
    Cycle {
        picks_per_hour: assumed(600.0),
        hold_s: assumed(2.0),
        hours_per_year: assumed(4000.0),
        air_price_per_m3: assumed(0.025),
        energy_price_per_kwh: assumed(0.2),
        compressor_kwh_per_m3: assumed(0.113),
        currency: "EUR".to_owned(),
    }
}

/// Sources that a circuit has where nothing says otherwise.
const fn one() -> u32 {
    1
}
#[allow(clippy::trivially_copy_pass_by_ref, reason = "as serde calls it")]
const fn is_one(sources: &u32) -> bool {
    *sources == 1
}
impl FittingLoss {
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "as serde calls it")]
    pub(in crate::file) fn is_plain(&self) -> bool {
        *self == Self::default()
    }
}
impl FittingOwn {
    fn is_none(&self) -> bool {
        *self == Self::default()
    }
}
impl CurveFlow {
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "as serde calls it")]
    fn is_plain(&self) -> bool {
        *self == Self::Anr
    }
}

impl Default for Operation {
    fn default() -> Self {
        Self::from(&crate::Operation::default())
    }
}

/// What is taken where a file leaves a figure of the operation out.
mod usual {
    use super::{BlowOff, Operation, Sourced};

    pub(super) fn valve_s() -> Sourced<f64> {
        Operation::default().valve_s
    }
    pub(super) fn switch_s() -> Sourced<f64> {
        Operation::default().switch_s
    }
    pub(super) fn blow_off() -> BlowOff {
        Operation::default().blow_off
    }
    pub(super) fn check_leak_nl_min() -> Sourced<f64> {
        Operation::default().check_leak_nl_min
    }
    pub(super) fn check_leak_at_kpa() -> f64 {
        Operation::default().check_leak_at_kpa
    }
}
