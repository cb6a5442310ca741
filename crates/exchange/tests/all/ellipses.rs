//! Ellipses of a drawing, whole and in parts, against their closed forms: area and centroid to 1e-6.

use exchange::{Drawing, ImportOptions, read_drawing_bytes};
use glam::{DAffine2, DMat2, DVec2};
use std::f64::consts::{PI, TAU};

const TRUE_TO: f64 = 1e-6;

fn read(name: &str, text: &str) -> Drawing {
    read_drawing_bytes(name, text.as_bytes(), &ImportOptions::default()).expect(name)
}

/// 1 px is 1 mm; y turned upwards from the lower edge, at 1000.
fn svg(inside: &str) -> Drawing {
    read(
        "ellipse.svg",
        &format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1000mm\" height=\"1000mm\" viewBox=\"0 0 1000 1000\">{inside}</svg>"
        ),
    )
}

/// Area, centroid and how many pieces of the one part.
fn of(drawing: &Drawing) -> (f64, DVec2, usize) {
    assert_eq!(drawing.parts.len(), 1, "{:?}", drawing.diagnostics);
    let outline = &drawing.parts[0].outline;
    assert!(outline.holes.is_empty() && geometry::validate(outline).is_empty());
    let section = geometry::section(outline).expect("an area");
    (section.area, section.centroid, outline.outer.vertices.len())
}

/// `centroid` where the drawing has it, y upwards, and how large the shape is, mm.
fn is(drawing: &Drawing, area: f64, centroid: DVec2, size: f64, what: &str) -> usize {
    let (found, at, pieces) = of(drawing);
    assert!((found / area - 1.0).abs() < TRUE_TO, "{what}: area {found} of {area}, {:e}", found / area - 1.0);
    let off = at.distance(centroid);
    assert!(off < TRUE_TO * size, "{what}: centroid {at}, {off} mm off {centroid}");
    pieces
}

/// Area and centroid of a sector of the unit circle from 0 to `sweep`, by hand.
fn sector(sweep: f64) -> (f64, DVec2) {
    (sweep / 2.0, DVec2::new(sweep.sin(), 1.0 - sweep.cos()) * (2.0 / 3.0 / sweep))
}

#[test]
fn a_quarter_ellipse_as_an_arc_command_is_exact() {
    for (a, b) in [(200.0, 60.0), (100.0, 50.0), (50.0, 3.0), (300.0, 299.0), (10.0, 6.0), (8.0, 8.0)] {
        let drawing = svg(&format!("<path d=\"M0 0H{a}A{a} {b} 0 0 1 0 {b}Z\"/>"));
        let centroid = DVec2::new(4.0 * a / (3.0 * PI), 1000.0 - 4.0 * b / (3.0 * PI));
        let pieces = is(&drawing, PI * a * b / 4.0, centroid, a, &format!("{a} by {b}"));
        assert!(pieces <= 60, "{pieces} pieces of {a} by {b}");
        if a == b {
            assert_eq!(pieces, 3);
        }
    }
}

/// Sectors of turned ellipses, small and large, both ways round, through every kind of transform.
#[test]
fn arcs_with_every_flag_and_transform_are_exact() {
    let transforms = [
        ("", DMat2::IDENTITY),
        ("scale(2 0.5)", DMat2::from_diagonal(DVec2::new(2.0, 0.5))),
        ("scale(-1.25 0.75)", DMat2::from_diagonal(DVec2::new(-1.25, 0.75))),
        ("matrix(1 0 0.5 1 0 0)", DMat2::from_cols(DVec2::X, DVec2::new(0.5, 1.0))),
        ("matrix(0.75 0.5 -0.5 0.75 0 0)", DMat2::from_cols(DVec2::new(0.75, 0.5), DVec2::new(-0.5, 0.75))),
    ];
    let half = DVec2::new(90.0, 40.0);
    for (transform, matrix) in transforms {
        for turn in [0.0_f64, 30.0, -77.0] {
            for sweep in [70.0_f64, 180.0, 290.0, -40.0, -250.0] {
                let sweep_rad = sweep.to_radians();
                let ellipse = DAffine2::from_mat2_translation(
                    DMat2::from_angle(turn.to_radians()) * DMat2::from_diagonal(half),
                    DVec2::new(10.0, -5.0),
                );
                let start = 0.4;
                let (c, p, q) = (
                    ellipse.translation,
                    ellipse.transform_point2(DVec2::from_angle(start)),
                    ellipse.transform_point2(DVec2::from_angle(start + sweep_rad)),
                );
                let flags = format!("{} {}", u8::from(sweep.abs() > 180.0), u8::from(sweep > 0.0));
                let drawing = svg(&format!(
                    "<g transform=\"translate(500 500)\"><path transform=\"{transform}\" d=\"M{} {}L{} {}A{} {} {turn} {flags} {} {}Z\"/></g>",
                    c.x, c.y, p.x, p.y, half.x, half.y, q.x, q.y
                ));
                let what = format!("{transform} turned {turn} over {sweep}");
                // y upwards.
                let up = DMat2::from_diagonal(DVec2::new(1.0, -1.0));
                let middle = DVec2::splat(500.0);
                let map =
                    DAffine2::from_mat2_translation(up * matrix * ellipse.matrix2, middle + up * matrix * c);
                let (area, centroid) = sector(sweep_rad);
                let centroid = map.transform_point2(DVec2::from_angle(start).rotate(centroid));
                let area = (area * map.matrix2.determinant()).abs();
                let pieces = is(&drawing, area, centroid, 180.0, &what);
                assert!(pieces <= 200, "{pieces} pieces: {what}");
            }
        }
    }
}

