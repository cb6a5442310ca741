//! The window driven by accessible names, without a display: the whole path of a user, and what must not get lost.

mod circuit;
mod deeper;
mod forms;
mod hands;
mod outputs;

use analysis::Severity;
use egui::{Key, Modifiers, Pos2, Vec2};
use egui_kittest::kittest::Queryable as _;
use hands::{Window, at, click, cup_centre, drag, ready, type_into, window, window_in};
use std::path::PathBuf;

fn demo_drawing(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../demo-projects").join(name)
}

fn place(window: &Window<'_>, tag: &str) -> glam::DVec2 {
    window.state().project().layouts[0].cups.iter().find(|c| c.tag == tag).unwrap().at
}

#[test]
fn the_first_start_shows_a_finished_demo_and_three_sentences() {
    let window = window();
    assert!(
        window.state().report().verdict.severity < Severity::Fail,
        "{:?}",
        window.state().report().verdict
    );
    assert!(window.state().project().layouts[0].cups.len() >= 6);
    window.get_by_label("First steps");
    window.get_by_label_contains("Verdict: ");
    for tag in ["C1", "C2", "C3"] {
        window.get_by_label(&format!("Cup {tag}"));
    }
}

#[test]
fn dragging_a_cup_off_the_part_changes_the_verdict_and_undo_restores_it() {
    let mut window = window();
    click(&mut window, "Put away");
    let before = window.state().report().verdict.clone();
    let start = place(&window, "C1");
    let from = cup_centre(&window, "C1");
    // Press, move and look before letting go: the verdict follows while the button is held.
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=8 {
        window.hover_at(from + Vec2::new(-12.0, 0.0) * i as f32);
        window.step();
    }
    window.step();
    assert_eq!(window.state().report().verdict.severity, Severity::Fail);
    assert!(window.state().report().findings.iter().any(|f| f.rule == "seat.overhang"));
    assert_eq!(place(&window, "C1"), start, "nothing is committed while the button is held");
    window.drop_at(from + Vec2::new(-96.0, 0.0));
    ready(&mut window);
    assert!(place(&window, "C1").x < start.x - 10.0);
    window.get_by_label_contains("Undo move C1");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(place(&window, "C1"), start);
    assert_eq!(window.state().report().verdict, before);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    ready(&mut window);
    assert_ne!(place(&window, "C1"), start);
}

#[test]
fn escape_abandons_a_drag_and_leaves_no_entry() {
    let mut window = window();
    click(&mut window, "Put away");
    let start = place(&window, "C2");
    let from = cup_centre(&window, "C2");
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=5 {
        window.hover_at(from + Vec2::new(9.0, 7.0) * i as f32);
        window.step();
    }
    window.key_press(Key::Escape);
    window.step();
    window.drop_at(from + Vec2::new(45.0, 35.0));
    ready(&mut window);
    assert_eq!(place(&window, "C2"), start);
    assert!(window.query_by_label_contains("Undo move").is_none());
}

#[test]
fn a_cup_goes_where_its_typed_place_says_units_and_sums_included() {
    let mut window = window();
    click(&mut window, "Put away");
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "3 in + 4");
    assert!((place(&window, "C1").x - 80.2).abs() < 1e-9);
    type_into(&mut window, "Y, mm", "1,5 cm");
    assert!((place(&window, "C1").y - 15.0).abs() < 1e-9);
    // What cannot be read changes nothing.
    type_into(&mut window, "X, mm", "5 kg");
    assert!((place(&window, "C1").x - 80.2).abs() < 1e-9);
}

#[test]
fn arrow_keys_nudge_and_locked_cups_stay() {
    let mut window = window();
    click(&mut window, "Put away");
    click(&mut window, "Cup C3");
    let start = place(&window, "C3");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::ArrowLeft);
    ready(&mut window);
    assert!((place(&window, "C3") - start - glam::DVec2::new(0.9, 10.0)).length() < 1e-9);
    let here = place(&window, "C3");
    window.key_press(Key::L);
    ready(&mut window);
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    assert_eq!(place(&window, "C3"), here);
}

