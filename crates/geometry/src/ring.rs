//! Closed rings of straight sides: area, and what lies inside.
//!
//! Written here rather than taken from the library below, which would have every ring copied into its own points for these few
//! lines; its answers are the tests' second opinion.

use glam::DVec2;

/// Sides of a ring, the last one back to its first corner.
pub(crate) fn sides(ring: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| (*a, *b))
}

/// Whether a side crosses the ray from a point towards +x. A corner belongs to one of its two sides.
pub(crate) fn crosses(a: DVec2, b: DVec2, p: DVec2) -> bool {
    (a.y <= p.y) != (b.y <= p.y) && a.x + (b.x - a.x) * ((p.y - a.y) / (b.y - a.y)) > p.x
}

/// Area of a ring of corners, mm², counter-clockwise positive; taken about its first corner, so that a ring far out loses no
/// digits.
///
/// ```
/// use glam::DVec2;
/// let square = [DVec2::ZERO, DVec2::X, DVec2::ONE, DVec2::Y].map(|corner| 10.0 * corner); // mm
/// assert_eq!(geometry::ring_area(&square), 100.0); // mm²
/// ```
pub fn ring_area(corners: &[DVec2]) -> f64 {
    let Some(origin) = corners.first() else { return 0.0 };
    sides(corners).map(|(a, b)| (a - *origin).perp_dot(b - *origin)).sum::<f64>() / 2.0
}

/// Whether a point lies inside a ring of corners (even-odd rule, either way round). On the ring itself either answer may come.
///
/// ```
/// use glam::DVec2;
/// let square = [DVec2::ZERO, DVec2::X, DVec2::ONE, DVec2::Y].map(|corner| 10.0 * corner); // mm
/// assert!(geometry::ring_contains(&square, DVec2::splat(9.9)));
/// assert!(!geometry::ring_contains(&square, DVec2::splat(10.1)));
/// ```
pub fn ring_contains(corners: &[DVec2], at: DVec2) -> bool {
    sides(corners).filter(|(a, b)| crosses(*a, *b, at)).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::{Area, Contains};
    use proptest::prelude::*;

    fn polygon(corners: &[DVec2]) -> geo::Polygon {
        let ring = geo::LineString::from_iter(corners.iter().map(|p| geo::Coord { x: p.x, y: p.y }));
        geo::Polygon::new(ring, Vec::new())
    }

    proptest! {
        /// A star of corners about a place, which no side of its own crosses.
        #[test]
        fn the_library_says_the_same(
            reach in prop::collection::vec(1.0..100.0f64, 3..30),
            centre in (-1e4..1e4f64, -1e4..1e4f64),
            ask in (-120.0..120.0f64, -120.0..120.0f64),
            back in any::<bool>(),
        ) {
            let (centre, turn) = (DVec2::from(centre), std::f64::consts::TAU / reach.len() as f64);
            let mut corners: Vec<DVec2> =
                reach.iter().enumerate().map(|(i, r)| centre + *r * DVec2::from_angle(turn * i as f64)).collect();
            if back {
                corners.reverse();
            }
            let (theirs, at) = (polygon(&corners), centre + DVec2::from(ask));
            prop_assert!((ring_area(&corners) - theirs.signed_area()).abs() < 1e-7 * theirs.unsigned_area());
            prop_assert_eq!(ring_contains(&corners, at), theirs.contains(&geo::Point::new(at.x, at.y)));
        }
    }
}
