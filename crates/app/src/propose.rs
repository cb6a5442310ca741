//! Layouts proposed in the window: asked for beside the frame, shown as cards, taken as a new alternative; and where one more cup would
//! help most.

mod state;

use crate::{app::Cupwright, errand::Errand, view::ProposeView};
use analysis::{MoreAt, ProposalWatch, Wish};
use document::LayoutId;
pub(crate) use state::Proposing;
use state::{Ended, More, Underway};
use std::{
    sync::{Arc, mpsc::channel},
    time::Duration,
};

/// How often progress is drawn anew.
const TOLD_EVERY: Duration = Duration::from_millis(120);

impl Cupwright {
    /// Starts looking; what was under way is stopped.
    pub(crate) fn propose(&mut self, ctx: &egui::Context, wish: Wish) {
        let (project, layout) = (self.history.committed().clone(), self.layout);
        let job = self.analyst.proposal_job(&project, layout, wish);
        let watch = Arc::new(ProposalWatch::default());
        let (give, found) = channel();
        let (watched, again) = (Arc::clone(&watch), ctx.clone());
        let errand = Errand::start(Some(ctx.clone()), move |_| {
            let ended = job.run(&watched, &mut |so_far| {
                // Nobody takes it once the window is gone.
                if give.send(so_far).is_ok() {
                    again.request_repaint();
                }
            });
            Some(ended)
        });
        self.proposing.ended = None;
        self.proposing.underway = Some(Underway { errand, watch, found, of: (project, layout) });
    }

    /// Stops and keeps the best so far.
    pub(crate) fn stop_proposing(&mut self) {
        if let Some(underway) = &self.proposing.underway {
            underway.watch.stop();
        }
    }

    /// Takes over what was found.
    pub(crate) fn follow_proposals(&mut self, ctx: &egui::Context) {
        if let Some(underway) = &mut self.proposing.underway {
            for so_far in underway.found.try_iter() {
                self.proposing.so_far = Some(Arc::new(so_far));
            }
            match underway.errand.poll() {
                None => ctx.request_repaint_after(TOLD_EVERY),
                Some(ended) => {
                    let of = underway.of.clone();
                    self.proposing.underway = None;
                    self.proposing.so_far = None;
                    // A fault of the program is in the log; it says nothing of layouts.
                    let failed = "the search hit an internal error, see the log".to_owned();
                    let found = ended.map_or(Err(failed), |ended| {
                        ended.map(Arc::new).map_err(|why| crate::panels::sentence(&why.to_string()))
                    });
                    self.proposing.ended = Some(Ended { found, of });
                }
            }
        }
        self.follow_more(ctx);
    }

    /// Keeps the map of where one more cup would help in step, after a drag ends.
    fn follow_more(&mut self, ctx: &egui::Context) {
        if !self.panels.more_cups {
            self.proposing.more = None;
            return;
        }
        if self.plan.drag.is_some() {
            return;
        }
        let of = (self.history.committed().clone(), self.layout);
        let same = |held: &More| Arc::ptr_eq(&held.of.0, &of.0) && held.of.1 == of.1;
        match &mut self.proposing.more {
            Some(more) if same(more) => {
                if let Some(found) = more.errand.as_mut().and_then(Errand::poll) {
                    more.errand = None;
                    more.found = Some(found.unwrap_or_default());
                }
            }
            _ => {
                let (job, stop) = (self.analyst.more_job(&of.0, of.1), Arc::new(ProposalWatch::default()));
                let watched = Arc::clone(&stop);
                let errand = Errand::start(Some(ctx.clone()), move |_| Some(job.run(&watched)));
                self.proposing.more = Some(More { errand: Some(errand), found: None, of, stop });
            }
        }
    }

    /// What the panel shows.
    pub(crate) fn propose_view(&self) -> Option<ProposeView> {
        if !self.panels.propose.open {
            return None;
        }
        let underway = self.proposing.underway.as_ref();
        let (now, layout) = (self.history.committed(), self.layout);
        let ended = self.proposing.ended.as_ref();
        let found = match underway {
            Some(_) => self.proposing.so_far.clone(),
            None => ended.and_then(|ended| ended.found.as_ref().ok()).cloned(),
        };
        let of = underway.map(|underway| &underway.of).or(ended.map(|ended| &ended.of));
        Some(ProposeView {
            found,
            failed: ended
                .and_then(|ended| ended.found.as_ref().err())
                .filter(|_| underway.is_none())
                .cloned(),
            progress: underway.map(|underway| underway.watch.progress()),
            current: of.is_none_or(|(project, of)| Arc::ptr_eq(project, now) && *of == layout),
        })
    }

    /// Where one more cup would help, for the plan.
    pub(crate) fn more_view(&self) -> Option<Arc<[MoreAt]>> {
        self.proposing.more.as_ref().filter(|_| self.plan.drag.is_none())?.found.clone()
    }

    /// Adds a proposal as a new layout and shows it.
    pub(crate) fn take_proposal(&mut self, at: usize) {
        let shown =
            self.proposing.so_far.as_ref().or_else(|| self.proposing.ended.as_ref()?.found.as_ref().ok());
        let Some(proposal) = shown.and_then(|found| found.proposals.get(at)) else { return };
        let edit = proposal.edit(self.history.committed());
        let before: Vec<LayoutId> = self.project().layouts.iter().map(|layout| layout.id).collect();
        self.apply(edit);
        let new = self.project().layouts.iter().find(|layout| !before.contains(&layout.id));
        if let Some((id, name)) = new.map(|layout| (layout.id, layout.name.clone())) {
            self.show_layout(id);
            self.say(&format!(
                "{name} is a new layout. The previous one is unchanged; Undo removes the new one."
            ));
        }
    }

    /// Waits until proposals and map are there, for tests.
    pub fn settle_proposals(&mut self, ctx: &egui::Context) {
        let waits = |app: &Self| {
            app.proposing.underway.is_some()
                || app.proposing.more.as_ref().is_some_and(|more| more.errand.is_some())
        };
        self.follow_proposals(ctx);
        while waits(self) {
            std::thread::sleep(Duration::from_millis(5));
            self.follow_proposals(ctx);
        }
    }
}
