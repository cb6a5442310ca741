//! Cups in a ring, on the frame, and as mirror images.

use super::board::{Board, Making};
use super::free::{Set, Task};
use document::{FramePiece, FrameShape, Tool};
use geometry::Lip;
use glam::DVec2;
use mechanics::choice::{PartsScorer, Question, Score as _, Step, search};
use std::f64::consts::TAU;

/// Places on the frame that are searched among at most.
const MOST_ON_FRAME: usize = 240;
/// Positions round a ring are rounded to this, mm.
const ROUNDED: f64 = 0.1;
/// Turns of a ring that are tried between one cup and the next.
const TURNS: usize = 6;
/// Pairs of places that are searched among.
const PAIRS: usize = 90;

/// The best ring of so many cups of one model.
pub(super) fn ring(
    task: &Task<'_>,
    board: &mut Board,
    scorer: &mut PartsScorer,
    model: usize,
    go_on: &mut dyn FnMut(f64) -> bool,
) -> Option<Set> {
    if task.count < 3 || !task.locked.is_empty() {
        return None;
    }
    let [x0, y0, x1, y1] = task.making.bounds();
    let middle = DVec2::new(x0 + x1, y0 + y1) / 2.0;
    let centroid = task.making.middle();
    let mut centres = vec![middle];
    for other in [centroid, board.at(board.cell(centroid))] {
        if centres.iter().all(|held| held.distance(other) > 1e-6) {
            centres.push(other);
        }
    }
    let most = ((x1 - x0).max(y1 - y0) / 2.0 / board.step_mm) as usize;
    let mut best: Option<Set> = None;
    for centre in centres {
        for steps in 1..=most {
            let radius = steps as f64 * board.step_mm;
            for turn in 0..TURNS {
                let from = TAU / task.count as f64 * turn as f64 / TURNS as f64;
                let at = |i: usize| {
                    let at = centre + radius * DVec2::from_angle(from + TAU * i as f64 / task.count as f64);
                    (at / ROUNDED).round() * ROUNDED
                };
                // The first two tell whether there is room between them, before any place is looked up.
                let lip = |i: usize| task.making.lip(model, 0.0, at(i));
                if task.making.too_near(&lip(0), &lip(1)) {
                    continue;
                }
                let places: Option<Vec<usize>> =
                    (0..task.count).map(|i| placed(board, scorer, task.making, lip(i), model)).collect();
                let Some(places) = places else { continue };
                if board.crowded(task.making, &places) {
                    continue;
                }
                let floor = best.as_ref().map_or(-1.0, |held| held.score);
                let score = scorer.above(task.goal, &places, floor);
                if score > floor * (1.0 + 1e-9) {
                    best = Some(Set { places, score, all: false });
                }
                if !go_on(best.as_ref().map_or(0.0, |held| held.score)) {
                    return best;
                }
            }
        }
    }
    best
}

/// A place beside the grid, known to the scorer as well.
fn placed(
    board: &mut Board,
    scorer: &mut PartsScorer,
    making: &Making<'_>,
    lip: Lip,
    model: usize,
) -> Option<usize> {
    let place = board.beside(making, lip, model)?;
    board.tell(scorer);
    Some(place)
}

/// Every place of the frame where a lip of a model lands.
pub(super) fn on_frame(
    making: &Making<'_>,
    board: &mut Board,
    scorer: &mut PartsScorer,
    tool: &Tool,
    models: &[usize],
) -> Vec<usize> {
    let mut found = Vec::new();
    for piece in &tool.frame {
        for at in places(piece, board.step_mm) {
            for &model in models {
                for &turn in super::board::turns(&making.models[model].model.shape) {
                    let lip = making.lip(model, turn + piece.turn_deg.to_radians(), at);
                    found.extend(placed(board, scorer, making, lip, model));
                }
            }
        }
    }
    found.sort_unstable();
    found.dedup();
    // Of very many evenly some.
    let step = found.len().div_ceil(MOST_ON_FRAME).max(1);
    found.into_iter().step_by(step).collect()
}

/// Places of a piece; along an open slot by steps from its first.
fn places(piece: &FramePiece, step: f64) -> Vec<DVec2> {
    let FrameShape::Rail { length_mm, pitch_mm, first_mm, .. } = piece.shape else { return piece.places() };
    if pitch_mm > 0.0 {
        return piece.places();
    }
    let way = DVec2::from_angle(piece.turn_deg.to_radians());
    let steps = ((length_mm - 2.0 * first_mm) / step).clamp(0.0, 1e4) as usize;
    (0..=steps).map(|i| piece.at + way * (first_mm + step * i as f64)).collect()
}

