//! How a part that bends rings on its cups.

use super::{
    bending::{Bend, after_bend},
    figure::{Figure, On, Slow},
};
use crate::{bending, report::RingReport, snapshot::Snapshot};
use std::sync::Arc;
use units::Worded;

/// `None` of a rigid part, else how it rings or why that is not known.
pub(super) struct Ringing(pub Option<Result<Arc<RingReport>, Worded>>);

impl Figure for Ringing {
    const SLOW: Slow = Slow::Ringing;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        Bend::same_inputs(a, b) && a.bending == b.bending
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let found = after_bend(on, |bent, input, told| bending::ringing(bent, on.snapshot, input, told))?;
        Some(Self(found.map(|rings| rings.map(Arc::new))))
    }
}
