//! Figures that no world has, in a file that opens all the same: the window draws what it can and stays alive.
use crate::hands::{ready, window_in};
use std::{fs, path::Path};

/// The text with the number that follows a word replaced.
fn spoilt(text: &str, after: &str, value: &str) -> String {
    let start = text.find(after).expect("the word stands there") + after.len();
    let start = start + text[start..].find(|c: char| c.is_ascii_digit() || c == '-').expect("a number");
    let end = start + text[start..].find(|c: char| !"0123456789.eE+-".contains(c)).expect("its end");
    format!("{}{value}{}", &text[..start], &text[end..])
}

/// A corner of a keep-out 1e30 mm away was dashed there without end.
#[test]
fn what_lies_absurdly_far_is_not_drawn_without_end() {
    let demos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-projects");
    let folder = tempfile::tempdir().unwrap();
    let words = [
        ("tray-blank-gripper.ron", "area: ["),
        ("tray-blank-gripper.ron", "outer: ["),
        ("tray-blank-gripper.ron", "(710.0,"),
        ("tray-blank-gripper.ron", "tag: \"C1\", model: \"foam-200x80\", at: ("),
        ("door-sheet.ron", "Rail(length_mm:"),
        ("door-sheet.ron", "pitch_mm:"),
        ("door-sheet.ron", "flange: ("),
        ("door-sheet.ron", "holes: ["),
        ("glass-pane.ron", "diameter:"),
        ("glass-pane.ron", "position_mm:"),
    ];
    let mut opened = 0;
    for (name, after) in words {
        let text = fs::read_to_string(demos.join(name)).unwrap();
        for value in ["1e30", "-1e308", "1e9", "1e-300"] {
            let path = folder.path().join("absurd.ron");
            fs::write(&path, spoilt(&text, after, value)).unwrap();
            let mut window = window_in(None, Some(path));
            ready(&mut window);
            opened += usize::from(window.state().project().parts.len() == 1);
        }
    }
    assert!(opened > 30, "{opened}");
}

/// Where numbers stand outside quotation marks, from and to.
fn numbers(text: &str) -> Vec<(usize, usize)> {
    let (mut found, mut at, mut quoted) = (Vec::new(), 0, false);
    for word in text.split_inclusive(|c: char| " (),:[]\n\"".contains(c)) {
        let bare = word.trim_end_matches(|c: char| " (),:[]\n\"".contains(c));
        if !quoted && bare.parse::<f64>().is_ok() {
            found.push((at, at + bare.len()));
        }
        quoted ^= word.ends_with('"');
        at += word.len();
    }
    found
}

/// A sample of all numbers of all demos; `CUPWRIGHT_SWEEP=all` takes every one.
#[test]
fn no_absurd_figure_of_a_demo_ends_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let all = std::env::var("CUPWRIGHT_SWEEP").is_ok_and(|wanted| wanted == "all");
    let (mut number, mut opened) = (0, 0);
    for (name, text) in app::DEMOS {
        for (from, to) in numbers(text) {
            number += 1;
            if !all && number % 97 != 0 {
                continue;
            }
            for value in ["1e30", "-1e308", "0", "-1"] {
                let mut spoilt = (*text).to_owned();
                spoilt.replace_range(from..to, value);
                if all {
                    eprintln!("{name} {from} {value}");
                }
                let path = folder.path().join("absurd.ron");
                fs::write(&path, spoilt).unwrap();
                let mut window = window_in(None, Some(path));
                ready(&mut window);
                opened += usize::from(window.state().project().parts.len() == 1);
            }
        }
    }
    assert!(number > 3000 && opened > 60, "{number} {opened}");
}
