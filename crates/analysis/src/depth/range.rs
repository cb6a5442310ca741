//! What the factor may be when assumed inputs are off by their spread.

use super::stopped;
use crate::{
    loads,
    snapshot::{Assumed, Input, Snapshot, SnapshotCup},
};
use mechanics::{CupSpring, LipStrength, LoadCase};
use std::sync::atomic::AtomicBool;

/// So many inputs of which neither end is known to be the worse one are tried at all their ends together; of more,
/// those of a kind are taken together, and each is tried on its own besides.
const TOGETHER: usize = 6;
/// Factors closer than this (relative) are equal.
const EQUAL: f64 = 1e-6;

/// Least and largest factor, and which of the assumed inputs move it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Range {
    pub least: f64,
    pub most: f64,
    /// Beside [`Snapshot::assumed`].
    pub moves: Vec<bool>,
}

/// A choice for every assumed input: its value times this.
type Choice = Vec<f64>;

/// Ranges of several motions; `None` of one that no assumed input moves.
///
/// More friction and a smaller seal minimum never lower a factor, so their worse and better ends are known. The size of
/// the sealing line and the stiffnesses also change who carries how much, so they are tried at all their ends. The factor
/// as entered is among those tried. A value in between could be worse only where two cups change places as the weakest
/// more than once on the way; that is left out.
pub(crate) fn ranges(
    snapshot: &Snapshot,
    cases: &[LoadCase],
    cancel: &AtomicBool,
) -> Option<Vec<Option<Range>>> {
    let assumed = &snapshot.assumed;
    if assumed.is_empty() {
        return Some(cases.iter().map(|_| None).collect());
    }
    let as_entered: Choice = vec![1.0; assumed.len()];
    let middle = factors(snapshot, &as_entered, cases, cancel)?;
    let mut least = middle.clone();
    let mut most = middle.clone();
    let mut widen = |found: &[f64]| {
        for (i, value) in found.iter().enumerate() {
            least[i] = least[i].min(*value);
            most[i] = most[i].max(*value);
        }
    };
    for corner in corners(snapshot) {
        for better in [false, true] {
            let choice: Choice = assumed
                .iter()
                .zip(&corner)
                .map(|(input, at_corner)| end(input, better).unwrap_or(*at_corner))
                .collect();
            widen(&factors(snapshot, &choice, cases, cancel)?);
        }
    }
    let mut moves: Vec<Vec<bool>> = vec![Vec::with_capacity(assumed.len()); cases.len()];
    for (index, input) in assumed.iter().enumerate() {
        let mut moved = vec![false; cases.len()];
        for times in [input.least, input.most] {
            let mut choice = as_entered.clone();
            choice[index] = times;
            let found = factors(snapshot, &choice, cases, cancel)?;
            widen(&found);
            for ((moved, found), middle) in moved.iter_mut().zip(&found).zip(&middle) {
                *moved |= differ(*found, *middle);
            }
        }
        for (moves, moved) in moves.iter_mut().zip(moved) {
            moves.push(moved);
        }
    }
    let one = |index: usize, moves: Vec<bool>| {
        let (least, most) = (least[index], most[index]);
        if !differ(least, most) || !middle[index].is_finite() {
            return None;
        }
        // Together they move it, though none does so alone.
        let moves = if moves.iter().any(|moves| *moves) { moves } else { vec![true; assumed.len()] };
        Some(Range { least, most, moves })
    };
    Some(moves.into_iter().enumerate().map(|(index, moves)| one(index, moves)).collect())
}

fn differ(a: f64, b: f64) -> bool {
    (a - b).abs() > EQUAL * a.abs().min(b.abs()) || a.is_finite() != b.is_finite()
}

/// The end at which an input is worse or better for every motion; `None` where that is not known beforehand.
fn end(assumed: &Assumed, better: bool) -> Option<f64> {
    match assumed.input {
        Input::Friction => Some(if better { assumed.most } else { assumed.least }),
        Input::SealMinimum => Some(if better { assumed.least } else { assumed.most }),
        Input::SealingLine | Input::Axial | Input::Lateral | Input::Tilt => None,
    }
}

/// Ends of the inputs whose worse end is not known, all with all.
fn corners(snapshot: &Snapshot) -> Vec<Choice> {
    let assumed = &snapshot.assumed;
    let all_cups = snapshot.cups.len();
    let open: Vec<usize> = (0..assumed.len())
        .filter(|index| {
            let input = &assumed[*index];
            // One stiffness for all cups alike cancels out of the share.
            let cancels =
                input.cups.len() == all_cups && matches!(input.input, Input::Axial | Input::Lateral);
            end(input, true).is_none() && !cancels
        })
        .collect();
    let groups: Vec<Vec<usize>> = if open.len() <= TOGETHER {
        open.iter().map(|index| vec![*index]).collect()
    } else {
        let kinds = [Input::SealingLine, Input::Axial, Input::Lateral, Input::Tilt];
        let of_kind = |kind: Input| open.iter().copied().filter(|i| assumed[*i].input == kind).collect();
        kinds.into_iter().map(of_kind).filter(|group: &Vec<usize>| !group.is_empty()).collect()
    };
    (0..1_usize << groups.len())
        .map(|bits| {
            let mut choice = vec![1.0; assumed.len()];
            for (bit, group) in groups.iter().enumerate() {
                for index in group {
                    let input = &assumed[*index];
                    choice[*index] = if bits >> bit & 1 == 1 { input.most } else { input.least };
                }
            }
            choice
        })
        .collect()
}

/// Factors of all cases with every assumed input times its choice; 0 where there is none.
fn factors(snapshot: &Snapshot, choice: &[f64], cases: &[LoadCase], cancel: &AtomicBool) -> Option<Vec<f64>> {
    let mut cups: Vec<SnapshotCup> = snapshot.cups.clone();
    for (input, times) in snapshot.assumed.iter().zip(choice).filter(|(_, times)| **times != 1.0) {
        for index in &input.cups {
            cups[*index] = cups[*index].with(input.input, *times);
        }
    }
    let springs: Vec<CupSpring> = cups.iter().map(|cup| cup.spring).collect();
    let strengths: Vec<LipStrength> = cups.iter().map(|cup| cup.strength).collect();
    let group = loads::factored(&springs).ok();
    cases
        .iter()
        .map(|case| {
            if stopped(cancel) {
                return None;
            }
            let factor = group.as_ref().and_then(|group| {
                loads::solve(group, &snapshot.body, &strengths, case).ok().map(|case| case.factor())
            });
            Some(factor.unwrap_or(0.0))
        })
        .collect()
}
