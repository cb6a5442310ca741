//! Opening, saving, and what survives a kill.

use crate::{
    app::{Cupwright, OpenFile},
    dialogs::{Dialog, OpeningForm, Pending},
    files::FileKind,
};
use document::{Journal, Layout, LayoutId, Part, PartId, Project, Stamp};
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

/// The demo that the first start opens, compiled in so that it is there wherever the program is.
pub const DEMOS: &[(&str, &str)] = &crate::demos::DEMOS;

/// The finished demo.
pub fn demo_project() -> Project {
    let (name, text) = DEMOS[0];
    document::from_text(text, name).unwrap_or_else(|error| {
        // A test opens every demo; should one be broken all the same, an empty plan is better than no window.
        log::error!("{error}");
        Project::new("New project", (*no_part()).clone())
    })
}

/// Stands in where a project has no layout.
pub fn no_layout() -> Arc<Layout> {
    Arc::new(Layout {
        id: LayoutId(0),
        name: String::new(),
        part: PartId(0),
        cups: Vec::new(),
        tool: Arc::default(),
    })
}

/// A plain sheet to start from.
pub fn no_part() -> Arc<Part> {
    let outer = geometry::Loop::rectangle(glam::DVec2::ZERO, glam::DVec2::new(400.0, 300.0));
    Arc::new(Part::from_outline(
        PartId(1),
        "New part",
        Arc::new(geometry::Outline { outer, holes: Vec::new() }),
    ))
}

/// The recovery journal and what it knows.
#[derive(Default)]
pub struct Recovery {
    journal: Option<Journal>,
    recorded: u64,
    failed: bool,
    /// The stamp for which an outside change was already reported.
    pub outside_seen: Option<Stamp>,
}

impl Cupwright {
    fn journal_folder(&self) -> Option<PathBuf> {
        self.folder.as_ref().map(|f| f.join("recovery"))
    }

    /// Looks for what a killed run left, and starts this run's journal.
    pub(crate) fn begin_recovery(&mut self) {
        // One is offered at a start, the oldest that holds something; those that hold nothing go.
        let left = self.journal_folder().map(|folder| Journal::left_behind(&folder)).unwrap_or_default();
        for left in left {
            match Journal::recover(&left) {
                Ok(found) if found.edits > 0 => {
                    self.dialog = Some(Dialog::Recover { journal: left, found: Box::new(found) });
                    break;
                }
                Ok(_) => Journal::discard(&left),
                Err(error) => {
                    self.dialog =
                        Some(Dialog::message("The recovery journal cannot be read", &error.to_string()));
                    break;
                }
            }
        }
        self.restart_journal();
    }

    /// The window closes in order: nothing is left to recover, unless something unsaved was never asked about.
    pub fn closed(&mut self) {
        if (self.leaving || !self.history.unsaved())
            && let Some(journal) = self.recovery.journal.take()
        {
            journal.finish();
        }
    }

    /// Whether work lies in this run's journal, so that another's is not needed for it.
    pub(crate) fn keeps_journal(&self) -> bool {
        self.recovery.journal.is_some()
    }

    /// A fresh journal from the committed project on.
    pub(crate) fn restart_journal(&mut self) {
        if let Some(old) = self.recovery.journal.take() {
            old.finish();
        }
        self.recovery.recorded = self.history.revision();
        let Some(folder) = self.journal_folder() else { return };
        let opened = self.file.as_ref().map(|f| f.path.as_path());
        let project = self.history.committed();
        // What is not on disk yet must survive a kill even before its next edit.
        let started = if self.history.unsaved() {
            Journal::start_unsaved(&folder, opened, project, self.history.undo_name().unwrap_or("Recover"))
        } else {
            Journal::start(&folder, opened, project)
        };
        match started {
            Ok(journal) => {
                self.recovery.journal = Some(journal);
                self.journal_works();
            }
            Err(error) => self.journal_fails(&error.to_string()),
        }
    }

    fn journal_fails(&mut self, error: &str) {
        log::warn!("no recovery journal: {error}");
        if !self.recovery.failed {
            self.recovery.failed = true;
            self.say(&format!("Unsaved work would not survive a power cut: {error}"));
        }
    }

