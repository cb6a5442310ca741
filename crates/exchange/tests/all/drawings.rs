//! Whole drawings against figures that our reader had no part in.
//!
//! `drawings/make.py` wrote the files with ezdxf 1.4 and printed the areas: closed forms where there are any, else
//! ezdxf's flattening at 1e-5 mm (scipy's splines for those that go round) and shapely's polygon area. They are copied here as printed.

use exchange::{
    DiagnosticSeverity, Drawing, DrawingUnit, ImportOptions, UnitFrom, read_drawing, read_drawing_bytes,
};
use std::path::{Path, PathBuf};

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/drawings").join(name)
}

fn read(name: &str) -> Drawing {
    read_drawing(&path(name), &ImportOptions::default()).unwrap_or_else(|e| panic!("{e}"))
}

fn area(drawing: &Drawing, part: usize) -> f64 {
    let outline = &drawing.parts[part].outline;
    outline.outer.signed_area().abs() - outline.holes.iter().map(|h| h.signed_area().abs()).sum::<f64>()
}

fn said(drawing: &Drawing, severity: DiagnosticSeverity, words: &str) -> bool {
    drawing.diagnostics.iter().any(|d| d.severity == severity && d.what.to_string().contains(words))
}

#[test]
fn plate_in_inches_with_bulges() {
    let d = read("plate-inch.dxf");
    assert_eq!((d.unit, d.unit_from), (DrawingUnit::Inch, UnitFrom::File));
    assert_eq!(d.parts.len(), 1);
    assert_eq!(d.parts[0].outline.holes.len(), 2);
    assert!((area(&d, 0) - 44_884.295).abs() < 1e-3, "{}", area(&d, 0));
    // Corners stay true arcs: eight segments, no more.
    assert_eq!(d.parts[0].outline.outer.vertices.len(), 8);
    assert!(d.layers.contains(&("OUTLINE".to_owned(), 3)), "{:?}", d.layers);
    assert!(said(&d, DiagnosticSeverity::Skipped, "DIMENSION on layer 0 left out"), "{:?}", d.diagnostics);
}

#[test]
fn entities_of_the_other_hand_in_a_binary_file() {
    let d = read("other-hand.dxf");
    assert_eq!((d.unit, d.unit_from), (DrawingUnit::Millimetre, UnitFrom::File));
    assert_eq!(d.parts.len(), 1);
    assert_eq!(d.parts[0].outline.holes.len(), 2);
    assert!((area(&d, 0) - 60_536.947_2).abs() < 1e-3, "{}", area(&d, 0));
    let b = d.parts[0].outline.outer.bounds().expect("bounds");
    assert!((b.min.x - 0.0).abs() < 1e-9 && (b.max.x - 320.0).abs() < 1e-9);
}

#[test]
fn ellipses_become_few_arcs() {
    let d = read("ellipse.dxf");
    assert_eq!(d.parts.len(), 1);
    assert!((area(&d, 0) / 44_610.615_7 - 1.0).abs() < 1e-6, "{}", area(&d, 0));
    let count = d.parts[0].outline.outer.vertices.len();
    assert!((16..=160).contains(&count), "{count} segments");
}

#[test]
fn splines_free_and_rational() {
    let d = read("spline.dxf");
    assert_eq!(d.parts.len(), 1);
    assert_eq!(d.parts[0].outline.holes.len(), 1);
    let hole = d.parts[0].outline.holes[0].signed_area().abs();
    assert!((hole - std::f64::consts::PI * 1600.0).abs() < 1e-2, "{hole}");
    assert!((area(&d, 0) - 104325.948).abs() < 10.0, "{}", area(&d, 0));
}

#[test]
fn splines_that_go_round_and_splines_through_points() {
    let d = read("spline-dress.dxf");
    assert_eq!(d.parts.len(), 1, "{:?}", d.diagnostics);
    // 0.01 mm along boundaries of about 1300, 430, 280 and 280 mm.
    let outer = d.parts[0].outline.outer.signed_area().abs();
    assert!((outer - 113_914.922_6).abs() < 13.0, "periodic: {outer}");
    let holes: Vec<f64> = d.parts[0].outline.holes.iter().map(|h| h.signed_area().abs()).collect();
    assert_eq!(holes.len(), 3);
    for (hole, (expected, slack, what)) in holes.iter().zip([
        (13_452.517_6, 4.3, "free ends"),
        (6_649.757_4, 2.8, "closed through points"),
        (5_201.071_1, 2.8, "given tangents"),
    ]) {
        assert!((hole - expected).abs() < slack, "{what}: {hole}");
    }
}

