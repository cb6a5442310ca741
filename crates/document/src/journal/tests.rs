use super::*;
use crate::{MotionKind, Part, PartId};
use proptest::prelude::*;
use std::fmt::Write as _;

fn project(name: &str) -> Project {
    let part = Part::from_outline(PartId(1), "Tray blank", Arc::default());
    Project { name: name.to_owned(), ..Project::new("Tray", part) }
}
fn history(name: &str) -> History {
    History::new(project(name))
}
/// Texts that share starts and ends, with letters of several bytes that the cuts must not split.
fn texts() -> impl Strategy<Value = Vec<String>> {
    proptest::collection::vec("[aé✂\n]{0,12}", 1..8)
}
fn journal_of(texts: &[String]) -> String {
    let mut bytes = records::first("/home/plans/tray.ron", "", 0, "", &texts[0]);
    for (i, pair) in texts.windows(2).enumerate() {
        let _ = write!(
            bytes,
            "{}",
            records::encode(Kind::Change, i + 1, &format!("Edit {i}\nnext"), &pair[0], &pair[1])
        );
    }
    bytes
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn every_truncation_gives_a_prefix(texts in texts()) {
        let bytes = journal_of(&texts);
        let whole = records::replay(bytes.as_bytes()).unwrap();
        prop_assert_eq!((whole.text(), whole.number, whole.damage), (texts.last().unwrap().as_str(), texts.len() - 1, None));
        prop_assert_eq!(whole.opened, "/home/plans/tray.ron");
        for end in 0..bytes.len() {
            if let Ok(replay) = records::replay(&bytes.as_bytes()[..end]) {
                prop_assert_eq!(replay.text(), texts[replay.number].as_str());
                // Nothing is said only where a record ends.
                let ends = replay.damage.is_none() == (end == journal_of(&texts[..=replay.number]).len());
                prop_assert!(ends, "{:?} at {}", replay.damage, end);
                prop_assert!(matches!(replay.damage, None | Some(Damage::CutShort)), "at {}", end);
            }
        }
    }

    #[test]
    fn a_changed_byte_gives_a_prefix(texts in texts(), at in any::<proptest::sample::Index>(), byte in any::<u8>()) {
        let mut bytes = journal_of(&texts).into_bytes();
        let at = at.index(bytes.len());
        let same = bytes[at] == byte;
        bytes[at] = byte;
        if let Ok(replay) = records::replay(&bytes) {
            // The name of the opened file is the only thing a journal tells that is not a text of the project.
            prop_assert_eq!(replay.text(), texts[replay.number].as_str());
            prop_assert!(same || replay.damage.is_some());
        }
    }

    #[test]
    fn noise_never_panics(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let start = records::first("", "", 0, "", "text").into_bytes();
        prop_assert!(records::replay(&bytes).is_err());
        let replay = records::replay(&[start, bytes.clone()].concat()).unwrap();
        prop_assert_eq!(replay.damage.is_none(), bytes.is_empty());
    }
}

/// A letter of the checksum in the other case, a sign or a zero in front of a number: the same number, not the same record.
#[test]
fn a_number_written_otherwise_is_damage() {
    let journal = journal_of(&["one".to_owned(), "two".to_owned()]);
    let start = journal.rfind("record change 1 ").unwrap();
    let line = &journal[start..start + journal[start..].find('\n').unwrap()];
    let (numbers, checksum) = line.rsplit_once(' ').unwrap();
    let letter = checksum.chars().find(|c| c.is_ascii_lowercase()).unwrap().to_string();
    let upper = checksum.replace(&letter, &letter.to_uppercase());
    for other in [
        format!("{numbers} {upper}"),
        line.replacen("change 1", "change +1", 1),
        line.replacen("change 1", "change 01", 1),
    ] {
        let replay = records::replay(journal.replace(line, &other).as_bytes()).unwrap();
        assert_eq!((replay.text(), replay.damage), ("one", Some(Damage::Wrong { at: start })), "{other}");
    }
}

