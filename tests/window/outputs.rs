//! The sheet in its preview, the drill drawing, and what a drawing's layers become, by accessible name.

use crate::hands::{Window, click, ready, settle, type_into, window};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn demo(window: &mut Window<'_>) {
    click(window, "Put away");
    settle(window);
}

fn run_by_name(window: &mut Window<'_>, command: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(window);
    window.get_by_label("Find a command").type_text(command);
    ready(window);
    window.key_press(Key::Enter);
    ready(window);
}

#[test]
fn the_sheet_is_looked_through_page_by_page_before_it_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window();
    demo(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    ready(&mut window);
    window.get_by_label_contains("Page 1: ");
    click(&mut window, "next page");
    window.get_by_label_contains("Page 2: ");
    // A second plan, mirrored, makes one page more.
    let pages = |window: &Window<'_>| {
        let text = window.get_all_by_role(egui::accesskit::Role::Label).find_map(|node| {
            let value = node.accesskit_node().value().unwrap_or_default();
            value.strip_prefix("page 2 of ").map(str::to_owned)
        });
        text.and_then(|n| n.parse::<usize>().ok()).unwrap()
    };
    let before = pages(&window);
    click(&mut window, "mirrored plan too");
    assert_eq!(pages(&window), before + 1);
    click(&mut window, "Write…");
    let sheet = folder.path().join("tray.pdf");
    type_into(&mut window, "Path of the file", sheet.to_str().unwrap());
    assert!(std::fs::read(&sheet).unwrap().starts_with(b"%PDF"));
}

#[test]
fn the_layout_is_written_as_a_drill_drawing_that_reads_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window();
    demo(&mut window);
    run_by_name(&mut window, "layout as dxf");
    let drawing = folder.path().join("drill.dxf");
    type_into(&mut window, "Path of the file", drawing.to_str().unwrap());
    let back = exchange::read_drawing(&drawing, &exchange::ImportOptions::default()).unwrap();
    let project = window.state().project().clone();
    let (ours, theirs) = (&project.parts[0].outline, &back.parts[0].outline);
    assert_eq!(ours.holes.len(), theirs.holes.len());
    let (a, b) = (geometry::section(ours).unwrap().area, geometry::section(theirs).unwrap().area);
    assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
}

#[test]
fn a_comparison_goes_with_the_sheet_once_it_is_on_screen() {
    let mut window = window();
    demo(&mut window);
    click(&mut window, "copy to compare");
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    ready(&mut window);
    settle(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    ready(&mut window);
    click(&mut window, "comparison");
    let mut found = false;
    for _ in 0..12 {
        found |= window.query_all_by_label_contains("Page ").any(|node| {
            let name = node.accesskit_node().label().unwrap_or_default().to_lowercase();
            name.contains("compar")
        });
        if found {
            break;
        }
        click(&mut window, "next page");
    }
    assert!(found, "no page of the preview is the comparison");
}

#[test]
fn charts_and_tables_are_written_where_one_says() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window();
    demo(&mut window);
    for (command, name, start) in [
        ("envelope as picture", "envelope.svg", "<svg"),
        ("loads of the motion", "loads.svg", "<svg"),
        ("parts list", "parts.csv", "\"quantity\""),
        ("hose schedule", "hoses.csv", "\"circuit\""),
        ("findings as csv", "findings.csv", "\"severity\""),
    ] {
        run_by_name(&mut window, command);
        let path = folder.path().join(name);
        type_into(&mut window, "Path of the file", path.to_str().unwrap());
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains(start), "{name}: {}", &text[..80.min(text.len())]);
    }
}

#[test]
fn plots_of_a_circuit_are_written_at_the_resolution_chosen() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window();
    demo(&mut window);
    click(&mut window, "source and hoses…");
    settle(&mut window);
    let width = |window: &mut Window<'_>, dpi: &str| {
        window.key_press_modifiers(Modifiers::COMMAND, Key::P);
        ready(window);
        click(window, "Plots as pictures…");
        click(window, "Level at the cups as picture…");
        click(window, "Resolution of a .png");
        click(window, dpi);
        let path = folder.path().join(format!("{dpi}.png"));
        type_into(window, "Path of the file", path.to_str().unwrap());
        // Width in the header of a PNG: bytes 16 to 19.
        let bytes = std::fs::read(path).unwrap();
        f64::from(u32::from_be_bytes([bytes[16], bytes[17], bytes[18], bytes[19]]))
    };
    let (small, large) = (width(&mut window, "72 dpi"), width(&mut window, "300 dpi"));
    assert!((large / small - 300.0 / 72.0).abs() < 0.02, "{small} {large}");
}

#[test]
fn the_reviewers_checklist_goes_with_the_sheet_on_request() {
    let mut window = window();
    demo(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    ready(&mut window);
    let last = |window: &mut Window<'_>| {
        while !window.get_by_label("next page").accesskit_node().is_disabled() {
            click(window, "next page");
        }
        let page = window.get_by_label_contains("Page ").accesskit_node();
        page.label().unwrap_or_default()
    };
    let before = last(&mut window);
    click(&mut window, "reviewer's checklist");
    let after = last(&mut window);
    assert_ne!(before, after);
    let number = |label: &str| label.split([' ', ':']).nth(1).and_then(|n| n.parse::<usize>().ok()).unwrap();
    assert!(number(&after) > number(&before), "{before} {after}");
}
