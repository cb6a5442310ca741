//! A review in the window: a file beside an earlier state of it, what changed between the two, and what is said of it.

mod state;

use crate::{
    app::Cupwright,
    aside::called,
    command::Command,
    dialogs::{DecideForm, Dialog, IssueForm, PathForm, Purpose, RemarkForm},
    errand::Errand,
    outputs::Before,
    plan::Tool,
    view::{Beside, ContentMark, ReviewView, View},
};
use document::{Edit, Pin, Project};
use state::DifferenceOf;
pub(crate) use state::Reviewing;
use std::{path::Path, sync::Arc};
use units::UnitChoice;

impl Cupwright {
    /// Opens a file to be reviewed, beside another file if one is named, else beside its last revision that differs.
    pub fn review_file(&mut self, file: &Path, beside: Option<&Path>) {
        let beside = beside.map(Path::to_owned);
        self.open_project(file, move |app| {
            app.begin_review(true);
            if let Some(path) = beside {
                app.set_beside_file(&path);
            }
        });
    }

    pub(crate) fn begin_review(&mut self, sealed: bool) {
        let project = self.history.committed();
        let beside = Beside::revisions_of(project).into_iter().find(|b| !b.project.same_content(project));
        self.reviewing = Reviewing { on: true, sealed, beside, ..Reviewing::default() };
        self.compare_with(None);
        self.panels.circuit = false;
        self.plan.tool = Tool::Select;
        self.plan.fit = true;
    }

    pub(crate) fn end_review(&mut self) {
        self.reviewing = Reviewing::default();
        self.plan.fit = true;
    }

    /// Whether only what a reviewer may do is taken.
    pub(crate) fn sealed(&self) -> bool {
        self.reviewing.on && self.reviewing.sealed
    }

    /// Says why nothing was changed.
    pub(crate) fn say_sealed(&mut self) {
        self.say("Nothing was changed: the file is under review. Choose \"Edit this file\" to change it.");
    }

    pub(crate) fn unseal(&mut self) {
        if self.sealed() {
            self.reviewing.sealed = false;
            self.say("The file can be edited now; your changes start the next revision.");
        }
    }

    /// Shows what changed since this state; `None` shows the file alone.
    pub(crate) fn set_beside(&mut self, beside: Option<Beside>) {
        if !self.reviewing.on {
            self.begin_review(false);
        }
        self.reviewing.beside = beside;
        self.reviewing.at = None;
        self.plan.fit = true;
    }

    /// As [`Self::set_beside`] with a file, which is read beside the window.
    pub(crate) fn set_beside_file(&mut self, path: &Path) {
        let (path, name) = (path.to_owned(), called(path));
        self.aside(&format!("Compare with {name}"), "Reading", move |_| match document::open(&path) {
            Ok((project, _)) => {
                let beside = Beside { name, issued_with: None, project: Arc::new(project) };
                Box::new(move |app| app.set_beside(Some(beside)))
            }
            Err(error) => Box::new(move |app| {
                app.dialog = Some(Dialog::message("The file was not opened", &error.to_string()));
            }),
        });
    }

    /// Carries out a command of the menu Review.
    pub(crate) fn run_review(&mut self, view: &View, command: Command) {
        match command {
            Command::ReviewFile => {
                self.dialog = Some(Dialog::Path(PathForm::new(Purpose::Review, String::new())));
            }
            Command::Review if self.reviewing.on => self.end_review(),
            Command::Review => self.begin_review(false),
            Command::SetBeside => {
                self.dialog = Some(Dialog::Path(PathForm::new(Purpose::Beside, String::new())));
            }
            Command::NextChange => self.step_change(1),
            Command::PreviousChange => self.step_change(-1),
            Command::RemarkHere => self.remark_on(view, None),
            Command::RemarkPlace => {
                if !self.reviewing.on {
                    self.begin_review(false);
                }
                self.plan.tool = Tool::Remark;
            }
            Command::Decide => {
                let open = view.project.review.open().count();
                let unticked = self.review_view().map_or(0, |r| r.unticked(&view.project));
                self.dialog = Some(Dialog::Decide(DecideForm::new(view, &self.prefs.person, open, unticked)));
            }
            Command::IssueRevision if self.sealed() => self.say_sealed(),
            Command::IssueRevision => {
                self.dialog = Some(Dialog::Issue(IssueForm::new(view, &self.prefs.person)));
            }
            Command::EditReviewed => self.unseal(),
            _ => {}
        }
    }

