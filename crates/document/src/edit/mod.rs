//! Changes with a name a person can read.

mod apply;
mod circuits;
mod layouts;
mod name;
mod review;
mod seats;

pub(crate) use circuits::drop_stale;
pub(crate) use seats::drop_stale as drop_from_seats;

use crate::{
    Accepted, Answer, Circuit, CircuitId, Cup, CupId, CupModel, Cycle, Decision, Layout, LayoutId, ModelId,
    Motion, MotionId, Part, PartId, Question, Remark, RemarkId, Rules, Seat, SeatId, SheetFields, Site,
    SourceId, SourceModel, Tick, Tool, Traced, Trial,
};
use std::sync::Arc;

/// One change with a name a person can read. Whole-object replacements are by id. `what` is the whole name of the
/// change: "Change thickness of Tray blank to 4 mm".
///
/// Cups of a library model that the project does not hold yet are added by [`Edit::Together`] of [`Edit::AddModel`] and
/// [`Edit::AddCups`].
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Another name for the project.
    RenameProject(String),
    /// One more part.
    AddPart(Arc<Part>),
    /// Replaces the part of the same id.
    ChangePart {
        /// As it is to be.
        part: Arc<Part>,
        /// Name of the change.
        what: String,
    },
    /// Takes a part away that no layout carries.
    RemovePart(PartId),
    /// One more alternative.
    AddLayout(Arc<Layout>),
    /// Another name for a layout; blanks around it are dropped, nothing but blanks is refused.
    RenameLayout(LayoutId, String),
    /// Takes a layout away, unless it is the last one.
    RemoveLayout(LayoutId),
    /// To this place in the list, counted from 0; past the end means last.
    MoveLayout(LayoutId, usize),
    /// Other flange, masses or frame of a layout.
    ChangeTool {
        /// Where.
        layout: LayoutId,
        /// As it is to be.
        tool: Arc<Tool>,
        /// Name of the change.
        what: String,
    },
    /// One more part on the tool of a layout. The one that lay there alone becomes the first seat.
    AddSeat {
        /// Where.
        layout: LayoutId,
        /// With an id from [`crate::Project::next_id`].
        seat: Seat,
    },
    /// Replaces the seat of the same id: place, turn, zones, motions. The only part of a tool goes by
    /// [`crate::Layout::all_seats`].
    ChangeSeat {
        /// Where.
        layout: LayoutId,
        /// As it is to be.
        seat: Seat,
        /// Name of the change; empty for one that says what differs.
        what: String,
    },
    /// Takes a part off the tool, unless it is the last one; the part stays in the project.
    RemoveSeat {
        /// Where.
        layout: LayoutId,
        /// Which.
        seat: SeatId,
    },
    /// New cups at the end of a layout.
    AddCups {
        /// Where.
        layout: LayoutId,
        /// With ids from [`crate::Project::next_id`] and tags from [`crate::Project::next_tags`].
        cups: Vec<Cup>,
    },
    /// Takes cups away.
    RemoveCups {
        /// Where.
        layout: LayoutId,
        /// Which.
        cups: Vec<CupId>,
    },
    /// Puts cups somewhere else.
    MoveCups {
        /// Where.
        layout: LayoutId,
        /// New centres, mm.
        to: Vec<(CupId, glam::DVec2)>,
    },
    /// Replaces cups by id (turn, height, zone, circuit, model, lock, tag ...).
    ChangeCups {
        /// Where.
        layout: LayoutId,
        /// As they are to be.
        cups: Vec<Cup>,
        /// Name of the change.
        what: String,
    },
    /// One more motion.
    AddMotion(Arc<Motion>),
    /// Replaces the motion of the same id.
    ChangeMotion {
        /// As it is to be.
        motion: Arc<Motion>,
        /// Name of the change.
        what: String,
    },
    /// Takes a motion away.
    RemoveMotion(MotionId),
    /// To this place in the list, counted from 0; past the end means last.
    MoveMotion(MotionId, usize),
    /// One more circuit.
    AddCircuit(Arc<Circuit>),
    /// Replaces the circuit of the same id.
    ChangeCircuit {
        /// As it is to be.
        circuit: Arc<Circuit>,
        /// Name of the change.
        what: String,
    },
    /// Takes a circuit away that no cup hangs on.
    RemoveCircuit(CircuitId),
    /// One more source; one that is there already, alike in everything, is no change.
    AddSource(Arc<SourceModel>),
    /// Replaces the source of the same id.
    ChangeSource {
        /// As it is to be.
        source: Arc<SourceModel>,
        /// Name of the change.
        what: String,
    },
    /// Takes a source away that no circuit uses.
    RemoveSource(SourceId),
    /// Other picks, hours or prices.
    ChangeCycle {
        /// As it is to be.
        cycle: Cycle,
        /// Name of the change.
        what: String,
    },
    /// What is asked for when layouts are proposed.
    Ask(Arc<Question>),
    /// Other measurements.
    ChangeTrial {
        /// As it is to be.
        trial: Arc<Trial>,
        /// Name of the change.
        what: String,
    },
    /// One more cup model; one that is there already, alike in everything, is no change.
    AddModel(Arc<CupModel>),
    /// Replaces the model of the same id.
    ChangeModel {
        /// As it is to be.
        model: Arc<CupModel>,
        /// Name of the change.
        what: String,
    },
    /// Takes a model away that no cup is of.
    RemoveModel(ModelId),
    /// Another place of work.
    ChangeSite {
        /// As it is to be.
        site: Site,
        /// Name of the change.
        what: String,
    },
    /// Other limits of the findings.
    ChangeRules {
        /// As they are to be.
        rules: Rules,
        /// Name of the change.
        what: String,
    },
    /// Another title block.
    ChangeSheet {
        /// As it is to be.
        sheet: SheetFields,
        /// Name of the change.
        what: String,
    },
    /// Takes a finding on with a reason, in place of an earlier reason for the same one.
    Accept(Accepted),
    /// Takes an acceptance back.
    Unaccept {
        /// Name of the rule.
        rule: String,
        /// Cups it is about.
        subject: Vec<CupId>,
        /// Motion it is about.
        motion: Option<MotionId>,
        /// Layout it is about.
        layout: LayoutId,
        /// Part on the tool that it is about, where there are several.
        seat: Option<SeatId>,
    },
    /// Another picture to trace under the plan, or none.
    Trace {
        /// As it is to be.
        picture: Option<Arc<Traced>>,
        /// Name of the change.
        what: String,
    },
    /// Freezes the content as a revision with this index, and adds a line to the revision table.
    Issue {
        /// "B"; used once only.
        index: String,
        /// ISO 8601.
        on: String,
        /// Who issues it.
        by: String,
        /// What changed since the one before.
        what: String,
        /// Name and version of the program.
        program: String,
    },
    /// One more remark.
    AddRemark(Remark),
    /// Another word to a remark.
    AnswerRemark(RemarkId, Answer),
    /// Settles a remark, or takes that back.
    ResolveRemark(RemarkId, Option<Answer>),
    /// Takes a remark away with its answers.
    RemoveRemark(RemarkId),
    /// A decision on the content as it stands.
    Decide(Decision),
    /// A question of the checklist was looked into; replaces an earlier tick of the same key.
    Tick(Tick),
    /// Takes a tick back.
    Untick {
        /// Key of the question.
        key: String,
    },
    /// All of them, in this order, as one change; or none.
    Together {
        /// Name of the change.
        name: String,
        /// The changes; each sees what the ones before it made.
        edits: Vec<Edit>,
    },
}

