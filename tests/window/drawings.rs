//! Drawings read, parts sketched and their corners dragged, by accessible names.

use super::{
    demo_drawing,
    hands::{self, Window, click, ready, type_into, window, window_in},
};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

#[test]
fn a_drawing_becomes_a_new_project_after_its_report_is_read() {
    let mut window = window_in(None, Some(demo_drawing("bracket-plate.dxf")));
    window.get_by_label("Import bracket-plate.dxf");
    window.get_by_label("Decided, repaired and skipped");
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
    click(&mut window, "Hide guide");
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
    click(&mut window, "Discard");
    assert_eq!(window.state().project().parts[0].outline.holes.len(), 7);
}

/// A thousand bytes that come to 900,000 circles: size says nothing of how long a drawing takes.
#[test]
fn a_small_file_that_takes_long_is_left_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("array.dxf");
    std::fs::write(
        &file,
        "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n70\n0\n10\n0\n20\n0\n0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n2\n\
         0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n70\n700\n71\n700\n\
         44\n5\n45\n5\n0\nENDSEC\n0\nEOF\n",
    )
    .unwrap();
    let mut window = window();
    let before = window.state().project().parts[0].outline.holes.len();
    window.input_mut().dropped_files.push(std::sync::Arc::new(hands::Dropped(file)));
    window.run_steps(6);
    window.get_by_label("Import array.dxf");
    window.get_by_label_contains("You can cancel; nothing is changed");
    window.get_by_label("Cancel").click();
    window.run_steps(6);
    assert!(window.query_by_label("Import array.dxf").is_none(), "it is put away");
    assert_eq!(window.state().project().parts[0].outline.holes.len(), before);
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
    click(&mut window, "New project");
    let bounds = window.state().project().parts[0].outline.outer.bounds().unwrap();
    assert_eq!(bounds.max - bounds.min, glam::DVec2::new(900.0, 600.0));
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
    click(&mut window, "Hide guide");
    let holes = window.state().project().parts[0].outline.holes.len();
    window.key_press(Key::H);
    ready(&mut window);
    click(&mut window, "Disc");
    type_into(&mut window, "Diameter, mm", "30");
    type_into(&mut window, "Centre X, mm", "100");
    type_into(&mut window, "Centre Y, mm", "120");
    click(&mut window, "Add to the part");
    let part = window.state().project().parts[0].clone();
    assert_eq!(part.outline.holes.len(), holes + 1);
    let added = part.outline.holes.last().unwrap();
    let (centre, radius) = added.as_circle().unwrap();
    assert!(centre.distance(glam::DVec2::new(100.0, 120.0)) < 1e-9 && (radius - 15.0).abs() < 1e-9);
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
fn a_slot_is_sketched_by_its_centre_and_changed_again_as_the_slot_that_it_is() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let holes = window.state().project().parts[0].outline.holes.len();
    window.key_press(Key::H);
    ready(&mut window);
    click(&mut window, "Slot");
    for (field, text) in [
        ("Overall length, mm", "40"),
        ("Slot width, mm", "12"),
        ("Turn, °", "30"),
        ("Centre X, mm", "110"),
        ("Centre Y, mm", "130"),
    ] {
        type_into(&mut window, field, text);
    }
    click(&mut window, "Add to the part");
    let slot = |w: &Window<'_>| w.state().project().parts[0].outline.holes[holes].as_slot().unwrap();
    let near = |found: (glam::DVec2, f64, f64, f64), length: f64| {
        let (centre, l, w, turn) = found;
        assert!(centre.distance(glam::DVec2::new(110.0, 130.0)) < 1e-9, "{centre}");
        assert!(
            (l - length).abs() < 1e-9 && (w - 12.0).abs() < 1e-9 && (turn.to_degrees() - 30.0).abs() < 1e-9
        );
    };
    near(slot(&window), 40.0);
    window.key_press(Key::E);
    ready(&mut window);
    click(&mut window, &format!("Sizes of hole {}", holes + 1));
    type_into(&mut window, "Overall length, mm", "50");
    click(&mut window, "Change it");
    near(slot(&window), 50.0);
    assert_eq!(window.state().project().parts[0].outline.holes.len(), holes + 1);
    // A hole is no ring; and where another shape stands in its place by now, nothing is changed.
    window.key_press(Key::E);
    ready(&mut window);
    click(&mut window, &format!("Sizes of hole {}", holes + 1));
    assert!(window.query_by_label("Ring").is_none() && window.query_by_label("Slot").is_some());
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    let before = window.state().project().clone();
    near(slot(&window), 40.0);
    click(&mut window, "Change it");
    assert_eq!(window.state().project(), &before);
}

