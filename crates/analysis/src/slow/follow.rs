//! Every cup, and every zone, lost in turn.

use crate::{circuit::Coupling, snapshot::Snapshot};
use mechanics::{CupSpring, LipStrength, LoadCase, Loss, follow_loss, follow_loss_within};
use std::sync::atomic::{AtomicBool, Ordering};

/// Steps by which a remedy is narrowed down: to a thousandth of its range.
const HALVINGS: u32 = 10;
/// A share of the acceleration below this is not offered.
const LEAST_SHARE: f64 = 0.05;

/// What is lost at first, by index in the snapshot.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum First {
    Cup(usize),
    Zone(usize),
}

impl First {
    pub(crate) fn cups(&self, snapshot: &Snapshot) -> Vec<usize> {
        match self {
            Self::Cup(cup) => vec![*cup],
            Self::Zone(zone) => snapshot.zones.get(*zone).map(|(_, cups)| cups.clone()).unwrap_or_default(),
        }
    }
}

/// Every loss that is looked at: each cup, then each zone.
pub(crate) fn all(snapshot: &Snapshot) -> Vec<First> {
    let cups = (0..snapshot.cups.len()).map(First::Cup);
    cups.chain((0..snapshot.zones.len()).map(First::Zone)).collect()
}

/// A loss followed to its end: a lost cup is an open bore on its circuit, and its neighbours keep what level is left. A cup
/// whose circuit has only a stated level is taken to keep it, as with a check valve or a source of its own.
pub(crate) fn follow(
    snapshot: &Snapshot,
    springs: &[CupSpring],
    coupling: &mut Coupling<'_>,
    case: &LoadCase,
    first: &[usize],
) -> Loss {
    follow_loss(&snapshot.body, case, springs, first, &mut |lost| coupling.strengths(first, lost))
}

/// As [`follow`], with so many cups looked at, at most; `None` when that is not enough.
pub(crate) fn follow_within(
    snapshot: &Snapshot,
    springs: &[CupSpring],
    coupling: &mut Coupling<'_>,
    case: &LoadCase,
    first: &[usize],
    most: &mut usize,
) -> Option<Loss> {
    let mut strengths = |lost: &[usize]| coupling.strengths(first, lost);
    follow_loss_within(&snapshot.body, case, springs, first, most, &mut strengths)
}

/// How many times as deep a level, within what sources reach, makes the part stay; `None` when not even the deepest does.
pub(crate) fn level_that_holds(
    snapshot: &Snapshot,
    case: &LoadCase,
    first: &[usize],
    coupling: &mut Coupling<'_>,
    cancel: &AtomicBool,
) -> Option<f64> {
    let springs = snapshot.springs();
    let holds = |times: f64| {
        let mut deeper = |lost: &[usize]| -> Vec<LipStrength> {
            let left = coupling.strengths(first, lost).into_iter();
            left.map(|cup| LipStrength { vacuum_force: cup.vacuum_force * times, ..cup }).collect()
        };
        follow_loss(&snapshot.body, case, &springs, first, &mut deeper).holds
    };
    nearest_that_holds(snapshot.level_room, 1.0, holds, cancel)
}

/// The share of the motion's acceleration and turning at which the part stays; `None` when next to nothing would be
/// left, or there is nothing to slow down.
pub(crate) fn acceleration_that_holds(
    snapshot: &Snapshot,
    case: &LoadCase,
    first: &[usize],
    coupling: &mut Coupling<'_>,
    cancel: &AtomicBool,
) -> Option<f64> {
    let springs = snapshot.springs();
    let holds = |share: f64| {
        follow(snapshot, &springs, coupling, &case.with_accelerations_scaled(share), first).holds
    };
    nearest_that_holds(LEAST_SHARE, 1.0, holds, cancel)
}

/// By halving, the value nearest to `short`, which does not hold, that does; `None` when not even `enough` holds, or it is given up.
fn nearest_that_holds(
    mut enough: f64,
    mut short: f64,
    mut holds: impl FnMut(f64) -> bool,
    cancel: &AtomicBool,
) -> Option<f64> {
    if !holds(enough) {
        return None;
    }
    for _ in 0..HALVINGS {
        if cancel.load(Ordering::Relaxed) {
            return None;
        }
        let middle = 0.5 * (enough + short);
        if holds(middle) { enough = middle } else { short = middle }
    }
    Some(enough)
}
