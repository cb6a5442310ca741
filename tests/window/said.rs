//! What stands in the window speaks in the units and with the decimal mark that a person picked: every text that is painted and
//! every one that is spoken, over panels and dialogs of several demos.

use super::{
    demo_drawing,
    hands::{Window, build, click, ready, settle, type_into, unfold},
};
use egui::{Key, Modifiers, Shape};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use std::collections::BTreeSet;

#[path = "../said/mod.rs"]
mod rules;

use rules::{metric, none, pointed};

/// Tall enough that no panel scrolls: what is out of sight is not painted.
const TALL: [f32; 2] = [2000.0, 5200.0];

/// Demos that between them have every kind of panel: a circuit with restrictors, a sheet that bends, several parts, cells, a
/// source at every cup, failures.
const DEMOS: [&str; 6] =
    ["moulded-tray", "door-sheet-thin", "side-panels", "tray-blank-gripper", "long-profile", "bracket-plate"];

/// Dialogs by what finds them in the palette.
const DIALOGS: [&str; 7] =
    ["cup models", "sources", "title block", "limits", "repeat in rows", "grid step", "keys"];

fn texts_of(shape: &Shape, into: &mut BTreeSet<String>) {
    match shape {
        Shape::Text(text) => {
            into.insert(text.galley.job.text.clone());
        }
        Shape::Vec(many) => many.iter().for_each(|one| texts_of(one, into)),
        _ => {}
    }
}

/// Everything painted in the last frame.
pub fn painted(window: &Window<'_>) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for clipped in &window.output().shapes {
        texts_of(&clipped.shape, &mut all);
    }
    all
}

/// Everything painted in the last frame, and what is spoken of it.
fn said(window: &Window<'_>) -> BTreeSet<String> {
    let mut all = painted(window);
    for node in window.root().children_recursive() {
        let node = node.accesskit_node();
        all.extend(node.label());
        all.extend(node.value());
    }
    all
}

/// The texts without what people and library have called things: those names stay as they are.
fn without_names(window: &Window<'_>, text: &str) -> String {
    let project = window.state().project();
    let names = project
        .models
        .iter()
        .chain(document::library())
        .map(|m| m.name.clone())
        .chain(project.sources.iter().chain(document::sources()).map(|s| s.name.clone()))
        .chain(project.parts.iter().map(|p| p.name.clone()))
        .chain(project.motions.iter().map(|m| m.name.clone()))
        .chain([project.name.clone()]);
    let mut text = text.to_owned();
    for name in names {
        text = text.replace(&name, "");
    }
    text
}

fn run(window: &mut Window<'_>, command: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(window);
    type_into(window, "Find a command", command);
}

fn pick_units(window: &mut Window<'_>, choice: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::U);
    ready(window);
    click(window, choice);
    click(window, "Close");
    settle(window);
}

pub fn in_inches(window: &mut Window<'_>) {
    pick_units(window, "Inch, pound");
}

fn with_commas(window: &mut Window<'_>) {
    pick_units(window, "Decimal comma");
}

/// Goes through a demo and gathers what breaks a rule.
fn broken(demo: &str, comma: bool, rule: fn(&str) -> Option<String>) -> Vec<String> {
    let path = demo_drawing(&format!("{demo}.ron"));
    let mut window = build(None, Some(path), TALL, 1.0, egui::Theme::Light);
    if window.query_by_label("Hide guide").is_some() {
        click(&mut window, "Hide guide");
    }
    if comma {
        with_commas(&mut window)
    } else {
        in_inches(&mut window)
    }
    unfold(&mut window);
    let mut found = Vec::new();
    let mut look = |window: &Window<'_>, at: &str| {
        for text in said(window) {
            let text = without_names(window, &text);
            if let Some(word) = rule(&text) {
                found.push(format!("{demo}, {at}: \"{word}\" in \"{text}\""));
            }
        }
    };
    look(&window, "panels");
    let first = window.state().project().layouts[0].cups[0].tag.clone();
    click(&mut window, &format!("Cup {first}"));
    look(&window, "a cup");
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    ready(&mut window);
    look(&window, "all cups");
    window.key_press(Key::Escape);
    window.key_press(Key::U);
    ready(&mut window);
    look(&window, "the circuit");
    window.key_press(Key::U);
    window.key_press(Key::B);
    ready(&mut window);
    look(&window, "the sag");
    window.key_press(Key::B);
    ready(&mut window);
    for dialog in DIALOGS {
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        ready(&mut window);
        run(&mut window, dialog);
        look(&window, dialog);
        window.key_press(Key::Escape);
        ready(&mut window);
        window.key_press(Key::Escape);
        ready(&mut window);
    }
    found
}

fn over(demos: &[&str], comma: bool, rule: fn(&str) -> Option<String>) {
    none(demos.iter().flat_map(|demo| broken(demo, comma, rule)).collect());
}

#[test]
fn inch_mode_leaves_no_metric_unit_in_the_window() {
    over(&DEMOS, false, metric);
}

#[test]
fn a_decimal_comma_leaves_no_decimal_point_in_the_window() {
    over(&DEMOS[..4], true, pointed);
}

/// Drawings that are told with every kind of figure: gaps, sizes, units in doubt, frames, countersinks.
const DRAWINGS: [&str; 7] = [
    "n01b-title-block-drawn-1to2.dxf",
    "n07b-gap-0.5.dxf",
    "n13a-inch-values-unstated.dxf",
    "n13c-inch-values-header-mm.dxf",
    "n21-countersink.dxf",
    "n31-single-border.dxf",
    "s05b-72dpi-px.svg",
];

#[test]
fn what_is_told_of_a_drawing_in_inches_has_no_metric_unit() {
    let folder = demo_drawing("../crates/exchange/tests/drawings/awkward");
    let mut window = build(None, None, [1600.0, 1400.0], 1.0, egui::Theme::Light);
    if window.query_by_label("Hide guide").is_some() {
        click(&mut window, "Hide guide");
    }
    in_inches(&mut window);
    let mut found = Vec::new();
    let mut told = 0;
    for name in DRAWINGS {
        let dropped = super::hands::Dropped(folder.join(name));
        window.input_mut().dropped_files.push(std::sync::Arc::new(dropped));
        settle(&mut window);
        window.get_by_label(&format!("Import {name}"));
        for text in said(&window) {
            let text = without_names(&window, &text).replace(name, "");
            told += 1;
            found.extend(metric(&text).map(|word| format!("{name}: \"{word}\" in \"{text}\"")));
        }
        window.key_press(Key::Escape);
        ready(&mut window);
    }
    assert!(told > 200, "{told}");
    none(found);
}

#[test]
fn a_number_that_makes_no_sense_is_refused_in_inches() {
    let mut window = build(None, None, [1600.0, 1000.0], 1.0, egui::Theme::Light);
    click(&mut window, "Hide guide");
    in_inches(&mut window);
    for field in ["Thickness, in", "Mass, lb", "Drawing, in", "Position, in"] {
        if window.query_by_label(field).is_none() {
            continue;
        }
        type_into(&mut window, field, "1e30");
        let refused: Vec<String> =
            said(&window).into_iter().filter(|text| text.contains("nothing was changed")).collect();
        assert!(!refused.is_empty(), "{field} takes 1e30");
        none(
            refused.iter().filter_map(|text| Some(format!("\"{}\" in \"{text}\"", metric(text)?))).collect(),
        );
        window.key_press(Key::Escape);
        ready(&mut window);
    }
}
