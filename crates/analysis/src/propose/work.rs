//! The work: from a question to proposals, on a thread of its own where one likes.

use super::board::Board;
use super::cups;
use super::error::CannotPropose;
use super::on_tool::{Loads, OnTool, Surface};
use super::proposal::Proposals;
use super::run::Run;
use super::suit::{self, Suits};
use crate::{Analyst, Report, Watch, lower, lower_motion};
use document::{Cup, CupModel, HowMany, Layout, LayoutId, Pattern, Project, Question, Subject};
use mechanics::choice::{Carried, Duty, PartsScorer, Stop};
use std::sync::{
    Arc, Mutex, Weak,
    atomic::{AtomicBool, AtomicUsize, Ordering},
};
use units::{UnitChoice, standard_atmosphere};

/// Models that are looked at where any may be used.
const ANY: usize = 2;
/// A level that the circuit comes to with the proposed cups and that is off by more than this from the one searched with is searched
/// with once more, relative.
pub(super) const LEVEL: f64 = 0.02;

/// Progress of a job, and the word to stop.
#[derive(Debug, Default)]
pub struct ProposalWatch {
    stop: Arc<AtomicBool>,
    scored: AtomicUsize,
    best_millionths: AtomicUsize,
    on_one_core: bool,
    /// Jobs within the job, which stop with it.
    within: Mutex<Vec<Weak<Watch>>>,
}

/// How far a job is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProposalProgress {
    /// Layouts looked at.
    pub scored: usize,
    /// Score of the best so far.
    pub best: f64,
}

impl ProposalWatch {
    /// Of a job that keeps to one core. Its answer is the same.
    pub fn on_one_core() -> Self {
        Self { on_one_core: true, ..Self::default() }
    }

    /// Asks the job to stop and to keep the best so far.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Ok(within) = self.within.lock() {
            within.iter().filter_map(Weak::upgrade).for_each(|of| of.stop_all());
        }
    }

    /// A job within the job stops with it.
    pub(super) fn stops_with(&self, of: &Arc<Watch>) {
        if let Ok(mut within) = self.within.lock() {
            within.retain(|of| of.strong_count() > 0);
            within.push(Arc::downgrade(of));
        }
        // The word may have come between.
        if self.is_stopped() {
            of.stop_all();
        }
    }

    /// How far it is.
    pub fn progress(&self) -> ProposalProgress {
        ProposalProgress {
            scored: self.scored.load(Ordering::Relaxed),
            best: self.best_millionths.load(Ordering::Relaxed) as f64 * 1e-6,
        }
    }

    /// Takes the sets scored so far and the best score of one search after another, and says whether to go on.
    pub(super) fn telling(&self) -> impl FnMut(usize, f64) -> bool + '_ {
        let mut before = 0;
        move |scored, best| {
            let more = if scored < before { scored } else { scored - before };
            before = scored;
            self.scored.fetch_add(more.max(1), Ordering::Relaxed);
            if best.is_finite() {
                self.best_millionths.fetch_max((best.max(0.0) * 1e6) as usize, Ordering::Relaxed);
            }
            !self.is_stopped()
        }
    }

    /// Both at once where there are two cores, else one after the other.
    pub(super) fn both<A, B: Send>(
        &self,
        here: impl FnOnce() -> A,
        beside: impl FnOnce() -> B + Send,
    ) -> (A, B) {
        if self.on_one_core || std::thread::available_parallelism().map_or(1, usize::from) < 2 {
            let first = here();
            return (first, beside());
        }
        std::thread::scope(|scope| {
            let beside = scope.spawn(beside);
            let first = here();
            (first, beside.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
        })
    }

    pub(super) fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    pub(super) fn when_stopped(&self) -> Stop {
        let stop = Arc::clone(&self.stop);
        Stop::when(move || stop.load(Ordering::Relaxed))
    }
}

