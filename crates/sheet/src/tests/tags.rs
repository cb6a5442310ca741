//! What a screen reader is told, read back with a PDF library of its own.

use super::demos::demos;
use crate::{Day, SheetOptions, compose, to_archival_pdf, to_pdf};
use hayro_syntax::Pdf;
use hayro_syntax::object::{Array, Dict, Name, String as PdfString};
use std::collections::BTreeMap;

/// An element of the structure: its kind, what it says instead of what is drawn, how deep it lies, and its parent's kind.
struct Element {
    kind: String,
    alt: Option<usize>,
    parent: String,
    kids: usize,
}

fn kids<'a>(of: &Dict<'a>) -> Vec<Dict<'a>> {
    match of.get::<Array<'_>>(b"K") {
        Some(all) => all.iter::<Dict<'_>>().collect(),
        None => of.get::<Dict<'_>>(b"K").into_iter().collect(),
    }
}

fn walk(of: &Dict<'_>, parent: &str, into: &mut Vec<Element>) {
    for kid in kids(of) {
        let Some(kind) = kid.get::<Name<'_>>(b"S") else { continue };
        let kind = String::from_utf8_lossy(kind.as_ref()).into_owned();
        let alt = kid.get::<PdfString<'_>>(b"Alt").map(|alt| alt.as_bytes().len());
        into.push(Element { kind: kind.clone(), alt, parent: parent.to_owned(), kids: kids(&kid).len() });
        walk(&kid, &kind, into);
    }
}

fn structure(bytes: &[u8]) -> Vec<Element> {
    let pdf = Pdf::new(bytes.to_vec()).expect("a PDF");
    let root = pdf.xref().get::<Dict<'_>>(pdf.xref().root_id()).expect("a catalog");
    let marked = root.get::<Dict<'_>>(b"MarkInfo").and_then(|info| info.get::<bool>(b"Marked"));
    assert_eq!(marked, Some(true));
    assert!(root.contains_key(b"Lang") && root.contains_key(b"Outlines"));
    let tree = root.get::<Dict<'_>>(b"StructTreeRoot").expect("a structure");
    let mut all = Vec::new();
    walk(&tree, "", &mut all);
    all
}

#[test]
fn headings_tables_and_drawings_are_told_apart_on_every_demo() {
    for demo in demos() {
        let pages = compose(&demo.project, &demo.reports[0], &SheetOptions::default());
        let bytes = to_pdf(&pages, &demo.project.name).unwrap();
        // Accessible as the writer checks it, not the plain kind that is written where that fails.
        assert!(String::from_utf8_lossy(&bytes).contains("pdfuaid:part"), "{}", demo.stem);
        let all = structure(&bytes);
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        all.iter().for_each(|element| *counts.entry(element.kind.as_str()).or_default() += 1);
        let count = |kind: &str| counts.get(kind).copied().unwrap_or(0);
        // A title block on the plan of each part.
        let plans = demo.reports[0].family.as_ref().map_or(1, |family| family.seats.len());
        assert_eq!(count("H1"), plans, "{}: {counts:?}", demo.stem);
        assert!(count("H2") > 8 && count("Table") > 4 && count("P") > 20, "{}: {counts:?}", demo.stem);
        assert!(count("TH") > 20 && count("TD") > count("TH"), "{}: {counts:?}", demo.stem);
        assert!(count("Figure") >= 2, "{}: {counts:?}", demo.stem);
        for element in &all {
            let at = format!("{}: {} in {}", demo.stem, element.kind, element.parent);
            match element.kind.as_str() {
                "TR" => assert!(
                    ["Table", "THead", "TBody"].contains(&element.parent.as_str()) && element.kids > 0,
                    "{at}"
                ),
                "TH" | "TD" => assert_eq!(element.parent, "TR", "{at}"),
                "Figure" => assert!(element.alt.is_some_and(|letters| letters > 10), "{at}"),
                _ => {}
            }
        }
        // Rows of the hole table, a head on every piece of it, stand in one table or in its continuations.
        assert!(count("TR") > demo.reports[0].cups.len(), "{}", demo.stem);
    }
}

#[test]
fn an_archival_file_says_so_and_has_the_day_it_was_made() {
    let made = super::fixtures::tray();
    let pages = compose(&made.project, &made.report, &SheetOptions::default());
    let day = Day { year: 2026, month: 3, day: 2 };
    let bytes = to_archival_pdf(&pages, "Tray", day).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("pdfaid:part") && text.contains("2026-03-02"));
    assert_eq!(bytes, to_archival_pdf(&pages, "Tray", day).unwrap());
    assert!(structure(&bytes).iter().any(|element| element.kind == "Table"));
}
