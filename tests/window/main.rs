//! The window driven by accessible names, without a display: the whole path of a user, and what must not get lost.

mod absurd;
mod bending;
mod beside;
mod circuit;
mod dialogs;
mod drawings;
mod files;
mod forms;
mod hands;
mod keyboard;
mod outputs;
mod panels;
mod placing;
mod proposals;
mod ranges;
mod review;
mod said;
mod seats;
mod session;
mod sizes;
mod slow;
mod tracing;
mod typed;

use analysis::Severity;
use egui::{Key, Modifiers, Pos2, Vec2};
use egui_kittest::kittest::Queryable as _;
use hands::{Window, at, click, cup_centre, drag, ready, settle, type_into, window};
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
    click(&mut window, "Hide guide");
    settle(&mut window);
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
    // On a busy machine what takes longer is still that of the change.
    settle(&mut window);
    assert_eq!(window.state().report().verdict, before);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    ready(&mut window);
    assert_ne!(place(&window, "C1"), start);
}

#[test]
fn escape_abandons_a_drag_and_leaves_no_entry() {
    let mut window = window();
    click(&mut window, "Hide guide");
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
    click(&mut window, "Hide guide");
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
    click(&mut window, "Hide guide");
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
    click(&mut window, "Hide guide");
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
    click(&mut window, "Hide guide");
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
    click(&mut window, "Hide guide");
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
    // What takes longer judges too.
    settle(&mut window);
    let before = open(&window);
    window.get_all_by_label("Accept…").next().unwrap().click();
    ready(&mut window);
    window.get_by_label("Accept this finding");
    type_into(&mut window, "Reason for accepting, text", "only a trial");
    if window.query_by_label("Accept").is_some() {
        click(&mut window, "Accept");
    }
    settle(&mut window);
    assert_eq!(open(&window), before - 1);
    assert_eq!(window.state().project().accepted[0].reason, "only a trial");
    click(&mut window, "Show accepted");
    click(&mut window, "Reopen");
    assert_eq!(open(&window), before);
}

#[test]
fn a_finding_is_mended_by_its_own_remedy() {
    let mut window = window();
    click(&mut window, "Hide guide");
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "5");
    let over = |w: &Window<'_>| w.state().report().findings.iter().any(|f| f.rule == "seat.overhang");
    assert!(over(&window));
    window.get_all_by_label("Apply fix").next().unwrap().click();
    ready(&mut window);
    assert!(!over(&window));
}

#[test]
fn enter_in_the_search_takes_the_first_model_that_matches() {
    let mut window = window();
    click(&mut window, "Hide guide");
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
    click(&mut window, "Hide guide");
    window.key_press_modifiers(Modifiers::COMMAND, Key::L);
    ready(&mut window);
    click(&mut window, "New model…");
    type_into(&mut window, "Model name", "Press shop 64");
    type_into(&mut window, "Lip diameter, mm", "64");
    type_into(&mut window, "Bore, mm", "70");
    click(&mut window, "Add to the project");
    window.get_by_label_contains("The bore of cup model Press shop 64 is 70 mm and its lip 64 mm");
    type_into(&mut window, "Bore, mm", "6");
    click(&mut window, "Add to the project");
    let project = window.state().project().clone();
    let model = project.models.iter().find(|m| m.name == "Press shop 64").unwrap();
    assert_eq!(model.shape, geometry::LipShape::Round { diameter: 64.0 });
    let plan = window.get_by_label("Plan").rect();
    at(&mut window, plan.center() + Vec2::new(-150.0, -120.0));
    let cups = &window.state().project().layouts[0].cups;
    assert_eq!(cups.last().unwrap().model, model.id);
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
    click(&mut window, "Hide guide");
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
    click(&mut window, "Hide guide");
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
