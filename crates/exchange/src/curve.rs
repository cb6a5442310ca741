//! Curves as drawings give them, moved into place and turned into lines and true arcs.

use crate::piece::Piece;
use crate::spline::Spline;
use geometry::Vertex;
use glam::{DAffine2, DMat2, DVec2};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Image of part of the unit circle under an affine map: `centre + u cos t + v sin t`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct EllipseArc {
    pub(crate) centre: DVec2,
    pub(crate) u: DVec2,
    pub(crate) v: DVec2,
    pub(crate) start: f64,
    pub(crate) sweep: f64,
}

/// One stretch of a path.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Stretch {
    Piece(Piece),
    Ellipse(EllipseArc),
    Cubic([DVec2; 4]),
    Spline(Box<Spline>),
}

/// What one entity draws.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Curve {
    /// Most entities are one line or arc.
    Single(Stretch),
    /// A polyline.
    Chain { vertices: Vec<Vertex>, closed: bool },
    /// Anything else that hangs together.
    Path { stretches: Vec<Stretch>, closed: bool },
}

/// A map that keeps circles round; mirrored when the determinant is negative.
fn keeps_circles(map: &DAffine2) -> bool {
    let (x, y) = (map.matrix2.x_axis, map.matrix2.y_axis);
    let size = x.length().max(y.length());
    (x.length() - y.length()).abs() <= 1e-9 * size && x.dot(y).abs() <= 1e-9 * size * size
}

impl EllipseArc {
    pub(crate) fn at(&self, t: f64) -> DVec2 {
        self.centre + self.u * t.cos() + self.v * t.sin()
    }

    fn of(piece: &Piece) -> Option<Self> {
        let arc = piece.arc()?;
        let start = (piece.from - arc.centre).to_angle();
        let (u, v) = (DVec2::new(arc.radius, 0.0), DVec2::new(0.0, arc.radius));
        Some(Self { centre: arc.centre, u, v, start, sweep: arc.sweep })
    }

    fn transformed(&self, map: &DAffine2) -> Self {
        Self {
            centre: map.transform_point2(self.centre),
            u: map.transform_vector2(self.u),
            v: map.transform_vector2(self.v),
            ..*self
        }
    }

    /// Half axes within this of one another (relative), and of square, are those of a circle seen through a transform
    /// in single precision.
    const ROUND: f64 = 5e-7;
    /// How near pieces follow an ellipse, as a share of its size: area and centroid are then true to 1e-6.
    const CLOSE: f64 = 5e-6;

    /// Lines and arcs along it; returns whether it is no circle.
    fn pieces(&self, tolerance: f64, out: &mut Vec<Piece>) -> bool {
        let (u, v) = (self.u.length(), self.v.length());
        let round = (u - v).abs() < Self::ROUND * u && self.u.dot(self.v).abs() < Self::ROUND * u * u;
        let widest = if round { 3.0 } else { FRAC_PI_2 };
        let count = (self.sweep.abs() / widest).ceil().max(1.0);
        let tolerance = tolerance.min(Self::CLOSE * self.u.perp_dot(self.v).abs().sqrt());
        for i in 0..count as usize {
            let a = self.start + self.sweep * i as f64 / count;
            let b = self.start + self.sweep * (i + 1) as f64 / count;
            if round {
                out.push(Piece::through(self.at(a), self.at((a + b) / 2.0), self.at(b)));
            } else {
                fit(&|t| self.at(t), a, b, tolerance, out);
            }
        }
        !round
    }
}

