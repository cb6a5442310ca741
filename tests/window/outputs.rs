//! The sheet in its preview, the drill drawing, and what a drawing's layers become, by accessible name.

use crate::hands::{Window, click, ready, run_command, settle, type_into, window, window_in};
use app::Output;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

fn demo(window: &mut Window<'_>) {
    click(window, "Hide guide");
    settle(window);
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
    run_command(&mut window, "layout as dxf");
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
        run_command(&mut window, command);
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

/// A copy of a demo in a folder of its own, open.
fn opened(folder: &std::path::Path, demo: &str) -> Window<'static> {
    let own = folder.join("own.ron");
    std::fs::copy(crate::demo_drawing(demo), &own).unwrap();
    let mut window = window_in(None, Some(own));
    settle(&mut window);
    window
}

fn asks(window: &Window<'_>) -> bool {
    window.query_by_label("Path of the file").is_some()
}

/// Writes every output that asks for a path as each of its kinds, and gives those that said what has to be there first.
fn write_all(
    window: &mut Window<'_>,
    folder: &std::path::Path,
    wanted: impl Fn(Output) -> bool,
) -> Vec<Output> {
    let mut refused = Vec::new();
    for output in Output::all().filter(|output| wanted(*output)) {
        for ending in output.endings() {
            run_command(window, output.label());
            if output.spelled() == "sheet -o" {
                click(window, "Write…");
            }
            if !asks(window) {
                refused.push(output);
                break;
            }
            let path = folder.join(format!("{}.{ending}", output.spelled().replace(' ', "")));
            type_into(window, "Path of the file", path.to_str().unwrap());
            let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{output:?} as {ending}: {e}"));
            let start: &[u8] = match *ending {
                "pdf" => b"%PDF",
                "svg" => b"<",
                "png" => b"\x89PNG",
                "csv" => b"\"",
                "dxf" => b"0",
                "html" => b"<!DOCTYPE",
                "json" => b"{\"format\":",
                other => panic!("{output:?}: .{other}"),
            };
            let text = String::from_utf8_lossy(&bytes);
            assert!(
                text.trim_start().as_bytes().starts_with(start) || bytes.starts_with(start),
                "{output:?}"
            );
            assert!(bytes.len() > 60, "{output:?} as {ending}: {text}");
        }
    }
    refused
}

#[test]
fn every_output_is_found_by_name_and_writes_a_file_of_its_kind() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path(), "door-sheet.ron");
    // Without a comparison and a state beside, theirs say what to do first, and nothing is asked.
    let refused = write_all(&mut window, folder.path(), |_| true);
    let refused: Vec<String> = refused.iter().map(|output| output.spelled()).collect();
    assert_eq!(refused, ["compare -o", "compare --json", "diff -o", "diff --json"]);
    click(&mut window, "copy to compare");
    settle(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::E);
    ready(&mut window);
    settle(&mut window);
    assert_eq!(write_all(&mut window, folder.path(), |output| output.spelled().starts_with("compare")), []);
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path(), "door-sheet-review.ron");
    window.key_press_modifiers(Modifiers::COMMAND, Key::R);
    ready(&mut window);
    settle(&mut window);
    assert_eq!(write_all(&mut window, folder.path(), |output| output.spelled().starts_with("diff")), []);
}

#[test]
fn every_output_stands_in_the_menu() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = opened(folder.path(), "tray-blank.ron");
    let mut left: Vec<&str> = Output::all().map(Output::label).collect();
    for group in app::command::Group::ALL {
        click(&mut window, "Menu");
        let button = window.get_all_by_role_and_label(egui::accesskit::Role::Button, group.label()).last();
        button.unwrap().click();
        ready(&mut window);
        left.retain(|label| window.query_by_label(label).is_none());
        window.key_press(Key::Escape);
        ready(&mut window);
        window.key_press(Key::Escape);
        ready(&mut window);
    }
    assert_eq!(left, Vec::<&str>::new(), "these are in no menu");
}

#[test]
fn replacing_asks_for_every_page_that_is_there_and_all_come_or_none() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let mut window = window();
    demo(&mut window);
    let write = |window: &mut Window<'_>| {
        window.key_press_modifiers(Modifiers::COMMAND, Key::P);
        ready(window);
        click(window, "Write…");
        type_into(window, "Path of the file", at("tray.svg").to_str().unwrap());
    };
    write(&mut window);
    let pages = || std::fs::read_dir(folder.path()).unwrap().count();
    let count = pages();
    assert!(count >= 3);
    // The first page is gone, the second is a note now, the third is a page.
    std::fs::remove_file(at("tray.svg")).unwrap();
    std::fs::write(at("tray-2.svg"), "Dear all,\n").unwrap();
    write(&mut window);
    window.get_by_label_contains("tray-2.svg is a file of another kind; an SVG picture would replace it.");
    window.get_by_label_contains("tray-3.svg");
    click(&mut window, "Cancel");
    assert!(!at("tray.svg").exists() && std::fs::read(at("tray-2.svg")).unwrap() == b"Dear all,\n");
    // What cannot be put in its place keeps all others out of theirs.
    let last = at(&format!("tray-{count}.svg"));
    std::fs::remove_file(&last).unwrap();
    std::fs::create_dir(&last).unwrap();
    write(&mut window);
    click(&mut window, "Replace");
    window.get_by_label_contains("this is a folder");
    assert!(!at("tray.svg").exists() && std::fs::read(at("tray-2.svg")).unwrap() == b"Dear all,\n");
    window.key_press(Key::Enter);
    ready(&mut window);
    std::fs::remove_dir(&last).unwrap();
    write(&mut window);
    click(&mut window, "Replace");
    assert_eq!(pages(), count);
    let svg = |name: &str| std::fs::read(at(name)).unwrap().starts_with(b"<");
    assert!(svg("tray.svg") && svg("tray-2.svg"));
}
