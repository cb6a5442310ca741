//! The slow figures in the window: asked for beside the frame, taken over when they come, and what they are shown with:
//! a loss played back on the plan, and two alternatives side by side.

mod state;

use crate::{
    app::Cupwright,
    errand::Errand,
    view::{CompareView, ReplayView},
};
use analysis::{EnvelopeReport, Lost, Slow};
use document::{LayoutId, MotionId, Project};
pub(crate) use state::SlowFigures;
use state::{Compared, ComparedOf, Found, Job, Replay};
use std::{sync::Arc, time::Duration};

/// Work on a plan that is no longer shown is stopped after this long; shorter work is let end, so that figures keep
/// coming during a drag.
const PATIENCE: Duration = Duration::from_millis(400);

/// How often progress is drawn anew.
const TOLD_EVERY: Duration = Duration::from_millis(250);

fn same(a: &Option<(Arc<Project>, LayoutId)>, project: &Arc<Project>, layout: LayoutId) -> bool {
    a.as_ref().is_some_and(|(p, l)| Arc::ptr_eq(p, project) && *l == layout)
}

impl Cupwright {
    /// Takes over what was found and asks for what is missing.
    pub(crate) fn follow_slow_figures(&mut self, ctx: &egui::Context) {
        let project = self.history.shown().clone();
        let bends = self.follow_bending(ctx, &project);
        self.take_slow_figures(ctx, &project);
        if self.slow.job.is_none()
            && !bends
            && !self.whole().ages.all_current()
            && !same(&self.slow.done, &project, self.layout)
        {
            let of = (project.clone(), self.layout);
            match self.analyst.slow_job(&project, self.layout) {
                Some(job) => self.slow.job = Some(Job::start(ctx.clone(), job, of)),
                None => self.slow.done = Some(of),
            }
        }
        self.keep_comparing(ctx, &project);
        self.slow.compare_shown = self.compare_view(&project);
        self.keep_envelope(&project);
        let layout = self.layout;
        if self.slow.replay.as_ref().is_some_and(|r| !Arc::ptr_eq(&r.of.0, &project) || r.of.1 != layout) {
            self.slow.replay = None;
        }
    }

    /// A part that bends is followed while a cup is dragged, on a thread of its own: a few milliseconds behind the plan, and marked
    /// so meanwhile. Whether it is under way; the other figures wait for it, since some stand on it.
    fn follow_bending(&mut self, ctx: &egui::Context, project: &Arc<Project>) -> bool {
        if let Some(job) = &self.slow.followed {
            let over = job.errand.is_over();
            let mut any = false;
            for found in job.found.try_iter() {
                self.analyst.take_slow(found);
                any = true;
            }
            let of = over.then(|| self.slow.followed.take().map(|job| job.of.clone())).flatten();
            if any {
                self.report_anew();
            } else if of.is_some() {
                // What failed would fail again.
                self.slow.not_followed = of;
            }
        }
        let part = self.part_on_tool(project);
        let bends = part.is_some_and(|part| part.modulus_n_mm2.is_some());
        let current = self.report.ages.is_current(Slow::Bending);
        if self.slow.followed.is_none()
            && bends
            && !current
            && !same(&self.slow.not_followed, project, self.layout)
        {
            let job = self.analyst.slow_job(project, self.layout);
            let of = (project.clone(), self.layout);
            match job.and_then(|job| job.only(Slow::is_followed)) {
                Some(job) => self.slow.followed = Some(Job::start(ctx.clone(), job, of)),
                None => self.slow.not_followed = Some(of),
            }
        }
        self.slow.followed.is_some()
    }