/// A journal may hold text that was written by hand and says no more than it must.
#[test]
fn a_journal_of_a_short_file_is_replayed() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cupwright-1-1-0.journal");
    let before = include_str!("../../tests/fixtures/format-3-short.ron");
    let after = before.replace("at: (233.5, 160.0)", "at: (240.0, 160.0)");
    assert_ne!(before, after);
    let start = records::first("/home/plans/tray.ron", "", 0, "", before);
    fs::write(&path, start + &records::encode(Kind::Change, 1, "Move C2", before, &after)).unwrap();
    let recovered = Journal::recover(&path).unwrap();
    assert_eq!(
        (recovered.edits, recovered.last.as_deref(), recovered.problem.as_ref()),
        (1, Some("Move C2"), None)
    );
    assert_eq!(recovered.project, from_text(&after, "tray.ron").unwrap());
    assert_eq!(recovered.project.layouts[0].cups[1].at.x, 240.0);
    // What is done next is recorded with every value.
    let again = Journal::start(folder.path(), None, &History::replayed(&recovered)).unwrap();
    let text = fs::read_to_string(again.path()).unwrap();
    assert!(text.contains("lip_life_picks: (1000000.0, Assumed, \"\")"));
}

#[test]
fn a_long_journal_is_begun_again_and_recovers_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal =
        Journal::start(folder.path(), Some((Path::new("plans/tray.ron"), &Stamp::of(b"0"))), &history("0"))
            .unwrap();
    journal.begin_again_bytes = 4 * journal.bytes;
    let mut longest = 0;
    for i in 1..=40 {
        // Every state differs along its whole text, so that records are long.
        let mut state = project(&format!("{i} at start"));
        state.sheet.document_type = format!("{i} at end");
        state.parts.push(Arc::new(Part::from_outline(PartId(100 + i), &i.to_string(), Arc::default())));
        journal.record(&format!("Edit {i}"), &state).unwrap();
        // The limit is raised for texts that are large by themselves; hold it here.
        journal.begin_again_bytes = 4 * to_text(&project("0")).len() as u64;
        longest = longest.max(journal.bytes);
        assert_eq!(fs::metadata(&journal.path).unwrap().len(), journal.bytes);
        assert!(held(&journal.path), "after {i} changes");
    }
    assert!(longest <= journal.begin_again_bytes, "{longest}");
    let recovered = Journal::recover(&journal.path).unwrap();
    assert_eq!((recovered.edits, recovered.last.as_deref(), recovered.problem), (40, Some("Edit 40"), None));
    assert_eq!(recovered.project.name, "40 at start");
    assert_eq!(recovered.opened, Some("plans/tray.ron".into()));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn only_journals_nobody_holds_are_left_behind() {
    let folder = tempfile::tempdir().unwrap();
    let journal = Journal::start(folder.path(), None, &history("Tray")).unwrap();
    let other = Journal::start(folder.path(), None, &history("Tray")).unwrap();
    assert_eq!(Journal::left_behind(folder.path()), Vec::<PathBuf>::new());
    let path = journal.path().to_owned();
    drop(journal);
    assert_eq!(Journal::left_behind(folder.path()), std::slice::from_ref(&path));
    other.finish();
    Journal::discard(&path);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    assert_eq!(Journal::left_behind(&folder.path().join("missing")), Vec::<PathBuf>::new());
}

#[test]
fn a_state_recorded_already_is_no_change() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::start(folder.path(), None, &history("Tray")).unwrap();
    journal.record("Nothing", &project("Tray")).unwrap();
    assert_eq!(Journal::recover(journal.path()).unwrap().edits, 0);
}

#[test]
fn what_was_recovered_and_killed_again_is_recovered_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::start(folder.path(), None, &history("Tray")).unwrap();
    journal.record("Edit 1", &project("Tray one")).unwrap();
    let first = journal.path().to_owned();
    drop(journal);
    let recovered = Journal::recover(&first).unwrap();
    let again = Journal::start(folder.path(), None, &History::replayed(&recovered)).unwrap();
    Journal::discard(&first);
    drop(again);
    let left = Journal::left_behind(folder.path());
    let second = Journal::recover(&left[0]).unwrap();
    assert_eq!((second.edits, second.last.as_deref()), (1, Some("Edit 1")));
    assert_eq!(second.project, project("Tray one"));
    // What no file holds is offered before its first change, too.
    let fresh = Journal::start(folder.path(), None, &History::unsaved_from(project("Fresh"))).unwrap();
    assert_eq!(Journal::recover(fresh.path()).unwrap().edits, 1);
}

