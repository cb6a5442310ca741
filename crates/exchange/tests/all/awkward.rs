//! Drawings as customers send them: sheet frames, views, gaps, doubtful units, words of other languages. What each is
//! meant to be was written down with the drawing (`drawings/awkward/README.md`), not taken from our reader.

use exchange::{
    Drawing, DrawingUnit, ImportError, ImportOptions, Instead, LayerUse, PartRole, read_drawing,
    read_drawing_bytes,
};
use geometry::{Loop, Outline, Vertex};
use glam::DVec2;
use std::path::Path;

fn read_with(name: &str, options: &ImportOptions) -> Result<Drawing, ImportError> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/drawings/awkward");
    read_drawing(&folder.join(name), options)
}

fn read(name: &str) -> Drawing {
    read_with(name, &ImportOptions::default()).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// The plate that most of the drawings show.
fn plate() -> Outline {
    let at = DVec2::new;
    let outer = Loop::rounded_rectangle(DVec2::ZERO, at(400.0, 250.0), 20.0);
    let mut holes: Vec<Loop> = [(25.0, 25.0), (375.0, 25.0), (375.0, 225.0), (25.0, 225.0)]
        .map(|(x, y)| Loop::circle(at(x, y), 6.0))
        .into();
    holes.push(Loop::circle(at(120.0, 125.0), 40.0));
    let corner = |x: f64, y: f64, bulge: f64| Vertex { at: at(x, y), bulge };
    let slot = [corner(230.0, 100.0, 0.0), corner(320.0, 100.0, 1.0), corner(320.0, 150.0, 0.0)];
    holes.push(Loop { vertices: slot.into_iter().chain([corner(230.0, 150.0, 1.0)]).collect() });
    Outline { outer, holes }
}

/// How far two boundaries lie apart, summed along them, mm²: a bound of the area between them.
fn between(a: &Loop, b: &Loop) -> f64 {
    let one = |a: &Loop, b: &Loop| {
        let points = a.segments().flat_map(|s| (0..8).map(move |i| s.point_at(f64::from(i) / 8.0)));
        let apart: Vec<f64> = points.map(|p| b.nearest_point(p).map_or(f64::MAX, |n| n.1)).collect();
        apart.iter().sum::<f64>() / apart.len() as f64 * a.perimeter()
    };
    one(a, b).max(one(b, a))
}

/// Whether an outline is the plate within 2 mm², wherever it lies.
fn is_plate(found: &Outline) -> bool {
    let plate = plate();
    let Some(bounds) = found.outer.bounds() else { return false };
    let moved = found.transformed(0.0, false, -bounds.min);
    if moved.holes.len() != plate.holes.len() {
        return false;
    }
    let nearest = |hole: &Loop| moved.holes.iter().map(|h| between(hole, h)).fold(f64::MAX, f64::min);
    between(&plate.outer, &moved.outer) + plate.holes.iter().map(nearest).sum::<f64>() < 2.0
}

/// Drawings whose first part is to be the plate.
const PLATES: [&str; 17] = [
    "n01-title-block-1to1.dxf",
    "n01b-title-block-drawn-1to2.dxf",
    "n03-several-views.dxf",
    "n07a-gap-0.05.dxf",
    "n07b-gap-0.5.dxf",
    "n07c-gap-0.049.dxf",
    "n11-construction.dxf",
    "n15-r12-polyline.dxf",
    "n19-engraved-outlines.dxf",
    "n23-paperspace-only.dxf",
    "n31-single-border.dxf",
    "n33-french-layers.dxf",
    "n35-exploded-dims-touching.dxf",
    "n37-extra-line-over-corner.dxf",
    "n39-block-inch-scaled.dxf",
    "n41-circle-round-part.dxf",
    "n43-german-keepout.dxf",
];

/// The same of SVG files.
const PLATES_SVG: [&str; 8] = [
    "s01-mm-viewbox.svg",
    "s03-no-size-viewbox.svg",
    "s05-pt72.svg",
    "s09-hidden.svg",
    "s13-clip-marker.svg",
    "s15-preserve-ratio.svg",
    "s19-nested-svg.svg",
    "s21-percent.svg",
];

#[test]
fn the_first_part_is_the_plate() {
    let wrong: Vec<&str> = PLATES
        .into_iter()
        .chain(PLATES_SVG)
        .filter(|name| {
            !read_with(name, &ImportOptions::default()).is_ok_and(|d| is_plate(&d.parts[0].outline))
        })
        .collect();
    assert!(wrong.is_empty(), "wrong: {wrong:?}");
}

/// A drawing of our own in a few lines.
pub(super) fn drawn(entities: &str) -> Result<Drawing, ImportError> {
    drawn_with(entities, &ImportOptions::default())
}

pub(super) fn drawn_with(entities: &str, options: &ImportOptions) -> Result<Drawing, ImportError> {
    let text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    );
    read_drawing_bytes("own.dxf", text.as_bytes(), options)
}

