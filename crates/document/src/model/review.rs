//! Issued revisions, and what colleagues say of them.

use super::{CupId, LayoutId, MotionId, Project, RemarkId};
use glam::DVec2;
use std::sync::Arc;

/// A revision as it was handed out: the whole content at that moment, frozen.
#[derive(Debug, Clone, PartialEq)]
pub struct Issued {
    /// "B".
    pub index: String,
    /// ISO 8601.
    pub on: String,
    /// Who issued it.
    pub by: String,
    /// What changed since the one before.
    pub what: String,
    /// Name and version of the program whose figures went out with it; figures on a sheet of that time are historical.
    pub program: String,
    /// [`Project::fingerprint`] of the content, as printed on what went out with it.
    pub fingerprint: String,
    /// The mark that the file's content has where it is another one: somebody changed it by hand. Found on reading, not kept.
    pub found: Option<String>,
    /// The content, with no issued revisions and no review of its own.
    pub content: Arc<Project>,
}

/// What colleagues say of a project: it is no content, and changes no figure and no fingerprint.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Review {
    /// In the order they were made.
    pub remarks: Vec<Remark>,
    /// Oldest first.
    pub decisions: Vec<Decision>,
    /// Questions of the checklist that were looked into.
    pub ticks: Vec<Tick>,
}

impl Review {
    /// Remarks that nobody settled.
    pub fn open(&self) -> impl Iterator<Item = &Remark> {
        self.remarks.iter().filter(|remark| remark.resolved.is_none())
    }
}

/// Something said about a place of the project.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    /// Never reused within a project.
    pub id: RemarkId,
    /// What it is about.
    pub pin: Pin,
    /// What the subject was called when it was said ("C4"), for when it is gone.
    pub called: String,
    /// What is said.
    pub text: String,
    /// Who says it.
    pub by: String,
    /// ISO 8601.
    pub on: String,
    /// [`Project::fingerprint`] of the content it was said of.
    pub of: String,
    /// In the order they were given.
    pub answers: Vec<Answer>,
    /// Who settled it and when; an empty text of its own.
    pub resolved: Option<Answer>,
}

/// What a remark is about. A subject that is gone leaves the remark where it is.
#[derive(Debug, Clone, PartialEq)]
pub enum Pin {
    /// The project as a whole.
    Whole,
    /// One cup.
    Cup(LayoutId, CupId),
    /// A place on the plan, mm.
    Place(LayoutId, DVec2),
    /// A motion.
    Motion(MotionId),
    /// A finding.
    Finding {
        /// Where.
        layout: LayoutId,
        /// Name of the rule.
        rule: String,
        /// Cups it is about.
        subject: Vec<CupId>,
        /// Motion it is about.
        motion: Option<MotionId>,
    },
}

/// What is said to a remark.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// What is said.
    pub text: String,
    /// Who says it.
    pub by: String,
    /// ISO 8601.
    pub on: String,
}

/// What a reviewer decided on one content.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decision {
    /// Accepted, or sent back.
    pub outcome: Outcome,
    /// With which words.
    pub text: String,
    /// Who decided.
    pub by: String,
    /// ISO 8601.
    pub on: String,
    /// Index of the revision the content was issued as, or empty.
    pub revision: String,
    /// [`Project::fingerprint`] of the content decided on.
    pub of: String,
}
/// How a review ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// May be built.
    Accept,
    /// Goes back to whoever made it.
    SendBack,
}

/// A question of the checklist that was looked into.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tick {
    /// Key of the question: stays the same while the question is about the same thing.
    pub key: String,
    /// The question as it was worded then, in the units of who ticked it.
    pub asked: String,
    /// Its state in any units; where the question has another one now, the tick is of an older state.
    pub state: String,
    /// Who looked into it.
    pub by: String,
    /// ISO 8601.
    pub on: String,
    /// The remark that was made of it, if one was.
    pub remark: Option<RemarkId>,
}
