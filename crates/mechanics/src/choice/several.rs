//! One set of places for several parts, carried one after another by the same tool.

use super::score::{Goal, Scorer};
use super::{Duty, Place, Stop};
use crate::motion::Body;
use glam::DVec2;

/// What a search goes by: how good a set of places is.
pub trait Score {
    /// Places that there are.
    fn count(&self) -> usize;

    /// Where one is, mm.
    fn at(&self, place: usize) -> DVec2;

    /// As [`Scorer::at_most`].
    fn at_most(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64;

    /// As [`Scorer::above`].
    fn above(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64;
}

impl Score for Scorer {
    fn count(&self) -> usize {
        self.places().len()
    }

    fn at(&self, place: usize) -> DVec2 {
        self.places()[place].spring.at
    }

    fn at_most(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64 {
        Self::at_most(self, goal, set, floor)
    }

    fn above(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64 {
        Self::above(self, goal, set, floor)
    }
}

/// A part with its motions, on a tool that carries several.
#[derive(Debug, Clone, Copy)]
pub struct Carried<'a> {
    /// The part where it lies on the tool.
    pub body: Body,
    /// What it must hold through.
    pub duties: &'a [Duty],
}

/// A set that does not hold every part scores up to this, by how many it holds, so that a search finds its way to those that do.
const NOTHING: f64 = 1e-9;

/// Scores sets of places on a tool that carries several parts: the least score that any part has with the cups of the set that lie
/// on it; the others are shut for it. Where a part is not held at all it is next to nothing. Of one part, with every place on
/// it, it is that of a [`Scorer`].
#[derive(Debug, Clone)]
pub struct PartsScorer {
    parts: Vec<Scorer>,
    /// By place, then part: whether a cup there lies on the part.
    on: Vec<bool>,
    /// Whether every place lies on every part.
    all_on: bool,
    /// Parts in the order in which they are looked at: one that ended a set before comes first.
    order: Vec<usize>,
    own: Vec<usize>,
}

impl PartsScorer {
    /// Of parts, none of which has a place yet.
    pub fn new(parts: &[Carried<'_>]) -> Self {
        Self {
            parts: parts.iter().map(|part| Scorer::new(&part.body, part.duties, &[])).collect(),
            on: Vec::new(),
            all_on: true,
            order: (0..parts.len()).collect(),
            own: Vec::new(),
        }
    }

    /// As [`Scorer::unless`].
    pub fn unless(mut self, stop: &Stop) -> Self {
        self.parts = self.parts.into_iter().map(|part| part.unless(stop)).collect();
        self
    }

    /// One more place: the cup as it would be on each part, and whether it lies on it.
    pub fn push(&mut self, of_parts: &[(Place, bool)]) {
        for (scorer, (place, on)) in self.parts.iter_mut().zip(of_parts) {
            scorer.push(*place);
            self.on.push(*on);
            self.all_on &= on;
        }
    }

    /// The same of some of its places, in their order.
    pub fn of(&self, some: &[usize]) -> Self {
        let parts = self.parts.len();
        let on: Vec<bool> =
            some.iter().flat_map(|place| &self.on[place * parts..(place + 1) * parts]).copied().collect();
        Self {
            parts: self.parts.iter().map(|part| part.of(some)).collect(),
            all_on: on.iter().all(|on| *on),
            on,
            order: self.order.clone(),
            own: Vec::new(),
        }
    }

    /// The scorer of each part, all with the same places.
    pub fn parts(&self) -> &[Scorer] {
        &self.parts
    }

    /// Whether a cup at a place lies on a part.
    pub fn is_on(&self, place: usize, part: usize) -> bool {
        self.on[place * self.parts.len() + part]
    }

    /// The places of a set that lie on a part.
    pub fn on_part(&self, set: &[usize], part: usize) -> Vec<usize> {
        set.iter().copied().filter(|place| self.is_on(*place, part)).collect()
    }

    /// Whether some motion of a part is looked at in some of its directions only.
    pub fn is_swept(&self) -> bool {
        self.parts.iter().any(Scorer::is_swept)
    }

    /// Instants at which every set is looked at, of all parts.
    pub fn instants(&self) -> usize {
        self.parts.iter().map(Scorer::instants).sum()
    }

    fn least(&mut self, set: &[usize], floor: f64, of: impl Fn(&mut Scorer, &[usize], f64) -> f64) -> f64 {
        if let [only] = self.parts.as_mut_slice()
            && self.all_on
        {
            return of(only, set, floor);
        }
        let (mut score, mut held) = (f64::INFINITY, 0.0);
        for place in 0..self.order.len() {
            let part = self.order[place];
            let mut own = std::mem::take(&mut self.own);
            own.clear();
            own.extend(set.iter().copied().filter(|cup| self.is_on(*cup, part)));
            let of_part = of(&mut self.parts[part], &own, floor);
            self.own = own;
            held += of_part.min(1.0);
            score = score.min(of_part);
            if score <= floor && floor > NOTHING {
                self.order[..=place].rotate_right(1);
                return score;
            }
        }
        if score > 0.0 { score } else { NOTHING * held / self.parts.len() as f64 }
    }
}

impl Score for PartsScorer {
    fn count(&self) -> usize {
        self.parts.first().map_or(0, |part| part.places().len())
    }

    fn at(&self, place: usize) -> DVec2 {
        self.parts.first().map_or(DVec2::ZERO, |part| part.places()[place].spring.at)
    }

    fn at_most(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64 {
        self.least(set, floor, |part, set, floor| part.at_most(goal, set, floor))
    }

    fn above(&mut self, goal: Goal, set: &[usize], floor: f64) -> f64 {
        self.least(set, floor, |part, set, floor| part.above(goal, set, floor))
    }
}
