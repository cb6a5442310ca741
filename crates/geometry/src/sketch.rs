//! Loops made by dimensions, and the changes a person drags on a loop.

use glam::DVec2;
use std::f64::consts::TAU;

use crate::{Loop, Segment, Vertex};

/// Bulge of a quarter circle, tan(90° / 4).
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

/// Centre, radius and sweep of a piece that is an arc.
fn arc_of(segment: Segment) -> Option<(DVec2, f64, f64)> {
    match segment {
        Segment::Arc { centre, radius, sweep, .. } => Some((centre, radius, sweep)),
        Segment::Line { .. } => None,
    }
}

/// Two arcs of one circle, one after the other, as one.
fn joined(first: Segment, then: Segment) -> Option<Segment> {
    let ((centre, radius, sweep), (c, r, more)) = (arc_of(first)?, arc_of(then)?);
    let near = 1e-9 * radius;
    let one = c.distance(centre) < near && (r - radius).abs() < near && sweep.signum() == more.signum();
    let start = match first {
        Segment::Arc { start, .. } => start,
        Segment::Line { .. } => return None,
    };
    one.then_some(Segment::Arc { centre, radius, start, sweep: sweep + more })
}

impl Loop {
    /// Rectangle between two opposite corners, mm, counter-clockwise from the lower left.
    pub fn rectangle(min: DVec2, max: DVec2) -> Self {
        let (min, max) = (min.min(max), min.max(max));
        Self::polygon([min, DVec2::new(max.x, min.y), max, DVec2::new(min.x, max.y)])
    }

    /// Rectangle with quarter circles of radius `corner` mm at its corners, at most half the shorter side.
    pub fn rounded_rectangle(min: DVec2, max: DVec2, corner: f64) -> Self {
        let (min, max) = (min.min(max), min.max(max));
        let size = max - min;
        let corner = corner.clamp(0.0, size.min_element().max(0.0) / 2.0);
        if corner == 0.0 {
            return Self::rectangle(min, max);
        }
        let (x, y) = (DVec2::new(corner, 0.0), DVec2::new(0.0, corner));
        let (right_low, left_high) = (DVec2::new(max.x, min.y), DVec2::new(min.x, max.y));
        let corners = [
            (min + x, 0.0),
            (right_low - x, QUARTER),
            (right_low + y, 0.0),
            (max - y, QUARTER),
            (max - x, 0.0),
            (left_high + x, QUARTER),
            (left_high - y, 0.0),
            (min + y, QUARTER),
        ];
        let mut vertices: Vec<Vertex> = corners.map(|(at, bulge)| Vertex { at, bulge }).to_vec();
        // Two quarter circles that meet leave a straight of no length behind.
        let count = vertices.len();
        let keep: Vec<bool> = (0..count)
            .map(|i| vertices[i].bulge != 0.0 || vertices[i].at != vertices[(i + 1) % count].at)
            .collect();
        let mut keep = keep.into_iter();
        vertices.retain(|_| keep.next().unwrap_or(true));
        Loop { vertices }
    }

    /// Circle as two half circles, counter-clockwise, mm.
    pub fn circle(centre: DVec2, radius: f64) -> Self {
        let across = DVec2::new(radius.abs(), 0.0);
        Loop {
            vertices: vec![
                Vertex { at: centre - across, bulge: 1.0 },
                Vertex { at: centre + across, bulge: 1.0 },
            ],
        }
    }

    /// Straight lines through the points in order and back to the first, mm.
    pub fn polygon(points: impl IntoIterator<Item = DVec2>) -> Self {
        Loop { vertices: points.into_iter().map(|at| Vertex { at, bulge: 0.0 }).collect() }
    }

    /// Polygon of `sides` equal sides with its corners on a circle of `radius` mm, the first at angle `turn` rad.
    pub fn regular(centre: DVec2, radius: f64, sides: usize, turn: f64) -> Self {
        let step = std::f64::consts::TAU / sides.max(3) as f64;
        Self::polygon((0..sides.max(3)).map(|k| centre + radius * DVec2::from_angle(turn + step * k as f64)))
    }

