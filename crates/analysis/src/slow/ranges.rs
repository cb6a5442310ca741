//! What the factor may be when assumed inputs are off by their spread.

use super::{
    figure::{Figure, On, Slow},
    losses::same_cups,
};
use crate::{
    assumed::{Assumed, Input},
    circuit::SnapshotCircuit,
    loads,
    snapshot::{Snapshot, SnapshotCup},
};
use document::MotionId;
use mechanics::{CupSpring, LipStrength, LoadCase};
use std::{
    collections::HashMap,
    sync::atomic::{AtomicBool, Ordering},
};

/// So many inputs of which neither end is known to be the worse one are tried at all their ends together; of more,
/// those of a kind are taken together, and each is tried on its own besides.
pub(super) const TOGETHER: usize = 6;
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

/// Ranges of every motion; `None` of one that no assumed input moves.
pub(super) struct Ranges(Vec<(MotionId, LoadCase, Option<Range>)>);

impl Figure for Ranges {
    const SLOW: Slow = Slow::Ranges;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        same_cups(a, b) && a.assumed == b.assumed && a.cases == b.cases
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let snapshot = on.snapshot.as_ref();
        let earlier = on
            .shelf
            .latest::<Self>()
            .filter(|(held, _)| same_cups(&held.of, snapshot) && held.of.assumed == snapshot.assumed);
        let held = |id: MotionId, case: &LoadCase| {
            let (_, Self(old)) = earlier?;
            old.iter().find(|(motion, of, _)| *motion == id && of == case).map(|(_, _, range)| range.clone())
        };
        let fresh = snapshot.cases.iter().filter(|(id, case)| held(*id, case).is_none());
        let fresh: Vec<LoadCase> = fresh.map(|(_, case)| *case).collect();
        let mut found = ranges(snapshot, &fresh, on.cancel(), &|done, of| on.tell(done, of))?.into_iter();
        let each = snapshot
            .cases
            .iter()
            .map(|(id, case)| (*id, *case, held(*id, case).unwrap_or_else(|| found.next().flatten())));
        Some(Self(each.collect()))
    }
}

impl Ranges {
    pub(super) fn of_motion(&self, motion: MotionId) -> Option<&Range> {
        self.0.iter().find(|(id, _, _)| *id == motion)?.2.as_ref()
    }
}

/// A choice for every assumed input: its value times this.
type Choice = Vec<f64>;

