//! Symbols of pneumatics in the manner of ISO 1219-1, simplified (from memory); each is drawn about a point of the line that
//! it lies in, the source to its left and the cup to its right.

use crate::page::{Contour, Dash, Item, Pen, Step, Tone};
use crate::style::{MEDIUM, THIN};
use document::SourceKind;
use glam::{DVec2, dvec2};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_6};

const PEN: Pen = Pen::solid(MEDIUM, Tone::Ink);
const FINE_PEN: Pen = Pen::solid(THIN, Tone::Ink);

pub(super) fn line(from: DVec2, to: DVec2) -> Item {
    Item::Line { from, to, pen: PEN }
}

fn fine(from: DVec2, to: DVec2) -> Item {
    Item::Line { from, to, pen: FINE_PEN }
}

/// Hides the line behind.
fn body(points: &[DVec2]) -> Item {
    let steps = points[1..].iter().map(|point| Step::Line(*point)).collect();
    let contour = Contour { from: points[0], steps, closed: true };
    Item::Path { contours: vec![contour], pen: Some(PEN), fill: Some(Tone::Paper) }
}

fn oblong(centre: DVec2, half: DVec2) -> Item {
    let contours = vec![Contour::rectangle(centre - half, centre + half)];
    Item::Path { contours, pen: Some(PEN), fill: Some(Tone::Paper) }
}

fn group(name: &str, items: Vec<Item>) -> Item {
    Item::Group { name: name.to_owned(), clip: None, items }
}

/// Ejector: two nozzles against each other in a box, compressed air from the left. Pump and blower: a circle with the
/// triangle of a gas that is driven out to the left.
pub(super) fn source(kind: SourceKind, at: DVec2, size: f64) -> Item {
    let half = size / 2.0;
    if kind == SourceKind::Ejector {
        let p = |x: f64, y: f64| at + dvec2(x, y) * half;
        return group(
            "vacuum source",
            vec![
                oblong(at, dvec2(size * 0.75, half)),
                body(&[p(-1.2, 0.6), p(-1.2, -0.6), p(0.0, 0.0)]),
                body(&[p(0.1, 0.15), p(1.2, 0.6), p(1.2, -0.6), p(0.1, -0.15)]),
                body(&[p(-2.3, 0.4), p(-2.3, -0.4), p(-1.6, 0.0)]),
            ],
        );
    }
    let p = |x: f64, y: f64| at + dvec2(x, y) * half;
    let circle = Item::Circle { centre: at, radius: half * 1.1, pen: Some(PEN), fill: Some(Tone::Paper) };
    group("vacuum source", vec![circle, body(&[p(-1.1, 0.0), p(-0.35, 0.5), p(-0.35, -0.5)])])
}

/// A diamond with a dashed line across the flow.
pub(super) fn filter(at: DVec2, size: f64) -> Item {
    let half = size * 0.62;
    let [right, up] = [dvec2(half, 0.0), dvec2(0.0, half)];
    let dashed = Pen { dash: Dash::Dashed, ..FINE_PEN };
    let across = Item::Line { from: at - up, to: at + up, pen: dashed };
    group("filter", vec![body(&[at - right, at + up, at + right, at - up]), across])
}

/// Two places, open and shut, switched by a coil.
pub(super) fn valve(at: DVec2, size: f64) -> Item {
    let half = size / 2.0;
    let p = |x: f64, y: f64| at + dvec2(x, y) * half;
    let square = |x: f64| oblong(p(x, 0.0), DVec2::splat(half));
    let coil = oblong(p(-2.5, 0.0), dvec2(half * 0.5, half * 0.6));
    let tee = |y: f64| vec![fine(p(1.0, y), p(1.0, y * 0.35)), fine(p(0.6, y * 0.35), p(1.4, y * 0.35))];
    let mut items = vec![square(-1.0), square(1.0), coil, fine(p(-3.0, -0.6), p(-2.0, 0.6))];
    // Through in the left place, with the head of an arrow towards the source.
    items.extend([
        fine(p(-2.0, 0.0), p(0.0, 0.0)),
        fine(p(-2.0, 0.0), p(-1.4, 0.3)),
        fine(p(-2.0, 0.0), p(-1.4, -0.3)),
    ]);
    items.extend([1.0, -1.0].into_iter().flat_map(tee));
    group("valve", items)
}

/// A ball left of its seat: air passes towards the source and not back.
pub(super) fn check_valve(at: DVec2, size: f64) -> Item {
    let half = size / 2.0;
    let p = |x: f64, y: f64| at + dvec2(x, y) * half;
    let ball = Item::Circle { centre: at, radius: half * 0.5, pen: Some(PEN), fill: Some(Tone::Paper) };
    group("check valve", vec![ball, line(p(-0.1, 0.9), p(0.85, 0.0)), line(p(-0.1, -0.9), p(0.85, 0.0))])
}

/// Two arcs that narrow the line.
pub(super) fn restrictor(at: DVec2, size: f64) -> Item {
    let radius = size * 0.6;
    let arc = |side: f64| Item::Arc {
        centre: at + dvec2(0.0, side * (radius + size * 0.12)),
        radius,
        start: -side * FRAC_PI_2 - FRAC_PI_6 * 1.6,
        sweep: FRAC_PI_6 * 3.2,
        pen: PEN,
    };
    group("restrictor", vec![arc(1.0), arc(-1.0)])
}

/// A bell with its lip to the right.
pub(super) fn cup(at: DVec2, size: f64) -> Item {
    let half = size / 2.0;
    let p = |x: f64, y: f64| at + dvec2(x, y) * half;
    let bell = body(&[p(0.0, 0.4), p(0.6, 0.4), p(1.4, 1.0), p(1.4, -1.0), p(0.6, -0.4), p(0.0, -0.4)]);
    group("cup", vec![bell])
}

/// Where hoses part.
pub(super) fn junction(at: DVec2) -> Item {
    Item::Circle { centre: at, radius: 0.45, pen: None, fill: Some(Tone::Ink) }
}
