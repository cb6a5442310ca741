//! Levels of a circuit when what is assumed of it is off.

use super::{coupling::SnapshotCircuit, design, input::CircuitInput, lower};
use crate::{
    assumed::{Assumed, Input},
    memo::Shared,
    snapshot::SnapshotCup,
};
use document::{SourceModel, Supply};
use std::sync::Arc;
use vacuum::Status;

impl SnapshotCircuit {
    /// Whether an input touches cups of this circuit.
    pub(crate) fn is_of(&self, input: &Assumed) -> bool {
        input.cups.iter().any(|cup| self.place_of(*cup).is_some())
    }

    /// Design level at each of its cups, kPa, with some inputs times a figure, solved anew; `None` where that has no steady state.
    /// `cups` are those of the snapshot as they then are.
    pub(crate) fn levels_with(&self, off: &[(Input, f64)], cups: &[SnapshotCup]) -> Option<Vec<f64>> {
        let near = self.solved.solution.as_deref().map(|solution| &solution.state);
        let built = lower::network(&changed(&self.input, off, cups)).ok()?;
        let solution = vacuum::solve(&built.network, near);
        if solution.status == Status::NotConverged {
            return None;
        }
        let places = built.sources.iter().zip(&solution.sources);
        let switches: Option<Vec<_>> =
            places.map(|(place, figures)| Some((place.cup, figures.level?.kpa()))).collect();
        let levels: Option<Vec<_>> = self
            .input
            .cups
            .iter()
            .zip(&solution.cups)
            .map(|(cup, figures)| Some((cup.id, figures.level?.kpa())))
            .collect();
        Some(design::at_cups(self.input.thresholds.as_ref(), &switches?, levels?.into_iter()))
    }
}

fn changed(input: &CircuitInput, off: &[(Input, f64)], cups: &[SnapshotCup]) -> CircuitInput {
    let times = |wanted: Input| -> f64 {
        off.iter().filter(|(input, _)| *input == wanted).map(|(_, times)| times).product()
    };
    let mut supply = Supply::clone(&input.supply.0);
    supply.lip_gap_um.value *= times(Input::LipGap);
    let mut model = SourceModel::clone(&input.model.0);
    if let (Some(first), Some(last)) = (model.feed.first(), model.feed.last())
        && times(Input::Feed) != 1.0
    {
        // The end of a table times its inverse may lie a rounding beyond it.
        supply.feed_kpa.value =
            (supply.feed_kpa.value * times(Input::Feed)).min(last.feed_kpa).max(first.feed_kpa);
    }
    for point in &mut model.curve {
        point.flow_nl_min *= times(Input::SourceCurve);
        point.level_kpa *= times(Input::SourceCurve);
    }
    let mut changed =
        CircuitInput { supply: Shared(Arc::new(supply)), model: Shared(Arc::new(model)), ..input.clone() };
    for cup in &mut changed.cups {
        cup.permeance *= times(Input::Permeance);
        cup.bears_mm *= times(Input::LipWidth);
        if let Some(held) = cups.get(cup.index).filter(|held| held.id == cup.id) {
            cup.leaking_mm2 = held.strength.line.area * held.mean_share();
            cup.lip_mm = held.strength.line.length;
        }
    }
    changed
}
