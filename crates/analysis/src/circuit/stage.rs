//! Circuits of one layout, each remembered with what its levels depend on.

use super::{
    SnapshotCircuit, design,
    input::{self, CircuitInput},
    steady::{self, Solved},
};
use crate::{
    family::Seated,
    inputs::Lowered,
    lower::{self, CupFacts, ModelFacts},
    memo::Slot,
    report::{CircuitReport, CircuitStatus},
    seats::Ground,
};
use document::{
    Circuit, CircuitId, CupId, Layout, ModelId, MotionId, Part, Problem, Project, Subject, Supply,
};
use mechanics::LoadCase;
use std::{collections::HashMap, sync::Arc};
use units::standard_atmosphere;

/// A level that a solved circuit leaves at least, kPa, so that a cup without any is a weak cup and not a missing one.
const LEAST_KPA: f64 = 1e-6;
/// The same for an area gripper of which no cell is on the part.
const LEAST_COVERED: f64 = 1e-9;

/// The circuit stage of one layout.
#[derive(Debug, Default)]
pub(crate) struct CircuitStage {
    slots: HashMap<CircuitId, Slot<Arc<CircuitInput>, Arc<Solved>>>,
}

/// Circuits of one check.
#[derive(Debug, Default)]
pub(crate) struct Circuits {
    /// In the order of the project.
    pub reports: Vec<CircuitReport>,
    /// Those that were worked out, with what they were worked out from.
    pub solved: Vec<(Arc<CircuitInput>, Arc<Solved>)>,
    /// The first reason why cups have no level.
    pub blocked: Option<String>,
}

impl Circuits {
    /// What the slow stages need besides cups: the factor that each case must have, and the circuits.
    pub(crate) fn coupled(
        &self,
        project: &Project,
        cases: &[(MotionId, LoadCase)],
    ) -> (Vec<f64>, Vec<SnapshotCircuit>) {
        if self.solved.is_empty() {
            return (Vec::new(), Vec::new());
        }
        let required = cases
            .iter()
            .map(|(id, _)| project.motion(*id).map_or(1.0, |motion| motion.required_factor))
            .collect();
        let circuits = self
            .solved
            .iter()
            .map(|(input, solved)| SnapshotCircuit { input: Arc::clone(input), solved: Arc::clone(solved) })
            .collect();
        (required, circuits)
    }
}

