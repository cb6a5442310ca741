//! What is typed into any field of any form is what is stored, and a field that was only entered changes nothing. The forms
//! are opened by their names, their fields are found by what they are, so that a new field is tried without being listed here.

mod forms;

use crate::hands::{Window, at, click, cup_centre, ready, run_command, type_into, window_in};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use forms::{Form, Units, enter, field, forms, key, opened, saved, tab, value};
use std::sync::Arc;

/// What a figure is typed as: nothing about it is round.
const TIMES: f64 = 0.987_654_321_012_3;
/// Typed where there was nothing.
const SMALL: f64 = 0.012_345_678_901_23;

/// Every field of a form is entered and left: neither the project nor what any field shows is otherwise.
fn only_entered(forms: &[Form], units: Units) {
    let folder = tempfile::tempdir().unwrap();
    let saved = saved(folder.path());
    let mut odd = Vec::new();
    for form in forms {
        let (mut window, here) = opened(form, &saved, units);
        let before = window.state().project().clone();
        // A field in hand shows every digit; it is left out.
        let shown = |w: &Window<'_>| -> Vec<Option<String>> {
            let at_rest = here.iter().filter_map(|(id, _)| field(w, id)).filter(|n| !n.is_focused());
            at_rest.map(|n| n.value()).collect()
        };
        let rest = shown(&window);
        for (id, name) in &here {
            if field(&window, id).is_none() {
                continue;
            }
            enter(&mut window, id);
            tab(&mut window);
            assert!(
                Arc::ptr_eq(&before, window.state().project()),
                "{}: {name} was only entered: {:?}",
                form.name,
                document::difference(&before, window.state().project())
            );
        }
        if let Some((id, _)) = here.first()
            && let Some(first) = field(&window, id)
        {
            first.focus();
            ready(&mut window);
            assert_eq!(rest[1..], shown(&window)[..], "{}", form.name);
        }
        // A field that is added is tried without being counted; one that goes missing is noticed.
        if here.len() < form.fields {
            odd.push((form.name, here.len()));
        }
    }
    assert!(odd.is_empty(), "fewer fields than pinned: {odd:?}");
}

/// The figure that a text of a field stands for, in the field's own unit.
fn number(text: &str) -> Option<f64> {
    text.replace(',', ".").replace('\u{2212}', "-").parse().ok()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * b.abs()
}

/// Whether a figure stands among the new values, in base units or in the size the file keeps it in (g, µm).
fn stored(changes: &[document::Change], figure: f64) -> bool {
    fn any(value: &serde_json::Value, figure: f64) -> bool {
        match value {
            serde_json::Value::Number(n) => {
                let v = n.as_f64().unwrap();
                [1.0, 1e3, 1e-3].iter().any(|size| near(v, figure * size))
            }
            serde_json::Value::Array(all) => all.iter().any(|v| any(v, figure)),
            serde_json::Value::Object(all) => all.values().any(|v| any(v, figure)),
            _ => false,
        }
    }
    changes.iter().any(|change| change.to.as_ref().is_some_and(|to| any(to, figure)))
}

/// Whether a corner of the part has this coordinate, mm.
fn is_a_corner(project: &document::Project, mm: f64) -> bool {
    let vertices = &project.parts[0].outline.outer.vertices;
    vertices.iter().any(|v| near(v.at.x, mm) || near(v.at.y, mm))
}

