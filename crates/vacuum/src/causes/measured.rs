//! What was measured, and how far a network is off it.

use crate::network::{Cup, CupId, Network, SourceId};
use crate::solve::{State, solve};
use crate::time::{Follow, Transient, TransientStatus, follow};
use units::VacuumLevel;

/// A time measured: from the start of evacuation until a cup is at a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TimedLevel {
    /// The cup.
    pub cup: CupId,
    /// The level timed to.
    pub level: VacuumLevel,
    /// The time measured, s.
    pub after_s: f64,
}

/// Where a level was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gauge {
    /// In a cup.
    Cup(CupId),
    /// At the port of a source.
    Source(SourceId),
}

/// What went on while levels were recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CourseKind {
    /// All sources start at 0 s, with the pressure outside everywhere.
    Evacuation,
    /// All sources stand still from 0 s on, with the first level recorded everywhere: the circuit was closed and even.
    LeakDown,
}

/// Levels recorded one after the other; a leak-down of so much in such a time is one of two points.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Where.
    pub at: Gauge,
    /// What went on.
    pub kind: CourseKind,
    /// Time from the start in s, rising, and level.
    pub points: Vec<(f64, VacuumLevel)>,
}

/// What was measured on a circuit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// Steady levels at cups.
    pub levels: Vec<(CupId, VacuumLevel)>,
    /// Times to levels.
    pub times: Vec<TimedLevel>,
    /// Levels in time; each counts as one measurement, however many points it has.
    pub courses: Vec<Course>,
}

/// A time that is never reached counts as this much level off, kPa.
const NEVER_KPA: f64 = 50.0;
/// Error allowed in each step in time, kPa.
const ACCURACY_KPA: f64 = 0.2;
/// Levels timed to that are closer than this are the same, kPa.
const SAME_KPA: f64 = 1e-6;

impl Measured {
    /// How many measurements there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.levels.len() + self.times.len() + self.courses.len()
    }

    /// What would have been measured if the circuit, when it was well, had been just as the network is: each figure is moved by
    /// what the network is off the baseline of the same thing.
    ///
    /// No network is the circuit to the last kilopascal. What it was off on the day the baseline was taken is not what has
    /// changed since, and would otherwise be laid on some fault. Figures without a baseline stay.
    #[must_use]
    pub fn against(&self, baseline: &Self, network: &Network) -> Self {
        let mut moved = self.clone();
        let ambient = network.air().ambient.kpa();
        let shifted =
            |level: VacuumLevel, by: f64| VacuumLevel::from_kpa((level.kpa() + by).clamp(0.0, ambient));
        if !(moved.levels.is_empty() || baseline.levels.is_empty()) {
            let solution = solve(network, None);
            for (cup, level) in &mut moved.levels {
                let before = baseline.levels.iter().find(|(at, _)| at == cup);
                if let (Some((_, before)), Some(found)) = (before, solution.level(*cup)) {
                    *level = shifted(*level, found.kpa() - before.kpa());
                }
            }
        }
        let same = |a: &TimedLevel, b: &TimedLevel| {
            a.cup == b.cup && (a.level.kpa() - b.level.kpa()).abs() < SAME_KPA
        };
        for time in &mut moved.times {
            let Some(before) = baseline.times.iter().find(|before| same(before, time)) else { continue };
            let points = vec![(before.after_s, before.level)];
            let course = Course { at: Gauge::Cup(before.cup), kind: CourseKind::Evacuation, points };
            if let Some(found) = course.found(network).and_then(|found| found.first().copied()) {
                time.level = shifted(time.level, found - before.level.kpa());
            }
        }
        for course in &mut moved.courses {
            let of_same = |before: &&Course| before.at == course.at && before.kind == course.kind;
            let Some(before) = baseline.courses.iter().find(of_same) else { continue };
            let Some(found) = before.found(network) else { continue };
            let off: Vec<(f64, f64)> = before
                .points
                .iter()
                .zip(&found)
                .map(|((t, level), found)| (*t, found - level.kpa()))
                .collect();
            for (t, level) in &mut course.points {
                *level = shifted(*level, between(&off, *t));
            }
        }
        moved
    }
}

