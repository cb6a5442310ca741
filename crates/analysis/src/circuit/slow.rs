//! Slow figures of the circuits: open cups, time, cost, what would help.

use super::{
    cost,
    coupling::SnapshotCircuit,
    design, dust, helps,
    lower::Built,
    opens::Opens,
    operation,
    release::{LetGo, blown, released},
    told,
};
use crate::{
    loads,
    report::{CircuitSlow, ControlsReport, EvacuationCurve, OpenCupReport},
    snapshot::Snapshot,
};
use document::{CircuitId, CupId};
use mechanics::LipStrength;
use std::sync::atomic::{AtomicBool, Ordering};
use units::VacuumLevel;
use vacuum::{Evacuation, EvacuationTimes, Network, Solution, Status, Transient, TransientStatus, WithOpen};

/// How long an evacuation and a failed feed are followed, s.
const EVACUATION_S: f64 = 30.0;
const HOLD_S: f64 = 600.0;
/// Points of one curve that is drawn.
const DRAWN: usize = 120;
/// Of up to so many cups every next open one is looked for among all that are left.
pub(super) const MOST_TRIED: usize = 60;
/// Halvings by which a share of the level is found.
const HALVINGS: u32 = 24;
/// Over the time to the held level, for a time-out that no good pick meets (common practice, no source).
const TIME_OUT_TIMES: f64 = 2.0;
/// A control takes no less (common practice, no source).
const LEAST_TIME_OUT_S: f64 = 0.5;
/// Air saving stops between the held level and the working level, at this share of the way.
const SAVING_SHARE: f64 = 0.75;

/// What the loss of one cup leads to in all motions.
pub(crate) type After<'a> = &'a dyn Fn(usize) -> Option<(Vec<usize>, bool)>;

/// Figures of every solved circuit of a snapshot; `None` when stopped.
pub(crate) fn work_out(
    snapshot: &Snapshot,
    after: After<'_>,
    cancel: &AtomicBool,
    told: &dyn Fn(usize),
) -> Option<Vec<(CircuitId, CircuitSlow)>> {
    let mut out = Vec::new();
    for (index, circuit) in snapshot.circuits.iter().enumerate() {
        told(index);
        if cancel.load(Ordering::Relaxed) {
            return None;
        }
        if let (Some(built), Some(solution)) = (circuit.built(), circuit.solved.solution.as_deref()) {
            out.push((circuit.id(), Work { snapshot, circuit, built, solution, cancel }.slow(after)?));
        }
    }
    Some(out)
}

struct Work<'a> {
    snapshot: &'a Snapshot,
    circuit: &'a SnapshotCircuit,
    built: &'a Built,
    solution: &'a Solution,
    cancel: &'a AtomicBool,
}

