//! What the window keeps of a review.

use crate::{
    errand::Errand,
    view::{Beside, ContentMark},
};
use analysis::Analyst;

use document::{LayoutId, Project};
use std::sync::Arc;
use telling::{Difference, Elsewhere, Question};
use units::UnitChoice;

/// What the window keeps of a review.
#[derive(Default)]
pub(crate) struct Reviewing {
    /// Whether one is under way.
    pub(super) on: bool,
    /// Whether only remarks, decisions and ticks are taken.
    pub(super) sealed: bool,
    pub(super) beside: Option<Beside>,
    pub(super) errand: Option<Errand<(Analyst, Difference, DifferenceOf)>>,
    pub(super) analyst: Option<Analyst>,
    pub(super) found: Option<(Arc<Difference>, DifferenceOf)>,
    pub(super) at: Option<usize>,
    pub(super) questions: Option<(QuestionsOf, Arc<[Question]>)>,
    pub(super) content: Option<(Arc<Project>, ContentMark)>,
    pub(super) elsewhere: Option<(DifferenceOf, LayoutId, Arc<Elsewhere>)>,
}

/// Report and project that questions are about.
pub(super) type QuestionsOf = (Arc<analysis::Report>, Arc<Project>);

/// What a difference is between.
#[derive(Clone)]
pub(super) struct DifferenceOf {
    pub(super) earlier: Arc<Project>,
    pub(super) now: Arc<Project>,
    pub(super) units: UnitChoice,
}

impl PartialEq for DifferenceOf {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.earlier, &other.earlier)
            && Arc::ptr_eq(&self.now, &other.now)
            && self.units == other.units
    }
}
