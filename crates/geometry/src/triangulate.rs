//! Triangles of filled shapes, for drawing.

use geo::TriangulateEarcut;
use glam::DVec2;

use crate::{FlatPolygon, Outline};

/// Triangles of the filled outline, for drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Triangles {
    /// Corners, mm.
    pub points: Vec<DVec2>,
    /// Three corners each.
    pub indices: Vec<[u32; 3]>,
}

/// The library gives up with a panic on corners much further out, mm.
const FARTHEST: f64 = 1e100;

/// Fills an outline with triangles; arcs become chords within `tolerance` mm.
pub fn triangulate(outline: &Outline, tolerance: f64) -> Triangles {
    let outer = outline.outer.flatten(tolerance);
    let holes = outline.holes.iter().map(|h| h.flatten(tolerance)).collect();
    triangulate_flat(&FlatPolygon { outer, holes })
}

/// Fills a polygon with holes with triangles; empty for fewer than three corners, and where a corner is no number or so far out
/// that products of coordinates are none. A hole that reaches out of the outer boundary's bounds is not cut: it is no hole, and
/// the library gives up on it with a panic.
pub fn triangulate_flat(polygon: &FlatPolygon) -> Triangles {
    let all = polygon.holes.iter().chain(std::iter::once(&polygon.outer)).flatten();
    let within = |p: &DVec2| p.is_finite() && p.abs().max_element() <= FARTHEST;
    if polygon.outer.len() < 3 || !all.into_iter().all(within) {
        return Triangles::default();
    }
    let ring =
        |points: &[DVec2]| geo::LineString::from_iter(points.iter().map(|p| geo::Coord { x: p.x, y: p.y }));
    let (low, high) = polygon
        .outer
        .iter()
        .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(low, high), p| (low.min(*p), high.max(*p)));
    let inside = |p: &DVec2| p.cmpge(low).all() && p.cmple(high).all();
    let cut = polygon.holes.iter().filter(|hole| hole.len() >= 3 && hole.iter().all(inside));
    let holes = cut.map(|h| ring(h)).collect();
    let raw = geo::Polygon::new(ring(&polygon.outer), holes).earcut_triangles_raw();
    let points = raw.vertices.iter().map(|v| DVec2::new(v[0], v[1])).collect();
    let indices =
        raw.triangle_indices.chunks_exact(3).map(|t| [t[0] as u32, t[1] as u32, t[2] as u32]).collect();
    Triangles { points, indices }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With many corners the library sorts them by their place within the outer bounds.
    #[test]
    fn a_hole_beside_the_outline_is_not_cut() {
        let ring = |at: DVec2, r: f64| -> Vec<DVec2> {
            (0..90).map(|i| at + r * DVec2::from_angle(f64::from(i) * std::f64::consts::TAU / 90.0)).collect()
        };
        let area = |triangles: &Triangles| -> f64 {
            let of = |t: &[u32; 3]| {
                let [a, b, c] = t.map(|i| triangles.points[i as usize]);
                0.5 * (b - a).perp_dot(c - a).abs()
            };
            triangles.indices.iter().map(of).sum()
        };
        let outer = ring(DVec2::ZERO, 100.0);
        let whole = area(&triangulate_flat(&FlatPolygon { outer: outer.clone(), holes: Vec::new() }));
        for at in [-300.0, -90.0, 95.0, 500.0] {
            let holes = vec![ring(DVec2::new(at, 0.0), 20.0)];
            let found = area(&triangulate_flat(&FlatPolygon { outer: outer.clone(), holes }));
            assert!((found / whole - 1.0).abs() < 1e-9, "{at} {found}");
        }
        let holes = vec![ring(DVec2::new(-60.0, 0.0), 20.0)];
        let found = area(&triangulate_flat(&FlatPolygon { outer, holes }));
        assert!((found / whole - 0.96).abs() < 1e-3, "{found}");
    }

    #[test]
    fn a_corner_beyond_any_number_fills_nothing() {
        let with = |far: f64| {
            let outer = [(0.0, 0.0), (10.0, 0.0), (10.0, far), (0.0, 10.0)].map(DVec2::from).to_vec();
            triangulate_flat(&FlatPolygon { outer, holes: Vec::new() }).indices.len()
        };
        assert_eq!(with(10.0), 2);
        for far in [1e308, -1e308, f64::INFINITY, f64::NAN] {
            assert_eq!(with(far), 0, "{far}");
        }
        assert!(with(1e30) > 0);
    }
}
