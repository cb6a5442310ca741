//! A file in a shared folder: who else has it open, what someone else wrote meanwhile, and where work goes when the folder
//! is gone.

mod state;

use crate::{
    app::Cupwright,
    aside::Then,
    dialogs::{Dialog, MergeForm},
    errand::Errand,
    files::OpenFile,
    view::Beside,
};
use document::{Choice, InUse, NoteStanding, Outside, Project};
use state::Seen;
pub(crate) use state::Sharing;
use std::{
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

/// How often the file on disk is looked at.
const LOOK_EVERY: Duration = Duration::from_secs(2);
/// A large file on a slow share is looked at more rarely: at most this share of the time goes into it.
const LOOK_SHARE: u32 = 50;

/// Who has the file open, and what that is worth.
fn in_words(note: &InUse) -> String {
    let InUse { by, host, since, .. } = note;
    let by = if by.trim().is_empty() { "someone" } else { by.trim() };
    match note.standing() {
        NoteStanding::Running => format!("also open here by {by} since {since}"),
        NoteStanding::Gone => {
            format!("left open by {by} on {since}; that program is no longer running, its note is stale")
        }
        NoteStanding::Elsewhere => format!("open by {by} on {host} since {since}, unless that note is stale"),
    }
}

/// Waits, and gives whether nobody put an end to it meanwhile.
fn slept(wait: Duration, cancel: &AtomicBool) -> bool {
    const SLICE: Duration = Duration::from_millis(100);
    let start = Instant::now();
    while start.elapsed() < wait {
        if cancel.load(Ordering::Relaxed) {
            return false;
        }
        std::thread::sleep(SLICE.min(wait));
    }
    !cancel.load(Ordering::Relaxed)
}

impl Cupwright {
    /// Leaves a note beside the file that is open now, and says whose note lies there.
    pub(crate) fn share(&mut self) {
        self.sharing = Sharing::default();
        let (Some(file), true) = (&self.file, self.folder.is_some()) else { return };
        let path = file.path.clone();
        if let Some(other) = document::note_of_other(&path) {
            let words = in_words(&other);
            if other.standing() != NoteStanding::Gone {
                self.say(&format!("This file is {words}. Changes that both of you save can be merged."));
                self.sharing.other = Some(words);
                return;
            }
            self.say(&format!("This file was {words}."));
        }
        match document::leave_note(&path, &self.prefs.person, &crate::now()) {
            Ok(note) => self.sharing.note = Some(note),
            // A folder that takes no note takes no part in sharing; that is no reason not to open the file.
            Err(error) => log::info!("no note was left: {error}"),
        }
    }

    /// Every two seconds, also while nobody touches anything: has someone else changed the open file? It is looked at beside
    /// the window, since a share may answer slowly, or not at all; and the window is drawn again only where there is news.
    pub(crate) fn look_outside(&mut self, ctx: &egui::Context) {
        let Some(file) = self.file.clone() else { return };
        if self.dialog.is_some() || self.offering() || !ctx.input(|i| i.focused) {
            self.sharing.looking = None;
            return;
        }
        if let Some((of, looking)) = &mut self.sharing.looking
            && of.path == file.path
            && of.stamp == file.stamp
        {
            let Some(found) = looking.poll() else { return };
            self.sharing.looking = None;
            if let Some(found) = found {
                self.seen_outside(&file, found);
            }
            if self.dialog.is_some() {
                return;
            }
        }
        // Another file, or another content of it, is what counts from now on.
        let (of, other) = (file.clone(), self.sharing.other.is_some());
        let gone = self.recovery.file_gone;
        let told = self.recovery.outside_seen.as_ref() == Some(&file.stamp);
        let look = Errand::start(Some(ctx.clone()), move |cancel| {
            let mut wait = LOOK_EVERY;
            loop {
                if !slept(wait, cancel) {
                    return None;
                }
                let start = Instant::now();
                let seen = Seen {
                    alone: other && document::note_of_other(&file.path).is_none(),
                    file: document::outside(&file.path, &file.stamp),
                };
                let news = match seen.file {
                    Outside::Same => gone,
                    Outside::Gone => !gone,
                    Outside::Changed | Outside::Unreadable => !told,
                };
                if news || seen.alone {
                    return Some(seen);
                }
                wait = LOOK_EVERY.max(start.elapsed() * LOOK_SHARE);
            }
        });
        self.sharing.looking = Some((of, look));
    }

    /// Says what came of looking at the file on disk.
    fn seen_outside(&mut self, file: &OpenFile, seen: Seen) {
        if seen.alone {
            self.share();
            self.say("Nobody else has this file open any more.");
        }
        match seen.file {
            Outside::Same => self.recovery.file_gone = false,
            Outside::Gone => self.file_is_gone(),
            Outside::Changed | Outside::Unreadable
                if self.recovery.outside_seen.as_ref() == Some(&file.stamp) => {}
            Outside::Changed => {
                self.recovery.outside_seen = Some(file.stamp.clone());
                self.dialog = Some(Dialog::ChangedOutside);
            }
            Outside::Unreadable => {
                self.recovery.outside_seen = Some(file.stamp.clone());
                self.say("The file on disk cannot be read just now; the project is still open here.");
            }
        }
    }

    pub(crate) fn also_open(&self) -> Option<String> {
        self.sharing.other.clone()
    }

    /// Reads the file as someone else left it, beside the window, and goes on with what `then` makes of it there; says so
    /// where it cannot be read.
    fn theirs(&mut self, title: &str, then: impl FnOnce(Arc<Project>, OpenFile) -> Then + Send + 'static) {
        let Some(path) = self.file.as_ref().map(|file| file.path.clone()) else { return };
        self.aside(title, "Reading", move |_| match document::open(&path) {
            Ok((project, stamp)) => then(Arc::new(project), OpenFile { path, stamp }),
            Err(error) => Box::new(move |app| {
                let says = error.to_string();
                app.dialog = Some(Dialog::message("Theirs was not read; yours is still here", &says));
            }),
        });
    }

    /// Shows what someone else changed, beside what is open here.
    pub(crate) fn look_at_theirs(&mut self) {
        self.theirs("See theirs", |project, _| {
            let beside = Beside { name: "theirs, on disk".to_owned(), issued_with: None, project };
            Box::new(move |app| app.set_beside(Some(beside)))
        });
    }

    /// Puts both sets of changes together, asking where they touch the same thing.
    pub(crate) fn merge_theirs(&mut self) {
        let Some(base) = self.history.saved().cloned() else {
            self.dialog = Some(Dialog::message(
                "There is nothing to merge with",
                "This project was never read from or saved to this file, so the changes of each side are not \
                known. Save yours under another name, or compare it with theirs (Review).",
            ));
            return;
        };
        let (mine, units) = (self.history.committed().clone(), self.prefs.unit_choice());
        self.theirs("Merge what was saved elsewhere", move |theirs, file| {
            let form = MergeForm::new(document::merge(&base, &mine, &theirs), theirs, file, &units);
            Box::new(move |app| app.merge_found(form, &mine))
        });
    }

    /// Asks where both touch the same thing, or takes theirs up where nothing was done here.
    fn merge_found(&mut self, form: MergeForm, mine: &Arc<Project>) {
        if !Arc::ptr_eq(mine, self.history.committed()) {
            self.say("Not merged: the open project changed meanwhile. Choose merge again.");
            return;
        }
        if form.merge.conflicts.is_empty() && form.merge.mine.is_empty() && self.merge_settled(&form, &[]) {
            return;
        }
        self.dialog = Some(Dialog::Merge(Box::new(form)));
    }

    /// Takes up the merged project, with the choices made; gives whether it did.
    pub(crate) fn merge_settled(&mut self, form: &MergeForm, choices: &[Choice]) -> bool {
        match form.merge.project(choices) {
            Ok(merged) => {
                self.history.take_in("Merge what was saved elsewhere", merged, form.theirs.clone());
                self.file = Some(form.file.clone());
                self.recovery.outside_seen = None;
                // The journal tells of the file that was merged with.
                self.restart_journal();
                self.say(&format!(
                    "Merged: {} of theirs added. Save to share the result; Undo reverts the merge.",
                    changes(form.merge.theirs.len())
                ));
                true
            }
            Err(error) => {
                self.dialog = Some(Dialog::message("Not merged; yours is unchanged", &error.to_string()));
                false
            }
        }
    }

    /// Keeps a copy in the program's own folder when the place to save to cannot be written, and says where.
    pub(crate) fn kept_aside(&mut self, path: &Path, error: &document::FileError) -> String {
        let kept = self.folder.as_ref().map(|folder| {
            document::keep_copy(self.history.committed(), &folder.join("kept"), path, &crate::today())
        });
        match kept {
            Some(Ok(kept)) => format!(
                "{error}\n\nNothing is lost: the project is still open here, and a copy was kept as {}. Save \
                again when the place is available, or save it somewhere else.",
                kept.display()
            ),
            Some(Err(second)) => {
                format!("{error}\n\nThe project is still open here. No copy could be kept either: {second}")
            }
            None => format!("{error}\n\nThe project is still open here; save it somewhere else."),
        }
    }
}

fn changes(count: usize) -> String {
    if count == 1 { "one change".to_owned() } else { format!("{count} changes") }
}