#[test]
fn cups_are_placed_from_the_models_selected_by_box_and_repeated_in_rows() {
    let mut window = window();
    click(&mut window, "Put away");
    let before = window.state().project().layouts[0].cups.len();
    let name = window.state().project().models[0].name.clone();
    click(&mut window, &format!("Place {name}"));
    let plan = window.get_by_label("Plan").rect();
    at(&mut window, plan.center() + Vec2::new(-120.0, -60.0));
    assert_eq!(window.state().project().layouts[0].cups.len(), before + 1);
    window.key_press(Key::Escape);
    ready(&mut window);
    drag(&mut window, plan.left_top() + Vec2::new(3.0, 3.0), plan.right_bottom() - Vec2::new(3.0, 3.0));
    assert_eq!(window.state().selection().len(), before + 1);
    window.key_press(Key::Delete);
    ready(&mut window);
    assert!(window.state().project().layouts[0].cups.is_empty());
    window.get_by_label_contains("No cups");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(window.state().project().layouts[0].cups.len(), before + 1);
    click(&mut window, "Cup C1");
    window.key_press(Key::R);
    ready(&mut window);
    window.get_by_label("Repeat in rows");
    type_into(&mut window, "Columns", "3");
    click(&mut window, "Add");
    assert_eq!(window.state().project().layouts[0].cups.len(), before + 3);
}

#[test]
fn units_switch_everywhere_at_once_and_the_project_stays_as_it_is() {
    let mut window = window();
    click(&mut window, "Put away");
    let project = window.state().project().clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::U);
    ready(&mut window);
    click(&mut window, "Inch, pound");
    click(&mut window, "Close");
    window.get_by_label("Thickness, in");
    window.get_by_label("Mass, lb");
    assert!(std::sync::Arc::ptr_eq(&project, window.state().project()));
}

#[test]
fn a_finding_is_accepted_with_a_reason_and_reopened() {
    let mut window = window();
    click(&mut window, "Put away");
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "5");
    assert_eq!(window.state().report().verdict.severity, Severity::Fail);
    let open = |w: &Window<'_>| {
        w.state()
            .report()
            .findings
            .iter()
            .filter(|f| f.severity == Severity::Fail && f.accepted.is_none())
            .count()
    };
    let before = open(&window);
    window.get_all_by_label("Accept…").next().unwrap().click();
    ready(&mut window);
    window.get_by_label("Accept this finding");
    type_into(&mut window, "Reason for accepting, text", "only a trial");
    if window.query_by_label("Accept").is_some() {
        click(&mut window, "Accept");
    }
    assert_eq!(open(&window), before - 1);
    assert_eq!(window.state().project().accepted[0].reason, "only a trial");
    click(&mut window, "Show accepted");
    click(&mut window, "Reopen");
    assert_eq!(open(&window), before);
}

#[test]
fn a_finding_is_mended_by_its_own_remedy() {
    let mut window = window();
    click(&mut window, "Put away");
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "5");
    let over = |w: &Window<'_>| w.state().report().findings.iter().any(|f| f.rule == "seat.overhang");
    assert!(over(&window));
    window.get_all_by_label("Mend").next().unwrap().click();
    ready(&mut window);
    assert!(!over(&window));
}

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

#[test]
fn a_drawing_becomes_a_new_project_after_its_report_is_read() {
    let mut window = window_in(None, Some(demo_drawing("bracket-plate.dxf")));
    window.get_by_label("Import bracket-plate.dxf");
    window.get_by_label("Mended and skipped");
    click(&mut window, "New project");
    let project = window.state().project();
    assert_eq!(project.parts[0].outline.holes.len(), 3);
    let bounds = project.parts[0].outline.outer.bounds().unwrap();
    assert!((bounds.max.x - bounds.min.x - 24.0 * 25.4).abs() < 0.01);
    assert!(project.layouts[0].cups.is_empty());
}

#[test]
fn a_file_dropped_on_the_window_is_imported_and_asks_before_unsaved_work_goes() {
    let mut window = window();
    click(&mut window, "Put away");
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    window
        .input_mut()
        .dropped_files
        .push(std::sync::Arc::new(hands::Dropped(demo_drawing("door-sheet.dxf"))));
    ready(&mut window);
    window.get_by_label("Import door-sheet.dxf");
    click(&mut window, "New project");
    window.get_by_label("Not saved yet");
    click(&mut window, "Cancel");
    assert_eq!(window.state().project().layouts[0].cups.len(), 8, "the demo with its change is still there");
    window
        .input_mut()
        .dropped_files
        .push(std::sync::Arc::new(hands::Dropped(demo_drawing("door-sheet.dxf"))));
    ready(&mut window);
    click(&mut window, "New project");
    click(&mut window, "Do not save");
    assert_eq!(window.state().project().parts[0].outline.holes.len(), 7);
}