    /// Begins a remark on this, or on what is selected.
    pub(crate) fn remark_on(&mut self, view: &View, pin: Option<(Pin, String)>) {
        if !self.reviewing.on {
            self.begin_review(false);
        }
        self.dialog = Some(Dialog::Remark(RemarkForm::new(view, pin, &self.prefs.person)));
    }

    /// The state beside, with what changed since where the panel shows that.
    pub(crate) fn before(&self) -> Option<Before> {
        let reviewing = &self.reviewing;
        let beside = reviewing.beside.as_ref()?;
        let now = self.history.committed().clone();
        let of = DifferenceOf { earlier: beside.project.clone(), now, units: self.prefs.unit_choice() };
        let found = reviewing.found.as_ref().filter(|(_, found)| *found == of);
        let difference = found.map(|(difference, _)| difference.clone());
        Some(Before { name: beside.name.clone(), project: beside.project.clone(), difference })
    }

    /// Keeps the name a person goes by.
    pub(crate) fn keep_person(&mut self, name: &str) {
        if !name.trim().is_empty() && self.prefs.person != name.trim() {
            name.trim().clone_into(&mut self.prefs.person);
            self.keep_prefs();
        }
    }

    /// Goes to the change at this place of the list.
    pub(crate) fn show_change(&mut self, at: usize) {
        let Some((difference, _)) = &self.reviewing.found else { return };
        let Some(line) = difference.changes.get(at) else { return };
        self.reviewing.at = Some(at);
        let (layout, cups, motion) = (line.layout, line.cups.clone(), line.motion);
        if let Some(layout) = layout.filter(|id| self.project().layout(*id).is_some()) {
            self.show_layout(layout);
        }
        if let Some(motion) = motion.filter(|id| self.project().motion(*id).is_some()) {
            self.motion = Some(motion);
        }
        let there: Vec<_> =
            cups.iter().copied().filter(|c| self.project().cup(self.layout, *c).is_some()).collect();
        self.selection = there.iter().copied().collect();
        self.plan.frame = there;
    }

    fn step_change(&mut self, by: isize) {
        if !self.reviewing.on {
            self.say("Nothing is under review. Menu, Review, opens a file or this one.");
            return;
        }
        let count = self.reviewing.found.as_ref().map_or(0, |(d, _)| d.changes.len());
        if count == 0 {
            self.say("There is no change to show.");
            return;
        }
        let next = match self.reviewing.at {
            Some(at) => (at as isize + by).rem_euclid(count as isize) as usize,
            None if by > 0 => 0,
            None => count - 1,
        };
        self.panels.review = crate::panels::ReviewTab::Changes;
        self.show_change(next);
    }

    /// Takes over what was found between the two states and asks for what is missing.
    pub(crate) fn keep_reviewing(&mut self, ctx: &egui::Context) {
        let project = self.history.shown().clone();
        self.keep_content_mark();
        if !self.reviewing.on {
            return;
        }
        let units = self.prefs.unit_choice();
        let reviewing = &mut self.reviewing;
        if let Some(found) = reviewing.errand.as_mut().and_then(Errand::poll) {
            reviewing.errand = None;
            if let Some((analyst, difference, of)) = found {
                reviewing.analyst = Some(analyst);
                reviewing.at = reviewing.at.filter(|at| *at < difference.changes.len());
                reviewing.found = Some((Arc::new(difference), of));
            }
        }
        match &reviewing.beside {
            None => reviewing.found = None,
            Some(beside) => {
                let of = DifferenceOf { earlier: beside.project.clone(), now: project.clone(), units };
                if let Some((_, found)) = &mut reviewing.found
                    && Arc::ptr_eq(&found.earlier, &of.earlier)
                    && found.units == of.units
                    && !Arc::ptr_eq(&found.now, &of.now)
                    && found.now.same_content(&of.now)
                {
                    // Remarks and ticks change nothing of the content: the figures found stay.
                    found.now = of.now.clone();
                }
                let current = reviewing.found.as_ref().is_some_and(|(_, found)| *found == of);
                if reviewing.errand.is_none() && !current {
                    let mut analyst = reviewing.analyst.take().unwrap_or_default();
                    reviewing.errand = Some(Errand::start(Some(ctx.clone()), move |_| {
                        analyst.set_units(of.units);
                        let difference = telling::difference(&mut analyst, &of.earlier, &of.now);
                        Some((analyst, difference, of))
                    }));
                }
            }
        }
        self.keep_elsewhere(&project, units);
        if self.plan.drag.is_some() {
            // The checklist follows when the cup is put down.
            return;
        }
        let report = self.whole().clone();
        let held = self
            .reviewing
            .questions
            .as_ref()
            .is_some_and(|((r, p), _)| Arc::ptr_eq(r, &report) && Arc::ptr_eq(p, &project));
        if !held {
            let questions = telling::questions(&project, &report, &units).into();
            self.reviewing.questions = Some(((report, project), questions));
        }
    }

