//! The vacuum circuits of a layout: lowered to networks, solved, and told in the report.

use crate::report::{CircuitReport, CircuitStatus};
use document::{Circuit, Layout, Project};

/// Circuits that cups of the layout hang on, as far as their level is only stated.
pub(crate) fn reports(project: &Project, layout: &Layout) -> Vec<CircuitReport> {
    let used = |circuit: &&std::sync::Arc<Circuit>| layout.cups.iter().any(|cup| cup.circuit == circuit.id);
    project
        .circuits
        .iter()
        .filter(used)
        .map(|circuit| CircuitReport {
            id: circuit.id,
            name: circuit.name.clone(),
            status: CircuitStatus::Stated,
            wanted_kpa: circuit.level_kpa.value,
            source_level_kpa: None,
            flow_nl_min: None,
            air_nl_min: None,
            power_w: None,
            cups: Vec::new(),
            elements: Vec::new(),
            sources: Vec::new(),
            manifolds: Vec::new(),
            depth: None,
        })
        .collect()
}
