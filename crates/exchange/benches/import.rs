//! How long reading a drawing takes, and how it grows with the number of entities.

use exchange::{ImportOptions, read_drawing_bytes};
use std::fmt::Write;

fn main() {
    divan::main();
}

/// Squares of 8 mm on a 10 mm grid, each of four lines, inside a frame: `lines` lines in all, roughly.
fn grid(lines: usize) -> Vec<u8> {
    let side = ((lines / 4) as f64).sqrt() as usize;
    let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
    let mut line = |a: (f64, f64), b: (f64, f64)| {
        let _ = write!(text, "0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1);
    };
    let mut square = |x: f64, y: f64, w: f64| {
        line((x, y), (x + w, y));
        line((x + w, y), (x + w, y + w));
        line((x + w, y + w), (x, y + w));
        line((x, y + w), (x, y));
    };
    square(-10.0, -10.0, side as f64 * 10.0 + 20.0);
    for i in 0..side {
        for j in 0..side {
            square(i as f64 * 10.0, j as f64 * 10.0, 8.0);
        }
    }
    text += "0\nENDSEC\n0\nEOF\n";
    text.into_bytes()
}

#[divan::bench(args = [1_000, 10_000, 40_000, 100_000, 1_000_000], sample_count = 3, sample_size = 1)]
fn lines(bencher: divan::Bencher<'_, '_>, count: usize) {
    let bytes = grid(count);
    bencher.bench(|| read_drawing_bytes("grid.dxf", divan::black_box(&bytes), &ImportOptions::default()));
}

#[divan::bench(args = [100, 1_000], sample_count = 3, sample_size = 1)]
fn ellipses(bencher: divan::Bencher<'_, '_>, count: usize) {
    let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
    for i in 0..count {
        let _ = write!(
            text,
            "0\nELLIPSE\n8\n0\n10\n{}\n20\n0\n11\n40\n21\n10\n40\n0.5\n41\n0\n42\n6.283185307179586\n",
            i * 100
        );
    }
    text += "0\nENDSEC\n0\nEOF\n";
    bencher.bench(|| read_drawing_bytes("row.dxf", text.as_bytes(), &ImportOptions::default()));
}

/// A frame with `count` round holes.
#[divan::bench(args = [1_000, 10_000], sample_count = 3, sample_size = 1)]
fn circles(bencher: divan::Bencher<'_, '_>, count: usize) {
    let side = (count as f64).sqrt().ceil() as usize;
    let far = side * 10;
    let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
    let corners = [(0, 0), (far, 0), (far, far), (0, far)];
    text += "0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n";
    for (x, y) in corners {
        let _ = write!(text, "10\n{x}\n20\n{y}\n");
    }
    for i in 0..count {
        let (x, y) = (i % side * 10 + 5, i / side * 10 + 5);
        let _ = write!(text, "0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n40\n3\n");
    }
    text += "0\nENDSEC\n0\nEOF\n";
    bencher.bench(|| read_drawing_bytes("plate.dxf", text.as_bytes(), &ImportOptions::default()));
}

/// One boundary of `count` vertices.
#[divan::bench(args = [1_000, 40_000, 1_000_000], sample_count = 3, sample_size = 1)]
fn polyline(bencher: divan::Bencher<'_, '_>, count: usize) {
    let mut text = format!("0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\n0\n90\n{count}\n70\n1\n");
    for i in 0..count {
        let t = i as f64 * std::f64::consts::TAU / count as f64;
        let r = 500.0 + 3.0 * (200.0 * t).sin();
        let _ = write!(text, "10\n{}\n20\n{}\n", r * t.cos(), r * t.sin());
    }
    text += "0\nENDSEC\n0\nEOF\n";
    bencher.bench(|| read_drawing_bytes("lobes.dxf", text.as_bytes(), &ImportOptions::default()));
}