impl Course {
    /// Levels of the network at the times of the points, kPa; `None` where it cannot be followed.
    pub(super) fn found(&self, network: &Network) -> Option<Vec<f64>> {
        let until_s = self.points.last()?.0;
        let (gauged, cup) = gauged(network, self.at)?;
        let also_at = self.points.iter().map(|(t, _)| *t).collect();
        let how = Follow { until_s, also_at, accuracy_kpa: ACCURACY_KPA, ..Follow::default() };
        let course = match self.kind {
            CourseKind::Evacuation => follow(&gauged, None, &how),
            CourseKind::LeakDown => {
                let start = State::at_level(&gauged, self.points.first()?.1);
                follow(&gauged.with_all_sources_running(false), Some(&start), &how)
            }
        };
        let read = |t: f64| level_at(&course, cup, t);
        (course.status == TransientStatus::Complete)
            .then(|| self.points.iter().map(|(t, _)| read(*t)).collect())?
    }

    /// Mean square of what the network is off, kPa²; the point that a leak-down starts from says nothing.
    fn off(&self, network: &Network) -> f64 {
        let skipped = usize::from(self.kind == CourseKind::LeakDown);
        let told = self.points.len().saturating_sub(skipped);
        let Some(found) = self.found(network).filter(|_| told > 0) else { return NEVER_KPA * NEVER_KPA };
        let each = self.points.iter().zip(&found).skip(skipped);
        each.map(|((_, level), found)| (found - level.kpa()).powi(2)).sum::<f64>() / told as f64
    }
}

/// The network with a cup to read from: one that is there, or one without air in it at a source.
fn gauged(network: &Network, at: Gauge) -> Option<(Network, CupId)> {
    match at {
        Gauge::Cup(cup) => Some((network.clone(), cup)),
        Gauge::Source(source) => {
            let node = network.spec().sources().get(source.index())?.node;
            let gauge = Cup::tight("gauge at the source", 1.0);
            let with = network.edit(|circuit| {
                circuit.cup_at(gauge, node);
            });
            Some((with.ok()?, CupId(network.spec().cups().len())))
        }
    }
}

/// On straight lines between points whose first figures rise; beyond them as at their ends.
fn between(points: &[(f64, f64)], t: f64) -> f64 {
    let after = points.partition_point(|(at, _)| *at < t);
    let Some(&(t1, v1)) = points.get(after).or(points.last()) else { return 0.0 };
    let Some(&(t0, v0)) = after.checked_sub(1).and_then(|before| points.get(before)) else { return v1 };
    let share = if t1 > t0 { ((t - t0) / (t1 - t0)).clamp(0.0, 1.0) } else { 0.0 };
    v0 + share * (v1 - v0)
}

/// Level of a cup at a time of its course, kPa.
fn level_at(course: &Transient, cup: CupId, t: f64) -> Option<f64> {
    let after = course.samples.partition_point(|sample| sample.time_s < t);
    let last = course.samples.len().checked_sub(1)?;
    let point = |index: usize| {
        let sample = &course.samples[index.min(last)];
        Some((sample.time_s, sample.levels.get(cup.index())?.kpa()))
    };
    Some(between(&[point(after.saturating_sub(1))?, point(after)?], t))
}

/// How far a network is off what was measured, root mean square, kPa; `None` if it cannot be solved or nothing was measured.
pub(super) fn misfit(network: &Network, measured: &Measured, well: &State) -> Option<f64> {
    let mut squares = 0.0;
    if !measured.levels.is_empty() {
        let solution = solve(network, Some(well));
        for &(cup, level) in &measured.levels {
            squares += (solution.level(cup)?.kpa() - level.kpa()).powi(2);
        }
    }
    if !measured.times.is_empty() {
        squares += timed(network, &measured.times);
    }
    squares += measured.courses.iter().map(|course| course.off(network)).sum::<f64>();
    let count = measured.count();
    (count > 0).then(|| (squares / count as f64).sqrt())
}

/// Sum of squares of how far the levels at the times measured are off the levels timed to, kPa².
fn timed(network: &Network, times: &[TimedLevel]) -> f64 {
    let until_s = times.iter().map(|time| time.after_s).fold(0.0, f64::max);
    let mut also_at: Vec<f64> = times.iter().map(|time| time.after_s).collect();
    also_at.sort_by(f64::total_cmp);
    let how = Follow { until_s, also_at, accuracy_kpa: ACCURACY_KPA, ..Follow::default() };
    let course = follow(network, None, &how);
    let off = |time: &TimedLevel| Some(level_at(&course, time.cup, time.after_s)? - time.level.kpa());
    times.iter().map(|time| off(time).unwrap_or(NEVER_KPA).powi(2)).sum()
}
