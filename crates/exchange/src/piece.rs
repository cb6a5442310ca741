//! One line or arc of a drawing, by its ends and bulge, and what cleaning needs to know of it.

use geometry::Segment;
use glam::DVec2;

/// A line (`bulge` 0) or arc (`bulge` = tan(sweep / 4), counter-clockwise positive) from one point to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Piece {
    pub(crate) from: DVec2,
    pub(crate) to: DVec2,
    pub(crate) bulge: f64,
}

/// Centre, radius and signed sweep of an arc.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Arc {
    pub(crate) centre: DVec2,
    pub(crate) radius: f64,
    pub(crate) sweep: f64,
}

impl Piece {
    pub(crate) fn line(from: DVec2, to: DVec2) -> Self {
        Self { from, to, bulge: 0.0 }
    }

    /// The same line or arc as the geometry has it, which knows all about it.
    pub(crate) fn segment(&self) -> Segment {
        let (from, to) = (self.from, self.to);
        Segment::between(from, to, self.bulge).unwrap_or(Segment::Line { from, to })
    }

    /// The arc (or line) that starts at `from`, passes `through` and ends at `to`.
    pub(crate) fn through(from: DVec2, through: DVec2, to: DVec2) -> Self {
        let (before, after) = (through - from, to - through);
        // The turn at a point of an arc between its two chords is half the sweep (inscribed angle).
        let half = before.perp_dot(after).atan2(before.dot(after));
        Self { from, to, bulge: (half / 2.0).tan() }
    }

    /// The same up to a place on it or on its circle; a line goes straight there.
    pub(crate) fn cut_to(&self, to: DVec2) -> Self {
        let Some(arc) = self.arc() else { return Self::line(self.from, to) };
        let angle = |p: DVec2| (p - arc.centre).to_angle();
        let turn = if arc.sweep > 0.0 { angle(to) - angle(self.from) } else { angle(self.from) - angle(to) };
        let sweep = turn.rem_euclid(std::f64::consts::TAU).copysign(arc.sweep);
        Self { from: self.from, to, bulge: (sweep / 4.0).tan() }
    }

    pub(crate) fn is_straight(&self) -> bool {
        Segment::is_straight(self.from, self.to, self.bulge)
    }

    pub(crate) fn chord(&self) -> DVec2 {
        self.to - self.from
    }

    pub(crate) fn reversed(&self) -> Self {
        Self { from: self.to, to: self.from, bulge: -self.bulge }
    }

    /// `None` for a line.
    pub(crate) fn arc(&self) -> Option<Arc> {
        match self.segment() {
            Segment::Line { .. } => None,
            Segment::Arc { centre, radius, sweep, .. } => Some(Arc { centre, radius, sweep }),
        }
    }

    /// Middle of the line or arc.
    pub(crate) fn middle(&self) -> DVec2 {
        (self.from + self.to) / 2.0 - self.chord().perp() * (self.bulge / 2.0)
    }

    pub(crate) fn length(&self) -> f64 {
        self.segment().length()
    }

    /// Area between the piece and the origin, counter-clockwise positive: these sum to the area of a loop.
    pub(crate) fn area_about(&self, origin: DVec2) -> f64 {
        self.segment().area_about([self.from, self.to], origin)
    }

    /// Unit direction at the start.
    pub(crate) fn leaves(&self) -> DVec2 {
        self.segment().direction_at(0.0)
    }

    /// Signed curvature, 1/mm, to the left positive.
    pub(crate) fn curvature(&self) -> f64 {
        self.segment().curvature()
    }

    pub(crate) fn bounds(&self) -> (DVec2, DVec2) {
        // The corners as stored belong to it, whatever their rounding on the circle.
        let bounds = self.segment().bounds();
        (bounds.min.min(self.from).min(self.to), bounds.max.max(self.from).max(self.to))
    }

    /// Where the piece crosses the horizontal through `y`: x, and whether it rises there; a vertex between two pieces is met once.
    pub(crate) fn crossings(&self, y: f64, found: impl FnMut(f64, bool)) {
        self.segment().crossings_at([self.from, self.to], y, found);
    }

