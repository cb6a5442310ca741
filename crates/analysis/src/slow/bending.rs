//! A part that bends on its cups: the first of the slow figures, since the window follows it while a cup is dragged.

use super::{
    figure::{Figure, On, Slow},
    losses::same_cups,
};
use crate::{
    bending::{self, BendingInput, Bent},
    snapshot::Snapshot,
};
use std::sync::Arc;
use units::Worded;

/// `None` of a rigid part, else the sheet on its cups or why there are no figures.
pub(super) struct Bend(pub Option<Result<Bent, Worded>>);

impl Figure for Bend {
    const SLOW: Slow = Slow::Bending;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        same_cups(a, b) && a.cases == b.cases && a.sheet() == b.sheet()
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let snapshot = on.snapshot.as_ref();
        let input = match &snapshot.bending {
            None => return Some(Self(None)),
            Some(Err(reason)) => return Some(Self(Some(Err(reason.clone())))),
            Some(Ok(input)) => input,
        };
        let earlier = on.shelf.latest::<Self>().and_then(|(_, Self(held))| held.as_ref()?.as_ref().ok());
        let earlier = earlier.filter(|held| held.key == input.sheet);
        let bent = || {
            // The sheet knows no cups: it is cut and factorised once a part.
            let sheet = match earlier {
                Some(held) => Arc::clone(held.seated.hung().sheet()),
                None => Arc::new(input.sheet.sheet().map_err(|error| error.worded())?),
            };
            let seated = bending::hang(&sheet, snapshot, earlier.map(|held| held.seated.hung()))?;
            let report = bending::motions(&seated, snapshot, earlier.map(|held| held.report.as_ref()))?;
            Ok(Bent { key: input.sheet.clone(), seated, report: Arc::new(report) })
        };
        Some(Self(Some(bent())))
    }
}

/// Told how far a figure is, of how much; gives whether to go on.
type Told<'a> = &'a mut dyn FnMut(usize, usize) -> bool;

/// Works out what stands on a part that bends; the outer `None` where it was stopped, the inner of a rigid part.
pub(super) fn after_bend<T>(
    on: &On<'_>,
    work: impl FnOnce(&Bent, &BendingInput, Told<'_>) -> Option<Result<T, Worded>>,
) -> Option<Option<Result<T, Worded>>> {
    let Bend(held) = on.of_this_plan::<Bend>()?;
    let (Some(held), Some(Ok(input))) = (held, &on.snapshot.bending) else { return Some(None) };
    let bent = match held {
        Err(reason) => return Some(Some(Err(reason.clone()))),
        Ok(bent) => bent,
    };
    let mut told = |done, of| {
        on.tell(done, of);
        !on.stopped()
    };
    work(bent, input, &mut told).map(Some)
}
