//! Triangles of a sheet: corners on its outline, holes left out, finer at corners that turn in.

mod boundary;
mod seeds;

use crate::error::FlexError;
use boundary::{Ring, above, mirror_line, rings};
use geometry::Outline;
use glam::DVec2;
use spade::{AngleLimit, ConstrainedDelaunayTriangulation, Point2, RefinementParameters, Triangulation};
use std::collections::HashMap;

/// No part is cut into more corners of triangles than this: beyond, one factor would take seconds.
const MOST_CORNERS: usize = 20_000;
/// A part whose area is less than this share of the square of its length is a sliver.
const SLIVER: f64 = 1e-3;
/// Holes smaller than this share of the mesh's length are left out: their effect is smaller than that of the mesh.
const SMALL_HOLE: f64 = 0.3;

/// Triangles of a sheet.
///
/// A part that is its own mirror image about the upright or level line through its middle is meshed in one half (or quarter) and
/// the rest is its exact mirror image, so that what is symmetric comes out symmetric but for rounding of the solution.
///
/// # Source
/// Constrained Delaunay triangulation with refinement (Chew, Ruppert) of the crate spade; seeds on a triangular lattice.
#[derive(Debug, Clone, PartialEq)]
pub struct Mesh {
    /// Corners, mm.
    pub points: Vec<DVec2>,
    /// Three corners each, counter-clockwise.
    pub triangles: Vec<[u32; 3]>,
    /// Edges, two corners each, the lower index first.
    pub edges: Vec<[u32; 2]>,
    /// Edges of every triangle; the k-th lies opposite its k-th corner.
    pub sides: Vec<[u32; 3]>,
    /// How many triangles share an edge: one at the boundary, else two.
    pub sharing: Vec<u8>,
    /// Whether the mesh is its own mirror image about an upright and about a level line.
    pub mirrored: [bool; 2],
    /// Holes too small for the mesh, which it does not show.
    pub holes_left_out: usize,
    /// Length of a triangle's side inside, mm.
    pub length: f64,
}

impl Mesh {
    /// Cuts an outline into triangles with about `corners` corners; `fixed` points become corners.
    ///
    /// # Errors
    /// [`FlexError`] for what cannot be cut: nothing left, a sliver, crossing boundaries, more than one piece.
    pub fn new(outline: &Outline, corners: usize, fixed: &[DVec2]) -> Result<Self, FlexError> {
        let finite = |l: &geometry::Loop| l.vertices.iter().all(|v| v.at.is_finite() && v.bulge.is_finite());
        if !outline.loops().all(finite) || !fixed.iter().all(|p| p.is_finite()) {
            return Err(FlexError::NotFinite);
        }
        let size = outline.bounds().map_or(0.0, |b| b.size().max_element());
        let area = geometry::section(outline).map_or(0.0, |s| s.area);
        if !(size > 0.0 && area > 0.0) {
            return Err(FlexError::NothingLeft);
        }
        let perimeter: f64 = outline.loops().map(geometry::Loop::perimeter).sum();
        if area < SLIVER * size * size {
            return Err(FlexError::Sliver { width: 2.0 * area / perimeter, length: size });
        }
        // A corner inside has a cell of √3/2 h², one at the boundary half of that.
        let count = corners.max(16) as f64;
        let edge = perimeter / (4.0 * count);
        let length = edge + (edge * edge + area / (count * 0.75_f64.sqrt())).sqrt();
        let (mut part, holes_left_out) = rings(outline, size, SMALL_HOLE * length);
        let lines = [0, 1].map(|axis| mirror_line(&part, fixed, axis, size));
        let mut own: Vec<DVec2> = fixed.to_vec();
        for (axis, place) in lines.iter().enumerate() {
            if let Some(place) = place {
                part = above(&part, axis, *place, size);
                own.retain(|p| p[axis] >= *place - boundary::SAME * size);
            }
        }
        let middle = outline.bounds().map_or(DVec2::ZERO, |b| b.centre());
        let origin = DVec2::new(lines[0].unwrap_or(middle.x), lines[1].unwrap_or(middle.y));
        let (mut points, mut triangles) = triangulated(&part, &own, length, origin)?;
        for (axis, place) in lines.iter().enumerate() {
            if let Some(place) = place {
                mirror(&mut points, &mut triangles, axis, *place, boundary::SAME * size);
            }
        }
        let mesh = Self::joined(points, triangles, lines.map(|l| l.is_some()), holes_left_out, length);
        match mesh.pieces() {
            0 => Err(FlexError::NothingLeft),
            1 => Ok(mesh),
            pieces => Err(FlexError::TwoPieces { pieces }),
        }
    }

