//! Files on disk: read within bounds, write whole or not at all.

use super::{FileError, Stamp, error::shown, read, write};
use crate::Project;
use std::{
    fs::{self, File},
    io::{self, Read, Write},
    path::{Path, PathBuf},
    time::Duration,
};

/// What the names of temporary files begin and end with.
const TEMPORARY: (&str, &str) = (".cupwright-", ".part");
/// Writing takes seconds: a temporary file as old as this was left by a program that was killed.
const STRAY_AFTER: Duration = Duration::from_secs(3600);

/// Opens a project file.
///
/// # Errors
/// The file cannot be read, is too large, or is not a project of a known format. It is never changed.
pub fn open(path: &Path) -> Result<(Project, Stamp), FileError> {
    let bytes = read_bytes(path)?;
    let stamp = Stamp::of(&bytes);
    let text = String::from_utf8(bytes).map_err(|e| {
        let sound = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        FileError::NotText { line: 1 + sound.iter().filter(|b| **b == b'\n').count(), path: shown(path) }
    })?;
    Ok((read::from_text(&text, &shown(path))?, stamp))
}

/// Saves a project: a new file is written beside the old one, flushed to the disk and put in its place in one step; the old
/// one stays beside it as `NAME.ron.previous`. Nothing is written when the file is the same already. A link is followed.
/// Temporary files that a killed program left in the folder go an hour later, with the next save there.
///
/// # Errors
/// [`FileError::ChangedOutside`] when `expected` no longer matches; otherwise what the system refused. The old file is then
/// as it was.
///
/// ```
/// # use std::sync::Arc;
/// # use document::{Part, PartId, Project, open, save};
/// let folder = tempfile::tempdir().unwrap();
/// let path = folder.path().join("tray.ron");
/// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
/// let stamp = save(&project, &path, None).unwrap();
/// assert_eq!(open(&path).unwrap(), (project, stamp));
/// ```
pub fn save(project: &Project, path: &Path, expected: Option<&Stamp>) -> Result<Stamp, FileError> {
    let text = written(project, path)?;
    let path = &fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let before = existing(path)?;
    if before.as_deref() == Some(text.as_bytes()) {
        return Ok(Stamp::of(text.as_bytes()));
    }
    let changed = |now: &Option<Vec<u8>>| match (expected, now) {
        (Some(stamp), Some(now)) => Stamp::of(now) != *stamp,
        _ => false,
    };
    if changed(&before) {
        return Err(FileError::ChangedOutside { path: shown(path) });
    }
    let new = written_beside(path, text.as_bytes())?;
    // Writing took time: look again just before the old file goes.
    let before = existing(path)?;
    if changed(&before) {
        return Err(FileError::ChangedOutside { path: shown(path) });
    }
    if let Some(before) = before {
        let previous = previous_path(path);
        put(written_beside(path, &before)?, &previous)?;
    }
    put(new, path)?;
    // The rename itself must survive a power cut too; a system that cannot flush a folder has nothing to add.
    let _ = File::open(folder_of(path)).and_then(|folder| folder.sync_all());
    sweep(folder_of(path), TEMPORARY.0);
    Ok(Stamp::of(text.as_bytes()))
}

/// The text of a project that can be read again.
fn written(project: &Project, path: &Path) -> Result<String, FileError> {
    let too_large = |bytes| FileError::TooLargeToWrite { bytes, most: read::MOST_BYTES, path: shown(path) };
    // Told by its corners before the text of hundreds of megabytes is made.
    let least = write::bytes_at_least(project);
    if least > read::MOST_BYTES {
        return Err(too_large(least));
    }
    let text = write::to_text(project);
    if text.len() as u64 > read::MOST_BYTES { Err(too_large(text.len() as u64)) } else { Ok(text) }
}

/// Size of the file that a project comes to, bytes or a lower bound of it, where that is more than a project file may hold:
/// [`save`] would refuse it.
///
/// ```
/// # use document::{Part, PartId, Project, larger_than_a_file};
/// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Default::default()));
/// assert_eq!(larger_than_a_file(&project), None);
/// ```
pub fn larger_than_a_file(project: &Project) -> Option<u64> {
    match written(project, Path::new("")) {
        Err(FileError::TooLargeToWrite { bytes, .. }) => Some(bytes),
        _ => None,
    }
}

/// Where [`save`] keeps the version before.
pub fn previous_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".previous");
    name.into()
}

/// The whole file, within bounds; never waits on a pipe or a device.
pub(crate) fn read_bytes(path: &Path) -> Result<Vec<u8>, FileError> {
    let refused = |e: io::Error| FileError::from_io("read", &e, path);
    let about = fs::metadata(path).map_err(refused)?;
    if about.is_dir() {
        return Err(FileError::IsFolder { path: shown(path) });
    }
    if !about.is_file() {
        return Err(FileError::NotAFile { path: shown(path) });
    }
    let most = read::MOST_BYTES;
    let too_large = |bytes| FileError::TooLarge { bytes, most, path: shown(path) };
    if about.len() > most {
        return Err(too_large(about.len()));
    }
    let mut bytes = Vec::with_capacity(about.len() as usize);
    File::open(path).and_then(|f| f.take(most + 1).read_to_end(&mut bytes)).map_err(refused)?;
    if bytes.len() as u64 > most { Err(too_large(bytes.len() as u64)) } else { Ok(bytes) }
}

