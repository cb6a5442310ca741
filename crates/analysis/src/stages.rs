//! The stages in their order, each remembered with its inputs.

use crate::{
    assumptions::assumptions,
    balance,
    findings::{self, Facts, NOT_BUILT},
    loads::{Case, LoadStage},
    lower::{self, CupFacts, ModelFacts},
    memo::{Shared, Slot, shared},
    report::{CupInMotion, CupReport, MotionOutcome, MotionReport, PartReport, Report, Severity, Verdict},
    seats::{Gap, Ground, Seat, SeatStage},
    shape::{Drawing, Regions, Shape},
    verdict,
    words::Words,
};
use document::{
    Accepted, Attached, Circuit, Cup, CupId, CupModel, Layout, LayoutId, MassBy, ModelId, Motion, MotionId,
    Part, PartId, Problem, Project, Rules, Site, Sourced, Subject,
};
use geometry::{LandingRegion, MassProperties, Overhang};
use glam::DVec3;
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
    problems: Slot<InputKey, Vec<Problem>>,
    parts: HashMap<PartId, PartStage>,
    layouts: HashMap<LayoutId, LayoutStage>,
    regions: Regions,
}

/// Everything of a project that a report can depend on. Equal by address as long as nothing was edited.
#[derive(Clone, PartialEq)]
struct ProjectKey {
    parts: Vec<Shared<Part>>,
    layouts: Vec<Shared<Layout>>,
    motions: Vec<Shared<Motion>>,
    circuits: Vec<Shared<Circuit>>,
    models: Vec<Shared<CupModel>>,
    site: Site,
    rules: Rules,
    accepted: Vec<Accepted>,
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
            site: project.site,
            rules: project.rules,
            accepted: project.accepted.clone(),
            units,
        }
    }
}

/// Inputs apart from the layouts, whose problems change with every step of a drag.
#[derive(Clone, PartialEq)]
struct InputKey {
    parts: Vec<Shared<Part>>,
    motions: Vec<Shared<Motion>>,
    circuits: Vec<Shared<Circuit>>,
    models: Vec<Shared<CupModel>>,
    site: Site,
    rules: Rules,
}

#[derive(Default)]
struct PartStage {
    shape: Slot<Drawing, Result<Shape, Vec<String>>>,
    mass: Slot<MassKey, Result<MassProperties, String>>,
}

/// What the mass depends on; the drawing by its count.
#[derive(Debug, Clone, PartialEq)]
struct MassKey {
    drawing: u64,
    thickness_mm: f64,
    mass: MassBy,
    centre: Option<Sourced<DVec3>>,
    attached: Vec<Attached>,
}

