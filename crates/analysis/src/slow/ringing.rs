//! How a part that bends rings on its cups.

use super::{
    bending::Bend,
    figure::{Figure, On, Slow},
};
use crate::{bending, report::RingReport, snapshot::Snapshot};
use std::sync::Arc;

/// `None` of a rigid part, else how it rings or why that is not known.
pub(super) struct Ringing(pub Option<Result<Arc<RingReport>, String>>);

impl Figure for Ringing {
    const SLOW: Slow = Slow::Ringing;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        Bend::same_inputs(a, b) && a.bending == b.bending
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let Bend(held) = on.of_this_plan::<Bend>()?;
        let (Some(held), Some(Ok(input))) = (held, &on.snapshot.bending) else { return Some(Self(None)) };
        let bent = match held {
            Err(reason) => return Some(Self(Some(Err(reason.clone())))),
            Ok(bent) => bent,
        };
        let mut told = |done, of| {
            on.tell(done, of);
            !on.stopped()
        };
        Some(Self(Some(bending::ringing(bent, on.snapshot, input, &mut told)?.map(Arc::new))))
    }
}
