//! Forms of the circuit: sources, thresholds, cells, recorded curves, what helps; by accessible name.

use crate::hands::{Window, click, lay_out, ready, run_command, settle, type_into, window};
use document::{CurveKind, Origin, SourceKind, Stage};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn undo(window: &mut Window<'_>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(window);
}

/// The demo with a circuit laid out and worked out.
fn fed() -> Window<'static> {
    let mut window = window();
    click(&mut window, "Hide guide");
    lay_out(&mut window);
    settle(&mut window);
    window
}

/// Types over the text of a field of several lines.
fn paste(window: &mut Window<'_>, label: &str, text: &str) {
    window.get_by_label(label).focus();
    ready(window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.step();
    window.get_by_label(label).type_text(text);
    ready(window);
}

#[test]
fn a_built_in_source_is_copied_and_its_figures_become_ones_own() {
    let mut window = window();
    click(&mut window, "Hide guide");
    run_command(&mut window, "sources");
    let built_in = document::sources()[3].clone();
    click(&mut window, &format!("Copy {}", built_in.name));
    type_into(&mut window, "Source name", "Ejector of line 2");
    type_into(&mut window, "Flow of point 1, L/min ANR", "6 cfm");
    click(&mut window, "Add to the project");
    let source = window.state().project().sources.last().unwrap().clone();
    assert_ne!(source.id, built_in.id);
    assert_eq!(source.name, "Ejector of line 2");
    assert!((source.curve[0].flow_nl_min - 6.0 * 28.316_846_592).abs() < 1e-6);
    assert_eq!(source.curve[1..], built_in.curve[1..]);
    // It stands in the list; what was there is found again with its figures.
    click(&mut window, "Change Ejector of line 2");
    let before = source.curve.len();
    click(&mut window, "add a point");
    click(&mut window, "Change");
    assert_eq!(window.state().project().sources[0].curve.len(), before + 1);
    click(&mut window, "Close");
    undo(&mut window);
    undo(&mut window);
    assert!(window.state().project().sources.is_empty());
}

#[test]
fn a_curve_that_rises_with_the_level_is_refused_with_its_reason() {
    let mut window = window();
    click(&mut window, "Hide guide");
    run_command(&mut window, "sources");
    click(&mut window, "New source…");
    type_into(&mut window, "Flow of point 2, L/min ANR", "999");
    window.get_by_label_contains("rises from");
    click(&mut window, "Add to the project");
    assert!(window.state().project().sources.is_empty(), "it is refused");
    click(&mut window, "Remove point 2");
    assert!(window.query_by_label_contains("rises from").is_none());
    click(&mut window, "Add to the project");
    assert_eq!(window.state().project().sources.len(), 1);
}

#[test]
fn a_source_of_another_kind_asks_for_what_that_kind_needs() {
    let mut window = fed();
    click(&mut window, "figures…");
    let name = window.state().project().sources[0].name.clone();
    window.get_by_label_contains(&format!("Curve of {name}"));
    click(&mut window, "Kind");
    click(&mut window, "pump");
    assert!(window.query_by_label_contains("Rated feed").is_none());
    type_into(&mut window, "Power, W", "370");
    click(&mut window, "Origin of its values");
    click(&mut window, "measured");
    click(&mut window, "Change");
    let source = window.state().project().sources[0].clone();
    assert_eq!((source.kind, source.power_w, source.feed.len()), (SourceKind::Pump, 370.0, 0));
    assert_eq!(source.figures, Origin::Measured);
    assert!(!source.on.is_empty());
    assert_eq!(window.state().report().circuits[0].air_nl_min, None);
}

#[test]
fn thresholds_are_taken_from_the_circuit_and_changed() {
    let mut window = fed();
    let circuit = |window: &Window<'_>| window.state().project().circuits[0].clone();
    assert_eq!(circuit(&window).thresholds, None);
    let controls = window.state().report().circuits[0].slow.clone().unwrap().controls.unwrap();
    click(&mut window, "suggest");
    assert_eq!(circuit(&window).thresholds, Some(controls.thresholds()));
    let name = circuit(&window).name.clone();
    type_into(&mut window, &format!("Time-out, {name}, s"), "1500 ms");
    assert_eq!(circuit(&window).thresholds.unwrap().time_out_s, 1.5);
    undo(&mut window);
    undo(&mut window);
    assert_eq!(circuit(&window).thresholds, None);
}

#[test]
fn an_area_gripper_draws_through_the_restrictors_of_its_cells() {
    let mut window = fed();
    let worst = |window: &Window<'_>| window.state().report().circuits[0].worst_cup().unwrap().level_kpa;
    type_into(&mut window, "Gap under lips, mm", "0.05");
    let open_bore = worst(&window);
    click(&mut window, "area gripper: foam over cells");
    let few = worst(&window);
    assert!(few < open_bore, "{few} {open_bore}");
    type_into(&mut window, "Cells in a cup, cells of the area gripper", "200");
    let cells = window.state().project().circuits[0].supply.as_ref().unwrap().area_gripper.unwrap();
    assert_eq!(cells.count, 200);
    assert!(worst(&window) > few);
    click(&mut window, "area gripper: foam over cells");
    assert_eq!(worst(&window), open_bore);
}

#[test]
fn what_helps_is_made_with_one_click_and_taken_back_with_one() {
    let mut window = fed();
    type_into(&mut window, "Gap under lips, mm", "0.05");
    settle(&mut window);
    let before = window.state().project().circuits[0].clone();
    let slow = window.state().report().circuits[0].slow.clone().unwrap();
    let help = &slow.helps[0];
    let says = help.change.says(&units::UnitChoice::default());
    assert!(help.worst_level_kpa_to > help.worst_level_kpa_from, "{help:?}");
    click(&mut window, &format!("Apply {says}"));
    let after = window.state().report().circuits[0].worst_cup().unwrap().level_kpa;
    assert!((after - help.worst_level_kpa_to).abs() < 0.5, "{says}: {after} {help:?}");
    undo(&mut window);
    assert_eq!(window.state().project().circuits[0], before);
}

#[test]
fn a_recorded_curve_is_pasted_shown_over_the_worked_out_one_and_removed() {
    let mut window = fed();
    run_command(&mut window, "measurements");
    click(&mut window, "Measured");
    click(&mut window, "level against time");
    let field = "Time and level, one point per line";
    paste(&mut window, field, "0, 0\n0.2, 31\n0.1, 46");
    window.get_by_label_contains("Line 3: ");
    click(&mut window, "Enter");
    assert!(window.state().project().trial.curves.is_empty(), "it is refused");
    paste(&mut window, field, "t (ms); level (mbar)\n0; 0\n200; 310\n400; 460");
    click(&mut window, "Enter");
    let curve = window.state().project().trial.curves[0].clone();
    assert_eq!(curve.points, [(0.0, 0.0), (0.2, 31.0), (0.4, 46.0)]);
    assert_eq!((curve.kind, curve.stage, curve.cup), (CurveKind::Evacuation, Stage::Baseline, None));
    click(&mut window, "Close");
    settle(&mut window);
    window.get_by_label_contains("recorded: source at commissioning");
    run_command(&mut window, "measurements");
    let row =
        window.get_all_by_label_contains("Remove ").find_map(|node| node.accesskit_node().label()).unwrap();
    click(&mut window, &row);
    assert!(window.state().project().trial.curves.is_empty());
    click(&mut window, "Close");
    undo(&mut window);
    assert_eq!(window.state().project().trial.curves.len(), 1);
}

#[test]
fn a_recorded_curve_comes_from_a_table_with_what_was_chosen_kept() {
    let folder = tempfile::tempdir().unwrap();
    let table = folder.path().join("field.csv");
    std::fs::write(&table, "time s,level kPa\n0,0\n0.3,20\n0.9,41\n").unwrap();
    let mut window = fed();
    run_command(&mut window, "measurements");
    click(&mut window, "Measured");
    click(&mut window, "level against time");
    click(&mut window, "When");
    click(&mut window, "later, in the field");
    click(&mut window, "from a table…");
    type_into(&mut window, "Path of the file", table.to_str().unwrap());
    window.get_by_label_contains("3 points to");
    click(&mut window, "Enter");
    let curve = window.state().project().trial.curves[0].clone();
    assert_eq!((curve.stage, curve.points.len()), (Stage::Field, 3));
}

#[test]
fn sources_go_out_as_a_table_and_come_in_again() {
    let folder = tempfile::tempdir().unwrap();
    let table = folder.path().join("sources.csv");
    let mut window = fed();
    let before = window.state().project().sources.clone();
    run_command(&mut window, "sources");
    click(&mut window, "As a table…");
    type_into(&mut window, "Path of the file", table.to_str().unwrap());
    let text = std::fs::read_to_string(&table).unwrap();
    run_command(&mut window, "sources");
    click(&mut window, "From a table…");
    type_into(&mut window, "Path of the file", table.to_str().unwrap());
    window.get_by_label_contains("One source read.");
    assert_eq!(window.state().project().sources, before, "the same figures are no change");
    window.key_press(Key::Enter);
    ready(&mut window);
    // A curve that rises is left out, with its line.
    let rows: Vec<&str> = text.lines().collect();
    let turned: Vec<&str> = rows[..1].iter().chain(rows[1..].iter().rev()).copied().collect();
    std::fs::write(&table, turned.join("\n")).unwrap();
    run_command(&mut window, "sources");
    click(&mut window, "From a table…");
    type_into(&mut window, "Path of the file", table.to_str().unwrap());
    window.get_by_label_contains("0 sources read");
    assert_eq!(window.state().project().sources, before);
}

/// At the smallest usual window and with large text the buttons of a long dialog are in sight and do what they say.
#[test]
fn the_buttons_of_a_long_dialog_are_always_in_sight() {
    for (size, scale) in [([1280.0, 780.0], 1.0), ([1024.0, 640.0], 1.0), ([853.0, 520.0], 1.5)] {
        for (words, open, button) in [
            ("finding limits", None, "Close"),
            ("title block", None, "Close"),
            ("cup models", Some("New model…"), "Back"),
            ("sources", Some("New source…"), "All sources"),
        ] {
            let mut window = crate::hands::sized(size, scale, egui::Theme::Light);
            click(&mut window, "Hide guide");
            window.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::K);
            ready(&mut window);
            window.get_by_label("Find a command").type_text(words);
            window.step();
            window.key_press(egui::Key::Enter);
            ready(&mut window);
            if let Some(open) = open {
                click(&mut window, open);
            }
            assert!(window.query_by_label(button).is_some(), "{words} at {size:?}, {scale}");
            let rect = window.get_by_label(button).rect();
            assert!(
                rect.min.y > 0.0 && rect.max.y <= size[1] && rect.max.x <= size[0],
                "{words}: {rect:?} of {size:?}"
            );
            window.get_by_label(button).click();
            ready(&mut window);
            let there = window.query_by_label(button).is_some();
            assert!(!there || open.is_some(), "{words}: {button} does nothing");
        }
    }
}