impl Stretch {
    fn transformed(&self, map: &DAffine2) -> Self {
        match self {
            Stretch::Piece(p) if p.is_straight() || keeps_circles(map) => {
                let turn = if map.matrix2.determinant() < 0.0 { -1.0 } else { 1.0 };
                Stretch::Piece(Piece {
                    from: map.transform_point2(p.from),
                    to: map.transform_point2(p.to),
                    bulge: p.bulge * turn,
                })
            }
            Stretch::Piece(p) => match EllipseArc::of(p) {
                Some(arc) => Stretch::Ellipse(arc.transformed(map)),
                None => Stretch::Piece(*p),
            },
            Stretch::Ellipse(e) => Stretch::Ellipse(e.transformed(map)),
            Stretch::Cubic(c) => Stretch::Cubic(c.map(|p| map.transform_point2(p))),
            Stretch::Spline(s) => Stretch::Spline(Box::new(s.transformed(map))),
        }
    }

    fn outline_points(&self, mut see: impl FnMut(DVec2)) {
        match self {
            Stretch::Piece(p) => {
                let (min, max) = p.bounds();
                see(min);
                see(max);
            }
            Stretch::Ellipse(e) => (0..=16).for_each(|i| see(e.at(e.start + e.sweep * f64::from(i) / 16.0))),
            Stretch::Cubic(c) => c.iter().copied().for_each(see),
            Stretch::Spline(s) => s.points.iter().copied().for_each(see),
        }
    }

    /// Lines and arcs no further than `tolerance` from the curve; returns whether they follow an ellipse that is no circle.
    fn pieces(&self, tolerance: f64, most: usize, out: &mut Vec<Piece>) -> bool {
        match self {
            Stretch::Piece(p) => out.push(*p),
            Stretch::Ellipse(e) => return e.pieces(tolerance, out),
            Stretch::Cubic(c) => {
                if let Some(arc) = circular(c) {
                    out.push(arc);
                } else if straight(c) {
                    out.push(Piece::line(c[0], c[3]));
                } else if let Some(e) = elliptic(c, tolerance) {
                    return e.pieces(tolerance, out);
                } else {
                    fit(&|t| cubic_at(c, t), 0.0, 1.0, tolerance, out);
                }
            }
            Stretch::Spline(s) => {
                for (a, b) in s.spans() {
                    if out.len() >= most {
                        break;
                    }
                    fit(&|t| s.at(t), a, b, tolerance, out);
                }
            }
        }
        false
    }
}

impl Curve {
    /// A whole circle.
    pub(crate) fn circle(centre: DVec2, radius: f64) -> Self {
        let side = DVec2::new(radius, 0.0);
        let vertices =
            vec![Vertex { at: centre + side, bulge: 1.0 }, Vertex { at: centre - side, bulge: 1.0 }];
        Curve::Chain { vertices, closed: true }
    }

    pub(crate) fn transformed(&self, map: &DAffine2) -> Self {
        match self {
            Curve::Single(s) => Curve::Single(s.transformed(map)),
            Curve::Chain { vertices, closed }
                if keeps_circles(map) || vertices.iter().all(|v| v.bulge == 0.0) =>
            {
                let turn = if map.matrix2.determinant() < 0.0 { -1.0 } else { 1.0 };
                let moved = |v: &Vertex| Vertex { at: map.transform_point2(v.at), bulge: v.bulge * turn };
                Curve::Chain { vertices: vertices.iter().map(moved).collect(), closed: *closed }
            }
            Curve::Chain { vertices, closed } => {
                let stretches = chain_pieces(vertices, *closed).map(|p| Stretch::Piece(p).transformed(map));
                Curve::Path { stretches: stretches.collect(), closed: *closed }
            }
            Curve::Path { stretches, closed } => Curve::Path {
                stretches: stretches.iter().map(|s| s.transformed(map)).collect(),
                closed: *closed,
            },
        }
    }

    /// Points whose bounds hold the curve (a little more, for free curves).
    pub(crate) fn outline_points(&self, mut see: impl FnMut(DVec2)) {
        match self {
            Curve::Single(s) => s.outline_points(see),
            Curve::Chain { vertices, closed } => {
                chain_pieces(vertices, *closed).for_each(|p| Stretch::Piece(p).outline_points(&mut see));
            }
            Curve::Path { stretches, .. } => stretches.iter().for_each(|s| s.outline_points(&mut see)),
        }
    }

