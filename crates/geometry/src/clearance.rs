//! Signed clearance of a lip on the sound surface.
//!
//! Let sd(m) be the signed distance of a point to one boundary (positive on the allowed side) and depth(m) how deep the
//! point lies below the lip's outer line. The clearance to that boundary is the smallest sd(m) - depth(m) over the lip,
//! and the clearance of the lip the smallest over all boundaries. It is
//! - the distance between lip and boundary when the lip lies on sound surface;
//! - minus the shift that brings the lip back to touching when it crosses a straight edge, covers a small round hole, or
//!   lies wholly off;
//! - continuous, and never changes faster than the lip moves.
//!
//! The minimum is always reached at a centre of a largest disc inside the lip: the centre of a round lip, the spine of a
//! long one, the ridge and the four corner bisectors of a rounded rectangle. Where those stay on sound surface it is a
//! distance between lines and arcs in closed form. Where they leave it, the deepest point along a stroke is closed in by
//! bounds that are exact for straight edges (a distance to a straight edge is convex along a stroke).

use glam::DVec2;
use rstar::AABB;

use crate::edge::Edge;
use crate::lip::{Core, Stroke};
use crate::segment::nearest_between;
use crate::surface::Boundary;
use crate::{Limit, Lip, LipShape, Segment, SoundSurface};

/// Signed distance from lip to the nearest boundary; negative = overhang.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// mm.
    pub distance: f64,
    /// The boundary that governs.
    pub limit: Limit,
    /// Point of the lip's outer line, mm; when the lip's middle hangs over, the far point of the disc inside the lip that
    /// hangs over furthest, which may lie within the line.
    pub on_lip: DVec2,
    /// Point of the boundary, mm; |on_lip - on_boundary| = |distance|.
    pub on_boundary: DVec2,
}

/// Agreement asked of the search along a stroke, mm: for a long lip, and for a rectangle with its five strokes. Only lips
/// whose middle hangs over are searched for at all, and straight edges need no search: their bounds meet at once.
const CLOSE: [f64; 2] = [1e-8, 1e-4];
/// Bisections of strokes at most; a smooth boundary takes a few dozen.
const MOST: usize = 4000;

impl SoundSurface {
    /// Signed clearance of a lip, with the boundary that governs and the two points.
    ///
    /// Exact for round and long lips; for rounded rectangles the distance between the boundaries. See the head of
    /// `clearance.rs` for what a negative value means. `None` without an outer boundary or for a lip whose place or size
    /// is not a number.
    ///
    /// # Units
    /// mm.
    pub fn clearance(&self, lip: &Lip) -> Option<Clearance> {
        if !self.has_edge() || !lip.is_finite() {
            return None;
        }
        let Core { radius, .. } = lip.shape.core();
        let (corners, count) = lip.core_corners();
        let mut touched = self.forbidding(lip.at);
        if count == 1 {
            return if touched.is_empty() {
                let edge = self.all.nearest_neighbor(lip.at.to_array())?;
                Some(self.disc(lip.at, radius, edge.nearest(lip.at), edge, false))
            } else {
                touched
                    .iter()
                    .filter_map(|i| self.boundaries[*i].nearest(lip.at))
                    .map(|(edge, near)| self.disc(lip.at, radius, near, edge, true))
                    .min_by(|a, b| a.distance.total_cmp(&b.distance))
            };
        }
        // No boundary can be further from the core than the nearest one to its corners.
        let reach = corners[..count]
            .iter()
            .filter_map(|c| self.all.nearest_neighbor_with_distance_2(c.to_array()))
            .map(|(_, square)| square)
            .min_by(f64::total_cmp)?
            .sqrt();
        let reach = reach * (1.0 + 1e-12) + 1e-12;
        let near = around(&corners, reach);
        let mut best: Option<(f64, DVec2, DVec2, &Edge)> = None;
        let (axis, Core { half, .. }) = (DVec2::from_angle(-lip.turn), lip.shape.core());
        for edge in self.all.locate_in_envelope_intersecting(near) {
            // Cheap test first: no point of the piece is nearer than its start less its length.
            let start = axis.rotate(edge.from - lip.at).abs() - half;
            if best.is_some_and(|(least, ..)| start.max(DVec2::ZERO).length() - edge.segment.length() > least)
            {
                continue;
            }
            let (on_core, on_edge) = core_to_edge(lip, &corners[..count], edge);
            let apart = on_core.distance(on_edge);
            if apart == 0.0 && !touched.contains(&(edge.of as usize)) {
                touched.push(edge.of as usize);
            }
            if best.is_none_or(|(least, ..)| apart < least) {
                best = Some((apart, on_core, on_edge, edge));
            }
        }
        if touched.is_empty() {
            let (_, on_core, on_edge, edge) = best?;
            return Some(self.disc(on_core, radius, on_edge, edge, false));
        }
        let strokes = lip.strokes();
        touched
            .iter()
            .filter_map(|i| deep(&self.boundaries[*i], lip, &strokes))
            .min_by(|a, b| a.distance.total_cmp(&b.distance))
    }