    /// Distance of a point from the piece itself.
    pub(crate) fn distance(&self, point: DVec2) -> f64 {
        self.segment().nearest(point).distance(point)
    }
}

/// Signed area of a closed chain.
pub(crate) fn area(pieces: &[Piece]) -> f64 {
    let origin = pieces.first().map_or(DVec2::ZERO, |p| p.from);
    pieces.iter().map(|p| p.area_about(origin)).sum()
}

/// Bounds of a chain; `None` when it is empty.
pub(crate) fn bounds(pieces: &[Piece]) -> Option<(DVec2, DVec2)> {
    pieces.iter().map(Piece::bounds).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// The same chain the other way round.
pub(crate) fn reverse(pieces: &mut [Piece]) {
    pieces.reverse();
    for piece in pieces {
        *piece = piece.reversed();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn half_circle() -> Piece {
        Piece { from: DVec2::new(5.0, 0.0), to: DVec2::new(-5.0, 0.0), bulge: 1.0 }
    }

    #[test]
    fn half_circle_has_its_closed_form() {
        let p = half_circle();
        assert!((p.length() - 5.0 * PI).abs() < 1e-12);
        assert!((p.area_about(DVec2::ZERO) - 12.5 * PI).abs() < 1e-12);
        assert!(p.middle().distance(DVec2::new(0.0, 5.0)) < 1e-12);
        assert!(p.leaves().distance(DVec2::Y) < 1e-12);
        assert!((p.curvature() - 0.2).abs() < 1e-12);
        let (min, max) = p.bounds();
        assert!(min.distance(DVec2::new(-5.0, 0.0)) < 1e-12 && max.distance(DVec2::new(5.0, 5.0)) < 1e-12);
    }

    #[test]
    fn three_points_give_the_arc_back() {
        for bulge in [-1.5, -0.4, 1e-6, 0.2, 1.0] {
            let p = Piece { from: DVec2::new(1.0, 2.0), to: DVec2::new(4.0, -1.0), bulge };
            let arc = p.arc().expect("an arc");
            let at = arc.centre + DVec2::from_angle(0.3 * arc.sweep).rotate(p.from - arc.centre);
            assert!(
                (Piece::through(p.from, at, p.to).bulge - bulge).abs() < 1e-6 * bulge.abs().max(1.0),
                "{bulge}"
            );
        }
    }

    #[test]
    fn an_arc_is_cut_where_it_should() {
        for (half, to) in
            [(half_circle(), DVec2::new(0.0, 5.0)), (half_circle().reversed(), DVec2::new(0.0, 5.0))]
        {
            let cut = half.cut_to(to);
            let (cut, half) = (cut.arc().expect("an arc"), half.arc().expect("an arc"));
            assert!((cut.sweep.abs() - PI / 2.0).abs() < 1e-12 && cut.sweep * half.sweep > 0.0);
            assert!(cut.centre.length() < 1e-12);
        }
    }

    /// Two arcs that meet at the height: a loop of them is crossed twice there, not three times or once.
    #[test]
    fn a_vertex_between_two_arcs_is_met_once() {
        let [right, top, left] = [DVec2::new(5.0, 0.0), DVec2::new(0.0, 5.0), DVec2::new(-5.0, 0.0)];
        let bulge = (PI / 8.0).tan();
        let quarter = |from, to| Piece { from, to, bulge };
        let pieces = [quarter(right, top), quarter(top, left), quarter(left, -top), quarter(-top, right)];
        let mut seen = Vec::new();
        pieces.iter().for_each(|piece| piece.crossings(0.0, |x, up| seen.push((x.round(), up))));
        seen.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert_eq!(seen, [(-5.0, false), (5.0, true)]);
    }

    #[test]
    fn horizontal_crosses_an_arc_where_it_should() {
        let mut seen = Vec::new();
        half_circle().crossings(3.0, |x, up| seen.push((x, up)));
        seen.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert_eq!(seen.len(), 2);
        assert!((seen[0].0 + 4.0).abs() < 1e-12 && !seen[0].1);
        assert!((seen[1].0 - 4.0).abs() < 1e-12 && seen[1].1);
    }
}