#[derive(Default)]
struct LayoutStage {
    seats: SeatStage,
    loads: LoadStage,
    report: Option<(ProjectKey, Arc<Report>)>,
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
        let Some(layout) = project.layout(layout) else { return Arc::new(no_such(layout)) };
        let problems = self.problems_of(project, layout);
        let report = Arc::new(self.work_out(project, layout, &problems));
        self.layouts.entry(layout.id).or_default().report = Some((key, Arc::clone(&report)));
        self.forget_removed(project);
        report
    }

    /// Where the centre of a cup of a model may be with the clearance that the placement asks for anywhere on the part;
    /// `None` when the part or the model cannot be worked with. Remembered by drawing, shape, turn and margin.
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
        let Self { parts, regions, .. } = self;
        let ground = ground(parts.entry(part.id).or_default(), part)?;
        Some(regions.get(ground.region_key(model.shape, turn_deg.to_radians()), ground.drawing))
    }

    /// Pieces of a cup's lip that lie off the sound surface, for drawing; none where the cup lands.
    pub fn overhang(&mut self, project: &Project, layout: LayoutId, cup: CupId) -> Vec<Overhang> {
        let found = || {
            let layout = project.layout(layout)?;
            let cup = layout.cups.iter().find(|candidate| candidate.id == cup)?;
            Some((project.part(layout.part)?, cup, project.model(&cup.model)?))
        };
        let Some((part, cup, model)) = found() else { return Vec::new() };
        let Some(ground) = ground(self.parts.entry(part.id).or_default(), part) else { return Vec::new() };
        let lip = geometry::Lip { shape: model.shape, at: cup.at, turn: cup.turn_deg.to_radians() };
        ground.shape.surface.overhang(&lip)
    }

    fn forget_removed(&mut self, project: &Project) {
        self.parts.retain(|id, _| project.part(*id).is_some());
        self.layouts.retain(|id, _| project.layout(*id).is_some());
    }

    /// Problems of what the layout uses.
    ///
    /// The document names them all at once. Validating an outline costs far more than the rest, so it is asked about
    /// parts, motions and models only when those change, and about the layout with outlines left out.
    fn problems_of(&mut self, project: &Project, layout: &Arc<Layout>) -> Vec<Problem> {
        let key = InputKey {
            parts: shared(&project.parts),
            motions: shared(&project.motions),
            circuits: shared(&project.circuits),
            models: shared(&project.models),
            site: project.site,
            rules: project.rules,
        };
        let inputs =
            self.problems.get(key, |_| Project { layouts: Vec::new(), ..project.clone() }.problems());
        let without_outline = |part: &Arc<Part>| {
            Arc::new(Part { outline: Arc::default(), keep_outs: Vec::new(), ..Part::clone(part) })
        };
        let only_layout = Project {
            parts: project.parts.iter().map(without_outline).collect(),
            layouts: vec![Arc::clone(layout)],
            ..project.clone()
        };
        let of_layout = only_layout
            .problems()
            .into_iter()
            .filter(|problem| matches!(problem.subject, Subject::Layout(_) | Subject::Cup(..)));
        relevant(inputs, layout).chain(of_layout).collect()
    }

    fn work_out(&mut self, project: &Project, layout: &Layout, problems: &[Problem]) -> Report {
        let Self { units, parts, layouts, regions, .. } = self;
        let stage = layouts.entry(layout.id).or_default();
        let part = project.part(layout.part);

        let mut drawing_problems: &[String] = &[];
        let mut ground_found = None;
        let mut mass = None;
        if let Some(part) = part {
            let part_stage = parts.entry(part.id).or_default();
            part_stage.prepare(part);
            mass = part_stage.mass.held();
            drawing_problems = part_stage.drawing_problems();
            ground_found = part_stage.ground(part);
        }
        let mass_problem = mass.and_then(|mass| mass.as_ref().err()).map(String::as_str);
        let mass = mass.and_then(|mass| mass.as_ref().ok());
        let body = mass.map(lower::body);

        let outside = standard_atmosphere(project.site.altitude_m);
        let models = lower::models(project);
        let lowered = part.map(|part| lower_cups(project, layout, part, &models)).unwrap_or_default();
        let cups = lowered.cups.as_slice();

        let (seats, gaps) =
            seat_all(&mut stage.seats, cups, ground_found, regions, project.rules.gap_watch_mm);
        let load_cases: Vec<(MotionId, LoadCase)> =
            project.motions.iter().map(|motion| (motion.id, lower::load_case(motion))).collect();
        let group = (!cups.is_empty()).then(|| stage.loads.group(cups));
        let blocked = blocking(problems)
            .or(lowered.problem.as_deref())
            .or(mass_problem)
            .or(drawing_problems.first().map(String::as_str))
            .or((part.is_none()).then_some("the layout is on a part that is not in the project"))
            .or((layout.cups.is_empty()).then_some("there are no cups yet"));
        let outcomes = motion_outcomes(stage, project, cups, body, &group, blocked, problems, &load_cases);

        let cases: Vec<Option<Arc<Case>>> =
            outcomes.iter().map(|outcome| outcome.as_ref().ok().cloned()).collect();
        let motions: Vec<MotionReport> = project
            .motions
            .iter()
            .zip(outcomes)
            .map(|(motion, outcome)| MotionReport {
                id: motion.id,
                name: motion.name.clone(),
                required_factor: motion.required_factor,
                outcome: outcome.map(|case| outcome_of(&case, cups)),
            })
            .collect();
        let by_motion: Vec<(MotionId, Option<Arc<Case>>)> =
            motions.iter().map(|motion| motion.id).zip(cases.iter().cloned()).collect();
        let balance = body.and_then(|body| balance::balance(cups, body.centre, &by_motion));

        let words = Words { choice: units };
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
            models: &models,
            outside,
            regions: RefCell::new(regions),
        };
        let findings = findings::all(&facts, &project.accepted, layout.id);
        let verdict = verdict::verdict(&facts, &findings);
        let part_report = part
            .zip(ground_found)
            .zip(mass)
            .map(|((part, ground), mass)| part_report(part, ground.shape, mass));
        let cups =
            cup_reports(project, part.map(Arc::as_ref), &lowered, ground_found, &seats, &models, &cases);
        Report {
            layout: layout.id,
            layout_name: layout.name.clone(),
            verdict,
            part: part_report,
            cups,
            balance,
            not_checked: not_checked(&motions),
            motions,
            findings,
            assumptions: assumptions(project, layout, part.map(Arc::as_ref)),
        }
    }
}

