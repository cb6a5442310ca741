//! The data of a path, in full precision, with its arcs as arcs: the library behind would make curves of them first.

use crate::curve::EllipseArc;
use crate::subpath::Step;
use glam::DVec2;
use svgtypes::{PathParser, PathSegment};

/// The steps of a path, up to the first mistake, as the standard asks.
pub(super) fn steps(data: &str) -> impl Iterator<Item = Step> + '_ {
    let mut pen = Pen::default();
    PathParser::from(data).map_while(Result::ok).map(move |segment| pen.step(&segment))
}

/// Where a path has got to.
#[derive(Default)]
struct Pen {
    start: DVec2,
    at: DVec2,
    /// Control points that a smooth curve goes on from.
    cubic: Option<DVec2>,
    quad: Option<DVec2>,
}

impl Pen {
    fn step(&mut self, segment: &PathSegment) -> Step {
        let (from, base) = (self.at, if segment.is_abs() { DVec2::ZERO } else { self.at });
        let point = |x: f64, y: f64| base + DVec2::new(x, y);
        // The other side of where the last curve came from, or where it ended.
        let mirrored = |control: Option<DVec2>| control.map_or(from, |control| 2.0 * from - control);
        let (cubic, quad) = (self.cubic.take(), self.quad.take());
        let (step, to) = match *segment {
            PathSegment::MoveTo { x, y, .. } => {
                self.start = point(x, y);
                (Step::Move(self.start), self.start)
            }
            PathSegment::LineTo { x, y, .. } => (Step::Line(point(x, y)), point(x, y)),
            PathSegment::HorizontalLineTo { x, .. } => {
                let to = DVec2::new(base.x + x, from.y);
                (Step::Line(to), to)
            }
            PathSegment::VerticalLineTo { y, .. } => {
                let to = DVec2::new(from.x, base.y + y);
                (Step::Line(to), to)
            }
            PathSegment::CurveTo { x1, y1, x2, y2, x, y, .. } => {
                self.cubic = Some(point(x2, y2));
                (Step::Cubic(point(x1, y1), point(x2, y2), point(x, y)), point(x, y))
            }
            PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
                self.cubic = Some(point(x2, y2));
                (Step::Cubic(mirrored(cubic), point(x2, y2), point(x, y)), point(x, y))
            }
            PathSegment::Quadratic { x1, y1, x, y, .. } => {
                self.quad = Some(point(x1, y1));
                (Step::Quad(point(x1, y1), point(x, y)), point(x, y))
            }
            PathSegment::SmoothQuadratic { x, y, .. } => {
                let control = mirrored(quad);
                self.quad = Some(control);
                (Step::Quad(control, point(x, y)), point(x, y))
            }
            PathSegment::EllipticalArc { rx, ry, x_axis_rotation, large_arc, sweep, x, y, .. } => {
                let (to, half) = (point(x, y), DVec2::new(rx, ry).abs());
                let step = match arc(from, to, half, x_axis_rotation.to_radians(), large_arc, sweep) {
                    Some(arc) => Step::Arc(arc, to),
                    None => Step::Line(to),
                };
                (step, to)
            }
            PathSegment::ClosePath { .. } => (Step::Close, self.start),
        };
        self.at = to;
        step
    }
}

