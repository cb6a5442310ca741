//! What survives a kill: the journal of this run, and what earlier runs left in theirs.

mod state;

use crate::{
    app::Cupwright,
    aside::Fresh,
    dialogs::{Dialog, Effect, Pending},
    files::OpenFile,
    offers::{Offer, Offers},
};
use document::{History, Journal};
pub use state::Recovery;
use std::{
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

/// How often a drag under way is recorded.
const UNDER_WAY_EVERY: Duration = Duration::from_secs(1);

impl Cupwright {
    fn journal_folder(&self) -> Option<PathBuf> {
        self.folder.as_ref().map(|f| f.join("recovery"))
    }

    /// Starts this run's journal, and looks beside the window for what killed runs left.
    pub(crate) fn begin_recovery(&mut self) {
        self.restart_journal();
        self.look_for_left_work(false);
    }

    /// Journals are whole projects, as many as runs were killed: they are read beside the window, and stay if that is left.
    fn look_for_left_work(&mut self, asked: bool) {
        let Some(folder) = self.journal_folder() else { return };
        self.aside("Recover unsaved work", "Reading", move |_| {
            let offers = Offers::look(&folder);
            Box::new(move |app| {
                app.recovery.offers = (!offers.is_empty()).then(|| Box::new(offers));
                if asked && app.recovery.offers.is_none() {
                    app.say("There is no unsaved work to recover.");
                }
            })
        });
    }

    /// Offers what earlier runs left, once more.
    pub(crate) fn offer_what_was_left(&mut self) {
        self.look_for_left_work(true);
    }

    /// Whether an offer stands before everything else.
    pub(crate) fn offering(&self) -> bool {
        self.recovery.offers.is_some()
    }

    /// The offer, to be drawn; what comes of it goes to [`Self::answer_offers`].
    pub(crate) fn take_offers(&mut self) -> Option<Dialog> {
        self.recovery.offers.take().map(Dialog::Recover)
    }

    /// Does what the person chose of the offer.
    pub(crate) fn answer_offers(&mut self, effect: Effect, dialog: Dialog) {
        let Dialog::Recover(mut offers) = dialog else { return };
        match effect {
            Effect::Recover(at) if at < offers.list.len() => {
                let offer = offers.list.remove(at);
                self.take_up_left(offer, offers.list.len());
            }
            Effect::DiscardRecovered(at) if at < offers.list.len() => {
                Journal::discard(&offers.list.remove(at).journal);
                self.recovery.offers = (!offers.list.is_empty()).then_some(offers);
            }
            Effect::Close if offers.list.is_empty() => {}
            Effect::Close => {
                self.say(
                    "Kept. It is offered again at the next start, or under Menu, File, Recover unsaved work.",
                );
            }
            _ => self.recovery.offers = Some(offers),
        }
    }

    fn take_up_left(&mut self, offer: Offer, others: usize) {
        let units = self.prefs.unit_choice();
        // A long journal is a project a step.
        self.aside("Recover unsaved work", "Reading", move |_| {
            let Offer { journal, found, .. } = offer;
            let fresh = Fresh::new(History::replayed(&found), units);
            let file = found.opened.zip(found.stamp).map(|(path, stamp)| OpenFile { path, stamp });
            Box::new(move |app| app.took_up_left(fresh, file, &journal, others))
        });
    }

    fn took_up_left(&mut self, fresh: Fresh, file: Option<OpenFile>, journal: &Path, others: usize) {
        // A file under review stays under review with the remarks that were left.
        let under_review = self.sealed().then(|| self.file.as_ref().map(|file| file.path.clone())).flatten();
        let same = under_review
            .zip(file.as_ref())
            .is_some_and(|(path, file)| crate::outputs::same_file(&path, &file.path));
        let from = file.as_ref().map(|file| file.path.display().to_string());
        self.take_up_fresh(fresh, file);
        if same {
            self.begin_review(true);
        }
        // On a full disk the old journal is all that holds the work: it is offered again next time.
        if self.recovery.journal.is_none() {
            self.say("Recovered. Changes would not survive a power cut: save it now.");
            return;
        }
        Journal::discard(journal);
        let others = match others {
            0 => String::new(),
            1 => " One more is under Menu, File, Recover unsaved work.".to_owned(),
            n => format!(" {n} more are under Menu, File, Recover unsaved work."),
        };
        self.say(&match from {
            Some(path) => format!("Recovered. Saving writes {path}.{others}"),
            None => format!("Recovered. Save it where you want it.{others}"),
        });
    }

    /// Before the window closes the offer goes: what it offers stays where it is.
    pub(crate) fn put_offers_away(&mut self) {
        self.recovery.offers = None;
    }

    /// The window closes in order: nothing is left to recover, unless something unsaved was never asked about.
    pub fn closed(&mut self) {
        if self.leaving || !self.history.unsaved() {
            self.end_journal();
        }
    }

    /// Nothing of this run is to be recovered.
    pub(crate) fn end_journal(&mut self) {
        if let Some(journal) = self.recovery.journal.take() {
            journal.finish();
        }
    }

    /// A fresh journal of the project as it is, with what was done to it.
    pub(crate) fn restart_journal(&mut self) {
        let old = self.recovery.journal.take();
        self.recovery.recorded = self.history.revision();
        self.recovery.under_way = false;
        let Some(folder) = self.journal_folder() else { return };
        let file = self.file.as_ref().map(|file| (file.path.as_path(), &file.stamp));
        match Journal::start(&folder, file, &self.history) {
            Ok(journal) => {
                self.recovery.journal = Some(journal);
                self.journal_works();
            }
            Err(error) => self.journal_fails(&error.to_string()),
        }
        // Only now: a kill between the two must find one of them.
        if let Some(old) = old {
            old.finish();
        }
    }

    /// The project is in its file as it is now.
    pub(crate) fn journal_saved(&mut self) {
        let Some(file) = self.file.clone() else { return self.restart_journal() };
        let project = self.history.committed().clone();
        self.recovery.recorded = self.history.revision();
        self.recovery.under_way = false;
        let told =
            self.recovery.journal.as_mut().map(|journal| journal.saved(&file.path, &file.stamp, &project));
        match told {
            Some(Ok(())) => self.journal_works(),
            Some(Err(_)) | None => self.restart_journal(),
        }
    }

    fn journal_fails(&mut self, error: &str) {
        log::warn!("no recovery journal: {error}");
        if !self.recovery.failed {
            self.recovery.failed = true;
            self.say(&format!("Unsaved work would not survive a power cut: {error}"));
        }
    }

    fn journal_works(&mut self) {
        if std::mem::take(&mut self.recovery.failed) {
            self.say("Unsaved work survives a power cut again.");
        }
    }

    /// Records what was committed since the last frame, and each second where a drag has come to.
    pub(crate) fn keep_journal(&mut self) {
        let committed = self.recovery.recorded != self.history.revision();
        if !committed && self.history.in_transaction() {
            self.keep_under_way();
            return;
        }
        self.recovery.next_under_way = None;
        // What was under way and is not any more was put back where it was.
        if !committed && !self.recovery.under_way {
            return;
        }
        self.recovery.under_way = false;
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

    fn keep_under_way(&mut self) {
        let now = Instant::now();
        let due = *self.recovery.next_under_way.get_or_insert(now + UNDER_WAY_EVERY);
        let Some((name, project)) = self.history.under_way().filter(|_| now >= due) else { return };
        let Some(journal) = &mut self.recovery.journal else { return };
        let told = journal.record_under_way(name, project);
        self.recovery.next_under_way = Some(now + UNDER_WAY_EVERY);
        self.recovery.under_way = true;
        if let Err(error) = told {
            self.journal_fails(&error.to_string());
        }
    }

    /// The file that was open is not there any more: what is here is all there is of it.
    pub(crate) fn file_is_gone(&mut self) {
        if !std::mem::replace(&mut self.recovery.file_gone, true) {
            self.history.mark_unsaved();
            self.restart_journal();
            self.dialog = Some(Dialog::FileGone);
        }
    }
}

impl Pending {
    /// Whether it goes on without touching what is open.
    pub(crate) fn leaves_work_alone(&self) -> bool {
        matches!(self, Self::Open(path) if Dialog::is_drawing(path))
    }
}