#[test]
fn shapes_of_the_format_are_exact_under_every_scale() {
    for (shape, area, size, middle) in [
        (
            "<ellipse cx=\"120\" cy=\"70\" rx=\"100\" ry=\"40\"/>",
            PI * 4000.0,
            DVec2::new(200.0, 80.0),
            DVec2::new(120.0, 70.0),
        ),
        (
            "<circle cx=\"60\" cy=\"50\" r=\"45\"/>",
            PI * 45.0 * 45.0,
            DVec2::new(90.0, 90.0),
            DVec2::new(60.0, 50.0),
        ),
        (
            "<g transform=\"scale(2 0.5)\"><circle cx=\"60\" cy=\"80\" r=\"45\"/></g>",
            PI * 45.0 * 45.0,
            DVec2::new(180.0, 45.0),
            DVec2::new(120.0, 40.0),
        ),
        (
            "<ellipse cx=\"500\" cy=\"500\" rx=\"450\" ry=\"200\"/>",
            PI * 90_000.0,
            DVec2::new(900.0, 400.0),
            DVec2::splat(500.0),
        ),
        (
            "<rect x=\"20\" y=\"30\" width=\"200\" height=\"120\" rx=\"40\" ry=\"20\"/>",
            24_000.0 - (4.0 - PI) * 800.0,
            DVec2::new(200.0, 120.0),
            DVec2::new(120.0, 90.0),
        ),
        // Four customary quarters of an ellipse, as programs write them.
        (
            "<path d=\"M220 70C220 92.0914 175.2285 110 120 110S20 92.0914 20 70 64.7715 30 120 30 220 47.9086 220 70Z\"/>",
            PI * 4000.0,
            DVec2::new(200.0, 80.0),
            DVec2::new(120.0, 70.0),
        ),
    ] {
        let drawing = svg(shape);
        let pieces = is(&drawing, area, DVec2::new(middle.x, 1000.0 - middle.y), size.x, shape);
        assert!(pieces <= 170, "{pieces} pieces: {shape}");
    }
    // A circle is two arcs, whatever turns or evenly scales it.
    for transform in ["", "rotate(30)", "rotate(17) scale(1.7)", "scale(-0.3 0.3)"] {
        let drawing = svg(&format!(
            "<g transform=\"translate(500 500) {transform}\"><path d=\"M-50 0A50 50 0 1 0 50 0A50 50 0 1 0 -50 0Z\"/></g>"
        ));
        let (area, _, pieces) = of(&drawing);
        let scale = if transform.contains("1.7") {
            1.7
        } else if transform.contains("0.3") {
            0.3
        } else {
            1.0
        };
        assert!(
            (area / (PI * 2500.0 * scale * scale) - 1.0).abs() < TRUE_TO && pieces <= 4,
            "{pieces} pieces, {transform}"
        );
    }
}

/// A curve drawn by hand that is no ellipse is followed as it is.
#[test]
fn a_free_curve_stays_one() {
    let drawing = svg("<path d=\"M0 0C0 150 300 150 300 0Z\"/>");
    // y = 450 t (1 - t) and dx = 1800 t (1 - t) dt, so that the area is 810,000 B(3, 3) = 810,000 / 30.
    let (area, ..) = of(&drawing);
    let exact = 27_000.0;
    assert!((area - exact).abs() < 0.01 * 300.0, "{area} of {exact}");
}

#[test]
fn ellipses_of_a_drawing_exchange_file_are_exact() {
    let entity = |major: DVec2, ratio: f64, start: f64, end: f64| {
        format!(
            "0\nELLIPSE\n8\n0\n100\nAcDbEntity\n100\nAcDbEllipse\n10\n50.0\n20\n30.0\n30\n0.0\n11\n{}\n21\n{}\n31\n0.0\n40\n{ratio}\n41\n{start}\n42\n{end}\n",
            major.x, major.y
        )
    };
    let file = |entities: &str| {
        read(
            "ellipse.dxf",
            &format!(
                "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
            ),
        )
    };
    for (major, ratio) in [
        (DVec2::new(180.0, 60.0), 0.4),
        (DVec2::new(12.0, 0.0), 0.7),
        (DVec2::new(0.0, 300.0), 0.02),
        (DVec2::new(100.0, 3.0), 0.9999),
    ] {
        let drawing = file(&entity(major, ratio, 0.0, TAU));
        let area = PI * major.length_squared() * ratio;
        let pieces =
            is(&drawing, area, DVec2::new(50.0, 30.0), 2.0 * major.length(), &format!("{major} by {ratio}"));
        assert!(pieces <= 220, "{pieces} pieces of {major} by {ratio}");
    }
    // Half of one, closed by a line.
    let (major, ratio) = (DVec2::new(80.0, 0.0), 0.5);
    let line = "0\nLINE\n8\n0\n10\n130.0\n20\n30.0\n30\n0.0\n11\n-30.0\n21\n30.0\n31\n0.0\n";
    let drawing = file(&(entity(major, ratio, 0.0, PI) + line));
    is(&drawing, PI * 80.0 * 40.0 / 2.0, DVec2::new(50.0, 30.0 + 4.0 * 40.0 / (3.0 * PI)), 160.0, "half");
}
