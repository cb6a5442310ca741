//! Format 3 as it stands in the file: what format 2 has, and the life of a cup model's lip, issued revisions and review. What
//! did not change is taken over from [`super::v2`].
//! These types never change once released: a later format gets its own file, and `migrate` brings this one up to it.
//!
//! Units as in format 2; the life of a lip in picks.

mod issued;
mod review;

use super::v1::format_types;
use super::v2::cycle;
pub(crate) use super::v2::{
    Accepted, Arrangement, Attached, BaselineCurve, BlowOff, BranchLine, Cells, Circuit, Coil, Cup,
    CurveFlow, CurveKind, CurvePoint, Cycle, Drawing, Exhaust, Fed, FeedPoint, FittingKind, FittingLoss,
    FittingOwn, FittingUse, FramePiece, FrameShape, KeepOut, Layout, Line, LineLength, LipKind, Manifold,
    Mass, Motion, MotionKind, MoveProfile, Operation, Origin, Outline, Pair, Part, Placement, Restriction,
    Revision, Rules, Shape, Sheet, Site, Source, SourceKind, Sourced, Stage, StartStop, Stroke, Supply,
    Surface, Texture, Three, Thresholds, Tool, Trial, TrialEntry, TrialKind, Two, Vertex, Wetness, Worst,
    ZoneValve,
};
pub(crate) use issued::*;
pub(crate) use review::*;
use serde::{Deserialize, Serialize};

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
        #[serde(default)]
        review: Review,
        #[serde(default)]
        issued: Vec<Issued>,
    }
    Model {
        id: String,
        name: String,
        shape: Shape,
        sealing_share: Sourced<f64>,
        bore_mm: f64,
        height_mm: f64,
        travel_mm: Sourced<f64>,
        channel_mm: Sourced<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        free_ml: Option<Sourced<f64>>,
        folds: u8,
        axial_n_mm: Sourced<f64>,
        lateral_n_mm: Sourced<f64>,
        tilt_reduction: Sourced<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        side_lever_mm: Option<Sourced<f64>>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lip_width_mm: Option<Sourced<f64>>,
        hardness_shore_a: f64,
        lip: LipKind,
        lip_life_picks: Sourced<f64>,
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
