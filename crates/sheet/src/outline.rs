//! Contours from the part's loops, and arcs as cubic curves for formats that have no arcs.

use crate::page::{Contour, Step};
use crate::view::View;
use geometry::{Loop, Segment};
use glam::DVec2;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// One move of a pen, arcs as cubic curves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Move {
    To(DVec2),
    Line(DVec2),
    Cubic(DVec2, DVec2, DVec2),
    Close,
}

/// A loop of the part on the paper.
pub(crate) fn contour_of(boundary: &Loop, view: &View) -> Option<Contour> {
    let mut from = None;
    let mut steps = Vec::new();
    for segment in boundary.segments() {
        match segment {
            Segment::Line { from: start, to } => {
                from.get_or_insert(view.at(start));
                steps.push(Step::Line(view.at(to)));
            }
            Segment::Arc { centre, radius, start, sweep } => {
                let begin = centre + DVec2::from_angle(start) * radius;
                from.get_or_insert(view.at(begin));
                let (start, sweep) = if view.mirrored { (PI - start, -sweep) } else { (start, sweep) };
                steps.push(Step::Arc { centre: view.at(centre), radius: radius * view.ratio, start, sweep });
            }
        }
    }
    // Closing draws the last straight piece; drawing it as well would spoil the corner's joint.
    if steps.last() == from.map(Step::Line).as_ref() {
        steps.pop();
    }
    Some(Contour { from: from?, steps, closed: true })
}

/// Cubic curves along an arc, pieces of a quarter turn at most (error below 0.03 % of the radius).
///
/// # Source
/// The usual handle length 4/3 tan(sweep/4), as in any text on curves (from memory).
pub(crate) fn arc_cubics(centre: DVec2, radius: f64, start: f64, sweep: f64, into: &mut Vec<Move>) {
    let sweep = sweep.clamp(-TAU, TAU);
    let pieces = (sweep.abs() / FRAC_PI_2 - 1e-9).ceil().max(1.0);
    let step = sweep / pieces;
    let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    for piece in 0..pieces as usize {
        let (a, b) = (start + step * piece as f64, start + step * (piece as f64 + 1.0));
        let (ua, ub) = (DVec2::from_angle(a), DVec2::from_angle(b));
        into.push(Move::Cubic(
            centre + ua * radius + ua.perp() * handle,
            centre + ub * radius - ub.perp() * handle,
            centre + ub * radius,
        ));
    }
}

/// The moves along contours.
pub(crate) fn moves(contours: &[Contour]) -> Vec<Move> {
    let mut out = Vec::new();
    for contour in contours {
        out.push(Move::To(contour.from));
        for step in &contour.steps {
            match *step {
                Step::Line(to) => out.push(Move::Line(to)),
                Step::Arc { centre, radius, start, sweep } => {
                    arc_cubics(centre, radius, start, sweep, &mut out);
                }
            }
        }
        if contour.closed {
            out.push(Move::Close);
        }
    }
    out
}

/// The moves around a circle.
pub(crate) fn circle_moves(centre: DVec2, radius: f64) -> Vec<Move> {
    let mut out = vec![Move::To(centre + DVec2::X * radius)];
    arc_cubics(centre, radius, 0.0, TAU, &mut out);
    out.push(Move::Close);
    out
}

/// Points along contours, chords no longer than about 1 mm on arcs; for collision tests on the paper.
pub(crate) fn flat(contour: &Contour) -> Vec<DVec2> {
    let mut points = vec![contour.from];
    for step in &contour.steps {
        match *step {
            Step::Line(to) => points.push(to),
            Step::Arc { centre, radius, start, sweep } => {
                let pieces = (radius * sweep.abs()).ceil().clamp(4.0, 64.0) as usize;
                points.extend(
                    (1..=pieces).map(|i| {
                        centre + DVec2::from_angle(start + sweep * i as f64 / pieces as f64) * radius
                    }),
                );
            }
        }
    }
    points
}