#[test]
fn holes_are_added_from_a_pasted_table() {
    let mut window = window();
    let holes = window.state().project().parts[0].outline.holes.len();
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(&mut window);
    type_into(&mut window, "Find a command", "holes from a table");
    // It has the keyboard when it opens.
    assert!(window.get_by_label("Table of holes").is_focused());
    window.get_by_label("Table of holes").type_text("X;Y;D\n120;90;8.4\n140;90;6");
    ready(&mut window);
    window.get_by_label("2 holes");
    click(&mut window, "Add to the part");
    let part = window.state().project().parts[0].clone();
    assert_eq!(part.outline.holes.len(), holes + 2);
    assert!((part.outline.holes[holes].as_circle().unwrap().1 - 4.2).abs() < 1e-9);
}

#[test]
fn a_corner_is_moved_by_its_figures_rounded_and_a_hole_removed() {
    let mut window = window();
    click(&mut window, "Hide guide");
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

/// A drawing as customers send them, out of the fixtures of the reader.
fn awkward(name: &str) -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../crates/exchange/tests/drawings/awkward")
        .join(name)
}

fn import_in(size: [f32; 2], path: std::path::PathBuf) -> Window<'static> {
    let mut window = hands::sized(size, 1.0, egui::Theme::Light);
    click(&mut window, "Hide guide");
    window.input_mut().dropped_files.push(std::sync::Arc::new(hands::Dropped(path)));
    ready(&mut window);
    window
}

/// What the picture is called: the size of the part that is lit, and its holes.
fn lit(window: &Window<'_>) -> String {
    let label = window.get_by_label_contains("Drawing, ").accesskit_node().label().unwrap();
    label.split_once("is ").unwrap().1.to_owned()
}

/// Where a place of the drawing (mm) is on the screen; `all` is the box of what it shows.
fn on_picture(window: &Window<'_>, all: [f64; 4], at: (f64, f64)) -> egui::Pos2 {
    let rect = window.get_by_label_contains("Drawing, ").rect();
    let mut camera = app::plan::Camera::default();
    let [x0, y0, x1, y1] = all;
    let bounds = geometry::Bounds { min: glam::DVec2::new(x0, y0), max: glam::DVec2::new(x1, y1) };
    camera.fit_evenly(rect, &bounds, 14.0);
    camera.screen_from_part(rect, glam::DVec2::new(at.0, at.1))
}

#[test]
fn a_frame_is_told_from_the_part_and_the_person_may_say_otherwise() {
    let mut window = import_in([1280.0, 800.0], awkward("n31-single-border.dxf"));
    assert!(lit(&window).starts_with("400.0 × "), "{}", lit(&window));
    window.get_by_label_contains("is read as the sheet frame, not as the part");
    // Nothing lies below the fold.
    for name in ["New project", "Cancel", "Choose a line", "Join gaps up to, mm"] {
        let rect = window.get_by_label(name).rect();
        assert!(rect.max.y <= 800.0 && rect.min.y >= 0.0, "{name}: {rect:?}");
    }
    // A message shows its place when it is clicked.
    window.get_by_label_contains("is read as the sheet frame").click();
    ready(&mut window);
    assert!(lit(&window).contains("; marked at ("), "{}", lit(&window));
    click(&mut window, "Use it as the part");
    assert!(lit(&window).starts_with("574.0 × "), "{}", lit(&window));
    click(&mut window, "Undo what was chosen");
    assert!(lit(&window).starts_with("400.0 × "), "{}", lit(&window));
    click(&mut window, "New project");
    assert_eq!(window.state().project().parts[0].outline.holes.len(), 6);
}

#[test]
fn a_click_takes_a_line_a_box_one_view_and_two_points_set_the_scale() {
    let mut window = import_in([1440.0, 900.0], awkward("n03-several-views.dxf"));
    // Dimension lines and all.
    let all = [39.625, 90.0, 838.56, 400.0];
    assert_eq!(lit(&window), "400.0 × 250.0 mm with 6 holes");
    // With Shift, the hole of 80 mm is taken away and comes back.
    let hole = on_picture(&window, all, (180.0, 275.0));
    for holes in ["with 5 holes", "with 6 holes"] {
        window.event(egui::Event::ModifiersChanged(Modifiers::SHIFT));
        hands::at(&mut window, hole);
        window.event(egui::Event::ModifiersChanged(Modifiers::NONE));
        ready(&mut window);
        assert!(lit(&window).ends_with(holes), "{}", lit(&window));
    }
    // The detail is taken by a click, and given back.
    let detail = on_picture(&window, all, (640.0, 300.0));
    hands::at(&mut window, detail);
    assert!(lit(&window).starts_with("100.0 × "), "{}", lit(&window));
    click(&mut window, "Undo what was chosen");
    assert!(lit(&window).starts_with("400.0 × "), "{}", lit(&window));
    // A box around the view from the side.
    click(&mut window, "Limit to a box");
    let corners = [(480.0, 120.0), (530.0, 420.0)].map(|at| on_picture(&window, all, at));
    hands::drag(&mut window, corners[0], corners[1]);
    assert!(lit(&window).starts_with("3.0 × "), "{}", lit(&window));
    click(&mut window, "Undo what was chosen");
    // The plate is said to be 800 mm wide.
    click(&mut window, "Set the scale");
    for at in [(60.0, 170.0), (460.0, 170.0)] {
        let place = on_picture(&window, all, at);
        hands::at(&mut window, place);
    }
    assert!(window.get_by_label("True length, mm").is_focused());
    type_into(&mut window, "True length, mm", "800");
    assert_eq!(lit(&window), "800.0 × 500.0 mm with 6 holes");
}

