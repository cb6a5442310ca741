//! Clearance of a lip whose middle hangs over: the deepest place, closed in by bounds.

use glam::DVec2;

use crate::clearance::of_disc;
use crate::depth::deepest;
use crate::edge::Edge;
use crate::lip::Stroke;
use crate::unsound::Unsound;
use crate::{Clearance, Lip, Segment};

/// Agreement asked of the search along a stroke, mm: for a long lip, and for a rectangle with its five strokes. Only lips
/// whose middle hangs over are searched for at all, and straight edges need no search: their bounds meet at once.
const CLOSE: [f64; 2] = [1e-8, 1e-4];
/// Bisections of strokes at most; a smooth boundary takes a few dozen.
const MOST: usize = 4000;

/// Clearance to an unsound area that the lip's core touches or lies in, when it is less than what was found before.
pub(crate) fn deep(area: &Unsound, lip: &Lip, found: &mut Option<Clearance>) {
    let mut offer = |next: Clearance| {
        let least = found.map_or(f64::INFINITY, |known| known.distance);
        if next.distance < least {
            *found = Some(next);
        }
        least.min(next.distance)
    };
    // Part of the lip off sound surface: the ridge first, which its corners branch off from.
    let strokes = lip.strokes();
    let close = CLOSE[usize::from(strokes.len() > 1)];
    let Some((ridge, branches)) = strokes.split_first() else { return };
    let Some((edge, near)) = area.nearest(ridge.a) else { return };
    let first = Sample {
        share: 0.0,
        point: ridge.a,
        radius: ridge.radius_a,
        near,
        apart: ridge.a.distance(near),
        edge,
        off: area.forbids(ridge.a),
    };
    let last = ridge.sample(area, 1.0, [&first, &first]);
    search(area, ridge, [first, last], close, &mut offer);
    for branch in branches {
        let start = Sample { share: 0.0, ..if branch.a == first.point { first } else { last } };
        let end = branch.sample(area, 1.0, [&start, &start]);
        search(area, branch, [start, end], close, &mut offer);
    }
    // Part of it on sound surface: the deepest boundary point below the lip's line.
    let known = found.map_or(0.0, |known| -known.distance);
    if let Some((at, edge)) = deepest(area.tree, lip, (first.near, first.edge), known.max(0.0)) {
        *found = Some(Clearance {
            distance: -lip.depth(at),
            limit: area.limit(edge),
            on_lip: lip.nearest(at),
            on_boundary: at,
        });
    }
}

/// Offers the places of a stroke that lie furthest off, closing in on the deepest.
fn search(
    area: &Unsound,
    stroke: &Stroke,
    ends: [Sample; 2],
    close: f64,
    offer: &mut impl FnMut(Clearance) -> f64,
) {
    let [first, last] = ends;
    offer(first.clearance(area));
    let mut least = offer(last.clearance(area));
    let length = stroke.a.distance(stroke.b);
    let slope = if length > 0.0 { (stroke.radius_b - stroke.radius_a) / length } else { 0.0 };
    let mut open = vec![(first, last)];
    let mut left = MOST;
    while let Some((a, b)) = open.pop() {
        let span = a.point.distance(b.point);
        // Discs about both ends that reach no boundary cover the stretch: it is all on sound surface.
        let sound = !a.off && !b.off && a.apart + b.apart >= span;
        if sound || left == 0 || bound(&a, &b, span, slope) <= -least + close {
            continue;
        }
        left -= 1;
        let middle = stroke.sample(area, (a.share + b.share) / 2.0, [&a, &b]);
        least = offer(middle.clearance(area));
        // The deeper half last, so that it is looked at first.
        if a.deep() > b.deep() {
            open.extend([(middle, b), (a, middle)]);
        } else {
            open.extend([(a, middle), (middle, b)]);
        }
    }
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

impl Stroke {
    /// The place at a share of the length; the sides and nearest pieces of two other places are known already.
    fn sample<'a>(&self, area: &'a Unsound, share: f64, known: [&Sample<'a>; 2]) -> Sample<'a> {
        let point = self.a + (self.b - self.a) * share;
        let (edge, near) = area.nearest_from(point, known.map(|k| k.edge));
        Sample {
            share,
            point,
            radius: self.radius_a + (self.radius_b - self.radius_a) * share,
            near,
            apart: point.distance(near),
            edge,
            // Within the disc that reaches no boundary the side is the same as at its centre.
            off: match known.iter().find(|k| k.point.distance(point) < k.apart) {
                Some(k) => k.off,
                None => area.forbids(point),
            },
        }
    }
}

impl Sample<'_> {
    /// Radius less signed distance: what is looked for the largest of.
    fn deep(&self) -> f64 {
        self.radius + if self.off { self.apart } else { -self.apart }
    }

    fn clearance(&self, area: &Unsound) -> Clearance {
        of_disc(area.limit(self.edge), self.point, self.radius, self.near, self.edge, self.off)
    }
}

/// No place between two samples is deeper than this; `slope` is how fast the radius grows from `a` to `b`.
fn bound(a: &Sample, b: &Sample, span: f64, slope: f64) -> f64 {
    let even = (a.deep() + b.deep() + span * (1.0 + slope.abs())) / 2.0;
    even.min(by_edge(a, b, a.edge, slope)).min(by_edge(a, b, b.edge, slope))
}

/// The same from one piece: no place is further from the boundary than from this piece.
fn by_edge(a: &Sample, b: &Sample, edge: &Edge, slope: f64) -> f64 {
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
            // Within the arc's angle: outside the circle convex, inside it r - |p - centre| with the stroke's own radius.
            ends.min(
                convex(&|p| (p.distance(centre) - radius).abs())
                    .max(within_circle(a, b, centre, radius, slope)),
            )
        }
    }
}

/// Largest of the distance to a circle from within and the radius of the stroke, between two samples.
///
/// With s along the stroke from the foot of the centre, at a distance d: r - sqrt(s² + d²) + slope s is largest where
/// s = slope d / sqrt(1 - slope²).
fn within_circle(a: &Sample, b: &Sample, centre: DVec2, radius: f64, slope: f64) -> f64 {
    let way = (b.point - a.point).normalize_or_zero();
    let (from, to) = ((a.point - centre).dot(way), (b.point - centre).dot(way));
    let off = (a.point - centre).perp_dot(way).abs();
    let steep = (1.0 - slope * slope).max(0.0).sqrt();
    let top = if steep > 0.0 { (slope * off / steep).clamp(from, to) } else { to };
    radius - top.hypot(off) + a.radius + slope * (top - from)
}
