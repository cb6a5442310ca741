//! Saving, what someone else saved, and what a killed run left, by accessible names.

use super::{
    demo_drawing,
    hands::{Window, appears, click, cup_centre, ready, type_into, window, window_in},
    place,
};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use std::sync::Arc;

#[test]
fn saving_reopening_and_a_bad_path_are_said_plainly() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("layout.ron");
    let mut window = window();
    click(&mut window, "Hide guide");
    window.key_press(Key::A);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    ready(&mut window);
    window.key_press(Key::ArrowUp);
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    ready(&mut window);
    type_into(&mut window, "Path of the file", folder.path().join("missing/deep.ron").to_str().unwrap());
    window.get_by_label("Not saved; the project is still here");
    click(&mut window, "Close");
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    ready(&mut window);
    type_into(&mut window, "Path of the file", file.to_str().unwrap());
    assert!(file.is_file());
    let saved = document::open(&file).unwrap().0;
    assert_eq!(&saved, &**window.state().project());
    // Another project saved under the same name asks first.
    let mut other = window_in(None, Some(demo_drawing("moulded-tray.ron")));
    other.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    ready(&mut other);
    type_into(&mut other, "Path of the file", file.to_str().unwrap());
    other.get_by_label("A file of that name exists");
    click(&mut other, "Cancel");
    assert_eq!(document::open(&file).unwrap().0, saved);
    let again = window_in(None, Some(file));
    assert_eq!(&saved, &**again.state().project());
    let missing = window_in(None, Some(folder.path().join("nothing.ron")));
    missing.get_by_label("The file was not opened");
}

#[test]
fn a_file_that_someone_else_changed_is_noticed_and_never_written_over_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("shared.ron");
    std::fs::copy(demo_drawing("moulded-tray.ron"), &file).unwrap();
    let mut window = window_in(None, Some(file.clone()));
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    let mine = window.state().project().clone();
    let theirs = std::fs::read_to_string(&file).unwrap().replace("Moulded tray, motor", "Their tray, motor");
    std::fs::write(&file, &theirs).unwrap();
    // The program looks every two seconds.
    appears(&mut window, "Someone changed this file");
    click(&mut window, "Keep mine");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    window.get_by_label("The file has changed since you opened it");
    click(&mut window, "Cancel");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), theirs);
    assert_eq!(window.state().project(), &mine);
}

#[test]
fn what_a_killed_run_committed_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let moved;
    {
        let mut window = window_in(Some(folder.path().to_owned()), None);
        click(&mut window, "Hide guide");
        click(&mut window, "Cup C1");
        window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
        ready(&mut window);
        moved = place(&window, "C1");
        // Dropped without closing: what a kill leaves is the journal as last flushed.
    }
    let mut window = window_in(Some(folder.path().to_owned()), None);
    window.get_by_label("Recover unsaved work");
    // The three answers stand in one row, below what is said.
    let rows = ["Recover", "Discard", "Later"].map(|label| window.get_by_label(label).rect().center().y);
    assert!(rows.iter().all(|y| (y - rows[0]).abs() < 1.0), "{rows:?}");
    click(&mut window, "Recover");
    assert_eq!(place(&window, "C1"), moved);
    window.get_by_label_contains("not saved yet");
}

/// A folder with a project in it and the program's own folder.
struct Place(tempfile::TempDir);

impl Place {
    fn new() -> Self {
        let place = Self(tempfile::tempdir().unwrap());
        for name in ["tray.ron", "other.ron"] {
            std::fs::copy(demo_drawing("moulded-tray.ron"), place.at(name)).unwrap();
        }
        place
    }
    fn at(&self, name: &str) -> std::path::PathBuf {
        self.0.path().join(name)
    }
    fn start(&self, open: Option<&str>) -> Window<'static> {
        window_in(Some(self.at("own")), open.map(|name| self.at(name)))
    }
    /// Moves a cup twice in this file and is killed.
    fn killed_at_work(&self, name: &str) -> Arc<document::Project> {
        let mut window = self.start(Some(name));
        if window.query_by_label("Recover unsaved work").is_some() {
            click(&mut window, "Later");
        }
        click(&mut window, "Cup C1");
        for key in [Key::ArrowRight, Key::ArrowUp] {
            window.key_press(key);
            ready(&mut window);
        }
        window.state().project().clone()
    }
    fn on_disk(&self, name: &str) -> document::Project {
        document::open(&self.at(name)).unwrap().0
    }
    fn journals(&self) -> Vec<std::path::PathBuf> {
        document::Journal::left_behind(&self.at("own").join("recovery"))
    }
}

