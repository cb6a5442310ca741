//! What panels may read and what they may ask for. Panels never change the document: they push [`Action`]s.

use crate::{command::Command, dialogs::Dialog, plan::Tool, theme::Tokens};
use analysis::{
    Comparison, CupInMotion, CupReport, EnvelopeReport, Finding, LossStepReport, Lost, MotionOutcome,
    MotionReport, Report,
};
use document::{CircuitId, Cup, CupId, Edit, Layout, LayoutId, MotionId, Part, Project};
use std::{collections::BTreeSet, sync::Arc};
use units::{Quantity, Shown, UnitChoice};

/// One frame's read-only state.
#[derive(Clone)]
pub struct View {
    /// The project as shown (a drag's preview when one is under way).
    pub project: Arc<Project>,
    /// The layout on the plan.
    pub layout: Arc<Layout>,
    /// The part under it.
    pub part: Arc<Part>,
    /// What is known about the layout.
    pub report: Arc<Report>,
    /// Selected cups.
    pub selection: BTreeSet<CupId>,
    /// Motion whose loads the plan shows.
    pub motion: Option<MotionId>,
    /// Units a person picked.
    pub units: UnitChoice,
    /// Colours.
    pub tokens: Tokens,
    /// File name for the title, or none yet.
    pub file_name: Option<String>,
    /// Whether there are changes not yet saved.
    pub unsaved: bool,
    /// Names of what undo and redo would do.
    pub undo: Option<String>,
    /// See `undo`.
    pub redo: Option<String>,
    /// Whether a drag is under way.
    pub dragging: bool,
    /// A loss that is played back on the plan.
    pub replay: Option<ReplayView>,
    /// The alternative shown beside.
    pub compare: Option<CompareView>,
    /// Envelope of the shown motion where it does not hold the part level.
    pub envelope: Option<Arc<EnvelopeReport>>,
}

/// A loss that is played back.
#[derive(Clone)]
pub struct ReplayView {
    /// The motion during which it happens.
    pub motion: MotionId,
    /// What let go first.
    pub lost: Lost,
    /// From the first loss to the end.
    pub steps: Arc<[LossStepReport]>,
    /// The step shown.
    pub at: usize,
}

impl ReplayView {
    /// The step shown.
    pub fn step(&self) -> Option<&LossStepReport> {
        self.steps.get(self.at)
    }
}

/// The alternative shown beside the plan.
#[derive(Clone)]
pub struct CompareView {
    /// The other layout.
    pub layout: Arc<Layout>,
    /// The part under it.
    pub part: Arc<Part>,
    /// What is known about it.
    pub report: Arc<Report>,
    /// The table and its sentence, once worked out.
    pub comparison: Option<Arc<Comparison>>,
    /// Whether the table belongs to the plans as they are.
    pub current: bool,
}

impl View {
    /// Shows a figure in the units picked.
    pub fn show(&self, value: f64, quantity: Quantity) -> Shown {
        units::show(value, quantity, &self.units)
    }

    /// Figure and unit in one text.
    pub fn text(&self, value: f64, quantity: Quantity) -> String {
        self.show(value, quantity).to_string()
    }

    /// The same frame with the other alternative in place of the one shown, for drawing it beside.
    pub fn of_other(&self, other: &CompareView) -> Self {
        Self {
            layout: other.layout.clone(),
            part: other.part.clone(),
            report: other.report.clone(),
            selection: BTreeSet::new(),
            replay: None,
            compare: None,
            envelope: None,
            ..self.clone()
        }
    }

    /// Tag of a cup.
    pub fn tag(&self, id: CupId) -> &str {
        self.layout.cups.iter().find(|c| c.id == id).map_or("?", |c| c.tag.as_str())
    }

    /// The cup's entry in the report.
    pub fn cup_report(&self, id: CupId) -> Option<&CupReport> {
        self.report.cups.iter().find(|c| c.id == id)
    }

    /// The motion shown: the one asked for, else the one that governs, else the one with the least margin.
    pub fn shown_motion(&self) -> Option<&MotionReport> {
        let motions = &self.report.motions;
        let asked = self.motion.or(self.report.verdict.motion);
        let margin = |m: &&MotionReport| {
            m.outcome.as_ref().map_or(f64::INFINITY, |o| o.factor / m.required_factor.max(f64::MIN_POSITIVE))
        };
        match asked.and_then(|id| motions.iter().find(|m| m.id == id)) {
            Some(motion) => Some(motion),
            None => motions.iter().min_by(|a, b| margin(a).total_cmp(&margin(b))),
        }
    }

    /// Outcome of the motion shown, when it has one.
    pub fn shown_outcome(&self) -> Option<&MotionOutcome> {
        self.shown_motion().and_then(|m| m.outcome.as_ref().ok())
    }

    /// What every cup carries in the motion shown, or in the step of a loss that is played back.
    pub fn shown_loads(&self) -> &[CupInMotion] {
        match self.replay.as_ref().and_then(ReplayView::step) {
            Some(step) => &step.cups,
            None => self.shown_outcome().map(|o| o.cups.as_slice()).unwrap_or_default(),
        }
    }

    /// The one selected cup.
    pub fn single(&self) -> Option<&Cup> {
        let mut ids = self.selection.iter();
        let id = ids.next()?;
        if ids.next().is_some() {
            return None;
        }
        self.layout.cups.iter().find(|c| c.id == *id)
    }

    /// Selected cups in layout order.
    pub fn selected(&self) -> impl Iterator<Item = &Cup> {
        self.layout.cups.iter().filter(|c| self.selection.contains(&c.id))
    }

    /// A factor as a person reads it; a cup that nothing loads has none.
    pub fn factor(&self, factor: f64) -> String {
        if !factor.is_finite() {
            return "not loaded".to_owned();
        }
        let text = if factor >= 99.95 {
            format!("{factor:.0}")
        } else if factor >= 9.995 {
            format!("{factor:.1}")
        } else {
            format!("{factor:.2}")
        };
        if self.units.decimal_comma { text.replace('.', ",") } else { text }
    }
}

/// What a panel or the plan asks for; carried out after the frame is drawn.
#[derive(Debug, Clone)]
pub enum Action {
    /// Run a command as from the menu.
    Run(Command),
    /// One committed change.
    Edit(Edit),
    /// Select exactly these cups.
    Select(BTreeSet<CupId>),
    /// Show this motion's loads; `None` follows the governing one.
    ShowMotion(Option<MotionId>),
    /// Bring these cups into the middle of the plan and select them.
    Frame(Vec<CupId>),
    /// Take up a tool.
    Tool(Tool),
    /// Open a dialog.
    Dialog(Box<Dialog>),
    /// Show another layout.
    Layout(LayoutId),
    /// Other units.
    Units(UnitChoice),
    /// Start accepting this finding with a reason.
    Accept(Box<Finding>),
    /// A line for the status bar.
    Notice(String),
    /// Show this layout beside the one on the plan; `None` puts it away.
    Compare(Option<LayoutId>),
    /// Lay out a source and hoses for this circuit over the cups.
    LayOutCircuit(CircuitId),
    /// Play back what follows when a cup or zone lets go; `None` ends it.
    PlayBack(Option<(MotionId, Lost)>),
    /// Go on or back in what is played back.
    PlayStep(isize),
}
