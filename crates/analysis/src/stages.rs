//! The stages in their order, each remembered with its inputs.

use crate::{
    assemble, assumed,
    assumptions::assumptions,
    balance,
    circuit::CircuitStage,
    envelopes,
    findings::{self, Facts},
    inputs::{self, InputStage, blocking, lower_cups},
    loads::{Case, LoadStage},
    lower::{self, CupFacts},
    lower_motion,
    memo::{Shared, shared},
    part_stage::{PartStage, ground},
    report::{CircuitStatus, MotionReport, Report},
    robot,
    seats::{Gap, Ground, Seat, SeatStage},
    shape::Regions,
    slow::SlowStage,
    snapshot::Snapshot,
    title_fields::blank_title_fields,
    verdict,
    words::Words,
};
use document::{
    Accepted, Circuit, CupId, CupModel, Cycle, Layout, LayoutId, ModelId, Motion, MotionId, Part, PartId,
    Problem, Project, Rules, Site, SourceModel, Subject, Trial,
};
use geometry::{LandingRegion, Overhang};
use mechanics::LoadCase;
use std::{cell::RefCell, collections::HashMap, sync::Arc};
use units::{UnitChoice, standard_atmosphere};

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
/// assert_eq!(report.verdict.sentence, "No cups yet: pick a cup and click on the part");
/// ```
#[derive(Default)]
pub struct Analyst {
    units: UnitChoice,
    inputs: InputStage,
    pub(crate) parts: HashMap<PartId, PartStage>,
    pub(crate) layouts: HashMap<LayoutId, LayoutStage>,
    pub(crate) regions: Regions,
    /// Spoils what the stages made before it is judged.
    #[cfg(test)]
    pub(crate) poison: Option<fn(&mut Made<'_>)>,
}

/// What the stages made of a layout, for a test to spoil.
#[cfg(test)]
pub(crate) struct Made<'a> {
    pub body: &'a mut Option<mechanics::Body>,
    pub seats: &'a mut Vec<Seat>,
    pub gaps: &'a mut Vec<Gap>,
    pub cases: &'a mut Vec<Option<Arc<Case>>>,
    pub balance: &'a mut Option<crate::report::Balance>,
    pub robot: &'a mut Option<crate::report::RobotLoad>,
    pub circuits: &'a mut Vec<crate::report::CircuitReport>,
}

/// Everything of a project that a report can depend on. Equal by address as long as nothing was edited.
#[derive(Clone, PartialEq)]
struct ProjectKey {
    parts: Vec<Shared<Part>>,
    layouts: Vec<Shared<Layout>>,
    motions: Vec<Shared<Motion>>,
    circuits: Vec<Shared<Circuit>>,
    models: Vec<Shared<CupModel>>,
    sources: Vec<Shared<SourceModel>>,
    cycle: Cycle,
    trial: Shared<Trial>,
    site: Site,
    rules: Rules,
    accepted: Vec<Accepted>,
    blank_fields: Vec<&'static str>,
    units: UnitChoice,
}

