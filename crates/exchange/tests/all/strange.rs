//! Drawings that mean something else at a second look: parts cut along a common line, rims, views larger than the part,
//! figures in another unit. Each is drawn here in a few lines; what it means is common practice of drawing, no source.

use super::awkward::{circle, drawn, drawn_with, line, rectangle, size, text};
use exchange::{Choice, Drawing, DrawingUnit, ImportOptions, Instead, PartRole};

/// A rectangle with round corners.
fn rounded(x: f64, y: f64, w: f64, h: f64, r: f64) -> String {
    let b = std::f64::consts::FRAC_PI_8.tan();
    let corners = [
        (x + r, y, 0.0),
        (x + w - r, y, b),
        (x + w, y + r, 0.0),
        (x + w, y + h - r, b),
        (x + w - r, y + h, 0.0),
        (x + r, y + h, b),
        (x, y + h - r, 0.0),
        (x, y + r, b),
    ];
    let vertices: String = corners.map(|(x, y, b)| format!("10\n{x}\n20\n{y}\n42\n{b}\n")).concat();
    format!("0\nLWPOLYLINE\n8\n0\n90\n8\n70\n1\n{vertices}")
}

/// The 400 × 250 mm plate with four bolt holes, a large one and a slot.
fn plate(x: f64, y: f64) -> String {
    let bolts = [(25.0, 25.0), (375.0, 25.0), (375.0, 225.0), (25.0, 225.0)];
    rounded(x, y, 400.0, 250.0, 20.0)
        + &bolts.map(|(u, v)| circle(x + u, y + v, 6.0)).concat()
        + &circle(x + 120.0, y + 125.0, 40.0)
        + &rounded(x + 205.0, y + 100.0, 140.0, 50.0, 24.0)
}

/// A dimension across, with what it prints.
fn dimension(a: (f64, f64), b: (f64, f64), prints: &str) -> String {
    let [(x1, y1), (x2, y2)] = [a, b];
    format!(
        "0\nDIMENSION\n8\n0\n10\n{x1}\n20\n{}\n1\n{prints}\n70\n0\n13\n{x1}\n23\n{y1}\n14\n{x2}\n24\n{y2}\n",
        y1 - 20.0
    )
}

fn holes(d: &Drawing) -> usize {
    d.parts[0].outline.holes.len()
}

fn choice(d: &Drawing, which: impl Fn(&Choice) -> bool) -> &Choice {
    d.choices.iter().find(|c| which(c)).unwrap_or_else(|| panic!("{:?}", d.choices))
}

fn taken(entities: &str, choice: &Choice) -> Drawing {
    let mut options = ImportOptions::default();
    choice.instead.apply(&mut options);
    drawn_with(entities, &options).expect("read")
}

#[test]
fn a_line_from_edge_to_edge_may_cut_two_parts_apart() {
    let holes_at = |all: &[f64]| all.iter().map(|x| circle(*x, 125.0, 10.0)).collect::<String>();
    let outline = rectangle(0.0, 0.0, 400.0, 250.0);
    // Ends on the outline; past it on both sides; short of it by less than a gap.
    for (low, high) in [(0.0, 250.0), (-10.0, 260.0), (0.02, 249.98)] {
        let drawing =
            outline.clone() + &line((150.0, low), (150.0, high)) + &holes_at(&[50.0, 100.0, 200.0, 350.0]);
        let d = drawn(&drawing).expect("read");
        assert_eq!((d.parts.len(), size(&d), holes(&d)), (1, (400.0, 250.0), 4));
        let asked = choice(&d, |c| c.instead == Instead::Divide(true));
        assert!(asked.doubtful && asked.other.to_string().contains("250 × 250 mm"), "{}", asked.other);
        assert!(!d.diagnostics.iter().any(|n| n.what.to_string().contains("does not close")), "told twice");
        let cut = taken(&drawing, asked);
        assert_eq!((cut.parts.len(), size(&cut), holes(&cut)), (2, (250.0, 250.0), 2), "{low} to {high}");
        assert!(cut.parts.iter().all(|p| geometry::validate(&p.outline).is_empty()));
        // And back.
        let back = choice(&cut, |c| c.instead == Instead::Divide(false));
        assert_eq!(size(&taken(&drawing, back)), (400.0, 250.0));
    }
    // Three in a row, and four in a cross of lines that meet nowhere on purpose.
    let three = outline.clone() + &line((100.0, 0.0), (100.0, 250.0)) + &line((300.0, 0.0), (300.0, 250.0));
    let options = ImportOptions { divide: true, ..ImportOptions::default() };
    assert_eq!(drawn_with(&three, &options).expect("read").parts.len(), 3);
    let four = outline.clone() + &line((150.0, 0.0), (150.0, 250.0)) + &line((0.0, 100.0), (400.0, 100.0));
    let d = drawn_with(&four, &options).expect("read");
    assert_eq!((d.parts.len(), size(&d)), (4, (250.0, 150.0)));
    // A step in the common line.
    let step = outline.clone()
        + &line((100.0, 0.0), (100.0, 125.0))
        + &line((100.0, 125.0), (200.0, 125.0))
        + &line((200.0, 125.0), (200.0, 250.0));
    let d = drawn_with(&step, &options).expect("read");
    assert_eq!((d.parts.len(), d.parts[0].outline.outer.vertices.len()), (2, 6));
    // A line on a layer for bends is no question; a mark over a corner cuts nothing off.
    let bend = outline.clone() + &line((150.0, 0.0), (150.0, 250.0)).replace("8\n0\n", "8\nBiegelinie\n");
    let d = drawn(&bend).expect("read");
    assert!(!choice(&d, |c| c.instead == Instead::Divide(true)).doubtful);
    let corner = outline + &line((-5.0, 40.0), (40.0, -5.0));
    assert!(drawn(&corner).expect("read").choices.is_empty());
}

