//! Upkeep that follows from how often the tool picks.

use document::{LayoutId, ModelId, Origin, Project};

/// Weeks of a year.
const WEEKS_PER_YEAR: f64 = 365.25 / 7.0;

/// When the lips of one cup model are due.
#[derive(Debug, Clone, PartialEq)]
pub struct LipChange {
    /// The model.
    pub model: ModelId,
    /// Its name.
    pub name: String,
    /// Cups of it on the layout.
    pub cups: usize,
    /// Picks that a lip lasts.
    pub life_picks: f64,
    /// Where that figure comes from.
    pub origin: Origin,
    /// Weeks from one change to the next.
    pub every_weeks: f64,
    /// Lips of this model used up in a year, all its cups together.
    pub lips_per_year: f64,
}

impl LipChange {
    /// The interval as one plans it: whole weeks, rounded down, so that no lip is overdue; "more than once a week" below one,
    /// and from two years on "every 2 years", since rubber ages whether it picks or not.
    ///
    /// ```
    /// # use document::{ModelId, Origin};
    /// # let change = |every_weeks| analysis::LipChange { model: ModelId("m".into()), name: "Round 40".into(), cups: 4,
    /// #     life_picks: 1e6, origin: Origin::Assumed, every_weeks, lips_per_year: 2.0 };
    /// assert_eq!(change(21.7).says(), "every 21 weeks");
    /// assert_eq!(change(1.2).says(), "every week");
    /// assert_eq!(change(0.4).says(), "more than once a week");
    /// assert_eq!(change(400.0).says(), "every 2 years");
    /// ```
    pub fn says(&self) -> String {
        /// Rubber is replaced by then for its age alone (common practice, no source).
        const OLDEST_WEEKS: f64 = 104.0;
        match self.every_weeks {
            weeks if weeks < 1.0 => "more than once a week".to_owned(),
            weeks if weeks < 2.0 => "every week".to_owned(),
            weeks if weeks > OLDEST_WEEKS => "every 2 years".to_owned(),
            weeks => format!("every {} weeks", units::figure(weeks.floor(), 0)),
        }
    }
}

/// When the lips of each cup model of a layout are due: the picks that a lip lasts over the picks of a week, from picks an hour
/// and hours a year of the project's cycle. Every lip takes part in every pick. In the order in which the layout first has
/// each model; none where the cycle has no picks, or a lip no life.
///
/// # Units
/// Weeks of seven days.
///
/// ```
/// # use document::{Part, PartId, Project};
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0));
/// assert!(analysis::lip_changes(&project, project.layouts[0].id).is_empty(), "there is no cup");
/// ```
pub fn lip_changes(project: &Project, layout: LayoutId) -> Vec<LipChange> {
    let Some(layout) = project.layout(layout) else { return Vec::new() };
    let cycle = &project.cycle;
    let picks_per_year = cycle.picks_per_hour.value * cycle.hours_per_year.value;
    let mut found: Vec<LipChange> = Vec::new();
    for cup in &layout.cups {
        if let Some(there) = found.iter_mut().find(|change| change.model == cup.model) {
            there.cups += 1;
            continue;
        }
        let Some(model) = project.model(&cup.model) else { continue };
        let life = &model.lip_life_picks;
        found.push(LipChange {
            model: model.id.clone(),
            name: model.name.clone(),
            cups: 1,
            life_picks: life.value,
            origin: life.origin,
            every_weeks: life.value / picks_per_year * WEEKS_PER_YEAR,
            lips_per_year: 0.0,
        });
    }
    found.retain(|change| change.every_weeks > 0.0 && change.every_weeks.is_finite());
    for change in &mut found {
        change.lips_per_year = change.cups as f64 * WEEKS_PER_YEAR / change.every_weeks;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::{Circuit, CircuitId, Cup, CupId, Part, PartId, Sourced};
    use std::sync::Arc;

    fn project() -> Project {
        let mut project = Project::new("Line", Part::rectangle(PartId(1), "Blank", 600.0, 400.0));
        let mut model = |place: usize, life: f64| {
            let mut model = document::CupModel::clone(&document::library()[place]);
            model.lip_life_picks = Sourced::stated(life);
            project.models.push(Arc::new(model));
        };
        model(0, 1.2e6);
        model(1, 60_000.0);
        let ids: Vec<ModelId> = project.models.iter().map(|m| m.id.clone()).collect();
        project.circuits = vec![Arc::new(Circuit::preset(CircuitId(90), "Circuit 1"))];
        let layout = Arc::make_mut(&mut project.layouts[0]);
        for (place, model) in [1, 0, 0].into_iter().enumerate() {
            layout.cups.push(Cup {
                id: CupId(100 + place as u32),
                tag: format!("C{}", place + 1),
                model: ids[model].clone(),
                at: glam::DVec2::new(100.0 * place as f64, 0.0),
                turn_deg: 0.0,
                height_mm: 0.0,
                circuit: CircuitId(90),
                zone: "A".into(),
                locked: false,
            });
        }
        project.cycle.picks_per_hour = Sourced::stated(600.0);
        project.cycle.hours_per_year = Sourced::stated(4000.0);
        project
    }

    #[test]
    fn a_lip_lasts_its_picks() {
        let project = project();
        let found = lip_changes(&project, project.layouts[0].id);
        assert_eq!(found.iter().map(|c| c.cups).collect::<Vec<_>>(), [1, 2]);
        // 2.4 million picks a year: 1.2 million are half a year, 60,000 a fortieth.
        assert!((found[1].every_weeks - WEEKS_PER_YEAR / 2.0).abs() < 1e-9);
        assert!((found[0].every_weeks - WEEKS_PER_YEAR / 40.0).abs() < 1e-9);
        assert!((found[1].lips_per_year - 4.0).abs() < 1e-9 && (found[0].lips_per_year - 40.0).abs() < 1e-9);
        assert_eq!(found[1].says(), "every 26 weeks");
    }

    #[test]
    fn without_picks_or_a_life_nothing_is_due() {
        let mut still = project();
        still.cycle.picks_per_hour = Sourced::stated(0.0);
        assert!(lip_changes(&still, still.layouts[0].id).is_empty());
        let mut lifeless = project();
        Arc::make_mut(&mut lifeless.models[0]).lip_life_picks = Sourced::stated(0.0);
        assert_eq!(lip_changes(&lifeless, lifeless.layouts[0].id).len(), 1);
        assert!(lip_changes(&lifeless, LayoutId(7777)).is_empty());
    }
}
