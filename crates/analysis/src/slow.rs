//! The slow figures: a part that bends, limit factors, lost cups, ranges and the like. Worked out from a snapshot, beside the window, and
//! taken back one by one.

mod bending;
mod bent_reserve;
mod envelope;
mod figure;
mod follow;
mod limits;
mod losses;
mod ranges;
mod ratio;
mod remedy;
mod replay;
mod ringing;
mod stage;
mod times;
mod watch;

pub(crate) use figure::Most;
pub use figure::Slow;
pub(crate) use ratio::{Known, Ratio, Ratios, ratios};
pub(crate) use remedy::DropRemedy;
pub(crate) use stage::SlowStage;
pub use watch::Watch;

use crate::{family::is_family, report::Report, snapshot::Snapshot, stages::Analyst};
use document::{LayoutId, Project, SeatId};
use figure::{Held, Kept, MOST, On, Shelf};
use std::sync::Arc;

/// Those slow figures of one layout that do not belong to its plan, with all that they are worked out from: may go to another
/// thread.
///
/// ```
/// use analysis::{Ages, Analyst};
/// use document::{Part, PartId, Project};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let mut analyst = Analyst::new();
/// // Without cups there is nothing to work on.
/// assert!(analyst.slow_job(&project, project.layouts[0].id).is_none());
/// assert_eq!(analyst.check_whole(&project, project.layouts[0].id).ages, Ages::default());
/// ```
#[derive(Debug, Clone)]
pub struct SlowJob {
    layout: LayoutId,
    /// Of a tool that carries several parts: which.
    seat: Option<SeatId>,
    snapshot: Arc<Snapshot>,
    names: Arc<[String]>,
    /// What is known already; of an earlier plan, motions of which nothing changed are taken over.
    shelf: Shelf,
    most: Most,
    /// In the order of the table.
    wanted: Vec<Slow>,
}

/// One figure that a [`SlowJob`] found.
#[derive(Debug, Clone)]
pub struct SlowFound {
    /// The layout it is about.
    pub layout: LayoutId,
    /// Which figure it is.
    pub slow: Slow,
    seat: Option<SeatId>,
    of: Arc<Snapshot>,
    names: Arc<[String]>,
    found: Kept,
}

impl SlowJob {
    /// Works them out in their order and gives each when it is there. A figure that is stopped is left out, and those that
    /// stand on it.
    pub fn run(mut self, watch: &Watch, give: &mut dyn FnMut(SlowFound)) {
        for slow in self.wanted.clone() {
            let missing = |other: &Slow| !self.shelf.is_of(*other, &self.snapshot);
            if !missing(&slow) || slow.row().after.iter().any(missing) || watch.is_stopped(slow) {
                continue;
            }
            let on = On { slow, snapshot: &self.snapshot, shelf: &self.shelf, most: self.most, watch };
            let Some(found) = (slow.row().work_out)(&on) else { continue };
            watch.tell(slow, 1, 1);
            let held = Held {
                of: Arc::clone(&self.snapshot),
                names: Arc::clone(&self.names),
                found: Arc::clone(&found),
            };
            self.shelf.put(slow, held);
            let (of, names) = (Arc::clone(&self.snapshot), Arc::clone(&self.names));
            give(SlowFound { layout: self.layout, slow, seat: self.seat, of, names, found });
        }
    }

    /// The same with some of its figures only; those that stand on others wait until these are there.
    #[must_use]
    pub fn only(mut self, wanted: impl Fn(Slow) -> bool) -> Option<Self> {
        self.wanted = Slow::all().filter(|slow| wanted(*slow)).collect();
        let any = self.figures().next().is_some();
        any.then_some(self)
    }

    /// The figures that it works out.
    pub fn figures(&self) -> impl Iterator<Item = Slow> + '_ {
        self.wanted.iter().copied().filter(|slow| !self.shelf.is_of(*slow, &self.snapshot))
    }
}

impl Analyst {
    /// The slow figures of a layout that do not belong to this state of the project; `None` when all do, or when there is
    /// nothing to work on.
    pub fn slow_job(&mut self, project: &Project, layout: LayoutId) -> Option<SlowJob> {
        self.slow_job_of(project, layout, MOST)
    }

    /// As [`Analyst::slow_job`], with so much work at most.
    pub(crate) fn slow_job_of(&mut self, project: &Project, layout: LayoutId, most: Most) -> Option<SlowJob> {
        if is_family(project, layout) {
            return self.slow_job_of_seats(project, layout, most);
        }
        self.check(project, layout);
        let stage = &self.layouts.get(&layout)?.slow;
        let snapshot = stage.snapshot.as_ref().filter(|snapshot| !snapshot.cases.is_empty())?;
        let job = SlowJob {
            layout,
            seat: None,
            snapshot: Arc::clone(snapshot),
            names: Arc::clone(&stage.names),
            shelf: stage.shelf.clone(),
            most,
            wanted: Slow::all().collect(),
        };
        let any = job.figures().next().is_some();
        any.then_some(job)
    }

