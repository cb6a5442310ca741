//! The plan: the part and the cups to scale, and every hand that works on them.

mod camera;
mod canvas;
mod cups;
mod frame;
mod gestures;
mod ghosts;
mod hoses;
mod level_strip;
mod marks;
mod other;
mod outline_tool;
mod paper;
mod replay;
mod side_view;
mod sketch;
mod sketch_tool;
mod snap;

pub use camera::Camera;
pub use canvas::{boxed, nudge, plan_ui};
pub use gestures::{Drag, preview};
pub use hoses::{level_colour, source_symbol};
pub use other::other_ui;
pub use paper::landing_triangles;
pub use sketch::{Sketch, SketchForm, SketchTarget};
pub use snap::{Guide, SnapLines, SnapTo, grid_pitch};

use document::{CupId, ModelId};
use glam::DVec2;
use std::sync::Arc;

/// What a click on the plan does.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Tool {
    /// Select and drag cups.
    #[default]
    Select,
    /// Put down cups of a model.
    Place {
        /// Which.
        model: ModelId,
        /// Turn of the next cup, degrees.
        turn_deg: f64,
    },
    /// Draw an outline, a hole or a keep-out.
    Sketch(Sketch),
    /// Drag corners and edges of the outline, holes and keep-outs.
    EditOutline,
    /// Pin a remark to a place.
    Remark,
}

/// Camera, tool and drag: never in the document, the file or undo.
#[derive(Default)]
pub struct PlanState {
    /// What is looked at.
    pub camera: Camera,
    /// Fit the part on the next frame.
    pub fit: bool,
    /// The plan area for which the view was fitted and not moved since.
    pub fitted: Option<egui::Rect>,
    /// Frame these cups on the next frame.
    pub frame: Vec<CupId>,
    /// Current tool.
    pub tool: Tool,
    /// What is being dragged.
    pub drag: Option<Drag>,
    /// Cup under the pointer.
    pub hover: Option<CupId>,
    /// Pointer over the part, mm.
    pub pointer: Option<DVec2>,
    /// Guides of the drag or the cup about to be placed.
    pub guides: Vec<Guide>,
    /// Corner being edited: loop and vertex.
    pub corner: Option<(LoopRef, usize)>,
    /// Where the plan was drawn last.
    pub rect: Option<egui::Rect>,
    /// Grid, snaps, loads.
    pub show: Show,
    /// Triangulated part in part coordinates.
    pub cache: paper::PaperCache,
    /// As `cache`, of the part shown beside.
    pub other_cache: paper::PaperCache,
    /// Landing region in part coordinates, for what is placed or dragged.
    pub landing: Option<Landing>,
}

/// Switches of the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Show {
    /// Grid lines.
    pub grid: bool,
    /// Snap while dragging.
    pub snap: bool,
    /// Loads on cups.
    pub loads: bool,
    /// Hoses, source and the level at each cup.
    pub circuit: bool,
}

impl Default for Show {
    fn default() -> Self {
        Self { grid: true, snap: true, loads: true, circuit: false }
    }
}

/// A landing region ready to draw.
pub struct Landing {
    /// As computed.
    pub region: Arc<geometry::LandingRegion>,
    /// For filling.
    pub triangles: Vec<geometry::Triangles>,
}

/// One boundary of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoopRef {
    /// The edge.
    Outer,
    /// A hole by position.
    Hole(usize),
    /// A keep-out by position.
    KeepOut(usize),
}