/// The arc of an ellipse between two points; `None` where the standard asks for a line. Half axes that do not reach are
/// made longer, as it asks. `turn` is that of the first axis, rad.
///
/// # Source
/// W3C, *Scalable Vector Graphics (SVG) 2*, appendix B.2.4 and B.2.5, conversion from endpoint to center parameterization
/// (from memory).
fn arc(from: DVec2, to: DVec2, half: DVec2, turn: f64, large: bool, positive: bool) -> Option<EllipseArc> {
    if from == to || half.x == 0.0 || half.y == 0.0 {
        return None;
    }
    let axes = DVec2::from_angle(turn);
    // In the ellipse's own frame, about the middle of the chord, the ellipse scaled to a circle of radius 1.
    let aside = DVec2::from_angle(-turn).rotate(from - to) / 2.0;
    let stretched = (aside / half).length().max(1.0);
    let half = half * stretched;
    let chord = aside / half;
    let square = chord.length_squared().min(1.0);
    if square == 0.0 {
        return None;
    }
    let reach = ((1.0 - square) / square).max(0.0).sqrt();
    let centre = if large == positive { chord.perp() } else { -chord.perp() } * reach;
    let (first, last) = (chord - centre, -chord - centre);
    let start = first.to_angle();
    let turned = first.perp_dot(last).atan2(first.dot(last));
    let sweep = match (positive, turned > 0.0) {
        (true, false) => turned + std::f64::consts::TAU,
        (false, true) => turned - std::f64::consts::TAU,
        _ => turned,
    };
    Some(EllipseArc {
        centre: (from + to) / 2.0 + axes.rotate(centre * half),
        u: axes * half.x,
        v: axes.perp() * half.y,
        start,
        sweep,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use svgtypes::{SimplePathSegment, SimplifyingPathParser};

    /// All but arcs, as the library behind reads them.
    #[test]
    fn commands_are_read_as_the_library_reads_them() {
        for data in [
            "M1 2 3 4l5 6h7v8H9V10z",
            "m1 2c1 2 3 4 5 6s1 2 3 4S50 60 70 80q1 2 3 4t5 6T7 8t1 1z",
            "M0 0Q1 1 2 0S3 3 4 4T5 5Z",
            "M10-20l30.1.5.1-20zM5 5l1 1",
            "M0 0C1 2 3 4 5 6 7 8 9 10 11 12L",
        ] {
            let theirs: Vec<Step> = SimplifyingPathParser::from(data)
                .map_while(Result::ok)
                .map(|segment| match segment {
                    SimplePathSegment::MoveTo { x, y } => Step::Move(DVec2::new(x, y)),
                    SimplePathSegment::LineTo { x, y } => Step::Line(DVec2::new(x, y)),
                    SimplePathSegment::Quadratic { x1, y1, x, y } => {
                        Step::Quad(DVec2::new(x1, y1), DVec2::new(x, y))
                    }
                    SimplePathSegment::CurveTo { x1, y1, x2, y2, x, y } => {
                        Step::Cubic(DVec2::new(x1, y1), DVec2::new(x2, y2), DVec2::new(x, y))
                    }
                    SimplePathSegment::ClosePath => Step::Close,
                })
                .collect();
            let ours: Vec<Step> = steps(data).collect();
            assert_eq!(ours.len(), theirs.len(), "{data}");
            for (our, their) in ours.iter().zip(&theirs) {
                let near = |a: &DVec2, b: &DVec2| a.distance(*b) < 1e-9;
                let same = match (our, their) {
                    (Step::Move(a), Step::Move(b)) | (Step::Line(a), Step::Line(b)) => near(a, b),
                    (Step::Quad(a, b), Step::Quad(c, d)) => near(a, c) && near(b, d),
                    (Step::Cubic(a, b, c), Step::Cubic(d, e, f)) => near(a, d) && near(b, e) && near(c, f),
                    (a, b) => a == b,
                };
                assert!(same, "{data}: {our:?} {their:?}");
            }
        }
    }

    /// The four arcs of one ellipse between two points, by flags: by hand, on the circle of radius 5 about (0, 0) and its
    /// mirror image about (6, 8) through (3, 4) ± (-4, 3), stretched twice along x.
    #[test]
    fn flags_choose_among_four_arcs() {
        let s = |x: f64, y: f64| DVec2::new(2.0 * x, y);
        let (from, to) = (DVec2::new(5.0, 0.0), DVec2::new(0.0, 5.0));
        for (large, positive, centre, sweep) in [
            (false, true, (0.0, 0.0), 90.0),
            (true, true, (5.0, 5.0), 270.0),
            (true, false, (0.0, 0.0), -270.0),
            (false, false, (5.0, 5.0), -90.0),
        ] {
            let found = arc(s(from.x, from.y), s(to.x, to.y), DVec2::new(10.0, 5.0), 0.0, large, positive);
            let found = found.expect("an arc");
            assert!(found.centre.distance(s(centre.0, centre.1)) < 1e-12, "{found:?}");
            assert!((found.sweep.to_degrees() - sweep).abs() < 1e-9, "{found:?}");
            assert!(found.at(found.start).distance(s(5.0, 0.0)) < 1e-12);
            assert!(found.at(found.start + found.sweep).distance(s(0.0, 5.0)) < 1e-12);
        }
        // Half axes too short are made to reach: a half turn about the middle.
        let reaches = arc(DVec2::ZERO, DVec2::new(40.0, 0.0), DVec2::new(2.0, 1.0), 0.0, false, true);
        let reaches = reaches.expect("an arc");
        assert!((reaches.u.length() - 20.0).abs() < 1e-12 && (reaches.v.length() - 10.0).abs() < 1e-12);
        assert!((reaches.sweep.abs().to_degrees() - 180.0).abs() < 1e-6);
        assert_eq!(arc(DVec2::ZERO, DVec2::ONE, DVec2::new(0.0, 1.0), 0.0, false, true), None);
        assert_eq!(arc(DVec2::ONE, DVec2::ONE, DVec2::ONE, 0.0, false, true), None);
    }
}
