//! What panels may read and what they may ask for. Panels never change the document: they push [`Action`]s.

use crate::{command::Command, plan::Tool, theme::Tokens};
use analysis::{
    CupInMotion, CupReport, EnvelopeReport, Family, Finding, LossStepReport, Lost, MoreAt, MotionOutcome,
    MotionReport, ProposalProgress, Proposals, Report, SeatReport, Slow,
};

use document::{CircuitId, Cup, CupId, Edit, Layout, LayoutId, MotionId, Part, Pin, Project, Seat, Standing};
use std::{collections::BTreeSet, sync::Arc};
use telling::{Comparison, Difference, Elsewhere, Question};
use units::{Quantity, Shown, UnitChoice};

/// One frame's read-only state.
#[derive(Clone)]
pub struct View {
    /// The project as shown (a drag's preview when one is under way).
    pub project: Arc<Project>,
    /// The layout on the plan.
    pub layout: Arc<Layout>,
    /// The part under it, in its own frame: of several the one shown.
    pub part: Arc<Part>,
    /// The same part as it lies on the tool.
    pub lying: Arc<Part>,
    /// What is known about the layout; of a tool with several parts about the one shown.
    pub report: Arc<Report>,
    /// The parts of a tool that carries several.
    pub family: Option<FamilyView>,
    /// Selected cups.
    pub selection: BTreeSet<CupId>,
    /// Motion whose loads the plan shows.
    pub motion: Option<MotionId>,
    /// Units a person picked.
    pub units: UnitChoice,
    /// Step of the grid, mm.
    pub step_mm: f64,
    /// Colours.
    pub tokens: Tokens,
    /// File name for the title, or none yet.
    pub file_name: Option<String>,
    /// Whether there are changes not yet saved.
    pub unsaved: bool,
    /// Whether it is a demo, nobody's own work.
    pub demo: bool,
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
    /// The slow figure that is being worked out, and how far it is, 0 to 1; told of work that takes its time.
    pub slow_now: Option<(Slow, f64)>,
    /// Envelope of the shown motion where it does not hold the part level.
    pub envelope: Option<Arc<EnvelopeReport>>,
    /// The review under way.
    pub review: Option<ReviewView>,
    /// Fingerprint and standing of what is committed.
    pub content: Option<ContentMark>,
    /// The name the person goes by.
    pub person: String,
    /// Who else has the file open, in words.
    pub also_open: Option<String>,
    /// Layouts that are proposed, while their panel is shown.
    pub propose: Option<ProposeView>,
    /// Where one more cup would help, while that is shown.
    pub more: Option<Arc<[MoreAt]>>,
}

/// The parts on the tool, for panels and plan.
#[derive(Clone)]
pub struct FamilyView {
    /// The report on the tool as a whole.
    pub whole: Arc<Report>,
    /// All parts.
    pub family: Arc<Family>,
    /// The one shown, by its place.
    pub shown: usize,
    /// Whether all are shown over each other.
    pub all: bool,
}

impl FamilyView {
    /// The part shown.
    pub fn seat(&self) -> Option<&SeatReport> {
        self.family.seats.get(self.shown)
    }
}

/// Layouts that are proposed.
#[derive(Clone)]
pub struct ProposeView {
    /// What was found, or the best so far.
    pub found: Option<Arc<Proposals>>,
    /// Why there is nothing, as a sentence.
    pub failed: Option<String>,
    /// How far it is, while it is under way.
    pub progress: Option<ProposalProgress>,
    /// Whether it is about the project and layout as they are.
    pub current: bool,
}

/// What pairs the file with paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ContentMark {
    /// "3f2a-91c4".
    pub fingerprint: String,
    /// How the content stands to what was issued.
    pub standing: Standing,
    /// The same in words, as on paper.
    pub words: String,
}

impl ContentMark {
    /// Of a project as it stands.
    pub(crate) fn of(project: &Project) -> Self {
        let standing = project.standing();
        let words = telling::standing_words(&standing, &project.sheet);
        Self { fingerprint: project.fingerprint(), standing, words }
    }

