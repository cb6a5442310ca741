//! Places on a person's grid for cups that a fix moves.

use super::Facts;
use crate::{seats::LENGTH_NOISE, words::Words};
use geometry::Lip;
use glam::DVec2;

/// Steps from the exact place that are looked at, each way.
const REACH: i32 = 2;
/// With more gaps than this there are overlaps all over the part, and looking would cost the square of the cups.
pub(super) const MANY_GAPS: usize = 64;

/// The places of the grid about an exact one, the nearest first; none without a grid.
pub(crate) fn around(at: DVec2, step_mm: Option<f64>) -> Vec<DVec2> {
    let Some(step) = step_mm else { return Vec::new() };
    let nearest = (at / step).round();
    // Beyond this a whole number of steps is none any more.
    if !(nearest.is_finite() && nearest.abs().max_element() < 1e9) {
        return Vec::new();
    }
    let each =
        (-REACH..=REACH).flat_map(|x| (-REACH..=REACH).map(move |y| DVec2::new(f64::from(x), f64::from(y))));
    // As a person types it: 3 steps of 6.35 are 19.05.
    let tidy = |place: DVec2| DVec2::new(units::tidied(place.x), units::tidied(place.y));
    let mut places: Vec<DVec2> = each.map(|by| tidy((nearest + by) * step)).collect();
    places.sort_by(|a, b| a.distance(at).total_cmp(&b.distance(at)));
    places
}

/// The place of the grid nearest to an exact one that `does`; the move to it `from` where the cup is does as well as it is printed.
pub(super) fn place(
    step_mm: Option<f64>,
    words: &Words<'_>,
    (from, at): (DVec2, DVec2),
    does: &dyn Fn(DVec2) -> bool,
) -> Option<DVec2> {
    around(at, step_mm).into_iter().find(|place| does(*place) && does(from + printed(words, *place - from)))
}

/// A move as a sentence has it.
fn printed(words: &Words<'_>, by: DVec2) -> DVec2 {
    let nearest = |mm: f64| {
        let ([up, ..], [down, ..]) =
            (words.upwards(mm, units::Quantity::Length), words.downwards(mm, units::Quantity::Length));
        if (up - mm).abs() < (mm - down).abs() { up } else { down }
    };
    DVec2::new(nearest(by.x), nearest(by.y))
}

/// Whether a lip overlaps no other cup's.
pub(super) fn is_clear(facts: &Facts<'_>, index: usize, moved: &Lip) -> bool {
    let reach = moved.shape.size().length();
    facts.gaps.len() > MANY_GAPS
        || facts.cups.iter().enumerate().all(|(other, cup)| {
            other == index
                || cup.lip.at.distance(moved.at) > reach + cup.lip.shape.size().length()
                || geometry::gap(moved, &cup.lip).0 >= -LENGTH_NOISE
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn places_are_whole_steps_and_the_nearest_comes_first(x in -1e4..1e4_f64, y in -1e4..1e4_f64, step in 0.1..50.0_f64) {
            let at = DVec2::new(x, y);
            let places = around(at, Some(step));
            prop_assert_eq!(places.len(), 25);
            for place in &places {
                let whole = *place / step - (*place / step).round();
                prop_assert!(whole.abs().max_element() < 1e-6, "{place} of {step}");
            }
            prop_assert!(places.windows(2).all(|pair| pair[0].distance(at) <= pair[1].distance(at)));
            prop_assert!(places[0].distance(at) <= step * 0.5_f64.sqrt() + 1e-9);
        }
    }

    #[test]
    fn without_a_grid_there_are_none() {
        assert!(around(DVec2::ONE, None).is_empty());
        assert!(around(DVec2::splat(f64::NAN), Some(5.0)).is_empty());
    }
}
