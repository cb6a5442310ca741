//! Loops drawn more than once, and a search tree of all boundaries.

use super::join::oriented;
use super::{Closed, TOLERANCE};
use crate::Sources;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::piece::{self, Piece};
use glam::DVec2;
use rstar::{AABB, RTree, RTreeObject};
use std::collections::HashMap;

/// Loops whose bounds and areas agree this closely (mm) may be one drawn twice.
const ALIKE: f64 = 2.0 * TOLERANCE;

/// Keeps one of loops that lie on top of one another; all come out counter-clockwise.
pub(super) fn distinct(closed: Vec<Closed>, sources: &Sources, notes: &mut Notes) -> Vec<Closed> {
    // Boxes in a grid of four dimensions, its cells much wider than doubles may differ: one look finds most.
    let cell = |v: f64| (v / (64.0 * ALIKE)).floor() as i64;
    let mut grid: HashMap<[i64; 4], Vec<usize>> = HashMap::with_capacity(closed.len());
    let mut kept: Vec<Closed> = Vec::with_capacity(closed.len());
    for c in closed {
        let c = oriented(c.pieces, c.source);
        let Some((min, max)) = piece::bounds(&c.pieces) else { continue };
        let corners = [min.x, min.y, max.x, max.y];
        let own = corners.map(cell);
        let (low, high) = (corners.map(|v| cell(v - ALIKE)), corners.map(|v| cell(v + ALIKE)));
        let double = (0..16).any(|pick| {
            let key: [i64; 4] = std::array::from_fn(|d| if pick >> d & 1 == 0 { low[d] } else { high[d] });
            // A cell that lies within on all sides is looked into once.
            let again = (0..4).any(|d| pick >> d & 1 == 1 && low[d] == high[d]);
            !again && grid.get(&key).is_some_and(|near| near.iter().any(|other| same(&kept[*other], &c)))
        });
        if double {
            let what = format!("outline drawn twice ({}), one kept", sources.kind(c.source));
            notes.add(DiagnosticSeverity::Mended, what, || sources.place(c.source));
        } else {
            grid.entry(own).or_default().push(kept.len());
            kept.push(c);
        }
    }
    kept
}

fn same(a: &Closed, b: &Closed) -> bool {
    let apart =
        |(a, b): ((DVec2, DVec2), (DVec2, DVec2))| (a.0 - b.0).abs().max((a.1 - b.1).abs()).max_element();
    if piece::bounds(&a.pieces).zip(piece::bounds(&b.pieces)).is_none_or(|boxes| apart(boxes) > ALIKE) {
        return false;
    }
    let perimeter: f64 = a.pieces.iter().map(Piece::length).sum();
    if (piece::area(&a.pieces) - piece::area(&b.pieces)).abs() > ALIKE * perimeter {
        return false;
    }
    let on = |p: DVec2, l: &Closed| l.pieces.iter().any(|s| s.distance(p) <= ALIKE);
    a.pieces.iter().all(|p| on(p.from, b) && on(p.middle(), b))
        && b.pieces.iter().all(|p| on(p.from, a) && on(p.middle(), a))
}

/// A piece of a loop with its box.
pub(super) struct Stored {
    pub(super) piece: Piece,
    pub(super) of: usize,
    /// The tree asks for it many times, and that of an arc takes angles to work out.
    bounds: AABB<[f64; 2]>,
}

impl Stored {
    fn new(piece: Piece, of: usize) -> Self {
        let (min, max) = piece.bounds();
        Self { piece, of, bounds: AABB::from_corners(min.into(), max.into()) }
    }
}

impl RTreeObject for Stored {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        self.bounds
    }
}

/// All boundaries, searchable.
pub(super) struct Boundary {
    pub(super) tree: RTree<Stored>,
}

impl Boundary {
    pub(super) fn new(loops: &[Closed]) -> Self {
        let stored =
            loops.iter().enumerate().flat_map(|(of, l)| l.pieces.iter().map(move |p| Stored::new(*p, of)));
        Self { tree: RTree::bulk_load(stored.collect()) }
    }

    /// Whether a piece lies on the boundaries all along (looked at in five places).
    pub(super) fn covers(&self, p: &Piece, tolerance: f64) -> bool {
        let half = |a: DVec2, b: DVec2| (a + b) / 2.0;
        let mut places = vec![p.from, p.middle(), p.to];
        if p.is_straight() {
            places.extend([half(p.from, p.middle()), half(p.middle(), p.to)]);
        }
        places.into_iter().all(|at| {
            let reach = DVec2::splat(tolerance);
            let near = AABB::from_corners((at - reach).into(), (at + reach).into());
            self.tree.locate_in_envelope_intersecting(near).any(|s| s.piece.distance(at) <= tolerance)
        })
    }
}
