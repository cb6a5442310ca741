//! Cups anywhere on the grid step: searched for among places spread over the part, then moved by steps of the grid.

use super::board::{Board, Making, turns};
use glam::IVec2;
use mechanics::choice::{Found, Goal, PartsScorer, Question, Score as _, Step, search};

/// A place must make the score better by this, relative, to be taken.
const BETTER: f64 = 1e-9;

/// What a search goes by, whatever the pattern.
pub(super) struct Task<'a> {
    pub making: &'a Making<'a>,
    pub goal: Goal,
    pub count: usize,
    /// Places of cups that stay.
    pub locked: &'a [usize],
    pub seed: u64,
    /// Sets that may be scored.
    pub most: usize,
    /// Ends with the first set of this score.
    pub enough: f64,
}

/// A set of places and its score.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Set {
    pub places: Vec<usize>,
    pub score: f64,
    /// Whether every set of the places searched was looked at.
    pub all: bool,
}

/// The best set that is found among some places, from some sets to start with. `scorer` is of all places of the board.
pub(super) fn among(
    task: &Task<'_>,
    board: &Board,
    scorer: &PartsScorer,
    places: &[usize],
    starts: &[Vec<usize>],
    go_on: &mut dyn FnMut(&Step<'_>) -> bool,
) -> (Option<Set>, Found) {
    let mut of: Vec<usize> = places.to_vec();
    of.extend(task.locked.iter().chain(starts.iter().flatten()));
    of.sort_unstable();
    of.dedup();
    let inside = |place: usize| of.binary_search(&place).ok();
    let mut some = scorer.of(&of);
    let question = Question {
        count: task.count,
        units: Vec::new(),
        goal: task.goal,
        locked: task.locked.iter().filter_map(|&place| inside(place)).collect(),
        starts: starts.iter().map(|set| set.iter().filter_map(|&place| inside(place)).collect()).collect(),
        seed: task.seed,
        most: task.most,
        enough: task.enough,
    };
    let conflicts = board.conflicts(task.making, &of);
    let found = search(&mut some, &conflicts, &question, go_on);
    let set = (found.set.len() == task.count).then(|| Set {
        places: found.set.iter().map(|&i| of[i]).collect(),
        score: found.score,
        all: found.all,
    });
    (set, found)
}

/// Moves one cup after another by steps of the grid while the score rises; what is locked stays.
pub(super) fn polished(
    task: &Task<'_>,
    board: &Board,
    scorer: &mut PartsScorer,
    set: &mut Set,
    go_on: &mut dyn FnMut(f64) -> bool,
) {
    let movable: Vec<usize> =
        (0..set.places.len()).filter(|&slot| !task.locked.contains(&set.places[slot])).collect();
    let mut left = task.most / 4;
    for reach in [8, 4, 2, 1] {
        let mut better = true;
        while better {
            better = false;
            for &slot in &movable {
                for step in around(reach) {
                    if set.score >= task.enough || left == 0 || !go_on(set.score) {
                        return;
                    }
                    let out = set.places[slot];
                    let lip = &board.lips[out];
                    let turn = turns(&lip.shape).iter().position(|turn| *turn == lip.turn).unwrap_or(0);
                    let Some(place) = board.on_grid(board.kind(out), turn, board.cell(lip.at) + step) else {
                        continue;
                    };
                    let near = |&other: &usize| {
                        other != out && task.making.too_near(&board.lips[place], &board.lips[other])
                    };
                    if set.places.contains(&place) || set.places.iter().any(near) {
                        continue;
                    }
                    left -= 1;
                    set.places[slot] = place;
                    let score = scorer.above(task.goal, &set.places, set.score);
                    if score > set.score * (1.0 + BETTER) {
                        set.score = score;
                        better = true;
                    } else {
                        set.places[slot] = out;
                    }
                }
            }
        }
    }
}

/// The eight neighbours so many steps away, nearest first.
fn around(reach: i32) -> [IVec2; 8] {
    [(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1)]
        .map(|(x, y)| IVec2::new(x, y) * reach)
}
