//! What would explain a measurement in the field.

use super::{input::CircuitInput, lower::Described, operation};
use crate::stages::Analyst;
use document::{BaselineCurve, CircuitId, CupId, CurveKind, LayoutId, Project, Stage, TrialKind};
use units::{Quantity, UnitChoice, VacuumLevel, show};
use vacuum::{
    Cause, Course, CourseKind, Fault, Gauge, Measured, SourceId, TimedLevel, rank_causes,
    unexplained_without_fault,
};

/// So many causes are told.
const TOLD: usize = 8;
/// Leaks that leave this much alike unexplained, kPa, and are of one size to this share are not told apart: less than a gauge
/// of the field shows (common practice, no source).
const APART_KPA: f64 = 0.1;
const APART_SIZE: f64 = 0.1;
/// No level comes sooner once air flows, s.
const LEAST_AFTER_S: f64 = 1e-3;

/// Causes of what was measured in the field on one circuit, the one that explains it best first.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldCauses {
    /// How many measurements were used: of each cup's level, each time to a level, the leak-down and each curve, the latest. A
    /// curve counts as one.
    pub measurements: usize,
    /// How many of them have a baseline of the same thing: what the circuit as worked out was off then is taken out.
    pub with_baseline: usize,
    /// What the circuit leaves unexplained with no fault in it, root mean square, kPa; `None` when it has no steady state.
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
    /// feed, a part more porous than stated. Where the same was measured when the tool was taken into service, the leaks at the
    /// cups are first brought to what was measured then, and it is the change since then that is explained.
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
        if let Some((analyst, alone)) = self.seated(project, layout) {
            return analyst.field_causes(&alone, layout, circuit);
        }
        self.check(project, layout);
        let units = self.units();
        let stage = self.layouts.get(&layout).map(|stage| &stage.circuits);
        let (input, solved) = stage
            .and_then(|circuits| circuits.held(circuit))
            .ok_or("the circuit has no source and hoses; enter them so that faults can be simulated")?;
        let built = match (&solved.built, &solved.solution) {
            (Some(built), Some(_)) => built,
            _ => return Err("the circuit as entered has no vacuum level; correct it first".to_owned()),
        };
        // A source without a check valve lets air back as soon as it stands still.
        let network = match input.model.0.air_saving {
            true => built.with_check_valves(&input.supply.0),
            false => built.with_way_back(input),
        }
        .unwrap_or_else(|| built.network.clone());
        let place = |cup: CupId| input.cups.iter().position(|held| held.id == cup);
        let of = Of {
            project,
            layout,
            circuit,
            valve_s: operation::valve_s(input),
            places: &place,
            ids: network.spec().cup_ids().collect(),
            worst: solved.report.worst_cup().and_then(|cup| place(cup.id)),
            source_of: built.sources.iter().map(|source| source.cup).collect(),
            sources: network.spec().source_ids().collect(),
        };
        let (field, baseline) = (of.measured(Stage::Field), of.measured(Stage::Baseline));
        let measurements = field.count();
        if measurements == 0 {
            return Err(
                "this circuit has no field measurements; enter a level at a cup, a time to level, a \
                leak-down or a curve"
                    .to_owned(),
            );
        }
        let network = vacuum::as_of_baseline(&network, &baseline);
        let measured = field.against(&baseline, &network);
        let elements = built.elements.as_slice();
        let ranked = rank_causes(&network, &measured);
        let ranked: Vec<Cause> =
            ranked.into_iter().filter(|cause| cause.unexplained_kpa.is_finite()).collect();
        let causes = alike(&ranked).take(TOLD).map(|group| told(&group, input, elements, &units)).collect();
        Ok(FieldCauses {
            measurements,
            with_baseline: of.with_baseline(&field, &baseline),
            without_fault_kpa: unexplained_without_fault(&network, &measured),
            causes,
        })
    }
}

/// Causes in groups that the measurement does not tell apart, in their order: leaks of about one size, wherever they are, that
/// leave as much unexplained as each other. Every other cause stands alone.
fn alike(ranked: &[Cause]) -> impl Iterator<Item = Vec<&Cause>> {
    let mut groups: Vec<Vec<&Cause>> = Vec::new();
    for cause in ranked {
        let same = |first: &Cause| {
            is_leak(first)
                && (cause.unexplained_kpa - first.unexplained_kpa).abs() < APART_KPA
                && (cause.size / first.size - 1.0).abs() < APART_SIZE
        };
        match groups.iter_mut().find(|group| is_leak(cause) && group.first().is_some_and(|first| same(first)))
        {
            Some(group) => group.push(cause),
            None => groups.push(vec![cause]),
        }
    }
    groups.into_iter()
}

fn is_leak(cause: &Cause) -> bool {
    matches!(cause.fault, Fault::LeakAtCup(_) | Fault::LeakInHose(_))
}

/// "at cup C1, at cup C2 or in branch C2"; of many the first few.
fn one_of(places: &[String]) -> String {
    const NAMED: usize = 4;
    match places {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] if places.len() <= NAMED => format!("{} or {last}", first.join(", ")),
        _ => format!(
            "{} or at one of {} other places",
            places[..NAMED - 1].join(", "),
            places.len() + 1 - NAMED
        ),
    }
}

/// A group of causes as one line, at the place of its first.
fn told(group: &[&Cause], input: &CircuitInput, elements: &[Described], units: &UnitChoice) -> FieldCause {
    let element_of = |cause: &Cause| match cause.fault {
        Fault::LeakInHose(id) | Fault::CloggedFilter(id) => elements.get(id.index()),
        Fault::LeakAtCup(_) | Fault::LowFeed(_) | Fault::PorousPart => None,
    };
    let cup_of = |cause: &Cause| match cause.fault {
        Fault::LeakAtCup(id) => input.cups.get(id.index()).map(|cup| (cup.id, cup.tag.as_str())),
        _ => None,
    };
    let mut cup = None;
    let (mut element, mut what, mut unexplained_kpa) = (None, String::new(), f64::INFINITY);
    if let Some(first) = group.first() {
        let of = element_of(first);
        cup = cup_of(first).map(|(id, _)| id).or(of.and_then(|element| element.cup));
        element = of.map(|element| element.name.clone());
        unexplained_kpa = first.unexplained_kpa;
        what = match group {
            [_] => first.name.says(units),
            _ => {
                let places = group.iter().filter_map(|cause| {
                    cup_of(cause)
                        .map(|(_, tag)| format!("at cup {tag}"))
                        .or_else(|| element_of(cause).map(|element| format!("in {}", element.name)))
                });
                format!(
                    "leak {}, equal to a hole of {}; the measurements do not tell these apart",
                    one_of(&places.collect::<Vec<_>>()),
                    show(first.size, Quantity::Length, units)
                )
            }
        };
    }
    FieldCause { what, unexplained_kpa, cup, element }
}

/// The circuit that measurements are looked up for.
struct Of<'a> {
    project: &'a Project,
    layout: LayoutId,
    circuit: CircuitId,
    valve_s: f64,
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
                    // What the valve takes has nothing to do with the air.
                    let after_s = (entry.value - self.valve_s).max(LEAST_AFTER_S);
                    measured.times.push(TimedLevel { cup, level, after_s });
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
            // A curve begins with the signal, as the one worked out does; the air moves once the valve has opened.
            let valve_s = if kind == CourseKind::Evacuation { self.valve_s } else { 0.0 };
            let moved = curve.points.iter().filter(|(s, _)| *s >= valve_s);
            let points = moved.map(|(s, kpa)| (s - valve_s, *kpa));
            latest(&mut measured, at, kind, &points.collect::<Vec<_>>());
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
