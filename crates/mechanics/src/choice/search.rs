//! Looks for the best set of places.

use super::combinations::{Conflicts, combinations};
use super::score::Goal;
use super::several::Score;

/// Sets up to which every one is tried.
const ALL: f64 = 12_000.0;
/// A set must be better by this, relative, to count as better.
const BETTER: f64 = 1e-9;
/// What scoring a set costs that ends below its floor, and one that does not: about what they take.
const COST: (usize, usize) = (1, 10);
/// Good sets that are kept to be joined with new ones.
const KEPT: usize = 4;
/// Sets of the places of two sets up to which every one is tried.
const JOINED: f64 = 2_000.0;

/// What is looked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Cups, the locked ones among them; units, where there are any.
    pub count: usize,
    /// Places that are taken together, as mirror images are; empty where each is taken by itself. Where there are some, `locked`,
    /// `starts`, what is found and the conflicts are of units.
    pub units: Vec<Vec<usize>>,
    /// What they must hold through.
    pub goal: Goal,
    /// Places that are taken whatever comes.
    pub locked: Vec<usize>,
    /// Sets to start from beside those that the search makes: what a person has.
    pub starts: Vec<Vec<usize>>,
    /// Decides the order in which equals are tried: the same seed gives the same answer.
    pub seed: u64,
    /// What the search may cost: sets scored to their end. Ten that end below the best so far cost as much as one.
    pub most: usize,
    /// The search ends with the first set of this score; infinite to go on.
    pub enough: f64,
}

/// How far a search is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step<'a> {
    /// Sets scored so far.
    pub scored: usize,
    /// The best so far.
    pub best: &'a [usize],
    /// Its score.
    pub score: f64,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The best set, sorted; none where no set of so many is allowed.
    pub set: Vec<usize>,
    /// Its score, by [`Scorer::exactly`](super::Scorer::exactly).
    pub score: f64,
    /// Sets scored.
    pub scored: usize,
    /// Whether every allowed set was tried: then none is better.
    pub all: bool,
    /// Whether it was told to stop.
    pub stopped: bool,
}

/// The best set of places that a search finds: all of them where they are few; else greedy from nothing and from what is given,
/// exchanging one place at a time while that makes it better; then again from sets by chance and from the best with some places
/// changed, looking through all sets of the places of two good ones, until what it may cost is spent. `go_on` is told of each set
/// and may end it.
///
/// # Source
/// Good sets combined with each other: scatter search (Glover, *A template for scatter search and path relinking*, LNCS 1363, 1998,
/// from memory).
pub fn search(
    scorer: &mut dyn Score,
    conflicts: &Conflicts,
    question: &Question,
    go_on: &mut dyn FnMut(&Step<'_>) -> bool,
) -> Found {
    let mut at = Walk::new(scorer, conflicts, question, go_on);
    if question.locked.len() > question.count || !is_allowed(conflicts, &question.locked) {
        return at.found(false);
    }
    let places = at.choices() - question.locked.len();
    if sets(places, question.count - question.locked.len()) <= ALL {
        let ended = combinations(conflicts, &question.locked, question.count, &mut |set| {
            at.look_at(set);
            !at.ended()
        });
        return at.found(ended);
    }
    let starts = question.starts.iter().filter(|set| at.may_be(set)).cloned().collect::<Vec<_>>();
    for start in starts {
        at.look_at(&start);
        at.exchanged(start);
    }
    if let Some(greedy) = at.greedy() {
        at.exchanged(greedy);
    }
    if let Some(spread) = at.spread() {
        at.look_at(&spread);
        at.exchanged(spread);
    }
    at.keep_on();
    at.found(false)
}

/// How many sets of `count` of so many.
fn sets(places: usize, count: usize) -> f64 {
    (0..count).map(|i| (places as f64 - i as f64) / (i as f64 + 1.0)).product::<f64>().max(0.0)
}

fn is_allowed(conflicts: &Conflicts, set: &[usize]) -> bool {
    set.iter().enumerate().all(|(i, &place)| !set[..i].contains(&place) && !conflicts.any(place, &set[..i]))
}

struct Walk<'a> {
    expanded: Vec<usize>,
    scorer: &'a mut dyn Score,
    conflicts: &'a Conflicts,
    question: &'a Question,
    go_on: &'a mut dyn FnMut(&Step<'_>) -> bool,
    order: Vec<usize>,
    random: Random,
    best: Vec<usize>,
    score: f64,
    scored: usize,
    spent: usize,
    stopped: bool,
}

