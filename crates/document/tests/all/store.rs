//! Saving and opening on a real disk.
use crate::common;

use document::{FileError, Outside, Project, Stamp, open, outside, previous_path, save, to_text};
use std::{fs, path::Path, sync::Arc};

fn named(name: &str) -> Project {
    Project { name: name.to_owned(), ..common::tray() }
}
fn files(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn saving_keeps_one_previous_version_and_leaves_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    let first = save(&named("one"), &path, None).unwrap();
    assert_eq!(files(folder.path()), ["tray.ron"]);
    let second = save(&named("two"), &path, Some(&first)).unwrap();
    let third = save(&named("three"), &path, Some(&second)).unwrap();
    assert_eq!(files(folder.path()), ["tray.ron", "tray.ron.previous"]);
    assert_eq!(open(&path).unwrap(), (named("three"), third.clone()));
    assert_eq!(open(&previous_path(&path)).unwrap().0.name, "two");
    // Saving what is there already does not push the previous version out.
    assert_eq!(save(&named("three"), &path, Some(&third)), Ok(third));
    assert_eq!(open(&previous_path(&path)).unwrap().0.name, "two");
}

#[test]
fn a_change_by_someone_else_is_noticed_and_not_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    let mine: Stamp = save(&named("mine"), &path, None).unwrap();
    assert_eq!(outside(&path, &mine), Outside::Same);
    // Same contents written again: nothing changed, whatever the time of the file.
    fs::write(&path, to_text(&named("mine"))).unwrap();
    assert_eq!(outside(&path, &mine), Outside::Same);

    let theirs = save(&named("theirs"), &path, None).unwrap();
    assert_eq!(outside(&path, &mine), Outside::Changed);
    let error = save(&named("mine, later"), &path, Some(&mine)).unwrap_err();
    assert!(matches!(error, FileError::ChangedOutside { .. }), "{error}");
    assert_eq!(open(&path).unwrap(), (named("theirs"), theirs.clone()));
    // Knowingly: with the stamp of what is there now, or none.
    save(&named("mine, later"), &path, Some(&theirs)).unwrap();
    assert_eq!(open(&previous_path(&path)).unwrap().0.name, "theirs");

    fs::remove_file(&path).unwrap();
    assert_eq!(outside(&path, &mine), Outside::Gone);
    save(&named("again"), &path, Some(&mine)).unwrap();
    assert_eq!(open(&path).unwrap().0.name, "again");
}

#[test]
fn places_that_cannot_be_written_are_told_apart_and_nothing_is_touched() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::create_dir(at("folder.ron")).unwrap();
    fs::write(at("file"), "x").unwrap();

    let refused = |path: &Path| save(&named("x"), path, None).unwrap_err();
    assert!(matches!(refused(&at("folder.ron")), FileError::IsFolder { .. }));
    let error = refused(&at("missing/tray.ron"));
    assert!(matches!(&error, FileError::FolderMissing { path } if path.ends_with("missing")), "{error}");
    assert!(matches!(refused(&at("file/tray.ron")), FileError::NotAFolder { .. }));

    save(&named("kept"), &at("tray.ron"), None).unwrap();
    let mut rights = fs::metadata(at("tray.ron")).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(at("tray.ron"), rights).unwrap();
    assert!(matches!(refused(&at("tray.ron")), FileError::WriteProtected { .. }));
    assert_eq!(open(&at("tray.ron")).unwrap().0.name, "kept");
    assert_eq!(files(folder.path()), ["file", "folder.ron", "tray.ron"]);
}

#[test]
fn what_is_no_project_file_is_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::create_dir(at("folder.ron")).unwrap();
    fs::write(at("bytes.ron"), b"(\n  format: 1,\n  name: \"\xff\xfe\",\n)").unwrap();
    assert!(matches!(open(&at("none.ron")).unwrap_err(), FileError::NotFound { .. }));
    assert!(matches!(open(&at("folder.ron")).unwrap_err(), FileError::IsFolder { .. }));
    assert!(matches!(open(&at("bytes.ron")).unwrap_err(), FileError::NotText { line: 3, .. }));
    assert!(matches!(open(&at("bytes.ron/tray.ron")).unwrap_err(), FileError::NotAFolder { .. }));

    // A sparse file: its length is there, its bytes are not.
    fs::File::create(at("large.ron")).unwrap().set_len(65 * 1024 * 1024).unwrap();
    assert!(matches!(open(&at("large.ron")).unwrap_err(), FileError::TooLarge { .. }));
}

#[test]
fn what_could_not_be_read_again_is_not_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.ron");
    let mut project = named("large");
    let corner = |i: u32| geometry::Vertex { at: glam::DVec2::new(f64::from(i), 0.0), bulge: 0.0 };
    let outline = geometry::Outline {
        outer: geometry::Loop { vertices: (0..6_200_000).map(corner).collect() },
        holes: Vec::new(),
    };
    Arc::make_mut(&mut project.parts[0]).outline = Arc::new(outline);
    let error = save(&project, &path, None).unwrap_err();
    assert!(matches!(error, FileError::TooLargeToWrite { .. }), "{error}");
    assert!(error.to_string().contains("nothing was written"), "{error}");
    assert!(fs::read_dir(folder.path()).unwrap().next().is_none(), "something was written");
}

/// A message about a file that is there already is about that file, not about the one to be written.
#[test]
fn a_file_too_large_to_be_ours_is_left_and_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("film.ron");
    fs::File::create(&path).unwrap().set_len(65 * 1024 * 1024).unwrap();
    let error = save(&named("small"), &path, None).unwrap_err();
    assert!(matches!(error, FileError::NotOurs { bytes: 68_157_440, .. }), "{error}");
    assert_eq!(fs::metadata(&path).unwrap().len(), 68_157_440);
}

#[cfg(unix)]
#[test]
fn a_device_is_not_read_and_a_link_is_followed() {
    assert!(matches!(open(Path::new("/dev/zero")).unwrap_err(), FileError::NotAFile { .. }));
    let folder = tempfile::tempdir().unwrap();
    let (real, link) = (folder.path().join("real.ron"), folder.path().join("link.ron"));
    save(&named("one"), &real, None).unwrap();
    std::os::unix::fs::symlink(&real, &link).unwrap();
    save(&named("two"), &link, None).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(open(&real).unwrap().0.name, "two");
}

#[cfg(unix)]
#[test]
fn access_rights_of_the_file_are_kept() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    save(&named("one"), &path, None).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    save(&named("two"), &path, None).unwrap();
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
}
