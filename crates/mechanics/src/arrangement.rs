//! Whether cups can resist tipping by their places alone.

use glam::{DMat2, DVec2};

/// Cups whose spread across a line is below this share of their spread along it count as in line: over a metre, a
/// millimetre gives no lever worth the name.
pub const IN_LINE: f64 = 1e-3;
/// Cups closer together than this share of their largest coordinate are at one point.
const ROUNDING: f64 = 1e-9;

/// How well a group resists tipping without the lips' own tilt stiffness: one cup, or cups in line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Arrangement {
    /// Not in line: tipping is carried about every axis.
    Spread,
    /// In line: tipping about the line is carried by the lips' tilt stiffness alone.
    InLine {
        /// Centre of the cups, mm.
        through: DVec2,
        /// Unit vector along the line, x positive (or y, when it runs along y).
        direction: DVec2,
    },
    /// One cup, or several at one point: tipping is carried by the lip alone, about every axis.
    Single {
        /// mm.
        at: DVec2,
    },
    /// No cups.
    Empty,
}

/// Arrangement of cup centres.
///
/// # Units
/// mm.
///
/// # Source
/// Principal axes of the points' second moments; in line when the root mean square across is below [`IN_LINE`] of that
/// along.
///
/// # Example
/// ```
/// use glam::DVec2;
/// use mechanics::{Arrangement, arrangement};
/// let row = [0.0, 150.0, 300.0].map(|x| DVec2::new(x, 80.0)); // mm
/// assert!(matches!(arrangement(&row), Arrangement::InLine { direction, .. } if direction == DVec2::X));
/// ```
pub fn arrangement(points: &[DVec2]) -> Arrangement {
    let Some(&origin) = points.first() else { return Arrangement::Empty };
    let centre = origin + points.iter().map(|&p| p - origin).sum::<DVec2>() / points.len() as f64;
    let largest = points.iter().map(|p| p.abs().max_element()).fold(1.0, f64::max);
    if points.iter().all(|p| (*p - origin).abs().max_element() <= ROUNDING * largest) {
        return Arrangement::Single { at: centre };
    }
    let second = |across: DMat2| {
        points.iter().fold((0.0, 0.0, 0.0), |(xx, yy, xy), &p| {
            let r = across * (p - centre);
            (xx + r.x * r.x, yy + r.y * r.y, xy + r.x * r.y)
        })
    };
    let (xx, yy, xy) = second(DMat2::IDENTITY);
    let angle = 0.5 * (2.0 * xy).atan2(xx - yy);
    // Again along the principal axes, where the small moment is not a difference of large ones.
    let (along, across, _) = second(DMat2::from_angle(-angle));
    if across <= IN_LINE * IN_LINE * along {
        let direction = DVec2::from_angle(angle);
        // One of the two ways along the line, always the same.
        let forward = if direction.x.abs() > 1e-9 { direction.x > 0.0 } else { direction.y > 0.0 };
        Arrangement::InLine { through: centre, direction: if forward { direction } else { -direction } }
    } else {
        Arrangement::Spread
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn none_one_and_coincident() {
        assert_eq!(arrangement(&[]), Arrangement::Empty);
        let at = DVec2::new(3.0, 4.0);
        assert_eq!(arrangement(&[at]), Arrangement::Single { at });
        assert_eq!(arrangement(&[at, at, at]), Arrangement::Single { at });
    }

    #[test]
    fn a_stagger_of_half_a_millimetre_in_a_metre_is_a_line_and_ten_are_not() {
        let row = |stagger: f64| {
            [-500.0, -250.0, 0.0, 250.0, 500.0]
                .iter()
                .enumerate()
                .map(|(i, &x)| DVec2::new(x, if i % 2 == 0 { stagger } else { -stagger }))
                .collect::<Vec<_>>()
        };
        assert!(matches!(arrangement(&row(0.25)), Arrangement::InLine { .. }));
        assert_eq!(arrangement(&row(5.0)), Arrangement::Spread);
    }

    #[test]
    fn two_cups_are_always_in_line_and_three_at_corners_never() {
        let (a, b) = (DVec2::new(10.0, 10.0), DVec2::new(10.0, -10.0));
        let expected = Arrangement::InLine { through: DVec2::new(10.0, 0.0), direction: DVec2::Y };
        let Arrangement::InLine { through, direction } = arrangement(&[a, b]) else { panic!("not in line") };
        let Arrangement::InLine { through: t, direction: d } = expected else { unreachable!() };
        assert!((through - t).length() < 1e-12 && (direction - d).length() < 1e-12);
        assert_eq!(arrangement(&[a, b, DVec2::ZERO]), Arrangement::Spread);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn a_line_stays_a_line_wherever_it_is_put(
            angle in -3.2..3.2f64, x in -1e4..1e4f64, y in -1e4..1e4f64,
            places in prop::collection::vec(-500.0..500.0f64, 2..9),
        ) {
            prop_assume!(places.iter().any(|p| (p - places[0]).abs() > 1.0));
            let (along, at) = (DVec2::from_angle(angle), DVec2::new(x, y));
            let points: Vec<_> = places.iter().map(|&p| at + p * along).collect();
            let Arrangement::InLine { through, direction } = arrangement(&points) else {
                return Err(TestCaseError::fail("not in line"));
            };
            prop_assert!(direction.perp_dot(along).abs() < 1e-6);
            prop_assert!((through - at).perp_dot(along).abs() < 1e-6);
        }
    }
}
