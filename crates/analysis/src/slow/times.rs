//! Time, cost and open cups of circuits that were worked out.

use super::{
    figure::{Figure, On, Slow},
    follow::First,
    losses::Losses,
};
use crate::{circuit, report::CircuitSlow, snapshot::Snapshot};
use document::CircuitId;

pub(super) struct Times(pub Vec<(CircuitId, CircuitSlow)>);

impl Figure for Times {
    const SLOW: Slow = Slow::Times;

    fn same_inputs(a: &Snapshot, b: &Snapshot) -> bool {
        Losses::same_inputs(a, b) && a.circuits == b.circuits && a.required_of == b.required_of
    }

    fn work_out(on: &On<'_>) -> Option<Self> {
        let losses = on.of_this_plan::<Losses>()?;
        let told = |done: usize| on.tell(done, on.snapshot.circuits.len());
        circuit::work_out(on.snapshot, &|cup| after(losses, cup), on.cancel(), &told).map(Self)
    }
}

/// What the loss of one cup leads to: in the first motion in which the part drops, else in that in which most let go;
/// `None` when it was not followed in every motion.
fn after(losses: &Losses, cup: usize) -> Option<(Vec<usize>, bool)> {
    let each: Vec<_> = losses
        .motions
        .iter()
        .map(|(_, figures)| {
            let (_, lost) = figures.lost.iter().find(|(first, _)| *first == First::Cup(cup))?;
            Some((&lost.then_lost, lost.holds))
        })
        .collect::<Option<_>>()?;
    let each = each.into_iter();
    let worse = |a: &(&Vec<usize>, bool), b: &(&Vec<usize>, bool)| (!b.1, b.0.len()) > (!a.1, a.0.len());
    let worst = each.reduce(|a, b| if worse(&a, &b) { b } else { a });
    Some(worst.map_or((Vec::new(), true), |(then_lost, holds)| (then_lost.clone(), holds)))
}
