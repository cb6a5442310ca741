//! A whole job by the keyboard alone: nothing is clicked, focused or dragged; what a hand would find with Tab is found with Tab.

use crate::{
    demo_drawing,
    hands::{Window, ready, settle, window},
};
use analysis::{CircuitStatus, Severity};
use document::MotionKind;
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::NodeT as _;

/// So many presses of Tab find anything in the window.
const MOST_TABS: usize = 400;

fn press(window: &mut Window<'_>, key: Key) {
    chord(window, Modifiers::NONE, key);
}

fn chord(window: &mut Window<'_>, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    ready(window);
}

/// Types into whatever has the keyboard.
fn write(window: &mut Window<'_>, text: &str) {
    window.event(Event::Text(text.to_owned()));
    ready(window);
}

/// What the keyboard is on, as it is spoken.
fn here(window: &Window<'_>) -> Option<String> {
    let mut all = window.root().children_recursive();
    all.find(|node| node.accesskit_node().is_focused()).and_then(|node| node.accesskit_node().label())
}

/// Presses Tab until the keyboard is on something of this name.
fn tab_to(window: &mut Window<'_>, name: &str) {
    let mut passed = Vec::new();
    for _ in 0..MOST_TABS {
        window.key_press(Key::Tab);
        window.run_steps(2);
        match here(window) {
            Some(label) if label == name => return,
            label => passed.extend(label),
        }
    }
    panic!("Tab does not come to {name}: {passed:?}");
}

/// Replaces what the field under the keyboard holds.
fn fill(window: &mut Window<'_>, name: &str, text: &str) {
    tab_to(window, name);
    chord(window, Modifiers::COMMAND, Key::A);
    write(window, text);
    press(window, Key::Enter);
}

/// Runs a command by its name.
fn command(window: &mut Window<'_>, words: &str) {
    chord(window, Modifiers::COMMAND, Key::K);
    write(window, words);
    press(window, Key::Enter);
}

