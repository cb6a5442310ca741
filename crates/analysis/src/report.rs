//! What is known about one layout; every view, the sheet and `--json` print these fields and no others.

use document::{CupId, LayoutId, MotionId, Origin, PartId};
use glam::{DVec2, DVec3};

/// Fail > Watch > NotChecked > Advice > Ok in urgency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    Ok,
    Advice,
    NotChecked,
    Watch,
    Fail,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    pub layout: LayoutId,
    pub layout_name: String,
    pub verdict: Verdict,
    /// `None` when the outline or mass cannot be worked with (the findings say why).
    pub part: Option<PartReport>,
    pub cups: Vec<CupReport>,
    pub balance: Option<Balance>,
    pub motions: Vec<MotionReport>,
    pub findings: Vec<Finding>,
    pub assumptions: Vec<Assumption>,
    /// Figures that were not computed and why, e.g. ("limit factor", "...").
    pub not_checked: Vec<(String, String)>,
}
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    pub severity: Severity,
    pub sentence: String,
    /** second line: counts */
    pub detail: String,
    pub motion: Option<MotionId>,
    pub cup: Option<CupId>,
}
#[derive(Debug, Clone, PartialEq)]
pub struct PartReport {
    pub id: PartId,
    pub name: String,
    pub area_mm2: f64,
    pub perimeter_mm: f64,
    pub holes: usize,
    pub mass_kg: f64,
    pub centre_of_gravity_mm: DVec3,
    /** Ixx, Iyy, Izz, Ixy, Ixz, Iyz (products, plain sign) */
    pub inertia_kg_m2: [f64; 6],
    pub ix_mm4: f64,
    pub iy_mm4: f64,
    pub ixy_mm4: f64,
    pub bounds_mm: [f64; 4],
}
#[derive(Debug, Clone, PartialEq)]
pub struct CupReport {
    pub id: CupId,
    pub tag: String,
    pub model: String,
    pub at: DVec2,
    pub turn_deg: f64,
    pub circuit: String,
    pub zone: String,
    pub height_mm: f64,
    pub shape: geometry::LipShape,
    pub sealing: geometry::LipShape,
    pub line: geometry::LipLine,
    pub axial_n_mm: f64,
    pub lateral_n_mm: f64,
    pub tilt_nm_rad: [f64; 2],
    pub twist_nm_rad: f64,
    pub friction: f64,
    pub seal_minimum_n_mm: f64,
    pub slide_share: f64,
    pub clearance: Option<geometry::Clearance>,
    pub required_clearance_mm: f64,
    pub level_kpa: f64,
    pub vacuum_force_n: f64,
    /// Smallest over motions, with the motion's index in `Report::motions`; infinite when nothing pulls or slides it.
    pub worst: Option<(usize, mechanics::Factor)>,
}
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    pub cup_centre: DVec2,
    pub centroid_offset: DVec2,
    /** cup spread the offset is compared with, mm */
    pub spread: DVec2,
    pub inside_hull: bool,
    pub most_over_mean: f64,
    /** motion that has the largest most/mean */
    pub most_over_mean_motion: MotionId,
}
#[derive(Debug, Clone, PartialEq)]
pub struct MotionReport {
    pub id: MotionId,
    pub name: String,
    pub required_factor: f64,
    /// `Err` = why there is no figure (group cannot carry it, input missing).
    pub outcome: Result<MotionOutcome, String>,
}
#[derive(Debug, Clone, PartialEq)]
pub struct MotionOutcome {
    pub factor: f64,
    pub governing_cup: CupId,
    pub governing_limit: mechanics::LipLimit,
    /// The instant at which the governing cup is worst.
    pub instant: mechanics::Instant,
    pub wrench: mechanics::Wrench,
    pub cups: Vec<CupInMotion>,
}
/// At the motion's governing instant; `factor` is the cup's own worst over the sweep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CupInMotion {
    pub id: CupId,
    pub load: mechanics::CupLoad,
    pub factor: mechanics::Factor,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// e.g. "seat.overhang"; file name of the rule under `findings/`.
    pub rule: &'static str,
    pub severity: Severity,
    pub subject: Vec<CupId>,
    pub motion: Option<MotionId>,
    pub figure: Option<f64>,
    pub limit: Option<f64>,
    pub quantity: units::Quantity,
    pub says: String,
    pub remedy: String,
    pub accepted: Option<String>,
    /// A change that the remedy describes and the program can make ("Move C4 by (-6.2, 0.0) mm").
    pub fix: Option<Fix>,
}
#[derive(Debug, Clone, PartialEq)]
pub enum Fix {
    MoveCups(Vec<(CupId, DVec2)>),
}
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    pub what: String,
    pub value: f64,
    pub quantity: units::Quantity,
    pub origin: Origin,
    pub on: String,
}
