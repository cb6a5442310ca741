//! What goes wrong with files: says what, where and what to do.

use std::{io, path::Path};

/// What goes wrong with files: says what, where and what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FileError {
    /// Nothing there.
    #[error("there is no such file; check the name and the folder: {path}")]
    NotFound {
        /// Where.
        path: String,
    },
    /// The folder to write into is not there.
    #[error("cannot write, the folder does not exist; make it or choose another one: {path}")]
    FolderMissing {
        /// The folder.
        path: String,
    },
    /// A directory stands where a file should.
    #[error("this is a folder, not a file; choose a file name: {path}")]
    IsFolder {
        /// Where.
        path: String,
    },
    /// A file stands where a folder should.
    #[error("a part of this path is a file, not a folder; choose another folder: {path}")]
    NotAFolder {
        /// Where.
        path: String,
    },
    /// A device, pipe or socket.
    #[error("this is not an ordinary file; choose another one: {path}")]
    NotAFile {
        /// Where.
        path: String,
    },
    /// The system does not let this person.
    #[error("no permission to {doing}; save under another name or ask whoever owns it: {path}")]
    NoPermission {
        /// "read", "write".
        doing: &'static str,
        /// Where.
        path: String,
    },
    /// The file itself is marked read-only.
    #[error("the file is write-protected; remove the protection or save under another name: {path}")]
    WriteProtected {
        /// Where.
        path: String,
    },
    /// Mounted read-only.
    #[error("the folder is read-only; save in another folder: {path}")]
    ReadOnlyFolder {
        /// Where.
        path: String,
    },
    /// No room.
    #[error(
        "the disk is full or your quota is used up; free some space or save elsewhere; the old file is \
        unchanged: {path}"
    )]
    DiskFull {
        /// Where.
        path: String,
    },
    /// Someone else wrote the file since it was opened.
    #[error(
        "the file was changed by someone else since it was opened; save under another name, or overwrite it \
        deliberately: {path}"
    )]
    ChangedOutside {
        /// Where.
        path: String,
    },
    /// Anything else the system says.
    #[error("cannot {doing} ({why}); try again or choose another place: {path}")]
    Other {
        /// "read", "write".
        doing: &'static str,
        /// What the system says.
        why: String,
        /// Where.
        path: String,
    },
    /// Larger than any project.
    #[error("the file has {bytes} bytes and a project at most {most}; this is not a project file: {path}")]
    TooLarge {
        /// Its size.
        bytes: u64,
        /// The limit.
        most: u64,
        /// Where.
        path: String,
    },
    /// More than could be read again.
    #[error(
        "the project has {bytes} bytes or more and a project file holds at most {most}: nothing was written; \
        leave out holes and corners that do not matter, or simplify the outline when importing it: {path}"
    )]
    TooLargeToWrite {
        /// Its size, or a lower bound of it.
        bytes: u64,
        /// The limit.
        most: u64,
        /// Where.
        path: String,
    },
    /// Something else stands where a project is to be written.
    #[error(
        "a file of {bytes} bytes, which is no project, already has this name; it was left unchanged, choose \
        another name: {path}"
    )]
    NotOurs {
        /// Its size.
        bytes: u64,
        /// Where.
        path: String,
    },
    /// Nothing in it.
    #[error("the file is empty; the version before it may be beside it with the ending .previous: {path}")]
    Empty {
        /// Where.
        path: String,
    },
    /// Bytes that are no text.
    #[error("line {line} is not UTF-8 text; this is not a project file, or it was damaged: {path}")]
    NotText {
        /// Counted from 1.
        line: usize,
        /// Where.
        path: String,
    },
    /// The text is not as the format wants it.
    #[error("line {line}, column {column}{}: {says}; correct it in a text editor: {path}", in_field(field))]
    Syntax {
        /// Counted from 1.
        line: usize,
        /// Counted from 1.
        column: usize,
        /// `layouts[0].cups[3].turn_deg`, or empty.
        field: String,
        /// What is wrong.
        says: String,
        /// Where.
        path: String,
    },
    /// No `format` field.
    #[error(
        "there is no line \"format: {known},\" at the start; this is not a project file, or add that line: {path}",
        known = super::FORMAT
    )]
    NoFormat {
        /// Where.
        path: String,
    },
    /// Written by a later program.
    #[error(
        "the file has format {found} and this program knows formats up to {known}; open it with a newer version of the program, the file was left untouched: {path}"
    )]
    Newer {
        /// In the file.
        found: u32,
        /// In this program.
        known: u32,
        /// Where.
        path: String,
    },
    /// From before the first format that was handed out.
    #[error(
        "the file has format {found} and this program reads files from format {oldest} on; the file was left untouched: {path}"
    )]
    Older {
        /// In the file.
        found: u32,
        /// The oldest that is read.
        oldest: u32,
        /// Where.
        path: String,
    },
    /// The contents contradict each other.
    #[error("{}{says}; correct it in a text editor: {path}", in_line(line))]
    Contents {
        /// What is wrong.
        says: String,
        /// Where it stands, counted from 1, as far as that is known.
        line: Option<usize>,
        /// Where.
        path: String,
    },
    /// A journal that cannot be replayed at all.
    #[error(
        "the recovery journal is damaged ({says}); nothing could be recovered from it, it was kept: {path}"
    )]
    JournalDamaged {
        /// What is wrong.
        says: String,
        /// Where it is kept now.
        path: String,
    },
}