/// Into every figure of a form another one is typed, with every digit it has: what stands there afterwards, and in the project
/// where the form changes it, is that figure. One field in `apart` is tried; gives how many were.
fn typed(forms: &[Form], units: Units, apart: usize) -> usize {
    let folder = tempfile::tempdir().unwrap();
    let saved = saved(folder.path());
    let (mut tried, mut met) = (0, 0);
    for form in forms {
        let (mut window, here) = opened(form, &saved, units);
        for (id, name) in &here {
            met += 1;
            if met % apart != 0 {
                continue;
            }
            // A radius makes two corners of one and begins at nothing again.
            if field(&window, id).is_none() || name.starts_with("Round by") {
                continue;
            }
            let before = window.state().project().clone();
            enter(&mut window, id);
            window.step();
            let Some(now) = value(&window, id).as_deref().and_then(number) else {
                tab(&mut window);
                continue;
            };
            let mut figure = if now == 0.0 { SMALL } else { now * TIMES };
            let text = |figure: f64| match units {
                Units::InchComma => format!("{figure}").replace('.', ","),
                _ => format!("{figure}"),
            };
            replace(&mut window, id, &text(figure));
            if window.query_by_label_contains("enter a whole number").is_some() {
                figure = now + 1.0;
                enter(&mut window, id);
                replace(&mut window, id, &text(figure));
            }
            let after = window.state().project().clone();
            assert!(field(&window, id).is_some(), "{}: {name} went away", form.name);
            enter(&mut window, id);
            window.step();
            let back = value(&window, id).unwrap();
            assert!(
                number(&back).is_some_and(|v| near(v, figure)),
                "{}: {name}: {figure} was typed over {now}, {back} stands there",
                form.name
            );
            key(&mut window, Modifiers::NONE, Key::Escape);
            if !Arc::ptr_eq(&before, &after) {
                let scales = units::Quantity::ALL.map(|q| units::unit_of(q, &units.choice()));
                let unit = name.rsplit(", ").next().unwrap_or_default();
                let scale = scales.iter().find(|(_, u)| *u == unit && !u.is_empty()).map_or(1.0, |(s, _)| *s);
                let changes = document::difference(&before, &after);
                assert!(
                    stored(&changes, figure * scale)
                        // A difference tells an outline by its mark alone.
                        || name.contains("Corner") && is_a_corner(&after, figure * scale)
                        // A distance from another cup is kept as the place that it leads to; that it reads back is seen above.
                        || name.contains(" from C") && !changes.is_empty(),
                    "{}: {name}: {figure} was typed, stored is {changes:?}",
                    form.name
                );
                key(&mut window, Modifiers::COMMAND, Key::Z);
            }
            tried += 1;
        }
    }
    tried
}

fn replace(window: &mut Window<'_>, id: &str, text: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.step();
    field(window, id).unwrap().type_text(text);
    window.step();
    tab(window);
    window.run_steps(2);
}

#[test]
fn a_field_that_is_only_entered_changes_nothing_in_metric() {
    only_entered(&forms(), Units::Metric);
}

#[test]
fn a_field_that_is_only_entered_changes_nothing_in_inches() {
    only_entered(&forms(), Units::InchComma);
}

/// One field of many; all of them, in some minutes, with `CUPWRIGHT_TYPED=all`.
#[test]
fn what_is_typed_is_what_is_stored_in_every_form() {
    let (apart, least) = if std::env::var_os("CUPWRIGHT_TYPED").is_some() { (1, 250) } else { (11, 20) };
    let tried = typed(&forms(), Units::Inch, apart);
    assert!(tried >= least, "{tried}");
}

/// The cases that were first seen to go wrong.
#[test]
fn fractions_small_figures_and_places_keep_their_digits() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    let thickness = |w: &Window<'_>| w.state().project().parts[0].thickness_mm;
    for (text, mm, rests) in [
        ("3/8\"", 9.525, "9.525"),
        ("0.75 mm", 0.75, "0.75"),
        ("0.04 mm", 0.04, "0.04"),
        ("2,5", 2.5, "2.5"),
        ("1+1/4", 1.25, "1.25"),
        ("320", 320.0, "320.0"),
    ] {
        for leave in [Key::Tab, Key::Enter] {
            type_into(&mut window, "Thickness, mm", "7");
            window.get_by_label("Thickness, mm").focus();
            ready(&mut window);
            window.key_press_modifiers(Modifiers::COMMAND, Key::A);
            window.step();
            window.get_by_label("Thickness, mm").type_text(text);
            ready(&mut window);
            let draft = window.get_by_label("Thickness, mm").value();
            assert_eq!(draft.as_deref(), Some(text), "what was typed stands there");
            window.key_press(leave);
            ready(&mut window);
            assert_eq!(thickness(&window), mm, "{text} {leave:?}");
            assert_eq!(window.get_by_label("Thickness, mm").value().as_deref(), Some(rests));
        }
    }
    click(&mut window, "Cup C1");
    type_into(&mut window, "X, mm", "5 1/8\"");
    let x = |w: &Window<'_>| w.state().project().layouts[0].cups[0].at.x;
    assert_eq!(x(&window), 130.175);
    window.get_by_label("X, mm").focus();
    ready(&mut window);
    window.key_press(Key::Tab);
    window.key_press(Key::Tab);
    ready(&mut window);
    assert_eq!(x(&window), 130.175);
}