    /// The job of the first part on the tool that lacks figures, the one shown before all others.
    fn slow_job_of_seats(&mut self, project: &Project, layout: LayoutId, most: Most) -> Option<SlowJob> {
        self.slow_jobs_of_seats(project, layout, most).into_iter().next()
    }

    /// As [`Analyst::slow_job`], of every part that the layout carries.
    pub(crate) fn slow_jobs(&mut self, project: &Project, layout: LayoutId) -> Vec<SlowJob> {
        if is_family(project, layout) {
            self.slow_jobs_of_seats(project, layout, MOST)
        } else {
            self.slow_job(project, layout).into_iter().collect()
        }
    }

    fn slow_jobs_of_seats(&mut self, project: &Project, layout: LayoutId, most: Most) -> Vec<SlowJob> {
        let report = self.check(project, layout);
        let Some(family) = &report.family else { return Vec::new() };
        let shown = self.seat_shown(layout);
        let mut seats: Vec<_> = family.seats.iter().collect();
        seats.sort_by_key(|held| Some(held.seat.id) != shown);
        let mut jobs = Vec::new();
        for held in seats {
            let stage = self.family.seats.get_mut(&(layout, held.seat.id));
            let job = stage.and_then(|stage| stage.analyst.slow_job_of(&held.project, layout, most));
            jobs.extend(job.map(|job| SlowJob { seat: Some(held.seat.id), ..job }));
        }
        jobs
    }

    /// Takes over what a job found; the next report of that layout holds it.
    ///
    /// Nothing is taken over for a layout that was never checked or is gone.
    pub fn take_slow(&mut self, found: SlowFound) {
        if let Some(seat) = found.seat {
            let layout = found.layout;
            if let Some(stage) = self.family.seats.get_mut(&(layout, seat)) {
                stage.analyst.take_slow(SlowFound { seat: None, ..found });
                self.family.forget_report(layout);
            }
            return;
        }
        if let Some(stage) = self.layouts.get_mut(&found.layout) {
            stage.slow.take(found);
            stage.forget_report();
        }
    }

    /// Whether a figure that a job works on would belong to the plan as it was last checked.
    pub fn still_wants(&self, job: &SlowWork, slow: Slow) -> bool {
        if let Some(seat) = job.seat {
            let stage = self.family.seats.get(&(job.layout, seat));
            let own = SlowWork { seat: None, ..job.clone() };
            return stage.is_some_and(|stage| stage.analyst.still_wants(&own, slow));
        }
        let now = self.layouts.get(&job.layout).and_then(|stage| stage.slow.snapshot.as_ref());
        now.is_some_and(|now| (slow.row().same_inputs)(now, &job.snapshot))
    }

    /// As [`Analyst::check`], with the slow figures worked out as well.
    pub fn check_whole(&mut self, project: &Project, layout: LayoutId) -> Arc<Report> {
        for job in self.slow_jobs(project, layout) {
            job.run(&Watch::default(), &mut |found| self.take_slow(found));
        }
        self.check(project, layout)
    }

    /// What the slow stages of a layout work on, after a check.
    pub(crate) fn snapshot(&mut self, project: &Project, layout: LayoutId) -> Option<Arc<Snapshot>> {
        if let Some((analyst, alone)) = self.seated(project, layout) {
            return analyst.snapshot(&alone, layout);
        }
        self.check(project, layout);
        self.layouts.get(&layout)?.slow.snapshot.clone()
    }

    /// The same with the names of its assumed inputs.
    pub(crate) fn snapshot_named(
        &mut self,
        project: &Project,
        layout: LayoutId,
    ) -> Option<(Arc<Snapshot>, Vec<String>)> {
        if let Some((analyst, alone)) = self.seated(project, layout) {
            return analyst.snapshot_named(&alone, layout);
        }
        self.check(project, layout);
        let stage = &self.layouts.get(&layout)?.slow;
        Some((stage.snapshot.clone()?, stage.names().to_vec()))
    }
}

/// What a job under way is about, to be asked whether it is still wanted.
#[derive(Debug, Clone)]
pub struct SlowWork {
    layout: LayoutId,
    seat: Option<SeatId>,
    snapshot: Arc<Snapshot>,
}

impl SlowJob {
    /// The part that it is about, of a tool that carries several.
    pub fn seat(&self) -> Option<SeatId> {
        self.seat
    }

    /// What it is about.
    pub fn work(&self) -> SlowWork {
        SlowWork { layout: self.layout, seat: self.seat, snapshot: Arc::clone(&self.snapshot) }
    }
}
