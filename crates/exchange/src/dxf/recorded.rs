//! What drawings and odd records read as, against a recording made with another reader of entities.
//!
//! The recording (`tests/drawings/recorded.txt`) was written while entities were still decoded by the library dxf 0.6.2,
//! which is not ours: it is an independent value for which group code goes where and what a missing one stands for. One
//! sentence in it is in words chosen since: that of figures before the first vertex. Sentences on what stands in blocks that are
//! not in the drawing, and on layers that only write, were taken out of it since. It is not written again; a drawing
//! added later gets a test of its own.

use super::read;
use crate::curve::Curve;
use crate::diagnostics::Notes;
use crate::watch::Watch;
use crate::{ImportOptions, Sketch};
use std::path::Path;

#[path = "odd_records.rs"]
mod odd_records;
use odd_records::{Encoding, Records};

const RECORDED: &str = include_str!("../../tests/drawings/recorded.txt");
/// Odd records in the recording.
const ODD: usize = 300;

fn sketch(bytes: &[u8]) -> (Result<Sketch, String>, Vec<String>) {
    let watch = Watch::default();
    let mut notes = Notes::new(&watch);
    let read = read(bytes, &ImportOptions::default(), &mut notes);
    let told = |d: &crate::Diagnostic| format!("{:?} x{}: {} ({})", d.severity, d.count, d.what, d.place);
    // The order of those found is no part of the recording.
    let mut told: Vec<String> = notes.finish().iter().map(told).collect();
    told.sort();
    (read.map_err(|trouble| trouble.named("it").to_string()), told)
}

fn curves(sketch: &Sketch) -> Vec<String> {
    let line = |(curve, source): &(Curve, u32)| {
        let source = &sketch.sources.entries[*source as usize];
        format!("{} {} {curve:?}", source.kind, sketch.sources.layers[source.layer as usize])
    };
    sketch.curves.iter().map(line).collect()
}

/// One drawing as the recording has it: its curves and diagnostics, or the error.
fn told(bytes: &[u8]) -> String {
    let (read, notes) = sketch(bytes);
    let mut out = String::new();
    match read {
        Ok(sketch) => curves(&sketch).iter().for_each(|c| out += &format!("{c}\n")),
        Err(says) => out += &format!("{says}\n"),
    }
    notes.iter().for_each(|n| out += &format!("{n}\n"));
    out
}

/// Figures of a line, and the words that stand between them.
fn figures(line: &str) -> (Vec<f64>, Vec<&str>) {
    let (mut numbers, mut words) = (Vec::new(), Vec::new());
    for word in line.split([' ', '(', ')', '[', ']', '{', '}', ',', ':', ';']) {
        match word.parse::<f64>() {
            Ok(number) if number.is_finite() => numbers.push(number),
            _ => words.push(word),
        }
    }
    (numbers, words)
}

/// The same to 1e-12 of the largest figure in the line.
fn same(a: &str, b: &str) -> bool {
    let ((a, words), (b, others)) = (figures(a), figures(b));
    let size = a.iter().fold(1.0, |size: f64, v| size.max(v.abs()));
    words == others && a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| (a - b).abs() <= 1e-12 * size)
}

fn expect_recorded(name: &str, found: &str) {
    let from = RECORDED.lines().skip_while(|l| *l != format!("# {name}")).skip(1);
    let (recorded, found) = (from.take_while(|l| !l.starts_with("# ")), found.lines());
    assert_eq!(recorded.clone().count(), found.clone().count(), "{name}");
    for (recorded, found) in recorded.zip(found) {
        assert!(same(recorded, found), "{name}:\nrecorded {recorded}\nnow      {found}");
    }
}

#[test]
fn drawings_read_as_recorded() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let names: Vec<&str> =
        RECORDED.lines().filter_map(|l| l.strip_prefix("# ")).filter(|n| n.contains('/')).collect();
    assert!(names.len() >= 34, "{} recorded", names.len());
    for name in names {
        let bytes = std::fs::read(root.join(name)).expect(name);
        expect_recorded(name, &told(&bytes));
    }
}

#[test]
fn odd_records_read_as_recorded() {
    let text = Records::new(1, ODD).bytes(Encoding::Text);
    expect_recorded("odd records", &told(&text));
}

/// A record means the same in each of the three ways to write it.
#[test]
fn binary_records_read_like_text() {
    for seed in 1..=4 {
        let records = Records::new(seed, ODD);
        let [text, narrow, wide] = [Encoding::Text, Encoding::Narrow, Encoding::Wide].map(|encoding| {
            let (read, notes) = sketch(&records.bytes(encoding));
            let sketch = read.expect("curves");
            assert!(sketch.curves.len() > ODD / 4, "{} curves", sketch.curves.len());
            (curves(&sketch), notes.len())
        });
        assert_eq!(text, narrow);
        assert_eq!(text, wide);
    }
}