impl Work<'_> {
    fn slow(&self, after: After<'_>) -> Option<CircuitSlow> {
        let network = &self.built.network;
        // Shares of the level at which every factor is 1, and as required.
        let barely = self.share(|_| 1.0);
        let required = self.share(|index| self.snapshot.required_of.get(index).copied().unwrap_or(1.0));
        let evacuation = Evacuation { until_s: EVACUATION_S, ..Evacuation::default() };
        let times = vacuum::evacuate(network, &evacuation).ok();
        let stop = || self.cancel.load(Ordering::Relaxed).then_some(());
        if stop().is_some() {
            return None;
        }
        let each = vacuum::each_cup_open(network);
        if stop().is_some() {
            return None;
        }
        let opens = Opens { snapshot: self.snapshot, circuit: self.circuit, cancel: self.cancel };
        let open_until = opens.all(&each)?;
        let open = self.open(&each, after);
        if stop().is_some() {
            return None;
        }
        let input = &*self.circuit.input;
        let way_back = self.built.with_way_back(input);
        let hold = |network: &Network| self.hold(network, barely?);
        let held = self.built.with_check_valves(&input.supply.0).as_ref().and_then(hold);
        let hold_with_check_s = held.as_ref().map(|(time, _)| *time);
        let hold_s = way_back.as_ref().and_then(hold).map(|(time, _)| time);
        let controls = required.and_then(|share| self.controls(share, times.as_ref(), hold_with_check_s));
        let blown = blown(input, self.built, self.solution);
        let let_go = way_back
            .as_ref()
            .map_or(LetGo::Unknown, |network| released((input, self.built), (network, self.solution), None));
        let release_s = let_go.seconds();
        let cost = cost::of(self.circuit, self.built, (controls.as_ref(), blown));
        if stop().is_some() {
            return None;
        }
        let helps = helps::of(self.circuit, self.built);
        Some(CircuitSlow {
            open,
            open_until,
            evacuation: times.map(|times| self.curves(&times)).unwrap_or_default(),
            release_s,
            still_held: let_go == LetGo::Not,
            release_blow_off_s: blown.map(|blown| blown.release_s),
            blow_off_nl_per_pick: blown.map(|blown| blown.air_nl),
            pick_s: cost
                .as_ref()
                .zip(blown.map(|blown| blown.release_s).or(release_s))
                .map(|(cost, release_s)| cost.vacuum_s + release_s),
            running_s: cost.as_ref().map(|cost| cost.running_s),
            motors_run_s: cost.as_ref().and_then(|cost| cost.motors_run_s),
            hold_s,
            hold_with_check_s,
            hold_level_share: barely,
            leak_down: held.map(|(_, course)| drawn(&course, least)).unwrap_or_default(),
            air_nl_per_pick: cost.as_ref().and_then(|cost| cost.air_nl),
            energy_wh_per_pick: cost.as_ref().map(|cost| cost.energy_wh),
            energy_kwh_per_year: cost.as_ref().map(|cost| cost.energy_kwh_per_year),
            cost_per_year: cost.as_ref().map(|cost| cost.cost_per_year),
            against: cost::against(self.circuit, controls.as_ref()),
            helps,
            controls,
            dust: dust::of(self.circuit, self.built, self.circuit.designs().fold(f64::INFINITY, f64::min)),
            network: told::network(input, self.built),
        })
    }

    fn id(&self, place: usize) -> Option<CupId> {
        self.circuit.input.cups.get(place).map(|cup| cup.id)
    }

    /// The least share of this circuit's design levels at which every motion has its bound, all other circuits as they are; `None`
    /// when not even the steady level gives it, or there is no motion.
    fn share(&self, bound: impl Fn(usize) -> f64) -> Option<f64> {
        let snapshot = self.snapshot;
        let group = loads::factored(&snapshot.springs()).ok()?;
        let intact = snapshot.strengths();
        let enough = |share: f64| {
            let strengths: Vec<LipStrength> = intact
                .iter()
                .enumerate()
                .map(|(index, strength)| match self.circuit.place_of(index) {
                    Some(_) => LipStrength { vacuum_force: strength.vacuum_force * share, ..*strength },
                    None => *strength,
                })
                .collect();
            snapshot.cases.iter().enumerate().all(|(index, (_, case))| {
                loads::solve(&group, &snapshot.body, &strengths, case)
                    .is_ok_and(|solved| solved.factor() >= bound(index))
            })
        };
        let design = self.circuit.solved.report.design?;
        let whole = if design.design_kpa > 0.0 { design.steady_kpa / design.design_kpa } else { 1.0 };
        if snapshot.cases.is_empty() || !enough(whole) {
            return None;
        }
        let (mut short, mut found) = (0.0, whole);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (short + found);
            if enough(middle) { found = middle } else { short = middle }
        }
        Some(found)
    }

    fn open(&self, each: &[WithOpen], after: After<'_>) -> Vec<OpenCupReport> {
        each.iter()
            .zip(&self.circuit.input.cups)
            .filter(|(open, _)| open.status != Status::NotConverged)
            .filter_map(|(open, cup)| {
                // A cup alone leaves none.
                let (least_at, least) = open.worst?;
                // Of too many cups not every loss is followed; the report says so.
                let (then_lost, holds) = after(cup.index)?;
                let id = |index: &usize| self.snapshot.cups.get(*index).map(|cup| cup.id);
                Some(OpenCupReport {
                    cup: cup.id,
                    least_level_kpa: least.kpa(),
                    least_at: self.id(least_at.index())?,
                    then_lost: then_lost.iter().filter_map(id).collect(),
                    holds,
                })
            })
            .collect()
    }

    fn curves(&self, times: &EvacuationTimes) -> Vec<EvacuationCurve> {
        // Until the valve has opened nothing happens.
        let valve_s = operation::valve_s(&self.circuit.input);
        let each = self.circuit.input.cups.iter().enumerate().map(|(place, cup)| {
            let to = |share: usize| Some(times.times_s.get(place)?.get(share).copied().flatten()? + valve_s);
            let points = drawn(&times.course, |levels| levels.get(place).map_or(0.0, |level| level.kpa()));
            let shut = (valve_s > 0.0).then_some((0.0, 0.0));
            EvacuationCurve {
                cup: cup.id,
                points: shut
                    .into_iter()
                    .chain(points.into_iter().map(|(s, kpa)| (s + valve_s, kpa)))
                    .collect(),
                to_60_s: to(0),
                to_75_s: to(1),
                to_90_s: to(2),
            }
        });
        each.collect()
    }

    /// From the design level, which is all that the machine guarantees when the feed fails, until the first cup is below its
    /// share of it, s; and the course from the steady level.
    fn hold(&self, network: &Network, share: f64) -> Option<(f64, Transient)> {
        let until = |share: f64| {
            let levels = self.circuit.designs().map(|level| VacuumLevel::from_kpa(share * level));
            let held = vacuum::hold(network, &self.solution.state, &levels.collect::<Vec<_>>(), HOLD_S);
            (held.course.status == TransientStatus::Complete || held.first().is_some())
                .then(|| (held.first().unwrap_or(f64::INFINITY), held.course))
        };
        let (lasts, course) = until(share)?;
        let (design, _) = until(1.0)?;
        let lasts = if lasts.is_finite() { (lasts - design).max(0.0) } else { lasts };
        Some((lasts, course))
    }

    /// Levels at the source's switch and times that follow.
    fn controls(
        &self,
        share: f64,
        times: Option<&EvacuationTimes>,
        hold_s: Option<f64>,
    ) -> Option<ControlsReport> {
        let design = self.circuit.solved.report.design?;
        let level = design.steady_kpa;
        let alarm_kpa = share * design.design_kpa;
        let held_kpa = alarm_kpa.max(design::SHARE * level);
        // The last cup to its part of the held level.
        let watches = self.circuit.levels().zip(self.circuit.cup_ids());
        let watches = watches
            .map(|(steady, cup)| vacuum::Watch {
                cup,
                level: VacuumLevel::from_kpa(steady * held_kpa / level),
                rising: true,
            })
            .collect();
        let how = vacuum::Follow {
            watches,
            until_s: EVACUATION_S,
            stop: vacuum::Stop::AllReached,
            ..vacuum::Follow::default()
        };
        let course = times.map(|_| vacuum::follow(&self.built.network, None, &how));
        let reached: Option<Vec<f64>> =
            course.and_then(|course| course.reached.iter().map(|reached| reached.at_s).collect());
        let input = &self.circuit.input;
        let around_s = operation::valve_s(input) + operation::switch_s(input);
        let held_s = reached.and_then(|times| times.into_iter().reduce(f64::max)).map(|time| time + around_s);
        Some(ControlsReport {
            held_kpa,
            alarm_kpa,
            saving_off_kpa: held_kpa + SAVING_SHARE * (level - held_kpa),
            held_s,
            time_out_s: held_s.map(|time| (TIME_OUT_TIMES * time).max(LEAST_TIME_OUT_S)),
            hold_s,
        })
    }
}

fn least(levels: &[VacuumLevel]) -> f64 {
    levels.iter().map(|level| level.kpa()).fold(f64::INFINITY, f64::min)
}

/// A course thinned out for drawing; first and last point stay.
fn drawn(course: &Transient, figure: impl Fn(&[VacuumLevel]) -> f64) -> Vec<(f64, f64)> {
    let samples = &course.samples;
    let step = samples.len().div_ceil(DRAWN).max(1);
    let last = samples.len().saturating_sub(1);
    samples
        .iter()
        .enumerate()
        .filter(|(index, _)| index % step == 0 || *index == last)
        .map(|(_, sample)| (sample.time_s, figure(&sample.levels)))
        .filter(|(_, level)| level.is_finite())
        .collect()
}
