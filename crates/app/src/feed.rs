//! Feeding a circuit by another source.

use document::{Circuit, CircuitId, Edit, Project, SourceModel, Sourced};
use std::sync::Arc;

/// The change that feeds a circuit by this source, which is added where the project has none of its id; the feed becomes
/// the rated one, assumed. `None` where the circuit has no hoses and valves to feed.
pub(crate) fn feed_by(project: &Project, id: CircuitId, source: &Arc<SourceModel>) -> Option<Edit> {
    let before = project.circuit(id)?;
    let mut supply = before.supply.clone()?;
    let new = Arc::make_mut(&mut supply);
    new.source = source.id.clone();
    new.feed_kpa = Sourced::assumed(source.rated_feed_kpa);
    let circuit = Arc::new(Circuit { supply: Some(supply), ..Circuit::clone(before) });
    let name = format!("Change source of {} to {}", before.name, source.name);
    let mut edits = vec![Edit::ChangeCircuit { circuit, what: name.clone() }];
    if project.source(&source.id).is_none() {
        edits.insert(0, Edit::AddSource(source.clone()));
    }
    Some(Edit::Together { name, edits })
}