/// No pointer is moved: the picture is reached by Tab, its lines by arrows.
#[test]
fn a_line_is_chosen_and_a_hole_removed_by_keys_alone() {
    let mut window = import_in([1280.0, 800.0], awkward("n31-single-border.dxf"));
    assert_eq!(lit(&window), "400.0 × 250.0 mm with 6 holes");
    let focused = |window: &Window<'_>| {
        window.query_by(|node| node.is_focused()).and_then(|n| n.accesskit_node().label()).unwrap_or_default()
    };
    let mut tabs = 0;
    while !focused(&window).starts_with("Drawing, ") {
        window.key_press(Key::Tab);
        ready(&mut window);
        tabs += 1;
        assert!(tabs < 60, "the picture is never reached");
    }
    // The frame of the sheet is the largest line, the outline of the plate the next.
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    assert!(lit(&window).contains("line 1 of"), "{}", lit(&window));
    window.key_press(Key::Enter);
    ready(&mut window);
    assert!(lit(&window).starts_with("574.0 × 400.0 mm"), "{}", lit(&window));
    for _ in 0..2 {
        window.key_press(Key::ArrowRight);
        ready(&mut window);
    }
    window.key_press(Key::Enter);
    ready(&mut window);
    assert!(lit(&window).starts_with("400.0 × 250.0 mm with 6 holes"), "{}", lit(&window));
    // The last but not least is a hole of the plate.
    for _ in 0..3 {
        window.key_press(Key::ArrowRight);
        ready(&mut window);
    }
    window.key_press_modifiers(Modifiers::SHIFT, Key::Enter);
    ready(&mut window);
    assert!(lit(&window).starts_with("400.0 × 250.0 mm with 5 holes"), "{}", lit(&window));
}

/// A part that was cut apart comes with its other half, and goes back together.
#[test]
fn parts_with_a_cut_in_common_are_cut_apart_when_asked() {
    let mut window = import_in([1280.0, 800.0], awkward("n25-common-cut-line.dxf"));
    assert!(lit(&window).starts_with("400.0 × 250.0 mm"), "{}", lit(&window));
    click(&mut window, "Cut it there into 2 parts, the largest 200 × 250 mm");
    assert!(lit(&window).starts_with("200.0 × 250.0 mm"), "{}", lit(&window));
    window.get_by_label("all 2 parts into the new project");
    click(&mut window, "Undo what was chosen");
    assert!(lit(&window).starts_with("400.0 × 250.0 mm"), "{}", lit(&window));
}

#[test]
fn an_outline_that_fails_is_offered_the_gap_that_closes_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("open.dxf");
    let line = |x0: i32, y0: i32, x1: i32, y1: i32| {
        format!("0\nLINE\n8\n0\n10\n{x0}.0\n20\n{y0}.0\n11\n{x1}.0\n21\n{y1}.0\n")
    };
    let sides = line(0, 0, 300, 0) + &line(300, 0, 300, 200) + &line(300, 200, 3, 200) + &line(0, 200, 0, 0);
    let text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{sides}\
         0\nCIRCLE\n8\n0\n10\n100\n20\n100\n40\n20\n0\nENDSEC\n0\nEOF\n"
    );
    std::fs::write(&file, text).unwrap();
    let mut window = import_in([1280.0, 800.0], file);
    window.get_by_label_contains("300 × 200 mm does not close");
    window.get_by_label("Drawing, 2 open ends marked");
    click(&mut window, "Join ends within 3.0 mm");
    assert_eq!(lit(&window), "300.0 × 200.0 mm with 1 hole");
    // A gap that leaves nothing is not taken.
    type_into(&mut window, "Join gaps up to, mm", "0.5");
    window.get_by_label_contains("Not applied, because nothing would be left");
    assert!(lit(&window).starts_with("300.0 × "), "{}", lit(&window));
}