#[test]
fn the_whole_job_is_done_by_keys_alone() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let mut window = window();

    // A drawing becomes a new project.
    chord(&mut window, Modifiers::COMMAND, Key::I);
    write(&mut window, demo_drawing("tray-blank.dxf").to_str().unwrap());
    press(&mut window, Key::Enter);
    press(&mut window, Key::Enter);
    let project = window.state().project().clone();
    assert!(project.layouts[0].cups.is_empty() && !project.parts[0].outline.outer.vertices.is_empty());

    // What it is of and what it weighs.
    tab_to(&mut window, "Material");
    press(&mut window, Key::Enter);
    write(&mut window, "polycarbonate");
    press(&mut window, Key::Enter);
    fill(&mut window, "Thickness, mm", "3/16 in");
    fill(&mut window, "Mass, kg", "2,4 + 0,1");
    let part = window.state().project().parts[0].clone();
    assert!(part.material.to_lowercase().contains("polycarbonate"), "{}", part.material);
    assert!((part.thickness_mm - 4.7625).abs() < 1e-9, "{}", part.thickness_mm);
    assert!(
        matches!(&part.mass, document::MassBy::Stated { kg } if (kg.value - 2.5).abs() < 1e-9),
        "{:?}",
        part.mass
    );

    // One motion more, and what it must hold.
    let motions = window.state().project().motions.len();
    tab_to(&mut window, "add…");
    press(&mut window, Key::Enter);
    tab_to(&mut window, &units::capital(MotionKind::EmergencyStop.label()));
    press(&mut window, Key::Enter);
    assert_eq!(window.state().project().motions.len(), motions + 1);
    fill(&mut window, "Required factor", "1.5");
    assert_eq!(window.state().project().motions.last().unwrap().required_factor, 1.5);
    press(&mut window, Key::Escape);

    // Cups: chosen by what suits, placed by arrows.
    chord(&mut window, Modifiers::COMMAND, Key::L);
    write(&mut window, "round 50");
    press(&mut window, Key::Enter);
    assert!(matches!(window.state().plan.tool, app::plan::Tool::Place { .. }));
    let right = |window: &mut Window<'_>, times: usize, key: Key| {
        for _ in 0..times {
            chord(window, Modifiers::SHIFT, key);
        }
    };
    press(&mut window, Key::ArrowUp);
    press(&mut window, Key::Enter);
    right(&mut window, 3, Key::ArrowRight);
    press(&mut window, Key::Enter);
    right(&mut window, 2, Key::ArrowUp);
    press(&mut window, Key::Enter);
    right(&mut window, 3, Key::ArrowLeft);
    press(&mut window, Key::Enter);
    press(&mut window, Key::Escape);
    assert_eq!(
        window.state().project().layouts[0].cups.len(),
        4,
        "{:?}",
        window.state().project().layouts[0].cups
    );

    // All of them about the middle of the part: the finding's own fix, or the cups' own places.
    chord(&mut window, Modifiers::COMMAND, Key::A);
    let bounds = window.state().project().parts[0].outline.outer.bounds().unwrap();
    let (middle, datum) = ((bounds.min + bounds.max) / 2.0, window.state().project().parts[0].datum_at());
    for (axis, name, half) in [(0, "X, leftmost, mm", 75.0), (1, "Y, lowest, mm", 50.0)] {
        fill(&mut window, name, &format!("{}", ((middle - datum)[axis] - half).round()));
    }
    press(&mut window, Key::Escape);

    // What feeds them.
    tab_to(&mut window, "source and hoses…");
    press(&mut window, Key::Enter);
    settle(&mut window);
    assert_eq!(window.state().report().circuits[0].status, CircuitStatus::Solved);

    // The verdict is there, and says what governs.
    let verdict = window.state().report().verdict.clone();
    assert!(verdict.severity != Severity::NotChecked, "{verdict:?}");
    let spoken = window
        .root()
        .children_recursive()
        .find_map(|node| node.accesskit_node().label().filter(|label| label.starts_with("Verdict: ")));
    assert!(spoken.unwrap().contains(&verdict.sentence), "{}", verdict.sentence);

    // Saved, and handed out.
    chord(&mut window, Modifiers::COMMAND, Key::S);
    chord(&mut window, Modifiers::COMMAND, Key::A);
    write(&mut window, at("job.ron").to_str().unwrap());
    press(&mut window, Key::Enter);
    let saved = document::open(&at("job.ron")).unwrap().0;
    assert_eq!(&saved, &**window.state().project());
    chord(&mut window, Modifiers::COMMAND, Key::P);
    press(&mut window, Key::Enter);
    chord(&mut window, Modifiers::COMMAND, Key::A);
    write(&mut window, at("job.pdf").to_str().unwrap());
    press(&mut window, Key::Enter);
    assert!(std::fs::read(at("job.pdf")).unwrap().starts_with(b"%PDF"));
}

#[test]
fn the_page_of_keys_is_printed_from_its_dialog_by_keys() {
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("keys.pdf");
    let mut window = window();
    press(&mut window, Key::Questionmark);
    tab_to(&mut window, "Print…");
    press(&mut window, Key::Enter);
    chord(&mut window, Modifiers::COMMAND, Key::A);
    write(&mut window, page.to_str().unwrap());
    press(&mut window, Key::Enter);
    assert!(std::fs::read(&page).unwrap().starts_with(b"%PDF"));
    // The palette has it too.
    command(&mut window, "keys and mouse as a page");
    assert_eq!(here(&window).as_deref(), Some("Path of the file"));
}

/// A window at rest asks for no frame: nothing is drawn until somebody does something.
#[test]
fn a_window_at_rest_draws_nothing() {
    for demo in ["moulded-tray.ron", "door-sheet-thin.ron", "side-panels.ron"] {
        let mut window = crate::hands::window_in(None, Some(demo_drawing(demo)));
        settle(&mut window);
        // A last look at the file, and what it was drawn for, may still be under way.
        window.run_steps(20);
        let waits = |window: &Window<'_>| {
            window.output().viewport_output.values().map(|output| output.repaint_delay).min().unwrap()
        };
        let mut least = std::time::Duration::MAX;
        for _ in 0..10 {
            window.run_steps(1);
            least = least.min(waits(&window));
        }
        assert_eq!(least, std::time::Duration::MAX, "{demo}: the next frame is drawn in {least:?}");
    }
}