    /// Adds edges to triangles.
    fn joined(
        points: Vec<DVec2>,
        triangles: Vec<[u32; 3]>,
        mirrored: [bool; 2],
        holes_left_out: usize,
        length: f64,
    ) -> Self {
        let mut edges = Vec::with_capacity(points.len() * 3);
        let mut sharing = Vec::with_capacity(points.len() * 3);
        let mut known: HashMap<[u32; 2], u32> = HashMap::with_capacity(points.len() * 3);
        let mut sides = Vec::with_capacity(triangles.len());
        for t in &triangles {
            sides.push([0, 1, 2].map(|k: usize| {
                let (a, b) = (t[(k + 1) % 3], t[(k + 2) % 3]);
                let edge = [a.min(b), a.max(b)];
                let index = *known.entry(edge).or_insert_with(|| {
                    edges.push(edge);
                    sharing.push(0);
                    edges.len() as u32 - 1
                });
                sharing[index as usize] += 1;
                index
            }));
        }
        Self { points, triangles, edges, sides, sharing, mirrored, holes_left_out, length }
    }

    /// How many pieces hang together by edges.
    fn pieces(&self) -> usize {
        let mut parent: Vec<u32> = (0..self.triangles.len() as u32).collect();
        fn root(parent: &mut [u32], mut i: u32) -> u32 {
            while parent[i as usize] != i {
                parent[i as usize] = parent[parent[i as usize] as usize];
                i = parent[i as usize];
            }
            i
        }
        let mut first = vec![u32::MAX; self.edges.len()];
        let mut pieces = self.triangles.len();
        for (t, sides) in self.sides.iter().enumerate() {
            for side in sides {
                let other = &mut first[*side as usize];
                if *other == u32::MAX {
                    *other = t as u32;
                    continue;
                }
                let (a, b) = (root(&mut parent, *other), root(&mut parent, t as u32));
                if a != b {
                    parent[a as usize] = b;
                    pieces -= 1;
                }
            }
        }
        pieces
    }

    /// Corners of a triangle, mm.
    pub fn corners(&self, triangle: usize) -> [DVec2; 3] {
        self.triangles[triangle].map(|i| self.points[i as usize])
    }
}

/// Points and triangles of the material between rings.
fn triangulated(
    rings: &[Ring],
    fixed: &[DVec2],
    length: f64,
    origin: DVec2,
) -> Result<(Vec<DVec2>, Vec<[u32; 3]>), FlexError> {
    let seeds = seeds::seeds(rings, fixed, length, origin);
    if seeds.points.len() > MOST_CORNERS {
        return Err(FlexError::TooFine { most: MOST_CORNERS });
    }
    // Next to nothing is no number for the library.
    let tiny = 1e-12 * length;
    let clean = |v: f64| if v.abs() < tiny { 0.0 } else { v };
    let vertices: Vec<Point2<f64>> =
        seeds.points.iter().map(|p| Point2::new(clean(p.x), clean(p.y))).collect();
    let count = vertices.len();
    let mut crossing = None;
    let loaded =
        ConstrainedDelaunayTriangulation::<Point2<f64>>::try_bulk_load_cdt(vertices, seeds.edges, |edge| {
            crossing = Some(edge);
        });
    let Ok(mut cdt) = loaded else { return Err(FlexError::NotFinite) };
    if let Some([a, _]) = crossing {
        let at = seeds.points.get(a).copied().unwrap_or_default();
        return Err(FlexError::Crossing { at });
    }
    let refined = cdt.refine(
        RefinementParameters::new()
            .exclude_outer_faces(true)
            .with_angle_limit(AngleLimit::from_deg(25.0))
            .with_max_allowed_area(0.75 * length * length)
            // A detail far below the mesh's length is left as it is rather than surrounded by ever smaller triangles.
            .with_min_required_area(1e-4 * length * length)
            .with_max_additional_vertices(MOST_CORNERS.saturating_sub(count)),
    );
    if !refined.refinement_complete && cdt.num_vertices() >= MOST_CORNERS {
        return Err(FlexError::TooFine { most: MOST_CORNERS });
    }
    let mut outside = vec![false; cdt.num_all_faces()];
    for face in &refined.excluded_faces {
        outside[face.index()] = true;
    }
    let mut new_index = vec![u32::MAX; cdt.num_vertices()];
    let mut points = Vec::with_capacity(cdt.num_vertices());
    let mut triangles = Vec::with_capacity(2 * cdt.num_vertices());
    for face in cdt.inner_faces().filter(|f| !outside[f.fix().index()]) {
        triangles.push(face.vertices().map(|v| {
            let index = &mut new_index[v.fix().index()];
            if *index == u32::MAX {
                *index = points.len() as u32;
                points.push(DVec2::new(v.position().x, v.position().y));
            }
            *index
        }));
    }
    if triangles.is_empty() {
        return Err(FlexError::NothingLeft);
    }
    Ok((points, triangles))
}

/// Adds the mirror image about a line; corners on it stay one.
fn mirror(points: &mut Vec<DVec2>, triangles: &mut Vec<[u32; 3]>, axis: usize, place: f64, slack: f64) {
    let image: Vec<u32> = (0..points.len())
        .map(|i| {
            let mut p = points[i];
            if (p[axis] - place).abs() <= slack {
                points[i][axis] = place;
                return i as u32;
            }
            p[axis] = 2.0 * place - p[axis];
            points.push(p);
            points.len() as u32 - 1
        })
        .collect();
    for t in 0..triangles.len() {
        let [a, b, c] = triangles[t].map(|i| image[i as usize]);
        triangles.push([a, c, b]);
    }
}

#[cfg(test)]
mod tests;
