//! The document: an immutable project, named edits, history, the file.
mod model;
pub use model::*;
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

impl Project {
    /// A project with one part, one empty layout, one circuit and the default motions.
    pub fn new(name: &str, part: Part) -> Self {
        todo!()
    }
    pub fn part(&self, id: PartId) -> Option<&Arc<Part>> {
        self.parts.iter().find(|p| p.id == id)
    }
    pub fn layout(&self, id: LayoutId) -> Option<&Arc<Layout>> {
        self.layouts.iter().find(|l| l.id == id)
    }
    pub fn motion(&self, id: MotionId) -> Option<&Arc<Motion>> {
        self.motions.iter().find(|m| m.id == id)
    }
    pub fn circuit(&self, id: CircuitId) -> Option<&Arc<Circuit>> {
        self.circuits.iter().find(|c| c.id == id)
    }
    pub fn model(&self, id: &ModelId) -> Option<&Arc<CupModel>> {
        self.models.iter().find(|m| &m.id == id)
    }
    /// The number after the last one given; callers use it to build ids for new things inside one edit.
    pub fn next_id(&self) -> u32 {
        self.last_id + 1
    }
    /// Next free tag "C9" in a layout.
    pub fn next_tags(&self, layout: LayoutId, count: usize) -> Vec<String> {
        todo!()
    }
    /// Everything wrong with the inputs (mass <= 0, friction 0, required factor 0, unknown model ...), as sentences.
    pub fn problems(&self) -> Vec<Problem> {
        todo!()
    }
}
impl Motion {
    /// A preset of the kind with its customary figures and required factor (2 level, 4 where friction alone carries; common practice, no source).
    pub fn preset(id: MotionId, kind: MotionKind) -> Self {
        todo!()
    }
}
/// One input that cannot be worked with; `subject` says which thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    pub subject: Subject,
    pub says: String,
    pub remedy: String,
}
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Subject {
    Project,
    Part(PartId),
    Layout(LayoutId),
    Cup(LayoutId, CupId),
    Motion(MotionId),
    Circuit(CircuitId),
    Model(ModelId),
    Site,
}

/// One change with a name a person can read. Whole-object replacements are by id.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    RenameProject(String),
    AddPart(Arc<Part>),
    ChangePart {
        part: Arc<Part>,
        what: String,
    },
    RemovePart(PartId),
    AddLayout(Arc<Layout>),
    RenameLayout(LayoutId, String),
    RemoveLayout(LayoutId),
    MoveLayout(LayoutId, usize),
    AddCups {
        layout: LayoutId,
        cups: Vec<Cup>,
    },
    RemoveCups {
        layout: LayoutId,
        cups: Vec<CupId>,
    },
    MoveCups {
        layout: LayoutId,
        to: Vec<(CupId, glam::DVec2)>,
    },
    /// Replaces cups by id (turn, height, zone, circuit, model, lock, tag ...).
    ChangeCups {
        layout: LayoutId,
        cups: Vec<Cup>,
        what: String,
    },
    AddMotion(Arc<Motion>),
    ChangeMotion {
        motion: Arc<Motion>,
        what: String,
    },
    RemoveMotion(MotionId),
    MoveMotion(MotionId, usize),
    AddCircuit(Arc<Circuit>),
    ChangeCircuit {
        circuit: Arc<Circuit>,
        what: String,
    },
    RemoveCircuit(CircuitId),
    AddModel(Arc<CupModel>),
    ChangeModel {
        model: Arc<CupModel>,
        what: String,
    },
    RemoveModel(ModelId),
    ChangeSite {
        site: Site,
        what: String,
    },
    ChangeRules {
        rules: Rules,
        what: String,
    },
    ChangeSheet {
        sheet: SheetFields,
        what: String,
    },
    Accept(Accepted),
    Unaccept {
        rule: String,
        subject: Vec<CupId>,
        motion: Option<MotionId>,
        layout: LayoutId,
    },
    Together {
        name: String,
        edits: Vec<Edit>,
    },
}
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    #[error("placeholder")]
    Placeholder,
}
impl Edit {
    /// "Move C4", "Add 8 cups", "Change thickness of Tray blank".
    pub fn name(&self, before: &Project) -> String {
        todo!()
    }
    pub fn apply(&self, project: &Project) -> Result<Project, EditError> {
        todo!()
    }
}