    /// Slot: two half circles of `width` mm and straights between, `length` mm overall, turned by `turn` rad.
    pub fn slot(centre: DVec2, length: f64, width: f64, turn: f64) -> Self {
        let radius = width.min(length) / 2.0;
        let straight = (length / 2.0 - radius).max(0.0);
        if straight == 0.0 {
            return Self::circle(centre, radius);
        }
        let corners = [
            (-straight, -radius, 0.0),
            (straight, -radius, 1.0),
            (straight, radius, 0.0),
            (-straight, radius, 1.0),
        ];
        let vertices = corners.map(|(x, y, bulge)| Vertex { at: DVec2::new(x, y), bulge }).to_vec();
        Loop { vertices }.transformed(turn, false, centre)
    }

    /// Centre and radius in mm where the loop is one circle made of arcs.
    ///
    /// ```
    /// use geometry::Loop;
    /// use glam::DVec2;
    /// let (centre, radius) = Loop::circle(DVec2::new(3.0, 4.0), 6.0).as_circle().ok_or("no circle")?;
    /// assert!(centre.distance(DVec2::new(3.0, 4.0)) < 1e-12 && (radius - 6.0).abs() < 1e-12);
    /// assert!(Loop::rectangle(DVec2::ZERO, DVec2::ONE).as_circle().is_none());
    /// # Ok::<(), &str>(())
    /// ```
    pub fn as_circle(&self) -> Option<(DVec2, f64)> {
        let arcs: Vec<(DVec2, f64, f64)> = self.segments().map(arc_of).collect::<Option<_>>()?;
        let &(centre, radius, _) = arcs.first()?;
        let near = 1e-6 * radius;
        let one = arcs.iter().all(|(c, r, _)| c.distance(centre) < near && (r - radius).abs() < near);
        let turned: f64 = arcs.iter().map(|(.., sweep)| sweep).sum();
        (one && (turned.abs() - TAU).abs() < 1e-6).then_some((centre, radius))
    }

    /// Centre, overall length, width in mm and turn in rad where the loop is one slot: two straights and two half circles.
    ///
    /// ```
    /// use geometry::Loop;
    /// use glam::DVec2;
    /// let slot = Loop::slot(DVec2::new(3.0, 4.0), 30.0, 10.0, 0.5);
    /// let (centre, length, width, turn) = slot.as_slot().ok_or("no slot")?;
    /// assert!(centre.distance(DVec2::new(3.0, 4.0)) < 1e-9);
    /// assert!((length - 30.0).abs() < 1e-9 && (width - 10.0).abs() < 1e-9 && (turn - 0.5).abs() < 1e-9);
    /// # Ok::<(), &str>(())
    /// ```
    pub fn as_slot(&self) -> Option<(DVec2, f64, f64, f64)> {
        let mut pieces: Vec<Segment> = Vec::new();
        for segment in self.segments() {
            // Arcs of one circle that go on from one another are one.
            match pieces.last_mut().and_then(|last| joined(*last, segment).map(|whole| (last, whole))) {
                Some((last, whole)) => *last = whole,
                None => pieces.push(segment),
            }
        }
        if let [first, .., last] = pieces[..]
            && let Some(whole) = joined(last, first)
        {
            pieces.remove(0);
            *pieces.last_mut()? = whole;
        }
        let at = pieces.iter().position(|s| matches!(s, Segment::Arc { .. }))?;
        let [first, one, second, other] = <[Segment; 4]>::try_from(pieces)
            .map(|mut four| {
                four.rotate_left(at);
                four
            })
            .ok()?;
        let ((a, radius, turned), (b, r, back)) = (arc_of(first)?, arc_of(second)?);
        let straight = |s| matches!(s, Segment::Line { .. });
        let near = 1e-6 * radius;
        let half = |sweep: f64| (sweep.abs() - TAU / 2.0).abs() < 1e-6;
        // The half circle bulges away from the other one.
        let outward = (first.point_at(0.5) - a).dot(b - a) < 0.0;
        let is_slot = straight(one)
            && straight(other)
            && half(turned)
            && half(back)
            && turned.signum() == back.signum()
            && (r - radius).abs() < near
            && (first.end() - first.start()).dot(b - a).abs() < near * a.distance(b)
            && outward;
        let along = if (b - a).x < 0.0 { a - b } else { b - a };
        is_slot.then(|| ((a + b) / 2.0, a.distance(b) + 2.0 * radius, 2.0 * radius, along.to_angle()))
    }

