//! A part that bends, by accessible name: its sag on the plan, a section, its ringing, what is offered.

use crate::hands::{Window, click, cup_centre, ready, settle, window_in};
use analysis::{Age, Fix, Slow};
use egui::{Key, Vec2};
use egui_kittest::kittest::Queryable as _;

fn thin_door() -> Window<'static> {
    let mut window = window_in(None, Some(crate::demo_drawing("door-sheet-thin.ron")));
    ready(&mut window);
    settle(&mut window);
    window
}

#[test]
fn sag_section_and_ringing_are_shown_on_asking_and_put_away() {
    let mut window = thin_door();
    assert!(
        window.query_by_label("Shown of the bending").is_none(),
        "nothing is shown until it is asked for"
    );
    window.key_press(Key::B);
    ready(&mut window);
    window.get_by_label("Shown of the bending");
    let most = window.state().report().bending.clone().unwrap().unwrap().deepest().unwrap().sag_mm.abs();
    assert!(most > 1.0, "{most}");
    click(&mut window, "Section");
    window.get_by_label_contains("Section along ");
    click(&mut window, "Section");
    assert!(window.query_by_label_contains("Section along ").is_none());
    click(&mut window, "Hide");
    assert!(window.query_by_label("Shown of the bending").is_none());
    // Played from the menu's command: its lowest way of ringing.
    window.key_press_modifiers(egui::Modifiers::SHIFT, Key::B);
    window.run_steps(4);
    window.get_by_label("Stop").click();
    window.run_steps(4);
    window.get_by_label("Play");
    window.key_press(Key::B);
    ready(&mut window);
    assert!(window.query_by_label("Play").is_none());
}

/// What is said below the plan is there: on a small plan too the factors stand beside the cups.
#[test]
fn factors_stand_beside_a_few_cups_however_small_they_are_drawn() {
    let mut window = thin_door();
    window.set_size(Vec2::new(1280.0, 800.0));
    ready(&mut window);
    window.key_press(Key::B);
    ready(&mut window);
    let painted = crate::said::painted(&window);
    assert!(painted.iter().any(|text| text.starts_with("factor as it bends beside each cup")), "{painted:?}");
    let view = window.state().view(app::theme::tokens(false));
    assert_eq!(view.shown_loads().len(), 6);
    for cup in view.shown_loads() {
        let factor = units::fixed(cup.factor.value, 2, &view.units);
        assert!(painted.contains(&factor), "{factor}: {painted:?}");
    }
}

/// A drag does not wait for the sheet: its figures stay, marked as older, and come after.
#[test]
fn a_dragged_cup_is_followed_behind_the_frame() {
    let mut window = thin_door();
    let before = window.state().report().bending.clone().unwrap().unwrap();
    let from = cup_centre(&window, "C6");
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    window.hover_at(from + Vec2::new(12.0, 9.0));
    window.step();
    let report = window.state().report();
    assert!(report.bending.is_some(), "figures stay during a drag");
    if report.ages.of(Slow::Bending) == Age::Older {
        assert!(
            report.verdict.sentence.contains("as the part bent before the last change"),
            "{:?}",
            report.verdict
        );
    }
    window.drop_at(from + Vec2::new(12.0, 9.0));
    settle(&mut window);
    let report = window.state().report();
    assert_eq!(report.ages.of(Slow::Bending), Age::Current);
    assert_ne!(report.bending.clone().unwrap().unwrap().motions[0].cups, before.motions[0].cups);
    assert!(report.verdict.sentence.contains("as the part bends"), "{:?}", report.verdict);
}

/// What is offered gives what it says: the stroke that is sooner at rest is solved again once it is taken.
#[test]
fn the_offered_stroke_is_at_rest_when_it_says() {
    let mut window = thin_door();
    let offered = |window: &Window<'_>| {
        let report = window.state().report();
        let finding = report.findings.iter().find(|finding| finding.rule == "flex.ring").cloned();
        finding.and_then(|finding| finding.fix)
    };
    let Some(Fix::Stroke { motion, profile, time_s }) = offered(&window) else {
        panic!("a stroke is offered")
    };
    let rest = |window: &Window<'_>| {
        let ring = window.state().report().ringing.clone().unwrap().unwrap();
        let own = ring.motions.iter().find(|own| own.id == motion).unwrap().rings.clone();
        let analysis::Rings::Stroke(stroke) = own else { panic!("{own:?}") };
        stroke
    };
    let promised = rest(&window).better().copied().unwrap();
    let findings = &window.state().report().findings;
    let offers = findings.iter().filter(|finding| finding.fix.is_some() && finding.accepted.is_none());
    let place = offers.clone().position(|finding| finding.rule == "flex.ring").unwrap();
    window.get_all_by_label("Apply fix").nth(place).unwrap().scroll_to_me();
    ready(&mut window);
    window.get_all_by_label("Apply fix").nth(place).unwrap().click();
    ready(&mut window);
    settle(&mut window);
    let taken = window.state().project().motion(motion).unwrap().stroke.unwrap();
    // A time is kept to thirteen digits.
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-12 * b;
    assert!(taken.profile == profile && near(taken.time_s, time_s), "{taken:?} {time_s}");
    let now = rest(&window).stated;
    assert!(now.profile == promised.profile && near(now.time_s, promised.time_s));
    assert!((now.at_rest_s().unwrap() - promised.at_rest_s().unwrap()).abs() < 1e-9);
}

/// Nothing is cut off in a small window.
#[test]
fn the_strip_fits_a_small_window() {
    let mut window = crate::hands::build(
        None,
        Some(crate::demo_drawing("door-sheet-thin.ron")),
        [1280.0, 800.0],
        1.0,
        egui::Theme::Dark,
    );
    ready(&mut window);
    settle(&mut window);
    window.key_press(Key::B);
    ready(&mut window);
    let close = window.get_by_label("Hide").rect();
    let section = window.get_by_label("Section").rect();
    assert!(section.right() < close.left(), "{section:?} {close:?}");
}
