//! The stages in their order, each remembered with its inputs.

use crate::{
    assemble,
    circuit::CircuitStage,
    family::{FamilyStage, Seated},
    figures::Figures,
    inputs::{InputKey, InputStage},
    judge::{Of, judge},
    loads::LoadStage,
    memo::{Shared, shared},
    part_stage::{PartStage, ground},
    report::Report,
    seats::SeatStage,
    shape::Regions,
    slow::SlowStage,
    title_fields::blank_title_fields,
    words::Words,
};
use document::{Accepted, CupId, Layout, LayoutId, ModelId, PartId, Problem, Project};
use geometry::{LandingRegion, Overhang};
use std::{collections::HashMap, sync::Arc};
use units::UnitChoice;

/// Works out reports and remembers what it worked out; one for each thread that checks.
///
/// ```
/// use analysis::{Analyst, Severity};
/// use document::{Part, PartId, Project};
/// use geometry::{Loop, Outline};
/// use glam::DVec2;
/// use std::sync::Arc;
///
/// let sheet = Loop::rectangle(DVec2::ZERO, DVec2::new(600.0, 400.0)); // mm
/// let outline = Outline { outer: sheet, holes: Vec::new() };
/// let project = Project::new("Sheet", Part::from_outline(PartId(1), "Sheet", Arc::new(outline)));
///
/// let report = Analyst::new().check(&project, project.layouts[0].id);
/// assert_eq!(report.verdict.severity, Severity::NotChecked);
/// assert_eq!(report.verdict.sentence, "No cups yet: nothing holds the part");
/// ```
#[derive(Default)]
pub struct Analyst {
    units: UnitChoice,
    step_mm: Option<f64>,
    inputs: InputStage,
    pub(crate) parts: HashMap<PartId, PartStage>,
    pub(crate) layouts: HashMap<LayoutId, LayoutStage>,
    pub(crate) regions: Regions,
    pub(crate) family: FamilyStage,
    /// Where this one works out one part of a tool that carries several: which, and how every cup is to it.
    seated: Option<Arc<Seated>>,
    /// Spoils what the stages made before it is judged.
    #[cfg(test)]
    pub(crate) poison: Option<fn(&mut Figures<'_>)>,
}

/// Everything of a project that a report can depend on. Equal by address as long as nothing was edited.
#[derive(Clone, PartialEq)]
pub(crate) struct ProjectKey {
    inputs: InputKey,
    layouts: Vec<Shared<Layout>>,
    accepted: Vec<Accepted>,
    blank_fields: Vec<&'static str>,
    units: UnitChoice,
    step_mm: Option<f64>,
}

impl ProjectKey {
    pub(crate) fn of(project: &Project, units: UnitChoice, step_mm: Option<f64>) -> Self {
        Self {
            inputs: InputKey::of(project),
            layouts: shared(&project.layouts),
            accepted: project.accepted.clone(),
            blank_fields: blank_title_fields(project),
            units,
            step_mm,
        }
    }
}

#[derive(Default)]
pub(crate) struct LayoutStage {
    pub(crate) seats: SeatStage,
    pub(crate) loads: LoadStage,
    pub(crate) slow: SlowStage,
    pub(crate) circuits: CircuitStage,
    report: Option<(ProjectKey, Arc<Report>)>,
}

impl LayoutStage {
    /// The next check writes the report anew; the stages keep what they have.
    pub(crate) fn forget_report(&mut self) {
        self.report = None;
    }
}

impl Analyst {
    /// An analyst that remembers nothing yet and writes in millimetres, kilopascals and newtons.
    pub fn new() -> Self {
        Self::default()
    }

    /// As [`Analyst::new`], with sentences in the units a person picked.
    pub fn with_units(units: UnitChoice) -> Self {
        Self { units, ..Self::default() }
    }

    /// Sentences from now on are in these units; figures stay in base units.
    pub fn set_units(&mut self, units: UnitChoice) {
        self.units = units;
    }

    /// Moves that fixes propose land on a grid of this step from the drawing's origin, mm, wherever such a place fixes the finding as
    /// well; `None`, as at first, for the nearest place that can be printed. Parts of a tool that carries several keep to that.
    pub fn set_step(&mut self, step_mm: Option<f64>) {
        self.step_mm = step_mm.filter(|step| step.is_finite() && *step > 0.0);
    }

    /// Units of the sentences.
    pub fn units(&self) -> UnitChoice {
        self.units
    }

    /// The step of the grid that fixes land on, mm.
    pub(crate) fn step_mm(&self) -> Option<f64> {
        self.step_mm
    }

