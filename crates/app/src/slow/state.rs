//! What the window keeps of slow figures.

use crate::{errand::Errand, view::CompareView};
use analysis::{Analyst, EnvelopeReport, Lost, Report, Slow, SlowFound, SlowJob, SlowWork, Watch};

use document::{LayoutId, MotionId, Project};
use std::sync::{
    Arc,
    mpsc::{Receiver, channel},
};
use telling::Comparison;
use units::UnitChoice;

/// What the window keeps of slow figures.
#[derive(Default)]
pub(crate) struct SlowFigures {
    pub(super) job: Option<Job>,
    /// Figures that are followed while a cup is dragged.
    pub(super) followed: Option<Job>,
    /// State for which following them came to nothing.
    pub(super) not_followed: Option<(Arc<Project>, LayoutId)>,
    /// State for which there is nothing (more) to find.
    pub(super) done: Option<(Arc<Project>, LayoutId)>,
    pub(super) compare: Option<Compared>,
    /// What the window shows beside the plan.
    pub(crate) compare_shown: Option<CompareView>,
    pub(super) replay: Option<Replay>,
    pub(super) envelope: Option<(EnvelopeOf, Option<Arc<EnvelopeReport>>)>,
}

/// Slow figures under way; dropping it asks all of them to stop.
pub(super) struct Job {
    pub(super) errand: Errand<()>,
    pub(super) found: Receiver<SlowFound>,
    pub(super) watch: Arc<Watch>,
    pub(super) work: SlowWork,
    /// The part that it is about, of a tool that carries several.
    pub(super) seat: Option<document::SeatId>,
    /// In the order in which they are worked out.
    pub(super) figures: Vec<Slow>,
    /// State of the project that it is about.
    pub(super) of: (Arc<Project>, LayoutId),
}

impl Job {
    pub(super) fn start(ctx: egui::Context, job: SlowJob, of: (Arc<Project>, LayoutId)) -> Self {
        let (give, found) = channel();
        let watch = Arc::new(Watch::default());
        let seat = job.seat();
        let (work, figures, watched) = (job.work(), job.figures().collect(), Arc::clone(&watch));
        let errand = Errand::start(Some(ctx.clone()), move |_| {
            job.run(&watched, &mut |found| {
                // Nobody takes it once the window is gone.
                if give.send(found).is_ok() {
                    ctx.request_repaint();
                }
            });
            Some(())
        });
        Self { errand, found, watch, work, seat, figures, of }
    }
}

impl Drop for Job {
    fn drop(&mut self) {
        self.watch.stop_all();
    }
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
