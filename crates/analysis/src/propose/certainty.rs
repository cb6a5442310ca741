//! What no layout of the places looked at can be better than.

use super::board::{Board, Making, turns};
use crate::seats::LENGTH_NOISE;
use geometry::LipShape;
use glam::{DVec2, DVec3};
use mechanics::choice::{
    Bound, BoundTask, Certificate, Conflicts, Instance, Onset, PartsScorer, Scorer, Stop, bound_unless,
    certify,
};

/// Places that are solved for; all are counted when the bound is checked.
const SOLVED_FOR: usize = 90;
/// Times that places which are worth more join those that are solved for.
const ROUNDS: usize = 3;
/// What a check against all places may be above what was solved for before more places join, relative.
const CLOSE: f64 = 5e-3;

/// What is proved of every layout of so many cups at the places looked at.
#[derive(Debug, Clone, PartialEq)]
pub enum Certainty {
    /// No layout has a higher score: checked by evaluating the multipliers of the cone programme.
    AtMost(f64),
    /// Every set of the places was scored and none is better.
    Best,
    /// The loads press the part on: there is no end to the score.
    NoLimit,
    /// The solver did not get there: nothing is known.
    NotConverged,
    /// It was not asked for, or stopped.
    NotAsked,
}

impl Certainty {
    /// The bound as a number, where there is one.
    pub fn at_most(&self) -> Option<f64> {
        match self {
            Self::AtMost(value) => Some(*value),
            Self::Best | Self::NoLimit | Self::NotConverged | Self::NotAsked => None,
        }
    }
}

/// What is asked.
pub(super) struct Asked<'a> {
    pub making: &'a Making<'a>,
    pub board: &'a Board,
    pub scorer: &'a PartsScorer,
    /// Whether it is of what is left with a cup lost.
    pub left: bool,
    pub locked: &'a [usize],
    /// Found sets: they must be carried too, where they are worst.
    pub sets: &'a [&'a [usize]],
    pub count: usize,
}

/// The bound over all places of the board for so many cups: a set has no more on the tool than on the part that it holds worst,
/// and on no part more than that many cups anywhere on it.
pub(super) fn bound_of(asked: &Asked<'_>, stop: &Stop) -> Certainty {
    let parts = 0..asked.scorer.parts().len();
    parts.map(|part| on_part(asked, part, stop)).reduce(lower).unwrap_or(Certainty::NotAsked)
}

/// The lower of two bounds, of which each holds.
pub(super) fn lower(a: Certainty, b: Certainty) -> Certainty {
    match (&a, &b) {
        (Certainty::AtMost(held), Certainty::AtMost(other)) if other < held => b,
        (Certainty::AtMost(_), _) => a,
        (_, Certainty::AtMost(_)) | (Certainty::NoLimit, _) => b,
        _ => a,
    }
}

/// The bound on one part.
///
/// Solved for some places spread over the part and checked against all; those that are worth more join.
fn on_part(asked: &Asked<'_>, part: usize, stop: &Stop) -> Certainty {
    let Asked { making, board, count, .. } = asked;
    let is_on = |place: &usize| asked.scorer.is_on(*place, part);
    let all: Vec<usize> = (0..board.lips.len()).filter(is_on).collect();
    let locked: Vec<usize> = asked.locked.iter().copied().filter(is_on).collect();
    let left = asked.left.then(|| asked.scorer.parts()[part].of_what_is_left());
    let scorer = left.as_ref().unwrap_or(&asked.scorer.parts()[part]);
    let mut instances = scorer.usual_instances(*count);
    for set in asked.sets {
        instances.extend(scorer.worst_instances(&asked.scorer.on_part(set, part), *count));
    }
    distinct(&mut instances);
    // Places of `all` by their number there.
    let within = |of: &[usize]| of.iter().filter_map(|place| all.binary_search(place).ok()).collect();
    let whole = BoundTask {
        lips: all.iter().map(|&place| onset(scorer, place)).collect(),
        kinds: all.iter().map(|&place| board.kind(place)).collect(),
        instances: instances.clone(),
        counts: vec![(None, *count)],
        cliques: Vec::new(),
        cells: Vec::new(),
        locked: within(&locked),
    };
    let mut some = board.spread(SOLVED_FOR, |place| is_on(&place));
    some.extend(locked.iter());
    some.sort_unstable();
    some.dedup();
    let mut best: Option<Certificate> = None;
    for _ in 0..ROUNDS {
        let conflicts: Conflicts = board.conflicts(making, &some);
        let task = BoundTask {
            lips: some.iter().map(|&place| onset(scorer, place)).collect(),
            kinds: some.iter().map(|&place| board.kind(place)).collect(),
            instances: instances.clone(),
            counts: vec![(None, *count)],
            cliques: conflicts.cliques(),
            cells: Vec::new(),
            locked: locked.iter().filter_map(|place| some.binary_search(place).ok()).collect(),
        };
        let solved = match bound_unless(&task, stop) {
            Bound::Proved(certificate) => certificate,
            // Of all places, more press the part on than of some.
            Bound::Unlimited if best.is_none() => return Certainty::NoLimit,
            Bound::Unlimited | Bound::NotConverged => break,
        };
        let checked = cells(making, board, &all)
            .into_iter()
            .filter_map(|cells| certify(&BoundTask { cells, ..whole.clone() }, &solved.velocities, &[]));
        let Some(checked) = checked.reduce(|a, b| if b.value < a.value { b } else { a }) else { break };
        let close = checked.value <= solved.value * (1.0 + CLOSE);
        let worth = checked.worth.clone();
        if best.as_ref().is_none_or(|held| checked.value < held.value) {
            best = Some(checked);
        }
        if close || some.len() == all.len() {
            break;
        }
        some = joined(making, board, some, &all, &worth, *count);
    }
    match best {
        Some(certificate) => Certainty::AtMost(certificate.value),
        None if stop.is_asked() => Certainty::NotAsked,
        None => Certainty::NotConverged,
    }
}

