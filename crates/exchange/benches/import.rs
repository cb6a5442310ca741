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

/// Slots of two lines and two arcs, discs, polylines with a bulge and triangles inside a frame, nine entities a cell of
/// 40 mm, written with handles and class marks as drawing programs do: 500 000 entities come to about 50 MB.
fn mixed(entities: usize) -> Vec<u8> {
    let side = ((entities / 9) as f64).sqrt() as usize;
    let far = side as f64 * 40.0 + 40.0;
    let mut text =
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n".to_owned();
    let mut handle = 0x100;
    let mut entity = |kind: &str, class: &str, body: String| {
        handle += 1;
        let _ = write!(text, "0\n{kind}\n5\n{handle:X}\n100\nAcDbEntity\n8\nCUT\n100\n{class}\n{body}");
    };
    let line = |a: (f64, f64), b: (f64, f64)| {
        format!("10\n{:.3}\n20\n{:.3}\n11\n{:.3}\n21\n{:.3}\n", a.0, a.1, b.0, b.1)
    };
    let arc = |x: f64, y: f64, from: f64, to: f64| {
        format!("10\n{x:.3}\n20\n{y:.3}\n40\n5.0\n100\nAcDbArc\n50\n{from}\n51\n{to}\n")
    };
    let corners = [(-20.0, -20.0), (far, -20.0), (far, far), (-20.0, far)];
    for i in 0..4 {
        entity("LINE", "AcDbLine", line(corners[i], corners[(i + 1) % 4]));
    }
    for (i, j) in (0..side).flat_map(|i| (0..side).map(move |j| (i, j))) {
        let (x, y) = (i as f64 * 40.0, j as f64 * 40.0);
        entity("LINE", "AcDbLine", line((x + 5.0, y), (x + 15.0, y)));
        entity("ARC", "AcDbCircle", arc(x + 15.0, y + 5.0, 270.0, 90.0));
        entity("LINE", "AcDbLine", line((x + 15.0, y + 10.0), (x + 5.0, y + 10.0)));
        entity("ARC", "AcDbCircle", arc(x + 5.0, y + 5.0, 90.0, 270.0));
        entity("CIRCLE", "AcDbCircle", format!("10\n{:.3}\n20\n{:.3}\n40\n3.5\n", x + 30.0, y + 5.0));
        let corners = [(0.0, 20.0, 0.0), (20.0, 20.0, 0.414_213_562), (25.0, 25.0, 0.0), (0.0, 30.0, 0.0)];
        let vertices: String = corners
            .iter()
            .map(|(a, b, bulge)| format!("10\n{:.3}\n20\n{:.3}\n42\n{bulge}\n", x + a, y + b))
            .collect();
        entity("LWPOLYLINE", "AcDbPolyline", format!("90\n4\n70\n1\n{vertices}"));
        let tips = [(x + 28.0, y + 20.0), (x + 36.0, y + 20.0), (x + 32.0, y + 30.0)];
        for k in 0..3 {
            entity("LINE", "AcDbLine", line(tips[k], tips[(k + 1) % 3]));
        }
    }
    text += "0\nENDSEC\n0\nEOF\n";
    text.into_bytes()
}

#[divan::bench(args = [50_000, 500_000], sample_count = 3, sample_size = 1)]
fn entities(bencher: divan::Bencher<'_, '_>, count: usize) {
    let bytes = mixed(count);
    bencher.bench(|| read_drawing_bytes("mixed.dxf", divan::black_box(&bytes), &ImportOptions::default()));
}
