//! What stands behind the factors of a part that bends: stress, lost cups, ranges, one more cup.

use super::{
    bending::after_bend,
    figure::{Figure, On, Slow},
    losses::Losses,
};
use crate::{
    bending::{self, Reserve},
    snapshot::Snapshot,
};

/// `None` of a rigid part, else what was found or why nothing was.
pub(super) struct Behind(pub Option<Result<Reserve, units::Worded>>);

impl Figure for Behind {
    const SLOW: Slow = Slow::BentReserve;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        Losses::same_inputs(a, b) && a.bending == b.bending && (a.bending.is_none() || a.assumed == b.assumed)
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let found = after_bend(on, |bent, input, told| bending::reserve(bent, on.snapshot, input, told))?;
        Some(Self(found))
    }
}