pub(super) fn line(a: (f64, f64), b: (f64, f64)) -> String {
    format!("0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n", a.0, a.1, b.0, b.1)
}

pub(super) fn rectangle(x: f64, y: f64, w: f64, h: f64) -> String {
    let c = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
    (0..4).map(|i| line(c[i], c[(i + 1) % 4])).collect()
}

pub(super) fn circle(x: f64, y: f64, r: f64) -> String {
    format!("0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n40\n{r}\n")
}

pub(super) fn text(x: f64, y: f64, says: &str) -> String {
    format!("0\nTEXT\n8\n0\n10\n{x}\n20\n{y}\n40\n3\n1\n{says}\n")
}

pub(super) fn size(d: &Drawing) -> (f64, f64) {
    let b = d.parts[0].outline.outer.bounds().expect("bounds");
    let tidy = |v: f64| (v * 1000.0).round() / 1000.0;
    (tidy(b.width()), tidy(b.height()))
}

/// Turned and mirrored, the plate is the plate still.
#[test]
fn a_plate_turned_and_mirrored_is_the_plate() {
    let d = read("s07-mirror-rotate.svg");
    let found = &d.parts[0].outline;
    let back = found.transformed(-30f64.to_radians(), true, DVec2::ZERO);
    let there = found.transformed(30f64.to_radians(), true, DVec2::ZERO);
    let turned =
        [back, there].into_iter().any(|o| is_plate(&o) || is_plate(&o.transformed(0.0, true, DVec2::ZERO)));
    let areas = |o: &Outline| o.outer.signed_area() - o.holes.iter().map(Loop::signed_area).sum::<f64>();
    assert!((areas(found) - areas(&plate())).abs() < 2.0 && found.holes.len() == 6 && turned);
}

#[test]
fn each_choice_leads_to_its_alternative() {
    for name in ["n01-title-block-1to1.dxf", "n31-single-border.dxf", "n41-circle-round-part.dxf"] {
        let d = read(name);
        let frame = &d.choices[0];
        assert!(frame.says.to_string().contains("sheet frame"), "{name}: {}", frame.says);
        let mut options = ImportOptions::default();
        frame.instead.apply(&mut options);
        let other = read_with(name, &options).expect("read");
        assert!(size(&other).0 > 560.0, "{name}: {:?}", size(&other));
    }
    // The lettering comes back as a hole, the smaller circle of a countersink in place of the larger.
    let toggled = |name: &str| {
        let d = read(name);
        let choice = d.choices.iter().find(|c| matches!(c.instead, Instead::Toggle(_))).expect("a choice");
        let mut options = ImportOptions::default();
        choice.instead.apply(&mut options);
        (d.parts[0].outline.holes.len(), read_with(name, &options).expect("read"))
    };
    let (holes, d) = toggled("n19-engraved-outlines.dxf");
    assert_eq!(d.parts[0].outline.holes.len(), holes + 1);
    let (_, d) = toggled("n21-countersink.dxf");
    let widths: Vec<f64> =
        d.parts[0].outline.holes.iter().filter_map(|h| Some(h.bounds()?.width())).collect();
    assert_eq!(widths.iter().filter(|w| (**w - 12.0).abs() < 1e-6).count(), 1, "{widths:?}");
    assert_eq!(widths.iter().filter(|w| (**w - 22.0).abs() < 1e-6).count(), 3, "{widths:?}");
}