/// Undo, redo, and one open transaction.
pub struct History {
    _private: (),
}
impl History {
    pub fn new(project: Project) -> Self {
        todo!()
    }
    /// What is shown: the transaction's preview when one is open.
    pub fn shown(&self) -> &Arc<Project> {
        todo!()
    }
    /// What is committed.
    pub fn committed(&self) -> &Arc<Project> {
        todo!()
    }
    /// Counts committed states; changes on every commit, undo, redo.
    pub fn revision(&self) -> u64 {
        todo!()
    }
    pub fn apply(&mut self, edit: Edit) -> Result<(), EditError> {
        todo!()
    }
    /// Opens a transaction; `preview` always starts from the committed project.
    pub fn begin(&mut self) {
        todo!()
    }
    pub fn preview(&mut self, edit: Edit) -> Result<(), EditError> {
        todo!()
    }
    /// Commits the last preview; nothing changed leaves no entry. Returns whether an entry was made.
    pub fn commit(&mut self) -> bool {
        todo!()
    }
    pub fn abandon(&mut self) {
        todo!()
    }
    pub fn in_transaction(&self) -> bool {
        todo!()
    }
    pub fn undo_name(&self) -> Option<&str> {
        todo!()
    }
    pub fn redo_name(&self) -> Option<&str> {
        todo!()
    }
    pub fn undo(&mut self) -> Option<String> {
        todo!()
    }
    pub fn redo(&mut self) -> Option<String> {
        todo!()
    }
    /// True when the committed project is not the one last saved.
    pub fn unsaved(&self) -> bool {
        todo!()
    }
    pub fn mark_saved(&mut self) {
        todo!()
    }
}

/// What goes wrong with files: says what, where and what to do.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    #[error("placeholder")]
    Placeholder,
}
/// Deterministic text of a project (format 1).
pub fn to_text(project: &Project) -> String {
    todo!()
}
pub fn from_text(text: &str, name: &str) -> Result<Project, FileError> {
    todo!()
}
/// A file as it was when read or written, to notice that someone else changed it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stamp {
    _sha256: [u8; 32],
    _len: u64,
}
pub fn open(path: &Path) -> Result<(Project, Stamp), FileError> {
    todo!()
}
/// Atomic, keeps one previous version beside (`name.ron.previous`), refuses with `FileError::ChangedOutside` when `expected` no longer matches.
pub fn save(project: &Project, path: &Path, expected: Option<&Stamp>) -> Result<Stamp, FileError> {
    todo!()
}
/// Whether the file differs from the stamp now.
pub fn changed_outside(path: &Path, stamp: &Stamp) -> bool {
    todo!()
}

/// Append-only log of committed edits next to nothing else the user owns; replayed after a kill.
pub struct Journal {
    _private: (),
}
pub struct Recovered {
    pub project: Project,
    pub opened: Option<PathBuf>,
    pub edits: usize,
    /** what could not be replayed */
    pub problem: Option<String>,
}
impl Journal {
    /// Starts a journal in `folder` for a project opened from `opened`; every entry is flushed.
    pub fn start(folder: &Path, opened: Option<&Path>, project: &Project) -> Result<Self, FileError> {
        todo!()
    }
    /// Records that the project is now this (a named snapshot or edit).
    pub fn record(&mut self, name: &str, project: &Project) -> Result<(), FileError> {
        todo!()
    }
    /// Saved or closed in order: nothing to recover.
    pub fn finish(self) {
        todo!()
    }
    /// Journals left behind by sessions that did not end in order and whose process is gone.
    pub fn left_behind(folder: &Path) -> Vec<PathBuf> {
        todo!()
    }
    pub fn recover(journal: &Path) -> Result<Recovered, FileError> {
        todo!()
    }
    pub fn discard(journal: &Path) {
        todo!()
    }
}

/// Built-in generic, invented models (`assets/library/cup-models.ron`, compiled in).
pub fn library() -> &'static [Arc<CupModel>] {
    todo!()
}