    /// Records what was committed since the last frame.
    pub(crate) fn keep_journal(&mut self) {
        if self.recovery.recorded == self.history.revision() {
            return;
        }
        self.recovery.recorded = self.history.revision();
        let name = self.history.undo_name().unwrap_or("undo").to_owned();
        let project = self.history.committed().clone();
        match &mut self.recovery.journal {
            // A full disk has room again at some time: each change tries anew, with all that is not saved.
            None if self.recovery.failed => self.restart_journal(),
            None => {}
            Some(journal) => match journal.record(&name, &project) {
                Ok(()) => self.journal_works(),
                Err(error) => self.journal_fails(&error.to_string()),
            },
        }
    }

    fn journal_works(&mut self) {
        if std::mem::take(&mut self.recovery.failed) {
            self.say("Unsaved work survives a power cut again.");
        }
    }

    /// Shows a project instead of the present one.
    pub(crate) fn take_up(&mut self, project: Project, file: Option<OpenFile>) {
        self.take_up_history(document::History::new(project), file);
    }

    /// As [`Self::take_up`], for a project that is not on disk as it stands: recovered, or fresh from a drawing.
    pub(crate) fn take_up_unsaved(&mut self, project: Project) {
        self.take_up_history(document::History::recovered(project), None);
    }

    fn take_up_history(&mut self, history: document::History, file: Option<OpenFile>) {
        self.layout = history.committed().layouts.first().map_or(LayoutId(0), |l| l.id);
        self.history = history;
        self.file = file;
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
        match OpeningForm::read(path) {
            Ok(read) => self.opened(path, read),
            Err(form) => self.dialog = Some(Dialog::Opening(form)),
        }
    }

    /// Takes up the project that was read from a file, or says why it was not.
    pub(crate) fn opened(&mut self, path: &Path, read: Result<(Project, Stamp), document::FileError>) {
        match read {
            Ok((project, stamp)) => {
                let open = project.review.open().count();
                if open > 0 {
                    let what =
                        if open == 1 { "One remark is".to_owned() } else { format!("{open} remarks are") };
                    self.say(&format!("{what} open in this file; Review (Ctrl+R) shows them."));
                }
                self.take_up(project, Some(OpenFile { path: path.to_owned(), stamp }));
                self.remember(path);
            }
            Err(error) => self.dialog = Some(Dialog::message("The file was not opened", &error.to_string())),
        }
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
        let path = if path.extension().is_none() { path.with_extension("ron") } else { path.to_owned() };
        let expected = self.file.as_ref().filter(|f| f.path == path && !replace).map(|f| f.stamp.clone());
        match document::save(self.history.committed(), &path, expected.as_ref()) {
            Ok(stamp) => {
                self.history.mark_saved();
                let elsewhere = self.file.as_ref().is_none_or(|f| f.path != path);
                self.file = Some(OpenFile { path: path.clone(), stamp });
                if elsewhere {
                    self.share();
                }
                self.remember(&path);
                self.restart_journal();
                self.say(&format!("Saved {}.", path.display()));
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
                self.dialog = Some(Dialog::save_as(self.suggested("ron")));
                false
            }
        }
    }

    /// A file name made from the project's.
    pub(crate) fn suggested(&self, extension: &str) -> String {
        if let Some(file) = &self.file {
            return file.path.with_extension(extension).display().to_string();
        }
        let name: String = self
            .history
            .committed()
            .name
            .chars()
            .map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
            .collect();
        let name = name.split('-').filter(|s| !s.is_empty()).collect::<Vec<_>>().join("-");
        let file = format!("{}.{extension}", if name.is_empty() { "project" } else { &name });
        // Said in full, so that a person sees where it will be.
        std::path::absolute(&file).map_or(file, |path| path.display().to_string())
    }

    /// Does `then` at once, or asks first when something is not saved.
    pub(crate) fn guarded(&mut self, then: Pending) {
        if self.history.unsaved() && !matches!(&then, Pending::Open(path) if Dialog::is_drawing(path)) {
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
                let sketch = crate::plan::Sketch::new(crate::plan::SketchTarget::Outline, &part);
                self.take_up(Project::new("New project", part), None);
                self.plan.tool = crate::plan::Tool::Sketch(sketch);
            }
            Pending::Take(project) => self.take_up_unsaved(*project),
            Pending::Quit => {
                if let Some(journal) = self.recovery.journal.take() {
                    journal.finish();
                }
                self.leaving = true;
            }
        }
    }

    fn open_demo(&mut self, index: usize) {
        let Some((name, text)) = DEMOS.get(index) else { return };
        match document::from_text(text, name) {
            Ok(project) => self.take_up(project, None),
            Err(error) => self.dialog = Some(Dialog::message("The demo was not opened", &error.to_string())),
        }
    }
}
