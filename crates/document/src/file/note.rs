//! A note beside a project file that says who has it open. It warns and never blocks: it can be out of date, left behind by a
//! program that was killed, or missing where a folder cannot be written.

use super::{FileError, store};
use serde::{Deserialize, Serialize};
use std::{
    fs,
    io::Write,
    path::{Path, PathBuf},
};

/// Larger files are no notes.
const MOST_BYTES: usize = 4096;

/// Who has a project file open, as the note beside it says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct InUse {
    /// Name of the person.
    pub by: String,
    /// Name of the machine.
    pub host: String,
    /// Number of the process there.
    pub process: u32,
    /// When it was opened, ISO 8601.
    pub since: String,
}
/// Whether a note is still true.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NoteStanding {
    /// A process of that number runs on this machine; after a restart it may be another program.
    Running,
    /// Left on this machine by a process that is no more.
    Gone,
    /// Left on another machine: nobody here can tell.
    Elsewhere,
}

fn this_host() -> String {
    gethostname::gethostname().to_string_lossy().into_owned()
}
#[cfg(unix)]
fn runs(process: u32) -> Option<bool> {
    let raw = i32::try_from(process).ok().filter(|raw| *raw > 0);
    let Some(pid) = raw.and_then(rustix::process::Pid::from_raw) else { return Some(false) };
    match rustix::process::test_kill_process(pid) {
        Err(rustix::io::Errno::SRCH) => Some(false),
        // Not to be allowed to signal a process means that there is one.
        _ => Some(true),
    }
}
#[cfg(not(unix))]
fn runs(_process: u32) -> Option<bool> {
    None
}

impl InUse {
    /// Whether the note is still true, as far as this machine can tell.
    pub fn standing(&self) -> NoteStanding {
        if self.host != this_host() {
            return NoteStanding::Elsewhere;
        }
        match runs(self.process) {
            Some(true) => NoteStanding::Running,
            Some(false) => NoteStanding::Gone,
            None => NoteStanding::Elsewhere,
        }
    }
    fn is_of_this_process(&self) -> bool {
        self.process == std::process::id() && self.host == this_host()
    }
    fn text(&self) -> String {
        // Texts and a number: none of them can refuse to be written.
        let fields = ron::to_string(self).unwrap_or_default();
        format!("// Cupwright has the file of this name open. This note may be deleted.\n{fields}\n")
    }
}

/// A note of this process; it is taken away when dropped, unless it is no longer the one that was left.
#[derive(Debug)]
pub struct OwnNote {
    /// `None` while the note of someone else stands there.
    left: Option<(PathBuf, String)>,
}
impl Drop for OwnNote {
    fn drop(&mut self) {
        if let Some((path, text)) = &self.left
            && fs::read_to_string(path).is_ok_and(|there| there == *text)
        {
            // What cannot be taken away is told as left behind by whoever opens the file next.
            let _ = fs::remove_file(path);
        }
    }
}

/// Where the note of a project file is: ".tray.ron.in-use" beside "tray.ron". A link leads to the note of what it links to.
pub fn note_path(path: &Path) -> PathBuf {
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let mut name = std::ffi::OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(".in-use");
    store::folder_of(&path).join(name)
}

/// Leaves a note that this process has the file open since then (ISO 8601). The note of someone else stays, unless the process
/// that left it is no more or it cannot be read. Opening goes on whatever comes of this.
///
/// # Errors
/// What the system refused, where the folder cannot be written.
///
/// ```
/// let folder = tempfile::tempdir().unwrap();
/// let path = folder.path().join("tray.ron");
/// let note = document::leave_note(&path, "M. Huber", "2026-03-12T14:05").unwrap();
/// assert!(document::note_path(&path).exists() && document::note_of_other(&path).is_none()); // it is this process's own
/// drop(note);
/// assert!(!document::note_path(&path).exists());
/// ```
pub fn leave_note(path: &Path, by: &str, since: &str) -> Result<OwnNote, FileError> {
    let note = note_path(path);
    if note_of_other(path).is_some_and(|other| other.standing() != NoteStanding::Gone) {
        return Ok(OwnNote { left: None });
    }
    let process = std::process::id();
    let text = InUse { by: by.to_owned(), host: this_host(), process, since: since.to_owned() }.text();
    let refused = |e: std::io::Error| FileError::from_io("write", &e, &note);
    let mut new = store::builder().tempfile_in(store::folder_of(&note)).map_err(refused)?;
    new.write_all(text.as_bytes()).map_err(refused)?;
    new.persist(&note).map_err(|e| FileError::from_io("write", &e.error, &note))?;
    Ok(OwnNote { left: Some((note, text)) })
}

/// The note of another process beside a file; `None` without one, for one of this process, and for one that cannot be read.
pub fn note_of_other(path: &Path) -> Option<InUse> {
    let bytes = store::read_bytes(&note_path(path)).ok().filter(|bytes| bytes.len() <= MOST_BYTES)?;
    let note: InUse = ron::from_str(std::str::from_utf8(&bytes).ok()?).ok()?;
    (!note.is_of_this_process()).then_some(note)
}
