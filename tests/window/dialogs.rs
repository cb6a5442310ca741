//! Forms and dialogs under the hands: Tab goes in reading order, Enter is the main action, Escape closes the innermost thing,
//! lists open above their dialog, buttons stay in sight.

use crate::hands::{Window, click, ready, run_command, sized, window};
use egui::{Key, Rect};
use egui_kittest::kittest::Queryable as _;

fn quiet() -> Window<'static> {
    let mut window = window();
    click(&mut window, "Hide guide");
    window
}

/// A list that drops down, by its name.
fn list_of<'w>(window: &'w Window<'_>, name: &'w str) -> egui_kittest::Node<'w> {
    window.get_by_role_and_label(egui::accesskit::Role::ComboBox, name)
}

/// Where the keyboard is.
fn focused(window: &Window<'_>) -> Option<(egui::Id, Rect)> {
    let id = window.ctx.memory(|memory| memory.focused())?;
    Some((id, window.ctx.read_response(id)?.rect))
}

/// Every stop of Tab in the dialog that is open, until it comes round.
fn stops(window: &mut Window<'_>) -> Vec<Rect> {
    let mut seen = Vec::new();
    let mut rects = Vec::new();
    for _ in 0..60 {
        window.key_press(Key::Tab);
        window.run_steps(3);
        let Some((id, rect)) = focused(window) else { continue };
        if seen.contains(&id) {
            break;
        }
        seen.push(id);
        rects.push(rect);
    }
    // Tab may have begun in the middle: the round starts at its uppermost stop.
    let first = (0..rects.len()).min_by(|a, b| rects[*a].top().total_cmp(&rects[*b].top())).unwrap_or(0);
    rects.rotate_left(first);
    rects
}

#[test]
fn tab_goes_through_dialogs_in_reading_order() {
    for (words, least) in [
        ("rename this layout", 3),
        ("units", 8),
        ("grid step", 2),
        ("repeat in rows", 5),
        ("repeat on a ring", 5),
        ("save as", 4),
        ("remark on the selection", 4),
        ("issue a revision", 4),
    ] {
        let mut window = quiet();
        click(&mut window, "Cup C1");
        run_command(&mut window, words);
        let stops = stops(&mut window);
        assert!(stops.len() >= least, "{words}: {stops:?}");
        for pair in stops.windows(2) {
            let same_line = pair[1].center().y < pair[0].bottom() && pair[1].center().y > pair[0].top();
            let goes_on = if same_line {
                pair[1].left() >= pair[0].left()
            } else {
                pair[1].center().y > pair[0].center().y
            };
            assert!(goes_on, "{words}: {pair:?} of {stops:?}");
        }
    }
}

#[test]
fn enter_on_a_button_is_that_button_and_else_the_main_action() {
    let name = |window: &Window<'_>| window.state().project().layouts[0].name.clone();
    let mut window = quiet();
    let before = name(&window);
    run_command(&mut window, "rename this layout");
    window.get_by_label("Name of the layout").type_text("Another name");
    window.run_steps(2);
    window.get_by_label("Cancel").focus();
    window.run_steps(2);
    window.key_press(Key::Enter);
    ready(&mut window);
    assert!(window.query_by_label("Name of the layout").is_none(), "the dialog is closed");
    assert_eq!(name(&window), before, "Enter on Cancel cancels");
    // Elsewhere it is the main action: in the field, and with nothing in hand.
    run_command(&mut window, "rename this layout");
    window.get_by_label("Name of the layout").type_text("Another name");
    window.run_steps(2);
    window.key_press(Key::Enter);
    ready(&mut window);
    assert!(name(&window).contains("Another name"));
    run_command(&mut window, "finding limits");
    window.key_press(Key::Enter);
    ready(&mut window);
    assert!(window.query_by_label("Finding limits").is_none(), "Close is the main action");
}

