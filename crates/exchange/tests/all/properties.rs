//! Random outlines and random damage.

use exchange::{ImportOptions, read_drawing_bytes};
use proptest::prelude::*;
use std::f64::consts::TAU;
use std::fmt::Write;

/// The first built-in cup model of each shape.
fn three_shapes() -> Vec<document::CupModel> {
    let mut found: Vec<document::CupModel> = Vec::new();
    let shape = |m: &document::CupModel| std::mem::discriminant(&m.shape);
    for model in document::library() {
        if found.iter().all(|m| shape(m) != shape(model)) {
            found.push((**model).clone());
        }
    }
    assert_eq!(found.len(), 3);
    found
}

/// A star-shaped outline: corner radii, and for each side a bulge.
fn corners(radii: &[f64]) -> Vec<(f64, f64)> {
    let n = radii.len() as f64;
    radii
        .iter()
        .enumerate()
        .map(|(i, r)| (r * (i as f64 * TAU / n).cos(), r * (i as f64 * TAU / n).sin()))
        .collect()
}

fn exact_area(points: &[(f64, f64)], bulges: &[f64]) -> f64 {
    let n = points.len();
    (0..n)
        .map(|i| {
            let ((x0, y0), (x1, y1)) = (points[i], points[(i + 1) % n]);
            let chord = (x1 - x0).hypot(y1 - y0);
            let b = bulges[i];
            let segment = if b == 0.0 {
                0.0
            } else {
                let (sweep, radius) = (4.0 * b.atan(), chord * (1.0 + b * b) / (4.0 * b));
                radius * radius / 2.0 * (sweep - sweep.sin())
            };
            (x0 * y1 - x1 * y0) / 2.0 + segment
        })
        .sum()
}

/// A side as a LINE or ARC entity; an arc always runs counter-clockwise, so it may be written against its side.
fn entity(a: (f64, f64), b: (f64, f64), bulge: f64, back: bool, shift: (f64, f64)) -> String {
    let mut text = String::new();
    if bulge == 0.0 {
        let (a, b) = if back { (b, a) } else { (a, b) };
        let _ = write!(
            text,
            "0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n",
            a.0 + shift.0,
            a.1 + shift.1,
            b.0 + shift.0,
            b.1 + shift.1
        );
        return text;
    }
    let (a, b) = if bulge < 0.0 { (b, a) } else { (a, b) };
    let k = bulge.abs();
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let up = (1.0 - k * k) / (4.0 * k);
    let centre = ((a.0 + b.0) / 2.0 - dy * up, (a.1 + b.1) / 2.0 + dx * up);
    let angle = |p: (f64, f64)| (p.1 - centre.1).atan2(p.0 - centre.0).to_degrees();
    let radius = dx.hypot(dy) * (1.0 + k * k) / (4.0 * k);
    let _ = write!(
        text,
        "0\nARC\n8\n0\n10\n{}\n20\n{}\n40\n{radius}\n50\n{}\n51\n{}\n",
        centre.0 + shift.0,
        centre.1 + shift.1,
        angle(a),
        angle(b)
    );
    text
}

fn outline() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    (4usize..14).prop_flat_map(|n| {
        let bulge = prop_oneof![Just(0.0), -0.15f64..-0.02, 0.02f64..0.15];
        (prop::collection::vec(200f64..300.0, n), prop::collection::vec(bulge, n))
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Shuffled, reversed and shifted by less than the gap, an outline comes back with its segments and area.
    #[test]
    fn loose_pieces_come_back_as_the_outline(
        (radii, bulges) in outline(),
        seed in prop::collection::vec((any::<u32>(), any::<bool>(), -0.017f64..0.017, -0.017f64..0.017), 14),
    ) {
        let points = corners(&radii);
        let n = points.len();
        let mut sides: Vec<(u32, String)> = (0..n)
            .map(|i| {
                let (key, back, dx, dy) = seed[i];
                (key, entity(points[i], points[(i + 1) % n], bulges[i], back, (dx, dy)))
            })
            .collect();
        sides.sort_by_key(|s| s.0);
        let body: String = sides.into_iter().map(|s| s.1).collect();
        let text = format!("0\nSECTION\n2\nENTITIES\n{body}0\nENDSEC\n0\nEOF\n");
        let drawing = read_drawing_bytes("a.dxf", text.as_bytes(), &ImportOptions::default())
            .map_err(|e| TestCaseError::fail(e.to_string()))?;
        prop_assert_eq!(drawing.parts.len(), 1);
        let outer = &drawing.parts[0].outline.outer;
        prop_assert_eq!(outer.vertices.len(), n);
        let arcs = outer.vertices.iter().filter(|v| v.bulge != 0.0).count();
        prop_assert_eq!(arcs, bulges.iter().filter(|b| **b != 0.0).count());
        // Each side moved by at most 0.024 mm.
        let perimeter = 2.0 * TAU * 300.0;
        let exact = exact_area(&points, &bulges);
        prop_assert!((outer.signed_area() - exact).abs() < 0.025 * perimeter, "{} {exact}", outer.signed_area());
    }

    /// Whatever is done to a file, reading it ends in a drawing or an error.
    #[test]
    fn damaged_files_never_panic(
        which in 0usize..3,
        damage in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0u8..3), 1..12),
    ) {
        let (name, file): (&str, &[u8]) = [
            ("a.dxf", include_bytes!("../drawings/release-12.dxf").as_slice()),
            ("b.dxf", include_bytes!("../drawings/other-hand.dxf").as_slice()),
            ("c.svg", SVG.as_bytes()),
        ][which];
        let mut bytes = file.to_vec();
        for (at, byte, kind) in damage {
            let at = at.index(bytes.len());
            match kind {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => { bytes.remove(at); }
            }
        }
        let _ = read_drawing_bytes(name, &bytes, &ImportOptions::default());
    }

    /// A table with a few bytes changed gives models and problems, never a panic.
    #[test]
    fn damaged_tables_never_panic(at in any::<prop::sample::Index>(), text in "\\PC{0,8}") {
        let mut table = exchange::models_csv(&three_shapes());
        let at = at.index(table.len());
        if table.is_char_boundary(at) {
            table.insert_str(at, &text);
        }
        let _ = exchange::read_models_csv(&table);
    }
}

const SVG: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" height=\"100mm\" viewBox=\"0 0 200 100\">\
    <g id=\"cut\" transform=\"translate(10 10) rotate(3)\"><path d=\"M0 0H150V60Q75 90 0 60Z\"/>\
    <circle cx=\"40\" cy=\"30\" r=\"12\"/><ellipse cx=\"100\" cy=\"30\" rx=\"20\" ry=\"9\"/></g></svg>";