fn names(history: &History) -> Vec<&str> {
    history.names().collect()
}

#[test]
fn recovered_work_knows_its_file_and_what_was_done() {
    let folder = tempfile::tempdir().unwrap();
    let (path, stamp) = (Path::new("/plans/tray.ron"), Stamp::of(b"tray"));
    let mut history = history("Tray");
    let mut journal = Journal::start(folder.path(), Some((path, &stamp)), &history).unwrap();
    let mut step = |history: &mut History, name: &str| {
        history.apply(crate::Edit::RenameProject(name.to_owned())).unwrap();
        journal.record(history.undo_name().unwrap(), history.committed()).unwrap();
    };
    step(&mut history, "one");
    step(&mut history, "two");
    step(&mut history, "three");
    // Taken back, and something else done.
    history.undo();
    journal.record(history.undo_name().unwrap(), history.committed()).unwrap();
    let found = Journal::recover(journal.path()).unwrap();
    assert_eq!((found.opened.as_deref(), found.stamp.as_ref(), found.edits), (Some(path), Some(&stamp), 4));
    let mut back = History::replayed(&found);
    assert_eq!(names(&back), ["Rename project to one", "Rename project to two"]);
    assert_eq!(back.redo_name(), Some("Rename project to three"));
    assert!(back.unsaved() && back.saved().is_some_and(|saved| saved.name == "Tray"));
    back.undo();
    back.undo();
    assert!(!back.unsaved() && back.committed().name == "Tray");

    // Saved elsewhere: what was done before can still be taken back, and only what came after counts.
    let (elsewhere, newer) = (Path::new("/plans/other.ron"), Stamp::of(b"other"));
    history.mark_saved();
    journal.saved(elsewhere, &newer, history.committed()).unwrap();
    assert_eq!(Journal::recover(journal.path()).unwrap().edits, 0);
    history.apply(crate::Edit::RenameProject("four".to_owned())).unwrap();
    journal.record("Rename project to four", history.committed()).unwrap();
    let found = Journal::recover(journal.path()).unwrap();
    assert_eq!(
        (found.opened.as_deref(), found.stamp.as_ref(), found.edits),
        (Some(elsewhere), Some(&newer), 1)
    );
    let mut back = History::replayed(&found);
    assert_eq!(names(&back).len(), 3);
    back.undo();
    assert!(!back.unsaved() && back.committed().name == "two");
    // A journal begun with that history tells the same.
    back.redo();
    let again = Journal::start(folder.path(), Some((elsewhere, &newer)), &back).unwrap();
    let once_more = Journal::recover(again.path()).unwrap();
    assert_eq!((once_more.edits, &once_more.opened, &once_more.stamp), (1, &found.opened, &found.stamp));
    assert_eq!(names(&History::replayed(&once_more)), names(&back));
    assert!(History::replayed(&once_more).saved().is_some_and(|saved| saved.name == "two"));
}

#[test]
fn a_drag_under_way_is_kept_at_its_last_place_and_is_one_change() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::start(folder.path(), None, &history("Tray")).unwrap();
    journal.record("Edit 1", &project("one")).unwrap();
    let now = |journal: &Journal| {
        let found = Journal::recover(journal.path()).unwrap();
        (found.project.name.clone(), found.edits, names(&History::replayed(&found)).len(), found.problem)
    };
    for place in ["a", "b", "c"] {
        journal.record_under_way("Move C1", &project(place)).unwrap();
    }
    assert_eq!(now(&journal), ("c".to_owned(), 2, 2, None));
    // Put down where it was last recorded, put back, or put down elsewhere.
    journal.record("Move C1", &project("c")).unwrap();
    assert_eq!(now(&journal), ("c".to_owned(), 2, 2, None));
    journal.record_under_way("Move C1", &project("d")).unwrap();
    journal.record("Edit", &project("c")).unwrap();
    assert_eq!(now(&journal), ("c".to_owned(), 2, 2, None));
    journal.record_under_way("Move C1", &project("e")).unwrap();
    journal.record("Move C1", &project("f")).unwrap();
    assert_eq!(now(&journal), ("f".to_owned(), 3, 3, None));
    // A journal begun anew in the middle of it.
    journal.begin_again_bytes = 0;
    journal.record_under_way("Move C1", &project("g")).unwrap();
    assert_eq!(now(&journal).0, "g");
    journal.record("Back", &project("f")).unwrap();
    assert_eq!((now(&journal).0.as_str(), now(&journal).3), ("f", None));
    assert!(held(journal.path()));
}

