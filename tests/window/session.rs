//! A working day at the window: leaving, what a project is called, what was said.

use super::hands::{Window, appears, click, ready, type_into, window, window_in};
use egui::{Key, Modifiers, ViewportCommand};
use egui_kittest::kittest::Queryable as _;

fn closes(window: &Window<'_>) -> bool {
    let viewports = &window.output().viewport_output;
    viewports.values().any(|v| v.commands.iter().any(|c| matches!(c, ViewportCommand::Close)))
}

fn nudge(window: &mut Window<'_>) {
    click(window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(window);
    assert!(window.state().view(app::theme::tokens(false)).unsaved);
}

#[test]
fn quit_then_save_asks_for_a_path_saves_and_quits() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window_in(Some(folder.path().join("kept")), None);
    nudge(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    ready(&mut window);
    window.key_press(Key::Enter);
    ready(&mut window);
    let path = folder.path().join("mine.ron");
    type_into(&mut window, "Path of the file", &path.display().to_string());
    assert!(path.exists());
    assert!(closes(&window), "saved, and still open");
}

#[test]
fn quit_save_and_then_cancel_stays_and_a_later_save_does_not_quit() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window_in(Some(folder.path().join("kept")), None);
    nudge(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    ready(&mut window);
    window.key_press(Key::Enter);
    ready(&mut window);
    click(&mut window, "Cancel");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    let path = folder.path().join("mine.ron");
    type_into(&mut window, "Path of the file", &path.display().to_string());
    assert!(path.exists());
    assert!(!closes(&window), "it was only saved");
}

#[test]
fn quit_that_ended_in_a_merge_is_forgotten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shared.ron");
    let demo = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-projects/tray-blank.ron");
    let (project, _) = document::open(&demo).unwrap();
    document::save(&project, &path, None).unwrap();
    let mut window = window_in(Some(folder.path().join("kept")), Some(path.clone()));
    nudge(&mut window);
    // Someone else saves; the question that comes of it is answered by a merge.
    let theirs = document::Project { name: "Tray blank, tool 4".to_owned(), ..project };
    document::save(&theirs, &path, None).unwrap();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Q);
    ready(&mut window);
    for _ in 0..40 {
        if window.query_by_label("Merge…").is_some() {
            break;
        }
        window.key_press(Key::Enter);
        ready(&mut window);
    }
    click(&mut window, "Merge…");
    click(&mut window, "Merge");
    assert_eq!(window.state().project().name, "Tray blank, tool 4", "merged");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    assert!(!window.state().view(app::theme::tokens(false)).unsaved);
    assert!(!closes(&window), "it was only saved");
}

#[test]
fn ones_own_project_is_never_called_a_demo() {
    let mut window = window();
    window.get_by_label("demo");
    window.get_by_label_contains("This is a finished demo");
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    ready(&mut window);
    assert!(window.query_by_label("demo").is_none());
    assert!(window.query_by_label_contains("finished demo").is_none());
    window.get_by_label("not saved yet");
}

#[test]
fn what_the_status_line_said_can_be_read_later() {
    let mut window = window();
    // Nothing is selected: the line says what to do.
    window.key_press(Key::Delete);
    ready(&mut window);
    window.get_by_label_contains("Select cups to delete.");
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(&mut window);
    type_into(&mut window, "Find a command", "message log");
    appears(&mut window, "Message log");
    assert!(window.query_all_by_label_contains("Select cups to delete.").count() >= 1);
}

#[test]
fn every_shortcut_stands_on_the_page_of_keys() {
    let mut window = window();
    window.key_press(Key::Questionmark);
    ready(&mut window);
    for command in app::command::Command::all().filter(|command| command.shortcut().is_some()) {
        let label = command.label().trim_end_matches('…');
        assert!(window.query_all_by_label(label).count() >= 1, "{label}");
    }
}
