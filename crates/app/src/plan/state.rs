//! What the plan remembers between frames.

use super::boundary::LoopRef;
use super::{
    bending::state::Bending,
    camera::Camera,
    paper::{Landing, PaperCache},
    snap::Guide,
    tool::Tool,
    traced::TracedState,
};
use document::{CircuitId, Cup, CupId};
use glam::DVec2;

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
    /// Where the next cup goes while it is placed by keys, mm; the pointer takes over as soon as it moves.
    pub by_keys: Option<DVec2>,
    /// Cups that what is offered would give, shown as ghosts.
    pub preview: Vec<Cup>,
    /// Guides of the drag or the cup about to be placed.
    pub guides: Vec<Guide>,
    /// Corner being edited: loop and vertex.
    pub corner: Option<(LoopRef, usize)>,
    /// Where the plan was drawn last.
    pub rect: Option<egui::Rect>,
    /// Grid, snaps, loads.
    pub show: Show,
    /// What is shown of a part that bends.
    pub bending: Bending,
    /// Triangulated part in part coordinates.
    pub cache: PaperCache,
    /// As `cache`, of the part shown beside.
    pub other_cache: PaperCache,
    /// Landing region on the tool, for what is placed or dragged.
    pub landing: Option<Landing>,
    /// The picture to trace.
    pub traced: TracedState,
    /// Lips of a proposal to show as ghosts.
    pub proposed: Vec<geometry::Lip>,
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

/// What is being dragged.
#[derive(Debug, Clone, PartialEq)]
pub enum Drag {
    /// Cups, from where they were when the drag began.
    Cups {
        /// All that move.
        start: Vec<(CupId, DVec2)>,
        /// The one under the pointer; it is the one that snaps.
        grabbed: CupId,
        /// Pointer at the start, mm.
        from: DVec2,
    },
    /// A box around cups.
    Box {
        /// First corner, mm.
        from: DVec2,
        /// Keep what was selected.
        add: bool,
    },
    /// The paper.
    Pan,
    /// A shape being drawn from corner to corner.
    Shape {
        /// First corner, mm.
        from: DVec2,
    },
    /// A corner of a boundary.
    Corner {
        /// Which boundary.
        of: LoopRef,
        /// Which vertex.
        index: usize,
    },
    /// The source or the manifold of a circuit.
    Supply {
        /// Which circuit.
        circuit: CircuitId,
        /// Its manifold; else its source.
        manifold: bool,
        /// Where it was when the drag began, mm.
        start: DVec2,
        /// Pointer at the start, mm.
        from: DVec2,
    },
    /// The part shown, on a tool that carries several.
    Seat {
        /// Where its datum was when the drag began, mm.
        start: DVec2,
        /// Pointer at the start, mm.
        from: DVec2,
    },
    /// An edge of a boundary.
    Edge {
        /// Which boundary.
        of: LoopRef,
        /// Which edge.
        index: usize,
        /// Pointer at the start, mm.
        from: DVec2,
    },
}