#[test]
fn units_in_doubt_are_a_question_with_both_sizes() {
    let n13 = ["b-mm-values-header-inch", "c-inch-values-header-mm", "d-mm-values-header-m"];
    for (name, taken, other) in [
        (n13[0], "10160 × 6350 mm", "400 × 250 mm"),
        (n13[1], "15.7 × 9.8 mm", "400 × 250 mm"),
        (n13[2], "400000 × 250000 mm", "400 × 250 mm"),
        ("f-mm-small-unstated", "80 × 50 mm", "800 × 500 mm"),
        ("g-cm-values-unstated", "40 × 25 mm", "400 × 250 mm"),
    ] {
        let d = read(&format!("n13{name}.dxf"));
        let asks = |c: &&exchange::Choice| {
            matches!(c.instead, Instead::Unit(_))
                && c.says.to_string().contains(taken)
                && c.other.to_string().contains(other)
        };
        assert!(d.choices.iter().any(|c| asks(&c)), "{name}: {:?}", d.choices);
        assert!(d.choices.iter().filter(asks).all(|c| c.doubtful));
    }
    // What fits is not asked about.
    assert!(read("n15-r12-polyline.dxf").choices.is_empty());
    let d = read("s05b-72dpi-px.svg");
    let mut options = ImportOptions::default();
    d.choices[0].instead.apply(&mut options);
    assert!(is_plate(&read_with("s05b-72dpi-px.svg", &options).expect("read").parts[0].outline));
    // Figures without a unit may be pixels.
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1600\" height=\"1200\" viewBox=\"0 0 1600 1200\">\
               <path d=\"M0,0H1511.811V944.882H0Z\"/></svg>";
    let d = read_drawing_bytes("p.svg", svg.as_bytes(), &ImportOptions::default()).expect("read");
    let offered: Vec<String> = d.choices.iter().map(|c| c.other.to_string()).collect();
    assert!(offered[0].contains("96 to the inch, 400 × 250 mm"), "{offered:?}");
    assert!(offered[1].contains("72 to the inch, 533.3 × 333.3 mm"), "{offered:?}");
}

#[test]
fn the_scale_of_a_sheet_is_a_question_with_both_sizes() {
    let d = read("n01b-title-block-drawn-1to2.dxf");
    let scale = d.choices.iter().find(|c| matches!(c.instead, Instead::Scale(_))).expect("asked");
    assert!(
        scale.says.to_string().contains("400 × 250 mm") && scale.other.to_string().contains("200 × 125 mm"),
        "{scale:?}"
    );
    assert_eq!(d.scale, 2.0);
    // Stated alone, beside a part in its own size, it is asked and not taken.
    let d = drawn(&(rectangle(0.0, 0.0, 300.0, 200.0) + &text(0.0, -20.0, "Scale 1:5"))).expect("read");
    assert_eq!((size(&d), d.scale), ((300.0, 200.0), 1.0));
    assert!(d.choices.iter().any(|c| c.instead == Instead::Scale(5.0)), "{:?}", d.choices);
    // A sheet drawn five times as large shows the part as it is.
    let sheet = rectangle(-500.0, -500.0, 2100.0, 1485.0) + &text(1400.0, -450.0, "M 1:5");
    let part = rectangle(0.0, 0.0, 900.0, 600.0) + &circle(200.0, 200.0, 30.0) + &circle(700.0, 400.0, 30.0);
    let d = drawn(&(sheet + &part + &text(1400.0, -480.0, "Plate"))).expect("read");
    assert_eq!((size(&d), d.scale, d.choices.len()), ((900.0, 600.0), 1.0, 1), "{:?}", d.choices);
}

#[test]
fn a_plate_of_paper_size_stays_a_plate() {
    let holes: String = [(20.0, 20.0), (574.0, 20.0), (20.0, 400.0), (574.0, 400.0)]
        .iter()
        .map(|(x, y)| circle(*x, *y, 5.5))
        .collect();
    let d = drawn(&(rectangle(0.0, 0.0, 594.0, 420.0) + &holes)).expect("read");
    assert_eq!((size(&d), d.parts[0].outline.holes.len()), ((594.0, 420.0), 4));
    assert!(d.choices.is_empty(), "{:?}", d.choices);
}

