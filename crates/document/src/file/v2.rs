//! Format 2 as it stands in the file: what format 1 has, and strokes of motions, pairs and permeance of parts, channel and
//! sourced travel of models, the tool, the payload, revisions, and what feeds a circuit. What did not change is taken over
//! from [`super::v1`].
//! These types never change once released: a later format gets its own file, and `migrate` brings this one up to it.
//!
//! Lengths mm, angles degrees, masses kg (cups: g), pressures kPa, accelerations m/s², stiffness N/mm, permeance µm/(Pa·s).

mod circuit;

use super::v1::format_types;
pub(crate) use super::v1::{
    Accepted, Attached, Cup, Drawing, KeepOut, LipKind, Mass, Origin, Outline, Placement, Shape, Sourced,
    Surface, Texture, Three, Two, Vertex, Wetness, Worst,
};
pub(crate) use circuit::*;
use circuit::{bare, there};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum MotionKind {
    LevelLift,
    LevelCarry,
    OnEdge,
    TurnOver,
    EmergencyStop,
    Swing,
    StrokeAndTime,
    Free,
}
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub(crate) enum StartStop {
    #[default]
    Both,
    AsStated,
}
fn is_both(start_stop: &StartStop) -> bool {
    *start_stop == StartStop::Both
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum MoveProfile {
    Trapezoid,
    Cycloid,
    Quintic,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum FrameShape {
    Rail { length_mm: f64, width_mm: f64, pitch_mm: f64, first_mm: f64, kg_m: f64 },
    Plate { length_mm: f64, width_mm: f64, pitch_mm: Two, first_mm: Two, kg_m2: f64 },
}

format_types! {
    /// The whole file.
    Project {
        format: u32,
        name: String,
        last_id: u32,
        site: Site,
        rules: Rules,
        #[serde(default = "cycle")]
        cycle: Cycle,
        #[serde(default)]
        sheet: Sheet,
        parts: Vec<Part>,
        #[serde(default)]
        circuits: Vec<Circuit>,
        #[serde(default)]
        motions: Vec<Motion>,
        layouts: Vec<Layout>,
        #[serde(default)]
        trial: Trial,
        #[serde(default)]
        accepted: Vec<Accepted>,
        #[serde(default)]
        models: Vec<Model>,
        #[serde(default)]
        sources: Vec<Source>,
    }
    Site {
        altitude_m: f64,
        temperature_c: f64,
        #[serde(default)]
        payload_kg: Option<f64>,
    }
    Rules {
        gap_watch_mm: f64,
        factor_watch: f64,
        centroid_offset_share: f64,
        most_over_mean: f64,
        slide_share: f64,
        #[serde(default = "payload_watch")]
        payload_watch: f64,
        #[serde(default = "friction_spread")]
        friction_spread: f64,
        #[serde(default = "stiffness_spread")]
        stiffness_spread: f64,
        #[serde(default = "lip_spread")]
        lip_spread: f64,
        #[serde(default = "supply_margin")]
        supply_margin: f64,
        #[serde(default = "level_spread")]
        level_spread: f64,
        #[serde(default = "element_loss")]
        element_loss: f64,
        // Left out where it is as usual, so that what was written before stays as it is.
        #[serde(default = "favourable_weight", skip_serializing_if = "is_usual_weight")]
        favourable_weight: f64,
    }
    Part {
        id: u32,
        name: String,
        #[serde(default)]
        material: String,
        thickness_mm: f64,
        mass: Mass,
        #[serde(default)]
        centre_of_gravity: Option<Sourced<Three>>,
        surface: Surface,
        friction: Sourced<f64>,
        #[serde(default)]
        pairs: Vec<Pair>,
        #[serde(default)]
        permeance_um_pa_s: Option<Sourced<f64>>,
        #[serde(default)]
        uneven_mm: f64,
        placement: Placement,
        #[serde(default)]
        attached: Vec<Attached>,
        #[serde(default)]
        keep_outs: Vec<KeepOut>,
        #[serde(default)]
        drawing: Option<Drawing>,
        outline: Outline,
    }
    /// Friction of one lip material on the part.
    Pair {
        lip_material: String,
        friction: Sourced<f64>,
    }
    Motion {
        id: u32,
        name: String,
        kind: MotionKind,
        required_factor: f64,
        tilt_deg: f64,
        lowest_deg: f64,
        acceleration: Three,
        #[serde(default)]
        stroke: Option<Stroke>,
        #[serde(default = "inertia_times")]
        inertia_times: f64,
        turn_rate_deg_s: Three,
        turn_acceleration_deg_s2: Three,
        pivot_mm: Three,
        worst: Worst,
        // Left out: both.
        #[serde(default, skip_serializing_if = "is_both")]
        start_stop: StartStop,
    }
    Stroke {
        mm: f64,
        time_s: f64,
        profile: MoveProfile,
    }
    Layout {
        id: u32,
        name: String,
        part: u32,
        cups: Vec<Cup>,
        // Left out: the preset for the part.
        #[serde(default, deserialize_with = "there", serialize_with = "bare", skip_serializing_if = "Option::is_none")]
        tool: Option<Tool>,
    }
    /// What carries the cups.
    Tool {
        flange: Three,
        #[serde(default)]
        masses: Vec<Attached>,
        #[serde(default)]
        frame: Vec<FramePiece>,
    }
    FramePiece {
        id: u32,
        name: String,
        at: Two,
        #[serde(default)]
        turn_deg: f64,
        height_mm: f64,
        shape: FrameShape,
    }
    Model {
        id: String,
        name: String,
        shape: Shape,
        sealing_share: Sourced<f64>,
        bore_mm: f64,
        height_mm: f64,
        travel_mm: Sourced<f64>,
        #[serde(default = "channel_mm")]
        channel_mm: Sourced<f64>,
        folds: u8,
        axial_n_mm: Sourced<f64>,
        lateral_n_mm: Sourced<f64>,
        tilt_reduction: Sourced<f64>,
        hardness_shore_a: f64,
        lip: LipKind,
        seal_minimum_n_mm: Sourced<f64>,
        closes_mm: f64,
        allowed: Vec<Texture>,
        #[serde(default)]
        material: String,
        #[serde(default)]
        thread: String,
        #[serde(default)]
        mass_g: f64,
    }
}

/// Title block; every field may be left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Sheet {
    pub title: String,
    pub owner: String,
    pub number: String,
    pub revision: String,
    pub created_by: String,
    pub approved_by: String,
    pub date: String,
    pub document_type: String,
    pub revisions: Vec<Revision>,
}
/// A line of the revision table; every field may be left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Revision {
    pub index: String,
    pub date: String,
    pub by: String,
    pub what: String,
}

// What a field is when it is left out, and what format 1 meant by not having it.

pub(super) fn payload_watch() -> f64 {
    0.85
}
pub(super) fn friction_spread() -> f64 {
    0.2
}
pub(super) fn stiffness_spread() -> f64 {
    0.3
}
pub(super) fn lip_spread() -> f64 {
    0.05
}
pub(super) fn supply_margin() -> f64 {
    0.25
}
pub(super) fn level_spread() -> f64 {
    0.05
}
pub(super) fn element_loss() -> f64 {
    0.1
}
pub(super) fn favourable_weight() -> f64 {
    0.9
}
fn is_usual_weight(share: &f64) -> bool {
    *share == favourable_weight()
}
/// Not a sudden start.
pub(super) fn inertia_times() -> f64 {
    1.0
}
/// Between the cleats of a cup of middle size (common practice, no source); marked assumed.
pub(super) fn channel_mm() -> Sourced<f64> {
    Sourced(2.0, Origin::Assumed, String::new())
}