impl<'a> Walk<'a> {
    fn new(
        scorer: &'a mut dyn Score,
        conflicts: &'a Conflicts,
        question: &'a Question,
        go_on: &'a mut dyn FnMut(&Step<'_>) -> bool,
    ) -> Self {
        let mut random = Random(question.seed);
        let choices = if question.units.is_empty() { scorer.count() } else { question.units.len() };
        let mut order: Vec<usize> = (0..choices).filter(|place| !question.locked.contains(place)).collect();
        for i in (1..order.len()).rev() {
            order.swap(i, random.below(i + 1));
        }
        Self {
            expanded: Vec::new(),
            scorer,
            conflicts,
            question,
            go_on,
            order,
            random,
            best: Vec::new(),
            score: -1.0,
            scored: 0,
            spent: 0,
            stopped: false,
        }
    }

    fn found(mut self, all: bool) -> Found {
        self.best.sort_unstable();
        Found {
            all: all && !self.stopped && self.score < self.question.enough,
            set: self.best,
            score: self.score.max(0.0),
            scored: self.scored,
            stopped: self.stopped,
        }
    }

    fn ended(&self) -> bool {
        self.stopped
            || self.spent >= self.question.most.saturating_mul(COST.1)
            || self.score >= self.question.enough
    }

    fn may_be(&self, set: &[usize]) -> bool {
        set.len() == self.question.count
            && self.question.locked.iter().all(|place| set.contains(place))
            && set.iter().all(|&place| place < self.choices())
            && is_allowed(self.conflicts, set)
    }

    /// The score of a set where it is above `floor`; the best of all is kept.
    fn score_above(&mut self, set: &[usize], floor: f64) -> f64 {
        let score = self.scored_above(self.question.goal, set, floor, true);
        let whole = set.len() == self.question.count;
        if whole && score > self.score * (1.0 + BETTER) {
            self.score = score;
            self.best = set.to_vec();
        }
        self.tell();
        score
    }

    /// How many may be chosen from.
    fn choices(&self) -> usize {
        if self.question.units.is_empty() { self.scorer.count() } else { self.question.units.len() }
    }

    fn scored_above(&mut self, goal: Goal, set: &[usize], floor: f64, exactly: bool) -> f64 {
        self.scored += 1;
        let units = &self.question.units;
        if !units.is_empty() {
            self.expanded.clear();
            self.expanded.extend(set.iter().flat_map(|&unit| &units[unit]));
        }
        let set = if units.is_empty() { set } else { &self.expanded };
        let score =
            if exactly { self.scorer.above(goal, set, floor) } else { self.scorer.at_most(goal, set, floor) };
        self.spent += if score > floor { COST.1 } else { COST.0 };
        score
    }

    fn at(&self, choice: usize) -> glam::DVec2 {
        let place = self.question.units.get(choice).and_then(|unit| unit.first()).copied().unwrap_or(choice);
        self.scorer.at(place)
    }

    fn tell(&mut self) {
        let step = Step { scored: self.scored, best: &self.best, score: self.score.max(0.0) };
        if !(self.go_on)(&step) {
            self.stopped = true;
        }
    }

    fn look_at(&mut self, set: &[usize]) {
        let floor = self.score;
        self.score_above(set, floor);
    }

    /// One place after another, each the one that leaves the best score of what is there.
    fn greedy(&mut self) -> Option<Vec<usize>> {
        let mut set = self.question.locked.clone();
        let mut goal = Goal::default();
        while set.len() < self.question.count {
            if set.len() + 1 == self.question.count {
                goal = self.question.goal;
            }
            let mut best: Option<(f64, usize)> = None;
            for index in 0..self.order.len() {
                let place = self.order[index];
                if set.contains(&place) || self.conflicts.any(place, &set) {
                    continue;
                }
                set.push(place);
                let floor = best.map_or(-1.0, |(score, _)| score);
                let score = self.scored_above(goal, &set, floor, false);
                set.pop();
                self.tell();
                if best.is_none_or(|(held, _)| score > held * (1.0 + BETTER)) {
                    best = Some((score, place));
                }
                if self.ended() {
                    return None;
                }
            }
            set.push(best?.1);
        }
        self.look_at(&set);
        Some(set)
    }

    /// Places as far from each other as they can be, one after another.
    fn spread(&mut self) -> Option<Vec<usize>> {
        let mut set = self.question.locked.clone();
        while set.len() < self.question.count {
            let free = self
                .order
                .iter()
                .copied()
                .filter(|place| !set.contains(place) && !self.conflicts.any(*place, &set));
            let far = |place: usize| {
                let nearest = set.iter().map(|&other| self.at(place).distance_squared(self.at(other)));
                nearest.fold(f64::INFINITY, f64::min)
            };
            let (_, place) =
                free.map(|place| (far(place), place)).reduce(|a, b| if b.0 > a.0 { b } else { a })?;
            set.push(place);
        }
        Some(set)
    }

    /// Exchanges one place at a time, the first that makes it better, until none does; what came of it with its score.
    fn exchanged(&mut self, mut set: Vec<usize>) -> (f64, Vec<usize>) {
        let mut score = self.scored_above(self.question.goal, &set, -1.0, true);
        let free = self.order.len();
        let mut since = 0;
        let mut pair = self.random.below(free.max(1) * set.len().max(1));
        while since < free * set.len() && !self.ended() {
            let (slot, place) = (pair % set.len(), self.order[(pair / set.len()) % free]);
            pair = (pair + 1) % (free * set.len());
            since += 1;
            let out = set[slot];
            if self.question.locked.contains(&out) || set.contains(&place) {
                continue;
            }
            set[slot] = place;
            let fits =
                set.iter().enumerate().all(|(i, &other)| i == slot || !self.conflicts.between(place, other));
            if !fits {
                set[slot] = out;
                continue;
            }
            let found = self.score_above(&set, score);
            if found > score * (1.0 + BETTER) {
                (score, since) = (found, 0);
            } else {
                set[slot] = out;
            }
        }
        (score, set)
    }

    /// From one set after another, by turns one by chance and the best with two or three places changed, each made better by exchanges
    /// and joined with the best ones so far.
    fn keep_on(&mut self) {
        let movable = self.question.count - self.question.locked.len();
        let mut kept: Vec<(f64, Vec<usize>)> = Vec::new();
        let mut by = [movable, 2, movable, 3].into_iter().cycle();
        while !self.ended() && !self.best.is_empty() {
            let Some(from) = by.next().and_then(|by| self.kicked(by)) else { break };
            self.look_at(&from);
            let new = in_order(self.exchanged(from));
            if kept.iter().any(|(_, set)| *set == new.1) {
                continue;
            }
            for (_, set) in &kept {
                self.joined(set, &new.1);
            }
            kept.push(new);
            let mut best = self.best.clone();
            best.sort_unstable();
            if kept.iter().all(|(_, set)| *set != best) {
                let better = in_order(self.exchanged(best));
                kept.push(better);
            }
            kept.sort_by(|a, b| b.0.total_cmp(&a.0));
            kept.truncate(KEPT);
        }
    }

    /// Looks at every set of the places of two sets, where those are not too many.
    fn joined(&mut self, one: &[usize], other: &[usize]) {
        let mut of: Vec<usize> = one.to_vec();
        of.extend(other.iter().filter(|place| !one.contains(place)));
        of.retain(|place| !self.question.locked.contains(place));
        let wanted = self.question.count - self.question.locked.len();
        if sets(of.len(), wanted) <= JOINED {
            let mut set = self.question.locked.clone();
            self.join(&of, &mut set);
        }
    }

    /// `set` with every choice of as many of `of` as it lacks.
    fn join(&mut self, of: &[usize], set: &mut Vec<usize>) {
        let lacks = self.question.count - set.len();
        if lacks == 0 {
            self.look_at(set);
            return;
        }
        for (index, &place) in of.iter().enumerate() {
            if self.ended() || of.len() - index < lacks {
                return;
            }
            if !self.conflicts.any(place, set) {
                set.push(place);
                self.join(&of[index + 1..], set);
                set.pop();
            }
        }
    }

    /// The best with so many places changed, whatever that costs.
    fn kicked(&mut self, by: usize) -> Option<Vec<usize>> {
        let mut set = self.best.clone();
        let movable: Vec<usize> =
            (0..set.len()).filter(|&slot| !self.question.locked.contains(&set[slot])).collect();
        if movable.is_empty() || self.order.len() <= movable.len() {
            return None;
        }
        // All of them changed are all of them, not some of them twice.
        let all = by >= movable.len();
        for turn in 0..by.min(movable.len()) {
            let slot = if all { movable[turn] } else { movable[self.random.below(movable.len())] };
            let from = self.random.below(self.order.len());
            let next =
                (0..self.order.len()).map(|i| self.order[(from + i) % self.order.len()]).find(|&place| {
                    !set.contains(&place)
                        && set
                            .iter()
                            .enumerate()
                            .all(|(i, &other)| i == slot || !self.conflicts.between(place, other))
                });
            set[slot] = next.unwrap_or(set[slot]);
        }
        Some(set)
    }
}

fn in_order((score, mut set): (f64, Vec<usize>)) -> (f64, Vec<usize>) {
    set.sort_unstable();
    (score, set)
}

/// A sequence without pattern that depends on the seed alone.
///
/// # Source
/// SplitMix64: Steele, Lea & Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014 (from memory).
struct Random(u64);

impl Random {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % most.max(1) as u64) as usize
    }
}
