//! Layouts of one model, or of two together: every pattern that is asked for, so many cups each.

use super::board::{Board, Making};
use super::certainty;
use super::error::CannotPropose;
use super::free::{self, Set, Task};
use super::work::ProposalWatch;
use super::{patterns, rows};
use document::{Cup, HowMany, Layout, Pattern, Question};
use mechanics::choice::{Goal, PartsScorer};

/// Places that cups are searched among before they are moved on the grid.
const AMONG: usize = 110;
/// What may be spent on one search, in lips looked at.
const WORK: f64 = 8e6;
/// Sets that are scored at least and at most in one search; at least so many more than it takes to choose one place after another.
const SETS: (f64, f64) = (200.0, 24_000.0);
/// A pattern that does not meet what must hold with as many cups as it takes anywhere may have so many more.
const MORE_CUPS: usize = 4;

/// A set of places with the pattern it is of.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub pattern: Pattern,
    pub set: Set,
}

/// What is found of one model, or of two together.
pub(super) struct Finding<'a> {
    pub question: &'a Question,
    pub making: &'a Making<'a>,
    pub board: Board,
    pub scorer: PartsScorer,
    pub present: &'a Layout,
    pub locked: Vec<(usize, Cup)>,
    /// Cups at least, by the sum of what they hold.
    pub at_least: usize,
    /// Whether the cups must stand about the centre of gravity of every part.
    pub balanced: bool,
    pub watch: &'a ProposalWatch,
    /// Score from which a set of places will do: 1, or more where what counts in the end is less than what is searched with.
    pub enough: f64,
}

impl<'a> Finding<'a> {
    fn goal(&self) -> Goal {
        Goal { one_lost: self.question.one_lost, zone_lost: self.question.zone_lost, balanced: self.balanced }
    }

    fn sets(&self, count: usize) -> usize {
        let instants: usize = self.scorer.instants().max(1);
        let lost = if self.question.one_lost { count as f64 } else { 1.0 };
        let least = SETS.0 + 0.1 * (count * AMONG) as f64;
        (WORK / (count as f64 * instants as f64 * lost)).clamp(least, SETS.1.max(least)) as usize
    }

