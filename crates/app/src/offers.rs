//! What earlier runs left in their journals.

use document::{Journal, Recovered};
use std::path::{Path, PathBuf};

/// Work that earlier runs left in their journals.
#[derive(Debug, Clone, Default)]
pub struct Offers {
    /// Newest first.
    pub list: Vec<Offer>,
    /// What could not be read.
    pub notes: Vec<String>,
}

/// One journal that was left.
#[derive(Debug, Clone)]
pub struct Offer {
    /// Where it is.
    pub journal: PathBuf,
    /// What is in it.
    pub found: Recovered,
    /// When it was written last, where the person is.
    pub when: String,
}

fn written(journal: &Path) -> String {
    let time = std::fs::metadata(journal).and_then(|about| about.modified()).ok();
    time.map_or_else(
        || "at an unknown time".to_owned(),
        |time| chrono::DateTime::<chrono::Local>::from(time).format("%Y-%m-%d %H:%M").to_string(),
    )
}

impl Offers {
    /// Reads every journal that no running program holds; those that hold nothing go.
    pub(crate) fn look(folder: &Path) -> Self {
        let mut offers = Self::default();
        for journal in Journal::left_behind(folder).into_iter().rev() {
            match Journal::recover(&journal) {
                Ok(found) if found.edits > 0 => {
                    let when = written(&journal);
                    offers.list.push(Offer { journal, found, when });
                }
                // Nothing was done, or what was is lost; a damaged one is kept beside it and said.
                Ok(found) => {
                    offers.notes.extend(found.problem.filter(|_| found.damaged));
                    Journal::discard(&journal);
                }
                Err(error) => offers.notes.push(error.to_string()),
            }
        }
        offers
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.list.is_empty() && self.notes.is_empty()
    }
}
