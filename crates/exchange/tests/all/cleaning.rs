//! What cleaning makes of drawings as people draw them.

use exchange::{DiagnosticSeverity, Drawing, ImportOptions, read_drawing_bytes};

fn line(a: (f64, f64), b: (f64, f64)) -> String {
    format!("0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1)
}

fn rectangle(x: f64, y: f64, w: f64, h: f64) -> String {
    let c = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
    (0..4).map(|i| line(c[i], c[(i + 1) % 4])).collect()
}

fn circle(x: f64, y: f64, r: f64) -> String {
    format!("0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n40\n{r}\n")
}

fn read(entities: &str) -> Drawing {
    let text = format!("0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n");
    read_drawing_bytes("a.dxf", text.as_bytes(), &ImportOptions::default()).unwrap_or_else(|e| panic!("{e}"))
}

fn area(d: &Drawing, part: usize) -> f64 {
    let o = &d.parts[part].outline;
    o.outer.signed_area() - o.holes.iter().map(|h| h.signed_area()).sum::<f64>()
}

fn count(d: &Drawing, severity: DiagnosticSeverity, words: &str) -> usize {
    d.diagnostics
        .iter()
        .filter(|n| n.severity == severity && n.what.to_string().contains(words))
        .map(|n| n.count)
        .sum()
}

#[test]
fn islands_in_holes_are_parts_of_their_own() {
    let d = read(
        &(circle(100.0, 100.0, 80.0)
            + &circle(100.0, 100.0, 50.0)
            + &circle(100.0, 100.0, 20.0)
            + &rectangle(0.0, 0.0, 200.0, 200.0)
            + &rectangle(300.0, 0.0, 50.0, 40.0)),
    );
    // Square with hole, ring with hole, loose rectangle: by net area.
    assert_eq!(d.parts.len(), 3);
    let pi = std::f64::consts::PI;
    assert!((area(&d, 0) - (40_000.0 - pi * 6400.0)).abs() < 1e-6);
    assert!(
        (area(&d, 1) - pi * (2500.0 - 0.0) + pi * 400.0).abs() < 1e-6 || (area(&d, 1) - 2000.0).abs() < 1e-6
    );
    let holes: Vec<usize> = d.parts.iter().map(|p| p.outline.holes.len()).collect();
    assert_eq!(holes.iter().sum::<usize>(), 2, "{holes:?}");
}

#[test]
fn doubles_are_dropped_whichever_way_they_run() {
    let twice = rectangle(0.0, 0.0, 100.0, 50.0)
        + &line((100.0, 0.0), (0.0, 0.0))
        + &line((100.0, 0.0), (100.0, 50.0));
    let d = read(&(twice + &circle(50.0, 25.0, 5.0) + &circle(50.0, 25.0, 5.0)));
    assert_eq!((d.parts.len(), d.parts[0].outline.holes.len()), (1, 1));
    assert_eq!(count(&d, DiagnosticSeverity::Mended, "LINE drawn twice"), 2);
    assert_eq!(count(&d, DiagnosticSeverity::Mended, "outline drawn twice"), 1);
}

#[test]
fn partly_overlapping_lines_are_drawn_once() {
    let sides = line((0.0, 0.0), (70.0, 0.0)) + &line((100.0, 0.0), (40.0, 0.0));
    let d = read(
        &(sides
            + &line((100.0, 0.0), (100.0, 50.0))
            + &line((100.0, 50.0), (0.0, 50.0))
            + &line((0.0, 50.0), (0.0, 0.0))),
    );
    assert!((area(&d, 0) - 5000.0).abs() < 1e-9);
    assert_eq!(count(&d, DiagnosticSeverity::Mended, "overlapping lines"), 2);
}

#[test]
fn a_bend_line_does_not_cut_the_part_in_two() {
    let halves = line((0.0, 0.0), (60.0, 0.0))
        + &line((60.0, 0.0), (100.0, 0.0))
        + &line((100.0, 0.0), (100.0, 50.0))
        + &line((100.0, 50.0), (60.0, 50.0))
        + &line((60.0, 50.0), (0.0, 50.0))
        + &line((0.0, 50.0), (0.0, 0.0));
    let d = read(&(halves + &line((60.0, 0.0), (60.0, 50.0)) + &line((100.0, 50.0), (130.0, 80.0))));
    assert_eq!(d.parts.len(), 1);
    assert!((area(&d, 0) - 5000.0).abs() < 1e-9);
    assert_eq!(count(&d, DiagnosticSeverity::Warning, "branches off and is not part of the outline"), 1);
    assert!(d.choices.iter().any(|c| c.instead == exchange::Instead::Divide(true)), "{:?}", d.choices);
    assert!(
        d.diagnostics
            .iter()
            .any(|n| n.what.to_string().contains("open ends at")
                && n.what.to_string().contains("(130, 80) mm"))
    );
}

#[test]
fn loops_that_touch_at_a_point_are_two() {
    let d = read(&(rectangle(0.0, 0.0, 50.0, 50.0) + &rectangle(50.0, 50.0, 40.0, 40.0)));
    assert_eq!(d.parts.len(), 2);
    assert!((area(&d, 0) - 2500.0).abs() < 1e-9 && (area(&d, 1) - 1600.0).abs() < 1e-9);
}

#[test]
fn gaps_and_crumbs_are_mended_and_told() {
    let d = read(
        &(line((0.0, 0.0), (99.98, 0.0))
            + &line((100.0, 0.01), (100.0, 50.0))
            + &line((100.0, 50.0), (0.0, 50.0))
            + &line((0.0, 50.0), (0.0, 0.0))
            + &line((20.0, 20.0), (20.0, 20.0))),
    );
    assert_eq!(d.parts.len(), 1);
    assert_eq!(count(&d, DiagnosticSeverity::Mended, "the widest 0.0224 mm"), 1);
    assert_eq!(count(&d, DiagnosticSeverity::Mended, "LINE without length dropped"), 1);
}

#[test]
fn sizes_that_look_wrong_are_told() {
    let d = read(&rectangle(0.0, 0.0, 90_000.0, 100.0));
    assert_eq!(count(&d, DiagnosticSeverity::Warning, "is large for a part to be picked up: 90000 mm"), 1);
}

#[test]
fn svg_shapes_transforms_and_units() {
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="20cm" height="10cm" viewBox="0 0 400 200">
        <g id="cut" transform="translate(200 100) rotate(30) scale(1 -1)"><rect x="-150" y="-60" width="300" height="120" rx="20"/>
        <circle r="30" fill="none" stroke="red"/></g>
        <g display="none"><circle r="10"/></g><text x="3" y="3">word</text></svg>"#;
    let d = read_drawing_bytes("a.svg", svg, &ImportOptions::default()).expect("a drawing");
    assert_eq!((d.unit, d.unit_from), (exchange::DrawingUnit::Centimetre, exchange::UnitFrom::File));
    assert_eq!((d.parts.len(), d.parts[0].outline.holes.len()), (1, 1));
    // One unit of the view box is half a millimetre. Coordinates come in single precision.
    let pi = std::f64::consts::PI;
    let exact = 0.25 * (300.0 * 120.0 - (4.0 - pi) * 400.0 - pi * 900.0);
    assert!((area(&d, 0) - exact).abs() < 0.1, "{} {exact}", area(&d, 0));
    assert_eq!(d.parts[0].outline.outer.vertices.len(), 8, "rounded corners are true arcs");
    assert_eq!(d.parts[0].outline.holes[0].vertices.len(), 2, "a circle is two half circles");
    assert_eq!(d.layers, [("cut".to_owned(), 2)]);
    assert_eq!(count(&d, DiagnosticSeverity::Skipped, "hidden element"), 1);
    assert_eq!(count(&d, DiagnosticSeverity::Skipped, "text left out"), 1);
}

#[test]
fn svg_has_y_upwards() {
    let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">
        <polygon points="0,0 60,0 0,40"/></svg>"#;
    let d = read_drawing_bytes("a.svg", svg, &ImportOptions::default()).expect("a drawing");
    let b = d.parts[0].outline.outer.bounds().expect("bounds");
    assert!((b.min.y - 60.0).abs() < 1e-3 && (b.max.y - 100.0).abs() < 1e-3, "{b:?}");
}

#[test]
fn models_come_back_from_their_table() {
    let library: Vec<document::CupModel> = document::library().iter().map(|m| (**m).clone()).collect();
    let (models, problems) = exchange::read_models_csv(&exchange::models_csv(&library));
    assert!(problems.is_empty(), "{problems:?}");
    assert_eq!(models.len(), library.len());
    for (a, b) in models.iter().zip(&library) {
        assert_eq!((&a.id, &a.name, a.shape, a.folds, a.lip), (&b.id, &b.name, b.shape, b.folds, b.lip));
        assert_eq!((&a.allowed, &a.material, &a.thread), (&b.allowed, &b.material, &b.thread));
        assert_eq!(a.seal_minimum_n_mm.value, b.seal_minimum_n_mm.value);
        assert_eq!((a.channel_mm.value, a.mass_g), (b.channel_mm.value, b.mass_g));
    }
}

#[test]
fn bad_rows_are_told_and_good_ones_come_through() {
    let table = "shape,name,length in,bore mm,height mm,travel mm,axial N/mm,lateral N/mm,hardness Shore A,price\n\
        round,Good,2,4,20,3,20,11,50,9\n\
        star,Odd,2,4,20,3,20,11,50,9\n\
        round,Wide bore,1,40,20,3,20,11,50,9\n\
        round,Good,2,4,20,3,20,11,50,9\n\
        long,No width,2,4,20,3,20,11,50,9\n\
        round,,2,4,20,3,20,11,500,9\n";
    let (models, problems) = exchange::read_models_csv(table);
    assert_eq!(models.len(), 1);
    assert_eq!(models[0].shape, geometry::LipShape::Round { diameter: 50.8 });
    assert_eq!(models[0].axial_n_mm.origin, document::Origin::Stated);
    assert_eq!(models[0].sealing_share.origin, document::Origin::Assumed);
    let told: Vec<(u64, &str)> = problems.iter().map(|p| (p.line, p.column.as_str())).collect();
    assert_eq!(
        told,
        [
            (1, "price"),
            (3, "shape"),
            (4, "bore mm"),
            (5, "name"),
            (6, "width mm"),
            (7, "name"),
            (7, "hardness Shore A"),
        ],
        "{problems:?}"
    );
    assert_eq!(problems[1].says.to_string(), "\"star\" is no shape; use round, long or rectangle");
    let (models, problems) = exchange::read_models_csv("name,shape\nA,round\n");
    assert!(
        models.is_empty()
            && problems[0].says.to_string().starts_with("needed columns are missing: length mm, bore mm")
    );
}

#[test]
fn nested_loops_that_share_an_edge_keep_their_order() {
    // Rectangles that share their left edge, each inside the next: material, hole, material ...
    let closed = |x: f64, y: f64, w: f64, h: f64| {
        format!(
            "0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n10\n{x}\n20\n{y}\n10\n{0}\n20\n{y}\n10\n{0}\n20\n{1}\n10\n{x}\n20\n{1}\n",
            x + w,
            y + h
        )
    };
    for count in [2usize, 3, 4, 7, 8] {
        let size = |i: usize| 100.0 * (i + 1) as f64;
        let text: String = (0..count).map(|i| closed(0.0, 0.0, size(i), size(i))).collect();
        let d = read(&text);
        assert_eq!(d.parts.len(), count.div_ceil(2), "{count} loops");
        assert_eq!(d.parts.iter().map(|p| p.outline.holes.len()).sum::<usize>(), count / 2, "{count} loops");
        let n = count as f64 - 1.0;
        let ring = size(count - 1).powi(2) - if n > 0.0 { size(count - 2).powi(2) } else { 0.0 };
        assert!((area(&d, 0) - ring).abs() < 1e-6, "{count} loops: {}", area(&d, 0));
    }
    // Two that stand side by side with a common edge, in a frame that both touch.
    let d = read(
        &(closed(0.0, 0.0, 300.0, 100.0)
            + &closed(0.0, 0.0, 100.0, 100.0)
            + &closed(100.0, 20.0, 50.0, 50.0)),
    );
    assert_eq!((d.parts.len(), d.parts[0].outline.holes.len()), (1, 2));
    // Three that cross one another in turn are parts all the same, whatever lies in which.
    let d = read(
        &(closed(0.0, 0.0, 100.0, 60.0)
            + &closed(40.0, 30.0, 100.0, 60.0)
            + &closed(20.0, -20.0, 30.0, 150.0)),
    );
    assert!(!d.parts.is_empty());
}

#[test]
fn a_scribble_is_told_without_going_through_its_crossings() {
    // A closed chain of 2000 long lines, which crosses itself some 700 000 times.
    let mut seed = 1u64;
    let mut random = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as f64 / 2f64.powi(31) * 1000.0
    };
    let points: String = (0..2000).map(|_| format!("10\n{}\n20\n{}\n", random(), random())).collect();
    let d = read(&format!("0\nLWPOLYLINE\n8\n0\n90\n2000\n70\n1\n{points}"));
    assert_eq!(count(&d, DiagnosticSeverity::Warning, "not searched for crossings"), 1);
    // One that crosses itself once is told where.
    let d = read(
        "0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n10\n0\n20\n0\n10\n100\n20\n80\n10\n100\n20\n0\n10\n0\n20\n60\n",
    );
    assert_eq!(count(&d, DiagnosticSeverity::Warning, "crosses itself at (42.857, 34.286) mm"), 1);
}

