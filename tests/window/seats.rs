//! A tool that carries several parts in the window: shown one by one, placed, switched, and with the fewest valves.

use super::demo_drawing;
use crate::hands::{Window, click, ready, settle, type_into, window, window_in};
use analysis::{Cover, Severity};
use document::Seat;
use egui::{Key, Modifiers, Vec2};
use egui_kittest::kittest::Queryable as _;

fn panels() -> Window<'static> {
    window_in(None, Some(demo_drawing("side-panels.ron")))
}
fn seats(window: &Window<'_>) -> Vec<Seat> {
    window.state().project().layouts[0].seats.clone()
}
fn shown(window: &Window<'_>) -> String {
    window.state().report().part.as_ref().unwrap().name.clone()
}
fn verdict(window: &Window<'_>) -> (Severity, String) {
    let view = window.state().view(app::theme::tokens(false));
    (view.whole().verdict.severity, view.whole().verdict.sentence.clone())
}
fn undo(window: &mut Window<'_>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(window);
}

#[test]
fn parts_are_shown_by_tabs_and_brackets_and_the_verdict_is_that_of_the_worst() {
    let mut window = panels();
    let (severity, sentence) = verdict(&window);
    assert!(severity < Severity::Fail, "{sentence}");
    assert!(sentence.starts_with("Side panel, "), "{sentence}");
    window.get_by_label_contains(&format!("Verdict: {}", &sentence[..20]));
    click(&mut window, "Part Cover blank");
    assert_eq!(shown(&window), "Cover blank");
    assert_eq!(window.state().report().cups.len(), 4);
    assert_eq!(verdict(&window).1, sentence, "the verdict is of the whole tool");
    window.key_press(Key::CloseBracket);
    ready(&mut window);
    assert_eq!(shown(&window), "Side panel, left");
    window.key_press(Key::OpenBracket);
    ready(&mut window);
    assert_eq!(shown(&window), "Cover blank");
    // All over each other: each cup with the number of parts that it holds.
    click(&mut window, "all parts");
    let view = window.state().view(app::theme::tokens(false));
    let held = view.family.as_ref().unwrap();
    assert!(held.all);
    let used = |tag: &str| held.family.used_by(view.layout.cups.iter().find(|c| c.tag == tag).unwrap().id);
    assert_eq!([used("C1"), used("C3"), used("C7")], [2, 3, 1]);
    // With cups selected the brackets turn them, as they always did.
    click(&mut window, "Part Side panel, left");
    click(&mut window, "Cup C1");
    window.key_press(Key::OpenBracket);
    ready(&mut window);
    assert_eq!(window.state().project().layouts[0].cups[0].turn_deg, 15.0);
    assert_eq!(shown(&window), "Side panel, left");
}

#[test]
fn a_part_is_placed_by_typing_and_by_its_datum_and_put_back() {
    let mut window = panels();
    click(&mut window, "Part Cover blank");
    let before = seats(&window);
    type_into(&mut window, "Place X, Cover blank, mm", "250");
    assert_eq!(seats(&window)[2].at.x, 250.0);
    window.get_by_label_contains("Undo place Cover blank");
    undo(&mut window);
    assert_eq!(seats(&window), before);
    let from = window.get_by_label("Datum of Cover blank").rect().center();
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=8 {
        window.hover_at(from + Vec2::new(10.0, -4.0) * i as f32);
        window.step();
    }
    assert_eq!(seats(&window), before, "nothing is committed while the button is held");
    let view = window.state().view(app::theme::tokens(false));
    assert!(view.seat().at.x > before[2].at.x + 20.0, "the plan follows");
    window.drop_at(from + Vec2::new(80.0, -32.0));
    ready(&mut window);
    assert!(seats(&window)[2].at.x > before[2].at.x + 20.0);
    assert_eq!((&seats(&window)[..2], seats(&window)[2].turn_deg), (&before[..2], 0.0));
    undo(&mut window);
    assert_eq!(seats(&window), before);
}

#[test]
fn a_valve_is_opened_by_a_click_what_it_costs_is_said_and_the_fewest_zones_are_taken_with_one() {
    let mut window = panels();
    let before = window.state().project().clone();
    click(&mut window, "Zone D open for Cover blank");
    assert_eq!(seats(&window)[2].shut, ["B", "C"]);
    let (severity, sentence) = verdict(&window);
    assert_eq!(severity, Severity::Fail);
    assert!(
        sentence.starts_with("Cover blank: ") && sentence.contains("C8 lies beside the part"),
        "{sentence}"
    );
    click(&mut window, "Use these zones");
    let (severity, sentence) = verdict(&window);
    assert!(severity < Severity::Fail, "{sentence}");
    let project = window.state().project().clone();
    let zones = project.layouts[0].zones().len();
    assert_eq!(zones, 4);
    let view = window.state().view(app::theme::tokens(false));
    let family = view.family.unwrap().family;
    assert!(family.valves.now_serves);
    for seat in &family.seats {
        assert!(seat.cups.iter().all(|cup| cup.zone_on == (cup.cover == Some(Cover::On))), "{}", seat.name);
    }
    undo(&mut window);
    undo(&mut window);
    assert_eq!(*window.state().project(), before);
}

#[test]
fn the_other_hand_and_another_part_are_carried_and_taken_off() {
    let mut window = window();
    click(&mut window, "Hide guide");
    let before = window.state().project().clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(&mut window);
    click(&mut window, "Carry the other hand too");
    settle(&mut window);
    let project = window.state().project().clone();
    assert_eq!((project.parts.len(), project.layouts[0].seats.len()), (before.parts.len() + 1, 2));
    let new = project.parts.last().unwrap().name.clone();
    assert_eq!(shown(&window), new);
    click(&mut window, &format!("Take {new} off the tool"));
    assert!(window.state().project().layouts[0].seats.is_empty(), "one part is today's project");
    assert!(window.state().view(app::theme::tokens(false)).family.is_none());
    undo(&mut window);
    undo(&mut window);
    assert_eq!(*window.state().project(), before);
}