/// A question with all that it is answered from; may go to another thread.
#[derive(Debug, Clone)]
pub struct ProposalJob {
    pub(super) project: Project,
    pub(super) layout: LayoutId,
    pub(super) question: Question,
    pub(super) units: UnitChoice,
}

impl Analyst {
    /// What it takes to propose layouts for a question, beside one that there is.
    ///
    /// ```
    /// use analysis::{Analyst, ProposalWatch};
    /// use document::{HowMany, Motion, MotionKind, Part, PartId, Project, Question, library};
    ///
    /// let mut project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
    /// project.motions = vec![Motion::preset(document::MotionId(90), MotionKind::LevelLift).into()];
    /// let question = Question { models: vec![library()[0].id.clone()], count: HowMany::Exactly(4), ..Question::default() };
    /// let job = Analyst::new().proposal_job(&project, project.layouts[0].id, question);
    /// let found = job.run(&ProposalWatch::default(), &mut |_| {})?;
    /// assert!(found.proposals.iter().all(|proposal| proposal.figures.cups == 4));
    /// # Ok::<(), analysis::CannotPropose>(())
    /// ```
    pub fn proposal_job(&self, project: &Project, layout: LayoutId, question: Question) -> ProposalJob {
        ProposalJob { project: project.clone(), layout, question, units: self.units() }
    }
}

/// What all models have in common.
pub(super) struct Given<'a> {
    pub present: &'a Layout,
    pub on_tool: &'a [OnTool],
    pub loads: Vec<Loads>,
}

impl Given<'_> {
    /// A scorer of the parts that knows no place yet.
    pub(super) fn scorer(&self) -> PartsScorer {
        PartsScorer::new(&carried(&self.loads))
    }

    /// Whether cups find room about the centre of gravity of every part.
    pub(super) fn can_be_balanced(&self, board: &Board) -> bool {
        self.loads.iter().enumerate().all(|(part, of)| {
            let on = (0..board.lips.len()).filter(|place| board.of(*place)[part].1);
            let at: Vec<glam::DVec2> = on.map(|place| board.lips[place].at).collect();
            geometry::inside_hull(&at, of.body.centre.truncate()) > 0.0
        })
    }
}

pub(super) fn carried(loads: &[Loads]) -> Vec<Carried<'_>> {
    loads.iter().map(|of| Carried { body: of.body, duties: &of.duties }).collect()
}

/// The least level at a cup that holds, of every part, kPa.
pub(super) fn least_level(report: &Report) -> Option<f64> {
    let least = |report: &Report| report.cups.iter().map(|cup| cup.level_kpa).reduce(f64::min);
    match &report.family {
        Some(family) => family.seats.iter().filter_map(|seat| least(&seat.report)).reduce(f64::min),
        None => least(report),
    }
}