    /// Lines and arcs that it comes to at least, for a bound on memory before it is copied.
    pub(crate) fn pieces_at_least(&self) -> usize {
        match self {
            Curve::Single(Stretch::Spline(s)) => s.points.len(),
            Curve::Single(_) => 1,
            Curve::Chain { vertices, .. } => vertices.len(),
            Curve::Path { stretches, .. } => stretches.len(),
        }
    }

    /// Lines and arcs within `tolerance`, in the drawing's unit, and whether they are meant to close; none are added
    /// once there are `most`. Arcs of a path that were cut up are joined where their circles agree within `join`.
    pub(crate) fn pieces(&self, tolerance: f64, most: usize, join: Option<f64>) -> (Vec<Piece>, bool) {
        let mut out = Vec::new();
        match self {
            Curve::Single(s) => {
                s.pieces(tolerance, most, &mut out);
                (out, false)
            }
            Curve::Chain { vertices, closed } => (chain_pieces(vertices, *closed).collect(), *closed),
            Curve::Path { stretches, closed } => {
                // Arcs that follow an ellipse stay as they are.
                let mut plain = 0;
                for s in stretches {
                    if out.len() >= most {
                        break;
                    }
                    let before = out.len();
                    if s.pieces(tolerance, most, &mut out) {
                        let followed = out.split_off(before);
                        join_arcs(&mut out, plain, join);
                        out.extend(followed);
                        plain = out.len();
                    }
                }
                join_arcs(&mut out, plain, join);
                (out, *closed)
            }
        }
    }
}

fn chain_pieces(vertices: &[Vertex], closed: bool) -> impl Iterator<Item = Piece> + '_ {
    let count = if closed { vertices.len() } else { vertices.len().saturating_sub(1) };
    (0..count).map(move |i| {
        let (a, b) = (vertices[i], vertices[(i + 1) % vertices.len()]);
        Piece { from: a.at, to: b.at, bulge: a.bulge }
    })
}

fn cubic_at(c: &[DVec2; 4], t: f64) -> DVec2 {
    let s = 1.0 - t;
    c[0] * (s * s * s) + c[1] * (3.0 * s * s * t) + c[2] * (3.0 * s * t * t) + c[3] * (t * t * t)
}

/// Handles on the chord: the cubic is a line.
fn straight(c: &[DVec2; 4]) -> bool {
    let chord = c[3] - c[0];
    let length = chord.length();
    let near = |p: DVec2| (p - c[0]).perp_dot(chord).abs() <= 1e-7 * length * length;
    length > 0.0 && near(c[1]) && near(c[2])
}

/// The arc that a cubic was made from, if its handles are the customary ones (4/3 tan(sweep / 4) of the radius,
/// along the tangents). Drawing programs write circles so, and the arc is what was meant.
fn circular(c: &[DVec2; 4]) -> Option<Piece> {
    let (h0, h1) = (c[1] - c[0], c[3] - c[2]);
    let (l0, l1) = (h0.length(), h1.length());
    let chord = (c[3] - c[0]).length();
    if chord == 0.0 || l0 == 0.0 || (l0 - l1).abs() > 2e-3 * l0 {
        return None;
    }
    let sweep = h0.perp_dot(h1).atan2(h0.dot(h1));
    if sweep.abs() < 1e-3 || sweep.abs() > 2.2 {
        return None;
    }
    // The chord of a round arc halves the turn between its tangents.
    let half = h0.perp_dot(c[3] - c[0]).atan2(h0.dot(c[3] - c[0]));
    let radius = chord / (2.0 * (sweep.abs() / 2.0).sin());
    let handle = 4.0 / 3.0 * (sweep.abs() / 4.0).tan() * radius;
    let fits = (half - sweep / 2.0).abs() < 1e-3 && (l0 - handle).abs() < 2e-3 * handle;
    fits.then(|| Piece { from: c[0], to: c[3], bulge: (sweep / 4.0).tan() })
}

