//! What entering a measurement changes in the project: the record of the trial, and the assumption it replaces.

use crate::{
    Circuit, CupId, Edit, FrictionPair, LayoutId, Part, PartId, Project, Sourced, Stage, Trial, TrialEntry,
    TrialKind,
};
use std::sync::Arc;

impl Project {
    /// The change that enters a measurement: it is added to the trial, and where the tool is being taken into service a
    /// measured value with its date takes the place of the assumed one. Friction becomes that of its lip material on the part; a
    /// level becomes the circuit's, taken to sea level, while the circuit has no supply. Times, leak-downs and later measurements in the field
    /// are kept to compare with. `None` where what was measured is not in the project.
    ///
    /// ```
    /// use document::{Origin, Part, PartId, Project, Stage, TrialEntry, TrialKind};
    /// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
    /// let what = TrialKind::Friction { part: PartId(1), lip_material: "nitrile rubber".into() };
    /// let (on, by) = ("2026-03-12".into(), "M. Huber".into());
    /// let edit = project.enter_trial(TrialEntry { what, value: 0.37, stage: Stage::Baseline, on, by }).unwrap();
    /// assert_eq!(edit.name(&project), "Enter the friction of the slide test, nitrile rubber on Tray blank");
    /// let after = edit.apply(&project).unwrap();
    /// assert_eq!(after.parts[0].friction_of("nitrile rubber").origin, Origin::Measured);
    /// ```
    pub fn enter_trial(&self, entry: TrialEntry) -> Option<Edit> {
        let of = match &entry.what {
            TrialKind::Level { layout, cup } => self.cup(*layout, *cup)?.tag.clone(),
            TrialKind::TimeToLevel { circuit, .. } | TrialKind::LeakDown { circuit, .. } => {
                self.circuit(*circuit)?.name.clone()
            }
            TrialKind::Friction { part, lip_material } => {
                format!("{lip_material} on {}", self.part(*part)?.name)
            }
        };
        let name = format!("Enter {}, {of}", entry.what.label());
        let measured = Sourced::measured(entry.value, &entry.on);
        let replaced = match (&entry.what, entry.stage) {
            (TrialKind::Level { layout, cup }, Stage::Baseline) => {
                self.measured_level(*layout, *cup, measured, &name)
            }
            (TrialKind::Friction { part, lip_material }, Stage::Baseline) => {
                self.measured_friction(*part, lip_material, measured, &name)
            }
            _ => None,
        };
        let mut trial = Trial::clone(&self.trial);
        trial.entries.push(entry);
        let record = Edit::ChangeTrial { trial: Arc::new(trial), what: name.clone() };
        Some(Edit::Together { name, edits: [record].into_iter().chain(replaced).collect() })
    }

    fn measured_level(&self, layout: LayoutId, cup: CupId, level: Sourced<f64>, what: &str) -> Option<Edit> {
        let circuit = self.circuit(self.cup(layout, cup)?.circuit)?;
        if circuit.supply.is_some() {
            return None;
        }
        // Measured under the atmosphere at the site; a circuit's level is stated for sea level.
        let thinner =
            units::standard_atmosphere(self.site.altitude_m).kpa() / units::standard_atmosphere(0.0).kpa();
        let level = Sourced { value: level.value / thinner, ..level };
        let circuit = Arc::new(Circuit { level_kpa: level, ..Circuit::clone(circuit) });
        Some(Edit::ChangeCircuit { circuit, what: what.to_owned() })
    }
    fn measured_friction(
        &self,
        part: PartId,
        lip_material: &str,
        friction: Sourced<f64>,
        what: &str,
    ) -> Option<Edit> {
        let mut part = Part::clone(self.part(part)?);
        match part.pairs.iter_mut().find(|pair| pair.is_for(lip_material)) {
            Some(pair) => pair.friction = friction,
            None => part.pairs.push(FrictionPair { lip_material: lip_material.to_owned(), friction }),
        }
        Some(Edit::ChangePart { part: Arc::new(part), what: what.to_owned() })
    }
}
