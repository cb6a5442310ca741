//! Undo, redo, and one open transaction.

use crate::{Edit, EditError, Project, Recovered, from_text};
use std::{
    collections::{HashMap, VecDeque},
    sync::Arc,
};

/// Oldest entries are let go beyond this many.
const MOST_ENTRIES: usize = 10_000;

/// One committed change: what it was called, and the project after it.
#[derive(Debug)]
struct Entry {
    name: String,
    after: Arc<Project>,
}

#[derive(Debug)]
struct Transaction {
    name: String,
    preview: Arc<Project>,
}

/// Undo, redo, and one open transaction (a drag).
///
/// ```
/// # use std::sync::Arc;
/// # use document::{Edit, History, Part, PartId, Project};
/// let part = Part::from_outline(PartId(1), "Tray blank", Arc::default());
/// let mut history = History::new(Project::new("Tray line 2", part));
/// history.apply(Edit::RenameProject("Tray line 3".into())).unwrap();
/// assert_eq!(history.undo_name(), Some("Rename project to Tray line 3"));
/// history.undo();
/// assert_eq!(history.shown().name, "Tray line 2");
/// ```
#[derive(Debug)]
pub struct History {
    /// The project before the first entry.
    base: Arc<Project>,
    entries: VecDeque<Entry>,
    /// How many entries are done; the rest can be redone.
    done: usize,
    revision: u64,
    transaction: Option<Transaction>,
    /// What the file holds, if there is one.
    saved: Option<Arc<Project>>,
    unsaved: bool,
}