#[test]
fn a_circle_over_the_edge_is_a_question_unless_it_points_something_out() {
    let notched =
        rectangle(0.0, 0.0, 400.0, 250.0) + &circle(400.0, 125.0, 30.0) + &circle(100.0, 125.0, 30.0);
    let d = drawn(&notched).expect("read");
    assert_eq!((d.parts.len(), holes(&d)), (1, 1));
    let asked = choice(&d, |c| c.instead == Instead::Divide(true));
    assert!(asked.doubtful, "{}", asked.says);
    let cut = taken(&notched, asked);
    let area = cut.parts[0].outline.outer.signed_area();
    assert!((area - (400.0 * 250.0 - std::f64::consts::PI * 450.0)).abs() < 0.5, "{area}");
    assert_eq!((cut.parts.len(), holes(&cut)), (2, 1));
    // Beside a line across it is told too.
    let both = notched.clone() + &line((200.0, 0.0), (200.0, 250.0));
    let d = drawn(&both).expect("read");
    let says = choice(&d, |c| c.instead == Instead::Divide(true)).says.to_string();
    assert!(says.contains("1 line runs") && says.contains("1 circle crosses the edge"), "{says}");
    // With its letter beside it, it is about a detail.
    let named = notched + &text(432.0, 150.0, "A");
    let d = drawn(&named).expect("read");
    assert!(d.choices.iter().all(|c| !c.doubtful), "{:?}", d.choices);
}

#[test]
fn a_rim_inside_the_outline_is_no_edge_whatever_lies_in_it() {
    let rim = plate(0.0, 0.0) + &rounded(3.0, 3.0, 394.0, 244.0, 17.0);
    let d = drawn(&rim).expect("read");
    assert_eq!((d.parts.len(), size(&d), holes(&d)), (1, (400.0, 250.0), 6));
    let asked = choice(&d, |c| c.doubtful);
    assert_eq!(size(&taken(&rim, asked)), (394.0, 244.0));
    // With nothing in it, it may as well be an opening: the careful reading, and a question.
    let bare = rounded(0.0, 0.0, 400.0, 250.0, 20.0) + &rounded(3.0, 3.0, 394.0, 244.0, 17.0);
    let d = drawn(&bare).expect("read");
    assert_eq!((size(&d), holes(&d)), ((400.0, 250.0), 1));
    let asked = choice(&d, |c| c.doubtful);
    assert_eq!(holes(&taken(&bare, asked)), 0);
    // A wide frame is a frame.
    let window = rounded(0.0, 0.0, 400.0, 250.0, 20.0) + &rounded(50.0, 50.0, 300.0, 150.0, 5.0);
    let d = drawn(&window).expect("read");
    assert!(holes(&d) == 1 && d.choices.is_empty(), "{:?}", d.choices);
}