    /// Takes over what the job under way found. Figures that the plan has gone on from are stopped after a while, the others
    /// run on.
    fn take_slow_figures(&mut self, ctx: &egui::Context, project: &Arc<Project>) {
        let Some(job) = &mut self.slow.job else { return };
        // Asked before what it gave is taken, so that nothing is left behind.
        let over = job.errand.is_over();
        let mut any = false;
        for found in job.found.try_iter() {
            self.analyst.take_slow(found);
            any = true;
        }
        let shown = Arc::ptr_eq(&job.of.0, project) && job.of.1 == self.layout;
        let seat = job.seat;
        if !over && job.errand.elapsed() > PATIENCE {
            if !shown {
                let gone = job.figures.iter().filter(|slow| !self.analyst.still_wants(&job.work, **slow));
                gone.for_each(|slow| job.watch.stop(*slow));
            }
            ctx.request_repaint_after(TOLD_EVERY);
        }
        let of = over.then(|| self.slow.job.take().map(|job| job.of.clone())).flatten();
        if any {
            self.report_anew();
        }
        // What failed would fail again.
        if shown && of.is_some() && !self.ages_of(seat).all_current() {
            self.slow.done = of;
        }
    }

    /// The figure that is being worked out and how far it is, once that takes its time.
    pub(crate) fn slow_now(&self) -> Option<(Slow, f64)> {
        let job = self.slow.job.as_ref().filter(|job| job.errand.elapsed() > PATIENCE)?;
        let slow = job.figures.iter().find(|slow| job.watch.progress(**slow) < 1.0)?;
        Some((*slow, job.watch.progress(*slow)))
    }

    /// The envelope of the motion on the plan, where that does not hold the part level (the report has that one).
    fn keep_envelope(&mut self, project: &Arc<Project>) {
        let motion = self.motion.or(self.report.verdict.motion).filter(|id| {
            project
                .motion(*id)
                .is_some_and(|m| m.tilt_deg != 0.0 || matches!(m.worst, document::Worst::TiltTo { .. }))
        });
        let Some(motion) = motion else {
            self.slow.envelope = None;
            return;
        };
        let held = self
            .slow
            .envelope
            .as_ref()
            .is_some_and(|((p, l, m), _)| Arc::ptr_eq(p, project) && (*l, *m) == (self.layout, motion));
        if !held {
            let found = self.analyst.envelope_of(project, self.layout, motion).map(Arc::new);
            self.slow.envelope = Some(((project.clone(), self.layout, motion), found));
        }
    }

    /// The envelope to show beside the level one.
    pub(crate) fn envelope_view(&self) -> Option<Arc<EnvelopeReport>> {
        self.slow.envelope.as_ref()?.1.clone()
    }

    fn keep_comparing(&mut self, ctx: &egui::Context, project: &Arc<Project>) {
        let units = self.prefs.unit_choice();
        let Some(compared) = &mut self.slow.compare else { return };
        if project.layout(compared.other).is_none() || compared.other == self.layout {
            let next = project.layouts.iter().map(|l| l.id).find(|id| *id != self.layout);
            match next {
                Some(next) => compared.other = next,
                None => {
                    self.slow.compare = None;
                    return;
                }
            }
        }
        if let Some(found) = compared.errand.as_mut().and_then(Errand::poll) {
            compared.errand = None;
            if let Some((analyst, found)) = found {
                compared.analyst = Some(analyst);
                compared.found = Some(found);
            }
        }
        let of = ComparedOf { project: project.clone(), shown: self.layout, other: compared.other, units };
        let current = compared.found.as_ref().is_some_and(|found| found.of == of);
        if compared.errand.is_none() && !current {
            let mut analyst = compared.analyst.take().unwrap_or_default();
            compared.errand = Some(Errand::start(Some(ctx.clone()), move |_| {
                analyst.set_units(of.units);
                let comparison = telling::compare(&mut analyst, &of.project, &[of.shown, of.other]);
                let report = analyst.check_whole(&of.project, of.other);
                Some((analyst, Found { comparison: Arc::new(comparison), report, of }))
            }));
        }
    }

