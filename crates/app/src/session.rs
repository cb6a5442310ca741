//! Opening and saving.

use crate::{
    app::Cupwright,
    aside::{Fresh, called},
    dialogs::{Dialog, Pending},
    files::{FileKind, OpenFile},
    outputs::same_file,
    start::{DEMOS, no_part},
};
use document::{History, LayoutId, Project};
use std::path::Path;

impl Cupwright {
    /// Shows a project instead of the present one.
    pub(crate) fn take_up(&mut self, project: Project, file: Option<OpenFile>) {
        self.take_up_history(History::new(project), file);
    }

    /// Shows a project whose first report is there already.
    pub(crate) fn take_up_fresh(&mut self, fresh: Fresh, file: Option<OpenFile>) {
        self.analyst = fresh.analyst;
        self.take_up_history(fresh.history, file);
    }

    pub(crate) fn take_up_history(&mut self, history: History, file: Option<OpenFile>) {
        self.layout = history.committed().layouts.first().map_or(LayoutId(0), |l| l.id);
        self.history = history;
        self.file = file;
        self.is_demo = false;
        self.after_saving = None;
        self.end_review();
        self.share();
        self.selection.clear();
        self.motion = None;
        self.plan.tool = crate::plan::Tool::Select;
        self.plan.drag = None;
        self.plan.fit = true;
        self.restart_journal();
    }

    /// Opens a project, or begins the import of a drawing, by what the file is called.
    pub(crate) fn open_any(&mut self, path: &Path) {
        let drawing = path
            .extension()
            .is_some_and(|e| FileKind::Drawing.extensions().iter().any(|d| e.eq_ignore_ascii_case(d)));
        if drawing {
            self.dialog = Some(Dialog::import(path.to_owned()));
            return;
        }
        self.open_project(path, |_| ());
    }

    /// Reads a project beside the window, takes it up and then does `then`; says why where it cannot be read.
    pub(crate) fn open_project(&mut self, path: &Path, then: impl FnOnce(&mut Self) + Send + 'static) {
        let (path, units) = (path.to_owned(), self.prefs.unit_choice());
        self.aside(&format!("Open {}", called(&path)), "Reading", move |_| match document::open(&path) {
            Ok((project, stamp)) => {
                let fresh = Fresh::new(History::new(project), units);
                Box::new(move |app| {
                    app.opened(fresh, OpenFile { path, stamp });
                    then(app);
                })
            }
            Err(error) => Box::new(move |app| {
                app.dialog = Some(Dialog::message("The file was not opened", &error.to_string()));
            }),
        });
    }

    /// Takes up the project that was read from a file.
    fn opened(&mut self, fresh: Fresh, file: OpenFile) {
        let open = fresh.history.committed().review.open().count();
        if open > 0 {
            let what = if open == 1 { "One remark is".to_owned() } else { format!("{open} remarks are") };
            self.say(&format!("{what} open in this file; Review (Ctrl+R) shows them."));
        }
        let path = file.path.clone();
        self.take_up_fresh(fresh, Some(file));
        self.remember(&path);
    }

    /// Puts a file at the head of the recent ones.
    pub(crate) fn remember(&mut self, path: &Path) {
        self.prefs.opened(path);
        self.keep_prefs();
    }

    pub(crate) fn keep_prefs(&self) {
        if let Some(folder) = &self.folder {
            self.prefs.write(&folder.join("preferences.ron"));
        }
    }

    /// Saves; gives whether the project is on disk now.
    pub(crate) fn save_to(&mut self, path: &Path, replace: bool) -> bool {
        let path = crate::writing::project_path(path);
        let own = self.file.as_ref().filter(|file| file.path == path || same_file(&file.path, &path));
        let expected = own.filter(|_| !replace).map(|file| file.stamp.clone());
        match document::save(self.history.committed(), &path, expected.as_ref()) {
            Ok(stamp) => {
                self.history.mark_saved();
                let elsewhere = self.file.as_ref().is_none_or(|f| f.path != path);
                self.file = Some(OpenFile { path: path.clone(), stamp });
                self.recovery.file_gone = false;
                if elsewhere {
                    self.share();
                }
                self.remember(&path);
                self.journal_saved();
                self.is_demo = false;
                self.say(&format!("Saved {}.", path.display()));
                if let Some(then) = self.after_saving.take() {
                    self.proceed(then);
                }
                true
            }
            Err(error @ document::FileError::ChangedOutside { .. }) => {
                self.dialog = Some(Dialog::Overwrite { path, says: error.to_string() });
                false
            }
            Err(error) => {
                let says = self.kept_aside(&path, &error);
                self.dialog = Some(Dialog::message("Not saved; the project is still here", &says));
                false
            }
        }
    }

    /// Saves where the project came from, or asks where.
    pub(crate) fn save(&mut self) -> bool {
        match self.file.as_ref().map(|f| f.path.clone()) {
            Some(path) => self.save_to(&path, false),
            None => {
                self.dialog = Some(Dialog::save_as(self.suggested(".ron")));
                false
            }
        }
    }

    /// A file name made from the project's, with this behind it.
    pub(crate) fn suggested(&self, ending: &str) -> String {
        if let Some(file) = &self.file {
            let stem = file.path.file_stem().unwrap_or_default().to_string_lossy();
            return file.path.with_file_name(format!("{stem}{ending}")).display().to_string();
        }
        let name: String = self
            .history
            .committed()
            .name
            .chars()
            .map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
            .collect();
        let name = name.split('-').filter(|s| !s.is_empty()).collect::<Vec<_>>().join("-");
        let file = format!("{}{ending}", if name.is_empty() { "project" } else { &name });
        // Said in full, so that a person sees where it will be.
        std::path::absolute(&file).map_or(file, |path| path.display().to_string())
    }

    /// Does `then` at once, or asks first when something is not saved.
    pub(crate) fn guarded(&mut self, then: Pending) {
        if self.history.unsaved() && !then.leaves_work_alone() {
            self.dialog = Some(Dialog::Unsaved { then });
        } else {
            self.proceed(then);
        }
    }

    /// What was waiting for the unsaved question.
    pub(crate) fn proceed(&mut self, then: Pending) {
        match then {
            Pending::Open(path) => self.open_any(&path),
            Pending::Review(path) => self.review_file(&path, None),
            Pending::AskOpen => self.dialog = Some(Dialog::open()),
            Pending::Demo(index) => self.open_demo(index),
            Pending::New => {
                let part = (*no_part()).clone();
                let sketch =
                    crate::plan::Sketch::new(crate::plan::SketchTarget::Outline, &part, self.prefs.step_mm());
                self.take_up(Project::new("New project", part), None);
                self.plan.tool = crate::plan::Tool::Sketch(sketch);
            }
            Pending::Take(drawing, chosen, name) => self.take_drawing(drawing, chosen, name),
            Pending::Recover => self.offer_what_was_left(),
            Pending::Quit => {
                self.end_journal();
                self.leaving = true;
            }
        }
    }

    fn open_demo(&mut self, index: usize) {
        let Some(&(name, text)) = DEMOS.get(index) else { return };
        let units = self.prefs.unit_choice();
        self.aside(&format!("Open {name}"), "Reading", move |_| match document::from_text(text, name) {
            Ok(project) => {
                let fresh = Fresh::new(History::new(project), units);
                Box::new(move |app| {
                    app.take_up_fresh(fresh, None);
                    app.is_demo = true;
                })
            }
            Err(error) => Box::new(move |app| {
                app.dialog = Some(Dialog::message("The demo was not opened", &error.to_string()));
            }),
        });
    }
}
