//! What was measured on the real tool with the real part: entries of the trial sheet, and curves kept to compare with.

use super::{CircuitId, CupId, LayoutId, PartId};

/// What trials and later measurements in the field gave.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trial {
    /// In the order they were entered.
    pub entries: Vec<TrialEntry>,
    /// Level against time, as recorded.
    pub curves: Vec<BaselineCurve>,
}
/// One measured figure.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialEntry {
    /// What was measured, and on what.
    pub what: TrialKind,
    /// In the unit that `what` names.
    pub value: f64,
    /// Whether it is what later ones are compared with.
    pub stage: Stage,
    /// When, ISO 8601, or empty.
    pub on: String,
    /// Who measured it.
    pub by: String,
}
/// What a trial measures. The value's unit stands with each.
#[derive(Debug, Clone, PartialEq)]
pub enum TrialKind {
    /// Level at a cup with the part on, kPa.
    Level {
        /// Where the cup is.
        layout: LayoutId,
        /// The last one of its circuit, if it is one only.
        cup: CupId,
    },
    /// Time from switching on until the level is there, s.
    TimeToLevel {
        /// Which.
        circuit: CircuitId,
        /// Until this level, kPa.
        level_kpa: f64,
    },
    /// Level lost with the source off and the part on, kPa.
    LeakDown {
        /// Which.
        circuit: CircuitId,
        /// From this level, kPa.
        from_kpa: f64,
        /// In this time, s.
        over_s: f64,
    },
    /// Slide test: coefficient of friction, no unit.
    Friction {
        /// Of this part as it comes.
        part: PartId,
        /// As [`CupModel::material`](crate::CupModel::material) has it.
        lip_material: String,
    },
}
/// Whether a measurement is of the tool as taken into service or of later.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stage {
    /// As taken into service: replaces assumptions, and later ones are compared with it.
    Baseline,
    /// Later, in the field.
    Field,
}
/// Level against time of one circuit with the part on.
#[derive(Debug, Clone, PartialEq)]
pub struct BaselineCurve {
    /// Which.
    pub circuit: CircuitId,
    /// Where the level was read; `None` at the source.
    pub cup: Option<CupId>,
    /// What went on.
    pub kind: CurveKind,
    /// Whether it is what later ones are compared with.
    pub stage: Stage,
    /// When, ISO 8601, or empty.
    pub on: String,
    /// Time s rising from switching on or off, level kPa.
    pub points: Vec<(f64, f64)>,
}
/// What goes on while a curve is recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CurveKind {
    /// Source on.
    Evacuation,
    /// Source off.
    LeakDown,
}
