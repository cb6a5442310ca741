//! Notes of who has a file open, and copies kept when the place to save to is gone.
use crate::common;

use document::*;
use std::{fs, path::Path, process::Command};

/// A note as another process would have left it.
fn left_by(path: &Path, host: &str, process: u32) -> String {
    let text = format!(
        "// A note.\n(by: \"A. Weber\", host: {host:?}, process: {process}, since: \"2026-03-12T09:00\")\n"
    );
    fs::write(note_path(path), &text).unwrap();
    text
}
fn host() -> String {
    gethostname::gethostname().into_string().unwrap()
}

/// Whether the note beside a file is the one that these tests leave.
fn is_ours(path: &Path) -> bool {
    fs::read_to_string(note_path(path)).is_ok_and(|text| text.contains("Huber"))
}

#[test]
fn a_note_says_who_and_goes_with_its_process() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    save(&common::tray(), &path, None).unwrap();
    let note = leave_note(&path, "M. \"Max\" Huber", "2026-03-12T14:05").unwrap();
    assert!(is_ours(&path));
    let text = fs::read_to_string(folder.path().join(".tray.ron.in-use")).unwrap();
    assert!(text.contains("M. \\\"Max\\\" Huber") && text.contains("2026-03-12T14:05"), "{text}");
    assert_eq!(note_of_other(&path), None, "it is this process's own");
    // Whatever is noted, the file opens and saves.
    open(&path).unwrap();
    drop(note);
    assert!(!note_path(&path).exists());
}

#[test]
fn the_note_of_a_running_process_stays_and_of_one_that_is_gone_is_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    let mut child = Command::new("sleep").arg("60").spawn().unwrap();
    let text = left_by(&path, &host(), child.id());
    let other = note_of_other(&path).unwrap();
    assert_eq!((&*other.by, other.process, &*other.since), ("A. Weber", child.id(), "2026-03-12T09:00"));
    assert_eq!(other.standing(), NoteStanding::Running);
    let note = leave_note(&path, "M. Huber", "2026-03-12T14:05").unwrap();
    assert!(!is_ours(&path));
    drop(note);
    assert_eq!(fs::read_to_string(note_path(&path)).unwrap(), text, "the other's note is still there");

    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!(other.standing(), NoteStanding::Gone);
    let note = leave_note(&path, "M. Huber", "2026-03-12T14:05").unwrap();
    assert!(is_ours(&path) && note_of_other(&path).is_none());
    // Someone else's note in its place is not taken away.
    let text = left_by(&path, "other-machine", 7);
    drop(note);
    assert_eq!(fs::read_to_string(note_path(&path)).unwrap(), text);
}

#[test]
fn of_another_machine_nobody_can_tell() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    left_by(&path, "another-machine-than-this", 1);
    assert_eq!(note_of_other(&path).unwrap().standing(), NoteStanding::Elsewhere);
    let note = leave_note(&path, "M. Huber", "").unwrap();
    assert!(!is_ours(&path));
    drop(note);
    for process in [0, u32::MAX] {
        left_by(&path, &host(), process);
        assert_eq!(
            note_of_other(&path).unwrap().standing(),
            NoteStanding::Gone,
            "no process has this number"
        );
    }
}

#[test]
fn a_damaged_note_is_no_note() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    let long = format!("(by: \"{}\", host: \"a\", process: 1, since: \"\")", "x".repeat(10_000));
    for damaged in ["", "(by: ", "(by: \"A\")", "\u{0}\u{1}", &long] {
        fs::write(note_path(&path), damaged).unwrap();
        assert_eq!(note_of_other(&path), None);
        let note = leave_note(&path, "M. Huber", "").unwrap();
        assert!(is_ours(&path));
        drop(note);
    }
    fs::write(note_path(&path), b"\xff\xfe").unwrap();
    assert_eq!(note_of_other(&path), None);
    // Not even a folder in its place stands against opening.
    fs::remove_file(note_path(&path)).unwrap();
    fs::create_dir(note_path(&path)).unwrap();
    assert_eq!(note_of_other(&path), None);
    assert!(leave_note(&path, "M. Huber", "").is_err());
    save(&common::tray(), &path, None).unwrap();
    open(&path).unwrap();
}

#[test]
fn a_note_that_cannot_be_left_is_told_and_one_whose_folder_vanished_is_forgotten() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("missing/tray.ron");
    let error = leave_note(&missing, "M. Huber", "").unwrap_err();
    assert!(matches!(error, FileError::FolderMissing { .. }), "{error}");
    assert_eq!(note_of_other(&missing), None);
    let inner = folder.path().join("inner");
    fs::create_dir(&inner).unwrap();
    let note = leave_note(&inner.join("tray.ron"), "M. Huber", "").unwrap();
    fs::remove_dir_all(&inner).unwrap();
    drop(note);
    assert!(!inner.exists());
}

#[cfg(unix)]
#[test]
fn a_link_has_the_note_of_what_it_links_to() {
    let folder = tempfile::tempdir().unwrap();
    let (real, link) = (folder.path().join("real.ron"), folder.path().join("link.ron"));
    save(&common::tray(), &real, None).unwrap();
    std::os::unix::fs::symlink(&real, &link).unwrap();
    assert_eq!(note_path(&link), note_path(&real));
}

#[test]
fn a_kept_copy_overwrites_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let own = folder.path().join("cupwright/kept");
    let (gone, on) = (Path::new("/vanished/share/tray.ron"), "2026-03-12T14:05:09+01:00");
    let first = common::tray();
    let second = Project { name: "Other".into(), ..first.clone() };
    let keep = |project: &Project| keep_copy(project, &own, gone, on).unwrap();
    let (a, b) = (keep(&first), keep(&second));
    assert_eq!(a, own.join("tray.kept-2026-03-12T14-05-09-01-00.ron"));
    assert_eq!(b, own.join("tray.kept-2026-03-12T14-05-09-01-00-2.ron"));
    assert_eq!((keep(&first), keep(&second)), (a.clone(), b.clone()), "each is kept once");
    assert_eq!((open(&a).unwrap().0, open(&b).unwrap().0), (first.clone(), second));
    assert_eq!(fs::read_dir(&own).unwrap().count(), 2);
    fs::write(folder.path().join("file"), "x").unwrap();
    let error = keep_copy(&first, &folder.path().join("file/kept"), gone, on).unwrap_err();
    assert!(matches!(error, FileError::NotAFolder { .. }), "{error}");
}
