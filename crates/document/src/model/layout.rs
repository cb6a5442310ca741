//! A layout: cups over a part, and what carries them.

use super::{Attached, CircuitId, CupId, FrameId, LayoutId, ModelId, PartId, Seat};
use glam::{DVec2, DVec3};
use std::sync::Arc;

/// One arrangement of cups over a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Never reused.
    pub id: LayoutId,
    /// For people.
    pub name: String,
    /// The part it carries; of several the first.
    pub part: PartId,
    /// Parts that it carries one after another, and where each lies on the tool. Empty where it carries its one part with
    /// the part's datum on the tool's: see [`Layout::all_seats`].
    pub seats: Vec<Seat>,
    /// In the order they were placed.
    pub cups: Vec<Cup>,
    /// What carries the cups: flange, fittings, frame.
    pub tool: Arc<Tool>,
    /// The question that it was proposed for, as a sentence; empty where a person placed its cups.
    pub proposed: String,
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
