//! What the stages made, put into the fields of the report.

use crate::{
    findings::{CIRCUIT_STATED, not_built, only_stated},
    inputs::Lowered,
    loads::Case,
    lower::{CupFacts, ModelFacts},
    lower_motion,
    report::{
        Age, Ages, CircuitReport, CupInMotion, CupReport, EnvelopeReport, LimitFigure, Lost, MotionOutcome,
        MotionReport, MotionSlow, PartReport, Report, Severity, Verdict,
    },
    seats::{Ground, Seat},
    shape::Shape,
    slow::Slow,
    words::Words,
};
use document::{CupId, LayoutId, ModelId, Motion, Part, Project};
use geometry::MassProperties;
use std::{collections::HashMap, sync::Arc};

pub(crate) fn outcome_of(
    motion: &Motion,
    case: &Case,
    cups: &[CupFacts],
    slow: Option<MotionSlow>,
    words: &Words<'_>,
) -> MotionOutcome {
    let result = &case.result;
    let id = |index: usize| cups.get(index).map_or(CupId(0), |cup| cup.id);
    let limit = result.cup_worst.get(result.governing).map_or(mechanics::LipLimit::Seal, |(_, f)| f.limit);
    MotionOutcome {
        factor: case.factor(),
        governing_cup: id(result.governing),
        governing_limit: limit,
        readings: result.readings,
        favourable_weight: case.load_case.favourable_weight,
        member: result.member,
        at_deg: lower_motion::at_deg(motion, case),
        governs: lower_motion::governs(motion, case, words),
        instant: result.instant,
        wrench: result.wrench,
        cups: result
            .loads
            .iter()
            .zip(&result.cup_worst)
            .enumerate()
            .map(|(index, (load, (_, factor)))| CupInMotion { id: id(index), load: *load, factor: *factor })
            .collect(),
        slow,
    }
}

pub(crate) fn part_report(part: &Part, shape: &Shape, mass: &MassProperties) -> PartReport {
    PartReport {
        id: part.id,
        name: part.name.clone(),
        area_mm2: shape.section.area,
        perimeter_mm: shape.perimeter,
        holes: shape.holes,
        mass_kg: mass.mass,
        centre_of_gravity_mm: mass.centre,
        inertia_kg_m2: crate::robot::products(&mass.inertia),
        ix_mm4: shape.section.ix,
        iy_mm4: shape.section.iy,
        ixy_mm4: shape.section.ixy,
        bounds_mm: shape.bounds,
    }
}

pub(crate) fn cup_reports(
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
            .min_by(|a, b| {
                let ratio = |of: &(usize, mechanics::Factor)| {
                    project.motions.get(of.0).map_or(of.1.value, |motion| of.1.value / motion.required_factor)
                };
                ratio(a).total_cmp(&ratio(b))
            })
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
            side_lever_mm: facts.spring.side_lever,
            friction: facts.strength.friction,
            seal_minimum_n_mm: facts.strength.seal_minimum,
            slide_share: facts.strength.slide_share,
            uneven: facts.strength.uneven(),
            clearance: seats.get(index).and_then(|seat| seat.clearance),
            required_clearance_mm: match (ground, part) {
                (Some(ground), _) => ground.required(&facts.lip.shape, cup.at),
                (None, Some(part)) => part.placement.position_mm + part.placement.drawing_mm,
                (None, None) => 0.0,
            },
            level_kpa: facts.level_kpa,
            channel: facts.channel,
            vacuum_force_n: facts.strength.vacuum_force,
            worst: worst(index),
        })
        .collect()
}

/// Why a slow figure is not there.
const NOT_YET: &str = "not calculated yet for this plan";

