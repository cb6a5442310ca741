//! The project: everything a person decided, nothing that is computed.

mod values;

use geometry::{LipShape, Loop, Outline};
use glam::{DVec2, DVec3};
use std::sync::Arc;
pub use values::*;

/// The project. Cheap to clone: everything large is shared.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    /// What it is called on screen and on the sheet.
    pub name: String,
    /// At least one.
    pub parts: Vec<Arc<Part>>,
    /// At least one: the alternatives.
    pub layouts: Vec<Arc<Layout>>,
    /// Load cases, in the order of the form.
    pub motions: Vec<Arc<Motion>>,
    /// Cups that share a source.
    pub circuits: Vec<Arc<Circuit>>,
    /// Every model a cup uses, and those kept at hand.
    pub models: Vec<Arc<CupModel>>,
    /// Where the tool works.
    pub site: Site,
    /// Limits of the findings.
    pub rules: Rules,
    /// Findings taken on with a reason.
    pub accepted: Vec<Accepted>,
    /// Title block.
    pub sheet: SheetFields,
    /// Highest number ever given to anything; ids are never reused.
    pub last_id: u32,
}

/// The thing picked up.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Never reused.
    pub id: PartId,
    /// For people.
    pub name: String,
    /// Boundary and holes, seen from the tool's side, mm.
    pub outline: Arc<Outline>,
    /// Where no lip may land.
    pub keep_outs: Vec<KeepOut>,
    /// The drawing the outline came from.
    pub drawing: Option<DrawingOrigin>,
    /// Name of the material, for people.
    pub material: String,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// How the mass is known.
    pub mass: MassBy,
    /// Stated centre of gravity (x, y, z) instead of the computed one, mm.
    pub centre_of_gravity: Option<Sourced<DVec3>>,
    /// Brackets, products in a tray.
    pub attached: Vec<Attached>,
    /// What the lips land on.
    pub surface: Surface,
    /// Friction coefficient lip on part for this surface, for every lip that `pairs` does not name.
    pub friction: Sourced<f64>,
    /// Friction of particular lip materials on this part, measured or stated.
    pub pairs: Vec<FrictionPair>,
    /// How easily air comes through the part, µm/(Pa·s); `None` for an airtight part.
    pub permeance_um_pa_s: Option<Sourced<f64>>,
    /// Height variation under one lip and between lips, mm.
    pub uneven_mm: f64,
    /// How well part and tool meet.
    pub placement: Placement,
}
/// Friction of one lip material on one part.
#[derive(Debug, Clone, PartialEq)]
pub struct FrictionPair {
    /// As [`CupModel::material`] has it.
    pub lip_material: String,
    /// Coefficient of friction on the part as its surface is stated.
    pub friction: Sourced<f64>,
}
/// An area where no lip may land: print, seam, emboss, weld, label.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOut {
    /// Unique within the part.
    pub id: KeepOutId,
    /// For people.
    pub name: String,
    /// Its boundary, mm.
    pub area: Arc<Loop>,
}
/// Where an outline came from; never a machine's path.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawingOrigin {
    /// File name without folders.
    pub file_name: String,
    /// Checksum of the file, hexadecimal.
    pub sha256: String,
    /// Unit that the drawing was read in.
    pub unit: String,
}
/// How the mass of a part is known.
#[derive(Debug, Clone, PartialEq)]
pub enum MassBy {
    /// Area times thickness times density.
    Density {
        /// kg/m³.
        kg_m3: Sourced<f64>,
    },
    /// Area times mass per area.
    Areal {
        /// kg/m².
        kg_m2: Sourced<f64>,
    },
    /// As weighed or as the drawing says.
    Stated {
        /// kg.
        kg: Sourced<f64>,
    },
}
/// A bracket, a product in a tray: point mass, or block when `size` is not zero. z = 0 is the face lips land on, + towards the tool.
#[derive(Debug, Clone, PartialEq)]
pub struct Attached {
    /// Unique within the part.
    pub id: AttachedId,
    /// For people.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Its centre, mm.
    pub at: DVec3,
    /// Sides of a block along the axes, mm; zero for a point.
    pub size: DVec3,
}
/// What the surface is like under a lip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Texture {
    /// Sheet, glass, planed board.
    Smooth,
    /// Embossed, ribbed, sawn.
    Structured,
    /// Air comes through: board, wood, textile.
    Porous,
    /// Thin limp film or foil that a lip would pull in.
    Film,
}
/// What lies on the surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Wetness {
    /// Nothing.
    Dry,
    /// Water.
    Damp,
    /// Oil or drawing compound.
    Oily,
}
/// What the lips land on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Surface {
    /// What it is like.
    pub texture: Texture,
    /// What lies on it.
    pub wetness: Wetness,
}
/// Required clearance = position + turn × reach + drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// How far the part may lie from its place, mm.
    pub position_mm: f64,
    /// How far it may be turned, degrees.
    pub turn_deg: f64,
    /// How far its edge may be from the drawing, mm.
    pub drawing_mm: f64,
}