#[test]
fn tilted_entities_are_seen_from_above() {
    let d = read("tilted.dxf");
    assert_eq!(d.parts.len(), 1, "{:?}", d.diagnostics);
    let outline = &d.parts[0].outline;
    let b = outline.outer.bounds().expect("bounds");
    for (found, expected) in [(b.min.x, -450.0), (b.min.y, -182.0), (b.max.x, 0.0), (b.max.y, 18.0)] {
        assert!((found - expected).abs() < 0.01, "{found} for {expected}");
    }
    // 0.01 mm along boundaries of about 1240, 230 and 290 mm.
    let outer = outline.outer.signed_area().abs();
    assert!((outer - 86_879.999_5).abs() < 12.0, "{outer}");
    let holes: Vec<f64> = outline.holes.iter().map(|h| h.signed_area().abs()).collect();
    assert_eq!(holes.len(), 2);
    assert!((holes[0] - 5_428.671).abs() < 2.9 && (holes[1] - 4_021.237_3).abs() < 2.3, "{holes:?}");
    for kind in ["LWPOLYLINE", "CIRCLE", "ELLIPSE"] {
        let words = format!("{kind} does not lie in the plane of the drawing");
        assert!(said(&d, DiagnosticSeverity::Warning, &words), "{:?}", d.diagnostics);
    }
}

#[test]
fn layer_names_in_old_code_pages() {
    for (file, outline, other) in [
        ("names-1252.dxf", "Au\u{df}enkontur", "Ma\u{df}e"),
        (
            "names-1251.dxf",
            "\u{41a}\u{43e}\u{43d}\u{442}\u{443}\u{440}",
            "\u{422}\u{435}\u{43a}\u{441}\u{442}",
        ),
        ("names-932.dxf", "\u{5916}\u{5f62}\u{8868}", "\u{5bf8}\u{6cd5}"),
    ] {
        let d = read(file);
        for name in [outline, other] {
            assert!(d.layers.contains(&(name.to_owned(), 1)), "{file}: {:?}", d.layers);
        }
        // They can be asked for by name, whatever the case.
        let options =
            ImportOptions { layers: Some(vec![outline.to_lowercase()]), ..ImportOptions::default() };
        let d = read_drawing(&path(file), &options).expect("a drawing");
        assert!((area(&d, 0) - 60_000.0).abs() < 1e-6, "{file}: {}", area(&d, 0));
    }
}

#[test]
fn blocks_nested_turned_mirrored_and_in_rows() {
    let d = read("blocks.dxf");
    assert_eq!(d.parts.len(), 1, "{:?}", d.diagnostics);
    assert_eq!(d.parts[0].outline.holes.len(), 12);
    assert!((area(&d, 0) - 107_353.450_7).abs() < 1.0, "{}", area(&d, 0));
}

#[test]
fn release_12_without_unit_with_hidden_layers() {
    let d = read("release-12.dxf");
    assert_eq!((d.unit, d.unit_from), (DrawingUnit::Millimetre, UnitFrom::Guess));
    assert!((area(&d, 0) - 287_342.917_4).abs() < 1e-3, "{}", area(&d, 0));
    assert!(d.parts[0].outline.holes.is_empty());
    assert!(
        said(&d, DiagnosticSeverity::Skipped, "layer HIDDEN left out: it is frozen"),
        "{:?}",
        d.diagnostics
    );
    assert!(said(&d, DiagnosticSeverity::Skipped, "layer DARK left out: it is off"), "{:?}", d.diagnostics);
    assert!(said(&d, DiagnosticSeverity::Skipped, "paper-space"), "{:?}", d.diagnostics);
    assert!(said(&d, DiagnosticSeverity::Warning, "read as millimetre because"), "{:?}", d.diagnostics);
}

#[test]
fn a_hidden_layer_is_read_when_it_is_asked_for() {
    let options =
        ImportOptions { layers: Some(vec!["0".to_owned(), "hidden".to_owned()]), ..ImportOptions::default() };
    let d = read_drawing(&path("release-12.dxf"), &options).expect("a drawing");
    assert_eq!(d.parts[0].outline.holes.len(), 1);
    let none = ImportOptions { layers: Some(vec!["CUT".to_owned()]), ..ImportOptions::default() };
    let says = read_drawing(&path("release-12.dxf"), &none).expect_err("no such layer").to_string();
    assert!(
        says.starts_with("no closed outline found: no layer is named CUT; the drawing has entities on 0"),
        "{says}"
    );
}