fn says(window: &Window<'_>, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

#[test]
fn recovered_work_is_saved_where_it_came_from_and_can_be_undone() {
    let place = Place::new();
    let before = place.on_disk("tray.ron");
    let mine = place.killed_at_work("tray.ron");
    // Started with another file, with a drawing, with a file that is not there: what was left comes first.
    for open in [Some("other.ron"), Some("missing.ron"), None] {
        let window = place.start(open);
        window.get_by_label("Recover unsaved work");
        for words in ["Moulded tray", "2 changes not saved, 20", "tray.ron; that file is unchanged"] {
            assert!(says(&window, words), "{words}");
        }
        assert!(window.query_by_label("The file was not opened").is_none());
    }
    std::fs::copy(demo_drawing("tray-blank.dxf"), place.at("part.dxf")).unwrap();
    let mut window = place.start(Some("part.dxf"));
    click(&mut window, "Recover");
    assert_eq!(window.state().project(), &mine);
    // The import waits its turn.
    assert!(says(&window, "part.dxf"));
    click(&mut window, "Cancel");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(**window.state().project(), before, "every step can be taken back");
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    ready(&mut window);
    let once = window.state().project().clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    assert_eq!(place.on_disk("tray.ron"), *once, "saved without asking where");
    drop(window);
    assert!(place.start(None).query_by_label("Recover unsaved work").is_none());
}

#[test]
fn every_journal_is_offered_and_what_is_not_taken_up_stays() {
    let place = Place::new();
    let first = place.killed_at_work("tray.ron");
    let second = place.killed_at_work("other.ron");
    assert_eq!(place.journals().len(), 2);
    // Another program that runs holds its own.
    let other = document::History::new(document::Project::clone(&first));
    let held = document::Journal::start(&place.at("own").join("recovery"), None, &other).unwrap();
    // And one was damaged.
    let bad = place.at("own").join("recovery/cupwright-1-1-0.journal");
    std::fs::write(&bad, "not a journal").unwrap();
    let mut window = place.start(None);
    assert_eq!(window.query_all_by_label("Recover").count(), 2);
    assert!(says(&window, "the recovery journal is damaged") && says(&window, ".corrupt"));
    let newest = window.query_all_by_label("Recover").next().unwrap();
    newest.click();
    ready(&mut window);
    assert!(window.query_by_label("Recover unsaved work").is_none());
    assert_eq!(window.state().project(), &second);
    drop(window);
    drop(held);
    // Killed again: both are still there, and the one that was taken up has its history.
    let mut window = place.start(None);
    assert_eq!(window.query_all_by_label("Recover").count(), 2);
    click(&mut window, "Later");
    assert!(says(&window, "offered again"));
    drop(window);
    let mut window = place.start(Some("tray.ron"));
    window.query_all_by_label("Discard").next().unwrap().click();
    ready(&mut window);
    click(&mut window, "Recover");
    assert_eq!(window.state().project(), &first);
    let corrupt = std::fs::read(place.at("own").join("recovery/cupwright-1-1-0.journal.corrupt"));
    assert_eq!(corrupt.unwrap(), b"not a journal");
}

#[test]
fn under_review_the_offer_comes_first_too_and_the_file_stays_sealed() {
    let place = Place::new();
    let mine = place.killed_at_work("tray.ron");
    let mut window = place.start(None);
    window.state_mut().review_file(&place.at("tray.ron"), None);
    ready(&mut window);
    window.get_by_label("Recover unsaved work");
    click(&mut window, "Recover");
    assert_eq!(window.state().project(), &mine);
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    assert_eq!(window.state().project(), &mine, "the file is still under review");
}

#[test]
fn a_drag_under_way_comes_back_where_it_was() {
    let place = Place::new();
    let at = {
        let mut window = place.start(Some("tray.ron"));
        let from = cup_centre(&window, "C1");
        window.hover_at(from);
        window.step();
        window.drag_at(from);
        window.step();
        window.hover_at(from + egui::vec2(60.0, 24.0));
        ready(&mut window);
        std::thread::sleep(std::time::Duration::from_millis(1100));
        window.step();
        window.step();
        // Killed with the button down.
        cup_centre(&window, "C1")
    };
    let before = place.on_disk("tray.ron");
    let mut window = place.start(Some("tray.ron"));
    assert!(says(&window, "One change not saved"));
    click(&mut window, "Recover");
    assert_ne!(**window.state().project(), before);
    assert!(cup_centre(&window, "C1").distance(at) < 2.0);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(**window.state().project(), before);
}

#[test]
fn a_file_that_is_gone_is_told_as_gone() {
    let place = Place::new();
    let mut window = place.start(Some("tray.ron"));
    let mine = window.state().project().clone();
    std::fs::remove_file(place.at("tray.ron")).unwrap();
    appears(&mut window, "The file is gone");
    assert!(!says(&window, "Someone changed"));
    click(&mut window, "Save again");
    assert_eq!(place.on_disk("tray.ron"), *mine);
}

#[test]
fn a_typed_path_never_replaces_what_is_not_ours_unasked() {
    let place = Place::new();
    let theirs = std::fs::read(place.at("other.ron")).unwrap();
    std::fs::write(place.at("notes.csv"), "Dear all,\nthis stays.\n").unwrap();
    let mut window = place.start(Some("tray.ron"));
    let own = std::fs::read(place.at("tray.ron")).unwrap();
    let ask = |window: &mut Window<'static>, command: &str, name: &str| {
        window.key_press_modifiers(Modifiers::COMMAND, Key::K);
        ready(window);
        type_into(window, "Find a command", command);
        type_into(window, "Path of the file", place.at(name).to_str().unwrap());
    };
    // A name that gets its ending is asked about as well.
    ask(&mut window, "Save as", "other");
    window.get_by_label("A file of that name exists");
    click(&mut window, "Cancel");
    assert_eq!(std::fs::read(place.at("other.ron")).unwrap(), theirs);
    // The open project is no place for a table, by whatever name.
    std::fs::hard_link(place.at("tray.ron"), place.at("hard.csv")).unwrap();
    for name in ["tray.ron", "hard.csv"] {
        ask(&mut window, "Hole table", name);
        window.get_by_label("Nothing was written");
        click(&mut window, "Close");
        assert_eq!(std::fs::read(place.at("tray.ron")).unwrap(), own);
    }
    // Something else is named for what it is before it goes.
    ask(&mut window, "Hole table", "notes.csv");
    assert!(says(&window, "a file of another kind; a table would replace it"));
    click(&mut window, "Cancel");
    assert!(std::fs::read_to_string(place.at("notes.csv")).unwrap().starts_with("Dear all"));
    ask(&mut window, "Hole table", "notes.csv");
    click(&mut window, "Replace");
    assert!(std::fs::read_to_string(place.at("notes.csv")).unwrap().starts_with("\"tag\""));
}
