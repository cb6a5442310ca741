//! The part: its shape, what it weighs and what its surface is like.

use super::{AttachedId, KeepOutId, PartId, Sourced};
use geometry::{Loop, Outline};
use glam::DVec3;
use std::sync::Arc;

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
    /// Where places are counted from on what is handed out; `None` is the origin of the drawing.
    pub datum: Option<super::Datum>,
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
    /// How easily air comes through the part, µm/(Pa·s); `None` where nobody said, 0 for an airtight part.
    pub permeance_um_pa_s: Option<Sourced<f64>>,
    /// Modulus of elasticity of a flat sheet that bends, N/mm²; `None` for a part that is taken as rigid.
    pub modulus_n_mm2: Option<Sourced<f64>>,
    /// Poisson's ratio of a sheet that bends; `None` where nobody said.
    pub poisson: Option<Sourced<f64>>,
    /// Modulus across the direction that the first one is of, N/mm²; `None` where the sheet is the same in every direction.
    pub modulus_across_n_mm2: Option<Sourced<f64>>,
    /// Direction of the first modulus of a sheet with two, degrees from x.
    pub along_deg: f64,
    /// Bending stress that the material may have, N/mm²; `None` where nobody said, or where a standard decides, as for glass.
    pub allowable_n_mm2: Option<Sourced<f64>>,
    /// Damping ratio with which the sheet rings; `None` where nobody said.
    pub damping: Option<Sourced<f64>>,
    /// Whether attached blocks keep the sheet below them from bending.
    pub stiff_blocks: bool,
    /// Height variation under one lip and between lips, mm.
    pub uneven_mm: f64,
    /// How well part and tool meet.
    pub placement: Placement,
}
/// Friction of one lip material on one part.
#[derive(Debug, Clone, PartialEq)]
pub struct FrictionPair {
    /// As [`crate::CupModel::material`] has it.
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
    /// Sides of a block along its axes, mm; zero for a point.
    pub size: DVec3,
    /// Turn of the block about an upright line through its centre, degrees from x, counter-clockwise.
    pub turn_deg: f64,
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