/// What stands at the place to write to, after asking whether it may be replaced.
fn existing(path: &Path) -> Result<Option<Vec<u8>>, FileError> {
    match fs::metadata(path) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => {
            let folder = folder_of(path);
            if folder.is_dir() { Ok(None) } else { Err(FileError::FolderMissing { path: shown(folder) }) }
        }
        Err(e) => Err(FileError::from_io("write", &e, path)),
        Ok(about) if about.is_file() && about.permissions().readonly() => {
            Err(FileError::WriteProtected { path: shown(path) })
        }
        Ok(_) => match read_bytes(path) {
            Ok(bytes) => Ok(Some(bytes)),
            // Larger than any project: whose ever it is, it is not ours to replace.
            Err(FileError::TooLarge { bytes, .. }) => Err(FileError::NotOurs { bytes, path: shown(path) }),
            Err(other) => Err(other),
        },
    }
}
pub(super) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// A temporary file beside `path` with these contents on the disk and with the access rights of what it will replace.
pub(super) fn written_beside(path: &Path, contents: &[u8]) -> Result<tempfile::NamedTempFile, FileError> {
    let refused = |e: io::Error| match FileError::from_io("write", &e, path) {
        FileError::FolderMissing { .. } => FileError::FolderMissing { path: shown(folder_of(path)) },
        other => other,
    };
    let mut new = builder().tempfile_in(folder_of(path)).map_err(refused)?;
    if let Ok(about) = fs::metadata(path) {
        // Not to be allowed to hand on rights is no reason not to save.
        let _ = new.as_file().set_permissions(about.permissions());
    }
    write_through(new.as_file_mut(), contents).map_err(refused)?;
    Ok(new)
}
pub(super) fn builder() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(TEMPORARY.0).suffix(TEMPORARY.1);
    // A temporary file is for its owner alone by default; this one becomes an ordinary file.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder
}
/// Removes temporary files that killed programs left in a folder; another program may be writing the young ones.
pub(crate) fn sweep(folder: &Path, prefix: &str) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let ours = name.to_str().is_some_and(|n| n.starts_with(prefix) && n.ends_with(TEMPORARY.1));
        let old = || {
            let about = entry.metadata().ok().filter(fs::Metadata::is_file)?;
            about.modified().ok()?.elapsed().ok().filter(|age| *age > STRAY_AFTER)
        };
        if ours && old().is_some() {
            // One that cannot be removed costs room, nothing else.
            let _ = fs::remove_file(entry.path());
        }
    }
}
/// Contents to the disk, not only to the system's memory.
pub(crate) fn write_through(file: &mut File, contents: &[u8]) -> io::Result<()> {
    file.write_all(contents)?;
    file.flush()?;
    file.sync_all()
}
fn put(new: tempfile::NamedTempFile, path: &Path) -> Result<(), FileError> {
    new.persist(path).map(|_| ()).map_err(|e| FileError::from_io("write", &e.error, path))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `/dev/full` answers every write as a full disk does.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_full_disk_is_told_as_such() {
        let full = Path::new("/dev/full");
        let mut file = File::options().write(true).open(full).unwrap();
        let error = write_through(&mut file, &[b'x'; 100_000]).unwrap_err();
        let said = FileError::from_io("write", &error, full);
        assert_eq!(said, FileError::DiskFull { path: "/dev/full".into() });
    }

    #[test]
    fn what_a_killed_save_left_goes_later_and_nothing_else_does() {
        let folder = tempfile::tempdir().unwrap();
        let put = |name: &str, hours: u64| {
            let file = File::create(folder.path().join(name)).unwrap();
            file.set_modified(std::time::SystemTime::now() - Duration::from_secs(hours * 3600)).unwrap();
        };
        put(".cupwright-a1b2c3.part", 2);
        put(".cupwright-d4e5f6.part", 0);
        put("download.part", 2);
        put(".cupwright-notes", 2);
        let part = crate::Part::from_outline(crate::PartId(1), "Sheet", std::sync::Arc::default());
        save(&Project::new("Tray", part), &folder.path().join("tray.ron"), None).unwrap();
        let mut left: Vec<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        left.sort();
        assert_eq!(left, [".cupwright-d4e5f6.part", ".cupwright-notes", "download.part", "tray.ron"]);
    }

    #[test]
    fn a_bare_name_is_in_the_current_folder() {
        assert_eq!(folder_of(Path::new("tray.ron")), Path::new("."));
        assert_eq!(folder_of(Path::new("a/tray.ron")), Path::new("a"));
        assert_eq!(previous_path(Path::new("a/tray.ron")), Path::new("a/tray.ron.previous"));
    }
}
