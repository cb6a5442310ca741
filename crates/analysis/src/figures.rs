//! The figures of one layout, stage by stage, with nothing judged yet.

use crate::{
    assemble,
    assumed::{self, Assumed},
    balance,
    bending::BendingInput,
    circuit::{CircuitStage, Circuits},
    envelopes,
    inputs::{self, Lowered, blocking, lower_cups},
    judge::Of,
    loads::Case,
    lower::{self, CupFacts, ModelFacts},
    lower_motion,
    part_stage::PartStage,
    report::{Balance, BendingReport, BentReserve, CircuitStatus, MotionReport, RingReport, RobotLoad},
    robot,
    seats::{Gap, Ground, Seat, SeatStage},
    shape::Regions,
    snapshot::Snapshot,
    stages::LayoutStage,
};
use document::{Cup, ModelId, MotionId, Part, Problem, Project, Subject};
use geometry::MassProperties;
use mechanics::{Body, CupGroup, LoadCase};
use std::{collections::HashMap, sync::Arc};
use units::{AbsolutePressure, UnitChoice, Worded, standard_atmosphere};

/// What the stages made of one layout.
pub(crate) struct Figures<'a> {
    pub part: Option<&'a Part>,
    /// Why no stage was run: a figure is out of its range and could neither be trusted nor bounded.
    refused: Option<&'a str>,
    pub ground: Option<Ground<'a>>,
    pub drawing_problems: Vec<String>,
    pub mass: Option<&'a Result<MassProperties, String>>,
    pub body: Option<Body>,
    pub outside: AbsolutePressure,
    pub models: HashMap<&'a ModelId, ModelFacts<'a>>,
    pub lowered: Lowered<'a>,
    pub circuits: Circuits,
    /// Beside the lowered cups; empty without a sound surface.
    pub seats: Vec<Seat>,
    pub gaps: Vec<Gap>,
    pub group: Option<Result<Arc<CupGroup>, Worded>>,
    /// Inputs that nobody measured or stated, with their names.
    pub assumed: Vec<(Assumed, String)>,
    pub motions: Vec<MotionReport>,
    /// Beside `motions`.
    pub cases: Vec<Option<Arc<Case>>>,
    pub balance: Option<Balance>,
    pub robot: Option<RobotLoad>,
    /// How the part bends, where it is let bend, or why that has no figures: a slow figure, as what follows from it.
    pub bending: Option<Result<Arc<BendingReport>, String>>,
    pub ringing: Option<Result<Arc<RingReport>, String>>,
    pub bent_reserve: Option<Result<Arc<BentReserve>, String>>,
}

/// What is known of a part.
#[derive(Default)]
struct OfPart<'a> {
    ground: Option<Ground<'a>>,
    drawing_problems: Vec<String>,
    mass: Option<&'a Result<MassProperties, String>>,
}

impl<'a> Figures<'a> {
    /// Brings every stage in step with the project.
    pub(crate) fn work_out(
        of: Of<'a>,
        part_stage: Option<&'a mut PartStage>,
        stage: &mut LayoutStage,
        regions: &mut Regions,
    ) -> Self {
        let Of { project, layout, problems, .. } = of;
        let part = project.part(layout.part).map(Arc::as_ref);
        let refused = inputs::refused(problems);
        let sound = part.filter(|_| refused.is_none());
        let OfPart { ground, drawing_problems, mass } = sound
            .zip(part_stage)
            .map(|(part, stage)| of_part(part, stage, of.words.choice))
            .unwrap_or_default();
        let body = mass.and_then(|mass| mass.as_ref().ok()).map(lower::body);
        let outside = standard_atmosphere(if refused.is_some() { 0.0 } else { project.site.altitude_m });
        let models = if refused.is_some() { HashMap::new() } else { lower::models(project) };
        let mut lowered = sound.map(|part| lower_cups(project, layout, part, &models)).unwrap_or_default();
        let circuits = match refused {
            Some(says) => CircuitStage::refused(project, layout, problems, says),
            None => stage.circuits.bring(
                project,
                layout,
                (sound, ground),
                &mut lowered,
                &models,
                (problems, of.seated),
            ),
        };
        // What draws air from beside the part is a leak of its circuit and holds nothing.
        if let Some(seated) = of.seated {
            lowered.keep(|cup| !seated.open.contains_key(&cup.id));
        }
        let (seats, gaps) =
            seat_all(&mut stage.seats, &lowered.cups, ground, regions, project.rules.gap_watch_mm);
        let group = (!lowered.cups.is_empty()).then(|| stage.loads.group(&lowered.cups));
        let assumed =
            sound.map(|part| assumed::assumed(project, part, &lowered.placed, &models)).unwrap_or_default();
        // The robot carries the whole tool, whichever of its cups hold.
        let beside = of.seated.into_iter().flat_map(|seated| &seated.beside);
        let carried: Vec<&Cup> = lowered.placed.iter().copied().chain(beside).collect();
        let robot = robot::load(&layout.tool, &carried, &models, body, project.site.payload_kg);
        let mut figures = Self {
            part,
            refused,
            ground,
            drawing_problems,
            mass,
            body,
            outside,
            models,
            lowered,
            circuits,
            seats,
            gaps,
            group,
            assumed,
            motions: Vec::new(),
            cases: Vec::new(),
            balance: None,
            robot,
            bending: None,
            ringing: None,
            bent_reserve: None,
        };
        figures.of_motions(of, stage);
        figures
    }