#[test]
fn escape_puts_the_figure_back_and_keeps_the_selection() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    click(&mut window, "Cup C1");
    let before = window.state().project().clone();
    window.get_by_label("X, mm").focus();
    ready(&mut window);
    window.get_by_label("X, mm").type_text("99");
    ready(&mut window);
    window.key_press(Key::Escape);
    ready(&mut window);
    assert!(Arc::ptr_eq(&before, window.state().project()));
    assert_eq!(window.state().selection().len(), 1, "Escape was for the field");
    // In a dialog it leaves the field, and closes the dialog only when it is pressed again.
    run_command(&mut window, "finding limits");
    window.get_by_label("Factor warning limit").focus();
    ready(&mut window);
    window.get_by_label("Factor warning limit").type_text("9");
    ready(&mut window);
    window.key_press(Key::Escape);
    ready(&mut window);
    window.get_by_label("Finding limits");
    window.key_press(Key::Escape);
    ready(&mut window);
    assert!(window.query_by_label("Finding limits").is_none());
    assert!(Arc::ptr_eq(&before, window.state().project()));
}

#[test]
fn what_is_being_typed_is_entered_before_it_is_saved_undone_or_left() {
    let folder = tempfile::tempdir().unwrap();
    let path = saved(folder.path());
    let mut window = window_in(None, Some(path.clone()));
    let typing = |w: &mut Window<'_>, text: &str| {
        w.get_by_label("Thickness, mm").focus();
        ready(w);
        w.key_press_modifiers(Modifiers::COMMAND, Key::A);
        w.step();
        w.get_by_label("Thickness, mm").type_text(text);
        ready(w);
    };
    typing(&mut window, "3.25");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    assert_eq!(document::open(&path).unwrap().0.parts[0].thickness_mm, 3.25);
    // A click on a cup ends it; the figure goes where it was typed, not to what is selected next.
    click(&mut window, "Cup C1");
    let places =
        |w: &Window<'_>| w.state().project().layouts[0].cups.iter().map(|c| c.at).collect::<Vec<_>>();
    let before = places(&window);
    window.get_by_label("X, mm").focus();
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.step();
    window.get_by_label("X, mm").type_text("101.25");
    ready(&mut window);
    let other = cup_centre(&window, "C2");
    at(&mut window, other);
    let after = places(&window);
    assert_eq!(after[0].x, 101.25);
    assert_eq!(after[1..], before[1..]);
    // In a field that was only entered, undo is the project's, and the field shows what came of it.
    window.get_by_label("Thickness, mm").focus();
    ready(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(places(&window), before);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    ready(&mut window);
    assert_eq!(window.state().project().parts[0].thickness_mm, 9.525);
    assert_eq!(window.get_by_label("Thickness, mm").value().as_deref(), Some("9.525"));
    window.key_press(Key::Tab);
    ready(&mut window);
    assert_eq!(window.state().project().parts[0].thickness_mm, 9.525);
}

#[test]
fn what_cannot_be_read_or_is_out_of_bounds_is_said_and_changes_nothing() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    let before = window.state().project().clone();
    for (text, says) in [("5 kg", "Thickness is unchanged"), ("", "nothing to read")] {
        window.get_by_label("Thickness, mm").focus();
        ready(&mut window);
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        window.key_press(Key::Delete);
        window.step();
        window.get_by_label("Thickness, mm").type_text(text);
        ready(&mut window);
        window.key_press(Key::Tab);
        ready(&mut window);
        window.get_by_label_contains(says);
        assert!(Arc::ptr_eq(&before, window.state().project()));
    }
    // A count is neither rounded nor cut off.
    click(&mut window, "Cup C1");
    run_command(&mut window, "repeat in rows");
    for text in ["2.5", "501", "0"] {
        type_into(&mut window, "Columns", text);
        window.get_by_label_contains("enter a whole number from 1 to 500");
        window.key_press(Key::Escape);
        ready(&mut window);
        assert_eq!(window.get_by_label("Columns").value().as_deref(), Some("2"));
    }
}

#[test]
fn a_material_is_found_by_what_people_call_it() {
    let mut window = window_in(None, None);
    click(&mut window, "Hide guide");
    for (words, name) in [("mdf", "Fibreboard, medium density"), ("aluminum", "Aluminium sheet")] {
        click(&mut window, "Material");
        window.get_by_label("Search material").type_text(words);
        ready(&mut window);
        window.get_by_label(name);
        window.key_press(Key::Enter);
        ready(&mut window);
        assert_eq!(window.state().project().parts[0].material, name);
        assert!(window.query_by_label("Search material").is_none(), "the list is closed");
    }
}