    /// Everything known about one layout. The same `Arc` as before when nothing that it depends on was edited.
    ///
    /// A layout that the project does not have gives a report that says so.
    pub fn check(&mut self, project: &Project, layout: LayoutId) -> Arc<Report> {
        if let Some(shared) = project.layout(layout).filter(|layout| !layout.seats.is_empty()) {
            return self.check_family(project, shared);
        }
        let key = ProjectKey::of(project, self.units, self.step_mm);
        if let Some((held, report)) = self.layouts.get(&layout).and_then(|stage| stage.report.as_ref())
            && *held == key
        {
            return Arc::clone(report);
        }
        let Some(layout) = project.layout(layout) else { return Arc::new(assemble::no_such(layout)) };
        let mut problems = self.inputs.problems(project, layout, &self.units);
        let of_seat = self.seated.iter().flat_map(|seated| &seated.problems);
        problems.extend(of_seat.map(|problem| problem.clone().in_units(&self.units)));
        let report = Arc::new(self.work_out(project, layout, &problems));
        self.layouts.entry(layout.id).or_default().report = Some((key, Arc::clone(&report)));
        self.forget_removed(project);
        report
    }

    /// From now on this works out one part of a tool that carries several.
    pub(crate) fn seat(&mut self, seated: Seated) {
        if self.seated.as_deref() != Some(&seated) {
            self.seated = Some(Arc::new(seated));
            self.layouts.values_mut().for_each(LayoutStage::forget_report);
        }
    }

    /// Where the centre of a cup of a model may be with the clearance that the placement asks for anywhere on the part;
    /// `None` when the part or the model cannot be worked with, or the part has too many corners for it. Remembered by drawing, shape, turn and margin.
    pub fn landing_region(
        &mut self,
        project: &Project,
        layout: LayoutId,
        model: &ModelId,
        turn_deg: f64,
    ) -> Option<Arc<LandingRegion>> {
        if let Some((analyst, alone)) = self.seated(project, layout) {
            return analyst.landing_region(&alone, layout, model, turn_deg);
        }
        let part = project.part(project.layout(layout)?.part)?;
        let model = project
            .model(model)
            .or_else(|| document::library().iter().find(|candidate| &candidate.id == model))?;
        if model.out_of_range().is_some() || part.out_of_range().is_some() || !turn_deg.is_finite() {
            return None;
        }
        let Self { parts, regions, .. } = self;
        let ground = ground(parts.entry(part.id).or_default(), part)?;
        let key = ground.region_key(model.shape, turn_deg.to_radians());
        regions.get(key, ground.drawing).map(|region| Arc::clone(&region.all))
    }

    /// Pieces of a cup's lip that lie off the sound surface, for drawing; none where the cup lands.
    pub fn overhang(&mut self, project: &Project, layout: LayoutId, cup: CupId) -> Vec<Overhang> {
        if let Some((analyst, alone)) = self.seated(project, layout) {
            return analyst.overhang(&alone, layout, cup);
        }
        let found = || {
            let layout = project.layout(layout)?;
            let cup = layout.cups.iter().find(|candidate| candidate.id == cup)?;
            Some((project.part(layout.part)?, cup, project.model(&cup.model)?))
        };
        let Some((part, cup, model)) = found() else { return Vec::new() };
        if model.out_of_range().is_some() || part.out_of_range().is_some() {
            return Vec::new();
        }
        let Some(ground) = ground(self.parts.entry(part.id).or_default(), part) else { return Vec::new() };
        let lip = geometry::Lip { shape: model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
        ground.shape.surface.overhang(&lip)
    }

    fn forget_removed(&mut self, project: &Project) {
        self.parts.retain(|id, _| project.part(*id).is_some());
        self.layouts.retain(|id, _| project.layout(*id).is_some());
        self.family.forget_removed(project);
    }

    fn work_out(&mut self, project: &Project, layout: &Layout, problems: &[Problem]) -> Report {
        let Self { units, parts, layouts, regions, seated, .. } = self;
        let (words, step_mm) = (Words { choice: units }, self.step_mm);
        let of = Of { project, layout, problems, words, step_mm, seated: seated.as_deref() };
        let stage = layouts.entry(layout.id).or_default();
        let part_stage = project.part(layout.part).map(|part| &mut *parts.entry(part.id).or_default());
        #[cfg_attr(not(test), expect(unused_mut, reason = "a test spoils figures before they are judged"))]
        let mut figures = Figures::work_out(of, part_stage, stage, regions);
        #[cfg(test)]
        if let Some(poison) = self.poison {
            poison(&mut figures);
        }
        judge(of, figures, stage, regions)
    }
}
