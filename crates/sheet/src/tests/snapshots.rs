//! Every page of every demo as text, and as a coarse picture, against what was committed.
//!
//! `CUPWRIGHT_WRITE_SNAPSHOT=1 cargo test -p sheet snapshots` writes them anew; look at the pages and at the difference
//! before they are committed.

use super::demos::{Demo, demos};
use crate::{Item, Page, SheetOptions, to_picture};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots")
}
fn renewed() -> bool {
    std::env::var_os("CUPWRIGHT_WRITE_SNAPSHOT").is_some()
}

/// Every set of every demo with the name of its file. The mark of the content is not compared, since it
/// changes with every addition to the file format.
fn sets() -> Vec<(String, Vec<Page>)> {
    let options = SheetOptions::default();
    demos().iter().flat_map(|demo| demo.sets(&options).into_iter().map(|set| unmarked(demo, set))).collect()
}

fn unmarked(demo: &Demo, (name, mut pages): (String, Vec<Page>)) -> (String, Vec<Page>) {
    fn replace(items: &mut [Item], mark: &str) {
        for item in items {
            match item {
                Item::Text(text) => text.text = text.text.replace(mark, "0000-0000"),
                Item::Group { items, .. } | Item::Tagged { items, .. } => replace(items, mark),
                _ => {}
            }
        }
    }
    let mark = demo.project.fingerprint();
    pages.iter_mut().for_each(|page| replace(&mut page.items, &mark));
    (name, pages)
}

fn committed(name: &str) -> String {
    let path = folder().join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

#[test]
fn every_page_reads_as_committed() {
    for (name, pages) in sets() {
        let mut now = String::new();
        for page in &pages {
            let _ = writeln!(now, "== {}", page.name);
            now.push_str(&page.describe());
        }
        let file = format!("{name}.txt");
        if renewed() {
            std::fs::write(folder().join(file), now).unwrap();
            continue;
        }
        let was = committed(&file);
        for (number, (is, was)) in now.lines().zip(was.lines()).enumerate() {
            assert_eq!(is, was, "{file}, line {}; CUPWRIGHT_WRITE_SNAPSHOT=1 writes it anew", number + 1);
        }
        assert_eq!(now.lines().count(), was.lines().count(), "{file} has another length");
    }
}

/// Dots of a page across, and of one cell of the picture.
const DOTS: u32 = 480;
const CELL: u32 = 6;

/// Ink in each cell of a page, 0 to 9, one line of cells after another.
fn ink(page: &Page) -> Vec<String> {
    let picture = to_picture(page, DOTS).unwrap();
    let dark = |x: u32, y: u32| -> u32 {
        let at = ((y * picture.width + x) * 4) as usize;
        picture.rgba[at..at + 3].iter().map(|value| 255 - u32::from(*value)).sum()
    };
    (0..picture.height / CELL)
        .map(|row| {
            (0..picture.width / CELL)
                .map(|column| {
                    let cell =
                        (0..CELL * CELL).map(|i| dark(column * CELL + i % CELL, row * CELL + i / CELL));
                    // Half covered is full: lines and letters fill little of a cell.
                    let share = f64::from(cell.sum::<u32>()) / f64::from(CELL * CELL * 3 * 255) * 2.0;
                    char::from_digit((share * 9.0).round().min(9.0) as u32, 10).unwrap()
                })
                .collect()
        })
        .collect()
}

/// Rounding of a rasteriser may move a cell by one step, and hardly any by more.
#[test]
fn every_page_looks_as_committed() {
    for (name, pages) in sets() {
        let now: Vec<Vec<String>> = pages.iter().map(ink).collect();
        let file = format!("{name}.ink");
        if renewed() {
            let text: Vec<String> = now.iter().map(|page| page.join("\n") + "\n").collect();
            std::fs::write(folder().join(file), text.join("\n")).unwrap();
            continue;
        }
        let was = committed(&file);
        let was: Vec<Vec<&str>> = was.split("\n\n").map(|page| page.lines().collect()).collect();
        assert_eq!(now.len(), was.len(), "{file}: number of pages");
        for (number, (is, was)) in now.iter().zip(&was).enumerate() {
            assert_eq!(is.len(), was.len(), "{file}, page {}: height", number + 1);
            let cells = is.iter().zip(was).flat_map(|(is, was)| is.bytes().zip(was.bytes()));
            let far = cells.filter(|(is, was)| is.abs_diff(*was) > 1).count();
            let all: usize = is.iter().map(String::len).sum();
            assert!(far * 500 <= all, "{file}, page {}: {far} of {all} cells differ", number + 1);
        }
    }
}

#[test]
fn no_snapshot_is_left_of_what_is_no_more() {
    let wanted: BTreeSet<String> =
        sets().into_iter().flat_map(|(name, _)| [format!("{name}.txt"), format!("{name}.ink")]).collect();
    let there: BTreeSet<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    if renewed() {
        for stale in there.difference(&wanted) {
            std::fs::remove_file(folder().join(stale)).unwrap();
        }
        return;
    }
    assert_eq!(there, wanted);
}
