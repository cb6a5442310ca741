//! Saving, what someone else saved, and what a killed run left, by accessible names.

use super::{
    demo_drawing,
    hands::{click, ready, type_into, window, window_in},
    place,
};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

#[test]
fn saving_reopening_and_a_bad_path_are_said_plainly() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("layout.ron");
    let mut window = window();
    click(&mut window, "Put away");
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
    other.get_by_label("There is a file of that name");
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
    std::thread::sleep(std::time::Duration::from_millis(2100));
    ready(&mut window);
    window.get_by_label("Someone changed this file");
    click(&mut window, "Keep mine");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    window.get_by_label("The file is not the one you opened");
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
        click(&mut window, "Put away");
        click(&mut window, "Cup C1");
        window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
        ready(&mut window);
        moved = place(&window, "C1");
        // Dropped without closing: what a kill leaves is the journal as last flushed.
    }
    let mut window = window_in(Some(folder.path().to_owned()), None);
    window.get_by_label("Work from last time");
    click(&mut window, "Take it up");
    assert_eq!(place(&window, "C1"), moved);
    window.get_by_label_contains("not saved yet");
}