impl ProposalJob {
    /// Works it out. `give` gets what there is so far, as soon as there is a layout; what is given in the end is whole, unless it was
    /// stopped: then it is the best so far.
    ///
    /// # Errors
    /// Which question fails, and the nearest that works.
    pub fn run(
        &self,
        watch: &ProposalWatch,
        give: &mut dyn FnMut(Proposals),
    ) -> Result<Proposals, CannotPropose> {
        self.checked()?;
        let present = self.project.layout(self.layout).ok_or(CannotPropose::NoPart)?;
        let on_tool = self.on_tool(present)?;
        let given = Given { present, on_tool: &on_tool, loads: self.loads(&on_tool)? };
        let surfaces: Vec<Surface<'_>> = on_tool.iter().filter_map(OnTool::surface).collect();
        let named = !self.question.models.is_empty();
        let models = suit::models(&self.project, &self.question.models)?;
        let mut suits: Vec<Suits> =
            models.iter().map(|model| suit::judged_on(model, &on_tool, named, &self.units)).collect();
        let mut usable: Vec<Arc<CupModel>> = models
            .iter()
            .zip(&suits)
            .filter(|(_, suits)| suits.why_not.is_none())
            .map(|(model, _)| model.clone())
            .collect();
        if usable.is_empty() {
            let why =
                suits.iter().find_map(|suits| Some(format!("{}: {}", suits.name, suits.why_not.as_ref()?)));
            return Err(CannotPropose::NoneSuits(why.unwrap_or_default()));
        }
        let mut with_models = self.project.clone();
        with_models
            .models
            .extend(usable.iter().filter(|model| self.project.model(&model.id).is_none()).cloned());
        let level = self.level(present, &usable, &surfaces);
        let facts = lower::models(&with_models);
        for suits in suits.iter_mut().filter(|suits| suits.why_not.is_none()) {
            if let Some(facts) = facts.get(&suits.model) {
                suits.at_least = suit::at_least_on(facts, &on_tool, &given.loads, level, &with_models);
            }
        }
        let least = |model: &CupModel| {
            suits
                .iter()
                .find(|suits| suits.model == model.id)
                .and_then(|suits| suits.at_least)
                .unwrap_or(usize::MAX)
        };
        if !named {
            usable = likely(usable, &least, self.question.count, present);
        }
        let groups: Vec<Vec<Arc<CupModel>>> = if self.question.mixed && usable.len() > 1 {
            vec![usable.iter().take(2).cloned().collect()]
        } else {
            usable.iter().map(|model| vec![model.clone()]).collect()
        };
        let mut run = Run {
            job: self,
            given,
            suits,
            watch,
            project: with_models,
            found: Vec::new(),
            beside: Vec::new(),
            best: None,
        };
        for models in groups {
            let at_least = models.iter().map(|model| {
                run.suits
                    .iter()
                    .find(|suits| suits.model == model.id)
                    .and_then(|suits| suits.at_least)
                    .unwrap_or(1)
            });
            let at_least = at_least.min().unwrap_or(1);
            if let Err(why) = run.of_models(&models, &surfaces, level, at_least, give) {
                run.beside.push(why);
            }
            if watch.is_stopped() {
                break;
            }
        }
        run.ended()
    }

    fn checked(&self) -> Result<(), CannotPropose> {
        let Question { step_mm, lost_factor, count, .. } = self.question;
        let figures = [
            ("question.step_mm", step_mm),
            ("question.spacing_mm", self.spacing()),
            ("question.lost_factor", lost_factor),
        ];
        let fields = figures.iter().filter_map(|(key, value)| Some((document::field(key)?, *value)));
        if let Some((field, value)) = fields.into_iter().find(|(field, value)| !field.allows(*value)) {
            let (what, range) = (field.name, field.range(&self.units));
            return Err(CannotPropose::Number { what, value, range });
        }
        let cups = count.most();
        if !(1..=200).contains(&cups) {
            let range = "1 to 200".to_owned();
            return Err(CannotPropose::Number { what: "number of cups", value: cups as f64, range });
        }
        let layout = self.project.layout(self.layout);
        let locked = layout.map_or(0, |layout| layout.cups.iter().filter(|cup| cup.locked).count());
        if locked > cups {
            return Err(CannotPropose::MoreLocked { locked, wanted: cups });
        }
        if self.question.zone_lost {
            if layout.is_some_and(|layout| layout.seats.len() > 1) {
                return Err(CannotPropose::ZoneOfSeveral);
            }
            let zones: std::collections::BTreeSet<&str> =
                layout.into_iter().flat_map(|layout| &layout.cups).map(|cup| cup.zone.as_str()).collect();
            if zones.len() < 2 {
                return Err(CannotPropose::OneZone);
            }
            let part = layout.and_then(|layout| self.project.part(layout.part));
            if part.is_some_and(|part| part.modulus_n_mm2.is_some()) {
                return Err(CannotPropose::ZoneOfBending);
            }
        }
        if self.question.pattern == Some(Pattern::Frame)
            && layout.is_some_and(|layout| layout.tool.frame.is_empty())
        {
            return Err(CannotPropose::NoFrame);
        }
        Ok(())
    }

    /// Least gap between two lips, mm.
    pub(super) fn spacing(&self) -> f64 {
        self.question.spacing(&self.project.rules)
    }

