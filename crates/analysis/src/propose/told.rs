//! What is proved, in words.

use super::certainty::Certainty;
use super::proposal::Proposal;
use crate::words::{Words, count_of};

/// Scores this close are one, relative.
const SAME: f64 = 5e-4;

/// "No layout of 6 cups at these 9,640 places has more than 1.42 times what is required; the best here has 1.38, 3 % less."
pub(super) fn why_not_better(
    certainty: &Certainty,
    best: Option<&Proposal>,
    count: usize,
    places: (usize, f64),
    words: &Words<'_>,
) -> String {
    let at = at_places(places, words);
    let score = best.and_then(|best| best.figures.least);
    match certainty {
        Certainty::AtMost(most) => {
            let has = format!(
                "No layout of {} at {at} has more than {} times the required factor",
                count_of(count, "cup"),
                words.factor(*most)
            );
            match score {
                Some(score) if score >= most * (1.0 - SAME) => format!("{has}, and the best here has that."),
                Some(score) => format!(
                    "{has}; the best here has {}, {} % less.",
                    words.factor(score),
                    units::figure((1.0 - score / most) * 100.0, if score > 0.9 * most { 1 } else { 0 })
                ),
                None => format!("{has}."),
            }
        }
        Certainty::Best => {
            format!("Every set of {} at {at} was checked; none is better.", count_of(count, "cup"))
        }
        Certainty::NoLimit => "The motions press the part on: such a layout has no upper limit.".to_owned(),
        Certainty::NotConverged => {
            "The solver found no bound: how much better another layout could be is unknown.".to_owned()
        }
        Certainty::NotAsked => "How much better another layout could be was not calculated.".to_owned(),
    }
}

/// "No 5 cups at these 9,640 places meet what must hold: 0.93 of it at most."
pub(super) fn why_not_fewer(
    fewer: Option<&Certainty>,
    count: usize,
    least_by_sum: usize,
    fewest: bool,
    places: (usize, f64),
    words: &Words<'_>,
) -> String {
    let at = at_places(places, words);
    let one_less = count.saturating_sub(1);
    if one_less == 0 {
        return "There is no layout without a cup.".to_owned();
    }
    if count <= least_by_sum {
        return format!(
            "{} hold too little wherever they are placed: at least {count} are needed.",
            count_of(one_less, "cup")
        );
    }
    match fewer.and_then(Certainty::at_most) {
        Some(most) if most < 1.0 => format!(
            "No {} at {at} meet the requirements: {} of them at most. {count} is the proved minimum.",
            count_of(one_less, "cup"),
            words.factor(most)
        ),
        Some(most) if fewest => format!(
            "None of {} was found that meets the requirements, and at most {} of them is possible: {count} \
            is the fewest found.",
            count_of(one_less, "cup"),
            words.factor(most)
        ),
        Some(most) => format!(
            "{} might be enough: up to {} times the requirements cannot be ruled out.",
            crate::words::capital(&count_of(one_less, "cup")),
            words.factor(most)
        ),
        None => format!("Whether {} are enough is unknown: there is no bound.", count_of(one_less, "cup")),
    }
}

fn at_places((places, step): (usize, f64), words: &Words<'_>) -> String {
    format!("these {} places, {} apart", units::figure(places as f64, 0), words.length(step))
}