    /// "revision B as issued", "changed since revision B, not issued", "not issued yet".
    pub fn words(&self) -> &str {
        &self.words
    }
}

/// The state a project is set beside.
#[derive(Debug, Clone)]
pub struct Beside {
    /// "revision A", "tray-old.ron".
    pub name: String,
    /// The program whose figures were handed out with it, if it was issued.
    pub issued_with: Option<String>,
    /// Its content.
    pub project: Arc<Project>,
}

impl Beside {
    /// The states a project can be set beside without asking for a file: its issued revisions, latest first.
    pub(crate) fn revisions_of(project: &Project) -> Vec<Self> {
        let beside = |issued: &Arc<document::Issued>| Self {
            name: issued.called(),
            issued_with: Some(issued.program.clone()),
            project: issued.content.clone(),
        };
        project.issued.iter().rev().map(beside).collect()
    }
}

/// A review.
#[derive(Clone)]
pub struct ReviewView {
    /// Only remarks, decisions and ticks are taken.
    pub sealed: bool,
    /// What the file is set beside.
    pub beside: Option<Beside>,
    /// What of the layout on the plan was otherwise there.
    pub elsewhere: Arc<Elsewhere>,
    /// What changed, once worked out.
    pub difference: Option<Arc<Difference>>,
    /// Whether it belongs to the plan as it is.
    pub current: bool,
    /// The change shown.
    pub at: Option<usize>,
    /// The reviewer's checklist.
    pub questions: Arc<[Question]>,
}

impl ReviewView {
    /// Questions that nobody looked into as they are worded now.
    pub fn unticked(&self, project: &Project) -> usize {
        let ticks = &project.review.ticks;
        self.questions.iter().filter(|q| !q.tick(ticks).is_some_and(|(_, current)| current)).count()
    }
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
    /// The same as it lies on the tool.
    pub lying: Arc<Part>,
    /// What is known about it.
    pub report: Arc<Report>,
    /// The table and its sentence, once worked out.
    pub comparison: Option<Arc<Comparison>>,
    /// Whether the table belongs to the plans as they are.
    pub current: bool,
}

impl CompareView {
    /// The other layout's envelope, where it belongs to the plan as it is.
    pub fn envelope(&self) -> Option<&analysis::EnvelopeReport> {
        self.report.envelope.as_ref().filter(|_| self.current)
    }
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

    /// Figure and unit of a value that a person gave: every digit where those are few.
    pub fn given(&self, value: f64, quantity: Quantity) -> String {
        units::show_given(value, quantity, &self.units).to_string()
    }

    /// A place or a distance on the plan, mm: "(12.5, 40.0) mm".
    pub fn pair(&self, mm: glam::DVec2) -> String {
        analysis::words::Words { choice: &self.units }.pair(mm)
    }

    /// A length that a thing is called by, without noughts at its end.
    pub fn size(&self, mm: f64) -> String {
        units::show_size(mm, Quantity::Length, &self.units).to_string()
    }

    /// Who approved this content, with what still to mend in the layout shown.
    pub fn approval(&self) -> Option<telling::Approval> {
        let content = self.content.as_ref()?;
        telling::approval_of(&self.project, &content.fingerprint, self.whole())
    }

    /// The same frame with the other alternative in place of the one shown, for drawing it beside.
    pub fn of_other(&self, other: &CompareView) -> Self {
        Self {
            layout: other.layout.clone(),
            part: other.part.clone(),
            lying: other.lying.clone(),
            family: None,
            report: other.report.clone(),
            selection: BTreeSet::new(),
            replay: None,
            compare: None,
            envelope: None,
            review: None,
            slow_now: None,
            propose: None,
            more: None,
            ..self.clone()
        }
    }

    /// Whether a cup does not hold the part shown, on a tool that carries several.
    pub fn stands_back(&self, cup: CupId) -> bool {
        let Some(held) = self.family.as_ref().filter(|held| !held.all) else { return false };
        held.seat().is_some_and(|seat| seat.cups.iter().any(|of| of.id == cup && !of.holds))
    }

