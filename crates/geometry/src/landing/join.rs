//! Landing regions of several parts taken together.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::FloatOverlay;

use super::{LandingRegion, polygons};

impl LandingRegion {
    /// Where a centre lies in every one of some regions; empty where there are none. Within 0.01 mm of the exact one, as each.
    ///
    /// ```
    /// use geometry::{LandingRegion, LipShape, Loop, Outline, landing_region};
    /// use glam::DVec2;
    /// let at = |x: f64| {
    ///     let sheet = Loop::rectangle(DVec2::new(x, 0.0), DVec2::new(x + 400.0, 300.0)); // mm
    ///     landing_region(&Outline::solid(sheet), &[], &LipShape::Round { diameter: 40.0 }, 0.0, 0.0)
    /// };
    /// let (left, right) = (at(0.0), at(100.0));
    /// let both = LandingRegion::in_every([&left, &right]);
    /// assert!((both.area() - 260.0 * 260.0).abs() < 10.0); // mm²
    /// assert!((LandingRegion::in_any([&left, &right]).area() - 460.0 * 260.0).abs() < 10.0); // mm²
    /// ```
    pub fn in_every<'a>(regions: impl IntoIterator<Item = &'a Self>) -> Self {
        folded(regions, OverlayRule::Intersect)
    }

    /// Where a centre lies in any of some regions.
    pub fn in_any<'a>(regions: impl IntoIterator<Item = &'a Self>) -> Self {
        folded(regions, OverlayRule::Union)
    }

    fn rings(&self) -> Vec<Vec<[f64; 2]>> {
        let rings = self.polygons.iter().flat_map(|polygon| polygon.rings());
        rings.map(|ring| ring.iter().map(|point| point.to_array()).collect()).collect()
    }
}

fn folded<'a>(regions: impl IntoIterator<Item = &'a LandingRegion>, rule: OverlayRule) -> LandingRegion {
    let mut regions = regions.into_iter();
    let Some(first) = regions.next() else { return LandingRegion::default() };
    regions.fold(first.clone(), |held, next| match (rule, held.is_empty(), next.is_empty()) {
        (OverlayRule::Intersect, true, _) | (OverlayRule::Union, _, true) => held,
        (OverlayRule::Intersect, _, true) | (OverlayRule::Union, true, _) => next.clone(),
        _ => {
            // Holes count by crossings, whichever way round they run.
            let mut overlay = FloatOverlay::with_subj_and_clip(&held.rings(), &next.rings());
            LandingRegion { polygons: polygons(&overlay.overlay(rule, FillRule::EvenOdd)) }
        }
    })
}

#[cfg(test)]
mod tests {
    use crate::{LandingRegion, LipShape, Loop, Outline, landing_region};
    use glam::DVec2;
    use proptest::prelude::*;

    fn sheet(at: DVec2, turn: f64, holes: usize) -> Outline {
        let hole = |i: usize| Loop::circle(DVec2::new(90.0 + 80.0 * i as f64, 140.0), 18.0);
        let outer = Loop::rectangle(DVec2::ZERO, DVec2::new(400.0, 280.0));
        let plain = Outline { outer, holes: (0..holes).map(hole).collect() };
        plain.transformed(turn, false, at)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        /// A place is in the common region where it is in each, and in the joined one where it is in any, but for a hair at rims.
        #[test]
        fn a_place_is_in_all_or_any_as_it_is_in_each(
            parts in prop::collection::vec((-200.0..200.0f64, -150.0..150.0f64, -3.0..3.0f64, 0..4usize), 1..5),
            places in prop::collection::vec((-500.0..700.0f64, -500.0..600.0f64), 200),
            diameter in 20.0..70.0f64,
        ) {
            let shape = LipShape::Round { diameter };
            let of = |margin: f64| -> Vec<LandingRegion> {
                parts
                    .iter()
                    .map(|(x, y, turn, holes)| {
                        landing_region(&sheet(DVec2::new(*x, *y), *turn, *holes), &[], &shape, 0.0, margin)
                    })
                    .collect()
            };
            let (own, wider) = (of(2.0), of(1.98));
            let (every, any) = (LandingRegion::in_every(&own), LandingRegion::in_any(&own));
            for (x, y) in places {
                let at = DVec2::new(x, y);
                let of = |regions: &[LandingRegion]| -> Vec<bool> { regions.iter().map(|r| r.contains(at)).collect() };
                let (inside, near) = (of(&own), of(&wider));
                if inside != near {
                    continue;
                }
                prop_assert_eq!(every.contains(at), inside.iter().all(|held| *held), "{}", at);
                prop_assert_eq!(any.contains(at), inside.iter().any(|held| *held), "{}", at);
            }
        }
    }

    #[test]
    fn of_none_and_of_what_lies_apart_nothing_is_common() {
        let shape = LipShape::Round { diameter: 40.0 };
        let at = |x: f64| landing_region(&sheet(DVec2::new(x, 0.0), 0.0, 1), &[], &shape, 0.0, 0.0);
        let (one, other) = (at(0.0), at(1000.0));
        assert!(LandingRegion::in_every([]).is_empty() && LandingRegion::in_any([]).is_empty());
        assert!(LandingRegion::in_every([&one, &other]).is_empty());
        let any = LandingRegion::in_any([&one, &other]);
        assert!((any.area() - one.area() - other.area()).abs() < 1.0);
        assert_eq!(LandingRegion::in_every([&one]), one);
        let none = LandingRegion::default();
        assert!(LandingRegion::in_every([&one, &none]).is_empty());
        assert_eq!(LandingRegion::in_any([&none, &one]), one);
    }
}