/// The best set of mirror images about a middle line of the part.
pub(super) fn mirrored(
    task: &Task<'_>,
    board: &mut Board,
    scorer: &mut PartsScorer,
    model: usize,
    go_on: &mut dyn FnMut(&Step<'_>) -> bool,
) -> Option<Set> {
    if !task.locked.is_empty() || task.count < 2 {
        return None;
    }
    let [x0, y0, x1, y1] = task.making.bounds();
    let middle = DVec2::new(x0 + x1, y0 + y1) / 2.0;
    let from = board.spread(2 * PAIRS, |place| board.kind(place) == model);
    let mut best: Option<Set> = None;
    for upright in [true, false] {
        let across = |at: DVec2| if upright { at.x - middle.x } else { at.y - middle.y };
        let image = |at: DVec2| {
            if upright {
                DVec2::new(2.0 * middle.x - at.x, at.y)
            } else {
                DVec2::new(at.x, 2.0 * middle.y - at.y)
            }
        };
        let mut units: Vec<Vec<usize>> = Vec::new();
        for &place in &from {
            let lip = board.lips[place];
            if across(lip.at) <= 0.0 {
                continue;
            }
            let other = Lip { at: image(lip.at), ..lip };
            if task.making.too_near(&lip, &other) {
                continue;
            }
            if let Some(other) = placed(board, scorer, task.making, other, model) {
                units.push(vec![place, other]);
            }
        }
        // An odd one stands on the line, as near to the centre of gravity as it lands.
        let odd =
            (task.count % 2 == 1).then(|| on_line(task, board, scorer, model, upright, middle)).flatten();
        if task.count % 2 == 1 {
            let Some(odd) = odd else { continue };
            units.retain(|unit| !task.making.too_near(&board.lips[unit[0]], &board.lips[odd]));
            units.push(vec![odd]);
        }
        if units.len() < task.count.div_ceil(2) {
            continue;
        }
        let of = |a: usize, b: usize| {
            units[a].iter().any(|&a| {
                units[b].iter().any(|&b| a == b || task.making.too_near(&board.lips[a], &board.lips[b]))
            })
        };
        let conflicts = mechanics::choice::Conflicts::of(units.len(), of);
        let question = Question {
            count: task.count / 2 + task.count % 2,
            locked: if odd.is_some() { vec![units.len() - 1] } else { Vec::new() },
            units: units.clone(),
            goal: task.goal,
            starts: Vec::new(),
            seed: task.seed,
            most: task.most / 2,
            enough: task.enough,
        };
        let found = search(scorer, &conflicts, &question, go_on);
        let places: Vec<usize> = found.set.iter().flat_map(|&unit| units[unit].iter().copied()).collect();
        if places.len() == task.count && best.as_ref().is_none_or(|held| found.score > held.score) {
            let mut set = Set { places, score: found.score, all: false };
            moved_together(task, board, scorer, &mut set, &image);
            best = Some(set);
        }
        if found.stopped {
            break;
        }
    }
    best
}

/// Moves pairs by steps of the grid, each with its image, while the score rises.
fn moved_together(
    task: &Task<'_>,
    board: &mut Board,
    scorer: &mut PartsScorer,
    set: &mut Set,
    image: &dyn Fn(DVec2) -> DVec2,
) {
    for reach in [4.0, 2.0, 1.0] {
        let mut better = true;
        while better && set.score < task.enough {
            better = false;
            for pair in 0..set.places.len() / 2 {
                for way in [DVec2::X, DVec2::NEG_X, DVec2::Y, DVec2::NEG_Y] {
                    let (a, b) = (set.places[2 * pair], set.places[2 * pair + 1]);
                    let lip = board.lips[a];
                    if image(lip.at).distance(board.lips[b].at) > 1e-6 {
                        continue; // the odd one, which stays
                    }
                    let kind = board.kind(a);
                    let moved = Lip { at: lip.at + way * reach * board.step_mm, ..lip };
                    let Some(a) = placed(board, scorer, task.making, moved, kind) else { continue };
                    let other = Lip { at: image(moved.at), ..moved };
                    let Some(b) = placed(board, scorer, task.making, other, kind) else { continue };
                    let mut next = set.places.clone();
                    (next[2 * pair], next[2 * pair + 1]) = (a, b);
                    if board.crowded(task.making, &next) {
                        continue;
                    }
                    let score = scorer.above(task.goal, &next, set.score);
                    if score > set.score * (1.0 + 1e-9) {
                        (set.places, set.score, better) = (next, score, true);
                    }
                }
            }
        }
    }
}

fn on_line(
    task: &Task<'_>,
    board: &mut Board,
    scorer: &mut PartsScorer,
    model: usize,
    upright: bool,
    middle: DVec2,
) -> Option<usize> {
    let [x0, y0, x1, y1] = task.making.bounds();
    let centre = task.making.middle();
    let (from, to, near) = if upright { (y0, y1, centre.y) } else { (x0, x1, centre.x) };
    let steps = ((to - from) / board.step_mm) as usize;
    let mut along: Vec<f64> =
        (0..=steps).map(|i| ((from / board.step_mm).ceil() + i as f64) * board.step_mm).collect();
    along.sort_by(|a, b| (a - near).abs().total_cmp(&(b - near).abs()));
    along.into_iter().find_map(|v| {
        let at = if upright { DVec2::new(middle.x, v) } else { DVec2::new(v, middle.y) };
        placed(board, scorer, task.making, task.making.lip(model, 0.0, at), model)
    })
}
