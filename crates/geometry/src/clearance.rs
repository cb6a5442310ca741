//! Signed clearance of a lip on the sound surface.
//!
//! Let sd(m) be how far a point of sound surface is from the nearest boundary, and minus how far a point off it is from
//! sound surface: off the part, in a hole and in a keep-out count together (see `unsound.rs`). Let depth(m) be how deep
//! the point lies below the lip's outer line. The clearance is the smallest sd(m) - depth(m) over the lip. It is
//! - the distance between lip and boundary when the lip lies on sound surface;
//! - minus the shift that brings the lip back to touching when it crosses a straight edge, covers a small round hole, or
//!   lies wholly off;
//! - continuous, and never changes faster than the lip moves.
//!
//! The minimum is always reached at a centre of a largest disc inside the lip: the centre of a round lip, the spine of a
//! long one, the ridge and the four corner bisectors of a rounded rectangle. Where those stay on sound surface it is a
//! distance between lines and arcs in closed form. Where they leave it, the deepest point along a stroke is closed in by
//! bounds that are exact for straight edges (a distance to a straight edge is convex along a stroke).

use std::cell::{Cell, RefCell};

use glam::DVec2;
use rstar::{AABB, SelectionFunction};

use crate::deep::deep;
use crate::depth::Below;
use crate::edge::Edge;
use crate::lip::Core;
use crate::segment::nearest_between;
use crate::surface::Boundary;
use crate::{Bounds, Limit, Lip, SoundSurface};

/// Signed distance from lip to the nearest boundary; negative = overhang.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clearance {
    /// mm.
    pub distance: f64,
    /// The boundary that governs.
    pub limit: Limit,
    /// Point of the lip's outer line, mm; when the lip's middle hangs over, the far point of the disc inside the lip that
    /// hangs over furthest, which may lie within the line.
    pub on_lip: DVec2,
    /// Point of the boundary, mm; |on_lip - on_boundary| = |distance|.
    pub on_boundary: DVec2,
}

impl SoundSurface {
    /// Signed clearance of a lip, with the boundary that governs and the two points.
    ///
    /// Exact for round and long lips; for rounded rectangles the distance between the boundaries. See the head of
    /// `clearance.rs` for what a negative value means. `None` without an outer boundary, for a lip whose place or size
    /// is not a number, and for one so large that no figure comes out.
    ///
    /// # Units
    /// mm.
    pub fn clearance(&self, lip: &Lip) -> Option<Clearance> {
        self.governing(lip).filter(|found| found.distance.is_finite())
    }

    fn governing(&self, lip: &Lip) -> Option<Clearance> {
        if !self.has_edge() || !lip.is_finite() {
            return None;
        }
        let Core { radius, .. } = lip.shape.core();
        let (corners, count) = lip.core_corners();
        let touched = self.forbidding(lip.at);
        if count == 1 {
            return if touched.is_empty() {
                let edge = self.all.nearest_neighbor(lip.at.to_array())?;
                Some(self.disc(lip.at, radius, edge.nearest(lip.at), edge, false))
            } else {
                self.unsound(&touched)
                    .iter()
                    .filter_map(|area| area.nearest(lip.at))
                    .map(|(edge, near)| self.disc(lip.at, radius, near, edge, true))
                    .min_by(|a, b| a.distance.total_cmp(&b.distance))
            };
        }
        let corners = &corners[..count];
        let start = self.all.nearest_neighbor(lip.at.to_array())?;
        let (on_core, on_edge) = core_to_edge(lip, corners, start);
        let mut best = (on_core.distance(on_edge), on_core, on_edge, start);
        // Once one boundary is known to touch or forbid the core, only others that touch it are looked for.
        let others = |touched: &[usize]| {
            let reach = corners.iter().fold(DVec2::ZERO, |reach, c| reach.max((*c - lip.at).abs()));
            let core = Bounds { min: lip.at - reach, max: lip.at + reach };
            let apart = |b: &Bounds| b.min.cmpgt(core.max).any() || b.max.cmplt(core.min).any();
            let near = |(i, b): (usize, &Boundary)| !touched.contains(&i) && !apart(&b.bounds);
            self.boundaries.iter().enumerate().any(near)
        };
        let near = Near {
            core: Below::core(lip, if touched.is_empty() { -best.0 } else { 0.0 }),
            wanted: Cell::new(touched.is_empty() || others(&touched)),
            touched: RefCell::new(touched),
        };
        for edge in self.all.locate_with_selection_function(&near) {
            let (on_core, on_edge) = core_to_edge(lip, corners, edge);
            let apart = on_core.distance(on_edge);
            let mut touched = near.touched.borrow_mut();
            if apart == 0.0 && !touched.contains(&(edge.of as usize)) {
                touched.push(edge.of as usize);
                near.core.least.set(0.0);
                near.wanted.set(others(&touched));
            }
            if touched.is_empty() && apart < best.0 {
                best = (apart, on_core, on_edge, edge);
                near.core.least.set(-apart);
            }
        }
        let touched = near.touched.into_inner();
        if touched.is_empty() {
            let (_, on_core, on_edge, edge) = best;
            return Some(self.disc(on_core, radius, on_edge, edge, false));
        }
        let mut found = None;
        for area in self.unsound(&touched) {
            deep(&area, lip, &mut found);
        }
        found
    }

