//! Drawings made to take long or much memory: refused with a sentence, or read within bounded work. The files are made
//! here. `HOSTILE=full cargo test --release -p exchange --test all hostile -- --test-threads=1 --nocapture` makes them as
//! large as a file may be and prints time and memory of each.
#![allow(clippy::print_stdout, reason = "it tells what it measured")]

use exchange::{Drawing, ImportError, ImportOptions, Watch, read_drawing_bytes_watched};
use std::fmt::Write;
use std::time::Instant;

/// The larger number when the files are to be full size.
fn size(small: usize, full: usize) -> usize {
    if full_size() { full } else { small }
}

fn full_size() -> bool {
    std::env::var("HOSTILE").is_ok_and(|v| v == "full")
}

/// Peak memory of this process since the last call, MB; nought where the system does not say.
fn peak() -> usize {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    let kb = line.and_then(|l| l.trim().trim_end_matches("kB").trim().parse::<usize>().ok());
    let _ = std::fs::write("/proc/self/clear_refs", "5");
    kb.unwrap_or(0) / 1000
}

/// Reads it, and how many steps besides those that every entity takes that was.
fn read(name: &str, text: String) -> (Result<Drawing, ImportError>, u64) {
    let watch = Watch::default();
    let _ = peak();
    let since = Instant::now();
    let read = read_drawing_bytes_watched(name, text.as_bytes(), &ImportOptions::default(), &watch);
    if full_size() {
        let says = match &read {
            Ok(d) => format!("{} parts, {} lines and arcs", d.parts.len(), d.counts.segments),
            Err(e) => e.to_string(),
        };
        println!(
            "{name}: {:.1} MB, {:.2} s, {} MB at most, {} steps: {says}",
            text.len() as f64 / 1e6,
            since.elapsed().as_secs_f64(),
            peak(),
            watch.steps(),
        );
    }
    (read, watch.steps())
}

fn refused(name: &str, text: String) -> String {
    read(name, text).0.expect_err("should be refused").to_string()
}

fn svg(body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"500mm\" height=\"500mm\" viewBox=\"0 0 500 500\">{body}</svg>"
    )
}

