//! Loops drawn more than once, and a search tree of all boundaries.

use super::join::oriented;
use super::{Closed, TOLERANCE};
use crate::Sources;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::dxf::Trouble;
use crate::piece::{self, Piece};
use crate::watch::Watch;
use glam::DVec2;
use rstar::{AABB, RTree, RTreeObject};
use std::collections::HashMap;

/// Loops whose bounds and areas agree this closely (mm) may be one drawn twice.
const ALIKE: f64 = 2.0 * TOLERANCE;

/// A loop with what tells it from others at a glance.
struct Kept {
    corners: [f64; 4],
    area: f64,
    perimeter: f64,
}

/// Keeps one of loops that lie on top of one another; all come out counter-clockwise.
pub(super) fn distinct(
    closed: Vec<Closed>,
    sources: &Sources,
    notes: &mut Notes,
) -> Result<Vec<Closed>, Trouble> {
    // Boxes in a grid of four dimensions, its cells somewhat wider than doubles may differ: few share one by chance.
    let cell = |v: f64| (v / (4.0 * ALIKE)).floor() as i64;
    let mut grid: HashMap<[i64; 4], Vec<u32>> = HashMap::with_capacity(closed.len());
    let mut kept: Vec<Closed> = Vec::with_capacity(closed.len());
    let mut about: Vec<Kept> = Vec::with_capacity(closed.len());
    for c in closed {
        let c = oriented(c.pieces, c.source);
        let Some((min, max)) = piece::bounds(&c.pieces) else { continue };
        let corners = [min.x, min.y, max.x, max.y];
        let perimeter = c.pieces.iter().map(Piece::length).sum();
        let now = Kept { corners, area: piece::area(&c.pieces), perimeter };
        let own = corners.map(cell);
        let (low, high) = (corners.map(|v| cell(v - ALIKE)), corners.map(|v| cell(v + ALIKE)));
        let mut double = false;
        for pick in 0..16 {
            let key: [i64; 4] = std::array::from_fn(|d| if pick >> d & 1 == 0 { low[d] } else { high[d] });
            // A cell that lies within on all sides is looked into once.
            if double || (0..4).any(|d| pick >> d & 1 == 1 && low[d] == high[d]) {
                continue;
            }
            for &other in grid.get(&key).into_iter().flatten() {
                notes.watch.spend(1)?;
                let other = other as usize;
                if alike(&about[other], &now) && same(&kept[other], &c, notes.watch)? {
                    double = true;
                    break;
                }
            }
        }
        if double {
            let what = format!("outline drawn twice ({}), one kept", sources.kind(c.source));
            notes.add(DiagnosticSeverity::Mended, what, || sources.place(c.source));
        } else {
            grid.entry(own).or_default().push(kept.len() as u32);
            kept.push(c);
            about.push(now);
        }
    }
    Ok(kept)
}

fn alike(a: &Kept, b: &Kept) -> bool {
    let near = |(x, y): (&f64, &f64)| (x - y).abs() <= ALIKE;
    a.corners.iter().zip(&b.corners).all(near)
        && (a.area - b.area).abs() <= ALIKE * a.perimeter.min(b.perimeter)
}

/// Whether two loops lie on one another; they are alike at a glance.
fn same(a: &Closed, b: &Closed, watch: &Watch) -> Result<bool, Trouble> {
    Ok(lies_on(a, b, watch)? && lies_on(b, a, watch)?)
}

/// Loops of more pieces than this are searched through a tree.
const FEW: usize = 48;

/// Whether all corners and middles of one loop lie on another.
fn lies_on(one: &Closed, other: &Closed, watch: &Watch) -> Result<bool, Trouble> {
    let places = || one.pieces.iter().flat_map(|p| [p.from, p.middle()]);
    if other.pieces.len() <= FEW {
        watch.spend(one.pieces.len())?;
        return Ok(places().all(|at| other.pieces.iter().any(|s| s.distance(at) <= ALIKE)));
    }
    // What lies elsewhere is mostly told by the first places, before a tree is made.
    watch.spend(other.pieces.len())?;
    if !places().take(8).all(|at| other.pieces.iter().any(|s| s.distance(at) <= ALIKE)) {
        return Ok(false);
    }
    let tree = Boundary::new(std::slice::from_ref(other));
    for at in places() {
        if !tree.near(at, ALIKE, watch)? {
            return Ok(false);
        }
    }
    Ok(true)
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
    pub(super) fn covers(&self, p: &Piece, tolerance: f64, watch: &Watch) -> Result<bool, Trouble> {
        let half = |a: DVec2, b: DVec2| (a + b) / 2.0;
        let mut places = vec![p.from, p.middle(), p.to];
        if p.is_straight() {
            places.extend([half(p.from, p.middle()), half(p.middle(), p.to)]);
        }
        for at in places {
            if !self.near(at, tolerance, watch)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Whether a place lies on a boundary.
    fn near(&self, at: DVec2, tolerance: f64, watch: &Watch) -> Result<bool, Trouble> {
        let reach = DVec2::splat(tolerance);
        let near = AABB::from_corners((at - reach).into(), (at + reach).into());
        let mut looked_at = 0;
        let found = self.tree.locate_in_envelope_intersecting(near).any(|s| {
            looked_at += 1;
            s.piece.distance(at) <= tolerance
        });
        watch.spend(looked_at)?;
        Ok(found)
    }
}
