//! Rows and columns of even pitch on the grid.

use super::board::{Board, Making};
use super::free::{Set, Task};
use glam::{DVec2, IVec2};
use mechanics::choice::{Goal, PartsScorer, Score as _};

/// Rows and columns with the pitch and the first place, in steps of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Rows {
    first: IVec2,
    pitch: IVec2,
    count: IVec2,
    model: usize,
    turn: usize,
}

impl Rows {
    fn cells(self) -> impl Iterator<Item = IVec2> {
        (0..self.count.y)
            .flat_map(move |y| (0..self.count.x).map(move |x| self.first + self.pitch * IVec2::new(x, y)))
    }

    /// Its places, where all lips land and none are too near each other.
    fn places(self, board: &Board, making: &Making<'_>) -> Option<Vec<usize>> {
        let places: Option<Vec<usize>> =
            self.cells().map(|cell| board.on_grid(self.model, self.turn, cell)).collect();
        places.filter(|places| !board.crowded(making, places))
    }
}

/// Pitches and offsets tried of each count of rows and columns before the best are moved by steps.
const TRIED: i32 = 7;
/// Of those that hold best with every cup, how many are looked at with what else is asked.
const LOOKED_AT: usize = 24;
/// Of those, how many are moved.
const MOVED: usize = 4;

/// The best rows and columns of so many cups of one model.
pub(super) fn best(
    task: &Task<'_>,
    board: &Board,
    scorer: &mut PartsScorer,
    model: usize,
    go_on: &mut dyn FnMut(f64) -> bool,
) -> Option<Set> {
    let count = i32::try_from(task.count).ok()?;
    let [x0, y0, x1, y1] = task.making.bounds();
    let (low, high) = (board.cell(DVec2::new(x0, y0)), board.cell(DVec2::new(x1, y1)));
    let centre = task.making.middle();
    let mut tried: Vec<(f64, Rows)> = Vec::new();
    let intact = Goal { one_lost: false, zone_lost: false, ..task.goal };
    for turn in 0..super::board::turns(&task.making.models[model].model.shape).len() {
        for across in (1..=count).filter(|across| count % across == 0) {
            let shape = IVec2::new(across, count / across);
            let [xs, ys] = [0, 1].map(|axis| {
                let (from, to, middle) = (low[axis], high[axis], board.cell(centre)[axis]);
                lines(from, to, middle, shape[axis])
            });
            let mut floor = -1.0;
            for &(x, dx) in &xs {
                for &(y, dy) in &ys {
                    let rows = Rows {
                        first: IVec2::new(x, y),
                        pitch: IVec2::new(dx, dy),
                        count: shape,
                        model,
                        turn,
                    };
                    let Some(places) = rows.places(board, task.making) else { continue };
                    let score = scorer.at_most(intact, &places, floor * 0.8);
                    floor = f64::max(floor, score);
                    tried.push((score, rows));
                    if !go_on(floor) {
                        return None;
                    }
                }
            }
        }
    }
    // The best first; of equals the first that was tried.
    tried.sort_by(|a, b| b.0.total_cmp(&a.0));
    tried.truncate(LOOKED_AT);
    if intact != task.goal {
        for (score, rows) in &mut tried {
            let places = rows.places(board, task.making)?;
            *score = scorer.at_most(task.goal, &places, -1.0);
            if !go_on(*score) {
                return None;
            }
        }
        tried.sort_by(|a, b| b.0.total_cmp(&a.0));
    }
    let mut best: Option<Set> = None;
    for &(_, rows) in tried.iter().take(MOVED) {
        let Some((score, places)) = moved(task, board, scorer, rows, go_on) else { continue };
        if best.as_ref().is_none_or(|held| score > held.score) {
            best = Some(Set { places, score, all: false });
        }
    }
    best
}

/// First place and pitch of so many lines between two ends.
fn lines(from: i32, to: i32, middle: i32, count: i32) -> Vec<(i32, i32)> {
    let span = to - from;
    if count == 1 {
        return (0..=2 * TRIED).map(|i| (from + span * i / (2 * TRIED), 1)).chain([(middle, 1)]).collect();
    }
    let widest = span / (count - 1);
    let mut of = Vec::new();
    for i in 1..=TRIED {
        let pitch = (widest * i + TRIED - 1) / TRIED;
        let room = span - pitch * (count - 1);
        let centred = middle - pitch * (count - 1) / 2;
        for first in [centred, from + room / 2, from + room / 4, from + room * 3 / 4] {
            let line = (first, pitch);
            if pitch > 0 && !of.contains(&line) {
                of.push(line);
            }
        }
    }
    of
}

/// Moves first place and pitch by steps while the score rises.
fn moved(
    task: &Task<'_>,
    board: &Board,
    scorer: &mut PartsScorer,
    mut rows: Rows,
    go_on: &mut dyn FnMut(f64) -> bool,
) -> Option<(f64, Vec<usize>)> {
    let mut places = rows.places(board, task.making)?;
    // It may have been scored to a floor only.
    let mut score = scorer.above(task.goal, &places, -1.0);
    for reach in [8, 4, 2, 1] {
        let mut better = true;
        while better && score < task.enough {
            better = false;
            for (axis, spread) in [(0, false), (1, false), (0, true), (1, true)] {
                for sign in [reach, -reach] {
                    if !go_on(score) {
                        return Some((score, places));
                    }
                    let mut next = rows;
                    if spread {
                        // The pitch grows about the middle, as far as whole steps allow.
                        next.pitch[axis] += sign;
                        next.first[axis] -= sign * (rows.count[axis] - 1) / 2;
                    } else {
                        next.first[axis] += sign;
                    }
                    if next.pitch[axis] < 1 || (spread && rows.count[axis] == 1) {
                        continue;
                    }
                    let Some(found) = next.places(board, task.making) else { continue };
                    let next_score = scorer.above(task.goal, &found, score);
                    if next_score > score * (1.0 + 1e-9) {
                        (rows, places, score, better) = (next, found, next_score, true);
                    }
                }
            }
        }
    }
    Some((score, places))
}