    /// What a part must hold through.
    pub(super) fn duties(&self, on: &OnTool) -> Result<Vec<Duty>, CannotPropose> {
        let problems = self.project.problems_but_of_outlines();
        if let Some(problem) = crate::inputs::refused(&problems) {
            return Err(CannotPropose::Input(problem.to_owned()));
        }
        let of = |motion: &document::Motion| {
            let problem = problems.iter().find(|problem| problem.subject == Subject::Motion(motion.id));
            let case = lower_motion::load_case(motion, &self.project.rules);
            let why = problem
                .map(|problem| problem.says.clone())
                .or_else(|| lower_motion::not_a_figure(motion, &case));
            match why {
                Some(why) => Err(CannotPropose::Motion { motion: motion.name.clone(), why }),
                None => Ok(Duty {
                    case,
                    required: motion.required_factor,
                    required_lost: self.question.lost_factor,
                }),
            }
        };
        let makes = |motion: &&Arc<document::Motion>| !on.seat.left_out.contains(&motion.id);
        let duties: Vec<Duty> =
            self.project.motions.iter().filter(makes).map(|motion| of(motion)).collect::<Result<_, _>>()?;
        match duties.as_slice() {
            [] if self.project.motions.is_empty() => Err(CannotPropose::NoMotion),
            [] => Err(CannotPropose::NoMotionOf(on.part.name.clone())),
            _ => Ok(duties),
        }
    }

    /// The level at a new cup: the least that cups of the layout have; without any, that of one cup in the middle.
    pub(super) fn level(&self, present: &Layout, usable: &[Arc<CupModel>], surfaces: &[Surface<'_>]) -> f64 {
        let mut analyst = Analyst::new();
        if let Some(level) = least_level(&analyst.check(&self.project, self.layout)) {
            return level;
        }
        let circuit = self.project.circuits.first();
        let stated = circuit.and_then(|circuit| {
            suit::stated_level(&self.project, circuit.id, standard_atmosphere(self.project.site.altitude_m))
        });
        let (Some(circuit), Some(model), Some(first)) = (circuit, usable.first(), surfaces.first()) else {
            return stated.unwrap_or(0.0);
        };
        let cup = Cup {
            id: document::CupId(self.project.next_id().saturating_add(1)),
            tag: "C1".to_owned(),
            model: model.id.clone(),
            at: first.ground.shape.section.centroid,
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit: circuit.id,
            zone: "A".to_owned(),
            locked: false,
        };
        let id = LayoutId(self.project.next_id());
        let layout = Layout { id, cups: vec![cup], ..present.clone() };
        let report = analyst.check(&cups::with(&self.project, &layout, usable), id);
        least_level(&report).or(stated).unwrap_or(0.0)
    }
}

/// Of models that suit those worth a search: for a stated number the smallest whose lips hold enough; for fewest those that take
/// about four, on the careful side. What the layout has comes first.
fn likely(
    usable: Vec<Arc<CupModel>>,
    least: &dyn Fn(&CupModel) -> usize,
    count: HowMany,
    present: &Layout,
) -> Vec<Arc<CupModel>> {
    let used = |model: &CupModel| present.cups.iter().any(|cup| cup.model == model.id);
    let wanted = match count {
        HowMany::Exactly(count) => count,
        HowMany::Fewest { .. } => 4,
    };
    let area = |model: &CupModel| model.shape.line().area;
    let mut by: Vec<(bool, usize, f64, Arc<CupModel>)> = usable
        .into_iter()
        .map(|model| {
            // A cup held at an edge carries more than its share: about three quarters of the sum is had.
            let needs = least(&model).saturating_mul(4).div_ceil(3);
            let off = needs.saturating_sub(wanted);
            (!used(&model), off, area(&model), model)
        })
        .collect();
    by.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.total_cmp(&b.2)).then(a.3.id.cmp(&b.3.id)));
    by.into_iter().take(ANY).map(|(.., model)| model).collect()
}