impl History {
    /// Starts from a project as opened or new; it counts as saved.
    pub fn new(project: Project) -> Self {
        let project = Arc::new(project);
        Self {
            base: project.clone(),
            entries: VecDeque::new(),
            done: 0,
            revision: 0,
            transaction: None,
            saved: Some(project),
            unsaved: false,
        }
    }
    /// As [`History::new`] for a project that no file holds, fresh from a drawing say.
    pub fn unsaved_from(project: Project) -> Self {
        let mut history = Self::new(project);
        history.mark_unsaved();
        history
    }
    /// As it was when the program that kept the journal ended: what was done can be taken back, as far as the journal goes.
    pub fn replayed(found: &Recovered) -> Self {
        let mut known: HashMap<&str, Arc<Project>> = HashMap::new();
        known.insert(&found.text, Arc::new(found.project.clone()));
        let mut read = |text| -> Option<Arc<Project>> {
            if let Some(project) = known.get(text) {
                return Some(project.clone());
            }
            let project = Arc::new(from_text(text, "the recovery journal").ok()?);
            known.insert(text, project.clone());
            Some(project)
        };
        let saved = found.saved.as_deref().and_then(&mut read);
        // A state that no longer reads, of another format say, ends what can be taken back.
        let mut states: Vec<(&str, &str, Arc<Project>)> = Vec::new();
        for step in found.steps.iter().rev() {
            let Some(project) = read(&step.text) else { break };
            states.push((&step.name, &step.text, project));
        }
        let mut states = states.into_iter().rev();
        let base = states.next().map_or_else(
            || ("", found.text.as_str(), Arc::new(found.project.clone())),
            |(name, text, project)| (name, text, project),
        );
        // The way back and forth as texts, beside the entries: what was taken back is recorded as the state it led to.
        let mut texts = vec![base.1];
        let mut history = Self::new(Project::clone(&base.2));
        history.base = base.2;
        for (name, text, project) in states {
            if history.done > 0 && texts[history.done - 1] == text {
                history.done -= 1;
            } else if texts.get(history.done + 1) == Some(&text) {
                history.done += 1;
            } else {
                texts.truncate(history.done + 1);
                texts.push(text);
                history.entries.truncate(history.done);
                history.entries.push_back(Entry { name: name.to_owned(), after: project });
                history.done = history.entries.len();
            }
        }
        history.saved = saved;
        history.moved();
        history
    }
    /// The state before the first change and, with its name, the state after each that is done.
    pub(crate) fn states(&self) -> impl Iterator<Item = (&str, &Arc<Project>)> {
        let done = self.entries.iter().take(self.done).map(|e| (e.name.as_str(), &e.after));
        std::iter::once(("", &self.base)).chain(done)
    }
    /// Name and state of a change that is under way and not committed.
    pub fn under_way(&self) -> Option<(&str, &Arc<Project>)> {
        self.transaction.as_ref().map(|t| (t.name.as_str(), &t.preview))
    }
    /// What is shown: the transaction's preview when one is open.
    pub fn shown(&self) -> &Arc<Project> {
        self.transaction.as_ref().map_or_else(|| self.committed(), |t| &t.preview)
    }
    /// What is committed.
    pub fn committed(&self) -> &Arc<Project> {
        self.done.checked_sub(1).and_then(|i| self.entries.get(i)).map_or(&self.base, |e| &e.after)
    }
    /// Counts committed states; changes on every commit, undo, redo.
    pub fn revision(&self) -> u64 {
        self.revision
    }
    /// Applies and commits one edit; one that changes nothing leaves no entry. An open transaction is committed first,
    /// so that nothing a person sees is lost.
    ///
    /// # Errors
    /// What stands against the edit; the project is then as before.
    pub fn apply(&mut self, edit: Edit) -> Result<(), EditError> {
        self.commit();
        let before = self.committed();
        let after = edit.apply(before)?;
        let name = edit.name(before);
        self.push(name, Arc::new(after));
        Ok(())
    }
    /// Opens a transaction; `preview` always starts from the committed project. One that was open is abandoned.
    pub fn begin(&mut self) {
        self.transaction = Some(Transaction { name: String::new(), preview: self.committed().clone() });
    }
    /// Shows what the edit would make of the committed project, in place of the preview before it.
    ///
    /// # Errors
    /// What stands against the edit; the preview before it stays.
    pub fn preview(&mut self, edit: Edit) -> Result<(), EditError> {
        let before = self.committed();
        let preview = Arc::new(edit.apply(before)?);
        let name = edit.name(before);
        self.transaction = Some(Transaction { name, preview });
        Ok(())
    }
    /// Commits the last preview; nothing changed leaves no entry. Returns whether an entry was made.
    pub fn commit(&mut self) -> bool {
        self.transaction.take().is_some_and(|t| self.push(t.name, t.preview))
    }
    /// Drops the transaction: the committed project is shown again.
    pub fn abandon(&mut self) {
        self.transaction = None;
    }
    /// Whether a transaction is open.
    pub fn in_transaction(&self) -> bool {
        self.transaction.is_some()
    }
    /// Name of what [`History::undo`] would take back.
    pub fn undo_name(&self) -> Option<&str> {
        self.done.checked_sub(1).and_then(|i| self.entries.get(i)).map(|e| e.name.as_str())
    }
    /// Name of what [`History::redo`] would bring back.
    pub fn redo_name(&self) -> Option<&str> {
        self.entries.get(self.done).map(|e| e.name.as_str())
    }
    /// Takes back the last change and returns its name. While a transaction is open it only abandons that.
    pub fn undo(&mut self) -> Option<String> {
        if self.transaction.take().is_some() {
            return None;
        }
        let name = self.undo_name()?.to_owned();
        self.done -= 1;
        self.moved();
        Some(name)
    }
    /// Brings back the change last undone and returns its name. While a transaction is open it only abandons that.
    pub fn redo(&mut self) -> Option<String> {
        if self.transaction.take().is_some() {
            return None;
        }
        let name = self.redo_name()?.to_owned();
        self.done += 1;
        self.moved();
        Some(name)
    }
    /// True when the committed project is not the one last saved. Undoing back to what was saved makes it false again.
    pub fn unsaved(&self) -> bool {
        self.unsaved
    }
    /// What the file holds, as far as it was opened or saved here; `None` when nothing on disk is like the project.
    pub fn saved(&self) -> Option<&Arc<Project>> {
        self.saved.as_ref()
    }
    /// The committed project was written to its file.
    pub fn mark_saved(&mut self) {
        self.saved = Some(self.committed().clone());
        self.unsaved = false;
    }
    /// Nothing on disk is like the project, now or after an undo: it was recovered, imported, or its file is gone.
    pub fn mark_unsaved(&mut self) {
        self.saved = None;
        self.unsaved = true;
    }
    /// Commits a project that was put together elsewhere, and takes `saved` for what the file holds now. One step of undo
    /// takes it back.
    pub fn take_in(&mut self, name: &str, project: Project, saved: Arc<Project>) {
        self.commit();
        self.saved = Some(saved);
        if !self.push(name.to_owned(), Arc::new(project)) {
            self.moved();
        }
    }
    /// The names of what has been done, oldest first.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.entries.iter().take(self.done).map(|e| e.name.as_str())
    }

    fn push(&mut self, name: String, after: Arc<Project>) -> bool {
        if same(&after, self.committed()) {
            return false;
        }
        self.entries.truncate(self.done);
        self.entries.push_back(Entry { name, after });
        if self.entries.len() > MOST_ENTRIES
            && let Some(oldest) = self.entries.pop_front()
        {
            self.base = oldest.after;
        }
        self.done = self.entries.len();
        self.moved();
        true
    }
    fn moved(&mut self) {
        self.revision += 1;
        self.unsaved = !self.saved.as_ref().is_some_and(|saved| same(self.committed(), saved));
    }
}

/// Equal but for the counter of ids, which also goes up for a thing that was added and taken away again.
pub(crate) fn same(a: &Arc<Project>, b: &Arc<Project>) -> bool {
    if Arc::ptr_eq(a, b) {
        return true;
    }
    let counter_aside = a.last_id == b.last_id;
    if counter_aside { a == b } else { Project { last_id: a.last_id, ..(**b).clone() } == **a }
}
