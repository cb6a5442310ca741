//! The project: everything a person decided, nothing that is computed.

use geometry::{LipShape, Loop, Outline};
use glam::{DVec2, DVec3};
use std::sync::Arc;

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident),+) => { $($(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);)+ };
}
id!(
    /// Never reused within a project.
    PartId, LayoutId, CupId, MotionId, CircuitId, KeepOutId, AttachedId
);
/// Name of a cup model in the library and in the project, e.g. "round-40-flat"; never reused.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ModelId(pub Arc<str>);

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Origin {
    Measured,
    Stated,
    Assumed,
}
/// A value that could have been assumed, and when it was entered (ISO date, may be empty).
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced<T> {
    pub value: T,
    pub origin: Origin,
    pub on: String,
}

/// The project. Cheap to clone: everything large is shared.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    pub name: String,
    pub parts: Vec<Arc<Part>>,
    pub layouts: Vec<Arc<Layout>>,
    pub motions: Vec<Arc<Motion>>,
    pub circuits: Vec<Arc<Circuit>>,
    /// Every model a cup uses, and those kept at hand.
    pub models: Vec<Arc<CupModel>>,
    pub site: Site,
    pub rules: Rules,
    pub accepted: Vec<Accepted>,
    pub sheet: SheetFields,
    /// Highest number ever given to anything; ids are never reused.
    pub last_id: u32,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub id: PartId,
    pub name: String,
    pub outline: Arc<Outline>,
    pub keep_outs: Vec<KeepOut>,
    pub drawing: Option<DrawingOrigin>,
    pub material: String,
    pub thickness_mm: f64,
    pub mass: MassBy,
    /// Stated centre of gravity (x, y, z) instead of the computed one.
    pub centre_of_gravity: Option<Sourced<DVec3>>,
    pub attached: Vec<Attached>,
    pub surface: Surface,
    /// Friction coefficient lip on part for this surface.
    pub friction: Sourced<f64>,
    /// Height variation under one lip and between lips, mm.
    pub uneven_mm: f64,
    /// How well part and tool meet.
    pub placement: Placement,
}
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOut {
    pub id: KeepOutId,
    pub name: String,
    pub area: Arc<Loop>,
}
#[derive(Debug, Clone, PartialEq)]
pub struct DrawingOrigin {
    pub file_name: String,
    pub sha256: String,
    pub unit: String,
}
#[derive(Debug, Clone, PartialEq)]
pub enum MassBy {
    Density { kg_m3: Sourced<f64> },
    Areal { kg_m2: Sourced<f64> },
    Stated { kg: Sourced<f64> },
}
/// A bracket, a product in a tray: point mass, or block when `size` is not zero. z = 0 is the face lips land on, + towards the tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Attached {
    pub id: AttachedId,
    pub name: String,
    pub mass_kg: f64,
    pub at: DVec3,
    pub size: DVec3,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Texture {
    Smooth,
    Structured,
    Porous,
    Film,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Wetness {
    Dry,
    Damp,
    Oily,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Surface {
    pub texture: Texture,
    pub wetness: Wetness,
}
/// Required clearance = position + turn × reach + drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    pub position_mm: f64,
    pub turn_deg: f64,
    pub drawing_mm: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    pub id: LayoutId,
    pub name: String,
    pub part: PartId,
    pub cups: Vec<Cup>,
}
#[derive(Debug, Clone, PartialEq)]
pub struct Cup {
    pub id: CupId,
    pub tag: String,
    pub model: ModelId,
    pub at: DVec2,
    pub turn_deg: f64,
    /// Post height, mm: distance added between frame and cup.
    pub height_mm: f64,
    pub circuit: CircuitId,
    pub zone: String,
    pub locked: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    pub id: MotionId,
    pub name: String,
    pub required_factor: f64,
    pub kind: MotionKind,
    /// Angle of the part's plane from level, and the direction in the plan that is lowest then.
    pub tilt_deg: f64,
    pub lowest_deg: f64,
    /// In the tool's frame, m/s².
    pub acceleration: DVec3,
    pub turn_rate_deg_s: DVec3,
    pub turn_acceleration_deg_s2: DVec3,
    pub pivot_mm: DVec3,
    pub worst: Worst,
}
/// What a motion was made as; labels and the form's field order only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MotionKind {
    LevelLift,
    LevelCarry,
    OnEdge,
    TurnOver,
    EmergencyStop,
    Swing,
    Free,
}
/// What is taken in its worst state instead of as stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Worst {
    AsStated,
    /// Direction in the plane of the acceleration (its x, y length is kept).
    Direction,
    /// Direction that is lowest when tilted.
    Lowest,
    /// Tilt from `tilt_deg` to this.
    TiltTo {
        deg: f64,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    pub id: CircuitId,
    pub name: String,
    /** kPa at sea level */
    pub level_kpa: Sourced<f64>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct CupModel {
    pub id: ModelId,
    pub name: String,
    pub shape: LipShape,
    /// Sealing line over outer size, 0.8-0.95.
    pub sealing_share: Sourced<f64>,
    pub bore_mm: f64,
    pub height_mm: f64,
    pub travel_mm: f64,
    pub folds: u8,
    pub axial_n_mm: Sourced<f64>,
    pub lateral_n_mm: Sourced<f64>,
    /// 1 = tilt stiffness of the lip line; less for bellows.
    pub tilt_reduction: Sourced<f64>,
    pub hardness_shore_a: f64,
    pub lip: LipKind,
    /// Line force the lip needs to stay sealed, N/mm.
    pub seal_minimum_n_mm: Sourced<f64>,
    /// Height variation under the lip itself that it closes, mm.
    pub closes_mm: f64,
    pub allowed: Vec<Texture>,
    pub material: String,
    pub thread: String,
    pub mass_g: f64,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LipKind {
    Plain,
    ThinFilm,
    Foam,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    pub altitude_m: f64,
    pub temperature_c: f64,
}

/// Limits of the findings (METHODS 13), editable per project.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    pub gap_watch_mm: f64,
    pub factor_watch: f64,
    pub centroid_offset_share: f64,
    pub most_over_mean: f64,
    /// Share of the friction cone a lip may use when sliding and twisting (0.9).
    pub slide_share: f64,
}
/// A finding taken on with a reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Accepted {
    pub rule: String,
    pub subject: Vec<CupId>,
    pub motion: Option<MotionId>,
    pub layout: LayoutId,
    pub reason: String,
    pub by: String,
    pub on: String,
}

/// Title block (fields of ISO 7200).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetFields {
    pub title: String,
    pub owner: String,
    pub number: String,
    pub revision: String,
    pub created_by: String,
    pub approved_by: String,
    pub date: String,
    pub document_type: String,
}