#[test]
fn a_plate_with_a_window_and_figures_in_it_stays_a_plate() {
    let figures = [(150.0, 20.0, "100"), (150.0, 170.0, "R5"), (30.0, 90.0, "80"), (260.0, 90.0, "%%c12")];
    let figures: String = figures.iter().map(|(x, y, says)| text(*x, *y, says)).collect();
    // Dimension lines from the edge to the window.
    let lines = line((0.0, 100.0), (100.0, 100.0))
        + &line((200.0, 100.0), (300.0, 100.0))
        + &line((150.0, 0.0), (150.0, 60.0))
        + &line((150.0, 140.0), (150.0, 200.0));
    let plate = rectangle(0.0, 0.0, 300.0, 200.0) + &rectangle(100.0, 60.0, 100.0, 80.0);
    let d = drawn(&(plate + &figures + &lines)).expect("read");
    assert_eq!((size(&d), d.parts[0].outline.holes.len()), ((300.0, 200.0), 1), "{:?}", d.choices);
}

#[test]
fn an_outline_that_fails_is_named_and_no_hole_takes_its_place() {
    // A corner is missing by 3 mm: more than is closed unasked.
    let open = line((0.0, 0.0), (300.0, 0.0))
        + &line((300.0, 0.0), (300.0, 200.0))
        + &line((300.0, 200.0), (3.0, 200.0))
        + &line((0.0, 200.0), (0.0, 0.0));
    let holes = circle(50.0, 50.0, 8.0) + &circle(200.0, 100.0, 40.0);
    let says = drawn(&(open.clone() + &holes)).expect_err("not a hole").to_string();
    assert!(says.contains("300 × 200 mm does not close"), "{says}");
    assert!(says.contains("(1.5, 200) mm (3 mm wide)") && says.contains("within 3 mm"), "{says}");
    let options = ImportOptions { gap_mm: 3.0, ..ImportOptions::default() };
    let d = drawn_with(&(open.clone() + &holes), &options).expect("closes");
    assert_eq!((size(&d), d.parts[0].outline.holes.len()), ((300.0, 200.0), 2));
    // The same without anything that closes: it is named, its ends and what would close it too, and a window shows it.
    match drawn(&open).expect_err("nothing closes") {
        ImportError::OpenOutline { gap_mm, picture, .. } => {
            assert!((gap_mm - 3.0).abs() < 1e-9, "{gap_mm}");
            assert_eq!(picture.ends.len(), 2, "{:?}", picture.ends);
            assert!(picture.open.iter().flatten().count() >= 4);
        }
        other => panic!("{other}"),
    }
    match drawn(&line((0.0, 0.0), (300.0, 0.0))).expect_err("nothing closes") {
        ImportError::NoOutline { picture, .. } => {
            assert_eq!((picture.open.len(), picture.ends.len()), (1, 2))
        }
        other => panic!("{other}"),
    }
    // A whole side is missing.
    let three = line((0.0, 0.0), (300.0, 0.0))
        + &line((300.0, 0.0), (300.0, 200.0))
        + &line((0.0, 200.0), (0.0, 0.0));
    assert!(
        matches!(drawn(&(three + &holes)), Err(ImportError::OpenOutline { gap_mm, .. }) if (gap_mm - 300.0).abs() < 1e-6)
    );
    // Asked for by its place, the hole is taken.
    let options = ImportOptions { inside: Some(DVec2::new(200.0, 100.0)), ..ImportOptions::default() };
    assert_eq!(size(&drawn_with(&(open + &holes), &options).expect("a disc")), (80.0, 80.0));
}

#[test]
fn lines_that_cross_or_stop_short_at_corners_meet_there() {
    for by in [0.3, -0.3, 1.0, -1.0] {
        let sides = line((-by, 0.0), (300.0 + by, 0.0))
            + &line((300.0, -by), (300.0, 200.0 + by))
            + &line((300.0 + by, 200.0), (-by, 200.0))
            + &line((0.0, 200.0 + by), (0.0, -by));
        let d = drawn(&(sides + &circle(100.0, 100.0, 20.0))).unwrap_or_else(|e| panic!("{by}: {e}"));
        assert_eq!((size(&d), d.parts[0].outline.holes.len()), ((300.0, 200.0), 1), "{by}");
        let area = d.parts[0].outline.outer.signed_area();
        assert!((area - 60_000.0).abs() < 1e-6, "{by}: {area}");
    }
    // Dashes are no outline.
    let dashes: String =
        (0..60).map(|i| line((f64::from(i) * 5.0, 50.0), (f64::from(i) * 5.0 + 3.5, 50.0))).collect();
    let d = drawn(&(rectangle(0.0, 0.0, 300.0, 200.0) + &dashes)).expect("read");
    assert_eq!((d.parts.len(), d.parts[0].outline.holes.len(), d.choices.len()), (1, 0, 0));
}

