//! What would explain a measurement in the field.

use crate::stages::Analyst;
use document::{CircuitId, CupId, LayoutId, Project, Stage, TrialKind};
use units::VacuumLevel;
use vacuum::{Fault, Measured, TimedLevel, rank_causes, unexplained_without_fault};

/// So many causes are told.
const TOLD: usize = 8;

/// Causes of what was measured in the field on one circuit, the one that explains it best first.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldCauses {
    /// How many measurements were used: of each cup's level and each time to a level, the latest.
    pub measurements: usize,
    /// What the circuit as stated leaves unexplained, root mean square, kPa; `None` when it has no steady state.
    pub without_fault_kpa: Option<f64>,
    /// Single faults, each with the size that fits best.
    pub causes: Vec<FieldCause>,
}

/// One fault, and how well it would explain what was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldCause {
    /// In words, with the size that fits best.
    pub what: String,
    /// What it leaves unexplained, root mean square, kPa.
    pub unexplained_kpa: f64,
    /// The cup where it would be.
    pub cup: Option<CupId>,
    /// The element where it would be, as [`crate::CircuitElement::name`] has it.
    pub element: Option<String>,
}

impl Analyst {
    /// Ranks what would explain the field measurements of the project's trial on one circuit, by solving the circuit with
    /// each single fault: a leak at a cup or in a hose, a clogged filter, a low feed.
    ///
    /// # Errors
    /// A sentence when there is no such measurement or the circuit is not worked out.
    pub fn field_causes(
        &mut self,
        project: &Project,
        layout: LayoutId,
        circuit: CircuitId,
    ) -> Result<FieldCauses, String> {
        self.check(project, layout);
        let stage = self.layouts.get(&layout).map(|stage| &stage.circuits);
        let (input, solved) = stage
            .and_then(|circuits| circuits.held(circuit))
            .ok_or("the circuit has no source and hoses; state them, so that faults can be tried in it")?;
        let built = match (&solved.built, &solved.solution) {
            (Some(built), Some(_)) => built,
            _ => return Err("the circuit has no level as it is stated; mend that first".to_owned()),
        };
        let ids: Vec<vacuum::CupId> = built.network.spec().cup_ids().collect();
        let place = |cup: CupId| input.cups.iter().position(|held| held.id == cup);
        let worst = solved.report.worst_cup().and_then(|cup| place(cup.id));
        let mut measured = Measured::default();
        for entry in project.trial.entries.iter().filter(|entry| entry.stage == Stage::Field) {
            match &entry.what {
                TrialKind::Level { layout: of, cup } if *of == layout => {
                    let Some(id) = place(*cup).and_then(|place| ids.get(place).copied()) else { continue };
                    measured.levels.retain(|(held, _)| *held != id);
                    measured.levels.push((id, VacuumLevel::from_kpa(entry.value)));
                }
                // Timed where the level is least and comes last.
                TrialKind::TimeToLevel { circuit: of, level_kpa } if *of == circuit => {
                    let Some(cup) = worst.and_then(|place| ids.get(place).copied()) else { continue };
                    let level = VacuumLevel::from_kpa(*level_kpa);
                    measured.times.retain(|held| held.level.kpa() != level.kpa());
                    measured.times.push(TimedLevel { cup, level, after_s: entry.value });
                }
                _ => {}
            }
        }
        let measurements = measured.levels.len() + measured.times.len();
        if measurements == 0 {
            return Err("nothing was measured in the field on this circuit; enter a level at a cup or a time to a level".to_owned());
        }
        let elements = &built.elements;
        let causes = rank_causes(&built.network, &measured)
            .into_iter()
            .filter(|cause| cause.unexplained_kpa.is_finite())
            .take(TOLD)
            .map(|cause| {
                let element = match cause.fault {
                    Fault::LeakInHose(id) | Fault::CloggedFilter(id) => elements.get(id.index()),
                    Fault::LeakAtCup(_) | Fault::LowFeed(_) => None,
                };
                let cup = match cause.fault {
                    Fault::LeakAtCup(id) => input.cups.get(id.index()).map(|cup| cup.id),
                    _ => element.and_then(|element| element.cup),
                };
                FieldCause {
                    what: cause.name,
                    unexplained_kpa: cause.unexplained_kpa,
                    cup,
                    element: element.map(|element| element.name.clone()),
                }
            })
            .collect();
        Ok(FieldCauses {
            measurements,
            without_fault_kpa: unexplained_without_fault(&built.network, &measured),
            causes,
        })
    }
}
