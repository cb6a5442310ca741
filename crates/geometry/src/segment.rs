//! Lines and arcs: points on them, nearest points, where two of them meet.

use std::f64::consts::{PI, TAU};

use glam::DVec2;

use crate::Bounds;

/// One piece of a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// A straight piece.
    Line {
        /// Where it starts, mm.
        from: DVec2,
        /// Where it ends, mm.
        to: DVec2,
    },
    /// A true arc; `sweep` signed, counter-clockwise positive.
    Arc {
        /// Centre of the circle, mm.
        centre: DVec2,
        /// Radius of the circle, mm, positive.
        radius: f64,
        /// Angle of the start as seen from the centre, rad.
        start: f64,
        /// Angle run through, rad, counter-clockwise positive, at most a full turn.
        sweep: f64,
    },
}

/// Angle from `start` to `angle` in the direction of `sweep`, rad in 0..2π.
fn along(start: f64, sweep: f64, angle: f64) -> f64 {
    let way = if sweep < 0.0 { start - angle } else { angle - start };
    let way = way.rem_euclid(TAU);
    // rem_euclid may round up to the full turn.
    if way >= TAU { 0.0 } else { way }
}

/// t - sin t without loss of digits at small angles: twice the area between an arc of radius 1 and its chord.
pub(crate) fn less_sine(t: f64) -> f64 {
    if t.abs() > 0.5 {
        return t - t.sin();
    }
    let square = t * t;
    let mut term = t * square / 6.0;
    let mut sum = 0.0;
    let mut k = 3.0;
    while term.abs() > 1e-18 * t.abs().powi(3) && k < 30.0 {
        sum += term;
        term *= -square / ((k + 1.0) * (k + 2.0));
        k += 2.0;
    }
    sum
}

impl Segment {
    /// The piece between two corners, `None` when it has no length or a coordinate is not a number.
    ///
    /// # Source
    /// The bulge of drawing-exchange polylines: tan of a quarter of the arc's angle.
    pub fn between(from: DVec2, to: DVec2, bulge: f64) -> Option<Self> {
        if !(from.is_finite() && to.is_finite() && bulge.is_finite()) || from == to {
            return None;
        }
        let chord = to - from;
        let length = chord.length();
        if length == 0.0 {
            return None;
        }
        if Self::is_straight(from, to, bulge) {
            return Some(Segment::Line { from, to });
        }
        let middle = from + chord / 2.0;
        let centre = middle + chord.perp() * ((1.0 - bulge * bulge) / (4.0 * bulge));
        let radius = length * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
        if !centre.is_finite() || !radius.is_finite() {
            return Some(Segment::Line { from, to });
        }
        let start = (from - centre).to_angle();
        Some(Segment::Arc { centre, radius, start, sweep: 4.0 * bulge.atan() })
    }

    /// Whether the piece between two corners is a line: a rise that drowns in the rounding of the coordinates is none, since its
    /// circle would have no usable centre.
    pub fn is_straight(from: DVec2, to: DVec2, bulge: f64) -> bool {
        let drowns = |length: f64| bulge.abs() * length / 2.0 < 1e-13 * (length + from.abs().max_element());
        bulge == 0.0 || drowns(from.distance(to))
    }

    /// First point, mm.
    pub fn start(&self) -> DVec2 {
        self.point_at(0.0)
    }

    /// Last point, mm.
    pub fn end(&self) -> DVec2 {
        self.point_at(1.0)
    }