/// One arrangement of cups over a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Never reused.
    pub id: LayoutId,
    /// For people.
    pub name: String,
    /// The part it carries.
    pub part: PartId,
    /// In the order they were placed.
    pub cups: Vec<Cup>,
    /// What carries the cups: flange, fittings, frame.
    pub tool: Arc<Tool>,
}
/// What carries the cups of a layout, for the robot's load and for the build team.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tool {
    /// Centre of the robot's flange: x, y on the plan, z above the plane of the lips, mm.
    pub flange: DVec3,
    /// Fittings, valves, sources, a coupling: masses that are neither cups nor frame. z = 0 is the plane of the lips, +
    /// towards the robot.
    pub masses: Vec<Attached>,
    /// Rails and plates that carry the cups.
    pub frame: Vec<FramePiece>,
}
/// A rail or a plate with slots or holes for the cups.
#[derive(Debug, Clone, PartialEq)]
pub struct FramePiece {
    /// Unique within the layout.
    pub id: FrameId,
    /// For people, and in the parts list.
    pub name: String,
    /// Start of a rail's centre line, first corner of a plate, mm.
    pub at: DVec2,
    /// Turn of its length from x, degrees, counter-clockwise.
    pub turn_deg: f64,
    /// Height of its middle above the plane of the lips, mm.
    pub height_mm: f64,
    /// What it is.
    pub shape: FrameShape,
}
/// What a piece of frame is. A pitch of 0 is an open slot: a cup may sit anywhere along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FrameShape {
    /// Carries cups on its centre line.
    Rail {
        /// Length as cut, mm.
        length_mm: f64,
        /// Width on the plan, mm.
        width_mm: f64,
        /// Distance of the places for cups, mm.
        pitch_mm: f64,
        /// From its start to the first place, mm.
        first_mm: f64,
        /// Mass per length, kg/m.
        kg_m: f64,
    },
    /// Carries cups on a grid.
    Plate {
        /// Along its turn, mm.
        length_mm: f64,
        /// Across, mm.
        width_mm: f64,
        /// Distance of the places for cups along and across, mm.
        pitch_mm: DVec2,
        /// From its corner to the first place, mm.
        first_mm: DVec2,
        /// Mass per area, kg/m².
        kg_m2: f64,
    },
}
/// One suction cup placed on the part.
#[derive(Debug, Clone, PartialEq)]
pub struct Cup {
    /// Unique within the layout.
    pub id: CupId,
    /// "C4": for people.
    pub tag: String,
    /// One of the project's models.
    pub model: ModelId,
    /// Centre, mm.
    pub at: DVec2,
    /// Turn of the lip's length axis from x, degrees, counter-clockwise.
    pub turn_deg: f64,
    /// Post height, mm: distance added between frame and cup.
    pub height_mm: f64,
    /// The source it hangs on.
    pub circuit: CircuitId,
    /// Cups of one zone are switched by one valve.
    pub zone: String,
    /// Not to be dragged by accident.
    pub locked: bool,
}

/// One load case.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    /// Never reused.
    pub id: MotionId,
    /// For people.
    pub name: String,
    /// How many times the real load must be carried.
    pub required_factor: f64,
    /// What it was made as.
    pub kind: MotionKind,
    /// Angle of the part's plane from level, degrees.
    pub tilt_deg: f64,
    /// Direction in the plan that is lowest when tilted, degrees from x.
    pub lowest_deg: f64,
    /// In the tool's frame, m/s². With a `stroke` only its direction counts.
    pub acceleration: DVec3,
    /// Size of the acceleration as the peak of a move of known stroke and time.
    pub stroke: Option<Stroke>,
    /// How many times the inertial part of the load is counted: 1, or 2 for a sudden start. Never set by itself.
    pub inertia_times: f64,
    /// About the tool's axes, °/s.
    pub turn_rate_deg_s: DVec3,
    /// About the tool's axes, °/s².
    pub turn_acceleration_deg_s2: DVec3,
    /// What it turns about, mm.
    pub pivot_mm: DVec3,
    /// What is taken in its worst state.
    pub worst: Worst,
}
/// A move from rest to rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// How far, mm.
    pub mm: f64,
    /// In what time, s.
    pub time_s: f64,
    /// How the speed goes.
    pub profile: MoveProfile,
}
/// How the speed of a move from rest to rest goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MoveProfile {
    /// A third speeding up, a third steady, a third slowing down.
    Trapezoid,
    /// Acceleration as a full sine.
    Cycloid,
    /// Polynomial of the fifth degree.
    Quintic,
}
/// What a motion was made as; labels and the form's field order only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MotionKind {
    /// Straight up, part level.
    LevelLift,
    /// Sideways, part level, any direction.
    LevelCarry,
    /// Part upright: friction carries.
    OnEdge,
    /// From level through upright to upside down.
    TurnOver,
    /// Stop from full speed.
    EmergencyStop,
    /// About the robot's axis.
    Swing,
    /// A known stroke in a known time.
    StrokeAndTime,
    /// Anything else.
    Free,
}
/// What is taken in its worst state instead of as stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Worst {
    /// Nothing: the figures as they are.
    AsStated,
    /// Direction in the plane of the acceleration (its x, y length is kept).
    Direction,
    /// Direction that is lowest when tilted.
    Lowest,
    /// Tilt from `tilt_deg` to this.
    TiltTo {
        /// Degrees.
        deg: f64,
    },
}

