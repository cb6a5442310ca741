//! The slow figures in the window: asked for beside the frame, taken over when they come, and what they are shown with:
//! a loss played back on the plan, and two alternatives side by side.

mod state;

use crate::{
    app::Cupwright,
    errand::Errand,
    view::{CompareView, ReplayView},
};
use analysis::{DepthState, EnvelopeReport, Lost};
use document::{LayoutId, MotionId, Project};
pub(crate) use state::Deeper;
use state::{Compared, ComparedOf, Found, Replay};
use std::{sync::Arc, time::Duration};

/// Work on a plan that is no longer shown is stopped after this long; shorter work is let end, so that figures keep
/// coming during a drag.
const PATIENCE: Duration = Duration::from_millis(400);

fn same(a: &Option<(Arc<Project>, LayoutId)>, project: &Arc<Project>, layout: LayoutId) -> bool {
    a.as_ref().is_some_and(|(p, l)| Arc::ptr_eq(p, project) && *l == layout)
}

impl Cupwright {
    /// Takes over what was found and asks for what is missing.
    pub(crate) fn deepen(&mut self, ctx: &egui::Context) {
        let project = self.history.shown().clone();
        if let Some(errand) = &mut self.deeper.depth {
            if let Some(found) = errand.poll() {
                self.deeper.depth = None;
                let of = self.deeper.asked.take();
                if let Some(depth) = found {
                    self.analyst.take_depth(depth);
                    self.report_anew();
                } else if let Some((asked, layout)) = of
                    && Arc::ptr_eq(&asked, &project)
                    && layout == self.layout
                {
                    // It failed: asking again would fail again.
                    self.deeper.done = Some((asked, layout));
                }
            } else if errand.elapsed() > PATIENCE && !same(&self.deeper.asked, &project, self.layout) {
                errand.cancel();
            }
        }
        if self.deeper.depth.is_none()
            && self.report.depth != DepthState::Current
            && !same(&self.deeper.done, &project, self.layout)
        {
            match self.analyst.depth_job(&project, self.layout) {
                Some(job) => {
                    self.deeper.depth = Some(Errand::start(Some(ctx.clone()), move |cancel| job.run(cancel)));
                    self.deeper.asked = Some((project.clone(), self.layout));
                }
                None => self.deeper.done = Some((project.clone(), self.layout)),
            }
        }
        self.keep_comparing(ctx, &project);
        self.deeper.compare_shown = self.compare_view(&project);
        self.keep_envelope(&project);
        let layout = self.layout;
        if self.deeper.replay.as_ref().is_some_and(|r| !Arc::ptr_eq(&r.of.0, &project) || r.of.1 != layout) {
            self.deeper.replay = None;
        }
    }

    /// The envelope of the motion on the plan, where that does not hold the part level (the report has that one).
    fn keep_envelope(&mut self, project: &Arc<Project>) {
        let motion = self.motion.or(self.report.verdict.motion).filter(|id| {
            project
                .motion(*id)
                .is_some_and(|m| m.tilt_deg != 0.0 || matches!(m.worst, document::Worst::TiltTo { .. }))
        });
        let Some(motion) = motion else {
            self.deeper.envelope = None;
            return;
        };
        let held = self
            .deeper
            .envelope
            .as_ref()
            .is_some_and(|((p, l, m), _)| Arc::ptr_eq(p, project) && (*l, *m) == (self.layout, motion));
        if !held {
            let found = self.analyst.envelope_of(project, self.layout, motion).map(Arc::new);
            self.deeper.envelope = Some(((project.clone(), self.layout, motion), found));
        }
    }

    /// The envelope to show beside the level one.
    pub(crate) fn envelope_view(&self) -> Option<Arc<EnvelopeReport>> {
        self.deeper.envelope.as_ref()?.1.clone()
    }

    fn keep_comparing(&mut self, ctx: &egui::Context, project: &Arc<Project>) {
        let units = self.prefs.unit_choice();
        let Some(compared) = &mut self.deeper.compare else { return };
        if project.layout(compared.other).is_none() || compared.other == self.layout {
            let next = project.layouts.iter().map(|l| l.id).find(|id| *id != self.layout);
            match next {
                Some(next) => compared.other = next,
                None => {
                    self.deeper.compare = None;
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
            self.deeper.compare = None;
            return;
        };
        match &mut self.deeper.compare {
            Some(compared) => compared.other = other,
            None => {
                self.deeper.compare = Some(Compared { other, errand: None, analyst: None, found: None });
            }
        }
        self.plan.fit = true;
    }

    /// The layout shown beside, if any.
    pub fn comparing(&self) -> Option<LayoutId> {
        self.deeper.compare.as_ref().map(|c| c.other)
    }

    /// What the window shows beside the plan.
    fn compare_view(&mut self, project: &Arc<Project>) -> Option<CompareView> {
        let units = self.prefs.unit_choice();
        let shown = self.layout;
        let compared = self.deeper.compare.as_ref()?;
        let other = project.layout(compared.other)?.clone();
        let part = project.part(other.part)?.clone();
        let of = ComparedOf { project: project.clone(), shown, other: other.id, units };
        let found =
            compared.found.as_ref().filter(|found| (found.of.shown, found.of.other) == (shown, other.id));
        let comparison = found.map(|found| found.comparison.clone());
        let whole = found.filter(|found| found.of == of).map(|found| found.report.clone());
        let current = whole.is_some();
        let report = whole.unwrap_or_else(|| self.analyst.check(project, other.id));
        Some(CompareView { layout: other, part, report, comparison, current })
    }

    /// Plays back what follows when a cup or zone lets go; `None` ends it.
    pub(crate) fn play_back(&mut self, loss: Option<(MotionId, Lost)>) {
        self.deeper.replay = None;
        let Some((motion, lost)) = loss else { return };
        let project = self.history.committed().clone();
        let steps = self.analyst.replay(&project, self.layout, motion, &lost);
        if steps.is_empty() {
            self.say("There is nothing to play back: the motion has no figure.");
            return;
        }
        self.motion = Some(motion);
        self.deeper.replay =
            Some(Replay { of: (project, self.layout), motion, lost, steps: steps.into(), at: 0 });
    }

    /// Goes on or back in what is played back.
    pub(crate) fn play_step(&mut self, by: isize) {
        if let Some(replay) = &mut self.deeper.replay {
            let last = replay.steps.len().saturating_sub(1);
            replay.at = replay.at.saturating_add_signed(by).min(last);
        }
    }

    /// The motion whose loss is played back.
    pub(crate) fn replayed(&self) -> Option<MotionId> {
        self.deeper.replay.as_ref().map(|r| r.motion)
    }

    /// Whether a loss is played back.
    pub(crate) fn playing(&self) -> bool {
        self.deeper.replay.is_some()
    }

    pub(crate) fn replay_view(&self) -> Option<ReplayView> {
        let replay = self.deeper.replay.as_ref()?;
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
            self.deepen(ctx);
            self.keep_reviewing(ctx);
            let differing = self.differing();
            let depth = self.deeper.depth.is_some();
            let compare = self.deeper.compare.as_ref().is_some_and(|c| c.errand.is_some());
            if !depth && !compare && differing.is_none() {
                return;
            }
            while self.deeper.depth.as_mut().is_some_and(|e| !e.is_over())
                || self.deeper.compare.as_mut().and_then(|c| c.errand.as_mut()).is_some_and(|e| !e.is_over())
                || self.differing() == Some(true)
            {
                std::thread::sleep(Duration::from_millis(1));
            }
        }
    }
}