#[test]
fn many_faulty_parts_do_not_flood_the_list() {
    // Bow ties, each of which crosses itself once.
    let tie = |x: f64| {
        let corners = [(x, 0.0), (x + 100.0, 80.0), (x + 100.0, 0.0), (x, 60.0)];
        let points: String = corners.iter().map(|(x, y)| format!("10\n{x}\n20\n{y}\n")).collect();
        format!("0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n{points}")
    };
    let d = read(&(0..130).map(|i| tie(f64::from(i) * 200.0)).collect::<String>());
    assert_eq!(d.parts.len(), 130);
    assert_eq!(count(&d, DiagnosticSeverity::Warning, "crosses itself"), 100);
    assert_eq!(count(&d, DiagnosticSeverity::Warning, "further places where boundaries cross"), 30);
}

/// An arc so flat that it is taken as straight encloses nothing with its chord, whatever its own formula gives.
#[test]
fn a_closed_line_of_no_height_is_no_part() {
    let flat =
        "0\nLWPOLYLINE\n8\n0\n70\n1\n10\n-6.577\n20\n-585971.65\n10\n-6.659\n20\n-594556.13\n42\n1.2e-12\n";
    let plate =
        "0\nLWPOLYLINE\n8\n0\n70\n1\n10\n0\n20\n0\n10\n300\n20\n0\n10\n300\n20\n200\n10\n0\n20\n200\n";
    let text = format!("0\nSECTION\n2\nENTITIES\n{flat}{plate}0\nENDSEC\n0\nEOF\n");
    let drawing =
        exchange::read_drawing_bytes("a.dxf", text.as_bytes(), &exchange::ImportOptions::default()).unwrap();
    assert_eq!(drawing.parts.len(), 1, "{:?}", drawing.parts.iter().map(|p| &p.name).collect::<Vec<_>>());
    assert!(
        drawing.diagnostics.iter().any(|d| d.what.to_string().contains("it encloses no area")),
        "{:?}",
        drawing.diagnostics
    );
}
