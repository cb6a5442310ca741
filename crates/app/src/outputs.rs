//! Writing sheets and tables whole or not at all.

mod guard;
mod kind;
mod together;

pub(crate) use guard::{Permit, Target, same_file};
pub(crate) use kind::{Kind, found};
pub(crate) use together::write_together;

use std::path::{Path, PathBuf};

/// A sheet has fewer pages than this.
const MOST_PAGES: usize = 1000;
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
    #[error("could not write, this is no ordinary file; name another one, or - for standard output: {}", path.display())]
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
    #[error("could not write, the file is write-protected; take the protection off or name another one: {}", path.display())]
    Protected {
        /// Where.
        path: PathBuf,
    },
    /// Something else is there.
    #[error("nothing was written, {found} is there and {kind} would take its place; name another file, or add --force: {}", path.display())]
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
        K::NotFound => "the folder is not there; make it or choose another".to_owned(),
        K::PermissionDenied => {
            "it may not be written or read here; choose another folder or ask for the right".to_owned()
        }
        K::IsADirectory => "this is a folder; name a file in it".to_owned(),
        K::StorageFull => "the disk is full; make room or choose another disk".to_owned(),
        K::ReadOnlyFilesystem => "the disk is read-only; choose another".to_owned(),
        _ => error.to_string(),
    }
}

/// Writes one file whole, or leaves what was there.
///
/// # Errors
/// It may not be written there, see [`Permit::ask`], or [`OutputError::Write`] with what the operating system said.
pub(crate) fn write_one(
    permit: &mut Permit,
    path: &Path,
    kind: Kind,
    bytes: Vec<u8>,
) -> Result<PathBuf, OutputError> {
    let target = permit.ask(path, kind)?;
    write_together(&[(target, bytes)])?;
    Ok(path.to_owned())
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
        return Err(fail(std::io::Error::other("this is no ordinary file")));
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
pub(crate) fn table_told(taken: &str, problems: &[exchange::RowProblem]) -> String {
    const SHOWN: usize = 40;
    let mut lines = vec![match problems.len() {
        0 => format!("{taken}."),
        1 => format!("{taken}, one mistake found."),
        n => format!("{taken}, {n} mistakes found."),
    }];
    let column = |p: &exchange::RowProblem| {
        if p.column.is_empty() { String::new() } else { format!(", {}", p.column) }
    };
    lines.extend(problems.iter().take(SHOWN).map(|p| format!("line {}{}: {}", p.line, column(p), p.says)));
    if problems.len() > SHOWN {
        lines.push(format!("and {} more", problems.len() - SHOWN));
    }
    lines.join("\n")
}

/// What kind of pages the ending asks for.
///
/// # Errors
/// [`OutputError::Ending`].
pub(crate) fn page_kind(path: &Path) -> Result<Kind, OutputError> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    match ending.as_str() {
        "pdf" => Ok(Kind::Pdf),
        "svg" => Ok(Kind::Svg),
        "png" => Ok(Kind::Png),
        _ => Err(OutputError::Ending { ending, choices: ".pdf, .svg or .png", path: path.to_owned() }),
    }
}

/// Where a page of this number, counted from 0, goes: further pages of SVG and PNG get a number.
fn page_path(path: &Path, page: usize) -> PathBuf {
    if page == 0 {
        return path.to_owned();
    }
    let [stem, ending] =
        [path.file_stem(), path.extension()].map(|part| part.unwrap_or_default().to_string_lossy());
    path.with_file_name(format!("{stem}-{}.{ending}", page + 1))
}

/// Pages behind the first that are there already, as far as their numbers follow one another.
pub(crate) fn further_pages(path: &Path, kind: Kind) -> Vec<PathBuf> {
    if !matches!(kind, Kind::Svg | Kind::Png) {
        return Vec::new();
    }
    (1..MOST_PAGES).map(|page| page_path(path, page)).take_while(|page| page.exists()).collect()
}

/// Pages that were written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PagesWritten {
    /// The first.
    pub(crate) path: PathBuf,
    /// A page with the next number that was there before: it is of another sheet.
    pub(crate) left_over: Option<PathBuf>,
}

impl PagesWritten {
    /// What to say of a page that is of another sheet.
    pub(crate) fn note(&self) -> Option<String> {
        let page = self.left_over.as_ref()?;
        Some(format!("{} is not of these pages; it was there before", page.display()))
    }
}

/// The places that these pages take, the first in front.
///
/// # Errors
/// The ending says nothing, or one of them may not be written, see [`Permit::ask`].
pub(crate) fn page_targets(
    permit: &mut Permit,
    count: usize,
    path: &Path,
) -> Result<Vec<Target>, OutputError> {
    let kind = page_kind(path)?;
    let count = if kind == Kind::Pdf { 1 } else { count.max(1) };
    (0..count).map(|page| permit.ask(&page_path(path, page), kind)).collect()
}

/// Writes pages, all or none; the ending decides between PDF, SVG and PNG (at `dpi`). Further pages of SVG and PNG get a number.
///
/// # Errors
/// See [`OutputError`].
pub(crate) fn write_pages(
    permit: &mut Permit,
    pages: &[sheet::Page],
    name: &str,
    dpi: f64,
    path: &Path,
) -> Result<PagesWritten, OutputError> {
    let kind = page_kind(path)?;
    let targets = page_targets(permit, pages.len(), path)?;
    let bytes: Vec<Vec<u8>> = match kind {
        Kind::Pdf => vec![sheet::to_pdf(pages, name)?],
        Kind::Png => pages.iter().map(|page| sheet::to_png(page, dpi)).collect::<Result<_, _>>()?,
        _ => pages.iter().map(|page| sheet::to_svg(page).into_bytes()).collect(),
    };
    let count = targets.len();
    let files: Vec<(Target, Vec<u8>)> = targets.into_iter().zip(bytes).collect();
    write_together(&files)?;
    let next = page_path(path, count);
    let left_over = (kind != Kind::Pdf && next.exists()).then_some(next);
    Ok(PagesWritten { path: path.to_owned(), left_over })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_can_be_read_by_others_and_replaces_whole() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("sheet.csv");
        let write = |path: &Path, text: &str| {
            write_one(&mut Permit::new(&[], true), path, Kind::Table, text.as_bytes().to_vec())
        };
        write(&file, "one").unwrap();
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let plain = folder.path().join("plain");
            std::fs::write(&plain, "").unwrap();
            let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode();
            assert_eq!(mode(&file), mode(&plain));
        }
        write(&file, "two").unwrap();
        assert_eq!(std::fs::read(&file).unwrap(), b"two");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "no temporary file is left");
        let says = write(folder.path(), "x").unwrap_err().to_string();
        assert!(says.contains("this is a folder"), "{says}");
        let says = write(&folder.path().join("no/where.csv"), "x").unwrap_err().to_string();
        assert!(says.contains("the folder is not there"), "{says}");
    }
}