    fn task<'t>(&self, count: usize, locked: &'t [usize], enough: f64) -> Task<'t>
    where
        'a: 't,
    {
        let (seed, most) = (u64::from(self.question.seed), self.sets(count));
        Task { making: self.making, goal: self.goal(), count, locked, seed, most, enough }
    }

    /// The patterns that are asked for and that this layout can have.
    fn patterns(&self) -> Vec<Pattern> {
        match self.question.pattern {
            Some(pattern) => vec![pattern],
            None => {
                let framed = !self.present.tool.frame.is_empty();
                Pattern::ALL.into_iter().filter(|pattern| *pattern != Pattern::Frame || framed).collect()
            }
        }
    }

    /// The best set of so many cups in a pattern.
    fn best(
        &mut self,
        pattern: Pattern,
        count: usize,
        enough: f64,
        go_on: &mut dyn FnMut(usize, f64) -> bool,
    ) -> Option<Set> {
        self.best_or_first(pattern, count, enough, false, go_on)
    }

    /// The same, or without any looking round the first set that is known.
    fn best_or_first(
        &mut self,
        pattern: Pattern,
        count: usize,
        enough: f64,
        first: bool,
        go_on: &mut dyn FnMut(usize, f64) -> bool,
    ) -> Option<Set> {
        let locked: Vec<usize> = self.locked.iter().map(|(place, _)| *place).collect();
        let task = self.task(count, &locked, enough);
        let (board, scorer) = (&mut self.board, &mut self.scorer);
        let models: Vec<usize> = (0..self.making.models.len()).collect();
        match pattern {
            Pattern::Free => {
                let some = board.spread(AMONG, |_| true);
                let present = present(self.making, board, scorer, self.present, &locked);
                let starts: Vec<Vec<usize>> = present
                    .into_iter()
                    .filter(|set| set.len() == count && !board.crowded(self.making, set))
                    .collect();
                let mut told = |step: &mechanics::choice::Step<'_>| {
                    go_on(step.scored, step.score) && (!first || step.best.is_empty())
                };
                let (set, found) = free::among(&task, board, scorer, &some, &starts, &mut told);
                let mut set = set?;
                if !found.stopped {
                    free::polished(&task, board, scorer, &mut set, &mut |score| go_on(0, score));
                    set.all &= some.len() == board.lips.len();
                }
                Some(set)
            }
            Pattern::Rows if !locked.is_empty() => None,
            Pattern::Rows => models
                .iter()
                .filter_map(|&model| rows::best(&task, board, scorer, model, &mut |score| go_on(0, score)))
                .reduce(better),
            Pattern::Ring => models
                .iter()
                .filter_map(|&model| {
                    patterns::ring(&task, board, scorer, model, &mut |score| go_on(0, score))
                })
                .reduce(better),
            Pattern::Mirrored => models
                .iter()
                .filter_map(|&model| {
                    let mut told = |step: &mechanics::choice::Step<'_>| go_on(step.scored, step.score);
                    patterns::mirrored(&task, board, scorer, model, &mut told)
                })
                .reduce(better),
            Pattern::Frame => {
                let places = patterns::on_frame(self.making, board, scorer, &self.present.tool, &models);
                let mut told = |step: &mechanics::choice::Step<'_>| go_on(step.scored, step.score);
                free::among(&task, board, scorer, &places, &[], &mut told).0
            }
        }
    }

    /// One set of every pattern that is asked for. Of fewest cups, each with as few as meet what must hold, where that is not many
    /// more than the fewest of all.
    pub(super) fn found(
        &mut self,
        give: &mut dyn FnMut(&mut Self, &[Candidate]),
    ) -> Result<Vec<Candidate>, CannotPropose> {
        let go_on = &mut self.watch.telling();
        let mut candidates: Vec<Candidate> = Vec::new();
        let patterns = self.patterns();
        let (lead, others) = (patterns[0], patterns[1..].to_vec());
        let (least, most) = match self.question.count {
            HowMany::Exactly(count) => (count, count),
            HowMany::Fewest { most } => (self.at_least.max(self.locked.len()).max(1), most),
        };
        let fewest = matches!(self.question.count, HowMany::Fewest { .. });
        // As few as will do, in the pattern that leaves most freedom.
        let mut count = least.min(most.max(1));
        let mut first: Option<Set> = None;
        let mut met = !fewest;
        if fewest {
            for cups in least..=most {
                let found = self.best(lead, cups, self.enough, go_on);
                // Where so many find no room more do not either.
                let Some(set) = found else { break };
                count = cups;
                met = set.score >= self.enough;
                first = Some(set);
                if met || !go_on(0, 0.0) {
                    break;
                }
            }
        }
        let cups = count..=if fewest && met { most.min(count + MORE_CUPS) } else { count };
        // Somebody waits: the first layout that is known is told before a better one is looked for.
        if !fewest && lead == Pattern::Free {
            first = self.best_or_first(lead, count, f64::INFINITY, true, go_on);
        }
        if let Some(set) = &first {
            give(self, &[Candidate { pattern: lead, set: set.clone() }]);
        }
        let early = first.is_some();
        // Every pattern begins from the same places, so that it finds the same beside others and after them.
        let mut aside = self.aside();
        let (watch, of_others) = (self.watch, cups.clone());
        let of_lead = || {
            let found = self.reached(lead, cups, first, go_on);
            candidates.extend(found);
            if !candidates.is_empty() && !early {
                give(self, &candidates);
            }
        };
        let others = move || {
            let mut go_on = watch.telling();
            let mut found = Vec::new();
            for pattern in others {
                if !go_on(0, 0.0) {
                    break;
                }
                found.extend(aside.reached(pattern, of_others.clone(), None, &mut go_on));
            }
            (aside, found)
        };
        let ((), (aside, found)) = watch.both(of_lead, others);
        for of in found {
            let places = of.set.places.iter().map(|&place| self.as_here(&aside.board, place));
            let places = places.collect::<Option<Vec<usize>>>();
            candidates.extend(places.map(|places| Candidate { set: Set { places, ..of.set }, ..of }));
        }
        if candidates.is_empty() {
            return Err(self.no_room(count));
        }
        self.lifted(&mut candidates, go_on);
        Ok(candidates)
    }

    /// The same on its own, for another thread.
    fn aside(&self) -> Self {
        Self { board: self.board.clone(), scorer: self.scorer.clone(), locked: self.locked.clone(), ..*self }
    }

    /// The number here of a place of another board that began as this one.
    fn as_here(&mut self, board: &Board, place: usize) -> Option<usize> {
        if place < self.board.on_grid || self.locked.iter().any(|(held, _)| *held == place) {
            return Some(place);
        }
        let here = self.board.beside(self.making, board.lips[place], board.kind(place));
        self.board.tell(&mut self.scorer);
        here
    }

    /// The best set of a pattern with as few of so many cups as meet what must hold; `first` is one of the fewest that is known.
    fn reached(
        &mut self,
        pattern: Pattern,
        cups: std::ops::RangeInclusive<usize>,
        mut first: Option<Set>,
        go_on: &mut dyn FnMut(usize, f64) -> bool,
    ) -> Option<Candidate> {
        let most = *cups.end();
        for cups in cups {
            let set = self.best(pattern, cups, f64::INFINITY, go_on);
            let Some(set) = better_of(set, first.take()) else { continue };
            if set.score >= self.enough || cups == most {
                return Some(Candidate { pattern, set });
            }
        }
        None
    }

    /// Anywhere on the grid is no worse than rows and columns on it: where the search for the one missed that, it goes on from the other.
    fn lifted(&mut self, candidates: &mut [Candidate], go_on: &mut dyn FnMut(usize, f64) -> bool) {
        let Some(free) = candidates.iter().position(|of| of.pattern == Pattern::Free) else { return };
        let count = candidates[free].set.places.len();
        let on_grid = |of: &&Candidate| {
            of.set.places.len() == count && of.set.places.iter().all(|place| *place < self.board.on_grid)
        };
        let others = candidates.iter().filter(on_grid).map(|of| &of.set);
        let best = others.max_by(|a, b| a.score.total_cmp(&b.score)).cloned();
        let Some(mut best) = best.filter(|best| best.score > candidates[free].set.score) else { return };
        let locked: Vec<usize> = self.locked.iter().map(|(place, _)| *place).collect();
        let task = self.task(count, &locked, f64::INFINITY);
        free::polished(&task, &self.board, &mut self.scorer, &mut best, &mut |score| go_on(0, score));
        candidates[free].set = best;
    }

    fn no_room(&mut self, wanted: usize) -> CannotPropose {
        let models: Vec<usize> = (0..self.making.models.len()).collect();
        let (among, how) = match self.question.pattern {
            Some(Pattern::Frame) => {
                let tool = &self.present.tool;
                let places =
                    patterns::on_frame(self.making, &mut self.board, &mut self.scorer, tool, &models);
                (places, " on the frame")
            }
            Some(Pattern::Rows) => ((0..self.board.on_grid).collect(), " in rows and columns"),
            Some(Pattern::Ring) => ((0..self.board.on_grid).collect(), " in a ring"),
            Some(Pattern::Mirrored) => ((0..self.board.on_grid).collect(), " as mirror images"),
            Some(Pattern::Free) | None => ((0..self.board.on_grid).collect::<Vec<usize>>(), ""),
        };
        let most =
            models.iter().map(|&model| certainty::room_for(self.making, &self.board, model, &among)).max();
        let model = self.making.models.first().map_or_else(String::new, |facts| facts.model.name.clone());
        let (room, how) = (most.unwrap_or(0).min(wanted.saturating_sub(1)), how.to_owned());
        match self.question.count {
            HowMany::Exactly(_) => CannotPropose::NoRoom { model, wanted, most: room, how },
            HowMany::Fewest { .. } => CannotPropose::FewFit { model, needed: wanted, room, how },
        }
    }
}

/// The cups that there are as places, those that land and are of the models.
fn present(
    making: &Making<'_>,
    board: &mut Board,
    scorer: &mut PartsScorer,
    layout: &Layout,
    locked: &[usize],
) -> Option<Vec<usize>> {
    let mut set = locked.to_vec();
    for cup in layout.cups.iter().filter(|cup| !cup.locked) {
        let model = making.models.iter().position(|facts| facts.model.id == cup.model)?;
        let lip = making.lip(model, cup.turn_deg.to_radians(), cup.at);
        set.push(board.beside(making, lip, model)?);
    }
    board.tell(scorer);
    Some(set)
}

fn better(a: Set, b: Set) -> Set {
    if b.score > a.score { b } else { a }
}

fn better_of(a: Option<Set>, b: Option<Set>) -> Option<Set> {
    match (a, b) {
        (Some(a), Some(b)) => Some(better(a, b)),
        (a, b) => a.or(b),
    }
}