/// Sweeps into which drawing programs and the library behind cut a quarter of an ellipse: halves, thirds and so on.
const CUT_INTO: f64 = 12.0;

/// The arc of an ellipse that a cubic was made from, if it is an affine image of the customary curve for a circle's arc
/// of a quarter turn or a whole part of it.
///
/// With q = tan(sweep / 4) the handles of that curve are 4/3 q long at radius 1, so that they add up to 2/3 (1 - q²) of
/// the chord, along it: which holds in every affine image. `None` where the curve strays from the ellipse by more than
/// it would if it were made so.
fn elliptic(c: &[DVec2; 4], tolerance: f64) -> Option<EllipseArc> {
    let (h0, h1, chord) = (c[1] - c[0], c[3] - c[2], c[3] - c[0]);
    let (sum, square) = (h0 + h1, chord.length_squared());
    if square == 0.0 || sum.perp_dot(chord).abs() > 1e-3 * square || h0.perp_dot(h1) == 0.0 {
        return None;
    }
    let q = (1.0 - 1.5 * sum.dot(chord) / square).max(0.0).sqrt();
    let parts = (FRAC_PI_2 / (4.0 * q.atan())).round().clamp(1.0, CUT_INTO);
    let sweep = FRAC_PI_2 / parts;
    let meant = (sweep / 4.0).tan();
    if (q - meant).abs() > 2e-3 * meant {
        return None;
    }
    let handle = 4.0 / 3.0 * meant;
    let (sin, cos) = sweep.sin_cos();
    // Directions at both ends: v, and v cos - u sin.
    let v = h0 / handle;
    let centre = c[0] - (v * cos - h1 / handle) / sin;
    // Through both ends to the last figure.
    let u = c[0] - centre;
    let v = (c[3] - centre - u * cos) / sin;
    let e = EllipseArc { centre, u, v, start: 0.0, sweep };
    // The customary curve of a quarter is 2.7e-4 of the radius off at most, of a part much less.
    let stray = 6e-4 / parts.powi(6) + 0.2 * tolerance / u.length().max(v.length());
    let to_circle = DMat2::from_cols(u, v).inverse();
    let near = [0.25, 0.5, 0.75].iter().all(|t| {
        let out = (to_circle * (cubic_at(c, *t) - centre)).length() - 1.0;
        out.abs() <= stray
    });
    near.then_some(e)
}

/// Halvings of one stretch at most: 2^10 pieces, finer than any drawing needs, and bounded whatever the curve.
const HALVINGS: u32 = 10;

/// Arcs through points of a smooth curve, halved until none strays further than `tolerance` from it.
pub(crate) fn fit(at: &dyn Fn(f64) -> DVec2, a: f64, b: f64, tolerance: f64, out: &mut Vec<Piece>) {
    halve(at, (a, at(a)), (b, at(b)), tolerance, HALVINGS, out);
}

fn halve(
    at: &dyn Fn(f64) -> DVec2,
    start: (f64, DVec2),
    end: (f64, DVec2),
    tolerance: f64,
    left: u32,
    out: &mut Vec<Piece>,
) {
    let t = (start.0 + end.0) / 2.0;
    let middle = at(t);
    // A stretch that stands still (control points on one another) has ends and middle apart by rounding alone, through
    // which an arc of any size could go.
    let still = (tolerance * 1e-6).max(start.1.abs().max_element() * 1e-13);
    if middle.distance(start.1).max(end.1.distance(start.1)) <= still {
        out.push(Piece::line(start.1, end.1));
        return;
    }
    let piece = Piece::through(start.1, middle, end.1);
    let step = (end.0 - start.0) / 8.0;
    // Between the points where curve and arc meet the error peaks near the eighths; 0.7 leaves room for the peak.
    let close = |i: i32| piece.distance(at(start.0 + step * f64::from(i))) <= 0.7 * tolerance;
    let turns_little = piece.bulge.abs() < 0.7;
    if left == 0 || (turns_little && [1, 2, 3, 5, 6, 7].into_iter().all(close)) {
        // What still turns sharply after all halvings is the tip of a cusp.
        out.push(if turns_little { piece } else { Piece::line(start.1, end.1) });
        return;
    }
    halve(at, start, (t, middle), tolerance, left - 1, out);
    halve(at, (t, middle), end, tolerance, left - 1, out);
}