impl PartStage {
    /// Brings drawing and mass up to date.
    fn prepare(&mut self, part: &Part) {
        self.shape.get(Drawing::of(part), Shape::prepare);
        let key = MassKey {
            drawing: self.shape.made(),
            thickness_mm: part.thickness_mm,
            mass: part.mass.clone(),
            centre: part.centre_of_gravity.clone(),
            attached: part.attached.clone(),
        };
        if let Some(Ok(shape)) = self.shape.held() {
            self.mass.get(key, |_| lower::mass(part, &shape.section));
        } else {
            self.mass.clear();
        }
    }

    fn drawing_problems(&self) -> &[String] {
        match self.shape.held() {
            Some(Err(problems)) => problems,
            _ => &[],
        }
    }

    fn ground(&self, part: &Part) -> Option<Ground<'_>> {
        let (drawing, shape) = self.shape.held_with_key()?;
        let shape = shape.as_ref().ok()?;
        Some(Ground {
            part: part.id,
            drawing_count: self.shape.made(),
            drawing,
            shape,
            placement: part.placement,
        })
    }
}

fn ground<'a>(stage: &'a mut PartStage, part: &Part) -> Option<Ground<'a>> {
    stage.prepare(part);
    stage.ground(part)
}

/// Cups that could be lowered, and what stood against the first that could not.
#[derive(Default)]
struct Lowered<'a> {
    cups: Vec<CupFacts>,
    placed: Vec<&'a Cup>,
    problem: Option<String>,
}

fn lower_cups<'a>(
    project: &Project,
    layout: &'a Layout,
    part: &Part,
    models: &HashMap<&ModelId, ModelFacts<'_>>,
) -> Lowered<'a> {
    let outside = standard_atmosphere(project.site.altitude_m);
    let mut lowered = Lowered::default();
    for cup in &layout.cups {
        match lower::cup(cup, models, project, part, outside) {
            Ok(facts) if facts.usable() => {
                lowered.cups.push(facts);
                lowered.placed.push(cup);
            }
            Ok(_) => {
                lowered.problem.get_or_insert_with(|| {
                    format!(
                        "{} has a size, stiffness, level or friction that is not a positive figure",
                        cup.tag
                    )
                });
            }
            Err(problem) => {
                lowered.problem.get_or_insert(problem);
            }
        }
    }
    lowered
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

/// Problems of what this layout uses, of those that are not its own.
fn relevant<'a>(problems: &'a [Problem], layout: &'a Layout) -> impl Iterator<Item = Problem> + 'a {
    let used = |subject: &Subject| match subject {
        Subject::Project | Subject::Site | Subject::Motion(_) => true,
        Subject::Part(part) => *part == layout.part,
        Subject::Circuit(circuit) => layout.cups.iter().any(|cup| cup.circuit == *circuit),
        Subject::Model(model) => layout.cups.iter().any(|cup| cup.model == *model),
        Subject::Layout(_) | Subject::Cup(..) => false,
    };
    problems.iter().filter(move |problem| used(&problem.subject)).cloned()
}

/// The first problem that leaves every motion without a figure. What is wrong with a cup or its model shows when it is
/// lowered: much of it (a tag given twice) does not touch the figures.
fn blocking(problems: &[Problem]) -> Option<&str> {
    problems
        .iter()
        .find(|problem| matches!(problem.subject, Subject::Part(_) | Subject::Site | Subject::Circuit(_)))
        .map(|problem| problem.says.as_str())
}

#[allow(clippy::too_many_arguments, reason = "the inputs of the last engine stage, each from another stage")]
fn motion_outcomes(
    stage: &mut LayoutStage,
    project: &Project,
    cups: &[CupFacts],
    body: Option<mechanics::Body>,
    group: &Option<Result<Arc<mechanics::CupGroup>, String>>,
    blocked: Option<&str>,
    problems: &[Problem],
    load_cases: &[(MotionId, LoadCase)],
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
    // A motion with a problem of its own is not handed to the engine.
    let problem_of = |id: MotionId| {
        problems
            .iter()
            .find(|problem| problem.subject == Subject::Motion(id))
            .map(|problem| problem.says.clone())
    };
    let sound: Vec<(MotionId, LoadCase)> =
        load_cases.iter().filter(|(id, _)| problem_of(*id).is_none()).copied().collect();
    let mut solved = stage.loads.cases(cups, &body, group, &sound).into_iter();
    load_cases
        .iter()
        .map(|(id, _)| match problem_of(*id) {
            Some(problem) => Err(problem),
            None => solved.next().unwrap_or_else(|| Err("it was not worked out".to_owned())),
        })
        .collect()
}

