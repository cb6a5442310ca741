//! Files that take long to read: the window goes on, says so, and can be left at once.

use super::hands::{Dropped, Window, click, ready, run_command, window, window_in};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

/// The demo in a file that takes a while: remarks make it nearly as large as a project may be.
fn large(folder: &Path, name: &str) -> PathBuf {
    let path = folder.join(name);
    let line =
        "// a remark that only takes room in the file, as people and their programs like to write them\n";
    let text = document::to_text(window().state().project());
    std::fs::write(&path, line.repeat(60_000_000 / line.len()) + &text).unwrap();
    path
}

fn waits(window: &Window<'_>) -> bool {
    window.query_by_label_contains("You can cancel; nothing is changed").is_some()
}

/// Types a path and presses Enter without waiting for what comes of it.
fn name(window: &mut Window<'_>, path: &Path) {
    window.get_by_label("Path of the file").focus();
    window.run_steps(3);
    window.get_by_label("Path of the file").type_text(path.to_str().unwrap());
    window.step();
    window.key_press(Key::Enter);
    window.run_steps(3);
}

#[test]
fn a_large_file_is_under_review_once_it_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = large(folder.path(), "tray.ron");
    let earlier = large(folder.path(), "earlier.ron");
    let mut window = window();
    window.state_mut().review_file(&path, Some(&earlier));
    window.run_steps(2);
    assert!(waits(&window), "read on the window's thread");
    ready(&mut window);
    let review = window.state().view(app::theme::tokens(false)).review.expect("under review");
    assert!(review.sealed);
    assert_eq!(review.beside.expect("beside the earlier file").name, "earlier.ron");
}

#[test]
fn a_file_to_set_beside_is_left_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = large(folder.path(), "earlier.ron");
    let mut window = window();
    click(&mut window, "Hide guide");
    run_command(&mut window, "compare with another file");
    name(&mut window, &path);
    assert!(waits(&window), "read on the window's thread");
    click_now(&mut window, "Cancel");
    assert!(!waits(&window));
    assert!(window.state().view(app::theme::tokens(false)).review.is_none_or(|r| r.beside.is_none()));
    run_command(&mut window, "compare with another file");
    name(&mut window, &path);
    ready(&mut window);
    let review = window.state().view(app::theme::tokens(false)).review.expect("under review");
    assert_eq!(review.beside.expect("beside").name, "earlier.ron");
}

fn click_now(window: &mut Window<'_>, label: &str) {
    window.get_by_label(label).click();
    // A dialog hears of its buttons in the frame after.
    window.run_steps(5);
}

#[test]
fn what_someone_else_saved_is_read_beside_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("tray.ron");
    document::save(window().state().project(), &path, None).unwrap();
    let mut window = window_in(None, Some(path.clone()));
    click(&mut window, "Cup C1");
    window.key_press(Key::ArrowRight);
    ready(&mut window);
    let mine = window.state().project().clone();
    large(folder.path(), "tray.ron");
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    click_now(&mut window, "Merge…");
    assert!(waits(&window), "read on the window's thread");
    click_now(&mut window, "Cancel");
    assert_eq!(window.state().project(), &mine);
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(&mut window);
    click(&mut window, "Merge…");
    // Theirs changed nothing: what was done here stays, and there is nothing to ask.
    assert_eq!(window.state().project().layouts, mine.layouts);
}

#[test]
fn a_long_table_is_read_beside_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let models =
        "name;shape;diameter mm;bore mm;height mm;travel mm;axial N/mm;lateral N/mm;hardness Shore A\n";
    let sources = "name;kind;power [kW];level [mbar];flow [L/min]\n";
    let table = |name: &str, head: &str, row: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, head.to_owned() + &row.repeat(20_000_000 / row.len())).unwrap();
        path
    };
    let tables = [
        ("cup models", table("models.csv", models, "Demo 40;round;forty;4;20;3;20;11;50\n")),
        ("sources", table("sources.csv", sources, "Demo pump;pump;0,37;one;170\n")),
    ];
    let mut window = window();
    click(&mut window, "Hide guide");
    for (list, path) in tables {
        run_command(&mut window, list);
        click(&mut window, "From a table…");
        name(&mut window, &path);
        assert!(waits(&window), "{list}: read on the window's thread");
        click_now(&mut window, "Cancel");
        assert!(!waits(&window));
    }
}

/// A plate with keep-outs on a layer of a very long name, which each of them bears: more than a file may hold.
#[test]
fn a_drawing_too_large_to_save_is_told_before_it_is_taken() {
    let folder = tempfile::tempdir().unwrap();
    let layer = "KEEPOUT".to_owned() + &"-KEEPOUT".repeat(850);
    let drawing = |name: &str, rows: usize| {
        let file = folder.path().join(name);
        let text = format!(
            "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n70\n0\n10\n0\n20\n0\n0\nCIRCLE\n8\n{layer}\n10\n0\n20\n0\n\
             40\n1\n0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nPART\n70\n1\n10\n-9\n20\n-9\n10\n\
             300\n20\n-9\n10\n300\n20\n300\n10\n-9\n20\n300\n0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n70\n100\n71\n{rows}\n\
             44\n3\n45\n3\n0\nENDSEC\n0\nEOF\n"
        );
        std::fs::write(&file, text).unwrap();
        file
    };
    for (file, too_large) in [(drawing("some.dxf", 2), false), (drawing("many.dxf", 100), true)] {
        let mut window = window();
        window.input_mut().dropped_files.push(Arc::new(Dropped(file)));
        ready(&mut window);
        window.get_by_label_contains("keep-outs, dashed");
        let says = |window: &Window<'_>| window.query_by_label_contains("could not be saved").is_some();
        let start = std::time::Instant::now();
        while too_large && !says(&window) {
            assert!(start.elapsed().as_secs() < 60, "nothing is said");
            std::thread::sleep(std::time::Duration::from_millis(20));
            window.run_steps(2);
        }
        assert_eq!(says(&window), too_large);
    }
}
