//! Landing region: where the centre of a lip may be.

mod index;
mod join;

pub use index::LandingIndex;

use std::f64::consts::{PI, TAU};

use glam::DVec2;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::FloatOverlay;

use crate::lip::Core;
use crate::ring::{ring_area, ring_contains};
use crate::{Bounds, LipShape, Loop, Outline, Segment};

/// Where the centre of a lip may be: polygons with holes, flattened.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LandingRegion {
    /// Pieces of the region; they do not overlap.
    pub polygons: Vec<FlatPolygon>,
}

/// A polygon with holes, of straight lines.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlatPolygon {
    /// Outer boundary, mm, counter-clockwise.
    pub outer: Vec<DVec2>,
    /// Holes, mm, clockwise.
    pub holes: Vec<Vec<DVec2>>,
}

impl FlatPolygon {
    /// Outer boundary, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &Vec<DVec2>> {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// mm².
    pub fn area(&self) -> f64 {
        let ring = |points: &Vec<DVec2>| ring_area(points).abs();
        ring(&self.outer) - self.holes.iter().map(ring).sum::<f64>()
    }

    /// Whether a point lies inside (even-odd rule).
    pub fn contains(&self, point: DVec2) -> bool {
        self.rings().filter(|ring| ring_contains(ring, point)).count() % 2 == 1
    }
}

/// Largest distance of a chord or tangent from its arc, mm.
const CHORD: f64 = 0.004;
/// Tangents of a quarter turn at most. Lips of a kilometre stay on the cautious side, by more than [`CHORD`].
const MOST_TANGENTS: f64 = 10_000.0;
/// Taken off all round for the library's rounding of coordinates to its grid, mm.
const GRID: f64 = 1e-5;

/// Sound surface eroded by the lip at its turn (rad) and by `margin` (required clearance, mm).
///
/// Straight edges are exact; arcs and rounded lips are taken on the cautious side, so that the region lies inside the
/// exact one by at most 0.01 mm.
///
/// # Source
/// Erosion is the complement of the Minkowski sum of everything forbidden with the mirrored lip. A boundary walked round
/// with the lip, the convolution of the two, winds at least once round every forbidden place (Guibas, Ramshaw & Stolfi,
/// "A kinetic framework for computational geometry", FOCS 1983, from memory); the overlay library joins the windings.
///
/// ```
/// use geometry::{LipShape, Loop, Outline, landing_region};
/// use glam::DVec2;
/// let sheet = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0))); // mm
/// let region = landing_region(&sheet, &[], &LipShape::Round { diameter: 40.0 }, 0.0, 5.0);
/// assert!(region.contains(DVec2::new(25.1, 150.0)));
/// assert!(!region.contains(DVec2::new(24.9, 150.0)));
/// ```
pub fn landing_region(
    outline: &Outline,
    keep_outs: &[Loop],
    shape: &LipShape,
    turn: f64,
    margin: f64,
) -> LandingRegion {
    let Some(bounds) = outline.outer.bounds() else { return LandingRegion::default() };
    if !(turn.is_finite() && margin.is_finite() && shape.size().is_finite() && bounds.size().is_finite()) {
        return LandingRegion::default();
    }
    // Nothing wider than the part fits on it, whatever its figure.
    let widest = shape.size().max_element() + 2.0 * margin;
    if widest > bounds.size().length() {
        return LandingRegion::default();
    }
    let lip = around_lip(shape, turn, margin);
    let outer = forbidden_side(&outline.outer, true);
    if !may_fit(&outer, &lip, turn) {
        return LandingRegion::default();
    }
    let reach = lip.iter().map(|p| p.length()).fold(0.0, f64::max);
    let mut forbidden = vec![frame(&bounds.expanded(reach + 10.0)), walked_round(&outer, &lip)];
    for area in outline.holes.iter().chain(keep_outs) {
        forbidden.push(walked_round(&forbidden_side(area, false), &lip));
    }
    let subject = vec![frame(&bounds.expanded(1.0))];
    let shapes = FloatOverlay::with_subj_and_clip(&subject, &forbidden)
        .overlay(OverlayRule::Difference, FillRule::Positive);
    LandingRegion { polygons: polygons(&shapes) }
}

/// What the overlay library found as polygons, without slivers.
fn polygons(shapes: &[Vec<Vec<[f64; 2]>>]) -> Vec<FlatPolygon> {
    let ring = |points: &Vec<[f64; 2]>| points.iter().map(|p| DVec2::from_array(*p)).collect::<Vec<DVec2>>();
    shapes
        .iter()
        .filter_map(|shape| {
            let (outer, holes) = shape.split_first()?;
            Some(FlatPolygon { outer: ring(outer), holes: holes.iter().map(ring).collect() })
        })
        .filter(|p| p.outer.len() > 2 && p.area() > 1e-6)
        .collect()
}

/// Corners that [`landing_region`] works with: what it takes in time and memory grows with them, some 0.3 kB and 1 µs each.
///
/// ```
/// use geometry::{LipShape, Loop, Outline, landing_corners};
/// use glam::DVec2;
/// let sheet = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0))); // mm
/// let round = LipShape::Round { diameter: 40.0 }; // mm
/// let [alone, margin] = [0.0, 5.0].map(|margin| landing_corners(&sheet, &[], &round, margin));
/// assert!(4 < alone && alone < margin);
/// ```
pub fn landing_corners(outline: &Outline, keep_outs: &[Loop], shape: &LipShape, margin: f64) -> usize {
    if !(margin.is_finite() && shape.size().is_finite()) {
        return 0;
    }
    let lip = around_lip(shape, 0.0, margin).len();
    let pieces = |l: &Loop| -> usize {
        l.pieces()
            .map(|(.., segment)| match segment {
                Segment::Arc { .. } => segment.chords(CHORD),
                Segment::Line { .. } => 1,
            })
            .sum()
    };
    outline.loops().chain(keep_outs).map(|l| pieces(l) + lip).sum()
}