    /// Shows another layout beside the one on the plan; `None` puts it away.
    pub(crate) fn compare_with(&mut self, other: Option<LayoutId>) {
        let Some(other) = other else {
            self.slow.compare = None;
            return;
        };
        match &mut self.slow.compare {
            Some(compared) => compared.other = other,
            None => {
                self.slow.compare = Some(Compared { other, errand: None, analyst: None, found: None });
            }
        }
        self.plan.fit = true;
    }

    /// The layout shown beside, if any.
    pub fn comparing(&self) -> Option<LayoutId> {
        self.slow.compare.as_ref().map(|c| c.other)
    }

    /// What the window shows beside the plan.
    fn compare_view(&mut self, project: &Arc<Project>) -> Option<CompareView> {
        let units = self.prefs.unit_choice();
        let shown = self.layout;
        let compared = self.slow.compare.as_ref()?;
        let other = project.layout(compared.other)?.clone();
        let part = project.part(other.part)?.clone();
        let lying = other.all_seats().first().map_or_else(|| part.clone(), |seat| seat.place(&part));
        let of = ComparedOf { project: project.clone(), shown, other: other.id, units };
        let found =
            compared.found.as_ref().filter(|found| (found.of.shown, found.of.other) == (shown, other.id));
        let comparison = found.map(|found| found.comparison.clone());
        let whole = found.filter(|found| found.of == of).map(|found| found.report.clone());
        let current = whole.is_some();
        let report = whole.unwrap_or_else(|| self.analyst.check(project, other.id));
        Some(CompareView { layout: other, part, lying, report, comparison, current })
    }

    /// Plays back what follows when a cup or zone lets go; `None` ends it.
    pub(crate) fn play_back(&mut self, loss: Option<(MotionId, Lost)>) {
        self.slow.replay = None;
        let Some((motion, lost)) = loss else { return };
        let project = self.history.committed().clone();
        let steps = self.analyst.replay(&project, self.layout, motion, &lost);
        if steps.is_empty() {
            self.say("There is nothing to play back: the motion has no result.");
            return;
        }
        self.motion = Some(motion);
        self.slow.replay =
            Some(Replay { of: (project, self.layout), motion, lost, steps: steps.into(), at: 0 });
    }

    /// Goes on or back in what is played back.
    pub(crate) fn play_step(&mut self, by: isize) {
        if let Some(replay) = &mut self.slow.replay {
            let last = replay.steps.len().saturating_sub(1);
            replay.at = replay.at.saturating_add_signed(by).min(last);
        }
    }

    /// The motion whose loss is played back.
    pub(crate) fn replayed(&self) -> Option<MotionId> {
        self.slow.replay.as_ref().map(|r| r.motion)
    }

    /// Whether a loss is played back.
    pub(crate) fn playing(&self) -> bool {
        self.slow.replay.is_some()
    }

    pub(crate) fn replay_view(&self) -> Option<ReplayView> {
        let replay = self.slow.replay.as_ref()?;
        Some(ReplayView {
            motion: replay.motion,
            lost: replay.lost.clone(),
            steps: replay.steps.clone(),
            at: replay.at,
        })
    }

    /// Waits until the slow figures belong to the plan, for tests and for what is written.
    pub fn settle(&mut self, ctx: &egui::Context) {
        for _ in 0..8 {
            self.follow_slow_figures(ctx);
            self.keep_reviewing(ctx);
            let differing = self.differing();
            let slow = self.slow.job.is_some() || self.slow.followed.is_some();
            let compare = self.slow.compare.as_ref().is_some_and(|c| c.errand.is_some());
            if !slow && !compare && differing.is_none() {
                return;
            }
            let under_way = |job: &Option<Job>| job.as_ref().is_some_and(|job| !job.errand.is_over());
            while under_way(&self.slow.job)
                || under_way(&self.slow.followed)
                || self.slow.compare.as_mut().and_then(|c| c.errand.as_mut()).is_some_and(|e| !e.is_over())
                || self.differing() == Some(true)
            {
                std::thread::sleep(Duration::from_millis(1));
            }
        }
    }
}
