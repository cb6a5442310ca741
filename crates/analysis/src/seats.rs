//! Where each lip lands: clearance, what it should be, and what would mend it. Memoised cup by cup.

use crate::{
    lower::CupFacts,
    shape::{Drawing, RegionKey, Regions, Shape},
};
use document::{CupId, PartId, Placement};
use geometry::{Clearance, Lip, LipShape};
use glam::DVec2;
use rstar::{RTree, primitives::GeomWithData};
use std::collections::HashMap;

/// Distances below this are rounding, not overhang, mm.
pub(crate) const LENGTH_NOISE: f64 = 1e-6;
/// Moves are offered in steps of this when such a move lands, mm.
const MOVE_STEP: f64 = 0.1;
/// A cup is held against this many nearest neighbours: more cannot be near without overlapping each other.
const NEIGHBOURS: usize = 16;

/// How one lip sits on the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Seat {
    pub clearance: Option<Clearance>,
    pub required: f64,
    /// Nearest place found where the lip lands with the required clearance; only looked for when it does not.
    pub landing: Option<DVec2>,
    /// Whether no landing place was looked for, since the part has too many corners.
    pub unsought: bool,
    /// Largest lip of the same kind that has the required clearance here; only when this one has not.
    pub largest: Option<LipShape>,
}

/// What a seat depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
struct SeatKey {
    part: PartId,
    drawing: u64,
    lip: Lip,
    placement: Placement,
}

/// Two lips nearer than the limit that is watched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gap {
    pub cups: [CupId; 2],
    pub distance: f64,
    /// From the first cup's nearest point to the second's.
    pub points: [DVec2; 2],
}

/// Seats and gaps of one layout.
#[derive(Debug, Default)]
pub(crate) struct SeatStage {
    seats: HashMap<CupId, (SeatKey, Seat)>,
    gaps: HashMap<[CupId; 2], ([Lip; 2], Gap)>,
    #[cfg(test)]
    pub clearances_made: u64,
}

/// The surface cups are held against.
#[derive(Clone, Copy)]
pub(crate) struct Ground<'a> {
    pub part: PartId,
    /// Counts the drawings of this part, so that a seat knows which one it was worked out on.
    pub drawing_count: u64,
    pub drawing: &'a Drawing,
    pub shape: &'a Shape,
    pub placement: Placement,
}

impl Ground<'_> {
    /// Position tolerance + turn tolerance x reach + drawing tolerance, mm. The part turns about its centroid; the
    /// reach is to the farthest point of the lip.
    pub(crate) fn required(&self, shape: &LipShape, at: DVec2) -> f64 {
        let arm = at.distance(self.shape.section.centroid) + around(shape);
        self.margin_at(arm.min(self.shape.reach))
    }

    /// The clearance required of the cup that turns on the longest arm: what the landing region is drawn with.
    pub(crate) fn widest_margin(&self) -> f64 {
        self.margin_at(self.shape.reach)
    }

    fn margin_at(&self, reach: f64) -> f64 {
        let tolerance = self.placement;
        let margin = tolerance.position_mm + tolerance.turn_deg.to_radians() * reach + tolerance.drawing_mm;
        // A tolerance that is not a figure is a finding of its own; no margin is kept for it.
        if margin.is_finite() { margin.max(0.0) } else { 0.0 }
    }

    fn lands(&self, lip: &Lip) -> bool {
        let required = self.required(&lip.shape, lip.at);
        self.shape.surface.clearance(lip).is_some_and(|c| c.distance >= required - LENGTH_NOISE)
    }

    pub(crate) fn region_key(&self, shape: LipShape, turn: f64) -> RegionKey {
        RegionKey { part: self.part, drawing: self.drawing_count, shape, turn, margin: self.widest_margin() }
    }

    fn seat(&self, lip: &Lip, regions: &mut Regions) -> Seat {
        let clearance = self.shape.surface.clearance(lip).filter(|c| c.distance.is_finite());
        let required = self.required(&lip.shape, lip.at);
        let short = clearance.is_some_and(|c| c.distance < required - LENGTH_NOISE);
        if !short {
            return Seat { clearance, required, landing: None, unsought: false, largest: None };
        }
        let region = regions.get(self.region_key(lip.shape, lip.turn), self.drawing);
        let inside = region.as_ref().and_then(|region| region.nearest(lip.at));
        let landing = inside.and_then(|inside| self.nearest_on_the_way(lip, inside));
        Seat { clearance, required, landing, unsought: region.is_none(), largest: self.largest_here(lip) }
    }

    /// The first place on the way to `inside` where the lip lands, in round figures when they land too.
    fn nearest_on_the_way(&self, lip: &Lip, inside: DVec2) -> Option<DVec2> {
        let way = inside - lip.at;
        let at = |share: f64| Lip { at: lip.at + way * share, ..*lip };
        // The region's arcs are chords, so its rim may be short of landing by a hair: go a little further in.
        let mut far = [1.0, 1.001, 1.01, 1.05, 1.2].into_iter().find(|share| self.lands(&at(*share)))?;
        let mut near = 0.0;
        for _ in 0..24 {
            let middle = 0.5 * (near + far);
            if self.lands(&at(middle)) {
                far = middle;
            } else {
                near = middle;
            }
        }
        let exact = way * far;
        let outward = |value: f64| {
            let steps = (value.abs() / MOVE_STEP - 1e-6).ceil();
            (steps * MOVE_STEP * 1e6).round() / 1e6 * value.signum()
        };
        let round = |value: f64| if value.abs() < 1e-6 { 0.0 } else { outward(value) };
        let rounded = Lip { at: lip.at + DVec2::new(round(exact.x), round(exact.y)), ..*lip };
        Some(if self.lands(&rounded) { rounded.at } else { lip.at + exact })
    }

    /// The same kind of lip, smaller, with the required clearance at the same place.
    fn largest_here(&self, lip: &Lip) -> Option<LipShape> {
        let scaled = |share: f64| Lip { shape: lip.shape.scaled(share), ..*lip };
        let smallest = 0.05;
        if !self.lands(&scaled(smallest)) {
            return None;
        }
        let (mut fits, mut fails) = (smallest, 1.0);
        for _ in 0..32 {
            let middle = 0.5 * (fits + fails);
            if self.lands(&scaled(middle)) {
                fits = middle;
            } else {
                fails = middle;
            }
        }
        Some(lip.shape.scaled(fits))
    }

    /// Whether a lip put elsewhere keeps the clearance required there.
    pub(crate) fn lands_at(&self, lip: &Lip, at: DVec2) -> bool {
        self.lands(&Lip { at, ..*lip })
    }
}