#[test]
fn views_come_after_the_part_and_the_one_with_the_holes_first() {
    // From below without holes, from above with them, from the side.
    let below = rectangle(0.0, 300.0, 400.0, 250.0);
    let above = rectangle(0.0, 0.0, 400.0, 250.0) + &circle(60.0, 60.0, 8.0) + &circle(300.0, 180.0, 25.0);
    let side = rectangle(450.0, 0.0, 12.0, 250.0);
    let d = drawn(&(below + &above + &side)).expect("read");
    assert_eq!(d.parts[0].outline.holes.len(), 2);
    let roles: Vec<PartRole> = d.parts.iter().map(|p| p.role).collect();
    assert_eq!(roles, [PartRole::Part, PartRole::View, PartRole::View]);
    // Two equal blanks side by side are two parts.
    let two = rectangle(0.0, 0.0, 400.0, 250.0) + &circle(60.0, 60.0, 8.0);
    let d = drawn(&(two + &rectangle(450.0, 0.0, 400.0, 250.0) + &circle(510.0, 60.0, 8.0))).expect("read");
    assert!(d.parts.iter().all(|p| p.role == PartRole::Part));
}

#[test]
fn pitch_circles_threads_and_centre_lines_are_told_by_where_they_lie() {
    let bolts: String = (0..6)
        .map(|i| {
            let a = f64::from(i).to_radians() * 60.0;
            circle(200.0 + 80.0 * a.cos(), 125.0 + 80.0 * a.sin(), 5.0)
        })
        .collect();
    let thread =
        "0\nARC\n8\n0\n10\n40\n20\n40\n40\n5\n50\n0\n51\n270\n".to_owned() + &circle(40.0, 40.0, 4.25);
    let cross = line((20.0, 40.0), (60.0, 40.0)) + &line((40.0, 20.0), (40.0, 60.0));
    let plate = rectangle(0.0, 0.0, 400.0, 250.0) + &circle(200.0, 125.0, 80.0) + &circle(200.0, 125.0, 30.0);
    let d = drawn(&(plate + &bolts + &thread + &cross)).expect("read");
    assert_eq!((d.parts.len(), d.parts[0].outline.holes.len()), (1, 8), "{:?}", d.diagnostics);
    assert!(d.choices.iter().any(|c| c.says.to_string().contains("pitch circle")), "{:?}", d.choices);
    let warned = d.diagnostics.iter().filter(|n| n.severity == exchange::DiagnosticSeverity::Warning).count();
    assert_eq!(warned, 0, "{:?}", d.diagnostics);
}

#[test]
fn a_box_and_a_layer_narrow_what_is_read() {
    let entities =
        rectangle(0.0, 0.0, 400.0, 250.0) + &rectangle(500.0, 0.0, 100.0, 80.0) + &circle(550.0, 40.0, 10.0);
    let within = Some([DVec2::new(450.0, -50.0), DVec2::new(700.0, 300.0)]);
    let d = drawn_with(&entities, &ImportOptions { within, ..ImportOptions::default() }).expect("read");
    assert_eq!((d.parts.len(), size(&d), d.parts[0].outline.holes.len()), (1, (100.0, 80.0), 1));
    let inside = Some(DVec2::new(1000.0, 0.0));
    let says = drawn_with(&entities, &ImportOptions { inside, ..ImportOptions::default() })
        .expect_err("nothing there");
    assert!(says.to_string().contains("no closed line lies around"), "{says}");
}

#[test]
fn only_what_is_in_the_drawing_is_told_as_left_out() {
    let d = read("n07c-gap-0.049.dxf");
    assert!(d.diagnostics.iter().all(|n| !n.what.to_string().contains("SOLID")), "{:?}", d.diagnostics);
    let d = read("n43-german-keepout.dxf");
    assert_eq!(d.parts[0].keep_outs.len(), 1);
    assert!(d.layer_infos.iter().any(|l| l.name == "Sperrfläche" && l.used == LayerUse::KeepOut));
}