/// With the places that are worth most and that may stand beside each other.
fn joined(
    making: &Making<'_>,
    board: &Board,
    mut some: Vec<usize>,
    all: &[usize],
    worth: &[f64],
    count: usize,
) -> Vec<usize> {
    let mut order: Vec<usize> = (0..worth.len()).collect();
    order.sort_by(|a, b| worth[*b].total_cmp(&worth[*a]).then(a.cmp(b)));
    let mut more: Vec<usize> = Vec::new();
    for place in order.into_iter().map(|index| all[index]) {
        if more.len() >= 2 * count.max(8) {
            break;
        }
        let lip = &board.lips[place];
        if more.iter().all(|&other| !making.too_near(lip, &board.lips[other])) {
            more.push(place);
        }
    }
    some.extend(more);
    some.sort_unstable();
    some.dedup();
    some
}

fn onset(scorer: &Scorer, place: usize) -> Onset {
    let place = &scorer.places()[place];
    Onset::of(place.spring.at, &place.strength)
}

/// The plan cut into parts into which two cups never fit, in four ways.
///
/// Of any two lips of the models the smaller ones come nearest: two discs as wide as the narrowest lip, with the spacing between
/// them, and no square that is as long across its diagonal holds both centres.
fn cells(making: &Making<'_>, board: &Board, all: &[usize]) -> Vec<Vec<u32>> {
    let narrow = |shape: &LipShape| shape.size().min_element();
    let least = making.models.iter().map(|facts| narrow(&facts.model.shape)).fold(f64::INFINITY, f64::min);
    // Just less, so that two that stand exactly so far apart never share a part.
    let side = (least + making.spacing_mm - 2.0 * LENGTH_NOISE) / std::f64::consts::SQRT_2;
    if !(side.is_finite() && side > 0.0) {
        return vec![Vec::new()];
    }
    let [x0, y0, ..] = making.bounds();
    [(0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)]
        .map(|(x, y)| {
            let from = DVec2::new(x0, y0) - DVec2::new(x, y) * side - side;
            let mut known = std::collections::HashMap::new();
            let each = all.iter().map(|&place| {
                let cell = ((board.lips[place].at - from) / side).floor().as_ivec2();
                let next = known.len() as u32;
                *known.entry(cell).or_insert(next)
            });
            each.collect()
        })
        .into()
}

/// How many lips of a model find room at most side by side, counted by taking one place after another from a corner.
pub(super) fn room_for(making: &Making<'_>, board: &Board, model: usize, among: &[usize]) -> usize {
    let mut taken: Vec<usize> = Vec::new();
    let first = turns(&making.models[model].model.shape).first().copied().unwrap_or(0.0);
    for &place in among {
        let lip = &board.lips[place];
        if board.kind(place) == model
            && (lip.turn - first).abs() < 1e-9
            && taken.iter().all(|&other| !making.too_near(lip, &board.lips[other]))
        {
            taken.push(place);
        }
    }
    taken.len()
}

/// Loads that stand twice are asked for once.
fn distinct(instances: &mut Vec<Instance>) {
    let mut kept: Vec<Instance> = Vec::new();
    let near = |a: DVec3, b: DVec3| a.distance(b) <= 1e-9 * (1.0 + a.length());
    for of in instances.drain(..) {
        let same = kept.iter().any(|held| {
            near(held.scaled.force, of.scaled.force)
                && near(held.scaled.moment, of.scaled.moment)
                && near(held.fixed.force, of.fixed.force)
                && near(held.fixed.moment, of.fixed.moment)
        });
        if !same {
            kept.push(of);
        }
    }
    *instances = kept;
}