fn outcome_of(case: &Case, cups: &[CupFacts]) -> MotionOutcome {
    let result = &case.result;
    let id = |index: usize| cups.get(index).map_or(CupId(0), |cup| cup.id);
    let limit = result.cup_worst.get(result.governing).map_or(mechanics::LipLimit::Seal, |(_, f)| f.limit);
    MotionOutcome {
        factor: case.factor(),
        governing_cup: id(result.governing),
        governing_limit: limit,
        instant: result.instant,
        wrench: result.wrench,
        cups: result
            .loads
            .iter()
            .zip(&result.cup_worst)
            .enumerate()
            .map(|(index, (load, (_, factor)))| CupInMotion { id: id(index), load: *load, factor: *factor })
            .collect(),
    }
}

fn part_report(part: &Part, shape: &Shape, mass: &MassProperties) -> PartReport {
    let metres = mass.inertia * 1e-6;
    PartReport {
        id: part.id,
        name: part.name.clone(),
        area_mm2: shape.section.area,
        perimeter_mm: shape.perimeter,
        holes: shape.holes,
        mass_kg: mass.mass,
        centre_of_gravity_mm: mass.centre,
        // The tensor carries minus signs off its diagonal; the report gives the products themselves.
        inertia_kg_m2: [
            metres.x_axis.x,
            metres.y_axis.y,
            metres.z_axis.z,
            -metres.y_axis.x,
            -metres.z_axis.x,
            -metres.z_axis.y,
        ],
        ix_mm4: shape.section.ix,
        iy_mm4: shape.section.iy,
        ixy_mm4: shape.section.ixy,
        bounds_mm: shape.bounds,
    }
}

fn cup_reports(
    project: &Project,
    part: Option<&Part>,
    lowered: &Lowered<'_>,
    ground: Option<Ground<'_>>,
    seats: &[Seat],
    models: &HashMap<&ModelId, ModelFacts<'_>>,
    cases: &[Option<Arc<Case>>],
) -> Vec<CupReport> {
    let circuits: HashMap<_, _> =
        project.circuits.iter().map(|circuit| (circuit.id, circuit.name.as_str())).collect();
    let worst = |index: usize| {
        cases
            .iter()
            .enumerate()
            .filter_map(|(motion, case)| Some((motion, case.as_ref()?.result.cup_worst.get(index)?.1)))
            .min_by(|a, b| a.1.value.total_cmp(&b.1.value))
    };
    lowered
        .cups
        .iter()
        .zip(&lowered.placed)
        .enumerate()
        .map(|(index, (facts, cup))| CupReport {
            id: cup.id,
            tag: cup.tag.clone(),
            model: models.get(&cup.model).map_or_else(String::new, |facts| facts.model.name.clone()),
            at: cup.at,
            turn_deg: cup.turn_deg,
            circuit: circuits.get(&cup.circuit).map_or_else(String::new, |name| (*name).to_owned()),
            zone: cup.zone.clone(),
            height_mm: cup.height_mm,
            shape: facts.lip.shape,
            sealing: facts.sealing,
            line: facts.strength.line,
            axial_n_mm: facts.spring.axial,
            lateral_n_mm: facts.spring.lateral,
            tilt_nm_rad: facts.spring.tilt,
            twist_nm_rad: facts.spring.twist,
            friction: facts.strength.friction,
            seal_minimum_n_mm: facts.strength.seal_minimum,
            slide_share: facts.strength.slide_share,
            clearance: seats.get(index).and_then(|seat| seat.clearance),
            required_clearance_mm: match (ground, part) {
                (Some(ground), _) => ground.required(&facts.lip.shape, cup.at),
                (None, Some(part)) => part.placement.position_mm + part.placement.drawing_mm,
                (None, None) => 0.0,
            },
            level_kpa: facts.level_kpa,
            vacuum_force_n: facts.strength.vacuum_force,
            worst: worst(index),
        })
        .collect()
}

/// What no stage computes, then the motions without a figure.
fn not_checked(motions: &[MotionReport]) -> Vec<(String, String)> {
    let stages = NOT_BUILT.iter().map(|(what, why)| ((*what).to_owned(), (*why).to_owned()));
    let without = motions.iter().filter_map(|motion| {
        let reason = motion.outcome.as_ref().err()?;
        Some((format!("factor, {}", motion.name), reason.clone()))
    });
    stages.chain(without).collect()
}

fn no_such(layout: LayoutId) -> Report {
    Report {
        layout,
        layout_name: String::new(),
        verdict: Verdict {
            severity: Severity::Fail,
            sentence: "No figure yet: this layout is not in the project".to_owned(),
            detail: "Pick another layout.".to_owned(),
            motion: None,
            cup: None,
        },
        part: None,
        cups: Vec::new(),
        balance: None,
        motions: Vec::new(),
        findings: Vec::new(),
        assumptions: Vec::new(),
        not_checked: not_checked(&[]),
    }
}