/// Ranges of several motions; `None` of one that no assumed input moves.
///
/// More friction and a smaller seal minimum never lower a factor, so their worse and better ends are known. So are those of
/// what decides the level: the circuit is solved anew, and a wider gap under the lips or a part that leaks more leaves no cup
/// a deeper level, a stronger source none a lower one (the network is an M-function: Rheinboldt, J. Math. Anal. Appl. 32,
/// 1970, from memory), and no deeper level lowers a factor. An ejector may draw less from more feed: all feeds of its table
/// within the range are tried, and the worst cup's level says which is the worse end. The size of the sealing line and the
/// stiffnesses also change who carries how much, so they are tried at all their ends. The factor as entered is among those
/// tried. A value in between could be worse only where two cups change places as the weakest more than once on the way; that
/// is left out.
fn ranges(
    snapshot: &Snapshot,
    cases: &[LoadCase],
    cancel: &AtomicBool,
    tell: &dyn Fn(usize, usize),
) -> Option<Vec<Option<Range>>> {
    let assumed = &snapshot.assumed;
    if assumed.is_empty() {
        return Some(cases.iter().map(|_| None).collect());
    }
    let mut work = Work::new(snapshot, cases, cancel);
    let as_entered: Choice = vec![1.0; assumed.len()];
    let ends: Vec<Option<(f64, f64)>> = (0..assumed.len()).map(|index| work.ends(index)).collect();
    let middle = work.factors(&as_entered)?;
    let mut least = middle.clone();
    let mut most = middle.clone();
    let mut widen = |found: &[f64]| {
        for (i, value) in found.iter().enumerate() {
            least[i] = least[i].min(*value);
            most[i] = most[i].max(*value);
        }
    };
    for corner in corners(snapshot, &ends) {
        for better in [false, true] {
            let end = |(worse, best): (f64, f64)| if better { best } else { worse };
            let choice: Choice =
                ends.iter().zip(&corner).map(|(ends, at_corner)| ends.map_or(*at_corner, end)).collect();
            widen(&work.factors(&choice)?);
        }
    }
    let mut moves: Vec<Vec<bool>> = vec![Vec::with_capacity(assumed.len()); cases.len()];
    for (index, input) in assumed.iter().enumerate() {
        tell(index, assumed.len());
        let mut moved = vec![false; cases.len()];
        let (low, high) = ends[index].unwrap_or((input.least, input.most));
        for times in [low, high] {
            let mut choice = as_entered.clone();
            choice[index] = times;
            let found = work.factors(&choice)?;
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

/// Ends of the inputs whose worse end is not known, all with all.
fn corners(snapshot: &Snapshot, ends: &[Option<(f64, f64)>]) -> Vec<Choice> {
    let assumed = &snapshot.assumed;
    let all_cups = snapshot.cups.len();
    let open: Vec<usize> = (0..assumed.len())
        .filter(|index| {
            let input = &assumed[*index];
            // One stiffness for all cups alike cancels out of the share.
            let cancels =
                input.cups.len() == all_cups && matches!(input.input, Input::Axial | Input::Lateral);
            ends[*index].is_none() && !cancels
        })
        .collect();
    let groups: Vec<Vec<usize>> = if open.len() <= TOGETHER {
        open.iter().map(|index| vec![*index]).collect()
    } else {
        let kinds = [Input::SealingLine, Input::Axial, Input::Lateral, Input::Tilt, Input::SideLever];
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

/// What is tried, and the levels that were solved for it.
pub(super) struct Work<'a> {
    snapshot: &'a Snapshot,
    cases: &'a [LoadCase],
    cancel: &'a AtomicBool,
    /// By circuit and what each input that moves its levels is times.
    held: HashMap<(usize, Vec<u64>), Option<Vec<f64>>>,
}

impl<'a> Work<'a> {
    pub(super) fn new(snapshot: &'a Snapshot, cases: &'a [LoadCase], cancel: &'a AtomicBool) -> Self {
        Self { snapshot, cases, cancel, held: HashMap::new() }
    }

    /// What an input is times at its worse and at its better end for every motion; `None` where that is not known beforehand.
    pub(super) fn ends(&mut self, index: usize) -> Option<(f64, f64)> {
        let input = &self.snapshot.assumed[index];
        let (least, most) = (input.least, input.most);
        match input.input {
            Input::Friction | Input::Level | Input::SourceCurve | Input::LipWidth => Some((least, most)),
            Input::SealMinimum | Input::LipGap | Input::Permeance => Some((most, least)),
            Input::Feed => Some(self.feeds(index)),
            Input::SealingLine | Input::Axial | Input::Lateral | Input::Tilt | Input::SideLever => None,
            // A rigid part knows neither.
            Input::Modulus | Input::Poisson => Some((1.0, 1.0)),
        }
    }

    /// The feeds at which the worst cup has the least and the most level, over the feed as entered.
    fn feeds(&mut self, index: usize) -> (f64, f64) {
        let snapshot = self.snapshot;
        let input = &snapshot.assumed[index];
        let fed: Vec<usize> =
            (0..snapshot.circuits.len()).filter(|at| snapshot.circuits[*at].is_of(input)).collect();
        let mut tried = vec![1.0, input.least, input.most];
        for circuit in fed.iter().map(|at| &snapshot.circuits[*at].input) {
            let now = circuit.supply.0.feed_kpa.value;
            let inside = circuit.model.0.feed.iter().map(|point| point.feed_kpa / now);
            tried.extend(inside.filter(|times| (input.least..input.most).contains(times)));
        }
        let mut worst_at = |times: f64| {
            let mut choice: Choice = vec![1.0; snapshot.assumed.len()];
            choice[index] = times;
            fed.iter()
                .flat_map(|at| self.levels(*at, &choice, &snapshot.cups).unwrap_or_default())
                .reduce(f64::min)
                .unwrap_or(0.0)
        };
        let mut found = (1.0, 1.0);
        let middle = worst_at(1.0);
        let (mut least, mut most) = (middle, middle);
        for times in tried {
            let level = worst_at(times);
            if level < least {
                (least, found.0) = (level, times);
            }
            if level > most {
                (most, found.1) = (level, times);
            }
        }
        found
    }

    /// Design levels at the cups of a circuit, kPa, with a choice that moves them.
    fn levels(&mut self, at: usize, choice: &[f64], cups: &[SnapshotCup]) -> Option<Vec<f64>> {
        let circuit: &SnapshotCircuit = &self.snapshot.circuits[at];
        let touching = |input: &Assumed| input.input.moves_levels() && circuit.is_of(input);
        let off: Vec<(Input, f64)> = self
            .snapshot
            .assumed
            .iter()
            .zip(choice)
            .filter(|(input, _)| touching(input))
            .map(|(input, times)| (input.input, *times))
            .collect();
        if off.iter().all(|(_, times)| *times == 1.0) {
            return Some(circuit.designs().collect());
        }
        let key = (at, off.iter().map(|(_, times)| times.to_bits()).collect());
        self.held.entry(key).or_insert_with(|| circuit.levels_with(&off, cups)).clone()
    }

    /// Factors of all cases with every assumed input times its choice; 0 where there is none. `None` when stopped.
    pub(super) fn factors(&mut self, choice: &[f64]) -> Option<Vec<f64>> {
        let snapshot = self.snapshot;
        let mut cups: Vec<SnapshotCup> = snapshot.cups.clone();
        for (input, times) in snapshot.assumed.iter().zip(choice).filter(|(_, times)| **times != 1.0) {
            for index in &input.cups {
                cups[*index] = cups[*index].with(input.input, *times);
            }
        }
        for (at, circuit) in snapshot.circuits.iter().enumerate() {
            if self.cancel.load(Ordering::Relaxed) {
                return None;
            }
            let levels = self.levels(at, choice, &cups);
            for (place, before) in circuit.designs().enumerate() {
                // Without a steady state nothing is held.
                let level = levels.as_ref().and_then(|levels| levels.get(place).copied()).unwrap_or(0.0);
                let cup = circuit.input.cups.get(place).and_then(|cup| cups.get_mut(cup.index));
                if let Some(cup) = cup.filter(|_| before > 0.0) {
                    cup.strength.vacuum_force *= level.max(0.0) / before;
                }
            }
        }
        let springs: Vec<CupSpring> = cups.iter().map(|cup| cup.spring).collect();
        let strengths: Vec<LipStrength> = cups.iter().map(|cup| cup.strength).collect();
        let group = loads::factored(&springs).ok();
        self.cases
            .iter()
            .map(|case| {
                if self.cancel.load(Ordering::Relaxed) {
                    return None;
                }
                let factor = group.as_ref().and_then(|group| {
                    loads::solve(group, &snapshot.body, &strengths, case).ok().map(|case| case.factor())
                });
                Some(factor.unwrap_or(0.0))
            })
            .collect()
    }
}
