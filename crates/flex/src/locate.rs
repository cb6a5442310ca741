//! Which triangle a point lies in, and how its deflection follows from the unknowns.

use crate::element::Row;
use crate::matrix::{element, unknowns_of};
use crate::mesh::Mesh;
use glam::DVec2;

/// How a figure at one point follows from the unknowns of its triangle.
#[derive(Debug, Clone)]
pub(crate) struct Sample {
    pub unknowns: [u32; 12],
    pub values: Row,
}

impl Sample {
    /// The figure for given unknowns.
    pub fn of(&self, field: &[f64]) -> f64 {
        self.unknowns.iter().zip(self.values).map(|(u, v)| v * field[*u as usize]).sum()
    }

    /// Adds `times` the sample's row to a vector.
    pub fn add_to(&self, times: f64, vector: &mut [f64]) {
        for (u, v) in self.unknowns.iter().zip(self.values) {
            vector[*u as usize] += times * v;
        }
    }
}

/// Triangles by the squares that they pass.
pub(crate) struct Locator {
    low: DVec2,
    square: f64,
    count: [usize; 2],
    begin: Vec<u32>,
    triangles: Vec<u32>,
    /// A point this far outside, mm, counts as on the edge: chords lie that far inside their arcs.
    slack: f64,
}

impl Locator {
    pub fn new(mesh: &Mesh, slack: f64) -> Self {
        let bounds = |points: &mut dyn Iterator<Item = DVec2>| {
            points.fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(l, h), p| (l.min(p), h.max(p)))
        };
        let (low, high) = bounds(&mut mesh.points.iter().copied());
        let square = mesh.length.max((high - low).max_element() / 512.0);
        let low = low - DVec2::splat(slack + 1e-6 * square);
        let size = high - low + DVec2::splat(slack + 1e-6 * square);
        let count = [size.x, size.y].map(|s| ((s / square).ceil() as usize).max(1));
        let range = |t: usize| {
            let (l, h) = bounds(&mut mesh.corners(t).into_iter());
            let place = |v: f64, low: f64, count: usize| {
                (((v - low) / square).floor().max(0.0) as usize).min(count - 1)
            };
            let x = place(l.x - slack, low.x, count[0])..=place(h.x + slack, low.x, count[0]);
            let y = place(l.y - slack, low.y, count[1])..=place(h.y + slack, low.y, count[1]);
            (x, y)
        };
        let mut begin = vec![0_u32; count[0] * count[1] + 1];
        for t in 0..mesh.triangles.len() {
            let (x, y) = range(t);
            for (x, y) in x.flat_map(|x| y.clone().map(move |y| (x, y))) {
                begin[y * count[0] + x + 1] += 1;
            }
        }
        for i in 1..begin.len() {
            begin[i] += begin[i - 1];
        }
        let mut fill = begin.clone();
        let mut triangles = vec![0; begin[begin.len() - 1] as usize];
        for t in 0..mesh.triangles.len() {
            let (x, y) = range(t);
            for (x, y) in x.flat_map(|x| y.clone().map(move |y| (x, y))) {
                let at = &mut fill[y * count[0] + x];
                triangles[*at as usize] = t as u32;
                *at += 1;
            }
        }
        Self { low, square, count, begin, triangles, slack }
    }

    /// The triangle of a point, and how far outside of it the point lies at most, mm.
    pub fn triangle(&self, mesh: &Mesh, p: DVec2) -> Option<usize> {
        if !p.is_finite() {
            return None;
        }
        let place = ((p - self.low) / self.square).floor();
        if place.x < 0.0 || place.y < 0.0 {
            return None;
        }
        let (x, y) = (place.x as usize, place.y as usize);
        if x >= self.count[0] || y >= self.count[1] {
            return None;
        }
        let at = y * self.count[0] + x;
        let near = &self.triangles[self.begin[at] as usize..self.begin[at + 1] as usize];
        let outside = |t: usize| {
            let c = mesh.corners(t);
            (0..3)
                .map(|k| {
                    let (a, b) = (c[k], c[(k + 1) % 3]);
                    -(b - a).perp_dot(p - a) / a.distance(b)
                })
                .fold(f64::NEG_INFINITY, f64::max)
        };
        let mut best = None;
        let mut least = self.slack;
        for &t in near {
            let out = outside(t as usize);
            if out <= 1e-9 * self.square {
                return Some(t as usize);
            }
            if out <= least {
                // Near the line of a side may still be far from the side.
                let c = mesh.corners(t as usize);
                if (0..3).any(|k| distance(p, c[k], c[(k + 1) % 3]) <= self.slack) {
                    best = Some(t as usize);
                    least = out;
                }
            }
        }
        best
    }
}

fn distance(p: DVec2, a: DVec2, b: DVec2) -> f64 {
    let along = ((p - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
    p.distance(a + (b - a) * along)
}

/// Deflection at a point of a triangle.
pub(crate) fn value_in(mesh: &Mesh, t: usize, p: DVec2) -> Sample {
    Sample { unknowns: unknowns_of(mesh, t).map(|u| u as u32), values: element(mesh, t).value(p) }
}

/// Slopes at a point of a triangle.
pub(crate) fn slopes_in(mesh: &Mesh, t: usize, p: DVec2) -> [Sample; 2] {
    let unknowns = unknowns_of(mesh, t).map(|u| u as u32);
    element(mesh, t).slope(p).map(|values| Sample { unknowns, values })
}