#[test]
fn escape_closes_an_open_list_first_and_then_the_dialog() {
    for (words, list) in [("layout sheet", "Paper"), ("remark on the selection", "About")] {
        let mut window = quiet();
        click(&mut window, "Cup C1");
        run_command(&mut window, words);
        list_of(&window, list).click();
        ready(&mut window);
        assert!(egui::Popup::is_any_open(&window.ctx), "{words}: {list} drops down");
        window.key_press(Key::Escape);
        ready(&mut window);
        assert!(!egui::Popup::is_any_open(&window.ctx), "{words}: the list is closed");
        assert!(
            window.query_by_label("Cancel").or(window.query_by_label("Close")).is_some(),
            "{words}: the dialog stays"
        );
        window.key_press(Key::Escape);
        ready(&mut window);
        assert!(
            window.query_by_label("Cancel").or(window.query_by_label("Close")).is_none(),
            "{words}: then it closes"
        );
    }
}

#[test]
fn a_list_opens_above_its_dialog_after_it_was_closed_and_opened_again() {
    let mut window = quiet();
    click(&mut window, "Cup C1");
    for round in 0..3 {
        run_command(&mut window, "remark on the selection");
        list_of(&window, "About").click();
        ready(&mut window);
        // A click goes to what is on top: if that is the dialog, nothing is picked and the list stays open.
        let option = window.get_by_label("the project").rect();
        crate::hands::at(&mut window, option.center());
        assert!(!egui::Popup::is_any_open(&window.ctx), "round {round}: the option was hit");
        window.get_by_label("Cancel").click();
        ready(&mut window);
        assert!(window.query_by_label("Cancel").is_none(), "round {round}");
    }
}

#[test]
fn every_dialog_has_its_buttons_in_sight_at_the_smallest_usual_size() {
    let size = [1280.0, 800.0];
    for (words, button) in [
        ("rename this layout", "Cancel"),
        ("units", "Close"),
        ("grid step", "Close"),
        ("repeat in rows", "Cancel"),
        ("repeat on a ring", "Cancel"),
        ("save as", "Cancel"),
        ("remark on the selection", "Cancel"),
        ("issue a revision", "Cancel"),
        ("approve or send back", "Cancel"),
        ("finding limits", "Close"),
        ("title block", "Close"),
        ("cup models", "Close"),
        ("sources", "Close"),
        ("measurements", "Close"),
        ("keys and mouse", "Close"),
        ("about and cautions", "Close"),
        ("message log", "Close"),
        ("holes from a table", "Cancel"),
        ("layout sheet", "Close"),
    ] {
        let mut window = sized(size, 1.0, egui::Theme::Light);
        click(&mut window, "Hide guide");
        click(&mut window, "Cup C1");
        run_command(&mut window, words);
        assert!(window.query_by_label(button).is_some(), "{words} has {button}");
        let rect = window.get_by_label(button).rect();
        assert!(rect.min.y > 0.0 && rect.max.y <= size[1] && rect.max.x <= size[0], "{words}: {rect:?}");
        // In sight is what a click reaches.
        crate::hands::at(&mut window, rect.center());
        assert!(window.query_by_label(button).is_none(), "{words}: {button} closes it");
    }
}

#[test]
fn a_field_says_its_unit_and_that_it_takes_sums_while_it_is_in_hand() {
    let mut window = quiet();
    click(&mut window, "Cup C1");
    assert!(window.query_by_label_contains("240+15").is_none());
    window.get_by_label("X, mm").focus();
    ready(&mut window);
    window.get_by_label("mm, or another unit, or a sum: 3/8\", 240+15");
    window.key_press(Key::Escape);
    ready(&mut window);
    assert!(window.query_by_label_contains("240+15").is_none(), "and at rest no more");
}

#[test]
fn a_long_list_is_searched_by_typing_and_enter_takes_the_first_that_matches() {
    let mut window = quiet();
    crate::hands::lay_out(&mut window);
    list_of(&window, "Source").scroll_to_me();
    ready(&mut window);
    list_of(&window, "Source").click();
    ready(&mut window);
    window.get_by_label("Search source").type_text("pump");
    window.run_steps(3);
    window.key_press(Key::Enter);
    ready(&mut window);
    assert!(!egui::Popup::is_any_open(&window.ctx), "the list is closed");
    let project = window.state().project();
    let fed = |circuit: &document::Circuit| {
        let source = project.source(&circuit.supply.as_ref()?.source)?;
        Some(source.name.to_lowercase())
    };
    let names: Vec<String> = project.circuits.iter().filter_map(|circuit| fed(circuit)).collect();
    assert!(names.iter().any(|name| name.contains("pump")), "{names:?}");
}