    /// L shape: bounding rectangle `min..max` with the upper right `cut` (width, height) taken away, mm.
    pub fn angle_piece(min: DVec2, max: DVec2, cut: DVec2) -> Self {
        let (min, max) = (min.min(max), min.max(max));
        let cut = cut.clamp(DVec2::ZERO, max - min);
        if cut.min_element() == 0.0 {
            return Self::rectangle(min, max);
        }
        Self::polygon([
            min,
            DVec2::new(max.x, min.y),
            DVec2::new(max.x, max.y - cut.y),
            max - cut,
            DVec2::new(max.x - cut.x, max.y),
            DVec2::new(min.x, max.y),
        ])
    }

    /// Vertex `index` moved to `to`; its arcs keep their bulge. Unchanged when there is no such vertex.
    pub fn with_vertex_moved(&self, index: usize, to: DVec2) -> Self {
        let mut changed = self.clone();
        if let Some(vertex) = changed.vertices.get_mut(index) {
            vertex.at = to;
        }
        changed
    }

    /// Both ends of the piece that starts at vertex `index` moved by `by` mm.
    pub fn with_edge_moved(&self, index: usize, by: DVec2) -> Self {
        let mut changed = self.clone();
        let count = changed.vertices.len();
        if index < count {
            changed.vertices[index].at += by;
            if count > 1 {
                changed.vertices[(index + 1) % count].at += by;
            }
        }
        changed
    }

    /// A vertex added so that it becomes vertex `index`. An arc it lies on is divided there and keeps its shape.
    pub fn with_vertex_inserted(&self, index: usize, at: DVec2) -> Self {
        let mut changed = self.clone();
        let count = changed.vertices.len();
        let index = index.min(count);
        let mut bulge = 0.0;
        if count > 0 {
            let before = (index + count - 1) % count;
            let (start, next) = (changed.vertices[before], changed.vertices[(before + 1) % count]);
            if let Some(arc @ Segment::Arc { sweep, .. }) = Segment::between(start.at, next.at, start.bulge) {
                let share = arc.nearest_share(at);
                changed.vertices[before].bulge = (sweep * share / 4.0).tan();
                bulge = (sweep * (1.0 - share) / 4.0).tan();
            }
        }
        changed.vertices.insert(index, Vertex { at, bulge });
        changed
    }

    /// Vertex `index` taken away; its neighbours are joined by a straight line. Unchanged when there is no such vertex.
    pub fn with_vertex_removed(&self, index: usize) -> Self {
        let mut changed = self.clone();
        let count = changed.vertices.len();
        if index < count {
            if count > 1 {
                changed.vertices[(index + count - 1) % count].bulge = 0.0;
            }
            changed.vertices.remove(index);
        }
        changed
    }

    /// The corner between two straight pieces rounded by an arc of `radius` mm; `None` when a piece is an arc, the corner
    /// is straight, or the radius does not fit on the neighbouring pieces.
    pub fn with_corner_rounded(&self, index: usize, radius: f64) -> Option<Self> {
        let count = self.vertices.len();
        if index >= count || count < 3 || !radius.is_finite() || radius <= 0.0 {
            return None;
        }
        let before = self.vertices[(index + count - 1) % count];
        let corner = self.vertices[index];
        let after = self.vertices[(index + 1) % count];
        if before.bulge != 0.0 || corner.bulge != 0.0 {
            return None;
        }
        let (inward, outward) = (corner.at - before.at, after.at - corner.at);
        let turn = inward.angle_to(outward);
        let back = radius * (turn / 2.0).tan().abs();
        if !turn.is_finite() || turn.abs() < 1e-9 || back > inward.length().min(outward.length()) {
            return None;
        }
        let mut changed = self.clone();
        changed.vertices[index] =
            Vertex { at: corner.at - inward.normalize_or_zero() * back, bulge: (turn / 4.0).tan() };
        changed
            .vertices
            .insert(index + 1, Vertex { at: corner.at + outward.normalize_or_zero() * back, bulge: 0.0 });
        Some(changed)
    }
}