#[test]
fn a_frame_may_have_round_corners() {
    let framed =
        plate(0.0, 0.0) + &rounded(-60.0, -110.0, 520.0, 420.0, 8.0) + &text(-40.0, -100.0, "Part 12-3");
    let d = drawn(&framed).expect("read");
    assert_eq!((size(&d), holes(&d)), ((400.0, 250.0), 6), "{:?}", d.choices);
    let frame = choice(&d, |c| c.says.to_string().contains("sheet frame"));
    assert_eq!(size(&taken(&framed, frame)), (520.0, 420.0));
    // A plate with a part number on it stays a plate.
    let d = drawn(&(plate(0.0, 0.0) + &text(60.0, 220.0, "Part 12-3"))).expect("read");
    assert_eq!((size(&d), holes(&d)), ((400.0, 250.0), 6));
}

#[test]
fn the_view_with_the_holes_is_the_part_though_another_is_larger() {
    let deep = plate(0.0, 0.0) + &rectangle(0.0, 300.0, 400.0, 600.0);
    let d = drawn(&deep).expect("read");
    assert_eq!((size(&d), holes(&d), d.parts[1].role), ((400.0, 250.0), 6, PartRole::View));
    let other = choice(&d, |c| matches!(c.instead, Instead::Inside(_)));
    assert_eq!(size(&taken(&deep, other)), (400.0, 600.0));
    // A view beside a view is one too.
    let three = plate(0.0, 0.0) + &rectangle(0.0, 300.0, 400.0, 60.0) + &rectangle(450.0, 300.0, 250.0, 60.0);
    let d = drawn(&three).expect("read");
    assert!(d.parts[1..].iter().all(|p| p.role == PartRole::View), "{:?}", d.choices);
}

#[test]
fn what_lies_in_an_opening_is_a_question() {
    let flange = circle(0.0, 0.0, 200.0) + &circle(0.0, 0.0, 150.0) + &circle(0.0, 0.0, 100.0);
    let d = drawn(&flange).expect("read");
    let asked = choice(&d, |c| matches!(c.instead, Instead::Toggle(_)));
    assert!(asked.doubtful);
    let other = taken(&flange, asked);
    assert_eq!(other.parts[0].outline.holes[0].bounds().expect("bounds").width(), 200.0);
}

#[test]
fn figures_that_state_their_unit_ask_about_the_unit() {
    let plate = |w: f64, h: f64, prints: &str| {
        rounded(0.0, 0.0, w, h, h / 12.0)
            + &circle(w / 2.0, h / 2.0, h / 10.0)
            + &dimension((0.0, 0.0), (w, 0.0), prints)
    };
    for prints in ["16\"", "16.00 in", "16\u{2033}", "16 IN."] {
        let d = drawn(&plate(16.0, 10.0, prints)).expect("read");
        let asked = choice(&d, |c| c.instead == Instead::Unit(DrawingUnit::Inch));
        assert!(asked.doubtful && asked.other.to_string().contains("406"), "{prints}: {}", asked.other);
    }
    // Mixed fractions, plain and stacked, are read whole; a stacked tolerance is none.
    for prints in ["15 3/4\"", "15-3/4\"", "\\A1;15{\\H0.7x;\\S3/4;}\"", "15{\\H0.7x;\\S3#4;}\""] {
        let d = drawn(&plate(15.75, 10.0, prints)).expect("read");
        choice(&d, |c| c.instead == Instead::Unit(DrawingUnit::Inch));
    }
    let d = drawn(&plate(400.0, 250.0, "400{\\H0.7x;\\S+0.1^-0.2;}")).expect("read");
    assert!(d.choices.is_empty(), "{:?}", d.choices);
    // What agrees is no question.
    for prints in ["400 mm", "400", "15.748\"", "15.7\""] {
        let d = drawn(&plate(400.0, 250.0, prints)).expect("read");
        assert!(d.choices.is_empty(), "{prints}: {:?}", d.choices);
    }
}

