//! Places that refuse: full, read-only, forbidden, vanished. Nothing that was there is lost, and what to do is said.
#![cfg(unix)]
use crate::common;

use document::*;
use std::{
    env, fs,
    os::unix::{fs::PermissionsExt, process::CommandExt},
    path::{Path, PathBuf},
    process::Command,
};

fn named(name: &str) -> Project {
    Project { name: name.to_owned(), ..common::tray() }
}
fn files(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}
fn rights(path: &Path, mode: u32) {
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
}
/// The folder that a child process of a test is to work in.
fn of_child(test: &str) -> Option<PathBuf> {
    env::var_os(format!("CUPWRIGHT_CHILD_{test}")).map(PathBuf::from)
}
/// Runs one test of this file again, as a child that is told its folder.
fn again(mut command: Command, test: &str, folder: &Path) -> std::process::Output {
    command
        .args(["--exact", &format!("faults::{test}"), "--nocapture"])
        .env(format!("CUPWRIGHT_CHILD_{test}"), folder);
    command.output().unwrap()
}

/// The disk gives out in the middle of the file: the system lets no file grow beyond a few kilobytes.
#[test]
fn a_disk_that_gives_out_while_writing_leaves_the_old_file() {
    const NAME: &str = "a_disk_that_gives_out_while_writing_leaves_the_old_file";
    if let Some(folder) = of_child(NAME) {
        let path = folder.join("tray.ron");
        let error = save(&named("new"), &path, None).unwrap_err();
        let said = error.to_string();
        assert!(
            said.contains("try again or choose another place") || said.contains("free some space"),
            "{said}"
        );
        assert!(keep_copy(&named("new"), &folder.join("kept"), &path, "2026-03-12").is_err());
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    let stamp = save(&named("old"), &path, None).unwrap();
    let mut shell = Command::new("sh");
    // Not to be killed for it, but told.
    shell.args(["-c", "trap '' XFSZ; ulimit -f 2; exec \"$0\" \"$@\""]).arg(env::current_exe().unwrap());
    let output = again(shell, NAME, folder.path());
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stdout));
    assert!(String::from_utf8_lossy(&output.stdout).contains("1 passed"));
    assert_eq!(open(&path).unwrap(), (named("old"), stamp));
    assert_eq!(files(folder.path()), ["kept", "tray.ron"], "no half file stays behind");
    assert_eq!(files(&folder.path().join("kept")), [""; 0]);
}

/// Whoever may do everything is not bound by rights, so the test then goes on as somebody who is.
#[test]
fn rights_that_are_missing_are_told_and_nothing_is_touched() {
    const NAME: &str = "rights_that_are_missing_are_told_and_nothing_is_touched";
    const NOBODY: u32 = 65_534;
    if let Some(folder) = of_child(NAME) {
        return refused_by_rights(&folder);
    }
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    save(&named("secret"), &at("secret.ron"), None).unwrap();
    rights(&at("secret.ron"), 0o000);
    save(&named("old"), &at("tray.ron"), None).unwrap();
    rights(&at("tray.ron"), 0o644);
    rights(folder.path(), 0o555);
    if fs::File::open(at("secret.ron")).is_ok() {
        // A copy of the test that somebody else can run wherever the build is kept.
        let program = tempfile::tempdir().unwrap();
        let copy = program.path().join("faults");
        fs::copy(env::current_exe().unwrap(), &copy).unwrap();
        rights(program.path(), 0o755);
        rights(&copy, 0o755);
        let mut command = Command::new(&copy);
        command.uid(NOBODY).gid(NOBODY).current_dir("/");
        let output = again(command, NAME, folder.path());
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stdout));
        assert!(String::from_utf8_lossy(&output.stdout).contains("1 passed"));
    } else {
        refused_by_rights(folder.path());
    }
    assert_eq!(open(&at("tray.ron")).unwrap().0.name, "old");
    assert_eq!(files(folder.path()), ["secret.ron", "tray.ron"]);
    rights(folder.path(), 0o755);
}
fn refused_by_rights(folder: &Path) {
    let at = |name: &str| folder.join(name);
    let error = open(&at("secret.ron")).unwrap_err();
    assert!(matches!(error, FileError::NoPermission { doing: "read", .. }), "{error}");
    let (project, stamp) = open(&at("tray.ron")).unwrap();
    let changed = Project { name: "new".to_owned(), ..project };
    for path in [at("tray.ron"), at("another.ron")] {
        let error = save(&changed, &path, Some(&stamp)).unwrap_err();
        assert!(matches!(error, FileError::NoPermission { doing: "write", .. }), "{error}");
    }
    // A note that cannot be left is no reason not to open.
    let error = leave_note(&at("tray.ron"), "M. Huber", "").unwrap_err();
    assert!(matches!(error, FileError::NoPermission { .. }), "{error}");
    assert_eq!(note_of_other(&at("tray.ron")), None);
    let error = keep_copy(&changed, &at("kept"), &at("tray.ron"), "").unwrap_err();
    assert!(matches!(error, FileError::NoPermission { .. }), "{error}");
}

/// Nobody, whatever their rights, makes a file there.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_told() {
    let error = save(&named("x"), Path::new("/sys/tray.ron"), None).unwrap_err();
    assert!(matches!(error, FileError::NoPermission { .. } | FileError::ReadOnlyFolder { .. }), "{error}");
    let error = leave_note(Path::new("/sys/tray.ron"), "M. Huber", "").unwrap_err();
    assert!(matches!(error, FileError::NoPermission { .. } | FileError::ReadOnlyFolder { .. }), "{error}");
}

#[test]
fn what_cannot_be_saved_where_it_was_is_kept_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    let share = folder.path().join("share");
    fs::create_dir(&share).unwrap();
    let path = share.join("tray.ron");
    let stamp = save(&named("old"), &path, None).unwrap();
    let note = leave_note(&path, "M. Huber", "2026-03-12").unwrap();
    fs::remove_dir_all(&share).unwrap();
    let error = save(&named("new"), &path, Some(&stamp)).unwrap_err();
    assert!(matches!(&error, FileError::FolderMissing { path } if path.ends_with("share")), "{error}");
    assert_eq!(outside(&path, &stamp), Outside::Gone);
    let kept = keep_copy(&named("new"), &folder.path().join("own"), &path, "2026-03-12T14:05").unwrap();
    assert_eq!(open(&kept).unwrap().0, named("new"));
    drop(note);
    // A file where the folder was, and a folder where the file was.
    fs::write(&share, "x").unwrap();
    assert!(matches!(save(&named("new"), &path, Some(&stamp)).unwrap_err(), FileError::NotAFolder { .. }));
    fs::remove_file(&share).unwrap();
    fs::create_dir_all(&path).unwrap();
    assert!(matches!(save(&named("new"), &path, Some(&stamp)).unwrap_err(), FileError::IsFolder { .. }));
    assert_eq!(files(&share), ["tray.ron"]);
}