#[test]
fn what_a_clip_path_hides_is_left_out_and_what_it_shows_is_not() {
    let svg = |clip: &str, body: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:i=\"http://drawing\" width=\"400mm\" height=\"250mm\" \
             viewBox=\"0 0 400 250\"><defs><clipPath id=\"c\">{clip}</clipPath></defs>{body}</svg>"
        );
        read_drawing_bytes("c.svg", text.as_bytes(), &ImportOptions::default())
    };
    let page = "<rect width=\"400\" height=\"250\"/>";
    let plate =
        "<rect x=\"50\" y=\"50\" width=\"200\" height=\"100\"/><circle cx=\"100\" cy=\"100\" r=\"9\"/>";
    let d = svg(page, &format!("<g clip-path=\"url(#c)\">{plate}</g>")).expect("read");
    assert_eq!((size(&d), d.parts[0].outline.holes.len(), d.diagnostics.len()), ((200.0, 100.0), 1, 0));
    let hidden = "<g clip-path=\"url(#c)\"><rect x=\"-500\" y=\"-500\" width=\"2000\" height=\"2000\"/></g>";
    let d = svg(page, &format!("{hidden}{plate}")).expect("read");
    assert_eq!((d.parts.len(), size(&d)), (1, (200.0, 100.0)));
    assert_eq!(d.diagnostics.len(), 1, "{:?}", d.diagnostics);
    // A group goes by the name that its program shows.
    let named = "<g id=\"layer2\" i:label=\"Zona prohibida\"><circle cx=\"200\" cy=\"100\" r=\"9\"/></g>";
    let d = svg(page, &format!("{plate}{named}")).expect("read");
    assert_eq!((d.parts[0].outline.holes.len(), d.parts[0].keep_outs.len()), (1, 1));
    assert_eq!(d.unit, DrawingUnit::Millimetre);
}

#[test]
fn lines_drawn_on_a_part_are_no_edges_of_it() {
    let holes: String =
        [(25.0, 25.0), (375.0, 25.0), (375.0, 225.0), (25.0, 225.0)].map(|(x, y)| circle(x, y, 5.5)).concat();
    // A border inside the outline that holds the holes.
    let d = drawn(&(rectangle(0.0, 0.0, 400.0, 250.0) + &rectangle(10.0, 10.0, 380.0, 230.0) + &holes))
        .expect("read");
    assert_eq!((d.parts.len(), size(&d), d.parts[0].outline.holes.len()), (1, (400.0, 250.0), 4));
    let mut options = ImportOptions::default();
    d.choices[0].instead.apply(&mut options);
    let border = rectangle(0.0, 0.0, 400.0, 250.0) + &rectangle(10.0, 10.0, 380.0, 230.0) + &holes;
    assert_eq!(size(&drawn_with(&border, &options).expect("read")), (380.0, 230.0));
    // A circle about a corner points out a detail.
    let d = drawn(&(rectangle(0.0, 0.0, 400.0, 250.0) + &holes + &circle(10.0, 10.0, 30.0))).expect("read");
    assert_eq!((d.parts.len(), d.parts[0].outline.holes.len()), (1, 4), "{:?}", d.choices);
    // A thick line turned into an area has two sides, and is one line.
    let d = read("s17-outline-strokes-as-fills.svg");
    assert_eq!((size(&d), d.parts[0].outline.holes.len(), d.parts.len()), ((400.0, 250.0), 0, 1));
    // A stepped hole is one hole.
    let step = circle(200.0, 125.0, 60.0) + &circle(200.0, 125.0, 50.0);
    let d = drawn(&(rectangle(0.0, 0.0, 400.0, 250.0) + &holes + &step)).expect("read");
    assert_eq!((d.parts.len(), d.parts[0].outline.holes.len()), (1, 5));
}