    fn disc(&self, centre: DVec2, radius: f64, near: DVec2, edge: &Edge, off: bool) -> Clearance {
        of_disc(self.limit(edge), centre, radius, near, edge, off)
    }
}

/// Clearance of one disc, given the nearest point of the boundary and on which side the centre is.
pub(crate) fn of_disc(
    limit: Limit,
    centre: DVec2,
    radius: f64,
    near: DVec2,
    edge: &Edge,
    off: bool,
) -> Clearance {
    let apart = centre.distance(near);
    let outward = if apart > 0.0 {
        (near - centre) / if off { -apart } else { apart }
    } else {
        // Centre on the boundary: any normal of the piece will do.
        edge.segment.direction_at(edge.segment.nearest_share(near)).perp()
    };
    Clearance {
        distance: if off { -apart - radius } else { apart - radius },
        limit,
        on_lip: centre + outward * radius,
        on_boundary: near,
    }
}

/// Nearest points of the lip's core and a piece; equal when the piece runs through or within the core.
pub(crate) fn core_to_edge(lip: &Lip, corners: &[DVec2], edge: &Edge) -> (DVec2, DVec2) {
    if let [a, b] = corners {
        return nearest_between(*a, *b, &edge.segment);
    }
    let Core { half, .. } = lip.shape.core();
    if lip.local(edge.from).abs().cmple(half).all() {
        return (edge.from, edge.from);
    }
    let mut best = (corners[0], edge.nearest(corners[0]));
    for i in 0..corners.len() {
        let pair = nearest_between(corners[i], corners[(i + 1) % corners.len()], &edge.segment);
        if pair.0.distance_squared(pair.1) < best.0.distance_squared(best.1) {
            best = pair;
        }
    }
    best
}

/// Rounding of a bound that would be nought for a piece that touches the core, mm.
const SLACK: f64 = 1e-7;

/// Pieces that may be nearer to the core than was found so far, or touch it and are of a boundary that was not known to.
struct Near {
    core: Below,
    touched: RefCell<Vec<usize>>,
    /// Whether any piece can still matter.
    wanted: Cell<bool>,
}

impl SelectionFunction<Edge> for &Near {
    fn should_unpack_parent(&self, envelope: &AABB<[f64; 2]>) -> bool {
        self.wanted.get() && self.core.deepest_in(envelope) > self.core.least.get() - SLACK
    }

    fn should_unpack_leaf(&self, edge: &Edge) -> bool {
        let least = self.core.least.get();
        if !self.wanted.get() || (least == 0.0 && self.touched.borrow().contains(&(edge.of as usize))) {
            return false;
        }
        self.core.deepest(edge) > least - if least == 0.0 { SLACK } else { 0.0 }
    }
}
