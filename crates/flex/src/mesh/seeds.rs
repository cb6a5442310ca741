//! Where corners of triangles are put before the library refines: along the boundary, inside, and round corners that turn in.

use super::boundary::Ring;
use geometry::{ring_area, ring_contains};
use glam::DVec2;
use std::collections::HashMap;
use std::f64::consts::PI;

/// A corner turns in where the material takes more than a half turn and this, rad.
const TURNS_IN: f64 = 0.15;
/// Shares of the mesh's length at which corners are set on both sides of a corner that turns in: moments grow without end there.
const STEPS_IN: [f64; 3] = [0.125, 0.25, 0.5];
/// Corners of the boundary that leave it by less than this share of the mesh's length are passed over where they stand dense.
const DENSE: f64 = 0.02;

/// Corners and fixed edges for the triangulation.
pub(super) struct Seeds {
    pub points: Vec<DVec2>,
    pub edges: Vec<[usize; 2]>,
}

/// Points along rings no further apart than `h`, a lattice of equal triangles inside, and `fixed` points.
pub(super) fn seeds(rings: &[Ring], fixed: &[DVec2], h: f64, origin: DVec2) -> Seeds {
    let mut points = Vec::new();
    let mut edges = Vec::new();
    for ring in rings {
        let first = points.len();
        along(&thinned(ring, h), material_is_left(ring, rings), h, &mut points);
        let count = points.len() - first;
        edges.extend((0..count).map(|i| [first + i, first + (i + 1) % count]));
    }
    let boundary: Vec<[DVec2; 2]> = edges.iter().map(|e| e.map(|i| points[i])).collect();
    let near = Near::new(&boundary, h);
    let own: Vec<DVec2> = fixed.iter().copied().filter(|p| near.distance(*p) > 1e-6 * h).collect();
    points.extend(&own);
    lattice(
        &boundary,
        h,
        origin,
        |p| near.distance(p) > 0.55 * h && own.iter().all(|q| q.distance(p) > 0.55 * h),
        &mut points,
    );
    Seeds { points, edges }
}

/// Whether material lies to the left of a ring as it is walked.
fn material_is_left(ring: &Ring, rings: &[Ring]) -> bool {
    // A ring inside an odd number of others is a hole.
    let inside =
        rings.iter().filter(|r| !std::ptr::eq(*r, ring) && ring_contains(r, ring[0])).count() % 2 == 1;
    (ring_area(ring) > 0.0) != inside
}

/// The ring without corners that stand denser than the mesh and hardly leave it.
fn thinned(ring: &Ring, h: f64) -> Ring {
    let count = ring.len();
    let mut kept: Ring = Vec::with_capacity(count);
    for (i, p) in ring.iter().enumerate() {
        let next = ring[(i + 1) % count];
        let Some(last) = kept.last() else {
            kept.push(*p);
            continue;
        };
        let chord = next - *last;
        let length = chord.length();
        let off = if length > 0.0 { (*p - *last).perp_dot(chord).abs() / length } else { f64::INFINITY };
        let dense = last.distance(*p) + p.distance(next) < 0.5 * h;
        if !(dense && off < DENSE * h) || count - i + kept.len() <= 4 {
            kept.push(*p);
        }
    }
    kept
}

/// Walks a ring and sets points no further apart than `h`, closer by a corner that turns in.
fn along(ring: &Ring, material_left: bool, h: f64, points: &mut Vec<DVec2>) {
    let count = ring.len();
    let turns_in = |i: usize| {
        let (a, b, c) = (ring[(i + count - 1) % count], ring[i], ring[(i + 1) % count]);
        let turn = (b - a).angle_to(c - b);
        let turn = if material_left { -turn } else { turn };
        turn > TURNS_IN && turn < PI && (b - a).length().min((c - b).length()) > 0.5 * h
    };
    for i in 0..count {
        let (a, b) = (ring[i], ring[(i + 1) % count]);
        let length = a.distance(b);
        let step = |at: f64| a + (b - a) * (at / length);
        let (mut from, mut to) = (0.0, length);
        points.push(a);
        if turns_in(i) && length > 2.0 * h {
            points.extend(STEPS_IN.map(|s| step(s * h)));
            from = STEPS_IN[2] * h;
        }
        let end = turns_in((i + 1) % count) && length > 2.0 * h;
        if end {
            to = length - STEPS_IN[2] * h;
        }
        let parts = ((to - from) / h - 1e-6).ceil().max(1.0);
        points.extend((1..parts as usize).map(|k| step(from + (to - from) * k as f64 / parts)));
        if end {
            points.extend(STEPS_IN.iter().rev().map(|s| step(length - s * h)));
        }
    }
}

/// Corners of equal triangles of side `h` inside the boundary, row by row through `origin`.
fn lattice(
    boundary: &[[DVec2; 2]],
    h: f64,
    origin: DVec2,
    wanted: impl Fn(DVec2) -> bool,
    points: &mut Vec<DVec2>,
) {
    let rise = h * 0.75_f64.sqrt();
    let (low, high) = boundary
        .iter()
        .flatten()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, t), p| (l.min(p.y), t.max(p.y)));
    let (first, last) = (((low - origin.y) / rise).ceil() as i64, ((high - origin.y) / rise).floor() as i64);
    let mut crossings = Vec::new();
    for row in first..=last {
        let y = origin.y + row as f64 * rise;
        crossings.clear();
        crossings.extend(
            boundary
                .iter()
                .filter(|[a, b]| (a.y > y) != (b.y > y))
                .map(|[a, b]| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x)),
        );
        crossings.sort_by(f64::total_cmp);
        let shift = if row.rem_euclid(2) == 0 { 0.0 } else { 0.5 };
        for span in crossings.chunks_exact(2) {
            let start = ((span[0] - origin.x) / h - shift).ceil() as i64;
            let end = ((span[1] - origin.x) / h - shift).floor() as i64;
            for k in start..=end {
                let p = DVec2::new(origin.x + (k as f64 + shift) * h, y);
                if wanted(p) {
                    points.push(p);
                }
            }
        }
    }
}

/// Pieces of the boundary by the square of side `h` that they pass.
struct Near<'a> {
    pieces: &'a [[DVec2; 2]],
    squares: HashMap<(i64, i64), Vec<u32>>,
    h: f64,
}

impl<'a> Near<'a> {
    fn new(pieces: &'a [[DVec2; 2]], h: f64) -> Self {
        let mut squares: HashMap<(i64, i64), Vec<u32>> = HashMap::new();
        let square = |v: f64| (v / h).floor() as i64;
        for (i, [a, b]) in pieces.iter().enumerate() {
            let (low, high) = (a.min(*b), a.max(*b));
            for x in square(low.x)..=square(high.x) {
                for y in square(low.y)..=square(high.y) {
                    squares.entry((x, y)).or_default().push(i as u32);
                }
            }
        }
        Self { pieces, squares, h }
    }

    /// Distance to the boundary, mm; anything from `h` up where it is further than that.
    fn distance(&self, p: DVec2) -> f64 {
        let (x, y) = ((p.x / self.h).floor() as i64, (p.y / self.h).floor() as i64);
        let mut least = self.h;
        for square in (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| (x, y))) {
            for piece in self.squares.get(&square).into_iter().flatten() {
                let [a, b] = self.pieces[*piece as usize];
                let along = ((p - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
                least = least.min(p.distance(a + (b - a) * along));
            }
        }
        least
    }
}
