//! How deep the pieces of a boundary lie below a lip's line, and which of them lies deepest.

use std::cell::Cell;

use glam::DVec2;
use rstar::{AABB, RTree, SelectionFunction};

use crate::edge::Edge;
use crate::lip::Core;
use crate::segment::nearest_between;
use crate::{Lip, Segment};

/// The point of a boundary that lies deepest below the lip's line, and its piece; `None` when none lies deeper than
/// `least`. A `likely` one to begin with lets most pieces be passed over unseen.
pub(crate) fn deepest<'a>(
    tree: &'a RTree<Edge>,
    lip: &Lip,
    likely: (DVec2, &'a Edge),
    least: f64,
) -> Option<(DVec2, &'a Edge)> {
    let below = Below { least: Cell::new(least), ..Below::of(lip) };
    let mut best = None;
    let mut offer = |at: DVec2, edge: &'a Edge| {
        let depth = below.depth(at);
        if depth > below.least.get() {
            below.least.set(depth);
            best = Some((at, edge));
        }
    };
    offer(likely.0, likely.1);
    for edge in tree.locate_with_selection_function(&below) {
        offer(edge.from, edge);
        offer(edge.to, edge);
        if below.beats(edge) {
            offer(deepest_on(lip, edge), edge);
        }
    }
    best
}

/// Depth below a lip's line, by which pieces that cannot hold the deepest point are passed over.
///
/// Depth is concave: it never rises above its slope at any place.
pub(crate) struct Below {
    at: DVec2,
    axis: DVec2,
    half: DVec2,
    radius: f64,
    /// The deepest found so far; at first the line itself.
    pub least: Cell<f64>,
}

impl Below {
    fn of(lip: &Lip) -> Self {
        let Core { half, radius } = lip.shape.core();
        Below { at: lip.at, axis: DVec2::from_angle(-lip.turn), half, radius, least: Cell::new(0.0) }
    }

    /// Below the line of the lip's core instead: the depth is minus the distance from the core.
    pub fn core(lip: &Lip, least: f64) -> Self {
        Below { radius: 0.0, least: Cell::new(least), ..Below::of(lip) }
    }

    /// Whether a piece may hold a point deeper than was found so far.
    fn beats(&self, edge: &Edge) -> bool {
        self.deepest(edge) > self.least.get() + 1e-9
    }

    /// As [`Below::deepest`] for every piece in a box.
    pub fn deepest_in(&self, envelope: &AABB<[f64; 2]>) -> f64 {
        let (low, high) = (DVec2::from_array(envelope.lower()), DVec2::from_array(envelope.upper()));
        self.depth((low + high) / 2.0) + low.distance(high) / 2.0
    }

    /// As [`Lip::depth`].
    fn depth(&self, point: DVec2) -> f64 {
        let beyond = self.axis.rotate(point - self.at).abs() - self.half;
        self.radius - beyond.max(DVec2::ZERO).length() - beyond.max_element().min(0.0)
    }

    /// Depth at a point and how fast it changes along a direction of unit length.
    fn with_slope(&self, point: DVec2, way: DVec2) -> (f64, f64) {
        let local = self.axis.rotate(point - self.at);
        let beyond = local.abs() - self.half;
        let out = beyond.max(DVec2::ZERO);
        let inward = if out != DVec2::ZERO {
            -out.normalize()
        } else if beyond.x > beyond.y {
            DVec2::NEG_X
        } else {
            DVec2::NEG_Y
        };
        let side = DVec2::new(1_f64.copysign(local.x), 1_f64.copysign(local.y));
        let depth = self.radius - out.length() - beyond.max_element().min(0.0);
        (depth, (inward * side).dot(self.axis.rotate(way)))
    }

    /// No point of a piece is deeper than this.
    pub fn deepest(&self, edge: &Edge) -> f64 {
        let Segment::Line { from, to } = edge.segment else {
            return (self.depth(edge.from) + self.depth(edge.to) + edge.segment.length()) / 2.0;
        };
        let length = from.distance(to);
        let way = (to - from) / length;
        let ((start, rise), (end, fall)) = (self.with_slope(from, way), self.with_slope(to, way));
        if rise <= 0.0 {
            start
        } else if fall >= 0.0 {
            end
        } else {
            // Where the two slopes meet.
            start + rise * ((end - start - fall * length) / (rise - fall)).clamp(0.0, length)
        }
    }
}

impl SelectionFunction<Edge> for &Below {
    fn should_unpack_parent(&self, envelope: &AABB<[f64; 2]>) -> bool {
        self.deepest_in(envelope) > self.least.get()
    }

    fn should_unpack_leaf(&self, edge: &Edge) -> bool {
        self.beats(edge)
    }
}

/// The point of a piece that lies deepest below the lip's line.
///
/// Depth is piecewise: to each of four sides inside the core, to the core's corners around it. Its largest along a line
/// or arc is at an end, where one of those peaks, or where two sides are equally far (on the bisectors of the core).
fn deepest_on(lip: &Lip, edge: &Edge) -> DVec2 {
    let (corners, count) = lip.core_corners();
    if count == 2 {
        return nearest_between(corners[0], corners[1], &edge.segment).1;
    }
    let Core { half, .. } = lip.shape.core();
    let far = half.max_element() * 4.0 + 1.0;
    let mut best = (edge.from, lip.depth(edge.from));
    let mut offer = |point: DVec2| {
        let depth = lip.depth(point);
        if depth > best.1 {
            best = (point, depth);
        }
    };
    offer(edge.to);
    for corner in corners {
        offer(edge.nearest(corner));
    }
    if let Segment::Arc { centre, radius, .. } = edge.segment {
        for side in [DVec2::X, DVec2::Y, DVec2::NEG_X, DVec2::NEG_Y] {
            offer(edge.nearest(centre + radius * DVec2::from_angle(lip.turn).rotate(side)));
        }
    }
    let corner = |x: f64, y: f64| DVec2::new(x * half.x, y * half.y);
    for (through, way) in [
        (DVec2::ZERO, DVec2::X),
        (DVec2::ZERO, DVec2::Y),
        (corner(1.0, 1.0), DVec2::ONE),
        (corner(-1.0, -1.0), DVec2::ONE),
        (corner(1.0, -1.0), DVec2::new(1.0, -1.0)),
        (corner(-1.0, 1.0), DVec2::new(1.0, -1.0)),
    ] {
        let line =
            Segment::Line { from: lip.placed(through - way * far), to: lip.placed(through + way * far) };
        for point in edge.segment.meets(&line, 1e-9).points() {
            offer(edge.nearest(*point));
        }
    }
    best.0
}
