//! What the panels remember between frames, and what they are told besides the view.

use std::{path::PathBuf, time::Duration};

/// What panels remember between frames.
#[derive(Default)]
pub struct PanelState {
    /// First steps are shown.
    pub guide: bool,
    /// They were put away this frame: worth remembering.
    pub guide_put_away: bool,
    /// Which motion's form is open.
    pub open_motion: Option<document::MotionId>,
    /// Whether the rarer inputs of the part are shown.
    pub whole_part: bool,
    /// Whether accepted findings are listed.
    pub accepted: bool,
    /// Finding marked in the list.
    pub finding: Option<usize>,
    /// Whether every lost cup is listed.
    pub all_lost: bool,
    /// Whether the rarer inputs of tool and robot are shown.
    pub whole_tool: bool,
    /// Which circuit's form is open.
    pub open_circuit: Option<document::CircuitId>,
    /// Whether the circuit is shown in place of findings and beside the plan.
    pub circuit: bool,
    /// Whether the panels round the plan are put away.
    pub plan_alone: bool,
    /// The question to propose layouts for, and whether it is shown.
    pub propose: bool,
    /// Whether the plan shows where one more cup would help.
    pub more_cups: bool,
    /// What the panel of a review shows.
    pub review: ReviewTab,
    /// Whether settled remarks are listed.
    pub settled: bool,
    /// Where the edges of the panels are, and which are folded.
    pub edges: crate::edges::Edges,
    /// One of them was moved this frame: worth remembering.
    pub edges_moved: bool,
    /// An empty panel that a person opened all the same.
    pub opened_empty: Option<&'static str>,
    /// A panel that a person opened in a window too narrow for it.
    pub opened_crowded: Option<&'static str>,
    /// Whether the list of findings had nothing to list before what is dragged at the moment.
    pub no_findings: bool,
    /// Cups that what is under the pointer would give.
    pub preview: Vec<document::Cup>,
    /// Which findings are listed.
    pub findings: super::findings::Filter,
}

/// What the status line and the menu show besides the view.
pub struct Status {
    /// Time of the last check.
    pub check_time: Duration,
    /// A line to read.
    pub notice: Option<String>,
    /// Commands of what is shown or held at the moment.
    pub on: Vec<crate::command::Command>,
    /// Recent files.
    pub recent: Vec<PathBuf>,
}

/// What the panel of a review shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ReviewTab {
    /// What was added, removed, moved or changed.
    #[default]
    Changes,
    /// Figures before and after.
    Figures,
    /// Findings that came, went, got worse or better.
    Findings,
    /// What is said.
    Remarks,
    /// What a careful colleague would question.
    Checklist,
}