/// Joins neighbouring arcs of one circle from a place on, as drawing programs cut circles into quarters. Works on a path
/// whose pieces follow one another.
pub(crate) fn join_arcs(pieces: &mut Vec<Piece>, first: usize, tolerance: Option<f64>) {
    let Some(tolerance) = tolerance else { return };
    for piece in pieces.split_off(first) {
        if pieces.len() > first
            && let (Some(last), Some(now)) = (pieces.last().copied(), piece.arc())
            && let Some(before) = last.arc()
            && before.centre.distance(now.centre) < tolerance
            && (before.radius - now.radius).abs() < tolerance
            && (before.sweep > 0.0) == (now.sweep > 0.0)
            // Half a circle at most, so that a whole one keeps two vertices.
            && (before.sweep + now.sweep).abs() <= TAU / 2.0 + 1e-3
        {
            let bulge = ((before.sweep + now.sweep) / 4.0).tan();
            pieces.pop();
            pieces.push(Piece { from: last.from, to: piece.to, bulge });
        } else {
            pieces.push(piece);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::piece::area;
    use std::f64::consts::PI;

    #[test]
    fn ellipse_becomes_few_arcs_of_its_area() {
        let e = EllipseArc {
            centre: DVec2::new(3.0, 4.0),
            u: DVec2::new(200.0, 0.0),
            v: DVec2::new(0.0, 60.0),
            start: 0.0,
            sweep: TAU,
        };
        let (pieces, _) = Curve::Single(Stretch::Ellipse(e)).pieces(0.01, usize::MAX, None);
        assert!(pieces.len() <= 160, "{} pieces", pieces.len());
        let exact = PI * 200.0 * 60.0;
        // A band of 0.01 mm along the perimeter bounds the error of the area.
        assert!((area(&pieces) - exact).abs() < 0.01 * 900.0);
        for t in 0..1000 {
            let p = e.at(f64::from(t) * TAU / 1000.0);
            let off = pieces.iter().map(|s| s.distance(p)).fold(f64::MAX, f64::min);
            assert!(off <= 0.01, "{off} mm off at {p}");
        }
    }

    #[test]
    fn quarter_circle_cubics_become_the_circle() {
        let k = 4.0 / 3.0 * (2f64.sqrt() - 1.0) * 50.0;
        let quarter =
            [DVec2::new(50.0, 0.0), DVec2::new(50.0, k), DVec2::new(k, 50.0), DVec2::new(0.0, 50.0)];
        let mut pieces = Vec::new();
        for i in 0..4 {
            let turn = DVec2::from_angle(FRAC_PI_2 * f64::from(i));
            Stretch::Cubic(quarter.map(|p| turn.rotate(p))).pieces(0.01, usize::MAX, &mut pieces);
        }
        join_arcs(&mut pieces, 0, Some(1e-3));
        assert_eq!(pieces.len(), 2);
        assert!((area(&pieces) - PI * 2500.0).abs() < 1e-6);
    }

    #[test]
    fn uneven_scale_turns_a_circle_into_an_ellipse() {
        let map = DAffine2::from_scale(DVec2::new(2.0, -0.5));
        let (pieces, closed) =
            Curve::circle(DVec2::new(1.0, 1.0), 10.0).transformed(&map).pieces(0.001, usize::MAX, None);
        assert!(closed);
        assert!((area(&pieces) + PI * 100.0).abs() < 0.05, "mirrored, so clockwise: {}", area(&pieces));
    }
}
