//! Sound surface: where a lip may land, indexed once and asked for every cup.

use std::sync::OnceLock;

use glam::DVec2;
use rstar::{AABB, RTree};

use crate::edge::Edge;
use crate::unsound::Joined;
use crate::{Bounds, Loop, Outline, Segment};

/// What a lip must keep off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// The outer boundary.
    Edge,
    /// A hole, by its index in the outline.
    Hole(usize),
    /// A keep-out, by its index.
    KeepOut(usize),
}

/// One boundary with an index over its own pieces.
pub(crate) struct Boundary {
    pub limit: Limit,
    pub tree: RTree<Edge>,
    pub bounds: Bounds,
    /// With the boundaries it meets, worked out when a lip hangs over it; `None` within when it meets none.
    pub joined: OnceLock<Option<Joined>>,
}

impl Boundary {
    /// Whether a point lies where this boundary forbids.
    pub fn forbids(&self, point: DVec2) -> bool {
        let inside = self.bounds.contains(point) && crossings(&self.tree, self.bounds.max.x, point) % 2 == 1;
        inside != (self.limit == Limit::Edge)
    }
}

fn crossings(tree: &RTree<Edge>, right: f64, point: DVec2) -> u32 {
    let ray = AABB::from_corners(point.to_array(), [right.max(point.x), point.y]);
    tree.locate_in_envelope_intersecting(ray).map(|e| e.crossings(point)).sum()
}

/// Owners of the pieces that enclose a point, by the even-odd rule; `right` is where no piece lies beyond. `looked_at`
/// counts the pieces that the ray comes near.
pub(crate) fn odd_crossings(
    tree: &RTree<Edge>,
    right: f64,
    point: DVec2,
    looked_at: &mut usize,
) -> Vec<usize> {
    let mut owners: Vec<u32> = Vec::new();
    let ray = AABB::from_corners(point.to_array(), [right.max(point.x), point.y]);
    for edge in tree.locate_in_envelope_intersecting(ray) {
        *looked_at += 1;
        owners.extend(std::iter::repeat_n(edge.of, edge.crossings(point) as usize));
    }
    owners.sort_unstable();
    owners.chunk_by(|a, b| a == b).filter(|run| run.len() % 2 == 1).map(|run| run[0] as usize).collect()
}

/// Sound surface: outline minus holes minus keep-outs, with a spatial index. Build once per part, query per cup.
///
/// ```
/// use geometry::{Lip, LipShape, Limit, Loop, Outline, SoundSurface};
/// use glam::DVec2;
/// let sheet = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0))); // mm
/// let surface = SoundSurface::new(&sheet, &[]);
/// let lip = Lip { shape: LipShape::Round { diameter: 40.0 }, at: DVec2::new(30.0, 150.0), turn: 0.0 };
/// let clearance = surface.clearance(&lip).unwrap();
/// assert_eq!(clearance.distance, 10.0); // mm: 30 to the edge less half the lip
/// assert_eq!(clearance.limit, Limit::Edge);
/// ```
pub struct SoundSurface {
    pub(crate) all: RTree<Edge>,
    pub(crate) boundaries: Vec<Boundary>,
    pub(crate) bounds: Option<Bounds>,
}

impl SoundSurface {
    /// Indexes the outline, its holes and the keep-outs, mm. Loops without a piece are passed over.
    pub fn new(outline: &Outline, keep_outs: &[Loop]) -> Self {
        let holes = outline.holes.iter().enumerate().map(|(i, l)| (Limit::Hole(i), l));
        let areas = keep_outs.iter().enumerate().map(|(i, l)| (Limit::KeepOut(i), l));
        let mut edges: Vec<Edge> = Vec::new();
        let mut boundaries: Vec<Boundary> = Vec::new();
        for (limit, boundary) in std::iter::once((Limit::Edge, &outline.outer)).chain(holes).chain(areas) {
            let own: Vec<Edge> = Edge::of_loop(boundary, boundaries.len() as u32).collect();
            let Some(bounds) = boundary.bounds() else { continue };
            if own.is_empty() {
                continue;
            }
            edges.extend_from_slice(&own);
            boundaries.push(Boundary { limit, tree: RTree::bulk_load(own), bounds, joined: OnceLock::new() });
        }
        let bounds = boundaries.iter().map(|b| b.bounds).reduce(|a, b| a.union(&b));
        SoundSurface { all: RTree::bulk_load(edges), boundaries, bounds }
    }

    /// Whether a point lies on sound surface.
    pub fn contains(&self, point: DVec2) -> bool {
        point.is_finite() && self.has_edge() && self.forbidding(point).is_empty()
    }

    pub(crate) fn has_edge(&self) -> bool {
        self.boundaries.first().is_some_and(|b| b.limit == Limit::Edge)
    }

    /// The boundary a piece is of.
    pub(crate) fn limit(&self, edge: &Edge) -> Limit {
        self.boundaries.get(edge.of as usize).map_or(Limit::Edge, |b| b.limit)
    }

    /// Indices of the boundaries on whose wrong side a point lies.
    pub(crate) fn forbidding(&self, point: DVec2) -> Vec<usize> {
        let mut found = match self.bounds {
            Some(bounds) => odd_crossings(&self.all, bounds.max.x, point, &mut 0),
            None => Vec::new(),
        };
        // Being outside the outer boundary is what is forbidden there, being inside is for all others.
        if self.has_edge() {
            match found.iter().position(|i| *i == 0) {
                Some(place) => {
                    found.swap_remove(place);
                }
                None => found.push(0),
            }
        }
        found
    }

    /// Distances, mm, from a point to the nearest boundary along +x, -x, +y, -y (for dimension lines); `None` where no
    /// boundary lies that way.
    pub fn rays(&self, from: DVec2) -> [Option<f64>; 4] {
        let Some(bounds) = self.bounds.filter(|_| from.is_finite()) else { return [None; 4] };
        [DVec2::X, DVec2::NEG_X, DVec2::Y, DVec2::NEG_Y].map(|way| {
            let end = match way {
                DVec2::X => DVec2::new(bounds.max.x, from.y),
                DVec2::NEG_X => DVec2::new(bounds.min.x, from.y),
                DVec2::Y => DVec2::new(from.x, bounds.max.y),
                _ => DVec2::new(from.x, bounds.min.y),
            };
            if (end - from).dot(way) < 0.0 {
                return None;
            }
            let end = end + way;
            let ray = Segment::Line { from, to: end };
            self.all
                .locate_in_envelope_intersecting(AABB::from_corners(
                    from.min(end).to_array(),
                    from.max(end).to_array(),
                ))
                .flat_map(|edge| edge.segment.meets(&ray, 1e-9).points().to_vec())
                .map(|p| (p - from).dot(way).max(0.0))
                .min_by(f64::total_cmp)
        })
    }
}