    /// Length along the piece, mm.
    pub fn length(&self) -> f64 {
        match *self {
            Segment::Line { from, to } => from.distance(to),
            Segment::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// The point at share `t` of the length, 0 at the start and 1 at the end.
    pub fn point_at(&self, t: f64) -> DVec2 {
        match *self {
            Segment::Line { from, to } => from + (to - from) * t,
            Segment::Arc { centre, radius, start, sweep } => {
                centre + radius * DVec2::from_angle(start + sweep * t)
            }
        }
    }

    /// Unit direction of travel at share `t`.
    pub fn direction_at(&self, t: f64) -> DVec2 {
        match *self {
            Segment::Line { from, to } => (to - from).normalize_or_zero(),
            Segment::Arc { start, sweep, .. } => DVec2::from_angle(start + sweep * t).perp() * sweep.signum(),
        }
    }

    /// Curvature, 1/mm, to the left positive.
    pub fn curvature(&self) -> f64 {
        match *self {
            Segment::Line { .. } => 0.0,
            Segment::Arc { radius, sweep, .. } => sweep.signum() / radius,
        }
    }

    /// Area between the piece and a point, mm², counter-clockwise positive: over a closed chain these sum to its area. `corners`
    /// are its ends as stored, since those of a flat arc would be off by the rounding of its far centre.
    pub fn area_about(&self, corners: [DVec2; 2], origin: DVec2) -> f64 {
        let triangle = (corners[0] - origin).perp_dot(corners[1] - origin) / 2.0;
        match *self {
            Segment::Line { .. } => triangle,
            Segment::Arc { radius, sweep, .. } => {
                triangle + radius * radius / 2.0 * less_sine(sweep.abs()) * sweep.signum()
            }
        }
    }

    /// Where the piece crosses the horizontal through `y`: x, and whether it rises there. `corners` are its ends as stored, so that
    /// neighbours share theirs to the bit.
    ///
    /// Every piece is cut into stretches that only rise or only fall; a stretch counts when the height lies in
    /// `low <= y < high`. The same rule at both neighbours of a corner counts a crossing there exactly once.
    pub fn crossings_at(&self, corners: [DVec2; 2], y: f64, mut found: impl FnMut(f64, bool)) {
        let [from, to] = corners;
        let passes = |a: DVec2, b: DVec2| (a.y <= y) != (b.y <= y);
        let Segment::Arc { centre, radius, start, sweep } = *self else {
            if passes(from, to) {
                let rises = from.y < to.y;
                let (low, high) = if rises { (from, to) } else { (to, from) };
                found(low.x + (high.x - low.x) * ((y - low.y) / (high.y - low.y)), rises);
            }
            return;
        };
        let (low, high, first, last) =
            if sweep > 0.0 { (start, start + sweep, from, to) } else { (start + sweep, start, to, from) };
        let (mut angle, mut place) = (low, first);
        let mut k = ((low - PI / 2.0) / PI).floor() + 1.0;
        loop {
            let stop = PI / 2.0 + k * PI;
            let (next, there) = if stop < high {
                // Even multiples are tops of the circle, odd ones bottoms.
                let rise = if k.rem_euclid(2.0) == 0.0 { radius } else { -radius };
                (stop, DVec2::new(centre.x, centre.y + rise))
            } else {
                (high, last)
            };
            if passes(place, there) {
                let half = (radius * radius - (y - centre.y) * (y - centre.y)).max(0.0).sqrt();
                let right = ((angle + next) / 2.0).cos() >= 0.0;
                let x = if right { centre.x + half } else { centre.x - half };
                // Walked from `low` to `high`, which is backwards on a clockwise arc.
                found(x, (there.y > place.y) == (sweep > 0.0));
            }
            if stop >= high {
                return;
            }
            (angle, place) = (next, there);
            k += 1.0;
        }
    }

    /// Smallest box around the piece, mm.
    pub fn bounds(&self) -> Bounds {
        let (a, b) = (self.start(), self.end());
        let mut bounds = Bounds { min: a.min(b), max: a.max(b) };
        if let Segment::Arc { centre, radius, start, sweep } = *self {
            for (quarter, direction) in
                [DVec2::X, DVec2::Y, DVec2::NEG_X, DVec2::NEG_Y].into_iter().enumerate()
            {
                if along(start, sweep, quarter as f64 * PI / 2.0) <= sweep.abs() {
                    let point = centre + radius * direction;
                    bounds.min = bounds.min.min(point);
                    bounds.max = bounds.max.max(point);
                }
            }
        }
        bounds
    }

    /// Share of the length at which the piece comes nearest to `point`, in 0..=1.
    pub fn nearest_share(&self, point: DVec2) -> f64 {
        match *self {
            Segment::Line { from, to } => {
                let way = to - from;
                let square = way.length_squared();
                if square > 0.0 { ((point - from).dot(way) / square).clamp(0.0, 1.0) } else { 0.0 }
            }
            Segment::Arc { centre, start, sweep, .. } => {
                let out = point - centre;
                if out == DVec2::ZERO || sweep == 0.0 {
                    return 0.0;
                }
                let way = along(start, sweep, out.to_angle());
                let full = sweep.abs();
                if way <= full {
                    way / full
                } else if way - full <= TAU - way {
                    1.0
                } else {
                    0.0
                }
            }
        }
    }

    /// The point of the piece that is nearest to `point`, mm.
    pub fn nearest(&self, point: DVec2) -> DVec2 {
        match *self {
            Segment::Line { .. } => self.point_at(self.nearest_share(point)),
            Segment::Arc { centre, radius, start, sweep } => {
                let out = point - centre;
                let reach = out.length();
                if reach > 0.0 && along(start, sweep, out.to_angle()) <= sweep.abs() {
                    centre + out * (radius / reach)
                } else {
                    self.point_at(self.nearest_share(point))
                }
            }
        }
    }

    /// Whether the angle of `point` about the centre lies within the arc; `true` for a line.
    pub(crate) fn spans(&self, point: DVec2) -> bool {
        match *self {
            Segment::Line { .. } => true,
            Segment::Arc { centre, start, sweep, .. } => {
                along(start, sweep, (point - centre).to_angle()) <= sweep.abs()
            }
        }
    }

    /// The same piece walked backwards.
    pub fn reversed(&self) -> Self {
        match *self {
            Segment::Line { from, to } => Segment::Line { from: to, to: from },
            Segment::Arc { centre, radius, start, sweep } => {
                Segment::Arc { centre, radius, start: start + sweep, sweep: -sweep }
            }
        }
    }

    /// How many chords keep within `tolerance` of the arc; 1 for a line.
    pub fn chords(&self, tolerance: f64) -> usize {
        match *self {
            Segment::Line { .. } => 1,
            Segment::Arc { radius, sweep, .. } => {
                let share = (tolerance / radius).clamp(1e-18, 1.0);
                // sagitta = r (1 - cos(step / 2)); written with the half-angle sine to keep digits for small shares.
                let step = 4.0 * (share / 2.0).sqrt().asin();
                // At least one a quarter turn, and never so many that a tolerance of nought fills the memory.
                let least = (sweep.abs() / (PI / 2.0)).ceil() as usize;
                ((sweep.abs() / step).ceil() as usize).max(least).clamp(1, 100_000)
            }
        }
    }

    /// Points where this piece meets `other`, mm, at most two and, for pieces that run over one another, the ends of the
    /// common stretch. Points closer than `slack` to both pieces count as met.
    ///
    /// # Source
    /// Intersection of lines and circles in the plane, any text on analytic geometry.
    pub fn meets(&self, other: &Segment, slack: f64) -> Meets {
        let mut found = Meets::default();
        match (self, other) {
            (Segment::Line { from, to }, Segment::Line { from: p, to: q }) => {
                let (r, s) = (*to - *from, *q - *p);
                let across = r.perp_dot(s);
                if across.abs() <= 1e-12 * r.length() * s.length() {
                    if s.length() > 0.0 && ((*from - *p).perp_dot(s) / s.length()).abs() <= slack {
                        found.common_stretch(self, other, slack);
                    }
                } else {
                    found.offer(*from + r * ((*p - *from).perp_dot(s) / across), self, other, slack);
                }
            }
            (Segment::Line { from, to }, Segment::Arc { centre, radius, .. }) => {
                found.line_and_circle(*from, *to, *centre, *radius, (self, other), slack);
            }
            (Segment::Arc { centre, radius, .. }, Segment::Line { from, to }) => {
                found.line_and_circle(*from, *to, *centre, *radius, (self, other), slack);
            }
            (Segment::Arc { centre: a, radius: r, .. }, Segment::Arc { centre: b, radius: s, .. }) => {
                let way = *b - *a;
                let apart = way.length();
                if apart <= slack && (r - s).abs() <= slack {
                    found.common_stretch(self, other, slack);
                } else if apart > 0.0 && apart <= r + s + slack && apart + slack >= (r - s).abs() {
                    let foot = (apart * apart + r * r - s * s) / (2.0 * apart);
                    let rise = (r * r - foot * foot).max(0.0).sqrt();
                    let unit = way / apart;
                    found.offer(*a + unit * foot + unit.perp() * rise, self, other, slack);
                    found.offer(*a + unit * foot - unit.perp() * rise, self, other, slack);
                }
            }
        }
        found
    }
}

/// Up to four points where two pieces meet.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Meets {
    points: [DVec2; 4],
    count: usize,
    /// The pieces run over one another for a stretch.
    pub overlapping: bool,
}

impl Meets {
    /// The points, mm.
    pub fn points(&self) -> &[DVec2] {
        &self.points[..self.count]
    }

