//! How a circuit is run, and what hangs on it besides hoses: times of valve and switch, blow-off, vessel, check valves that are
//! not quite tight, exhaust.

use super::{Restriction, SourceKind, Sourced};

/// A small valve by its coil, from the signal to air (common practice, no source: 10 to 50 ms).
const VALVE_S: f64 = 0.03;
/// A vacuum switch with the input of the control and its scan (common practice, no source: 5 to 40 ms).
const SWITCH_S: f64 = 0.02;
/// What a check valve with a soft seat lets back, L/min ANR, and the level at which it does (common practice, no source). A
/// tight one would flatter every figure of holding.
const CHECK_LEAK_NL_MIN: f64 = 0.005;
const CHECK_LEAK_AT_KPA: f64 = 60.0;
/// A blow-off valve with an opening of 2 mm, choked to the throttle that is set at it; fed with 400 kPa above the atmosphere
/// (common practice, no source).
const BLOW: Restriction = Restriction { c_dm3_s_bar: 0.5, b: 0.3 };
const BLOW_KPA: f64 = 400.0;
/// What an ejector loses of its flow and of its deepest level for each kPa of back-pressure (common practice, no source).
const FLOW_LOSS_PER_KPA: f64 = 0.02;
const LEVEL_LOSS_PER_KPA: f64 = 0.01;

/// How a circuit is run, and what hangs on it besides hoses.
#[derive(Debug, Clone, PartialEq)]
pub struct Operation {
    /// From the signal until air flows, or no longer flows, s.
    pub valve_s: Sourced<f64>,
    /// From the level at the switch until the control knows, s.
    pub switch_s: Sourced<f64>,
    /// What blows the part off.
    pub blow_off: BlowOff,
    /// Whether motors stop between picks; otherwise they run all through the cycle. Without meaning for an ejector.
    pub motors_stop: bool,
    /// Vessel between the source and the valves, ml; 0 without one. It has no place where each cup has its own source, and does not count
    /// there.
    pub vessel_ml: f64,
    /// What each check valve lets back at `check_leak_at_kpa`, L/min ANR.
    pub check_leak_nl_min: Sourced<f64>,
    /// Level behind a check valve that `check_leak_nl_min` is for, atmosphere in front, kPa.
    pub check_leak_at_kpa: f64,
    /// Hose and silencer behind each ejector; `None` where it blows out freely, as its curve was measured.
    pub exhaust: Option<Exhaust>,
}

/// What blows the part off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BlowOff {
    /// Nobody said: at an ejector a usual valve, at a pump or blower none.
    Usual,
    /// None is fitted.
    NotFitted,
    /// A valve.
    Valve {
        /// The valve with its throttle, open.
        restriction: Restriction,
        /// What it is fed with, above the atmosphere, kPa.
        feed_kpa: f64,
    },
}

/// Hose and silencer behind an ejector.
#[derive(Debug, Clone, PartialEq)]
pub struct Exhaust {
    /// Clear bore of the hose, mm.
    pub bore_mm: f64,
    /// Its length, mm.
    pub length_mm: f64,
    /// At its end.
    pub silencer: Option<Restriction>,
    /// Share of the flow lost for each kPa of back-pressure.
    pub flow_loss_per_kpa: Sourced<f64>,
    /// Share of the deepest level lost for each kPa of back-pressure.
    pub level_loss_per_kpa: Sourced<f64>,
}

impl Default for Operation {
    /// As it is taken where nobody said: every figure assumed, no vessel, a free exhaust.
    fn default() -> Self {
        Self {
            valve_s: Sourced::assumed(VALVE_S),
            switch_s: Sourced::assumed(SWITCH_S),
            blow_off: BlowOff::Usual,
            motors_stop: false,
            vessel_ml: 0.0,
            check_leak_nl_min: Sourced::assumed(CHECK_LEAK_NL_MIN),
            check_leak_at_kpa: CHECK_LEAK_AT_KPA,
            exhaust: None,
        }
    }
}

impl BlowOff {
    /// The valve with its feed pressure above the atmosphere in kPa, at a source of a kind; `None` without one.
    ///
    /// ```
    /// # use document::{BlowOff, SourceKind};
    /// assert_eq!(BlowOff::Usual.of(SourceKind::Ejector).unwrap().1, 400.0); // kPa
    /// assert_eq!(BlowOff::Usual.of(SourceKind::Pump), None);
    /// ```
    pub fn of(self, kind: SourceKind) -> Option<(Restriction, f64)> {
        match self {
            Self::Usual => (kind == SourceKind::Ejector).then_some((BLOW, BLOW_KPA)),
            Self::NotFitted => None,
            Self::Valve { restriction, feed_kpa } => Some((restriction, feed_kpa)),
        }
    }
    /// The usual valve, to begin with.
    pub fn valve() -> Self {
        Self::Valve { restriction: BLOW, feed_kpa: BLOW_KPA }
    }
}

impl Exhaust {
    /// A hose to begin with, of a bore in mm: 1 m, without a silencer, losses assumed.
    pub fn preset(bore_mm: f64) -> Self {
        Self {
            bore_mm,
            length_mm: 1000.0,
            silencer: None,
            flow_loss_per_kpa: Sourced::assumed(FLOW_LOSS_PER_KPA),
            level_loss_per_kpa: Sourced::assumed(LEVEL_LOSS_PER_KPA),
        }
    }
}