fn dxf(blocks: &str, entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nBLOCKS\n{blocks}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

fn polyline(points: impl Iterator<Item = (f64, f64)>) -> String {
    let mut out = "0\nLWPOLYLINE\n8\n0\n70\n1\n".to_owned();
    for (x, y) in points {
        let _ = write!(out, "10\n{x:.4}\n20\n{y:.4}\n");
    }
    out
}

fn line(a: (f64, f64), b: (f64, f64)) -> String {
    format!("0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1)
}

const PLATE: &str = "<rect x=\"1\" y=\"1\" width=\"490\" height=\"490\"/>";

#[test]
fn a_style_of_very_many_properties() {
    let style = "fill:red;".repeat(size(20_000, 200_000));
    let says =
        refused("style.svg", svg(&format!("{PLATE}<rect style=\"{style}\" width=\"3\" height=\"3\"/>")));
    assert_eq!(
        says,
        "its elements carry very long styles, which would take too long to apply; leave that out, or export the \
         drawing in a plainer form: style.svg"
    );
}

#[test]
fn an_element_of_very_many_attributes() {
    let attributes: String = (0..size(5_000, 200_000)).fold(String::new(), |mut s, i| {
        let _ = write!(s, " a{i}=\"\"");
        s
    });
    let says = refused("attributes.svg", svg(&format!("{PLATE}<g{attributes}/>")));
    assert!(
        says.starts_with("the element on line 1 has") && says.contains("at most 1000 are read"),
        "{says}"
    );
}

#[test]
fn style_sheets_that_multiply() {
    let n = size(3_000, 30_000);
    let bombs = [
        ("copied.svg", format!("{}a{{{}}}", "a,".repeat(n), "x:y;".repeat(n)), "to very many selectors"),
        ("tried.svg", "* * * * * * * * x{fill:red}".to_owned(), "very many selectors"),
        ("read.svg", format!("*{{{}}}", "x:1;".repeat(50 * n)), "very long"),
    ];
    for (name, sheet, words) in bombs {
        let body = format!(
            "<style>{sheet}</style>{PLATE}{}",
            "<g>".repeat(20) + &"<rect width=\"3\" height=\"3\"/>".repeat(n) + &"</g>".repeat(20)
        );
        let says = refused(name, svg(&body));
        // Of full size, the length of the sheet is told first.
        assert!(says.contains(words) || (full_size() && says.contains("very long")), "{says}");
    }
}

#[test]
fn entities_that_multiply() {
    let long = "1 ".repeat(size(100_000, 1_000_000));
    let many = "&a;".repeat(1_000);
    let text = format!(
        "<!DOCTYPE svg [<!ENTITY a \"{long}\">]>{}",
        svg(&format!("{PLATE}<path d=\"M0 0L{many}\"/>"))
    );
    assert!(refused("entities.svg", text).starts_with("its XML entities expand to more than 64 MB"));
}

#[test]
fn uses_of_a_long_path_are_counted_before_they_are_expanded() {
    let path = "l1 1".repeat(size(5_000, 50_000));
    let mut body = format!("<defs><path id=\"u0\" d=\"M0 0{path}\"/>");
    for i in 1..=3 {
        let _ = write!(body, "<g id=\"u{i}\">{}</g>", format!("<use href=\"#u{}\"/>", i - 1).repeat(10));
    }
    let says = refused("uses.svg", svg(&(body + "</defs><use href=\"#u3\"/>")));
    assert!(says.starts_with("the drawing has") && says.contains("at most 1000000 lines and arcs"), "{says}");
    // Many small ones.
    let mut body = "<defs><rect id=\"u0\" width=\"1\" height=\"1\"/>".to_owned();
    for i in 1..=6 {
        let _ = write!(body, "<g id=\"u{i}\">{}</g>", format!("<use href=\"#u{}\"/>", i - 1).repeat(9));
    }
    let says = refused("uses2.svg", svg(&(body + "</defs><use href=\"#u6\"/>")));
    assert!(says.starts_with("the drawing has too many entities"), "{says}");
}

#[test]
fn patterns_by_style_sheet_are_counted() {
    let rects = "<rect width=\"1\" height=\"1\"/>".repeat(1_000);
    let body = format!(
        "<style>.a{{fill:url(#p)}}</style><defs><pattern id=\"p\" width=\"9\" height=\"9\">{rects}</pattern></defs>{}",
        "<circle class=\"a\" r=\"4\"/>".repeat(size(400, 20_000))
    );
    let says = refused("patterns.svg", svg(&body));
    assert!(says.starts_with("the drawing has too many entities"), "{says}");
}

/// The library strokes what it is given; the curves never reach it.
#[test]
fn very_many_cubics_in_one_path() {
    let n = size(4_000, 1_000_000);
    let mut data = "M250 0".to_owned();
    let ring = |i: usize, r: f64| {
        let t = i as f64 * std::f64::consts::TAU / n as f64;
        (250.0 + r * t.cos(), 250.0 + r * t.sin())
    };
    for i in 0..n {
        let ((a, b), (c, d), (e, f)) = (ring(i, 200.0), ring(i, 201.0), ring(i + 1, 200.0));
        let _ = write!(data, "C{a:.3} {b:.3} {c:.3} {d:.3} {e:.3} {f:.3}");
    }
    let (drawing, steps) = read("cubics.svg", svg(&format!("<path d=\"{data}z\"/>")));
    assert!(steps < 60_000_000, "{steps}");
    match drawing {
        Ok(drawing) => assert!(drawing.counts.segments >= n),
        // A million that wiggle come to more lines and arcs than are read.
        Err(e) => assert!(e.to_string().contains("at most 1000000 lines and arcs"), "{e}"),
    }
}

#[test]
fn very_many_lines_of_dxf() {
    // One more than is read, so that the whole file is gone through but for its end.
    let n = size(20_000, 2_000_000);
    let mut text = String::with_capacity(n * 60);
    for i in 0..n {
        text += &line((i as f64, 0.0), (i as f64, 10.5));
    }
    let (drawing, steps) = read("lines.dxf", dxf("", &text));
    let says = drawing.expect_err("no outline").to_string();
    assert!(says.starts_with("no closed outline found") || says.contains("more than 1000000"), "{says}");
    assert!(steps <= 30 * n as u64, "{steps}");
}

#[test]
fn an_array_is_counted_by_what_its_block_holds() {
    let star = polyline((0..2_000).map(|i| (f64::from(i % 50), f64::from(i))));
    let block = format!("0\nBLOCK\n8\n0\n2\nB\n70\n0\n10\n0\n20\n0\n{star}0\nENDBLK\n");
    let insert = "0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n70\n1000\n71\n900\n44\n5\n45\n5\n";
    let says = refused("array.dxf", dxf(&block, insert));
    assert_eq!(
        says,
        "the drawing has 1800000000, at most 1000000 lines and arcs are read; export only the layers with \
        the part's outline, or with fewer lines in place of curves: array.dxf"
    );
}

#[test]
fn an_array_of_circles() {
    let block =
        "0\nBLOCK\n8\n0\n2\nB\n70\n0\n10\n0\n20\n0\n0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n2\n0\nENDBLK\n";
    let (columns, rows) = (size(60, 1000), size(50, 900));
    let insert = format!("0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0\n70\n{columns}\n71\n{rows}\n44\n5\n45\n5\n");
    let (drawing, steps) = read("circles.dxf", dxf(block, &insert));
    match drawing {
        Ok(drawing) => assert_eq!(drawing.parts.len(), columns * rows),
        // A project of 900,000 parts would take 2 GB and could not be saved.
        Err(e) => assert!(full_size() && e.to_string().contains("at most 1000000 lines and arcs"), "{e}"),
    }
    assert!(steps <= 20 * (columns * rows) as u64, "{steps}");
}

/// Beside one another from right to left, so that each knows its neighbour and none the edge.
#[test]
fn a_row_of_circles() {
    let n = size(3_000, 300_000);
    let mut text =
        polyline([(-9.0, -9.0), (10.0 * n as f64, -9.0), (10.0 * n as f64, 9.0), (-9.0, 9.0)].into_iter());
    for i in (0..n).rev() {
        let _ = write!(text, "0\nCIRCLE\n8\n0\n10\n{}\n20\n0\n40\n2\n", i * 10);
    }
    let (drawing, steps) = read("row.dxf", dxf("", &text));
    let drawing = drawing.expect("a plate");
    assert_eq!(drawing.parts[0].outline.holes.len(), n);
    assert!(steps <= 40 * n as u64, "{steps}");
}

#[test]
fn a_star_of_lines_from_one_point() {
    let n = size(5_000, 500_000);
    let mut text = polyline([(-900.0, -900.0), (900.0, -900.0), (900.0, 900.0), (-900.0, 900.0)].into_iter());
    for i in 0..n {
        let t = i as f64 * std::f64::consts::TAU / n as f64;
        text += &line((0.0, 0.0), (500.0 * t.cos(), 500.0 * t.sin()));
    }
    let (drawing, steps) = read("star.dxf", dxf("", &text));
    assert_eq!(drawing.expect("a plate").parts.len(), 1);
    assert!(steps <= 40 * n as u64, "{steps}");
}

#[test]
fn a_long_outline_drawn_twice() {
    let n = size(3_000, 200_000);
    let ring = polyline((0..n).map(|i| {
        let t = i as f64 * std::f64::consts::TAU / n as f64;
        (5000.0 * t.cos(), 5000.0 * t.sin())
    }));
    let (drawing, steps) = read("twice.dxf", dxf("", &(ring.clone() + &ring)));
    let drawing = drawing.expect("a disc");
    assert_eq!((drawing.parts.len(), drawing.parts[0].outline.holes.len()), (1, 0));
    assert!(steps <= 40 * n as u64, "{steps}");
}

#[test]
fn an_outline_that_crosses_itself_everywhere() {
    let n = size(4_001, 50_001);
    let turn = std::f64::consts::TAU * ((n / 2) as f64 / n as f64);
    let text = polyline((0..n).map(|i| (500.0 * (turn * i as f64).cos(), 500.0 * (turn * i as f64).sin())));
    let (drawing, _) = read("scribble.dxf", dxf("", &text));
    let says = drawing
        .expect("an outline")
        .diagnostics
        .iter()
        .map(|d| d.what.to_string())
        .collect::<Vec<_>>()
        .join("; ");
    assert!(
        says.contains("lie across one another in very many places") || says.contains("at least 980 more"),
        "{says}"
    );
}

/// Kinds, layers and figures made up one by one each want a line of their own in what was skipped.
#[test]
fn what_was_skipped_is_told_in_bounded_memory() {
    let mut text = polyline([(0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (0.0, 90.0)].into_iter());
    let n = size(10_000, 5_000_000);
    for i in 0..n {
        let _ = write!(text, "0\nX{i}\n8\n0\n");
    }
    let drawing = read("kinds.dxf", dxf("", &text)).0.expect("a plate");
    assert!(drawing.diagnostics.len() <= 2_002, "{}", drawing.diagnostics.len());
    let skipped = drawing.diagnostics.iter().filter(|d| d.severity == exchange::DiagnosticSeverity::Skipped);
    assert_eq!(skipped.map(|d| d.count).sum::<usize>(), n);
}

#[test]
fn a_reading_is_stopped_in_every_stage() {
    let n = 3_000;
    let mut text = String::new();
    for i in 0..n {
        let _ = write!(text, "0\nCIRCLE\n8\n0\n10\n{}\n20\n0\n40\n2\n", i * 10);
    }
    let text = dxf("", &text);
    let whole = Watch::default();
    read_drawing_bytes_watched("a.dxf", text.as_bytes(), &ImportOptions::default(), &whole).expect("circles");
    assert_eq!(whole.progress().stage, "looking for crossings");
    let watch = Watch::default();
    std::thread::scope(|scope| {
        let reading = scope.spawn(|| {
            let mut read = 0;
            loop {
                match read_drawing_bytes_watched("a.dxf", text.as_bytes(), &ImportOptions::default(), &watch)
                {
                    Ok(_) => read += 1,
                    Err(ImportError::Stopped { .. }) => return read,
                    Err(other) => panic!("{other}"),
                }
            }
        });
        std::thread::sleep(std::time::Duration::from_millis(30));
        watch.stop();
        reading.join().expect("no panic");
    });
}

/// What tells frames, views, lettering and pitch circles from edges looks at a bounded number of them.
#[test]
fn closed_lines_of_one_kind_without_end() {
    let n = size(4_000, 60_000);
    let circle = |x: f64, y: f64, r: f64| format!("0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n40\n{r}\n");
    let rectangle = |x: f64, y: f64, w: f64, h: f64| {
        polyline([(x, y), (x + w, y), (x + w, y + h), (x, y + h)].into_iter())
    };
    let text = |x: f64, says: &str| format!("0\nTEXT\n8\n0\n10\n{x}\n20\n1\n1\n{says}\n");
    let each = |of: &dyn Fn(f64) -> String| (0..n).map(|i| of(i as f64)).collect::<String>();
    let plate = rectangle(-10.0, -10.0, 30.0 * n as f64 + 100.0, 30.0 * n as f64 + 100.0);
    let files = [
        // Every circle runs through the centres of others.
        ("pitch.dxf", each(&|i| circle(10.0 * (i % 100.0), 10.0 * (i / 100.0).floor(), 10.0))),
        ("target.dxf", each(&|i| circle(0.0, 0.0, 1.0 + i * 0.1))),
        ("letters.dxf", each(&|i| rectangle(i * 12.0, 0.0, 8.0 + (i % 7.0) * 0.5, 9.0 + (i % 5.0) * 0.3))),
        (
            "frames.dxf",
            (0..n / 6)
                .map(|i| rectangle(i as f64, i as f64, (3 * n - 2 * i) as f64, (3 * n - 2 * i) as f64))
                .collect(),
        ),
        (
            "texts.dxf",
            each(&|i| {
                text(i, "Scale 1:2") + &text(i, "::::::::::::::::") + &rectangle(i * 9.0, 0.0, 8.0, 8.0)
            }),
        ),
        ("crossing.dxf", each(&|i| circle(i * 7.0, 0.0, 4.0) + &rectangle(i * 7.0, 0.0, 6.0, 5.0))),
        ("views.dxf", each(&|i| rectangle(i * 30.0, 0.0, 20.0, 40.0) + &circle(i * 30.0 + 10.0, 20.0, 5.0))),
    ];
    for (name, body) in files {
        let (read, steps) = read(name, dxf("", &(plate.clone() + &body)));
        if let Err(e) = &read {
            assert!(matches!(e, ImportError::TooMuchWork { .. }), "{name}: {e}");
        }
        assert!(steps < 61_000_000, "{name}: {steps}");
    }
}

/// Ends that nearly meet by the thousand: they are paired once, and outlines that fail are looked for in bounds.
#[test]
fn gaps_without_end() {
    let n = size(3_000, 60_000);
    let open = |gap: f64| -> String {
        (0..n)
            .map(|i| {
                let (x, y) = (20.0 * (i % 200) as f64, 20.0 * (i / 200) as f64);
                line((x + gap, y), (x + 9.0, y))
                    + &line((x + 9.0, y + gap), (x + 9.0, y + 9.0))
                    + &line((x + 9.0 - gap, y + 9.0), (x, y + 9.0))
                    + &line((x, y + 9.0 - gap), (x, y))
            })
            .collect()
    };
    let dashes: String = (0..n).map(|i| line((3.0 * i as f64, 0.0), (3.0 * i as f64 + 2.0, 0.0))).collect();
    for (name, body) in [("half.dxf", open(0.5)), ("three.dxf", open(1.5)), ("dashes.dxf", dashes)] {
        let plate = polyline([(-10.0, -10.0), (9e5, -10.0), (9e5, 9e5), (-10.0, 9e5)].into_iter());
        let (read, steps) = read(name, dxf("", &(plate + &body)));
        let _ = read.unwrap_or_else(|e| panic!("{name}: {e}"));
        assert!(steps < 61_000_000, "{name}: {steps}");
    }
}