/// Cups that share one source.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// Never reused.
    pub id: CircuitId,
    /// For people.
    pub name: String,
    /// Vacuum level at the cups, kPa at sea level.
    pub level_kpa: Sourced<f64>,
}

/// A kind of cup.
#[derive(Debug, Clone, PartialEq)]
pub struct CupModel {
    /// Never reused.
    pub id: ModelId,
    /// For people.
    pub name: String,
    /// Outer lip under load, mm.
    pub shape: LipShape,
    /// Sealing line over outer size, 0.8-0.95.
    pub sealing_share: Sourced<f64>,
    /// Opening for the air, mm.
    pub bore_mm: f64,
    /// From the thread's face to the lip, unloaded, mm.
    pub height_mm: f64,
    /// How far it gives along its axis, mm.
    pub travel_mm: Sourced<f64>,
    /// Free height left under the cup for the air when it is drawn down, mm.
    pub channel_mm: Sourced<f64>,
    /// Folds of the bellows; 0 for a flat cup.
    pub folds: u8,
    /// Axial stiffness, N/mm.
    pub axial_n_mm: Sourced<f64>,
    /// Lateral stiffness, N/mm.
    pub lateral_n_mm: Sourced<f64>,
    /// 1 = tilt stiffness of the lip line; less for bellows.
    pub tilt_reduction: Sourced<f64>,
    /// Lip hardness, Shore A.
    pub hardness_shore_a: f64,
    /// What the lip is like.
    pub lip: LipKind,
    /// Line force the lip needs to stay sealed, N/mm.
    pub seal_minimum_n_mm: Sourced<f64>,
    /// Height variation under the lip itself that it closes, mm.
    pub closes_mm: f64,
    /// Surfaces it is meant for.
    pub allowed: Vec<Texture>,
    /// Of the lip, in generic words.
    pub material: String,
    /// How it is fastened.
    pub thread: String,
    /// Mass, g.
    pub mass_g: f64,
}
/// What a lip is like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LipKind {
    /// Moulded rubber edge.
    Plain,
    /// Very thin soft edge for film and bags.
    ThinFilm,
    /// Closed-cell foam ring.
    Foam,
}

/// Where the tool works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Above sea level, m.
    pub altitude_m: f64,
    /// Air, °C.
    pub temperature_c: f64,
    /// What the robot may carry at its flange, tool and part together, kg.
    pub payload_kg: Option<f64>,
}

/// Limits of the findings, editable per project.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// Lips closer than this are watched, mm.
    pub gap_watch_mm: f64,
    /// A factor below this times the required one is watched.
    pub factor_watch: f64,
    /// Centroid offset over the spread of the cups.
    pub centroid_offset_share: f64,
    /// Most over mean load of the cups.
    pub most_over_mean: f64,
    /// Share of the friction cone a lip may use when sliding and twisting (0.9).
    pub slide_share: f64,
    /// Tool and part above this share of the robot's payload are watched.
    pub payload_watch: f64,
    /// How far an assumed friction may be off, as a share of it, each way.
    pub friction_spread: f64,
    /// How far an assumed stiffness or tilt reduction may be off, as a share of it, each way.
    pub stiffness_spread: f64,
    /// How far an assumed sealing line or seal minimum may be off, as a share of it, each way.
    pub lip_spread: f64,
}
/// A finding taken on with a reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Accepted {
    /// Name of the rule, e.g. "seat.overhang".
    pub rule: String,
    /// Cups it is about.
    pub subject: Vec<CupId>,
    /// Motion it is about.
    pub motion: Option<MotionId>,
    /// Layout it is about.
    pub layout: LayoutId,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepted it.
    pub by: String,
    /// When, ISO 8601, or empty.
    pub on: String,
}

/// Title block (fields of ISO 7200).
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SheetFields {
    /// What the sheet shows.
    pub title: String,
    /// Legal owner.
    pub owner: String,
    /// Identification number.
    pub number: String,
    /// Revision index.
    pub revision: String,
    /// Who made it.
    pub created_by: String,
    /// Who approved it.
    pub approved_by: String,
    /// Date of issue.
    pub date: String,
    /// Kind of document.
    pub document_type: String,
    /// Earlier issues, oldest first.
    pub revisions: Vec<Revision>,
}
/// A line of the sheet's revision table.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Revision {
    /// "A".
    pub index: String,
    /// ISO 8601, or empty.
    pub date: String,
    /// Who made it.
    pub by: String,
    /// What changed.
    pub what: String,
}