impl ProjectKey {
    fn of(project: &Project, units: UnitChoice) -> Self {
        Self {
            parts: shared(&project.parts),
            layouts: shared(&project.layouts),
            motions: shared(&project.motions),
            circuits: shared(&project.circuits),
            models: shared(&project.models),
            sources: shared(&project.sources),
            cycle: project.cycle.clone(),
            trial: Shared(Arc::clone(&project.trial)),
            site: project.site,
            rules: project.rules,
            accepted: project.accepted.clone(),
            blank_fields: blank_title_fields(project),
            units,
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

    /// Units of the sentences.
    pub fn units(&self) -> UnitChoice {
        self.units
    }

    /// Everything known about one layout. The same `Arc` as before when nothing that it depends on was edited.
    ///
    /// A layout that the project does not have gives a report that says so.
    pub fn check(&mut self, project: &Project, layout: LayoutId) -> Arc<Report> {
        let key = ProjectKey::of(project, self.units);
        if let Some((held, report)) = self.layouts.get(&layout).and_then(|stage| stage.report.as_ref())
            && *held == key
        {
            return Arc::clone(report);
        }
        let Some(layout) = project.layout(layout) else { return Arc::new(assemble::no_such(layout)) };
        let problems = self.inputs.problems(project, layout, &self.units);
        let report = Arc::new(self.work_out(project, layout, &problems));
        self.layouts.entry(layout.id).or_default().report = Some((key, Arc::clone(&report)));
        self.forget_removed(project);
        report
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
    }

    fn work_out(&mut self, project: &Project, layout: &Layout, problems: &[Problem]) -> Report {
        #[cfg(test)]
        let poison = self.poison;
        let Self { units, parts, layouts, regions, .. } = self;
        let stage = layouts.entry(layout.id).or_default();
        let part = project.part(layout.part);
        // With a figure out of its range no stage is run: it could neither be trusted nor bounded.
        let refused = inputs::refused(problems);
        let sound = part.filter(|_| refused.is_none());

        let mut drawing_problems: &[String] = &[];
        let mut ground_found = None;
        let mut mass = None;
        if let Some(part) = sound {
            let part_stage = parts.entry(part.id).or_default();
            part_stage.prepare(part);
            mass = part_stage.mass.held();
            drawing_problems = part_stage.drawing_problems();
            ground_found = part_stage.ground(part);
        }
        let mass_problem = mass.and_then(|mass| mass.as_ref().err()).map(String::as_str);
        let mass = mass.and_then(|mass| mass.as_ref().ok());
        let body = mass.map(lower::body);

        let outside = standard_atmosphere(if refused.is_some() { 0.0 } else { project.site.altitude_m });
        let models = if refused.is_some() { HashMap::new() } else { lower::models(project) };
        let mut lowered = sound.map(|part| lower_cups(project, layout, part, &models)).unwrap_or_default();
        let on = (sound.map(Arc::as_ref), ground_found);
        let mut circuits = match refused {
            Some(says) => CircuitStage::refused(project, layout, problems, says),
            None => stage.circuits.bring(project, layout, on, &mut lowered, &models, problems),
        };
        let cups = lowered.cups.as_slice();

        let (seats, gaps) =
            seat_all(&mut stage.seats, cups, ground_found, regions, project.rules.gap_watch_mm);
        let load_cases = lower_motions(project, problems);
        let group = (!cups.is_empty()).then(|| stage.loads.group(cups));
        let blocked = refused
            .or(blocking(problems))
            .or(lowered.problem.as_deref())
            .or(circuits.blocked.as_deref())
            .or(mass_problem)
            .or(drawing_problems.first().map(String::as_str))
            .or((part.is_none()).then_some("the layout is on a part that is not in the project"))
            .or((layout.cups.is_empty()).then_some("there are no cups yet"));
        let outcomes = motion_outcomes(stage, project, cups, body, &group, blocked, &load_cases);
        let workable = body.zip(sound).filter(|_| blocked.is_none() && matches!(group, Some(Ok(_))));
        let assumed =
            sound.map(|part| assumed::assumed(project, part, &lowered.placed, &models)).unwrap_or_default();
        stage.slow.bring(workable.map(|(body, _)| {
            let (inputs, names) = assumed.iter().cloned().unzip();
            let cases = load_cases.iter().filter_map(|(id, case)| Some((*id, *case.as_ref().ok()?)));
            let cases: Vec<(MotionId, LoadCase)> = cases.collect();
            let required = (envelopes::required(project, &cases), project.rules.favourable_weight);
            let coupled = circuits.coupled(project, &cases);
            (Snapshot::of(&lowered, body, cases, inputs, required, outside, coupled), names)
        }));
        for report in circuits.reports.iter_mut().filter(|report| report.status == CircuitStatus::Solved) {
            report.slow = stage.slow.of_circuit(report.id);
        }
        let (ages, envelope) = (stage.slow.ages(), stage.slow.envelope());
        let robot = robot::load(&layout.tool, &lowered.placed, &models, body, project.site.payload_kg);

        let cases: Vec<Option<Arc<Case>>> =
            outcomes.iter().map(|outcome| outcome.as_ref().ok().cloned()).collect();
        let words = Words { choice: units };
        let motions: Vec<MotionReport> = project
            .motions
            .iter()
            .zip(outcomes)
            .map(|(motion, outcome)| MotionReport {
                id: motion.id,
                name: motion.name.clone(),
                required_factor: motion.required_factor,
                outcome: outcome.map(|case| {
                    let slow = stage.slow.of_motion(motion.id);
                    assemble::outcome_of(motion, &case, cups, slow, &words)
                }),
            })
            .collect();
        let by_motion: Vec<(MotionId, Option<Arc<Case>>)> =
            motions.iter().map(|motion| motion.id).zip(cases.iter().cloned()).collect();
        let balance = body.and_then(|body| balance::balance(cups, body.centre, &by_motion));

        #[cfg(test)]
        let (mut body, mut seats, mut gaps, mut cases, mut balance, mut robot) =
            (body, seats, gaps, cases, balance, robot);
        #[cfg(test)]
        if let Some(poison) = poison {
            poison(&mut Made {
                body: &mut body,
                seats: &mut seats,
                gaps: &mut gaps,
                cases: &mut cases,
                balance: &mut balance,
                robot: &mut robot,
                circuits: &mut circuits.reports,
            });
        }
        let facts = Facts {
            project,
            layout,
            part: part.map(Arc::as_ref),
            words,
            ground: ground_found,
            body,
            cups,
            placed: &lowered.placed,
            seats: &seats,
            gaps: &gaps,
            group: group.as_ref().and_then(|group| group.as_ref().ok()).map(Arc::as_ref),
            group_error: group.as_ref().and_then(|group| group.as_ref().err()).map(String::as_str),
            arrangement: mechanics::arrangement(&cups.iter().map(|cup| cup.lip.at).collect::<Vec<_>>()),
            balance: balance.as_ref(),
            motions: &motions,
            cases: &cases,
            problems,
            drawing_problems,
            mass_problem,
            ages,
            drop_remedy: stage.slow.drop_remedy(),
            robot: robot.as_ref(),
            circuits: &circuits.reports,
            assumed: &assumed,
            models: &models,
            outside,
            regions: RefCell::new(regions),
        };
        let counted_as_sealed = facts.hanging().into_iter().map(|index| facts.cups[index].id).collect();
        let findings = findings::all(&facts, &project.accepted, layout.id);
        let verdict = verdict::verdict(&facts, &findings);
        findings::judge_levels(&mut circuits.reports, &findings);
        let part_report = part
            .zip(ground_found)
            .zip(mass)
            .map(|((part, ground), mass)| assemble::part_report(part, ground.shape, mass));
        let cups = assemble::cup_reports(
            project,
            part.map(Arc::as_ref),
            &lowered,
            ground_found,
            &seats,
            &models,
            &cases,
        );
        let levels_when_lost = stage.slow.levels_when_lost(&cups);
        Report {
            layout: layout.id,
            layout_name: layout.name.clone(),
            verdict,
            part: part_report,
            cups,
            balance,
            not_checked: assemble::not_checked(
                &motions,
                envelope.as_ref(),
                ages,
                robot.is_some(),
                &circuits.reports,
            ),
            ages,
            envelope,
            levels_when_lost,
            robot,
            circuits: circuits.reports,
            counted_as_sealed,
            motions,
            findings,
            assumptions: assumptions(project, layout, part.map(Arc::as_ref)),
        }
    }
}

fn seat_all(
    stage: &mut SeatStage,
    cups: &[CupFacts],
    ground: Option<Ground<'_>>,
    regions: &mut Regions,
    gap_watch_mm: f64,
) -> (Vec<Seat>, Vec<Gap>) {
    let seats = ground.map(|ground| stage.seats(cups, ground, regions)).unwrap_or_default();
    // Lips that overlap are told even where no spare gap is asked for.
    let gaps = stage.gaps(cups, gap_watch_mm.max(0.0));
    (seats, gaps)
}

/// Every motion as a load case, or why it is none: a motion with a problem of its own is not handed to the engine.
fn lower_motions(project: &Project, problems: &[Problem]) -> Vec<(MotionId, Result<LoadCase, String>)> {
    let problem_of = |id: MotionId| problems.iter().find(|problem| problem.subject == Subject::Motion(id));
    project
        .motions
        .iter()
        .map(|motion| {
            let case = match problem_of(motion.id) {
                Some(problem) => Err(problem.says.clone()),
                None => {
                    let case = lower_motion::load_case(motion, &project.rules);
                    lower_motion::not_a_figure(motion, &case).map_or(Ok(case), Err)
                }
            };
            (motion.id, case)
        })
        .collect()
}

fn motion_outcomes(
    stage: &mut LayoutStage,
    project: &Project,
    cups: &[CupFacts],
    body: Option<mechanics::Body>,
    group: &Option<Result<Arc<mechanics::CupGroup>, String>>,
    blocked: Option<&str>,
    load_cases: &[(MotionId, Result<LoadCase, String>)],
) -> Vec<Result<Arc<Case>, String>> {
    let all = |reason: &str| project.motions.iter().map(|_| Err(reason.to_owned())).collect();
    if let Some(reason) = blocked {
        return all(reason);
    }
    let (Some(group), Some(body)) = (group, body) else { return all("there are no cups yet") };
    let group = match group {
        Ok(group) => group,
        Err(reason) => return all(reason),
    };
    let sound: Vec<(MotionId, LoadCase)> =
        load_cases.iter().filter_map(|(id, case)| Some((*id, *case.as_ref().ok()?))).collect();
    let mut solved = stage.loads.cases(cups, &body, group, &sound).into_iter();
    load_cases
        .iter()
        .map(|(_, case)| match case {
            Err(problem) => Err(problem.clone()),
            Ok(_) => solved.next().unwrap_or_else(|| Err("it was not worked out".to_owned())),
        })
        .collect()
}
