//! Files that belong together are there all or none: every one is on the disk beside its place before the first is put in.

use super::{OutputError, guard::Target};
use std::{
    fs,
    io::{self, Write as _},
    path::{Path, PathBuf},
};
use tempfile::NamedTempFile;

/// Writes the files, or leaves every place as it was.
///
/// # Errors
/// [`OutputError::Write`] with what the operating system said of the first that could not be written.
pub(crate) fn write_together(files: &[(Target, impl AsRef<[u8]>)]) -> Result<(), OutputError> {
    let failed = |target: &Target, error| OutputError::Write { path: target.asked.clone(), error };
    let mut staged = Vec::with_capacity(files.len());
    for (target, bytes) in files {
        staged.push((target, beside(&target.path, bytes.as_ref()).map_err(|e| failed(target, e))?));
    }
    // One alone goes into its place in one step.
    if let [_] = files {
        return staged
            .into_iter()
            .try_for_each(|(target, new)| put(new, &target.path).map_err(|e| failed(target, e)));
    }
    let mut placed: Vec<(PathBuf, Option<tempfile::TempPath>)> = Vec::new();
    for (target, new) in staged {
        let kept = keep(&target.path);
        match kept.and_then(|kept| put(new, &target.path).map(|()| kept)) {
            Ok(kept) => placed.push((target.path.clone(), kept)),
            Err(error) => {
                for (path, kept) in placed {
                    // What cannot be put back is told by the error that began it.
                    let _ = match kept {
                        Some(kept) => kept.persist(&path).map_err(|e| e.error),
                        None => fs::remove_file(&path),
                    };
                }
                return Err(failed(target, error));
            }
        }
    }
    Ok(())
}

/// A temporary file beside `path` with these contents on the disk, and with the rights that the file it replaces has, or that
/// any new file gets here; temporary files as such are the owner's alone, which would keep a sheet from the build team.
fn beside(path: &Path, bytes: &[u8]) -> io::Result<NamedTempFile> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut new = builder.tempfile_in(folder)?;
    if let Ok(there) = fs::metadata(path) {
        new.as_file().set_permissions(there.permissions())?;
    }
    new.write_all(bytes)?;
    new.as_file().sync_all()?;
    Ok(new)
}

fn put(new: NamedTempFile, path: &Path) -> io::Result<()> {
    new.persist(path).map(|_| ()).map_err(|e| e.error)
}

/// What is there now, kept under another name until all are in their places.
fn keep(path: &Path) -> io::Result<Option<tempfile::TempPath>> {
    if !path.exists() {
        return Ok(None);
    }
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let kept = NamedTempFile::new_in(folder)?.into_temp_path();
    fs::copy(path, &kept)?;
    Ok(Some(kept))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn target(path: &Path) -> Target {
        Target { asked: path.to_owned(), path: path.to_owned() }
    }

    #[test]
    fn where_one_cannot_be_put_none_is() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("sheet.svg"), "old").unwrap();
        // A folder stands where the third page goes: the file is staged beside it, and cannot be put.
        fs::create_dir(at("sheet-3.svg")).unwrap();
        let files: Vec<_> = ["sheet.svg", "sheet-2.svg", "sheet-3.svg"]
            .map(|name| (target(&at(name)), b"new".to_vec()))
            .into();
        assert!(write_together(&files).is_err());
        assert_eq!(fs::read(at("sheet.svg")).unwrap(), b"old");
        assert!(!at("sheet-2.svg").exists());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2, "no temporary file is left");
        fs::remove_dir(at("sheet-3.svg")).unwrap();
        write_together(&files).unwrap();
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
        assert!(files.iter().all(|(target, bytes)| fs::read(&target.path).unwrap() == *bytes));
    }
}