#[test]
fn reading_twice_gives_the_same() {
    assert_eq!(exchange::import_json(&read("blocks.dxf")), exchange::import_json(&read("blocks.dxf")));
}

#[test]
fn json_keeps_to_its_schema() {
    let schema =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("schema/import.schema.json"));
    let schema: serde_json::Value = serde_json::from_str(&schema.expect("the schema")).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a valid schema");
    for name in [
        "plate-inch.dxf",
        "other-hand.dxf",
        "ellipse.dxf",
        "spline.dxf",
        "spline-dress.dxf",
        "tilted.dxf",
        "names-932.dxf",
        "blocks.dxf",
        "release-12.dxf",
    ] {
        let json: serde_json::Value =
            serde_json::from_str(&exchange::import_json(&read(name))).expect("JSON");
        let problems: Vec<String> = validator.iter_errors(&json).map(|e| e.to_string()).collect();
        assert!(problems.is_empty(), "{name}: {problems:?}");
        assert_eq!(json["drawing"], name);
    }
    // The schema is not so loose that anything passes.
    assert!(!validator.is_valid(&serde_json::json!({"format": 2})));
}

/// Found in another library's drawing: control points four at a time, as a program writes straight letters.
#[test]
fn splines_that_stand_still_at_their_corners_leave_no_double_corners() {
    let corners = [(-130.1794, 49.5977), (-132.951, 56.9999), (-135.6436, 49.5977)];
    let mut points = vec![corners[0], corners[0]];
    for corner in [corners[1], corners[2]] {
        points.extend([corner; 4]);
    }
    points.extend([corners[0]; 2]);
    let mut text = "0\nSECTION\n2\nENTITIES\n0\nSPLINE\n8\n0\n70\n8\n71\n3\n72\n16\n73\n12\n".to_owned();
    let knots = (0..16).map(|i| f64::from((i - 3).clamp(0, 9)) / 9.0);
    knots.for_each(|k| text += &format!("40\n{k:.12}\n"));
    points.iter().for_each(|(x, y)| text += &format!("10\n{x}\n20\n{y}\n30\n0\n"));
    text += "0\nENDSEC\n0\nEOF\n";
    let options = ImportOptions { unit: Some(DrawingUnit::Centimetre), ..ImportOptions::default() };
    let drawing = read_drawing_bytes("letter.dxf", text.as_bytes(), &options).expect("a drawing");
    assert!(
        drawing.diagnostics.iter().all(|d| d.severity != DiagnosticSeverity::Warning),
        "{:?}",
        drawing.diagnostics
    );
    assert_eq!(geometry::validate(&drawing.parts[0].outline), []);
}

/// Found in another library's drawing: the frame of a text is a polyline of its own, which the text names by handle.
#[test]
fn frames_of_texts_are_no_outlines() {
    let square = |handle: &str, x: f64| {
        format!(
            "0\nLWPOLYLINE\n5\n{handle}\n8\n0\n90\n4\n70\n1\n10\n{x}\n20\n0\n10\n{0}\n20\n0\n10\n{0}\n20\n50\n10\n{x}\n20\n50\n",
            x + 80.0
        )
    };
    let text = "0\nMTEXT\n5\n87\n8\n0\n10\n0\n20\n0\n40\n2.5\n1\nLorem\n1001\nACAD\n\
                1000\nACAD_MTEXT_TEXT_BORDERS_BEGIN\n1070\n80\n1005\n8A\n1000\nACAD_MTEXT_TEXT_BORDERS_END\n";
    for body in [
        format!("{text}{}{}", square("8A", 0.0), square("8B", 200.0)),
        format!("{}{}{text}", square("8A", 0.0), square("8B", 200.0)),
    ] {
        let file = format!("0\nSECTION\n2\nENTITIES\n{body}0\nENDSEC\n0\nEOF\n");
        let drawing =
            read_drawing_bytes("text.dxf", file.as_bytes(), &ImportOptions::default()).expect("a drawing");
        assert_eq!(drawing.parts.len(), 1);
        assert!((drawing.parts[0].outline.bounds().expect("bounds").min.x - 200.0).abs() < 1e-9);
        let said =
            |d: &exchange::Diagnostic| d.what.to_string() == "LWPOLYLINE left out: it is the frame of a text";
        assert!(drawing.diagnostics.iter().any(said), "{:?}", drawing.diagnostics);
    }
}
