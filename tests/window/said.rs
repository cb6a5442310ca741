//! What stands in the window speaks in the units and with the decimal mark that a person picked: every text that is painted and
//! every one that is spoken, over panels and dialogs of several demos.

use super::{
    demo_drawing,
    hands::{Window, build, click, ready, settle, type_into, unfold},
};
use egui::{Key, Modifiers, Shape};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use std::collections::BTreeSet;

/// Tall enough that no panel scrolls: what is out of sight is not painted.
const TALL: [f32; 2] = [2000.0, 5200.0];

/// Demos that between them have every kind of panel: a circuit with restrictors, a sheet that bends, several parts, cells, a
/// source at every cup, failures.
const DEMOS: [&str; 6] =
    ["moulded-tray", "door-sheet-thin", "side-panels", "tray-blank-gripper", "long-profile", "bracket-plate"];

/// Dialogs by what finds them in the palette.
const DIALOGS: [&str; 7] =
    ["cup models", "sources", "title block", "limits", "repeat in rows", "grid step", "keys"];

/// Units of nobody who reads inches, pounds and standard cubic feet.
const METRIC: [&str; 34] = [
    "mm",
    "cm",
    "mm²",
    "mm/m",
    "m",
    "kg",
    "kg/m",
    "kg/m²",
    "kg/m³",
    "kg·m²",
    "°C",
    "kPa",
    "mbar",
    "bar",
    "N",
    "N·m",
    "N·m/rad",
    "N/mm",
    "N/mm²",
    "L/min",
    "L",
    "NL/min",
    "dm³/(s·bar)",
    "dm³",
    "ml",
    "µm",
    "µm/(Pa·s)",
    "m/s²",
    "m³",
    "kWh/m³",
    "g/m³",
    "MPa",
    "Pa",
    "litres",
];

fn texts_of(shape: &Shape, into: &mut BTreeSet<String>) {
    match shape {
        Shape::Text(text) => {
            into.insert(text.galley.job.text.clone());
        }
        Shape::Vec(many) => many.iter().for_each(|one| texts_of(one, into)),
        _ => {}
    }
}

/// Everything painted in the last frame, and what is spoken of it.
fn said(window: &Window<'_>) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for clipped in &window.output().shapes {
        texts_of(&clipped.shape, &mut all);
    }
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

fn words(text: &str) -> impl Iterator<Item = &str> {
    let plain = |c: char| !matches!(c, '(' | ')' | ',' | ';' | ':' | '.' | '!' | '?');
    text.split_whitespace().map(move |word| {
        // A unit keeps its own brackets.
        let inner = word.trim_matches(|c: char| !plain(c) && !matches!(c, '(' | ')'));
        if inner.contains('/') { inner } else { inner.trim_matches(|c: char| !plain(c)) }
    })
}

fn metric(text: &str) -> Option<String> {
    // A text of one letter is a key that is pressed.
    if text.trim().chars().count() == 1 {
        return None;
    }
    words(text).find(|word| METRIC.contains(word)).map(str::to_owned)
}

/// A number with a decimal point: digits on both sides of it, and nothing of a name or a version around.
fn pointed(text: &str) -> Option<String> {
    let figure = |word: &&str| {
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        let word = word
            .trim_start_matches(['\u{2212}', '-', '+', '±', '<', '≈', '×', 'Ø'])
            .trim_end_matches(['%', '°', '×', '"']);
        word.split_once('.').is_some_and(|(whole, part)| digits(whole) && digits(part))
    };
    words(text).find(figure).map(str::to_owned)
}

fn run(window: &mut Window<'_>, command: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(window);
    type_into(window, "Find a command", command);
}

/// Goes through a demo and gathers what breaks a rule.
fn broken(demo: &str, comma: bool, rule: fn(&str) -> Option<String>) -> Vec<String> {
    let path = demo_drawing(&format!("{demo}.ron"));
    let mut window = build(None, Some(path), TALL, 1.0, egui::Theme::Light);
    if window.query_by_label("Hide guide").is_some() {
        click(&mut window, "Hide guide");
    }
    window.key_press_modifiers(Modifiers::COMMAND, Key::U);
    ready(&mut window);
    if comma {
        click(&mut window, "Decimal comma");
    } else {
        click(&mut window, "Inch, pound");
    }
    click(&mut window, "Close");
    settle(&mut window);
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
    found.sort();
    found.dedup();
    found
}

fn over(demos: &[&str], comma: bool, rule: fn(&str) -> Option<String>) {
    let found: Vec<String> = demos.iter().flat_map(|demo| broken(demo, comma, rule)).collect();
    assert!(found.is_empty(), "{}\n{}", found.len(), found.join("\n"));
}

#[test]
fn rules_of_what_is_said_find_what_they_look_for() {
    for text in ["X, mm", "12.5 mm", "at 20 °C", "0.3 dm³/(s·bar),", "(1.0, 2.0) mm", "kPa", "5 N.", "a N b"]
    {
        assert!(metric(text).is_some(), "{text}");
    }
    for text in ["12.5 in", "0.0425 scfm/psi", "lbf·in", "milk", "No part"] {
        assert_eq!(metric(text), None, "{text}");
    }
    for text in ["12.5 mm", "\u{2212}0.3", "(1.0, 2.0)", "5.0 %", "90.0°"] {
        assert!(pointed(text).is_some(), "{text}");
    }
    for text in ["12,5 mm", "v1.2.3", "tray.ron", "Fig.3", "C1."] {
        assert_eq!(pointed(text), None, "{text}");
    }
}

#[test]
fn inch_mode_leaves_no_metric_unit_in_the_window() {
    over(&DEMOS, false, metric);
}

#[test]
fn a_decimal_comma_leaves_no_decimal_point_in_the_window() {
    over(&DEMOS[..4], true, pointed);
}