/// Why an edit cannot be applied. The project is then as before.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    /// Something named by the edit is not there.
    #[error("{what} is not in the project, nothing was changed; choose one that exists")]
    Missing {
        /// "cup 12 of layout Layout A".
        what: String,
    },
    /// An id is taken.
    #[error("{what} is already in the project, nothing was changed; give the new one another id")]
    Duplicate {
        /// "cup 12 of layout Layout A".
        what: String,
    },
    /// What is to go is needed.
    #[error("{what} is used by {by}, nothing was changed; {remedy}")]
    InUse {
        /// "circuit Circuit 1".
        what: String,
        /// "cups C1, C2 and 4 more".
        by: String,
        /// What to do first.
        remedy: &'static str,
    },
    /// A project has at least one of these.
    #[error("{what} is the last {kind}, nothing was changed; add another {kind} before removing it")]
    Last {
        /// "layout Layout A".
        what: String,
        /// "layout".
        kind: &'static str,
    },
    /// A number that is none.
    #[error("{field} of {what} is not a finite number, nothing was changed; enter a plain number")]
    NotFinite {
        /// "part Tray blank".
        what: String,
        /// "thickness_mm".
        field: String,
    },
    /// A number that makes no sense for its field, which the project did not have before.
    #[error("{}, nothing was changed; {}", .0.says(&units::UnitChoice::default()), .0.remedy(&units::UnitChoice::default()))]
    OutOfRange(Box<crate::OutOfRange>),
    /// A picture that cannot be kept.
    #[error("the picture {name} cannot be kept: {why}, nothing was changed; choose a smaller picture")]
    Picture {
        /// File name.
        name: String,
        /// A clause.
        why: &'static str,
    },
    /// A remark, an answer or an index that is only blanks.
    #[error("the {what} is empty, nothing was changed; type one")]
    NothingSaid {
        /// "remark".
        what: &'static str,
    },
    /// A thing that people and the sheet know by its name is left without one.
    #[error("{what} has no name, nothing was changed; type one")]
    NoName {
        /// "layout Layout A".
        what: String,
    },
}
impl EditError {
    /// The sentence with figures in the units a person picked.
    pub fn in_units(&self, units: &units::UnitChoice) -> String {
        match self {
            Self::OutOfRange(out) => {
                format!("{}, nothing was changed; {}", out.says(units), out.remedy(units))
            }
            other => other.to_string(),
        }
    }
}