impl CircuitStage {
    /// Works out every circuit that cups hang on over a part with its sound surface, and gives solved cups their level.
    pub(crate) fn bring(
        &mut self,
        project: &Project,
        layout: &Layout,
        (part, ground): (Option<&Part>, Option<Ground<'_>>),
        lowered: &mut Lowered<'_>,
        models: &HashMap<&ModelId, ModelFacts<'_>>,
        (problems, seated): (&[Problem], Option<&Seated>),
    ) -> Circuits {
        let outside = standard_atmosphere(project.site.altitude_m);
        let open = |cup: CupId| seated.and_then(|seated| seated.open.get(&cup).copied()).unwrap_or(0.0);
        let mut inputs: HashMap<CircuitId, Result<CircuitInput, Vec<String>>> = part
            .map(|part| input::inputs(project, layout, part, lowered, models, ground, outside))
            .unwrap_or_default()
            .into_iter()
            .map(|found| match found {
                Ok(mut input) => {
                    input.cups.iter_mut().for_each(|cup| cup.uncovered_mm2 = open(cup.id));
                    (input.id, Ok(input))
                }
                Err((id, says)) => (id, Err(says)),
            })
            .collect();
        self.slots.retain(|id, _| inputs.contains_key(id));
        let mut out = Circuits::default();
        for circuit in &project.circuits {
            if !layout.cups.iter().any(|cup| cup.circuit == circuit.id) {
                continue;
            }
            let wanted = lower::level_at_site(circuit.level_kpa.value, outside);
            let wrong =
                circuit.supply.as_ref().map(|supply| wrong(problems, circuit.id, supply)).unwrap_or_default();
            let report = match inputs.remove(&circuit.id) {
                _ if !wrong.is_empty() => steady::without(circuit, wanted, CircuitStatus::Invalid(wrong)),
                None => stated(circuit, wanted, lowered),
                Some(Err(says)) => steady::without(circuit, wanted, CircuitStatus::Invalid(says)),
                Some(Ok(input)) => {
                    let slot = self.slots.entry(circuit.id).or_default();
                    let input = Arc::new(input);
                    let solved = Arc::clone(slot.get_after(Arc::clone(&input), |input, before| {
                        Arc::new(steady::work_out(input, before.map(Arc::as_ref)))
                    }));
                    give_levels(&input, &solved, &mut lowered.cups);
                    let report = solved.report.clone();
                    if solved.solution.is_some() {
                        out.solved.push((input, solved));
                    }
                    report
                }
            };
            if let Some(reason) = report.status.no_figure() {
                out.blocked.get_or_insert_with(|| {
                    let name = &circuit.name;
                    if reason.contains(name.as_str()) { reason } else { format!("circuit {name}: {reason}") }
                });
            }
            out.reports.push(report);
        }
        out
    }

    /// Circuits that cups hang on where a figure out of its range stops every stage: none is worked out, and each says why.
    pub(crate) fn refused(project: &Project, layout: &Layout, problems: &[Problem], says: &str) -> Circuits {
        let used = |circuit: &&Arc<Circuit>| layout.cups.iter().any(|cup| cup.circuit == circuit.id);
        let report = |circuit: &Arc<Circuit>| {
            // As stated: the site may be what is out of range. So may the level; then there is none.
            let stated = circuit.level_kpa.value;
            let level = if stated < units::standard_atmosphere(0.0).kpa() { stated.max(0.0) } else { 0.0 };
            let Some(supply) = &circuit.supply else {
                return steady::without(circuit, level, CircuitStatus::Stated);
            };
            let mut why = wrong(problems, circuit.id, supply);
            if why.is_empty() {
                why.push(says.to_owned());
            }
            steady::without(circuit, level, CircuitStatus::Invalid(why))
        };
        Circuits {
            reports: project.circuits.iter().filter(used).map(report).collect(),
            solved: Vec::new(),
            blocked: Some(says.to_owned()),
        }
    }

    /// A circuit of the last check, with what it was worked out from.
    pub(crate) fn held(&self, circuit: CircuitId) -> Option<(&CircuitInput, &Solved)> {
        let (input, solved) = self.slots.get(&circuit)?.held_with_key()?;
        Some((input, solved))
    }

    /// How often circuits were worked out.
    #[cfg(test)]
    pub(crate) fn made(&self) -> u64 {
        self.slots.values().map(Slot::made).sum()
    }
}

/// What the document finds wrong with a circuit or its source: such figures are not handed to the engine.
fn wrong(problems: &[Problem], circuit: CircuitId, supply: &Supply) -> Vec<String> {
    let about = |subject: &Subject| match subject {
        Subject::Circuit(id) => *id == circuit,
        Subject::Source(id) => *id == supply.source,
        _ => false,
    };
    problems.iter().filter(|problem| about(&problem.subject)).map(|problem| problem.says.clone()).collect()
}

/// A circuit of which only a level is stated: its cups get that, or what its switch waits for where that is less.
fn stated(circuit: &Circuit, level_kpa: f64, lowered: &mut Lowered<'_>) -> CircuitReport {
    let design = design::stated(circuit.thresholds.as_ref(), level_kpa);
    if design.design_kpa < level_kpa {
        for (cup, facts) in lowered.placed.iter().zip(&mut lowered.cups) {
            if cup.circuit == circuit.id {
                facts.set_level(design.design_kpa);
            }
        }
    }
    CircuitReport { design: Some(design), ..steady::without(circuit, level_kpa, CircuitStatus::Stated) }
}

fn give_levels(input: &CircuitInput, solved: &Solved, cups: &mut [CupFacts]) {
    for (cup, level) in input.cups.iter().zip(&solved.report.cups) {
        if let Some(facts) = cups.get_mut(cup.index).filter(|facts| facts.id == cup.id) {
            facts.covered = cup.covered(&input.supply.0).max(LEAST_COVERED);
            facts.set_level(level.design_kpa.max(LEAST_KPA));
        }
    }
}
