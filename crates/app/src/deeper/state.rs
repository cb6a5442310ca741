//! What the window keeps of slow figures.

use crate::{errand::Errand, view::CompareView};
use analysis::{Analyst, Depth, EnvelopeReport, Lost, Report};

use document::{LayoutId, MotionId, Project};
use std::sync::Arc;
use telling::Comparison;
use units::UnitChoice;

/// What the window keeps of slow figures.
#[derive(Default)]
pub(crate) struct Deeper {
    pub(super) depth: Option<Errand<Depth>>,
    /// State of the project that the work under way is about.
    pub(super) asked: Option<(Arc<Project>, LayoutId)>,
    /// State for which there is nothing (more) to find.
    pub(super) done: Option<(Arc<Project>, LayoutId)>,
    pub(super) compare: Option<Compared>,
    /// What the window shows beside the plan.
    pub(crate) compare_shown: Option<CompareView>,
    pub(super) replay: Option<Replay>,
    pub(super) envelope: Option<(EnvelopeOf, Option<Arc<EnvelopeReport>>)>,
}

/// State, layout and motion of an envelope.
pub(super) type EnvelopeOf = (Arc<Project>, LayoutId, MotionId);

/// A comparison that is shown.
pub(super) struct Compared {
    pub(super) other: LayoutId,
    pub(super) errand: Option<Errand<(Analyst, Found)>>,
    pub(super) analyst: Option<Analyst>,
    pub(super) found: Option<Found>,
}

/// What comparing found.
pub(super) struct Found {
    pub(super) comparison: Arc<Comparison>,
    /// Of the other layout, with its slow figures: the window's own analyst works those out for the layout on the plan only.
    pub(super) report: Arc<Report>,
    pub(super) of: ComparedOf,
}

/// What a comparison is about.
#[derive(Clone)]
pub(super) struct ComparedOf {
    pub(super) project: Arc<Project>,
    pub(super) shown: LayoutId,
    pub(super) other: LayoutId,
    pub(super) units: UnitChoice,
}

impl PartialEq for ComparedOf {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.project, &other.project)
            && (self.shown, self.other, self.units) == (other.shown, other.other, other.units)
    }
}

/// A loss that is played back.
pub(super) struct Replay {
    pub(super) of: (Arc<Project>, LayoutId),
    pub(super) motion: MotionId,
    pub(super) lost: Lost,
    pub(super) steps: Arc<[analysis::LossStepReport]>,
    pub(super) at: usize,
}