    fn offer(&mut self, point: DVec2, a: &Segment, b: &Segment, slack: f64) {
        if !point.is_finite() || self.count == self.points.len() {
            return;
        }
        let near = |s: &Segment| s.nearest(point).distance(point) <= slack;
        if near(a) && near(b) && !self.points().iter().any(|p| p.distance(point) <= slack) {
            self.points[self.count] = point;
            self.count += 1;
        }
    }

    fn common_stretch(&mut self, a: &Segment, b: &Segment, slack: f64) {
        for point in [a.start(), a.end(), b.start(), b.end()] {
            self.offer(point, a, b, slack);
        }
        // Two halves of a circle share both ends and yet do not overlap: look for a place of one inside the other.
        let inside = |p: DVec2, s: &Segment| {
            s.nearest(p).distance(p) <= slack && s.start().distance(p) > slack && s.end().distance(p) > slack
        };
        let any =
            |s: &Segment, other: &Segment| [0.0, 0.5, 1.0].iter().any(|t| inside(s.point_at(*t), other));
        self.overlapping = any(a, b) || any(b, a);
    }

    fn line_and_circle(
        &mut self,
        from: DVec2,
        to: DVec2,
        centre: DVec2,
        radius: f64,
        pieces: (&Segment, &Segment),
        slack: f64,
    ) {
        let unit = (to - from).normalize_or_zero();
        let foot = from + unit * (centre - from).dot(unit);
        let off = foot.distance(centre);
        if off > radius + slack {
            return;
        }
        let rise = (radius * radius - off * off).max(0.0).sqrt();
        self.offer(foot + unit * rise, pieces.0, pieces.1, slack);
        self.offer(foot - unit * rise, pieces.0, pieces.1, slack);
    }
}

/// Nearest points of the straight piece `a`..`b` and another piece; equal points when they cross.
pub(crate) fn nearest_between(a: DVec2, b: DVec2, other: &Segment) -> (DVec2, DVec2) {
    let line = Segment::Line { from: a, to: b };
    if a != b
        && let Some(point) = line
            .meets(other, 1e-12 * (1.0 + a.abs().max_element().max(b.abs().max_element())))
            .points()
            .first()
    {
        return (*point, *point);
    }
    let mut best = (a, other.nearest(a));
    let mut offer = |p: DVec2, q: DVec2| {
        if p.distance_squared(q) < best.0.distance_squared(best.1) {
            best = (p, q);
        }
    };
    offer(b, other.nearest(b));
    for end in [other.start(), other.end()] {
        offer(line.nearest(end), end);
    }
    if let Segment::Arc { centre, .. } = other {
        let foot = line.nearest(*centre);
        offer(foot, other.nearest(foot));
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the series of the closed form, chord² (b/3 + b³/15), where the bulge b is small.
    #[test]
    fn area_about_a_point_keeps_its_digits_from_flat_arcs_to_whole_circles() {
        let (from, to) = (DVec2::new(3.0, 1.0), DVec2::new(103.0, 1.0));
        for bulge in [1e-9, 1e-6, 0.999e-3, 1.001e-3, 0.02] {
            for bulge in [bulge, -bulge] {
                let arc = Segment::between(from, to, bulge).unwrap();
                let series = 1e4 * (bulge / 3.0 + bulge.powi(3) / 15.0);
                let found = arc.area_about([from, to], from);
                assert!((found / series - 1.0).abs() < 1e-12 + bulge.powi(4), "{bulge}: {found} {series}");
            }
        }
        let half = Segment::between(DVec2::new(5.0, 0.0), DVec2::new(-5.0, 0.0), 1.0).unwrap();
        assert!((half.area_about([half.start(), half.end()], DVec2::ZERO) - 12.5 * PI).abs() < 1e-12);
        assert!((half.curvature() - 0.2).abs() < 1e-15 && half.reversed().curvature() < 0.0);
        assert_eq!(Segment::Line { from, to }.area_about([from, to], DVec2::ZERO), -50.0);
    }

    #[test]
    fn a_rise_that_drowns_in_rounding_is_a_line() {
        let [from, to] = [DVec2::ZERO, DVec2::new(100.0, 0.0)];
        assert!(Segment::is_straight(from, to, 0.0) && Segment::is_straight(from, to, 1e-13));
        assert!(!Segment::is_straight(from, to, 1e-12) && !Segment::is_straight(from, to, -1.0));
        let far = DVec2::splat(1e9);
        assert!(Segment::is_straight(far, far + DVec2::X, 1e-5));
    }
}
