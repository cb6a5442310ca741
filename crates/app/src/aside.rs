//! Files are read, and what follows from them is worked out, beside the window: it goes on being drawn, and what is left
//! comes to nothing.

use crate::{
    app::Cupwright,
    dialogs::{Dialog, Outcome, WaitForm},
};
use analysis::Analyst;
use document::{Edit, History, Project};
use exchange::{Drawing, Watch};
use std::{path::Path, sync::Arc};
use units::UnitChoice;

/// What the window does once work beside it is over.
pub(crate) type Then = Box<dyn FnOnce(&mut Cupwright) + Send>;

/// A project to be shown next, with its first report worked out already.
pub(crate) struct Fresh {
    pub(crate) history: History,
    /// Remembers the report of the first layout of what is committed.
    pub(crate) analyst: Analyst,
}

impl Fresh {
    /// Works the report out; takes long for a large project.
    pub(crate) fn new(history: History, units: UnitChoice) -> Self {
        let mut analyst = Analyst::with_units(units);
        let project = history.committed();
        if let Some(layout) = project.layouts.first() {
            analyst.check(project, layout.id);
        }
        Self { history, analyst }
    }
}

/// What a file is called in a title.
pub(crate) fn called(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |n| n.to_string_lossy().into_owned())
}

impl Cupwright {
    /// Does `work` beside the window and then, on the window's thread, what it gives. What takes longer than a moment puts up
    /// a dialog that tells how long and can be left: nothing comes of it then.
    pub(crate) fn aside(
        &mut self,
        title: &str,
        doing: &'static str,
        work: impl FnOnce(&Watch) -> Then + Send + 'static,
    ) {
        match WaitForm::start(title, doing, |watch| Box::new(work(watch))) {
            Ok(outcome) => self.after_waiting(title, outcome),
            Err(form) => {
                let behind = self.dialog.take().map(Box::new);
                self.dialog = Some(Dialog::Waiting(form, behind));
            }
        }
    }

    /// Goes on with what came of waiting.
    pub(crate) fn waited(&mut self, form: &WaitForm) {
        if let Some(outcome) = form.take() {
            self.after_waiting(&form.title, outcome);
        }
    }

    fn after_waiting(&mut self, title: &str, outcome: Option<Outcome>) {
        match outcome.and_then(|outcome| outcome.downcast::<Then>().ok()) {
            Some(then) => then(self),
            None => {
                let says =
                    "An internal error stopped it; nothing was changed. Please report it with the file.";
                self.dialog = Some(Dialog::message(title, says));
            }
        }
    }

    /// Applies an edit that gives the part another outline, say: its report is worked out beside the window first.
    pub(crate) fn apply_aside(&mut self, edit: Edit) {
        let (before, layout, units) =
            (self.history.committed().clone(), self.layout, self.prefs.unit_choice());
        let title = edit.name(&before);
        self.aside(&title, "Calculating", move |_| {
            let mut analyst = Analyst::with_units(units);
            if let Ok(after) = edit.apply(&before) {
                analyst.check(&after, layout);
            }
            Box::new(move |app| {
                if app.may(&edit) {
                    app.analyst = analyst;
                }
                app.apply(edit);
                app.plan.fit = true;
            })
        });
    }

    /// Lays a picture, or a page of a PDF that is one, under the plan.
    pub(crate) fn lay_under(&mut self, path: &Path, page: usize) {
        let (path, name, units) = (path.to_owned(), called(path), self.prefs.unit_choice());
        let corner = self.part_corner();
        self.aside(&format!("Picture {name}"), "Reading it", move |watch| {
            let read = match exchange::picture_bytes(&path) {
                Ok(bytes) => {
                    exchange::picture_to_trace(&name, &bytes, page, watch).map_err(|e| e.says(&units))
                }
                Err(error) => Err(format!("the picture could not be read: {error}: {name}")),
            };
            Box::new(move |app| match read {
                Ok(scan) => {
                    let picture = document::Traced { at: corner, ..scan.picture };
                    app.apply(Edit::Trace { picture: Some(Arc::new(picture)), what: String::new() });
                    app.plan.tool = crate::plan::Tool::Trace;
                    let told = units::Worded::joined(scan.told, " ");
                    app.say(&told.says(&units));
                }
                Err(says) => app.dialog = Some(Dialog::message("Picture to trace", &says)),
            })
        });
    }

    /// The lower left of the part in hand, mm.
    fn part_corner(&self) -> glam::DVec2 {
        let project = self.history.committed();
        let part = project.layout(self.layout).and_then(|layout| project.part(layout.part));
        part.and_then(|part| part.outline.bounds()).map_or(glam::DVec2::ZERO, |bounds| bounds.min)
    }

    /// Takes up a project made of these parts of a drawing.
    pub(crate) fn take_drawing(&mut self, drawing: Arc<Drawing>, chosen: Vec<usize>, name: String) {
        let units = self.prefs.unit_choice();
        self.aside(&format!("New project {name}"), "Calculating", move |_| {
            let project: Project = exchange::new_project_from_parts(&drawing, &chosen, &name);
            let fresh = Fresh::new(History::unsaved_from(project), units);
            Box::new(move |app| app.take_up_fresh(fresh, None))
        });
    }
}