    fn disc(&self, centre: DVec2, radius: f64, near: DVec2, edge: &Edge, off: bool) -> Clearance {
        let limit = self.boundaries.get(edge.of as usize).map_or(Limit::Edge, |b| b.limit);
        of_disc(limit, centre, radius, near, edge, off)
    }

    /// The largest share of a lip's size that still clears everything by `margin` mm at a place; may exceed 1. `None`
    /// when not even a lip a thousandth as large fits.
    pub fn largest_lip(&self, shape: &LipShape, at: DVec2, turn: f64, margin: f64) -> Option<f64> {
        let fits = |share: f64| {
            let lip = Lip { shape: shape.scaled(share), at, turn };
            self.clearance(&lip).is_some_and(|c| c.distance >= margin)
        };
        let size = self.bounds?.size().length();
        let mut low = 1e-3;
        let longest = shape.size().max_element();
        if longest <= 0.0 || !longest.is_finite() || !fits(low) {
            return None;
        }
        let mut high = (size / longest).max(low) * 2.0;
        while high - low > 1e-9 * high {
            let middle = (low + high) / 2.0;
            if fits(middle) { low = middle } else { high = middle }
        }
        Some(low)
    }
}

fn around(points: &[DVec2], by: f64) -> AABB<[f64; 2]> {
    let (min, max) = points.iter().fold((points[0], points[0]), |(min, max), p| (min.min(*p), max.max(*p)));
    AABB::from_corners((min - by).to_array(), (max + by).to_array())
}

/// Clearance of one disc, given the nearest point of the boundary and on which side the centre is.
fn of_disc(limit: Limit, centre: DVec2, radius: f64, near: DVec2, edge: &Edge, off: bool) -> Clearance {
    let apart = centre.distance(near);
    let outward = if apart > 0.0 {
        (near - centre) / if off { -apart } else { apart }
    } else {
        // Centre on the boundary: any normal of the piece will do.
        edge.segment.direction_at(edge.segment.nearest_share(near)).perp()
    };
    Clearance {
        distance: if off { -apart - radius } else { apart - radius },
        limit,
        on_lip: centre + outward * radius,
        on_boundary: near,
    }
}

/// Nearest points of the lip's core and a piece; equal when the piece runs through or within the core.
fn core_to_edge(lip: &Lip, corners: &[DVec2], edge: &Edge) -> (DVec2, DVec2) {
    if let [a, b] = corners {
        return nearest_between(*a, *b, &edge.segment);
    }
    let Core { half, .. } = lip.shape.core();
    if lip.local(edge.from).abs().cmple(half).all() {
        return (edge.from, edge.from);
    }
    let mut best = (corners[0], edge.nearest(corners[0]));
    for i in 0..corners.len() {
        let pair = nearest_between(corners[i], corners[(i + 1) % corners.len()], &edge.segment);
        if pair.0.distance_squared(pair.1) < best.0.distance_squared(best.1) {
            best = pair;
        }
    }
    best
}