/// What no stage computes, what could not be worked out, then the motions without a figure.
pub(crate) fn not_checked(
    motions: &[MotionReport],
    envelope: Option<&EnvelopeReport>,
    ages: Ages,
    robot: bool,
    circuits: &[CircuitReport],
    bends: bool,
) -> Vec<(String, String)> {
    let entry = |what: &str, why: &str| (what.to_owned(), why.to_owned());
    let mut out: Vec<(String, String)> =
        not_built(bends).iter().map(|(what, why)| entry(what, why)).collect();
    if only_stated(circuits) {
        out.push(entry(CIRCUIT_STATED.0, CIRCUIT_STATED.1));
    }
    let solved = || motions.iter().filter_map(|motion| Some((motion, motion.outcome.as_ref().ok()?)));
    let none = solved().next().is_none();
    let why = if none { "no motion has a result" } else { NOT_YET };
    let any = |pending: fn(&MotionSlow) -> bool| {
        none || solved().any(|(_, outcome)| outcome.slow.as_ref().is_none_or(pending))
    };
    if any(|slow| slow.limit == LimitFigure::Pending) {
        out.push(entry("limit factor", why));
    }
    if any(|slow| slow.lost.is_empty()) {
        out.push(entry("one cup lost", why));
    }
    if !none && ages.of(Slow::Ranges) == Age::Absent {
        out.push(entry("range of the factor from assumed inputs", NOT_YET));
    }
    if envelope.is_none() {
        let why = match ages.of(Slow::Envelope) {
            Age::Current => "even held level and still, the part does not reach the required factor",
            Age::Older | Age::Absent => NOT_YET,
        };
        out.push(entry("envelope", why));
    }
    if !robot {
        out.push(entry("robot load", "the part has no usable mass"));
    }
    let current = ages.is_current(Slow::Losses);
    for (motion, outcome) in solved() {
        let Some(slow) = &outcome.slow else { continue };
        if let LimitFigure::Missing(why) = &slow.limit {
            out.push((format!("limit factor, {}", motion.name), why.clone()));
        }
        let cups = slow.lost.iter().filter(|lost| matches!(lost.lost, Lost::Cup(_))).count();
        if current && cups < outcome.cups.len() {
            let why = format!(
                "too many cups: only the loss of {cups} of {} is checked, weakest first",
                outcome.cups.len()
            );
            out.push((format!("one cup lost, {}", motion.name), why));
        }
        if current && slow.without.len() < outcome.cups.len() {
            let why = format!(
                "too many cups: the factor without each cup is calculated only for {} of {}, weakest first",
                slow.without.len(),
                outcome.cups.len()
            );
            out.push((format!("one cup left out, {}", motion.name), why));
        }
        if let Some(proved) = slow.limit.at_least(slow.limit_at_least) {
            out.push((format!("limit factor in every direction, {}", motion.name), open(proved)));
        }
        let short = slow.lost.iter().filter_map(|lost| lost.limit.at_least(lost.limit_at_least));
        if let Some(proved) = short.reduce(f64::min) {
            let what = format!("limit factor in every direction with one cup lost, {}", motion.name);
            out.push((what, open(proved)));
        }
        let missing = slow.lost.iter().find_map(|lost| match &lost.limit {
            LimitFigure::Missing(why) => Some(why),
            LimitFigure::Factor(_) | LimitFigure::Unlimited | LimitFigure::Pending => None,
        });
        if let Some(why) = missing {
            out.push((format!("limit factor with one cup lost, {}", motion.name), why.clone()));
        }
    }
    out.extend(motions.iter().filter_map(|motion| {
        let reason = motion.outcome.as_ref().err()?;
        Some((format!("factor, {}", motion.name), reason.clone()))
    }));
    out
}

/// Why a limit factor over a sweep is not known to three digits.
fn open(proved: f64) -> String {
    let what =
        "the search reached its work limit before a proof; some direction may have a lower factor than shown";
    if proved > 0.0 {
        format!("{what}, but none is below {}", units::figure(proved, 3))
    } else {
        what.to_owned()
    }
}

pub(crate) fn no_such(layout: LayoutId) -> Report {
    Report {
        layout,
        layout_name: String::new(),
        verdict: Verdict {
            severity: Severity::Fail,
            sentence: "No result yet: this layout is not in the project".to_owned(),
            detail: "Choose another layout.".to_owned(),
            motion: None,
            cup: None,
        },
        part: None,
        cups: Vec::new(),
        balance: None,
        motions: Vec::new(),
        findings: Vec::new(),
        assumptions: Vec::new(),
        not_checked: not_checked(&[], None, Ages::default(), false, &[], false),
        ages: Ages::default(),
        envelope: None,
        levels_when_lost: Vec::new(),
        robot: None,
        circuits: Vec::new(),
        counted_as_sealed: Vec::new(),
        bending: None,
        ringing: None,
        family: None,
        bent_reserve: None,
    }
}