fn in_line(line: &Option<usize>) -> String {
    line.map_or_else(String::new, |line| format!("line {line}: "))
}
fn in_field(field: &str) -> String {
    if field.is_empty() { String::new() } else { format!(", {field}") }
}

impl FileError {
    /// What the system's refusal to read or write `path` means to a person.
    pub(crate) fn from_io(doing: &'static str, error: &io::Error, path: &Path) -> Self {
        use io::ErrorKind as K;
        let path = shown(path);
        match error.kind() {
            K::NotFound if doing == "write" => Self::FolderMissing { path },
            K::NotFound => Self::NotFound { path },
            K::PermissionDenied => Self::NoPermission { doing, path },
            K::ReadOnlyFilesystem => Self::ReadOnlyFolder { path },
            K::IsADirectory => Self::IsFolder { path },
            K::NotADirectory => Self::NotAFolder { path },
            K::StorageFull | K::QuotaExceeded => Self::DiskFull { path },
            _ => Self::Other { doing, why: error.to_string(), path },
        }
    }
}

/// What is said, with the middle left out where a damaged file puts pages of text into it.
pub(super) fn in_short(says: String) -> String {
    const MOST: usize = 800;
    if says.chars().count() <= MOST {
        return says;
    }
    let letters: Vec<char> = says.chars().collect();
    let (start, end) = (&letters[..MOST / 2], &letters[letters.len() - MOST / 4..]);
    format!("{} … {}", start.iter().collect::<String>(), end.iter().collect::<String>())
}

/// A path as messages show it.
pub(crate) fn shown(path: &Path) -> String {
    path.display().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_of_text_are_left_out() {
        assert_eq!(in_short("cup C4 occurs twice".into()), "cup C4 occurs twice");
        let short = in_short(format!("cup {} occurs twice", "ä".repeat(100_000)));
        assert!(short.starts_with("cup ää") && short.contains("ä … ä") && short.ends_with("occurs twice"));
        assert_eq!(short.chars().count(), 603);
    }
    use std::io::{Error, ErrorKind};

    #[test]
    fn every_refusal_says_what_where_and_what_to_do() {
        let path = Path::new("plans/tray.ron");
        let says = |kind: ErrorKind, doing| FileError::from_io(doing, &Error::from(kind), path).to_string();
        let cases = [
            (ErrorKind::NotFound, "read", "there is no such file; check the name and the folder"),
            (
                ErrorKind::NotFound,
                "write",
                "cannot write, the folder does not exist; make it or choose another one",
            ),
            (
                ErrorKind::PermissionDenied,
                "write",
                "no permission to write; save under another name or ask whoever owns it",
            ),
            (ErrorKind::ReadOnlyFilesystem, "write", "the folder is read-only; save in another folder"),
            (ErrorKind::IsADirectory, "read", "this is a folder, not a file; choose a file name"),
            (
                ErrorKind::NotADirectory,
                "write",
                "a part of this path is a file, not a folder; choose another folder",
            ),
            (
                ErrorKind::StorageFull,
                "write",
                "the disk is full or your quota is used up; free some space or save elsewhere; the old file \
                is unchanged",
            ),
            (
                ErrorKind::QuotaExceeded,
                "write",
                "the disk is full or your quota is used up; free some space or save elsewhere; the old file \
                is unchanged",
            ),
        ];
        for (kind, doing, sentence) in cases {
            assert_eq!(says(kind, doing), format!("{sentence}: plans/tray.ron"));
        }
        assert!(says(ErrorKind::TimedOut, "write").starts_with("cannot write (timed out)"));
    }
}