#[test]
fn a_large_drawing_is_read_beside_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("large.dxf");
    let mut text = String::from("0\nSECTION\n2\nENTITIES\n");
    let line = |x0: i32, y0: i32, x1: i32, y1: i32, layer: &str| {
        format!("0\nLINE\n8\n{layer}\n10\n{x0}.0\n20\n{y0}.0\n11\n{x1}.0\n21\n{y1}.0\n")
    };
    for (a, b) in [((0, 0), (900, 0)), ((900, 0), (900, 600)), ((900, 600), (0, 600)), ((0, 600), (0, 0))] {
        text += &line(a.0, a.1, b.0, b.1, "PART");
    }
    // Remarks make it large.
    text += &"999\na remark that only takes room in the file, as plotters and their drivers like to write\n"
        .repeat(30_000);
    text += "0\nENDSEC\n0\nEOF\n";
    std::fs::write(&file, &text).unwrap();
    assert!(text.len() > 2 * 1024 * 1024);
    let mut window = window_in(None, Some(file));
    window.get_by_label("Import large.dxf");
    let start = std::time::Instant::now();
    while window.query_by_label("New project").is_none() {
        assert!(start.elapsed().as_secs() < 120, "still reading");
        std::thread::sleep(std::time::Duration::from_millis(20));
        ready(&mut window);
    }
    click(&mut window, "New project");
    let bounds = window.state().project().parts[0].outline.outer.bounds().unwrap();
    assert_eq!(bounds.max - bounds.min, glam::DVec2::new(900.0, 600.0));
}

#[test]
fn enter_in_the_search_takes_the_first_model_that_matches() {
    let mut window = window();
    click(&mut window, "Put away");
    window.key_press_modifiers(Modifiers::COMMAND, Key::L);
    ready(&mut window);
    window.get_by_label("Search cup models").type_text("long 60");
    ready(&mut window);
    window.key_press(Key::Enter);
    ready(&mut window);
    let taken = window.state().project().models.iter().any(|m| m.name.starts_with("Long 60"));
    assert!(taken, "{:?}", window.state().project().models);
    assert!(matches!(window.state().plan.tool, app::plan::Tool::Place { .. }));
}

#[test]
fn a_model_of_ones_own_is_made_in_the_form_and_placed() {
    let mut window = window();
    click(&mut window, "Put away");
    window.key_press_modifiers(Modifiers::COMMAND, Key::L);
    ready(&mut window);
    click(&mut window, "A model of your own…");
    type_into(&mut window, "Model name", "Press shop 64");
    type_into(&mut window, "Lip diameter, mm", "64");
    type_into(&mut window, "Bore, mm", "70");
    click(&mut window, "Take into the project");
    window.get_by_label_contains("The bore is as large as the lip");
    type_into(&mut window, "Bore, mm", "6");
    click(&mut window, "Take into the project");
    let project = window.state().project().clone();
    let model = project.models.iter().find(|m| m.name == "Press shop 64").unwrap();
    assert_eq!(model.shape, geometry::LipShape::Round { diameter: 64.0 });
    let plan = window.get_by_label("Plan").rect();
    at(&mut window, plan.center() + Vec2::new(-150.0, -120.0));
    let cups = &window.state().project().layouts[0].cups;
    assert_eq!(cups.last().unwrap().model, model.id);
}

#[test]
fn a_file_that_is_not_a_drawing_is_one_clear_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("letter.dxf");
    std::fs::write(&file, "Dear colleague,\nthis is a letter.\n").unwrap();
    let window = window_in(None, Some(file));
    window.get_by_label("Nothing was changed.");
    assert!(!window.state().project().layouts[0].cups.is_empty(), "the demo is still there");
}

