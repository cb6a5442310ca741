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
    /// Of sides of which one bends: what is assumed moves each by itself.
    alone: Vec<Alone>,
    digits: f64,
}

/// Least and largest factors over required of one layout, with what is assumed.
struct Alone {
    motions: Vec<(MotionId, [f64; 2])>,
}

impl Alone {
    fn of(side: &Side) -> Self {
        let motions = side.report.motions.iter().filter_map(|motion| {
            let factor = side.report.factor_of(motion)?;
            let range = side.range_of(motion).unwrap_or([factor; 2]);
            Some((motion.id, range.map(|end| end / motion.required_factor)))
        });
        Self { motions: motions.collect() }
    }

    fn least(&self) -> [f64; 2] {
        let end = |at: usize| self.motions.iter().map(|(_, range)| range[at]).fold(f64::INFINITY, f64::min);
        [end(0), end(1)]
    }

    fn of_motion(&self, motion: MotionId) -> Option<[f64; 2]> {
        self.motions.iter().find(|(id, _)| *id == motion).map(|(_, range)| *range)
    }

    /// How far a figure that goes with the loads may be off, as a share.
    fn margin(&self) -> f64 {
        let of = |range: &[f64; 2]| if range[0] > 0.0 { range[1] / range[0] - 1.0 } else { f64::INFINITY };
        self.motions
            .iter()
            .filter(|(_, range)| range[1].is_finite())
            .map(|(_, range)| of(range))
            .fold(0.0, f64::max)
    }
}

impl Support {
    /// Of layouts of one project.
    pub fn of(analyst: &mut Analyst, project: &Project, sides: &[Side]) -> Self {
        let part_of = |side: &Side| project.layout(side.report.layout).map(|layout| layout.part);
        let alike = sides.windows(2).all(|pair| part_of(&pair[0]) == part_of(&pair[1]));
        let bends = sides.iter().any(|side| side.report.bends().is_some());
        let alone = if bends { sides.iter().map(Alone::of).collect() } else { Vec::new() };
        let known: Vec<_> = match alike && !bends {
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
        Self { alike, holds: holds.collect(), pairs, alone, digits: PRINTED }
    }

    /// Of one layout before and after a change: every difference in what is entered is meant.
    pub fn of_a_change(sides: usize) -> Self {
        Self { alike: true, holds: vec![true; sides], pairs: Vec::new(), alone: Vec::new(), digits: CHANGED }
    }

    /// Whether the figure of `better` is ahead of that of `other` by more than the inputs leave open.
    fn ahead(&self, judge: Judge, (better, more): (usize, f64), (other, less): (usize, f64)) -> bool {
        let digits =
            more > less && (more - less > self.digits * more.abs().max(less.abs()) || more.is_infinite());
        if !digits {
            return false;
        }
        if let (Some(better), Some(other)) = (self.alone.get(better), self.alone.get(other)) {
            let apart = |[least, _]: [f64; 2], [_, most]: [f64; 2]| least > most * (1.0 + self.digits);
            return match judge {
                Judge::Exact => true,
                Judge::Least => apart(better.least(), other.least()),
                Judge::Factor(motion) => match (better.of_motion(motion), other.of_motion(motion)) {
                    (Some(better), Some(other)) => apart(better, other),
                    _ => true,
                },
                Judge::Like => {
                    more / less > (1.0 + better.margin().max(other.margin())) * (1.0 + self.digits)
                }
            };
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
