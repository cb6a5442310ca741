//! What is written out: one table of it, one writer each, and files that are there whole or not at all.

mod guard;
mod kind;
mod pages;
mod subject;
mod table;
mod together;
mod writers;

pub(crate) use guard::{Permit, same_file};
pub(crate) use kind::Kind;
pub(crate) use pages::{NewFiles, pdf, put, would_replace};
pub(crate) use subject::{Before, Choices, Made, Subject, USUAL_DPI, shown_motion};
pub use table::Output;
pub(crate) use table::Shelf;
pub(crate) use writers::sheet_pages;

use std::path::{Path, PathBuf};
use units::UnitChoice;

/// Largest table or list read, bytes.
const LARGEST_TABLE: u64 = 32 * 1024 * 1024;

/// Why an output is not there.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// The ending names no kind of file that can be written.
    #[error("cannot tell what to write from the ending '{ending}': use {choices}: {}", path.display())]
    Ending {
        /// As typed.
        ending: String,
        /// What would do.
        choices: &'static str,
        /// The file.
        path: PathBuf,
    },
    /// The operating system said no.
    #[error("could not write, {}: {}", reason(error), path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// What it said.
        error: std::io::Error,
    },
    /// The operating system said no.
    #[error("could not read, {}: {}", reason(error), path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// What it said.
        error: std::io::Error,
    },
    /// What was read is not text.
    #[error("could not read the table: {says}: {}", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// What it is instead, and what to do.
        says: String,
    },
    /// The file is read by the same run.
    #[error("nothing was written, {}: {}", is_read(path, other), path.display())]
    ReadHere {
        /// The file.
        path: PathBuf,
        /// What it is called where it is read.
        other: PathBuf,
    },
    /// Two things were to be written into one file.
    #[error("nothing was written, one file would be written twice (also as {}); name another one: {}", other.display(), path.display())]
    Twice {
        /// The file.
        path: PathBuf,
        /// What it is called the other time.
        other: PathBuf,
    },
    /// A device, pipe or socket.
    #[error("could not write, this is not an ordinary file; name another one, or - for standard output: {}", path.display())]
    NotAFile {
        /// Where.
        path: PathBuf,
    },
    /// A link to what is not there.
    #[error("could not write, this is a link that leads nowhere; remove it or name another file: {}", path.display())]
    BrokenLink {
        /// Where.
        path: PathBuf,
    },
    /// Marked read-only.
    #[error("could not write, the file is write-protected; remove the protection or name another one: {}", path.display())]
    Protected {
        /// Where.
        path: PathBuf,
    },
    /// Something else is there.
    #[error("nothing was written, {found} exists and {kind} would replace it; name another file, or add \
        --force: {}", path.display())]
    There {
        /// Where.
        path: PathBuf,
        /// What is there.
        found: &'static str,
        /// What would be written.
        kind: &'static str,
    },
    /// The sheet could not be drawn.
    #[error("the sheet could not be drawn: {0}")]
    Sheet(#[from] sheet::SheetError),
    /// Something has to be there first.
    #[error("{0}")]
    Missing(&'static str),
}

fn is_read(path: &Path, other: &Path) -> String {
    if path == other {
        "this is the file that is read; name another one".to_owned()
    } else {
        format!("this is the file that is read as {}; name another one", other.display())
    }
}

fn reason(error: &std::io::Error) -> String {
    use std::io::ErrorKind as K;
    match error.kind() {
        K::NotFound => "the folder does not exist; make it or choose another".to_owned(),
        K::PermissionDenied => {
            "no permission to read or write here; choose another folder or ask for access".to_owned()
        }
        K::IsADirectory => "this is a folder; name a file in it".to_owned(),
        K::StorageFull => "the disk is full; free some space or choose another disk".to_owned(),
        K::ReadOnlyFilesystem => "the disk is read-only; choose another".to_owned(),
        _ => error.to_string(),
    }
}

/// Reads a text file of reasonable size.
///
/// # Errors
/// [`OutputError::Read`] with what the operating system said.
pub fn read_text(path: &Path) -> Result<String, OutputError> {
    let fail = |error| OutputError::Read { path: path.to_owned(), error };
    let about = std::fs::metadata(path).map_err(fail)?;
    if !about.is_file() {
        // A pipe or a device would be waited on for ever.
        return Err(fail(std::io::Error::other("this is not an ordinary file")));
    }
    let size = about.len();
    if size > LARGEST_TABLE {
        return Err(fail(std::io::Error::other(format!(
            "it is {} MB, a table has at most {} MB",
            size >> 20,
            LARGEST_TABLE >> 20
        ))));
    }
    let bytes = std::fs::read(path).map_err(fail)?;
    exchange::table_text(&bytes).map_err(|says| OutputError::NotText { path: path.to_owned(), says })
}

/// What came of reading a table: how much was taken, and the first of what was left out, by line.
pub(crate) fn table_told(taken: &str, problems: &[exchange::RowProblem], units: &UnitChoice) -> String {
    const SHOWN: usize = 40;
    let mut lines = vec![match problems.len() {
        0 => format!("{taken}."),
        1 => format!("{taken}, one error found."),
        n => format!("{taken}, {n} errors found."),
    }];
    let column = |p: &exchange::RowProblem| {
        if p.column.is_empty() { String::new() } else { format!(", {}", p.column) }
    };
    lines.extend(
        problems.iter().take(SHOWN).map(|p| format!("line {}{}: {}", p.line, column(p), p.says.says(units))),
    );
    if problems.len() > SHOWN {
        lines.push(format!("and {} more", problems.len() - SHOWN));
    }
    lines.join("\n")
}
