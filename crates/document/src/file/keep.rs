//! A copy in the program's own folder when the place to save to is gone.

use super::{FileError, error::shown, store, write};
use crate::Project;
use std::{
    fs, io,
    path::{Path, PathBuf},
};

/// Copies of one name and date that are told apart by a number.
const MOST_COPIES: u32 = 1000;

/// Keeps a copy of a project in a folder of the program, for when the place it was to be saved to is gone: named after the
/// file it belongs to and the time (`on`, ISO 8601), "tray.kept-2026-03-12T14-05.ron". The folder is made if need be, and no
/// other copy is overwritten. Returns where it is.
///
/// # Errors
/// What the system refused.
///
/// ```
/// # use std::{path::Path, sync::Arc};
/// # use document::{Part, PartId, Project, keep_copy, open};
/// let folder = tempfile::tempdir().unwrap();
/// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
/// let path = keep_copy(&project, folder.path(), Path::new("/gone/tray.ron"), "2026-03-12T14:05").unwrap();
/// assert_eq!(path.file_name().unwrap(), "tray.kept-2026-03-12T14-05.ron");
/// assert_eq!(open(&path).unwrap().0, project);
/// ```
pub fn keep_copy(project: &Project, folder: &Path, name_from: &Path, on: &str) -> Result<PathBuf, FileError> {
    let text = write::to_text(project);
    fs::create_dir_all(folder).map_err(|e| FileError::from_io("write", &e, folder))?;
    let name = name_from.file_stem().map_or_else(|| "project".into(), |stem| stem.to_string_lossy());
    let on: String = on.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    for copy in 1..=MOST_COPIES {
        let number = if copy == 1 { String::new() } else { format!("-{copy}") };
        let path = folder.join(format!("{name}.kept-{on}{number}.ron"));
        if path.exists() {
            // Asked for twice, it is kept once.
            if store::read_bytes(&path).is_ok_and(|there| there == text.as_bytes()) {
                return Ok(path);
            }
            continue;
        }
        match store::written_beside(&path, text.as_bytes())?.persist_noclobber(&path) {
            Ok(_) => return Ok(path),
            Err(e) if e.error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(FileError::from_io("write", &e.error, &path)),
        }
    }
    let why = format!("there are {MOST_COPIES} copies of {name} of this time already");
    Err(FileError::Other { doing: "write", why, path: shown(folder) })
}
