//! The slow figures: limit load, lost cups, ranges. Worked out from a snapshot, beside the window, and taken back.

mod figures;
mod lost;
mod range;
mod ratio;
mod replay;
mod stage;

use figures::MOST;
pub(crate) use figures::{DropRemedy, Figures};
#[cfg(test)]
pub(crate) use figures::{Most, work_out};
pub(crate) use ratio::{Known, Ratio, Ratios, ratios};
pub(crate) use stage::DepthStage;

use crate::{report::Report, snapshot::Snapshot, stages::Analyst};
use document::{LayoutId, Project};
use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

/// Everything the slow stages need, on its own: may go to another thread.
///
/// ```
/// use analysis::{Analyst, DepthState};
/// use document::{Part, PartId, Project};
/// use std::sync::atomic::AtomicBool;
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let mut analyst = Analyst::new();
/// // Without cups there is nothing to work on.
/// assert!(analyst.depth_job(&project, project.layouts[0].id).is_none());
/// assert_eq!(analyst.check_whole(&project, project.layouts[0].id).depth, DepthState::Absent);
/// ```
#[derive(Debug, Clone)]
pub struct DepthJob {
    layout: LayoutId,
    snapshot: Arc<Snapshot>,
    /// What an earlier job found, whose motions are taken over where nothing of them changed.
    earlier: Option<(Arc<Snapshot>, Arc<Figures>)>,
}

/// What a [`DepthJob`] found.
#[derive(Debug, Clone)]
pub struct Depth {
    /// The layout it is about.
    pub layout: LayoutId,
    snapshot: Arc<Snapshot>,
    figures: Arc<Figures>,
}

/// Whether somebody asked to stop.
fn stopped(cancel: &AtomicBool) -> bool {
    cancel.load(Ordering::Relaxed)
}

impl DepthJob {
    /// Works it out; `None` when `cancel` became true meanwhile.
    pub fn run(&self, cancel: &AtomicBool) -> Option<Depth> {
        let earlier = self.earlier.as_ref().map(|(snapshot, figures)| (snapshot.as_ref(), figures.as_ref()));
        let figures = figures::work_out(&self.snapshot, earlier, MOST, cancel)?;
        Some(Depth { layout: self.layout, snapshot: Arc::clone(&self.snapshot), figures: Arc::new(figures) })
    }
}

impl Analyst {
    /// What the slow stages of a layout would work on; `None` when they are done for this state of the project, or when
    /// there is nothing to work on.
    pub fn depth_job(&mut self, project: &Project, layout: LayoutId) -> Option<DepthJob> {
        self.check(project, layout);
        let stage = &self.layouts.get(&layout)?.depth;
        let snapshot = stage.snapshot.as_ref().filter(|snapshot| !snapshot.cases.is_empty())?;
        if stage.is_current() {
            return None;
        }
        let earlier = stage.held.as_ref().map(|held| (Arc::clone(&held.snapshot), Arc::clone(&held.figures)));
        Some(DepthJob { layout, snapshot: Arc::clone(snapshot), earlier })
    }

    /// Takes over what a job found; the next report of that layout holds it.
    ///
    /// Nothing is taken over for a layout that was never checked or is gone.
    pub fn take_depth(&mut self, depth: Depth) {
        if let Some(stage) = self.layouts.get_mut(&depth.layout) {
            stage.depth.take(depth.snapshot, depth.figures);
            stage.forget_report();
        }
    }

    /// As [`Analyst::check`], with the slow figures worked out as well.
    pub fn check_whole(&mut self, project: &Project, layout: LayoutId) -> Arc<Report> {
        if let Some(job) = self.depth_job(project, layout)
            && let Some(depth) = job.run(&AtomicBool::new(false))
        {
            self.take_depth(depth);
        }
        self.check(project, layout)
    }

    /// What the slow stages of a layout work on, after a check.
    pub(crate) fn snapshot(&mut self, project: &Project, layout: LayoutId) -> Option<Arc<Snapshot>> {
        self.check(project, layout);
        self.layouts.get(&layout)?.depth.snapshot.clone()
    }

    /// The same with the names of its assumed inputs.
    pub(crate) fn snapshot_named(
        &mut self,
        project: &Project,
        layout: LayoutId,
    ) -> Option<(Arc<Snapshot>, Vec<String>)> {
        self.check(project, layout);
        let stage = &self.layouts.get(&layout)?.depth;
        Some((stage.snapshot.clone()?, stage.names().to_vec()))
    }
}
