//! The score on a tool with several parts against the scores of each.

use super::super::*;
use super::{duties, part, place, spots};
use glam::DVec2;
use proptest::prelude::*;

const ONE_LOST: Goal = Goal { one_lost: true, zone_lost: false, balanced: false };

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn it_is_the_least_of_those_of_the_parts_with_the_cups_that_lie_on_them(
        spots in spots(),
        on in prop::collection::vec(any::<bool>(), 12),
        shift in [-150.0..150.0f64, -100.0..100.0f64],
        lost in any::<bool>(),
        floor in 0.0..3.0f64,
    ) {
        let goal = if lost { ONE_LOST } else { Goal::default() };
        let (first, second) = (duties(), duties()[..1].to_vec());
        let bodies = [part(DVec2::ZERO), part(shift.into())];
        let carried =
            [Carried { body: bodies[0], duties: &first }, Carried { body: bodies[1], duties: &second }];
        let mut both = PartsScorer::new(&carried);
        let places: Vec<Place> = spots.iter().enumerate().map(|(i, at)| place(*at, i % 3 == 2)).collect();
        for (i, place) in places.iter().enumerate() {
            both.push(&[(*place, on[2 * i]), (*place, on[2 * i + 1])]);
        }
        let all: Vec<usize> = (0..places.len()).collect();
        let own = |part: usize| all.iter().copied().filter(|i| on[2 * i + part]).collect::<Vec<_>>();
        let each = [0, 1].map(|i| {
            Scorer::new(&bodies[i], carried[i].duties, &places).above(goal, &own(i), -1.0)
        });
        let least = each[0].min(each[1]);
        let exact = both.above(goal, &all, -1.0);
        // What does not hold a part is next to nothing, and more where it holds the other.
        let held = each[0].max(each[1]) > 0.0;
        let right = if least > 0.0 { exact == least } else { (exact > 0.0) == held && exact <= 1e-9 };
        prop_assert!(right, "{exact} {least}");
        let least = exact;
        // Above a floor it is exact, below it no less than it is and no more than the floor.
        let above = both.above(goal, &all, floor);
        let right = if least > floor { above == least } else { above >= least - 1e-9 && above <= floor };
        prop_assert!(right, "{above} {least} {floor}");
        // Some of the places, in another order of parts seen.
        let some = [0, 2, 3];
        let of = both.of(&some).above(goal, &[0, 1, 2], -1.0);
        prop_assert_eq!(of, both.above(goal, &some, -1.0));
    }

    #[test]
    fn one_part_that_every_cup_lies_on_is_scored_as_alone(spots in spots()) {
        let duties = duties();
        let body = part(DVec2::new(20.0, -10.0));
        let places: Vec<Place> = spots.iter().map(|at| place(*at, false)).collect();
        let mut one = PartsScorer::new(&[Carried { body, duties: &duties }]);
        places.iter().for_each(|place| one.push(&[(*place, true)]));
        let all: Vec<usize> = (0..places.len()).collect();
        let alone = Scorer::new(&body, &duties, &places).above(ONE_LOST, &all, -1.0);
        prop_assert_eq!(one.above(ONE_LOST, &all, -1.0), alone);
    }
}
