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

/// Fills an outline with triangles; arcs become chords within `tolerance` mm.
pub fn triangulate(outline: &Outline, tolerance: f64) -> Triangles {
    let outer = outline.outer.flatten(tolerance);
    let holes = outline.holes.iter().map(|h| h.flatten(tolerance)).collect();
    triangulate_flat(&FlatPolygon { outer, holes })
}

/// Fills a polygon with holes with triangles; empty for fewer than three corners.
pub fn triangulate_flat(polygon: &FlatPolygon) -> Triangles {
    if polygon.outer.len() < 3 {
        return Triangles::default();
    }
    let ring =
        |points: &[DVec2]| geo::LineString::from_iter(points.iter().map(|p| geo::Coord { x: p.x, y: p.y }));
    let holes = polygon.holes.iter().filter(|h| h.len() >= 3).map(|h| ring(h)).collect();
    let raw = geo::Polygon::new(ring(&polygon.outer), holes).earcut_triangles_raw();
    let points = raw.vertices.iter().map(|v| DVec2::new(v[0], v[1])).collect();
    let indices =
        raw.triangle_indices.chunks_exact(3).map(|t| [t[0] as u32, t[1] as u32, t[2] as u32]).collect();
    Triangles { points, indices }
}