    /// What of the layout on the plan was otherwise; worked out once for each state.
    fn keep_elsewhere(&mut self, project: &Arc<Project>, units: UnitChoice) {
        let Some(beside) = &self.reviewing.beside else {
            self.reviewing.elsewhere = None;
            return;
        };
        let of = DifferenceOf { earlier: beside.project.clone(), now: project.clone(), units };
        let layout = self.layout;
        if !self.reviewing.elsewhere.as_ref().is_some_and(|(held, id, _)| *held == of && *id == layout) {
            let found = telling::elsewhere(&of.earlier, &of.now, layout, &units);
            self.reviewing.elsewhere = Some((of, layout, Arc::new(found)));
        }
    }

    /// Fingerprint and standing of what is committed; worked out once for each state.
    fn keep_content_mark(&mut self) {
        let project = self.history.committed();
        if !self.reviewing.content.as_ref().is_some_and(|(of, _)| Arc::ptr_eq(of, project)) {
            let mark = ContentMark::of(project);
            self.reviewing.content = Some((project.clone(), mark));
        }
    }

    pub(crate) fn content_mark(&self) -> Option<ContentMark> {
        self.reviewing.content.as_ref().map(|(_, mark)| mark.clone())
    }

    /// Whether figures between the two states are being worked out.
    pub(crate) fn differing(&mut self) -> Option<bool> {
        self.reviewing.errand.as_mut().map(|errand| !errand.is_over())
    }

    pub(crate) fn review_view(&self) -> Option<ReviewView> {
        let reviewing = &self.reviewing;
        if !reviewing.on {
            return None;
        }
        let (difference, current) = match (&reviewing.found, &reviewing.beside) {
            (Some((difference, of)), Some(beside)) if Arc::ptr_eq(&of.earlier, &beside.project) => {
                (Some(difference.clone()), Arc::ptr_eq(&of.now, self.history.shown()))
            }
            _ => (None, false),
        };
        Some(ReviewView {
            sealed: reviewing.sealed,
            beside: reviewing.beside.clone(),
            elsewhere: reviewing.elsewhere.as_ref().map(|(_, _, found)| found.clone()).unwrap_or_default(),
            difference,
            current,
            at: reviewing.at,
            questions: reviewing.questions.as_ref().map(|(_, q)| q.clone()).unwrap_or_default(),
        })
    }

    /// Undo or redo that would change the content of a file under review is taken back.
    pub(crate) fn undo_while_sealed(&mut self, redo: bool) -> Option<String> {
        let before = self.history.committed().clone();
        let name = if redo { self.history.redo() } else { self.history.undo() };
        if self.sealed() && name.is_some() && !before.same_content(self.history.committed()) {
            if redo {
                self.history.undo()
            } else {
                self.history.redo()
            };
            self.say_sealed();
            return None;
        }
        match &name {
            Some(name) => self.say(&format!("{}: {name}.", if redo { "Redone" } else { "Undone" })),
            None => self.say(if redo { "Nothing to redo." } else { "Nothing to undo." }),
        }
        name
    }

    /// Whether this edit may be made now.
    pub(crate) fn may(&self, edit: &Edit) -> bool {
        !self.sealed() || edit.is_review()
    }
}