    /// Every motion, the slow figures that are there already, and the balance.
    fn of_motions(&mut self, of: Of<'a>, stage: &mut LayoutStage) {
        let Of { project, problems, .. } = of;
        let load_cases = lower_motions(project, problems);
        let blocked = self.blocked(of);
        let outcomes = self.outcomes(project, stage, (blocked, of.words.choice), &load_cases);
        let workable = self.body.filter(|_| blocked.is_none() && matches!(self.group, Some(Ok(_))));
        stage.slow.bring(workable.map(|body| self.snapshot(of, body, &load_cases)));
        self.bending = stage.slow.bending(of.words.choice);
        self.ringing = stage.slow.ringing(of.words.choice);
        self.bent_reserve = stage.slow.bent_reserve(of.words.choice);
        for report in self.circuits.reports.iter_mut() {
            if report.status == CircuitStatus::Solved {
                report.slow = stage.slow.of_circuit(report.id);
            }
        }
        self.cases = outcomes.iter().map(|outcome| outcome.as_ref().ok().cloned()).collect();
        let cups = self.lowered.cups.as_slice();
        let each = project.motions.iter().zip(outcomes).map(|(motion, outcome)| MotionReport {
            id: motion.id,
            name: motion.name.clone(),
            required_factor: motion.required_factor,
            outcome: outcome.map(|case| {
                let slow = stage.slow.of_motion(motion.id);
                assemble::outcome_of(motion, &case, cups, slow, &of.words)
            }),
        });
        self.motions = each.collect();
        let by_motion: Vec<(MotionId, Option<Arc<Case>>)> =
            self.motions.iter().map(|motion| motion.id).zip(self.cases.iter().cloned()).collect();
        self.balance = self.body.and_then(|body| balance::balance(cups, body.centre, &by_motion));
    }

    /// The first reason why no motion has a figure.
    fn blocked(&self, of: Of<'a>) -> Option<&str> {
        self.refused
            .or(blocking(of.problems))
            .or(self.lowered.problem.as_deref())
            .or(self.circuits.blocked.as_deref())
            .or(self.mass_problem())
            .or(self.drawing_problems.first().map(String::as_str))
            .or((self.part.is_none()).then_some("the layout is on a part that is not in the project"))
            .or((self.lowered.cups.is_empty()).then_some(if of.seated.is_some() {
                "no cup holds the part"
            } else {
                "there are no cups yet"
            }))
    }

    /// Why the part has no mass.
    pub(crate) fn mass_problem(&self) -> Option<&'a str> {
        self.mass.and_then(|mass| mass.as_ref().err()).map(String::as_str)
    }

    /// What the slow figures work on, and the names of what is assumed in it.
    fn snapshot(
        &self,
        of: Of<'a>,
        body: Body,
        load_cases: &[(MotionId, Result<LoadCase, String>)],
    ) -> (Snapshot, Vec<String>) {
        let Of { project, step_mm, .. } = of;
        let (inputs, names) = self.assumed.iter().cloned().unzip();
        let cases: Vec<(MotionId, LoadCase)> = sound_cases(load_cases).collect();
        let required = (envelopes::required(project, &cases), project.rules.favourable_weight);
        let coupled = self.circuits.coupled(project, &cases);
        let part = self.part.zip(self.ground);
        let bending =
            part.and_then(|(part, ground)| BendingInput::of(project, part, &ground.shape.section, step_mm));
        (Snapshot::of(&self.lowered, body, cases, inputs, required, self.outside, (coupled, bending)), names)
    }

    fn outcomes(
        &self,
        project: &Project,
        stage: &mut LayoutStage,
        (blocked, units): (Option<&str>, &UnitChoice),
        load_cases: &[(MotionId, Result<LoadCase, String>)],
    ) -> Vec<Result<Arc<Case>, String>> {
        let all = |reason: &str| project.motions.iter().map(|_| Err(reason.to_owned())).collect();
        if let Some(reason) = blocked {
            return all(reason);
        }
        let (Some(group), Some(body)) = (&self.group, self.body) else { return all("there are no cups yet") };
        let group = match group {
            Ok(group) => group,
            Err(reason) => return all(&reason.says(units)),
        };
        let sound: Vec<(MotionId, LoadCase)> = sound_cases(load_cases).collect();
        let mut solved = stage.loads.cases(&self.lowered.cups, &body, group, &sound).into_iter();
        load_cases
            .iter()
            .map(|(_, case)| match case {
                Err(problem) => Err(problem.clone()),
                Ok(_) => solved.next().map_or_else(
                    || Err("it was not calculated".to_owned()),
                    |solved| solved.map_err(|why| why.says(units)),
                ),
            })
            .collect()
    }
}

fn of_part<'a>(part: &'a Part, stage: &'a mut PartStage, units: &UnitChoice) -> OfPart<'a> {
    stage.prepare(part);
    let stage: &PartStage = stage;
    OfPart {
        ground: stage.ground(part),
        drawing_problems: stage.drawing_problems(units),
        mass: stage.mass.held(),
    }
}

fn sound_cases(
    load_cases: &[(MotionId, Result<LoadCase, String>)],
) -> impl Iterator<Item = (MotionId, LoadCase)> + '_ {
    load_cases.iter().filter_map(|(id, case)| Some((*id, *case.as_ref().ok()?)))
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
    let lips: Vec<_> = cups.iter().map(|cup| (cup.id, cup.lip)).collect();
    let gaps = stage.gaps(&lips, gap_watch_mm.max(0.0));
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
