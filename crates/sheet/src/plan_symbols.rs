//! Signs of the drawing office: hatching, centre marks, centre of gravity, datum, check bar.

use crate::cups;
use crate::outline::flat;
use crate::page::{Contour, Dash, Item, Pen, Tone};
use crate::plan_content::Paper;
use crate::style::{MEDIUM, THIN};
use geometry::{Loop, Segment};
use glam::{DVec2, dvec2};

/// A dashed area with 45° hatching.
pub(crate) fn hatched(contour: Contour) -> Item {
    const STEP: f64 = 1.7;
    let points = flat(&contour);
    let (min, max) = points
        .iter()
        .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(min, max), p| (min.min(*p), max.max(*p)));
    let pen = Pen::solid(0.13, Tone::Second);
    let height = max.y - min.y;
    // Lines hang on a grid of the page, so that neighbouring areas line up.
    let first = ((min.x - height - min.y) / STEP).ceil() as i64;
    let last = ((max.x - min.y) / STEP).floor() as i64;
    let hatching = (first..=last).map(|step| {
        let x = step as f64 * STEP + min.y;
        Item::Line { from: dvec2(x, min.y), to: dvec2(x + height, max.y), pen }
    });
    let hatching = hatching.collect();
    let edge = Pen { width: MEDIUM, dash: Dash::Dashed, tone: Tone::Second };
    Item::Group {
        name: "keep-out".to_owned(),
        clip: None,
        items: vec![
            Item::Group { name: "hatching".to_owned(), clip: Some(vec![contour.clone()]), items: hatching },
            Item::Path { contours: vec![contour], pen: Some(edge), fill: None },
        ],
    }
}

/// Centre marks of a hole that is a full circle.
pub(crate) fn hole_centre(hole: &Loop, paper: &Paper) -> Vec<Item> {
    let mut circle: Option<(DVec2, f64)> = None;
    for segment in hole.segments() {
        let Segment::Arc { centre, radius, .. } = segment else { return Vec::new() };
        let (first, first_radius) = *circle.get_or_insert((centre, radius));
        if first.distance(centre) > 1e-6 * radius || (first_radius - radius).abs() > 1e-6 * radius {
            return Vec::new();
        }
    }
    let Some((centre, radius)) = circle else { return Vec::new() };
    let (at, reach) = (paper.at(centre), radius * paper.ratio + 1.2);
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
pub(crate) fn centre_of_gravity(at: DVec2) -> Item {
    use std::f64::consts::FRAC_PI_2;
    let radius = GRAVITY;
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

/// A bar in four alternating fields from its lower left corner.
pub(crate) fn check_bar(from: DVec2, length: f64) -> Vec<Item> {
    const HEIGHT: f64 = 1.3;
    let pen = Some(Pen::solid(THIN, Tone::Ink));
    (0..4)
        .map(|field| {
            let min = from + dvec2(length * f64::from(field) / 4.0, 0.0);
            let max = from + dvec2(length * f64::from(field + 1) / 4.0, HEIGHT);
            let fill = if field % 2 == 0 { Tone::Ink } else { Tone::Paper };
            Item::Path { contours: vec![Contour::rectangle(min, max)], pen, fill: Some(fill) }
        })
        .collect()
}
