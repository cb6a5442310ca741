//! A picture laid under the plan and traced, and the datum chosen by a click.

use super::hands::{self, Window, click, ready, run_command, type_into, window, window_in};
use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::Queryable as _;

/// A page of the demo's own sheet as a picture.
fn picture(folder: &tempfile::TempDir) -> std::path::PathBuf {
    let window = window();
    let (project, report) = (window.state().project().clone(), window.state().report().clone());
    let options = sheet::SheetOptions { paper: sheet::Paper::A4, ..sheet::SheetOptions::default() };
    let pages = sheet::compose(&project, &report, &options);
    let file = folder.path().join("scan.png");
    std::fs::write(&file, sheet::to_png(&pages[0], 60.0).unwrap()).unwrap();
    file
}

fn traced(window: &Window<'_>) -> document::Traced {
    (**window.state().project().traced.as_ref().expect("a picture under the plan")).clone()
}

fn plan(window: &Window<'_>) -> egui::Rect {
    window.get_by_label("Plan").rect()
}

#[test]
fn a_picture_is_laid_under_the_plan_scaled_locked_and_taken_away() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window_in(None, Some(picture(&folder)));
    window.get_by_label("Nothing was changed.");
    click(&mut window, "Lay it under the plan");
    let laid = traced(&window);
    assert_eq!((laid.name.as_str(), laid.locked), ("scan.png", false));
    assert!(laid.dots().is_some_and(|[wide, high]| wide > high && high > 400));
    window.get_by_label_contains("Undo lay scan");
    // Two places at a quarter and at three quarters of the plan, 1200 mm apart by what is typed.
    click(&mut window, "Scale by two points");
    let rect = plan(&window);
    for share in [0.35, 0.65] {
        hands::at(&mut window, Pos2::new(rect.left() + share * rect.width(), rect.center().y));
        ready(&mut window);
    }
    // The field for it has the keys already.
    assert!(window.get_by_label("True distance, mm").is_focused());
    type_into(&mut window, "True distance, mm", "1200");
    let scaled = traced(&window);
    assert!((scaled.dot_mm / laid.dot_mm - 1.0).abs() > 0.05, "{} {}", scaled.dot_mm, laid.dot_mm);
    // It is turned about its middle by a typed angle, and laid level by two places.
    let middle_of = |p: &document::Traced| (p.corners()[0] + p.corners()[2]) / 2.0;
    type_into(&mut window, "Turn, °", "2.5");
    let turned = traced(&window);
    assert_eq!(turned.turn_deg, 2.5);
    assert!((middle_of(&turned) - middle_of(&scaled)).length() < 1e-6);
    click(&mut window, "Level by two points");
    let rect = plan(&window);
    for (share, down) in [(0.3, 0.0), (0.7, 20.0)] {
        let at = Pos2::new(rect.left() + share * rect.width(), rect.center().y + down);
        hands::at(&mut window, at);
        ready(&mut window);
    }
    let level = traced(&window);
    let down = (20.0 / (0.4 * f64::from(rect.width()))).atan().to_degrees();
    assert!((level.turn_deg - 2.5 - down).abs() < 0.2, "{} {down}", level.turn_deg);
    type_into(&mut window, "Turn, °", "0");
    let scaled = traced(&window);
    assert_eq!(scaled.turn_deg, 0.0);
    // It is dragged, and stays once it is locked.
    let middle = plan(&window).center();
    hands::drag(&mut window, middle, middle + egui::vec2(60.0, 30.0));
    let moved = traced(&window);
    assert!(
        moved.at.x > scaled.at.x + 1.0 && moved.at.y < scaled.at.y - 1.0,
        "{:?} {:?}",
        moved.at,
        scaled.at
    );
    click(&mut window, "Locked");
    assert!(traced(&window).locked);
    hands::drag(&mut window, middle, middle + egui::vec2(60.0, 30.0));
    assert_eq!(traced(&window).at, moved.at);
    click(&mut window, "Done");
    // It is kept in the file and is no content.
    let project = window.state().project().clone();
    assert_eq!(document::from_text(&document::to_text(&project), "a.ron").unwrap(), *project);
    run_command(&mut window, "picture to trace");
    click(&mut window, "Remove");
    assert!(window.state().project().traced.is_none());
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert!(window.state().project().traced.is_some(), "an edit like others");
}