    /// The report on the tool as a whole.
    pub fn whole(&self) -> &Arc<Report> {
        self.family.as_ref().map_or(&self.report, |held| &held.whole)
    }

    /// The seat shown; of a tool with one part at the datum that part's.
    pub fn seat(&self) -> Seat {
        let shown = self.family.as_ref().and_then(|held| held.seat()).map(|held| held.seat.clone());
        let first = || self.layout.all_seats().into_iter().next();
        shown.or_else(first).unwrap_or_else(|| Seat::of(document::SeatId(0), self.part.id))
    }

    /// What places on the plan are counted from: the part's datum; on a tool that carries several parts the tool's, at 0, 0.
    pub fn datum(&self) -> glam::DVec2 {
        if self.family.is_some() { glam::DVec2::ZERO } else { self.part.datum_at() }
    }

    /// Where that lies, in words that go on from "datum".
    pub fn datum_says(&self) -> String {
        match self.family {
            Some(_) => "of the tool, at 0, 0".to_owned(),
            None => self.part.datum_says(&self.units),
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
        crate::outputs::shown_motion(&self.report, self.motion)
    }

    /// Outcome of the motion shown, when it has one.
    pub fn shown_outcome(&self) -> Option<&MotionOutcome> {
        self.shown_motion().and_then(|m| m.outcome.as_ref().ok())
    }

    /// What every cup carries in the motion shown, or in the step of a loss that is played back.
    pub fn shown_loads(&self) -> &[CupInMotion] {
        match self.replay.as_ref().and_then(ReplayView::step) {
            Some(step) => &step.cups,
            // Of a part that bends those count that it gets as it bends.
            None => match self.shown_motion().and_then(|motion| self.report.bends()?.of_motion(motion.id)) {
                Some(bent) => &bent.in_motion,
                None => self.shown_outcome().map(|o| o.cups.as_slice()).unwrap_or_default(),
            },
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

    /// A factor with what it is held against, "5.16 of 4.00"; one that falls short never reads as met.
    pub fn factor_of(&self, factor: f64, required: f64) -> String {
        if !factor.is_finite() {
            return self.factor(factor);
        }
        let (says, asked) = (self.factor(factor), self.factor(required));
        let short = if factor < required && says == asked { "< " } else { "" };
        format!("{short}{says} of {asked}")
    }

    /// A factor as a person reads it; there is no limit where no multiple of the load is too much.
    pub fn factor(&self, factor: f64) -> String {
        if !factor.is_finite() {
            return if factor == f64::INFINITY { "no limit" } else { "none" }.to_owned();
        }
        units::three_figures(factor, &self.units)
    }
    /// A plain figure to so many decimals.
    pub fn fixed(&self, value: f64, decimals: usize) -> String {
        units::fixed(value, decimals, &self.units)
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
    /// Open this file, asking about unsaved changes first.
    Open(std::path::PathBuf),
    /// Show the figures of what feeds this circuit.
    SourceOf(CircuitId),
    /// Show another layout.
    Layout(LayoutId),
    /// Show one part of the tool; `None` shows all.
    Seat(Option<document::SeatId>),
    /// Put a part of the project on the tool.
    SeatPart(document::PartId),
    /// Other units.
    Units(UnitChoice),
    /// All sources beside each other on this circuit.
    ChooseSource(CircuitId),
    /// Another step of the grid in mm; `None` is the usual one.
    GridStep(Option<f64>),
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
    /// Set the file beside this state; `None` shows it alone.
    Beside(Option<Beside>),
    /// Go to the change at this place of the list.
    Change(usize),
    /// Begin a remark on this.
    Remark(Pin, String),
    /// Begin an answer to this remark, or settle it.
    Answer(document::RemarkId, bool),
    /// The name a person goes by.
    Person(String),
    /// Bring this place into the middle of the plan.
    Look(glam::DVec2),
    /// Show the remarks of the review.
    ReadRemarks,
    /// Look for layouts.
    Propose,
    /// Stop looking and keep the best so far.
    StopProposing,
    /// Add the proposal at this place of the list as a new layout.
    TakeProposal(usize),
}
