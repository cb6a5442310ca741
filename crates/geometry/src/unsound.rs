//! What a lip that hangs over must leave: one unsound area, or several that meet, as one.
//!
//! How far a lip hangs over is how far it is to sound surface. Where a keep-out lies along the edge, a hole crosses the
//! edge or two areas overlap, the nearest boundary may lie within another unsound area, so the boundaries that meet count
//! as one, made of those stretches that have sound surface beside them.

use std::cell::Cell;

use glam::DVec2;
use rstar::{AABB, PointDistance, RTree, RTreeObject, SelectionFunction};

use crate::edge::Edge;
use crate::overhang::part;
use crate::{Limit, SoundSurface};

/// Sound surface narrower than this between two unsound areas is the rounding of a drawing, mm: areas drawn flush in
/// figures of a hundredth lie apart by less.
const SLIVER: f64 = 1e-3;
/// Stretches shorter than this are noise of a touch, mm.
const LEAST: f64 = 1e-7;

/// Boundaries that meet, as one.
pub(crate) struct Joined {
    /// Stretches with sound surface beside them; each knows which boundary it is of.
    tree: RTree<Edge>,
    /// The boundaries, by index.
    members: Vec<usize>,
}

/// One boundary, or several that meet, with what they forbid.
pub(crate) struct Unsound<'a> {
    surface: &'a SoundSurface,
    pub tree: &'a RTree<Edge>,
    members: &'a [usize],
}

impl SoundSurface {
    /// What the boundaries of these indices forbid, those that meet others joined with them.
    pub(crate) fn unsound<'a>(&'a self, touched: &'a [usize]) -> Vec<Unsound<'a>> {
        let mut found: Vec<Unsound<'a>> = Vec::new();
        for (place, index) in touched.iter().enumerate() {
            let Some(boundary) = self.boundaries.get(*index) else { continue };
            let joined = boundary.joined.get_or_init(|| self.join(*index));
            let (tree, members) = match joined {
                Some(joined) => (&joined.tree, &joined.members[..]),
                None => (&boundary.tree, &touched[place..=place]),
            };
            if tree.size() > 0 && !found.iter().any(|held| held.members.contains(index)) {
                found.push(Unsound { surface: self, tree, members });
            }
        }
        if found.is_empty() {
            // No sound surface is left beside any: each for itself.
            found.extend(touched.iter().enumerate().filter_map(|(place, index)| {
                let tree = &self.boundaries.get(*index)?.tree;
                Some(Unsound { surface: self, tree, members: &touched[place..=place] })
            }));
        }
        found
    }

    /// A boundary with all it meets, directly or by way of others; `None` when it meets none.
    fn join(&self, first: usize) -> Option<Joined> {
        let mut members = vec![first];
        let mut looked_at = 0;
        while let Some(boundary) = members.get(looked_at).and_then(|index| self.boundaries.get(*index)) {
            looked_at += 1;
            for edge in &boundary.tree {
                for other in self.beside(edge) {
                    let of = other.of as usize;
                    if !members.contains(&of)
                        && !edge.segment.meets(&other.segment, SLIVER).points().is_empty()
                    {
                        members.push(of);
                    }
                }
            }
        }
        if members.len() == 1 {
            return None;
        }
        let mut shores = Vec::new();
        for edge in members.iter().filter_map(|index| self.boundaries.get(*index)).flat_map(|b| &b.tree) {
            self.shores_of(edge, &mut shores);
        }
        Some(Joined { tree: RTree::bulk_load(shores), members })
    }

    /// Pieces of other boundaries that a piece may meet.
    fn beside(&self, edge: &Edge) -> impl Iterator<Item = &Edge> {
        let envelope = edge.envelope();
        let grown = |corner: [f64; 2], by: f64| (DVec2::from_array(corner) + by).to_array();
        let around = AABB::from_corners(grown(envelope.lower(), -SLIVER), grown(envelope.upper(), SLIVER));
        let of = edge.of;
        self.all.locate_in_envelope_intersecting(around).filter(move |other| other.of != of)
    }

    /// The stretches of a piece that have sound surface on one side.
    fn shores_of(&self, edge: &Edge, shores: &mut Vec<Edge>) {
        let segment = edge.segment;
        let mut shares = vec![0.0, 1.0];
        for other in self.beside(edge) {
            let met = segment.meets(&other.segment, SLIVER);
            shares.extend(met.points().iter().map(|at| segment.nearest_share(*at)));
        }
        shares.sort_by(f64::total_cmp);
        for ends in shares.windows(2) {
            let stretch = part(&segment, ends[0], ends[1]);
            if stretch.length() <= LEAST {
                continue;
            }
            let (middle, aside) = (stretch.point_at(0.5), stretch.direction_at(0.5).perp() * SLIVER);
            if self.contains(middle + aside) != self.contains(middle - aside) {
                // The corners as stored, where it ends at one.
                let from = if ends[0] == 0.0 { edge.from } else { stretch.start() };
                let to = if ends[1] == 1.0 { edge.to } else { stretch.end() };
                shores.push(Edge { from, to, segment: stretch, ..*edge });
            }
        }
    }
}

impl Unsound<'_> {
    /// Whether a point lies where one of the boundaries forbids.
    pub fn forbids(&self, point: DVec2) -> bool {
        let boundaries = &self.surface.boundaries;
        self.members.iter().any(|index| boundaries.get(*index).is_some_and(|b| b.forbids(point)))
    }

    /// The boundary a piece is of.
    pub fn limit(&self, edge: &Edge) -> Limit {
        self.surface.limit(edge)
    }

    /// Nearest piece and the point on it; `None` only for a boundary without pieces.
    pub fn nearest(&self, point: DVec2) -> Option<(&Edge, DVec2)> {
        self.tree.nearest_neighbor(point.to_array()).map(|e| (e, e.nearest(point)))
    }

    /// As [`Unsound::nearest`], quicker by pieces that are known to lie near.
    pub fn nearest_from<'a>(&'a self, point: DVec2, known: [&'a Edge; 2]) -> (&'a Edge, DVec2) {
        let place = point.to_array();
        let [first, second] = known.map(|edge| (edge.distance_2(&place), edge));
        let (least, mut edge) = if second.0 < first.0 { second } else { first };
        let closer = Closer { place, least: Cell::new(least) };
        for next in self.tree.locate_with_selection_function(&closer) {
            let square = next.distance_2(&place);
            if square < closer.least.get() {
                closer.least.set(square);
                edge = next;
            }
        }
        (edge, edge.nearest(point))
    }
}

/// Pieces that are nearer to a place than any before.
struct Closer {
    place: [f64; 2],
    /// Square of the least distance so far.
    least: Cell<f64>,
}

impl SelectionFunction<Edge> for &Closer {
    fn should_unpack_parent(&self, envelope: &AABB<[f64; 2]>) -> bool {
        envelope.distance_2(&self.place) < self.least.get()
    }

    fn should_unpack_leaf(&self, edge: &Edge) -> bool {
        edge.distance_2(&self.place) < self.least.get()
    }
}
