//! What a slow figure is, and the table of all of them.

use super::{
    bending::Bend, bent_reserve::Behind, envelope::LevelEnvelope, limits::Limits, losses::Losses,
    ranges::Ranges, remedy::Remedy, ringing::Ringing, times::Times, watch::Watch,
};
use crate::snapshot::Snapshot;
use std::{
    any::Any,
    sync::{Arc, atomic::AtomicBool},
};

/// Figures that take long enough to be worked out beside the window, each from inputs of its own, so that one may belong to
/// the plan while another is still of an earlier one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Slow {
    /// What each factor may be while inputs are assumed.
    Ranges,
    /// Every cup and zone lost in turn, and followed.
    Losses,
    /// Limit factors, with every cup and after each loss.
    Limits,
    /// Largest accelerations with the part held level.
    Envelope,
    /// What would keep the part on the tool in the worst loss.
    Remedy,
    /// Times, open cups and cost of circuits.
    Times,
    /// A part that bends: pulls, factors, sag, gaps.
    Bending,
    /// How it rings.
    Ringing,
    /// Its stress, lost cups, ranges and what one more cup would do.
    BentReserve,
}

/// All, in the order in which they are worked out.
const TABLE: [Row; 9] = [
    row::<Bend>("bending", "bending", &[]),
    row::<Losses>("lost cups", "lost_cups", &[]),
    row::<Limits>("limit factors", "limit_factors", &[Slow::Losses]),
    row::<Ranges>("ranges", "ranges", &[]),
    row::<LevelEnvelope>("envelope", "envelope", &[]),
    row::<Times>("times and cost", "times", &[Slow::Losses]),
    row::<Remedy>("fix for a lost cup", "remedy", &[Slow::Losses, Slow::Limits]),
    row::<Ringing>("ringing", "ringing", &[Slow::Bending]),
    row::<Behind>("reserve as it bends", "bent_reserve", &[Slow::Bending]),
];

impl Slow {
    /// Those that belong to a motion.
    pub const OF_MOTIONS: [Self; 3] = [Self::Losses, Self::Limits, Self::Ranges];

    /// Those of a part that bends.
    pub const OF_BENDING: [Self; 3] = [Self::Bending, Self::Ringing, Self::BentReserve];

    /// Whether the window follows it while a cup is dragged, beside the others.
    pub fn is_followed(self) -> bool {
        self == Self::Bending
    }

    /// How many there are.
    pub const COUNT: usize = TABLE.len();

    /// All of them.
    pub fn all() -> impl Iterator<Item = Self> {
        TABLE.iter().map(|row| row.slow)
    }

    /// What to call it: "limit factors".
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// Its name in JSON.
    pub fn key(self) -> &'static str {
        self.row().key
    }

    pub(crate) fn place(self) -> usize {
        TABLE.iter().position(|row| row.slow == self).unwrap_or(0)
    }

    pub(super) fn row(self) -> &'static Row {
        static ROWS: [Row; Slow::COUNT] = TABLE;
        &ROWS[self.place()]
    }
}

/// One slow figure. A new one is a file with this, its name in [`Slow`], and a row of the table.
pub(super) trait Figure: Any + Send + Sync + Sized {
    const SLOW: Slow;

    /// Whether it comes out the same for both.
    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool;

    /// `None` when stopped.
    fn work_out(on: &On<'_>) -> Option<Self>;
}

/// A figure that was worked out, of whatever kind.
pub(super) type Kept = Arc<dyn Any + Send + Sync>;

pub(super) struct Row {
    pub slow: Slow,
    name: &'static str,
    key: &'static str,
    /// Those that must be there for the same plan.
    pub after: &'static [Slow],
    pub same_inputs: fn(&Snapshot, &Snapshot) -> bool,
    pub work_out: fn(&On<'_>) -> Option<Kept>,
}

const fn row<F: Figure>(name: &'static str, key: &'static str, after: &'static [Slow]) -> Row {
    Row {
        slow: F::SLOW,
        name,
        key,
        after,
        same_inputs: F::same_inputs,
        work_out: |on| F::work_out(on).map(|found| Arc::new(found) as Kept),
    }
}

/// A figure and what it was worked out from.
#[derive(Debug, Clone)]
pub(super) struct Held {
    pub of: Arc<Snapshot>,
    /// Names of what is assumed, beside the snapshot's assumed inputs.
    pub names: Arc<[String]>,
    pub found: Kept,
}

/// The latest of each.
#[derive(Debug, Clone, Default)]
pub(super) struct Shelf {
    held: [Option<Held>; Slow::COUNT],
}

impl Shelf {
    pub(super) fn held(&self, slow: Slow) -> Option<&Held> {
        self.held[slow.place()].as_ref()
    }

    pub(super) fn held_mut(&mut self, slow: Slow) -> Option<&mut Held> {
        self.held[slow.place()].as_mut()
    }

    pub(super) fn put(&mut self, slow: Slow, held: Held) {
        self.held[slow.place()] = Some(held);
    }

    /// The latest of a kind, with what it was worked out from.
    pub(super) fn latest<F: Figure>(&self) -> Option<(&Held, &F)> {
        let held = self.held(F::SLOW)?;
        Some((held, held.found.downcast_ref()?))
    }

    /// Whether the latest of a kind belongs to a plan.
    pub(super) fn is_of(&self, slow: Slow, now: &Arc<Snapshot>) -> bool {
        let same = |held: &Held| Arc::ptr_eq(&held.of, now) || (slow.row().same_inputs)(&held.of, now);
        self.held(slow).is_some_and(same)
    }
}

/// How much work one figure may come to.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Most {
    /// Cups in all programmes above which limit factors are worked out for the weakest motions and losses only.
    pub programmes: usize,
    /// Cups looked at in all losses, over all steps of each, above which the rest are left out.
    pub followed: usize,
}

/// Some seconds' work each.
pub(super) const MOST: Most = Most { programmes: 60_000, followed: 2_000_000 };

/// What a figure is worked out from.
pub(super) struct On<'a> {
    pub slow: Slow,
    pub snapshot: &'a Arc<Snapshot>,
    /// What is there already, of this plan or of an earlier one.
    pub shelf: &'a Shelf,
    pub most: Most,
    pub watch: &'a Watch,
}

impl On<'_> {
    /// The figure of this plan that this one stands on.
    pub(super) fn of_this_plan<F: Figure>(&self) -> Option<&F> {
        self.shelf.is_of(F::SLOW, self.snapshot).then(|| self.shelf.latest::<F>())?.map(|(_, found)| found)
    }

    pub(super) fn cancel(&self) -> &AtomicBool {
        self.watch.cancel(self.slow)
    }

    pub(super) fn stopped(&self) -> bool {
        self.watch.is_stopped(self.slow)
    }

    /// Tells how far it is.
    pub(super) fn tell(&self, done: usize, of: usize) {
        self.watch.tell(self.slow, done, of);
    }
}
