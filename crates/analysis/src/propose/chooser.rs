//! What each cup model would do on the part: for choosing one by hand.

use super::{
    error::CannotPropose,
    on_tool::{OnTool, Surface},
    suit::{self, Suits},
    work::ProposalJob,
};
use crate::lower;
use document::CupId;
use geometry::Lip;

/// A cup model on the part of a layout.
#[derive(Debug, Clone, PartialEq)]
pub struct ModelOnPart {
    /// Whether it suits, why not, how many the motions ask for at least.
    pub suits: Suits,
    /// Level that the forces are worked out at, kPa: the least at a cup of the layout, else what the circuit has.
    pub level_kpa: f64,
    /// Level times the area inside its sealing line, N.
    pub force_n: f64,
    /// What friction holds of it on this part at most, N: its friction with the share of it that a lip may use; on a tool that
    /// carries several, on the one that holds it least.
    pub friction_n: f64,
}

impl ProposalJob {
    /// Every model of the project and every built-in one on the part, in that order.
    ///
    /// # Errors
    /// The part cannot be worked with: no outline, no mass.
    pub fn models_on_part(&self) -> Result<Vec<ModelOnPart>, CannotPropose> {
        let present = self.project.layout(self.layout).ok_or(CannotPropose::NoPart)?;
        let on_tool = self.on_tool(present)?;
        let surfaces: Vec<Surface<'_>> = on_tool.iter().filter_map(OnTool::surface).collect();
        let loads = self.loads(&on_tool).ok();
        let models = suit::models(&self.project, &[])?;
        let mut with_models = self.project.clone();
        let more = models.iter().filter(|model| self.project.model(&model.id).is_none()).cloned();
        with_models.models.extend(more);
        let level_kpa = self.level(present, &models, &surfaces);
        let facts = lower::models(&with_models);
        let found = models.iter().filter_map(|model| {
            let mut suits = suit::judged_on(model, &on_tool, false, &self.units);
            let facts = facts.get(&model.id)?;
            let lip = Lip { shape: model.shape, at: glam::DVec2::ZERO, turn: 0.0 };
            if let Some(loads) = loads.as_ref().filter(|_| suits.why_not.is_none()) {
                suits.at_least = suit::at_least_on(facts, &on_tool, loads, level_kpa, &with_models);
            }
            let each = on_tool.iter().map(|on| {
                let cup = lower::placed(CupId(0), lip, facts, level_kpa, &on.part, &with_models).strength;
                (cup.vacuum_force, cup.slide_share * cup.friction * cup.vacuum_force)
            });
            let (force_n, friction_n) = each.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1)))?;
            Some(ModelOnPart { suits, level_kpa, force_n, friction_n })
        });
        Ok(found.collect())
    }
}

#[cfg(test)]
mod tests {
    use crate::Analyst;
    use document::{Motion, MotionId, MotionKind, Part, PartId, Project, Question};

    #[test]
    fn every_model_is_told_with_its_force_and_how_many_the_motions_ask_for() {
        let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
        project.motions = vec![Motion::preset(MotionId(90), MotionKind::LevelLift).into()];
        let job = |project: &Project| {
            let question = Question::default();
            Analyst::new().proposal_job(project, project.layouts[0].id, question).models_on_part()
        };
        let found = job(&project).unwrap();
        assert_eq!(found.len(), document::library().len());
        let level = project.circuits[0].level_kpa.value;
        for (one, model) in found.iter().zip(document::library()) {
            assert_eq!(one.suits.model, model.id);
            assert!(
                (one.level_kpa - level).abs() < 1e-9 && one.force_n > 0.0 && one.friction_n < one.force_n
            );
            // Level times area inside the sealing line.
            let size = model.shape.scaled(model.sealing_share.value).size();
            let round = matches!(model.shape, geometry::LipShape::Round { .. });
            let area = 0.25 * std::f64::consts::PI * size.x * size.y;
            assert!(
                !round || (one.force_n - 1e-3 * level * area).abs() < 1e-6 * one.force_n,
                "{}",
                model.name
            );
            assert_eq!(one.suits.why_not.is_none(), one.suits.at_least.is_some(), "{}", model.name);
        }
        assert!(found.iter().any(|one| one.suits.why_not.is_none()));
        // A part smaller than every lip: none suits, each with its reason.
        let mut small = project.clone();
        small.parts[0] = Part::rectangle(PartId(1), "Chip", 4.0, 4.0).into();
        assert!(job(&small).unwrap().iter().all(|one| one.suits.why_not.is_some()));
        // Without a motion nothing says how many.
        project.motions.clear();
        assert!(job(&project).unwrap().iter().all(|one| one.suits.at_least.is_none()));
    }
}