#[test]
fn the_background_of_a_page_is_no_part() {
    let svg = |body: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"400mm\" height=\"250mm\" viewBox=\"0 0 400 250\">{body}</svg>"
        );
        read_drawing_bytes("c.svg", text.as_bytes(), &ImportOptions::default()).expect("read")
    };
    let page = "<rect width=\"400\" height=\"250\" fill=\"white\"/>";
    let part = "<path fill=\"none\" stroke=\"black\" d=\"M50,50 H250 V150 H100 Z\"/>";
    assert_eq!(size(&svg(&format!("{page}{part}"))), (200.0, 100.0));
    assert_eq!(size(&svg(page)), (400.0, 250.0));
}

#[test]
fn dimensions_that_were_taken_apart_tell_the_scale_and_what_is_not_read_is_shown() {
    let on = |layer: &str, text: &str| text.replace("8\n0\n", &format!("8\n{layer}\n"));
    let plate = rectangle(0.0, 0.0, 200.0, 125.0) + &circle(60.0, 60.0, 20.0);
    let apart = line((0.0, -20.0), (200.0, -20.0))
        + &text(92.0, -18.5, "400")
        + &line((220.0, 0.0), (220.0, 125.0))
        + &text(222.0, 60.0, "250");
    let d = drawn(&(plate.clone() + &on("DIM", &apart))).expect("read");
    assert_eq!(size(&d), (400.0, 250.0), "{:?}", d.choices);
    assert!(d.choices.iter().any(|c| c.doubtful && c.says.to_string().contains("400")), "{:?}", d.choices);
    // In the size that the part is in.
    let widest = d.picture.beside.iter().flatten().map(|p| p.x).fold(f64::MIN, f64::max);
    assert!((widest - 440.0).abs() < 1e-6, "{widest}");
    assert!(d.picture.texts.iter().any(|t| t.says == "400" && (t.middle.y + 33.5).abs() < 2.0));
    let full = on("DIM", &apart.replace("\n400\n", "\n200\n").replace("\n250\n", "\n125\n"));
    let d = drawn(&(plate + &full)).expect("read");
    assert_eq!((size(&d), d.choices.len()), ((200.0, 125.0), 0), "{:?}", d.choices);
}

#[test]
fn a_border_with_a_title_block_in_its_corner_is_no_part() {
    // A flange as the only round thing on the sheet, with a view from its side.
    let sheet = rectangle(0.0, 0.0, 420.0, 297.0) + &rectangle(10.0, 10.0, 400.0, 277.0);
    let title = rectangle(230.0, 10.0, 180.0, 50.0)
        + &text(240.0, 20.0, "MASSSTAB 1:5")
        + &text(240.0, 40.0, "Datum 2026-11-30");
    let drawing =
        circle(120.0, 160.0, 60.0) + &circle(120.0, 160.0, 30.0) + &rectangle(250.0, 100.0, 20.0, 120.0);
    let d = drawn(&(sheet + &title + &drawing)).expect("read");
    assert_eq!((size(&d), d.parts[0].outline.holes.len()), ((600.0, 600.0), 1), "{:?}", d.choices);
    // A plate with a pocket cut from its corner region is a plate still.
    let plate =
        rectangle(0.0, 0.0, 400.0, 250.0) + &rectangle(20.0, 20.0, 100.0, 60.0) + &circle(300.0, 150.0, 20.0);
    let d = drawn(&plate).expect("read");
    assert_eq!((size(&d), d.parts[0].outline.holes.len()), ((400.0, 250.0), 2));
}

#[test]
fn dimensions_in_inches_tell_the_scale_of_a_drawing_in_millimetres() {
    let at = [text(92.0, -18.5, "15.748"), text(222.0, 60.0, "9.843")].concat();
    let lines = line((0.0, -20.0), (200.0, -20.0)) + &line((220.0, 0.0), (220.0, 125.0));
    let d = drawn(&(rectangle(0.0, 0.0, 200.0, 125.0) + &lines + &at)).expect("read");
    assert_eq!(size(&d), (400.0, 250.0), "{:?}", d.choices);
    assert!(d.choices.iter().any(|c| c.doubtful), "{:?}", d.choices);
}

#[test]
fn a_page_of_what_has_none_is_told() {
    let options = ImportOptions { page: 3, ..ImportOptions::default() };
    let d = drawn_with(&rectangle(0.0, 0.0, 300.0, 200.0), &options).expect("read");
    assert!(
        d.diagnostics.iter().any(|told| told.what.to_string().contains("only a PDF has pages")),
        "{:?}",
        d.diagnostics
    );
}
