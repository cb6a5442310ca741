//! The unit of a drawing: said by the file, converted, or guessed, and always told.

use exchange::{DiagnosticSeverity, Drawing, DrawingUnit, ImportOptions, UnitFrom, read_drawing_bytes};

fn area(d: &Drawing, part: usize) -> f64 {
    d.parts[part].outline.outer.signed_area().abs()
}

fn count(d: &Drawing, severity: DiagnosticSeverity, words: &str) -> usize {
    d.diagnostics
        .iter()
        .filter(|d| d.severity == severity && d.what.to_string().contains(words))
        .map(|d| d.count)
        .sum()
}

fn with_unit(code: i64, asked: Option<DrawingUnit>) -> Drawing {
    let text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{code}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{}0\nENDSEC\n0\nEOF\n",
        "0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n10\n0\n20\n0\n10\n200\n20\n0\n10\n200\n20\n100\n10\n0\n20\n100\n"
    );
    let options = ImportOptions { unit: asked, ..ImportOptions::default() };
    read_drawing_bytes("a.dxf", text.as_bytes(), &options).expect("a drawing")
}

#[test]
fn rare_units_are_converted_and_told() {
    // Code, mm in one, unit that it is shown in, words.
    for (code, mm, unit, words) in [
        (8, 25.4e-6, DrawingUnit::Inch, "microinches; converted to inches, 1 microinch = 0.000001 in"),
        (9, 25.4e-3, DrawingUnit::Inch, "mils; converted to inches, 1 mil = 0.001 in"),
        (10, 914.4, DrawingUnit::Foot, "yards; converted to feet, 1 yard = 3 ft"),
        (13, 1e-3, DrawingUnit::Millimetre, "microns; converted to millimetres, 1 micron = 0.001 mm"),
        (14, 100.0, DrawingUnit::Centimetre, "decimetres; converted to centimetres, 1 decimetre = 10 cm"),
    ] {
        let d = with_unit(code, None);
        assert_eq!((d.unit, d.unit_from), (unit, UnitFrom::File));
        assert!((area(&d, 0) / (20_000.0 * mm * mm) - 1.0).abs() < 1e-9, "{words}: {}", area(&d, 0));
        assert_eq!(count(&d, DiagnosticSeverity::Mended, words), 1, "{:?}", d.diagnostics);
        // A person who says millimetres means the figures in the file.
        if unit != DrawingUnit::Millimetre {
            let d = with_unit(code, Some(DrawingUnit::Millimetre));
            assert_eq!((d.unit, d.unit_from), (DrawingUnit::Millimetre, UnitFrom::Option));
            assert!((area(&d, 0) - 20_000.0).abs() < 1e-6, "{words}: {}", area(&d, 0));
            assert_eq!(count(&d, DiagnosticSeverity::Mended, "converted to"), 0);
        }
    }
    assert_eq!(count(&with_unit(4, None), DiagnosticSeverity::Mended, "converted to"), 0);
}

#[test]
fn pixels_are_taken_as_style_sheets_have_them_and_told_as_a_guess() {
    let read = |size: &str, asked: Option<DrawingUnit>| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" {size}><rect x=\"10\" y=\"10\" width=\"480\" height=\"96\"/></svg>"
        );
        let options = ImportOptions { unit: asked, ..ImportOptions::default() };
        read_drawing_bytes("a.svg", text.as_bytes(), &options).expect("a drawing")
    };
    // 480 px are five inches.
    for size in
        ["width=\"800px\" height=\"200px\"", "width=\"800px\" height=\"200px\" viewBox=\"0 0 800 200\""]
    {
        let d = read(size, None);
        assert_eq!((d.unit, d.unit_from), (DrawingUnit::Millimetre, UnitFrom::Guess));
        assert!((area(&d, 0) - 127.0 * 25.4).abs() < 0.1, "{}", area(&d, 0));
        let words = "the file gives its size in pixels; read at 96 to the inch, so the drawing is 127 mm \
            wide (480 mm if its numbers are millimetres)";
        assert_eq!(count(&d, DiagnosticSeverity::Warning, words), 1, "{:?}", d.diagnostics);
        // Asked for a unit, the figures in the file are in it.
        let d = read(size, Some(DrawingUnit::Millimetre));
        assert_eq!(d.unit_from, UnitFrom::Option);
        assert!((area(&d, 0) - 480.0 * 96.0).abs() < 1.0, "{}", area(&d, 0));
    }
    // The figures of the view box may be finer than the pixels.
    let d = read("width=\"80px\" height=\"20px\" viewBox=\"0 0 800 200\"", None);
    assert!((area(&d, 0) - 12.7 * 2.54).abs() < 0.01, "{}", area(&d, 0));
    let d = read("width=\"80px\" height=\"20px\" viewBox=\"0 0 800 200\"", Some(DrawingUnit::Millimetre));
    assert!((area(&d, 0) - 480.0 * 96.0).abs() < 1.0, "{}", area(&d, 0));
}
