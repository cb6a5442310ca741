//! Issued revisions: what stands in one, whether the project still is one, and the short mark that pairs paper and file.

use crate::{Issued, Project, mark};
use std::sync::Arc;

/// How the content stands to what was handed out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Nothing was issued yet.
    NeverIssued,
    /// It is this revision, unchanged.
    AsIssued {
        /// "B".
        index: String,
    },
    /// The file holds the last revision otherwise than it was issued: somebody changed it by hand.
    Altered {
        /// The revision.
        since: String,
        /// What the next one would be called.
        next: String,
    },
    /// It was changed since, on the way to the next one.
    Changed {
        /// The last one issued.
        since: String,
        /// What the next one would be called.
        next: String,
    },
}

impl Project {
    /// What a revision freezes and a fingerprint covers: all but the issued revisions, what is said in review and a
    /// picture to trace.
    pub fn content(&self) -> Self {
        Self { issued: Vec::new(), review: Arc::default(), traced: None, ..self.clone() }
    }
    /// Whether another project has the same content; the counter of ids does not count.
    pub fn same_content(&self, other: &Self) -> bool {
        // What differs in nothing but these three compares the rest; shared things make that cheap.
        let bare = |p: &Self| Self { last_id: 0, ..p.content() };
        bare(self) == bare(other)
    }
    /// Short mark of the content, "3f2a-91c4", printed on the sheet and shown in the window so that paper and file can be
    /// paired. The same content has the same mark; the counter of ids and the number of the file's format do not count.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use document::{Edit, Part, PartId, Project};
    /// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
    /// let other = Edit::RenameProject("Tray line 3".into()).apply(&project).unwrap();
    /// assert_eq!(project.fingerprint().len(), 9);
    /// assert_ne!(project.fingerprint(), other.fingerprint());
    /// ```
    pub fn fingerprint(&self) -> String {
        mark::of(self)
    }
    /// How the content stands to the last revision issued.
    pub fn standing(&self) -> Standing {
        let Some(last) = self.issued.last() else { return Standing::NeverIssued };
        let index = last.index.clone();
        if last.is_altered() {
            return Standing::Altered { next: next_index(&index), since: index };
        }
        if self.same_content(&last.content) {
            return Standing::AsIssued { index };
        }
        Standing::Changed { next: next_index(&index), since: index }
    }
    /// What the title block says: the typed index before anything is issued, then the one issued, or the next one.
    pub fn revision_shown(&self) -> String {
        match self.standing() {
            Standing::NeverIssued => self.sheet.revision.clone(),
            Standing::AsIssued { index } => index,
            Standing::Changed { next, .. } | Standing::Altered { next, .. } => next,
        }
    }
}

impl Issued {
    /// Whether the file held it otherwise than it was issued.
    pub fn is_altered(&self) -> bool {
        self.found.is_some()
    }
    /// What it is called where it is set beside another state: "revision B", "revision B, not as it was issued".
    pub fn called(&self) -> String {
        let altered = if self.is_altered() { ", not as it was issued" } else { "" };
        format!("revision {}{altered}", self.index)
    }
    /// What is said of one that the file holds otherwise than it was issued: "revision B in the file has the mark 3f2a-91c4 and
    /// was issued with 08d7-0e0a".
    pub fn altered(&self) -> Option<String> {
        let found = self.found.as_ref()?;
        Some(format!(
            "revision {} in the file has the mark {found} and was issued with {}",
            self.index, self.fingerprint
        ))
    }
}

/// The index after this one: letters go on without I, O, Q, S, X and Z, which are taken for figures or for crossing out
/// (ASME Y14.35, from memory), figures count up; after anything else stands "A".
///
/// ```
/// use document::next_index;
/// assert_eq!(["", "A", "H", "Y", "AY", "9", "Rev B"].map(next_index), ["A", "B", "J", "AA", "BA", "10", "Rev C"]);
/// ```
pub fn next_index(index: &str) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRTUVWY";
    let index = index.trim();
    let digits = index.bytes().rev().take_while(u8::is_ascii_digit).count();
    if digits > 0 {
        let (before, number) = index.split_at(index.len() - digits);
        if let Ok(number) = number.parse::<u64>() {
            return format!("{before}{}", number.saturating_add(1));
        }
    }
    let letters = index.bytes().rev().take_while(|b| LETTERS.contains(b)).count();
    if letters == 0 {
        return "A".to_owned();
    }
    let (before, tail) = index.split_at(index.len() - letters);
    let mut tail: Vec<u8> = tail.bytes().collect();
    for place in (0..tail.len()).rev() {
        let at = LETTERS.iter().position(|l| *l == tail[place]).unwrap_or(0);
        if at + 1 < LETTERS.len() {
            tail[place] = LETTERS[at + 1];
            return format!("{before}{}", String::from_utf8_lossy(&tail));
        }
        tail[place] = LETTERS[0];
    }
    format!("{before}A{}", String::from_utf8_lossy(&tail))
}