fn frame(bounds: &Bounds) -> Vec<[f64; 2]> {
    let (min, max) = (bounds.min, bounds.max);
    vec![[min.x, min.y], [max.x, min.y], [max.x, max.y], [min.x, max.y]]
}

/// Convex polygon around the lip grown by `margin`, counter-clockwise about the origin, touching it all round.
fn around_lip(shape: &LipShape, turn: f64, margin: f64) -> Vec<DVec2> {
    let Core { half, radius } = shape.core();
    let radius = (radius + margin).max(0.0) + GRID;
    // Tangents every `step`: their crossings stand off by radius (1 / cos(step / 2) - 1).
    let step = 2.0 * (radius / (radius + CHORD)).acos();
    let quarter = ((PI / 2.0) / step).ceil().clamp(1.0, MOST_TANGENTS) as usize;
    let step = PI / 2.0 / quarter as f64;
    let rotation = DVec2::from_angle(turn);
    (0..4 * quarter)
        .map(|k| {
            let way = DVec2::from_angle((k as f64 + 0.5) * step);
            rotation.rotate(
                half * DVec2::new(way.x.signum(), way.y.signum()) + way * (radius / (step / 2.0).cos()),
            )
        })
        .collect()
}

/// Whether the part is at least as large as the lip along both of the lip's axes; the winding rule needs it.
fn may_fit(outer: &[DVec2], lip: &[DVec2], turn: f64) -> bool {
    let axis = DVec2::from_angle(turn);
    [axis, axis.perp()].iter().all(|way| {
        let extent = |points: &[DVec2]| {
            let (low, high) = points
                .iter()
                .map(|p| p.dot(*way))
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
            high - low
        };
        extent(outer) > extent(lip)
    })
}

/// Points along a boundary with the forbidden side on the left; arcs taken so that nothing forbidden is left out.
fn forbidden_side(boundary: &Loop, outside: bool) -> Vec<DVec2> {
    let turned;
    let boundary = if (boundary.signed_area() < 0.0) == outside {
        boundary
    } else {
        turned = boundary.reversed();
        &turned
    };
    let mut points = Vec::with_capacity(boundary.vertices.len());
    for (_, from, _, segment) in boundary.pieces() {
        points.push(from);
        let Segment::Arc { centre, radius, start, sweep } = segment else { continue };
        let chords = segment.chords(CHORD);
        let step = sweep / chords as f64;
        if sweep > 0.0 {
            // Forbidden inside the circle: tangents.
            let far = radius / (step / 2.0).cos();
            points.extend(
                (0..chords).map(|k| centre + far * DVec2::from_angle(start + step * (k as f64 + 0.5))),
            );
        } else {
            points.extend((1..chords).map(|k| centre + radius * DVec2::from_angle(start + step * k as f64)));
        }
    }
    points.dedup();
    points
}

/// Convolution of a boundary with the lip: each side carried by the lip's corner that reaches furthest across it, the lip
/// walked round at each corner.
fn walked_round(boundary: &[DVec2], lip: &[DVec2]) -> Vec<[f64; 2]> {
    let count = lip.len();
    let angles: Vec<f64> =
        (0..count).map(|k| (lip[(k + 1) % count] - lip[k]).to_angle().rem_euclid(TAU)).collect();
    // Sides of the lip in rising order of direction from the first one.
    let first = angles[0];
    let rising: Vec<f64> = angles.iter().map(|a| (a - first).rem_euclid(TAU)).collect();
    let n = boundary.len();
    if n < 2 {
        return boundary.iter().flat_map(|p| lip.iter().map(|q| (*p + *q).to_array())).collect();
    }
    let mut walk = Vec::with_capacity(n * 2 + count);
    for i in 0..n {
        let (before, at, after) = (boundary[(i + n - 1) % n], boundary[i], boundary[(i + 1) % n]);
        let (inward, outward) = (at - before, after - at);
        let turn = inward.angle_to(outward);
        let heading = (inward.to_angle() - first).rem_euclid(TAU);
        // The corner whose neighbouring sides run either side of the heading.
        let mut corner = rising.partition_point(|a| *a <= heading) as isize;
        let place = |corner: isize| (at + lip[corner.rem_euclid(count as isize) as usize]).to_array();
        walk.push(place(corner));
        let aim = (outward.to_angle() - first).rem_euclid(TAU);
        let last = rising.partition_point(|a| *a <= aim) as isize;
        if turn >= 0.0 {
            while (last - corner).rem_euclid(count as isize) != 0 {
                corner += 1;
                walk.push(place(corner));
            }
        } else {
            while (corner - last).rem_euclid(count as isize) != 0 {
                corner -= 1;
                walk.push(place(corner));
            }
        }
    }
    walk
}

impl LandingRegion {
    /// Whether the lip fits nowhere.
    pub fn is_empty(&self) -> bool {
        self.polygons.is_empty()
    }

    /// mm².
    pub fn area(&self) -> f64 {
        self.polygons.iter().map(FlatPolygon::area).sum()
    }

    /// Whether a centre may be at a place.
    pub fn contains(&self, point: DVec2) -> bool {
        self.polygons.iter().any(|p| p.contains(point))
    }

    /// The place where a centre may be that is nearest to `point`, mm: the point itself when it may be there. `None` for
    /// an empty region.
    pub fn nearest(&self, point: DVec2) -> Option<DVec2> {
        self.index().nearest(point)
    }

    /// Its sides indexed, to ask for many places.
    pub fn index(&self) -> LandingIndex {
        LandingIndex::new(self)
    }
}