#[test]
fn a_damaged_journal_says_so_and_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::start(folder.path(), None, &history("Tray")).unwrap();
    let start = journal.bytes as usize;
    journal.record("Edit 1", &project("Tray one")).unwrap();
    let second = journal.bytes as usize;
    journal.record("Edit 2", &project("Tray two")).unwrap();
    let path = journal.path().to_owned();
    drop(journal);
    let sound = fs::read(&path).unwrap();

    fs::write(&path, &sound[..sound.len() - 3]).unwrap();
    let recovered = Journal::recover(&path).unwrap();
    assert_eq!((recovered.project.name.as_str(), recovered.edits), ("Tray one", 1));
    assert_eq!(
        recovered.problem.as_deref(),
        Some("the last change was being written when the program ended; it is lost")
    );

    let mut bent = sound.clone();
    let within = bent.len() - 3;
    bent[within] ^= 1;
    fs::write(&path, &bent).unwrap();
    let recovered = Journal::recover(&path).unwrap();
    assert_eq!(recovered.project.name, "Tray one");
    let problem = recovered.problem.unwrap();
    assert!(
        problem.contains(&format!("damaged at byte {second}")) && problem.ends_with(".corrupt"),
        "{problem}"
    );
    assert_eq!(fs::read(aside(&path)).unwrap(), bent);
    fs::remove_file(aside(&path)).unwrap();

    for (bytes, why) in [
        (&b"not a journal"[..], "it does not start as a journal does"),
        (&sound[..10], "it ends before its first record"),
        (&sound[..start - 5], "it ends within its first record"),
    ] {
        fs::write(&path, bytes).unwrap();
        let error = Journal::recover(&path).unwrap_err();
        let kept = file::shown(&aside(&path));
        assert_eq!(
            error.to_string(),
            format!(
                "the recovery journal is damaged ({why}); nothing could be recovered from it, it was kept: {kept}"
            )
        );
        assert_eq!(fs::read(aside(&path)).unwrap(), bytes);
        assert!(!path.exists());
    }
}

#[test]
fn a_journal_of_a_newer_program_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("cupwright-1-1-0.journal");
    fs::write(&path, records::first("", "", 0, "", "(format: 7, name: \"Tray\")")).unwrap();
    assert!(matches!(Journal::recover(&path), Err(FileError::Newer { found: 7, .. })));
    assert!(path.exists());
    assert!(matches!(Journal::recover(folder.path()), Err(FileError::IsFolder { .. })));
    assert!(matches!(Journal::recover(&folder.path().join("none")), Err(FileError::NotFound { .. })));
}

#[test]
fn a_place_that_cannot_be_written_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    let error = Journal::start(&file.join("recovery"), None, &history("Tray")).unwrap_err();
    assert!(matches!(error, FileError::NotAFolder { .. }), "{error}");
}

/// A record that could not be appended is written with a fresh start, so that half a record never hides later ones.
#[test]
fn a_refused_write_is_made_good() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::start(folder.path(), None, &history("Tray")).unwrap();
    let path = journal.path().to_owned();
    // A handle that can only read refuses every write, as a full disk does.
    journal.file = Arc::new(File::open(&path).unwrap());
    let mut state = project("Tray one");
    state.motions.push(Arc::new(crate::Motion::preset(crate::MotionId(99), MotionKind::Swing)));
    state.last_id = 99;
    journal.record("Edit 1", &state).unwrap();
    assert_eq!(Journal::recover(&path).unwrap().project, state);
    assert!(held(&path));
}