#[test]
fn a_hole_and_a_polygon_are_sketched_with_typed_sizes() {
    let mut window = window();
    click(&mut window, "Put away");
    let holes = window.state().project().parts[0].outline.holes.len();
    window.key_press(Key::H);
    ready(&mut window);
    click(&mut window, "Disc");
    type_into(&mut window, "Diameter, mm", "30");
    type_into(&mut window, "Left, mm", "100");
    type_into(&mut window, "Bottom, mm", "120");
    click(&mut window, "Add to the part");
    let part = window.state().project().parts[0].clone();
    assert_eq!(part.outline.holes.len(), holes + 1);
    let added = part.outline.holes.last().unwrap();
    assert!((added.signed_area().abs() - std::f64::consts::PI * 225.0).abs() < 1e-6);
    window.key_press(Key::K);
    ready(&mut window);
    click(&mut window, "Polygon");
    for (length, direction) in [("60", "0"), ("40", "90"), ("60", "180")] {
        type_into(&mut window, "Length, mm", length);
        type_into(&mut window, "Direction, °", direction);
        click(&mut window, "Add point");
    }
    click(&mut window, "Add to the part");
    let part = window.state().project().parts[0].clone();
    assert!((part.keep_outs.last().unwrap().area.signed_area().abs() - 2400.0).abs() < 1e-6);
}

#[test]
fn a_corner_is_moved_by_its_figures_rounded_and_a_hole_removed() {
    let mut window = window();
    click(&mut window, "Put away");
    window.key_press(Key::E);
    ready(&mut window);
    click(&mut window, "Corner 1 of the outline");
    type_into(&mut window, "Corner X, mm", "-20");
    let corner = |w: &Window<'_>, i: usize| w.state().project().parts[0].outline.outer.vertices[i];
    assert_eq!(corner(&window, 0).at, glam::DVec2::new(-20.0, 0.0));
    let corners = window.state().project().parts[0].outline.outer.vertices.len();
    type_into(&mut window, "Round by, mm", "15");
    assert_eq!(window.state().project().parts[0].outline.outer.vertices.len(), corners + 1);
    click(&mut window, "Corner 1 of hole 1");
    click(&mut window, "Remove hole 1");
    assert!(window.state().project().parts[0].outline.holes.is_empty());
    for _ in 0..3 {
        window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        ready(&mut window);
    }
    assert_eq!(corner(&window, 0).at, glam::DVec2::ZERO);
    assert_eq!(window.state().project().parts[0].outline.holes.len(), 1);
}

#[test]
fn every_size_scale_and_theme_draws_and_keeps_the_verdict_in_sight() {
    for (size, scale) in
        [([1280.0, 800.0], 1.0), ([2560.0, 1440.0], 1.0), ([1280.0, 800.0], 1.25), ([1280.0, 800.0], 2.0)]
    {
        for theme in [egui::Theme::Light, egui::Theme::Dark] {
            let window = hands::sized(size, scale, theme);
            let verdict = window.get_by_label_contains("Verdict: ").rect();
            assert!(verdict.min.x >= 0.0 && verdict.max.x <= size[0] && verdict.height() > 20.0);
            let plan = window.get_by_label("Plan").rect();
            assert!(plan.width() > 400.0 && plan.height() > 300.0, "{plan:?} at {size:?}");
            assert!(plan.max.x <= size[0] && plan.min.x >= 0.0);
            for cup in window.state().project().layouts[0].cups.clone() {
                assert!(plan.contains(cup_centre(&window, &cup.tag)), "{} is off the plan", cup.tag);
            }
        }
    }
}

#[test]
fn the_palette_finds_and_runs_a_command() {
    let mut window = window();
    click(&mut window, "Put away");
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(&mut window);
    window.get_by_label("Find a command").type_text("about");
    ready(&mut window);
    window.key_press(Key::Enter);
    ready(&mut window);
    window.get_by_label("Cautions");
}

#[test]
fn zoom_holds_the_place_under_the_cursor() {
    let mut window = window();
    click(&mut window, "Put away");
    let cup = cup_centre(&window, "C1");
    window.hover_at(cup);
    window.step();
    for _ in 0..5 {
        window.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Line,
            delta: Vec2::new(0.0, 1.0),
            modifiers: Modifiers::NONE,
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Wheel,
        });
        window.step();
    }
    ready(&mut window);
    let after = cup_centre(&window, "C1");
    assert!((after - cup).length() < 1.0, "{cup:?} {after:?}");
    let other = cup_centre(&window, "C2");
    assert!(other != Pos2::ZERO);
}