#[test]
fn a_picture_that_is_spoilt_is_refused_in_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let file = picture(&folder);
    let bytes = std::fs::read(&file).unwrap();
    std::fs::write(&file, &bytes[..bytes.len() / 2]).unwrap();
    let mut window = window_in(None, Some(file));
    click(&mut window, "Lay it under the plan");
    window.get_by_label_contains("cut short or spoilt");
    assert!(window.state().project().traced.is_none());
}

#[test]
fn the_datum_is_chosen_by_a_click_and_places_count_from_there() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let before = window.state().project().clone();
    let cup = before.layouts[0].cups[0].clone();
    run_command(&mut window, "choose the datum");
    let part = before.parts[0].clone();
    let corner = document::Datum::of(&part.outline)
        .into_iter()
        .filter(|datum| datum.on == document::DatumOn::Corner && datum.at.x > 1.0)
        .max_by(|a, b| a.at.x.total_cmp(&b.at.x))
        .expect("the blank has corners");
    let place = |v: f64| units::show(v, units::Quantity::Length, &units::UnitChoice::default()).to_string();
    let name = format!("Datum on a corner at {}, {}", place(corner.at.x), place(corner.at.y));
    click(&mut window, &name);
    let project = window.state().project().clone();
    assert_eq!(project.parts[0].datum, Some(corner));
    assert_eq!(project.layouts[0].cups[0].at, cup.at, "nothing moved");
    window.get_by_label_contains("Undo set the datum");
    // A typed place counts from there, and so does the hole table.
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "-100");
    let at = window.state().project().layouts[0].cups[0].at;
    assert!((at.x - (corner.at.x - 100.0)).abs() < 1e-9, "{at}");
    let (project, report) = (window.state().project().clone(), window.state().report().clone());
    let table = exchange::hole_table_csv(&project, &report);
    let row = table.lines().nth(1).unwrap();
    assert!(row.starts_with("\"C1\",-100.000,"), "{row}");
    // What is sketched, listed and typed of a corner counts from it too.
    let hole_at = |window: &Window<'_>| {
        let part = &window.state().project().parts[0];
        part.outline.holes.last().unwrap().bounds().unwrap().centre() - corner.at
    };
    let near = |at: glam::DVec2, to: [f64; 2]| assert!(at.distance(to.into()) < 1e-9, "{at} for {to:?}");
    window.key_press(egui::Key::Escape);
    window.key_press(egui::Key::H);
    ready(&mut window);
    for (field, value) in [("Diameter, mm", "6"), ("Centre X, mm", "-60"), ("Centre Y, mm", "-40")] {
        type_into(&mut window, field, value);
    }
    click(&mut window, "Add to the part");
    near(hole_at(&window), [-60.0, -40.0]);
    run_command(&mut window, "holes from a table");
    window.get_by_label("Table of holes").type_text("-80;-40;6");
    ready(&mut window);
    click(&mut window, "Add to the part");
    near(hole_at(&window), [-80.0, -40.0]);
    run_command(&mut window, "drag corners and edges");
    click(&mut window, "Corner 1 of the outline");
    let first =
        |window: &Window<'_>| window.state().project().parts[0].outline.outer.vertices[0].at - corner.at;
    let wanted = first(&window).x - 5.5;
    type_into(&mut window, "Corner X, mm", &format!("{wanted}"));
    assert!((first(&window).x - wanted).abs() < 1e-9, "{} for {wanted}", first(&window));
    run_command(&mut window, "choose the datum");
    click(&mut window, "Count from the drawing's origin");
    assert_eq!(window.state().project().parts[0].datum, None);
}
