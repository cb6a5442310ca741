//! Loops of lines and arcs, and the outline of a part.

use glam::DVec2;

use crate::Segment;
use crate::edge::Edge;

/// One corner of a [`Loop`] and the way to the next: `bulge` = tan(sweep / 4), 0 for a straight line, positive when the
/// arc turns counter-clockwise (the convention of drawing-exchange polylines).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// The corner, mm.
    pub at: DVec2,
    /// Tangent of a quarter of the arc's angle to the next corner.
    pub bulge: f64,
}

/// A closed boundary of lines and true arcs; the last vertex joins the first.
///
/// ```
/// use geometry::Loop;
/// use glam::DVec2;
/// let disc = Loop::circle(DVec2::new(10.0, 20.0), 5.0); // mm
/// assert!((disc.signed_area() - 25.0 * std::f64::consts::PI).abs() < 1e-9); // mm²
/// assert!(disc.contains(DVec2::new(13.0, 20.0)));
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Loop {
    /// Corners in order, mm; either direction round.
    pub vertices: Vec<Vertex>,
}

/// The part seen from above: outer boundary and holes inside it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// Outer boundary.
    pub outer: Loop,
    /// Holes; either direction round.
    pub holes: Vec<Loop>,
}

/// An axis-parallel box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Lower left corner, mm.
    pub min: DVec2,
    /// Upper right corner, mm.
    pub max: DVec2,
}

impl Bounds {
    /// Extent along x, mm.
    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    /// Extent along y, mm.
    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    /// Width and height, mm.
    pub fn size(&self) -> DVec2 {
        self.max - self.min
    }

    /// Middle of the box, mm.
    pub fn centre(&self) -> DVec2 {
        self.min + self.size() / 2.0
    }

    /// Smallest box around both.
    pub fn union(&self, other: &Bounds) -> Bounds {
        Bounds { min: self.min.min(other.min), max: self.max.max(other.max) }
    }

    /// The box grown by `by` mm on every side; shrinks to its centre, never past it.
    pub fn expanded(&self, by: f64) -> Bounds {
        let by = DVec2::splat(by).max(-self.size() / 2.0);
        Bounds { min: self.min - by, max: self.max + by }
    }

    /// Smallest box around points, `None` without a point.
    pub fn of(points: impl IntoIterator<Item = DVec2>) -> Option<Bounds> {
        points.into_iter().map(|p| Bounds { min: p, max: p }).reduce(|a, b| a.union(&b))
    }

    /// Whether the point lies in the box or on its edge.
    pub fn contains(&self, point: DVec2) -> bool {
        point.cmpge(self.min).all() && point.cmple(self.max).all()
    }
}

impl Loop {
    /// The pieces in order. Pieces without length and pieces with a coordinate that is not a number are left out.
    pub fn segments(&self) -> impl Iterator<Item = Segment> + '_ {
        self.pieces().map(|(_, _, _, segment)| segment)
    }

    /// Pieces with the index of their first vertex and their corners as stored.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = (usize, DVec2, DVec2, Segment)> + '_ {
        let count = self.vertices.len();
        self.vertices.iter().enumerate().filter_map(move |(i, v)| {
            let next = self.vertices.get((i + 1) % count)?;
            Segment::between(v.at, next.at, v.bulge).map(|s| (i, v.at, next.at, s))
        })
    }

    /// Smallest box around the loop, `None` when it has no finite vertex.
    pub fn bounds(&self) -> Option<Bounds> {
        let pieces = self.segments().map(|s| s.bounds());
        let corners =
            self.vertices.iter().filter(|v| v.at.is_finite()).map(|v| Bounds { min: v.at, max: v.at });
        pieces.chain(corners).reduce(|a, b| a.union(&b))
    }

    /// Length all the way round, mm.
    pub fn perimeter(&self) -> f64 {
        self.segments().map(|s| s.length()).sum()
    }

    /// Area, mm², counter-clockwise positive; exact for arcs.
    pub fn signed_area(&self) -> f64 {
        crate::section::loop_area(self)
    }

    /// Whether the point lies inside (even-odd rule, either direction round). On the boundary itself either answer may come.
    pub fn contains(&self, point: DVec2) -> bool {
        Edge::of_loop(self, 0).map(|e| e.crossings(point)).sum::<u32>() % 2 == 1
    }

    /// Points along the loop, no chord further than `tolerance` mm from its arc; the first point is not repeated.
    pub fn flatten(&self, tolerance: f64) -> Vec<DVec2> {
        let tolerance = if tolerance.is_finite() { tolerance.max(0.0) } else { 0.1 };
        let mut points = Vec::with_capacity(self.vertices.len());
        for (_, from, _, segment) in self.pieces() {
            points.push(from);
            let chords = segment.chords(tolerance);
            points.extend((1..chords).map(|k| segment.point_at(k as f64 / chords as f64)));
        }
        points
    }

    /// Mirrored (x to -x) if asked, then turned by `turn` rad about the origin, then shifted by `shift` mm.
    pub fn transformed(&self, turn: f64, mirror: bool, shift: DVec2) -> Self {
        let rotation = DVec2::from_angle(turn);
        let change = |v: &Vertex| {
            let at = if mirror { DVec2::new(-v.at.x, v.at.y) } else { v.at };
            Vertex { at: rotation.rotate(at) + shift, bulge: if mirror { -v.bulge } else { v.bulge } }
        };
        Loop { vertices: self.vertices.iter().map(change).collect() }
    }

    /// The same boundary walked the other way round.
    pub fn reversed(&self) -> Self {
        let count = self.vertices.len();
        let back = |i: usize| Vertex {
            at: self.vertices[count - 1 - i].at,
            bulge: -self.vertices[(2 * count - 2 - i) % count].bulge,
        };
        Loop { vertices: (0..count).map(back).collect() }
    }

    /// Point of the loop nearest to `point`, its distance in mm, and the index of the vertex its piece starts from;
    /// `None` for a loop without pieces.
    pub fn nearest_point(&self, point: DVec2) -> Option<(DVec2, f64, usize)> {
        self.pieces()
            .map(|(index, _, _, segment)| {
                let near = segment.nearest(point);
                (near, near.distance(point), index)
            })
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }
}

impl Outline {
    /// An outline without holes.
    pub fn solid(outer: Loop) -> Self {
        Outline { outer, holes: Vec::new() }
    }

    /// A ring: disc of `outer` radius with a hole of `inner` radius, mm.
    pub fn ring(centre: DVec2, outer: f64, inner: f64) -> Self {
        Outline { outer: Loop::circle(centre, outer), holes: vec![Loop::circle(centre, inner)] }
    }

    /// Outer boundary, then the holes.
    pub fn loops(&self) -> impl Iterator<Item = &Loop> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// Smallest box around the outer boundary, mm.
    pub fn bounds(&self) -> Option<Bounds> {
        self.outer.bounds()
    }

    /// Whether there is no outer boundary at all.
    pub fn is_empty(&self) -> bool {
        self.outer.vertices.is_empty()
    }

    /// Whether the point lies on the material.
    pub fn contains(&self, point: DVec2) -> bool {
        self.outer.contains(point) && !self.holes.iter().any(|h| h.contains(point))
    }

    /// Every loop moved as [`Loop::transformed`] says.
    pub fn transformed(&self, turn: f64, mirror: bool, shift: DVec2) -> Self {
        Outline {
            outer: self.outer.transformed(turn, mirror, shift),
            holes: self.holes.iter().map(|h| h.transformed(turn, mirror, shift)).collect(),
        }
    }
}
