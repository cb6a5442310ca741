//! Signs of the drawing office: hatching, centre marks, centre of gravity, datum, check bar.

use crate::cups;
use crate::hatch;
use crate::outline::flat;
use crate::page::{Contour, Dash, Item, Pen, Tone};
use crate::style::{MEDIUM, THIN};
use crate::view::View;
use geometry::{Loop, Segment};
use glam::{DVec2, dvec2};

/// A dashed area with 45° hatching.
pub(crate) fn hatched(contour: Contour) -> Item {
    let mut items = hatch::lines(&[flat(&contour)], hatch::KEEP_OUT, Tone::Second);
    let edge = Pen { width: MEDIUM, dash: Dash::Dashed, tone: Tone::Second };
    items.push(Item::Path { contours: vec![contour], pen: Some(edge), fill: None });
    Item::Group { name: "keep-out".to_owned(), clip: None, items }
}

/// The end of a piece of frame that its first place counts from: a filled triangle that points along the piece.
pub(crate) fn frame_end(at: DVec2, along: DVec2, size: f64) -> Item {
    let across = along.perp() * size / 2.0;
    let contour = Contour {
        from: at - across,
        steps: [at + along * size, at + across].map(crate::page::Step::Line).to_vec(),
        closed: true,
    };
    Item::Path { contours: vec![contour], pen: None, fill: Some(Tone::Second) }
}

/// Centre marks of a hole that is a full circle.
pub(crate) fn hole_centre(hole: &Loop, view: &View) -> Vec<Item> {
    let mut circle: Option<(DVec2, f64)> = None;
    for segment in hole.segments() {
        let Segment::Arc { centre, radius, .. } = segment else { return Vec::new() };
        let (first, first_radius) = *circle.get_or_insert((centre, radius));
        if first.distance(centre) > 1e-6 * radius || (first_radius - radius).abs() > 1e-6 * radius {
            return Vec::new();
        }
    }
    let Some((centre, radius)) = circle else { return Vec::new() };
    let (at, reach) = (view.at(centre), radius * view.ratio + 1.2);
    [DVec2::X, DVec2::Y]
        .map(|axis| Item::Line {
            from: at - axis * reach,
            to: at + axis * reach,
            pen: cups::centre_pen(2.0 * reach),
        })
        .to_vec()
}

/// Radius of the centre-of-gravity sign, mm.
pub(crate) const GRAVITY: f64 = 1.9;

/// The drafting symbol: a disc with two opposite quarters filled.
pub(crate) fn centre_of_gravity(at: DVec2, radius: f64) -> Item {
    use std::f64::consts::FRAC_PI_2;
    let quarter = |start: f64| Contour {
        from: at,
        steps: vec![
            crate::page::Step::Line(at + DVec2::from_angle(start) * radius),
            crate::page::Step::Arc { centre: at, radius, start, sweep: FRAC_PI_2 },
        ],
        closed: true,
    };
    let contours = vec![quarter(FRAC_PI_2), quarter(-FRAC_PI_2)];
    Item::Group {
        name: "centre of gravity".to_owned(),
        clip: None,
        items: vec![
            Item::Circle {
                centre: at,
                radius,
                pen: Some(Pen::solid(MEDIUM, Tone::Ink)),
                fill: Some(Tone::Paper),
            },
            Item::Path { contours, pen: None, fill: Some(Tone::Ink) },
        ],
    }
}

/// The drawing office's sign for the origin.
pub(crate) fn datum_sign(at: DVec2) -> Item {
    let pen = Pen::solid(MEDIUM, Tone::Ink);
    let mut items = vec![Item::Circle { centre: at, radius: 1.2, pen: Some(pen), fill: None }];
    for axis in [DVec2::X, DVec2::Y] {
        items.push(Item::Line { from: at - axis * 1.2, to: at + axis * 1.2, pen });
    }
    Item::Group { name: "datum".to_owned(), clip: None, items }
}

/// Radius of the flange sign, mm.
pub(crate) const FLANGE: f64 = 1.9;

/// Centre of the robot's flange: two rings on crossed lines.
pub(crate) fn flange_sign(at: DVec2, radius: f64) -> Item {
    let pen = Pen::solid(THIN * 1.2, Tone::Ink);
    let ring = |radius: f64| Item::Circle { centre: at, radius, pen: Some(pen), fill: None };
    let mut items = vec![ring(radius), ring(radius * 0.5)];
    for axis in [DVec2::X, DVec2::Y] {
        items.push(Item::Line { from: at - axis * (radius + 0.8), to: at + axis * (radius + 0.8), pen });
    }
    Item::Group { name: "flange".to_owned(), clip: None, items }
}

/// A bar in alternating fields from its lower left corner.
pub(crate) fn check_bar(from: DVec2, length: f64) -> Vec<Item> {
    const HEIGHT: f64 = 1.3;
    let pen = Some(Pen::solid(THIN, Tone::Ink));
    (0..10)
        .map(|field| {
            let min = from + dvec2(length * f64::from(field) / 10.0, 0.0);
            let max = from + dvec2(length * f64::from(field + 1) / 10.0, HEIGHT);
            let fill = if field % 2 == 0 { Tone::Ink } else { Tone::Paper };
            Item::Path { contours: vec![Contour::rectangle(min, max)], pen, fill: Some(fill) }
        })
        .collect()
}
