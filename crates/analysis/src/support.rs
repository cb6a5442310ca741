//! Whether a difference is larger than what is assumed, or the printed figures, could make it.

use crate::{
    side::Side,
    slow::{Known, Ratios, ratios},
    stages::Analyst,
};
use document::{MotionId, Project};

/// Figures that differ by less than this share read alike in print, or nearly so.
pub(crate) const PRINTED: f64 = 0.01;
/// Of one layout before and after a change, whose inputs are the same.
const CHANGED: f64 = 0.005;

/// By what figures of a row differ.
#[derive(Debug, Clone, Copy)]
pub enum Judge {
    /// As the factors of a motion do, with what is assumed.
    Factor(MotionId),
    /// As the least factors over required do.
    Least,
    /// They go with the loads: off by as much as the factors.
    Like,
    /// They are what was drawn or entered.
    Exact,
}

/// What supports a difference.
pub struct Support {
    /// Whether they do the same job: not over different parts.
    pub alike: bool,
    /// Whether each holds what is required.
    pub holds: Vec<bool>,
    pairs: Vec<(usize, usize, Ratios)>,
    digits: f64,
}

impl Support {
    /// Of layouts of one project.
    pub fn of(analyst: &mut Analyst, project: &Project, sides: &[Side]) -> Self {
        let part_of = |side: &Side| project.layout(side.report.layout).map(|layout| layout.part);
        let alike = sides.windows(2).all(|pair| part_of(&pair[0]) == part_of(&pair[1]));
        let known: Vec<_> = match alike {
            true => sides.iter().map(|side| analyst.snapshot_named(project, side.report.layout)).collect(),
            false => Vec::new(),
        };
        let mut pairs = Vec::new();
        for (b, second) in known.iter().enumerate() {
            for (a, first) in known.iter().enumerate().take(b) {
                let (Some((first, names_a)), Some((second, names_b))) = (first, second) else { continue };
                let of_a = Known { snapshot: first, names: names_a };
                let of_b = Known { snapshot: second, names: names_b };
                pairs.extend(ratios(&of_a, &of_b).map(|ratios| (a, b, ratios)));
            }
        }
        let holds = sides.iter().map(|side| side.least_ratio().is_some_and(|(ratio, _)| ratio >= 1.0));
        Self { alike, holds: holds.collect(), pairs, digits: PRINTED }
    }

    /// Of one layout before and after a change: every difference in what is entered is meant.
    pub fn of_a_change(sides: usize) -> Self {
        Self { alike: true, holds: vec![true; sides], pairs: Vec::new(), digits: CHANGED }
    }

    /// Whether the figure of `better` is ahead of that of `other` by more than the inputs leave open.
    fn ahead(&self, judge: Judge, (better, more): (usize, f64), (other, less): (usize, f64)) -> bool {
        let digits =
            more > less && (more - less > self.digits * more.abs().max(less.abs()) || more.is_infinite());
        if !digits {
            return false;
        }
        let found = self.pairs.iter().find_map(|(a, b, ratios)| match (*a, *b) {
            pair if pair == (better, other) => Some((true, ratios)),
            pair if pair == (other, better) => Some((false, ratios)),
            _ => None,
        });
        let Some((first, ratios)) = found else { return true };
        let apart = |ratio: &crate::slow::Ratio| match first {
            true => ratio.least > 1.0 + self.digits,
            false => ratio.most < 1.0 / (1.0 + self.digits),
        };
        match judge {
            Judge::Exact => true,
            Judge::Least => apart(&ratios.least),
            Judge::Factor(motion) => {
                ratios.motions.iter().find(|(id, _)| *id == motion).is_none_or(|(_, ratio)| apart(ratio))
            }
            Judge::Like => {
                let margins = ratios.motions.iter().map(|(_, ratio)| ratio.margin());
                more / less > (1.0 + margins.fold(0.0, f64::max)) * (1.0 + self.digits)
            }
        }
    }

    /// The best of some scores, when it is ahead of every other by more than the inputs leave open.
    pub fn best(&self, judge: Judge, scores: &[Option<f64>]) -> Option<usize> {
        let (index, most) = most(scores)?;
        let ahead = |(other, score): (usize, &Option<f64>)| {
            other == index || score.is_none_or(|score| self.ahead(judge, (index, most), (other, score)))
        };
        (self.alike && scores.len() > 1 && scores.iter().enumerate().all(ahead)).then_some(index)
    }

    /// Those that are not behind the best of some scores by more than the inputs leave open, the best among them.
    pub fn first(&self, judge: Judge, scores: &[Option<f64>]) -> Vec<usize> {
        let Some((index, most)) = most(scores) else { return Vec::new() };
        let near = |other: &usize| {
            *other == index
                || scores[*other].is_some_and(|score| !self.ahead(judge, (index, most), (*other, score)))
        };
        (0..scores.len()).filter(near).collect()
    }
}

/// The first of the largest.
fn most(scores: &[Option<f64>]) -> Option<(usize, f64)> {
    let known = scores.iter().enumerate().filter_map(|(index, score)| Some((index, (*score)?)));
    known.filter(|(_, score)| !score.is_nan()).reduce(|held, next| if next.1 > held.1 { next } else { held })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_best_is_ahead_of_every_other() {
        let of = |scores: &[Option<f64>]| Support::of_a_change(scores.len()).best(Judge::Least, scores);
        assert_eq!(of(&[Some(1.0), Some(2.0), Some(1.9)]), Some(1));
        assert_eq!(of(&[Some(2.0), Some(2.009)]), None);
        assert_eq!(of(&[Some(2.0), None]), Some(0));
        assert_eq!(of(&[Some(f64::INFINITY), Some(3.0)]), Some(0));
        assert_eq!(of(&[Some(f64::INFINITY), Some(f64::INFINITY)]), None);
        assert_eq!(of(&[None, None]), None);
        assert_eq!(of(&[Some(1.0)]), None);
        assert_eq!(of(&[Some(-2.0), Some(-1.0)]), Some(1));
        let unlike = Support { alike: false, ..Support::of_a_change(2) };
        assert_eq!(unlike.best(Judge::Least, &[Some(2.0), Some(1.0)]), None);
    }
}
