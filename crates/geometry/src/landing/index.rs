//! A landing region indexed by its sides, to be asked for many cups.

use glam::DVec2;
use rstar::{AABB, PointDistance, RTree, RTreeObject};

use super::LandingRegion;
use crate::Segment;
use crate::ring::{crosses, sides};

/// One side of a region, the region on its left.
#[derive(Debug, Clone, Copy)]
struct Side {
    from: DVec2,
    to: DVec2,
    /// Of which polygon.
    of: u32,
}

impl Side {
    fn nearest(&self, point: DVec2) -> DVec2 {
        Segment::Line { from: self.from, to: self.to }.nearest(point)
    }
}

impl RTreeObject for Side {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        AABB::from_corners(self.from.to_array(), self.to.to_array())
    }
}

impl PointDistance for Side {
    fn distance_2(&self, point: &[f64; 2]) -> f64 {
        let point = DVec2::from_array(*point);
        self.nearest(point).distance_squared(point)
    }
}

/// A [`LandingRegion`] that answers for a cup in the time that its neighbourhood takes.
///
/// ```
/// use geometry::{LipShape, Loop, Outline, landing_region};
/// use glam::DVec2;
/// let sheet = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0))); // mm
/// let index = landing_region(&sheet, &[], &LipShape::Round { diameter: 40.0 }, 0.0, 5.0).index();
/// let there = index.nearest(DVec2::new(10.0, 150.0)).unwrap();
/// assert!(there.distance(DVec2::new(25.0, 150.0)) < 0.01); // mm
/// assert!(index.contains(there));
/// ```
#[derive(Debug, Clone, Default)]
pub struct LandingIndex {
    tree: RTree<Side>,
    /// No side lies beyond, mm.
    right: f64,
}

impl LandingIndex {
    pub(super) fn new(region: &LandingRegion) -> Self {
        let rings = region.polygons.iter().enumerate().flat_map(|(of, p)| p.rings().map(move |r| (of, r)));
        let all: Vec<Side> = rings
            .flat_map(|(of, ring)| sides(ring).map(move |(from, to)| Side { from, to, of: of as u32 }))
            .collect();
        let right = all.iter().map(|side| side.from.x).fold(f64::NEG_INFINITY, f64::max);
        Self { tree: RTree::bulk_load(all), right }
    }

    /// As [`LandingRegion::contains`].
    pub fn contains(&self, point: DVec2) -> bool {
        let ray = AABB::from_corners(point.to_array(), [self.right.max(point.x), point.y]);
        let crossed = self.tree.locate_in_envelope_intersecting(ray);
        let mut owners: Vec<u32> =
            crossed.filter(|side| crosses(side.from, side.to, point)).map(|side| side.of).collect();
        owners.sort_unstable();
        owners.chunk_by(|a, b| a == b).any(|run| run.len() % 2 == 1)
    }

    /// As [`LandingRegion::nearest`].
    pub fn nearest(&self, point: DVec2) -> Option<DVec2> {
        if self.contains(point) {
            return Some(point);
        }
        let mut near = self.tree.nearest_neighbor_iter(point.to_array());
        let first = near.next()?;
        let at = first.nearest(point);
        // At a corner both sides count, so that a step inwards leaves both.
        let here = near.take_while(|side| side.nearest(point).distance_squared(at) < 1e-18);
        // Rings keep the region on their left.
        let inward: DVec2 = std::iter::once(first)
            .chain(here)
            .map(|side| (side.to - side.from).perp().normalize_or_zero())
            .sum();
        // A hair inside, so that the place itself counts as inside.
        let away = (at - point).normalize_or_zero();
        let tries = [inward.normalize_or_zero(), away, inward + away];
        let hair = [1e-7, 1e-6, 1e-5, 1e-4];
        let inside = hair
            .iter()
            .flat_map(|h| tries.iter().map(move |t| at + *t * *h))
            .find(|place| self.contains(*place));
        Some(inside.unwrap_or(at))
    }
}

#[cfg(test)]
mod tests {
    use crate::{LipShape, Loop, Outline, landing_region};
    use glam::DVec2;

    /// The index answers as the polygons themselves do, on a plate with holes that leave islands of room.
    #[test]
    fn it_answers_as_the_polygons_do() {
        let holes = (0..24).map(|i| {
            Loop::circle(DVec2::new(40.0 + f64::from(i % 6) * 62.0, 35.0 + f64::from(i / 6) * 71.0), 16.0)
        });
        let outer = Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 300.0));
        let plate = Outline { outer, holes: holes.collect() };
        let region = landing_region(&plate, &[], &LipShape::Round { diameter: 28.0 }, 0.0, 0.5);
        let index = region.index();
        assert!(!region.is_empty());
        for i in 0..4_000 {
            let share = |step: f64| (f64::from(i) * step).fract();
            let place = DVec2::new(440.0 * share(0.618_033_988_7), 340.0 * share(0.754_877_666_2)) - 20.0;
            assert_eq!(index.contains(place), region.contains(place), "{place}");
            let near = index.nearest(place).expect("there is room");
            assert!(region.contains(near), "{place} to {near}");
            // No corner of the region lies nearer.
            let corners = region.polygons.iter().flat_map(|p| p.rings()).flatten();
            let least = corners.map(|corner| corner.distance(place)).fold(f64::INFINITY, f64::min);
            assert!(region.contains(place) || near.distance(place) <= least + 2e-4, "{place} to {near}");
        }
    }
}