#[test]
fn a_line_that_crosses_itself_is_said_to() {
    let bow = |x: f64| {
        let vertices: String = [(x, 0.0), (x + 100.0, 60.0), (x + 100.0, 0.0), (x, 60.0)]
            .map(|(x, y)| format!("10\n{x}\n20\n{y}\n"))
            .concat();
        format!("0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n{vertices}")
    };
    let error = drawn(&bow(0.0)).expect_err("no part").to_string();
    assert!(error.contains("crosses itself"), "{error}");
    let d = drawn(&(rectangle(0.0, -100.0, 400.0, 300.0) + &bow(100.0))).expect("read");
    let told = d.diagnostics.iter().find(|n| n.what.to_string().contains("crosses itself")).expect("told");
    assert_eq!(told.severity, exchange::DiagnosticSeverity::Warning);
}

#[test]
fn a_part_drawn_upright_is_said_to_be() {
    let upright = |a: (f64, f64), b: (f64, f64)| {
        format!("0\nLINE\n8\n0\n10\n{}\n20\n0\n30\n{}\n11\n{}\n21\n0\n31\n{}\n", a.0, a.1, b.0, b.1)
    };
    let corners = [(0.0, 0.0), (400.0, 0.0), (400.0, 250.0), (0.0, 250.0)];
    let drawing: String = (0..4).map(|i| upright(corners[i], corners[(i + 1) % 4])).collect();
    let error = drawn(&drawing).expect_err("no part").to_string();
    assert!(error.contains("plane of the drawing"), "{error}");
}

#[test]
fn a_view_that_is_broken_is_said_to_be() {
    // Two ends of a long profile, with a break between them.
    let ends = rectangle(0.0, 0.0, 180.0, 60.0)
        + &circle(30.0, 30.0, 8.0)
        + &rectangle(220.0, 0.0, 180.0, 60.0)
        + &circle(370.0, 30.0, 8.0)
        + &dimension((0.0, 0.0), (400.0, 0.0), "2000");
    let d = drawn(&ends).expect("read");
    let told = d.diagnostics.iter().find(|n| n.what.to_string().contains("broken")).expect("told");
    assert!(told.what.to_string().contains("2000"), "{}", told.what);
    assert!(!d.choices.iter().any(|c| matches!(c.instead, Instead::Scale(_))), "{:?}", d.choices);
}

#[test]
fn one_hole_is_one_hole() {
    let sunk = rectangle(0.0, 0.0, 400.0, 250.0) + &circle(50.0, 50.0, 11.0) + &circle(50.0, 50.0, 6.0);
    let says = drawn(&sunk).expect("read").choices[0].says.to_string();
    assert!(says.starts_with("1 hole drawn as concentric circles"), "{says}");
    let two = plate(0.0, 0.0) + &rectangle(0.0, 300.0, 400.0, 250.0) + &circle(100.0, 425.0, 30.0);
    let d = drawn(&two).expect("read");
    let says = choice(&d, |c| matches!(c.instead, Instead::Inside(_))).says.to_string();
    assert!(says.contains("1 hole)"), "{says}");
}

#[test]
fn a_dark_filled_page_is_a_part_with_holes_of_another_colour() {
    let svg = |fill: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"400mm\" height=\"250mm\" viewBox=\"0 0 400 250\">\
             <rect width=\"400\" height=\"250\" fill=\"{fill}\"/><circle cx=\"100\" cy=\"100\" r=\"30\" fill=\"black\"/></svg>"
        );
        exchange::read_drawing_bytes("c.svg", text.as_bytes(), &ImportOptions::default()).expect("read")
    };
    assert_eq!((size(&svg("#888")), holes(&svg("#888"))), ((400.0, 250.0), 1));
    assert_eq!(size(&svg("#fff")), (60.0, 60.0));
}

/// An offer to join ends is the one that closes the outline.
#[test]
fn ends_too_far_apart_to_join_are_told_without_an_offer() {
    let open = |apart: f64| {
        let legs = line((100.0, 100.0), (180.0, 100.0))
            + &line((180.0, 100.0), (180.0, 100.0 + apart))
            + &line((180.0, 100.0 + apart), (100.0, 100.0 + apart));
        rectangle(0.0, 0.0, 1200.0, 400.0) + &legs
    };
    let d = drawn(&open(40.0)).expect("read");
    let offer = choice(&d, |c| matches!(c.instead, Instead::Gap(_)));
    assert_eq!(holes(&taken(&open(40.0), offer)), 1);
    let d = drawn(&open(50.5)).expect("read");
    assert!(d.choices.is_empty(), "{:?}", d.choices);
    assert!(d.diagnostics.iter().any(|n| n.what.to_string().contains("does not close")));
}
