//! What would explain a measurement in the field.

use crate::stages::Analyst;
use document::{BaselineCurve, CircuitId, CupId, CurveKind, LayoutId, Project, Stage, TrialKind};
use units::VacuumLevel;
use vacuum::{
    Course, CourseKind, Fault, Gauge, Measured, SourceId, TimedLevel, rank_causes, unexplained_without_fault,
};

/// So many causes are told.
const TOLD: usize = 8;

/// Causes of what was measured in the field on one circuit, the one that explains it best first.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldCauses {
    /// How many measurements were used: of each cup's level, each time to a level, the leak-down and each curve, the latest. A
    /// curve counts as one.
    pub measurements: usize,
    /// How many of them have a baseline of the same thing: what the circuit as worked out was off then is taken out.
    pub with_baseline: usize,
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
    /// Ranks what would explain the field measurements of the project's trial on one circuit - levels, times, leak-downs and
    /// recorded curves - by solving the circuit with each single fault: a leak at a cup or in a hose, a clogged filter, a low
    /// feed. Where the same was measured when the tool was taken into service, it is the change since then that is explained.
    ///
    /// A time or a leak-down belongs to the cup where the level is least and comes last; so does a curve at the source to the
    /// source of that cup.
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
        // A source without a check valve lets air back as soon as it stands still.
        let network = match input.model.0.air_saving {
            true => built.network.clone(),
            false => built.with_way_back(&input.model.0).unwrap_or_else(|| built.network.clone()),
        };
        let place = |cup: CupId| input.cups.iter().position(|held| held.id == cup);
        let of = Of {
            project,
            layout,
            circuit,
            places: &place,
            ids: network.spec().cup_ids().collect(),
            worst: solved.report.worst_cup().and_then(|cup| place(cup.id)),
            source_of: built.sources.iter().map(|source| source.cup).collect(),
            sources: network.spec().source_ids().collect(),
        };
        let (field, baseline) = (of.measured(Stage::Field), of.measured(Stage::Baseline));
        let measurements = field.count();
        if measurements == 0 {
            return Err("nothing was measured in the field on this circuit; enter a level at a cup, a time to a level, a \
                        leak-down or a curve"
                .to_owned());
        }
        let measured = field.against(&baseline, &network);
        let elements = &built.elements;
        let causes = rank_causes(&network, &measured)
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
            with_baseline: of.with_baseline(&field, &baseline),
            without_fault_kpa: unexplained_without_fault(&network, &measured),
            causes,
        })
    }
}

/// The circuit that measurements are looked up for.
struct Of<'a> {
    project: &'a Project,
    layout: LayoutId,
    circuit: CircuitId,
    places: &'a dyn Fn(CupId) -> Option<usize>,
    ids: Vec<vacuum::CupId>,
    /// Place of the cup with the least level.
    worst: Option<usize>,
    /// The cup of each source, and its id.
    source_of: Vec<Option<CupId>>,
    sources: Vec<SourceId>,
}

impl Of<'_> {
    fn id(&self, cup: CupId) -> Option<vacuum::CupId> {
        self.ids.get((self.places)(cup)?).copied()
    }

    /// The latest measurements of a stage.
    fn measured(&self, stage: Stage) -> Measured {
        let mut measured = Measured::default();
        let worst = self.worst.and_then(|place| self.ids.get(place).copied());
        let trial = &self.project.trial;
        for entry in trial.entries.iter().filter(|entry| entry.stage == stage) {
            match &entry.what {
                TrialKind::Level { layout, cup } if *layout == self.layout => {
                    let Some(id) = self.id(*cup) else { continue };
                    measured.levels.retain(|(held, _)| *held != id);
                    measured.levels.push((id, VacuumLevel::from_kpa(entry.value)));
                }
                TrialKind::TimeToLevel { circuit, level_kpa } if *circuit == self.circuit => {
                    let Some(cup) = worst else { continue };
                    let level = VacuumLevel::from_kpa(*level_kpa);
                    measured.times.retain(|held| held.level.kpa() != level.kpa());
                    measured.times.push(TimedLevel { cup, level, after_s: entry.value });
                }
                TrialKind::LeakDown { circuit, from_kpa, over_s } if *circuit == self.circuit => {
                    let Some(cup) = worst else { continue };
                    let points = [(0.0, *from_kpa), (*over_s, from_kpa - entry.value)];
                    latest(&mut measured, Gauge::Cup(cup), CourseKind::LeakDown, &points);
                }
                _ => {}
            }
        }
        for curve in trial.curves.iter().filter(|curve| curve.circuit == self.circuit && curve.stage == stage)
        {
            let Some(at) = self.gauge(curve) else { continue };
            let kind = match curve.kind {
                CurveKind::Evacuation => CourseKind::Evacuation,
                CurveKind::LeakDown => CourseKind::LeakDown,
            };
            latest(&mut measured, at, kind, &curve.points);
        }
        measured
    }

    fn gauge(&self, curve: &BaselineCurve) -> Option<Gauge> {
        if let Some(cup) = curve.cup {
            return self.id(cup).map(Gauge::Cup);
        }
        let at_worst = |cup: &Option<CupId>| cup.and_then(|cup| (self.places)(cup)) == self.worst;
        let own = self.source_of.iter().position(at_worst).unwrap_or(0);
        self.sources.get(own).copied().map(Gauge::Source)
    }

    fn with_baseline(&self, field: &Measured, baseline: &Measured) -> usize {
        let levels = field.levels.iter().filter(|(cup, _)| baseline.levels.iter().any(|(at, _)| at == cup));
        let times =
            field.times.iter().filter(|time| baseline.times.iter().any(|held| held.level == time.level));
        let same = |a: &Course, b: &Course| a.at == b.at && a.kind == b.kind;
        let courses =
            field.courses.iter().filter(|course| baseline.courses.iter().any(|held| same(held, course)));
        levels.count() + times.count() + courses.count()
    }
}

/// Adds a course in place of an earlier one of the same; what is none is left out.
fn latest(measured: &mut Measured, at: Gauge, kind: CourseKind, points: &[(f64, f64)]) {
    let rising = points.windows(2).all(|pair| pair[0].0 < pair[1].0);
    let sound = |(t, kpa): &(f64, f64)| t.is_finite() && *t >= 0.0 && kpa.is_finite() && *kpa >= 0.0;
    if points.len() < 2 || !rising || !points.iter().all(sound) {
        return;
    }
    measured.courses.retain(|held| held.at != at || held.kind != kind);
    let points = points.iter().map(|(t, kpa)| (*t, VacuumLevel::from_kpa(*kpa))).collect();
    measured.courses.push(Course { at, kind, points });
}
