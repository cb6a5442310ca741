//! What would keep the part on the tool in the worst loss of one cup that drops it.

use super::{
    figure::{Figure, On, Slow},
    follow::{self, First},
    limits::Limits,
    losses::{Losses, LostFigures},
    stage::name,
};
use crate::{
    circuit::Coupling,
    findings,
    report::{LimitFigure, Lost},
    snapshot::Snapshot,
};
use document::MotionId;

/// Losses followed, through all cups at worst, to narrow a remedy down; of too many cups none is offered.
const FOLLOWS: usize = 24;

/// `None` where no loss of one cup drops a part that all of them hold.
pub(super) struct Remedy(pub Option<DropRemedy>);

/// What would keep the part on the tool.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DropRemedy {
    pub motion: MotionId,
    pub lost: Lost,
    /// How many times as deep a level.
    pub level_times: Option<f64>,
    /// The share of acceleration and turning.
    pub acceleration_share: Option<f64>,
}

impl Figure for Remedy {
    const SLOW: Slow = Slow::Remedy;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        Limits::same_inputs(a, b) && a.level_room == b.level_room
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let (losses, limits) = (on.of_this_plan::<Losses>()?, on.of_this_plan::<Limits>()?);
        let snapshot = on.snapshot.as_ref();
        // What drops with every cup needs another remedy.
        let held = losses.motions.iter().filter(|(_, figures)| figures.factor >= 1.0);
        let drops = held.flat_map(|(id, figures)| {
            let dropped =
                |(first, lost): &&(First, LostFigures)| !lost.holds && matches!(first, First::Cup(_));
            let left = |first: &First| limits.after(*id, first).map_or(f64::INFINITY, left_of);
            figures.lost.iter().filter(dropped).map(move |(first, _)| (*id, figures.case, first, left(first)))
        });
        // The first of those that leave the same, so that mirror images do not swap: the one that the finding tells.
        let drops: Vec<_> = drops.collect();
        let least = drops.iter().map(|drop| drop.3).fold(f64::INFINITY, f64::min);
        let told = drops.iter().find(|drop| drop.3 <= least * (1.0 + findings::SAME_LOSS));
        let Some((motion, case, first, _)) = told.copied() else { return Some(Self(None)) };
        let cups = snapshot.cups.len();
        if FOLLOWS.saturating_mul(cups * cups) > 10 * on.most.followed {
            return Some(Self(None));
        }
        let gone = first.cups(snapshot);
        let mut coupling = Coupling::new(snapshot);
        let level_times = follow::level_that_holds(snapshot, &case, &gone, &mut coupling, on.cancel());
        on.tell(1, 2);
        let acceleration_share =
            follow::acceleration_that_holds(snapshot, &case, &gone, &mut coupling, on.cancel());
        if on.stopped() {
            return None;
        }
        let Some(lost) = name(first, snapshot) else { return Some(Self(None)) };
        Some(Self(Some(DropRemedy { motion, lost, level_times, acceleration_share })))
    }
}

/// Multiple that is left, for comparing losses.
fn left_of(limit: &LimitFigure) -> f64 {
    match limit {
        LimitFigure::Factor(value) => *value,
        LimitFigure::Unlimited | LimitFigure::Missing(_) | LimitFigure::Pending => f64::INFINITY,
    }
}
