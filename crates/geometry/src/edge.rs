//! Pieces as the spatial index holds them: with the corners as given, and never more than a half turn.

use std::f64::consts::PI;

use glam::DVec2;
use rstar::{AABB, PointDistance, RTreeObject};

use crate::{Loop, Segment};

/// One piece between two corners. The corners are kept as stored, so that neighbours share their end point to the bit:
/// crossing counts depend on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Edge {
    pub from: DVec2,
    pub to: DVec2,
    pub segment: Segment,
    /// Which loop of its owner.
    pub of: u32,
    /// Which piece of that loop.
    pub index: u32,
}

impl Edge {
    /// Pieces of a loop; arcs beyond a half turn are halved, so that the region seen from each arc is convex.
    pub fn of_loop(boundary: &Loop, of: u32) -> impl Iterator<Item = Edge> + '_ {
        boundary
            .pieces()
            .flat_map(move |(index, from, to, segment)| {
                let index = index as u32;
                match segment {
                    Segment::Arc { centre, radius, start, sweep } if sweep.abs() > PI + 1e-9 => {
                        let half = sweep / 2.0;
                        let first = Segment::Arc { centre, radius, start, sweep: half };
                        let second = Segment::Arc { centre, radius, start: start + half, sweep: half };
                        let middle = first.end();
                        [
                            Some(Edge { from, to: middle, segment: first, of, index }),
                            Some(Edge { from: middle, to, segment: second, of, index }),
                        ]
                    }
                    segment => [Some(Edge { from, to, segment, of, index }), None],
                }
            })
            .flatten()
    }

    /// How often the ray from `point` towards +x crosses the piece.
    pub fn crossings(&self, point: DVec2) -> u32 {
        let mut total = 0;
        self.crossings_at(point.y, |x, _| total += u32::from(x > point.x));
        total
    }

    /// Where the piece crosses a height, and whether it rises there.
    pub fn crossings_at(&self, y: f64, found: impl FnMut(f64, bool)) {
        self.segment.crossings_at([self.from, self.to], y, found);
    }

    /// Nearest point of the piece, with the stored corners instead of recomputed ends.
    pub fn nearest(&self, point: DVec2) -> DVec2 {
        self.segment.nearest(point)
    }
}

impl RTreeObject for Edge {
    type Envelope = AABB<[f64; 2]>;

    fn envelope(&self) -> Self::Envelope {
        let (mut min, mut max) = (self.from.min(self.to), self.from.max(self.to));
        // Asked for at every comparison while an index is built: a line is done.
        if let Segment::Arc { .. } = self.segment {
            let bounds = self.segment.bounds();
            (min, max) = (min.min(bounds.min), max.max(bounds.max));
        }
        AABB::from_corners(min.to_array(), max.to_array())
    }
}

impl PointDistance for Edge {
    fn distance_2(&self, point: &[f64; 2]) -> f64 {
        let point = DVec2::from_array(*point);
        self.nearest(point).distance_squared(point)
    }
}