/// Radius of the circle about a lip's centre that holds it, mm.
fn around(shape: &LipShape) -> f64 {
    match *shape {
        LipShape::Round { diameter } => 0.5 * diameter,
        LipShape::Long { length, width } => 0.5 * length.max(width),
        LipShape::Rectangle { length, width, .. } => 0.5 * length.hypot(width),
    }
}

impl SeatStage {
    /// Seats of all cups; only those that moved, changed or lie on another drawing are worked out again.
    pub(crate) fn seats(
        &mut self,
        cups: &[CupFacts],
        ground: Ground<'_>,
        regions: &mut Regions,
    ) -> Vec<Seat> {
        let mut kept = HashMap::with_capacity(cups.len());
        let seats = cups
            .iter()
            .map(|cup| {
                let key = SeatKey {
                    part: ground.part,
                    drawing: ground.drawing_count,
                    lip: cup.lip,
                    placement: ground.placement,
                };
                let seat = match self.seats.get(&cup.id) {
                    Some((held, seat)) if *held == key => *seat,
                    _ => {
                        #[cfg(test)]
                        {
                            self.clearances_made += 1;
                        }
                        ground.seat(&cup.lip, regions)
                    }
                };
                kept.insert(cup.id, (key, seat));
                seat
            })
            .collect();
        self.seats = kept;
        seats
    }

    /// Pairs of lips with less than `limit` mm between them, in the order of the cups.
    pub(crate) fn gaps(&mut self, cups: &[(CupId, Lip)], limit: f64) -> Vec<Gap> {
        let radius = |lip: &Lip| around(&lip.shape);
        let widest = cups.iter().map(|(_, lip)| radius(lip)).fold(0.0, f64::max);
        let points = cups
            .iter()
            .enumerate()
            .map(|(index, (_, lip))| GeomWithData::new(lip.at.to_array(), index))
            .collect();
        let tree: RTree<GeomWithData<[f64; 2], usize>> = RTree::bulk_load(points);
        let mut kept = HashMap::new();
        let mut near = Vec::new();
        for (index, (_, lip)) in cups.iter().enumerate() {
            let within = radius(lip) + widest + limit;
            let neighbours = tree
                .nearest_neighbor_iter(lip.at.to_array())
                .take(NEIGHBOURS + 1)
                .map(|found| found.data)
                .take_while(|other| cups[*other].1.at.distance(lip.at) <= within);
            for other in neighbours.filter(|other| *other != index) {
                let pair = [index.min(other), index.max(other)];
                let lips = pair.map(|i| cups[i].1);
                let ids = pair.map(|i| cups[i].0);
                let apart = lips[0].at.distance(lips[1].at) - radius(&lips[0]) - radius(&lips[1]);
                if apart >= limit || kept.contains_key(&ids) {
                    continue;
                }
                let gap = match self.gaps.get(&ids) {
                    Some((held, gap)) if *held == lips => *gap,
                    _ => {
                        let (distance, from, to) = geometry::gap(&lips[0], &lips[1]);
                        Gap { cups: ids, distance, points: [from, to] }
                    }
                };
                kept.insert(ids, (lips, gap));
                if gap.distance < limit - LENGTH_NOISE {
                    near.push((pair, gap));
                }
            }
        }
        self.gaps = kept;
        near.sort_by_key(|(pair, _)| *pair);
        near.into_iter().map(|(_, gap)| gap).collect()
    }
}