/// Clearance to one boundary that the lip's core touches or lies beyond.
fn deep(boundary: &Boundary, lip: &Lip, strokes: &[Stroke]) -> Option<Clearance> {
    let limit = boundary.limit;
    let mut best: Option<Clearance> = None;
    let mut offer = |found: Clearance| {
        if best.is_none_or(|b| found.distance < b.distance) {
            best = Some(found);
        }
        best.map_or(f64::INFINITY, |b| b.distance)
    };
    // Part of the lip on sound surface: the deepest boundary point below the lip's line.
    let (corners, _) = lip.core_corners();
    let Core { radius, .. } = lip.shape.core();
    for edge in boundary.tree.locate_in_envelope_intersecting(around(&corners, radius)) {
        let at = deepest_on(lip, edge);
        let depth = lip.depth(at);
        if depth >= 0.0 {
            offer(Clearance { distance: -depth, limit, on_lip: lip.nearest(at), on_boundary: at });
        }
    }
    // Part of the lip off it.
    let close = CLOSE[usize::from(strokes.len() > 1)];
    for stroke in strokes {
        let (Some(a), Some(b)) =
            (Sample::at(boundary, stroke, 0.0, None), Sample::at(boundary, stroke, 1.0, None))
        else {
            continue;
        };
        let length = stroke.a.distance(stroke.b);
        let slope = if length > 0.0 { (stroke.radius_a - stroke.radius_b).abs() / length } else { 0.0 };
        let mut open = vec![(a, b)];
        let mut least = f64::INFINITY;
        let mut left = MOST;
        while let Some((a, b)) = open.pop() {
            for sample in [a, b] {
                least = offer(sample.clearance(limit));
            }
            let span = a.point.distance(b.point);
            // Discs about both ends that reach no boundary cover the stretch: it is all on sound surface.
            let sound = !a.off && !b.off && a.apart + b.apart >= span;
            if sound || left == 0 || bound(&a, &b, span, slope) <= -least + close {
                continue;
            }
            left -= 1;
            let Some(middle) = Sample::at(boundary, stroke, (a.share + b.share) / 2.0, Some(&a)) else {
                continue;
            };
            // The deeper half last, so that it is looked at first.
            if a.deep() > b.deep() {
                open.extend([(middle, b), (a, middle)]);
            } else {
                open.extend([(a, middle), (middle, b)]);
            }
        }
    }
    best
}

/// A place on a stroke with what is nearest to it.
#[derive(Clone, Copy)]
struct Sample<'a> {
    share: f64,
    point: DVec2,
    radius: f64,
    near: DVec2,
    apart: f64,
    edge: &'a Edge,
    off: bool,
}

impl<'a> Sample<'a> {
    fn at(boundary: &'a Boundary, stroke: &Stroke, share: f64, known: Option<&Sample>) -> Option<Self> {
        let point = stroke.a + (stroke.b - stroke.a) * share;
        let (edge, near) = boundary.nearest(point)?;
        Some(Sample {
            share,
            point,
            radius: stroke.radius_a + (stroke.radius_b - stroke.radius_a) * share,
            near,
            apart: point.distance(near),
            edge,
            // Within the disc that reaches no boundary the side is the same as at its centre.
            off: match known {
                Some(k) if k.point.distance(point) < k.apart => k.off,
                _ => boundary.forbids(point),
            },
        })
    }

    /// Radius less signed distance: what is looked for the largest of.
    fn deep(&self) -> f64 {
        self.radius + if self.off { self.apart } else { -self.apart }
    }

    fn clearance(&self, limit: Limit) -> Clearance {
        of_disc(limit, self.point, self.radius, self.near, self.edge, self.off)
    }
}

/// No place between two samples is deeper than this.
fn bound(a: &Sample, b: &Sample, span: f64, slope: f64) -> f64 {
    let even = (a.deep() + b.deep() + span * (1.0 + slope)) / 2.0;
    even.min(by_edge(a, b, a.edge)).min(by_edge(a, b, b.edge))
}

/// The same from one piece: no place is further from the boundary than from this piece.
fn by_edge(a: &Sample, b: &Sample, edge: &Edge) -> f64 {
    // A distance to a convex thing is convex along the stroke, so its largest is at an end.
    let convex =
        |distance: &dyn Fn(DVec2) -> f64| (distance(a.point) + a.radius).max(distance(b.point) + b.radius);
    match edge.segment {
        Segment::Line { .. } => convex(&|p| edge.nearest(p).distance(p)),
        Segment::Arc { centre, radius, .. } => {
            let ends = convex(&|p| p.distance(edge.from)).min(convex(&|p| p.distance(edge.to)));
            if !(edge.segment.spans(a.point) && edge.segment.spans(b.point)) {
                return ends;
            }
            // Within the arc's angle: r - |p - centre| inside the circle, largest where the stroke passes nearest.
            let foot = Segment::Line { from: a.point, to: b.point }.nearest(centre);
            let within = radius - foot.distance(centre) + a.radius.max(b.radius);
            ends.min(convex(&|p| (p.distance(centre) - radius).abs()).max(within))
        }
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
