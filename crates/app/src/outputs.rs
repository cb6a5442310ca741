//! Writing sheets and tables whole or not at all.

use analysis::Report;
use document::Project;
use sheet::SheetOptions;
use std::{
    io::Write as _,
    path::{Path, PathBuf},
};

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
    /// The sheet could not be drawn.
    #[error("the sheet could not be drawn: {0}")]
    Sheet(#[from] sheet::SheetError),
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

/// Writes through a temporary file in the same folder, so that a failure leaves what was there.
///
/// # Errors
/// [`OutputError::Write`] with what the operating system said.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<PathBuf, OutputError> {
    let fail = |error| OutputError::Write { path: path.to_owned(), error };
    if path.is_dir() {
        return Err(fail(std::io::ErrorKind::IsADirectory.into()));
    }
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = readable_temporary(path, folder).map_err(fail)?;
    file.write_all(bytes).map_err(fail)?;
    file.as_file().sync_all().map_err(fail)?;
    file.persist(path).map_err(|e| fail(e.error))?;
    Ok(path.to_owned())
}

/// A temporary file with the rights that the file it replaces has, or that any new file gets here; temporary files as
/// such are the owner's alone, which would keep a sheet from the build team.
fn readable_temporary(path: &Path, folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let file = builder.tempfile_in(folder)?;
    if let Ok(there) = std::fs::metadata(path) {
        file.as_file().set_permissions(there.permissions())?;
    }
    Ok(file)
}

/// Reads a text file of reasonable size.
///
/// # Errors
/// [`OutputError::Read`] with what the operating system said.
pub fn read_text(path: &Path) -> Result<String, OutputError> {
    let fail = |error| OutputError::Read { path: path.to_owned(), error };
    let size = std::fs::metadata(path).map_err(fail)?.len();
    if size > LARGEST_TABLE {
        return Err(fail(std::io::Error::other(format!(
            "it is {} MB, a table has at most {} MB",
            size >> 20,
            LARGEST_TABLE >> 20
        ))));
    }
    std::fs::read(path).map_err(fail).map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
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

/// Writes the layout sheet; the ending decides between PDF, SVG and PNG. Further pages of SVG and PNG get a number.
///
/// # Errors
/// See [`OutputError`].
pub fn write_sheet(
    project: &Project,
    report: &Report,
    options: &SheetOptions,
    path: &Path,
) -> Result<PathBuf, OutputError> {
    write_pages(&sheet::compose(project, report, options), &project.name, 150.0, path)
}

/// Writes pages; the ending decides between PDF, SVG and PNG (at `dpi`). Further pages of SVG and PNG get a number.
///
/// # Errors
/// See [`OutputError`].
pub fn write_pages(pages: &[sheet::Page], name: &str, dpi: f64, path: &Path) -> Result<PathBuf, OutputError> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    if ending == "pdf" {
        return write_whole(path, &sheet::to_pdf(pages, name)?);
    }
    for (i, page) in pages.iter().enumerate() {
        let bytes = match ending.as_str() {
            "svg" => sheet::to_svg(page).into_bytes(),
            "png" => sheet::to_png(page, dpi)?,
            _ => {
                return Err(OutputError::Ending {
                    ending,
                    choices: ".pdf, .svg or .png",
                    path: path.to_owned(),
                });
            }
        };
        let name = if i == 0 {
            path.to_owned()
        } else {
            path.with_file_name(format!(
                "{}-{}.{ending}",
                path.file_stem().unwrap_or_default().to_string_lossy(),
                i + 1
            ))
        };
        write_whole(&name, &bytes)?;
    }
    Ok(path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_can_be_read_by_others_and_replaces_whole() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("sheet.csv");
        write_whole(&file, b"one").unwrap();
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let plain = folder.path().join("plain");
            std::fs::write(&plain, "").unwrap();
            let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode();
            assert_eq!(mode(&file), mode(&plain));
        }
        write_whole(&file, b"two").unwrap();
        assert_eq!(std::fs::read(&file).unwrap(), b"two");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2, "no temporary file is left");
        let says = write_whole(folder.path(), b"x").unwrap_err().to_string();
        assert!(says.contains("this is a folder"), "{says}");
        let says = write_whole(&folder.path().join("no/where.csv"), b"x").unwrap_err().to_string();
        assert!(says.contains("the folder is not there"), "{says}");
    }
}
