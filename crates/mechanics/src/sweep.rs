//! The largest value over an arc of directions, with a bound on what may have been missed.

use crate::motion::Sweep;
use glam::DVec2;
use std::f64::consts::TAU;

/// Samples in a full turn to start from.
const SAMPLES: f64 = 12.0;
/// An arc this narrow is not halved again: 0.01 degree, for a tolerance of [`WORST`]; narrower as the square root of a finer one.
const RESOLVED: f64 = TAU / 36_000.0;
/// Evaluations after which a search stops halving and reports the bound it has.
const EVALUATIONS: usize = 4_000;
/// Relative precision of the worst direction that is asked for unless more is needed.
pub(crate) const WORST: f64 = 1e-9;
/// Values are resolved relative to at least this: a usage of a thousandth is a factor of a thousand.
const LEAST: f64 = 1e-3;

/// Directions at which a sweep is sampled first; shared by all cups of a case.
#[derive(Debug, Clone)]
pub(crate) struct Directions {
    from: f64,
    to: f64,
    /// Between neighbours, rad; zero when the sweep is a single instant.
    step: f64,
    closed: bool,
    units: Vec<DVec2>,
}

impl Directions {
    pub(crate) fn of(sweep: &Sweep) -> Self {
        let (from, to) = if sweep.from <= sweep.to { (sweep.from, sweep.to) } else { (sweep.to, sweep.from) };
        let span = to - from;
        // An end that is not a number leaves the other end, or the start of the circle.
        if !span.is_finite() || span == 0.0 {
            let at = [from, to].into_iter().find(|t| t.is_finite()).unwrap_or(0.0);
            return Self { from: at, to: at, step: 0.0, closed: false, units: vec![DVec2::from_angle(at)] };
        }
        let closed = span >= TAU * (1.0 - 1e-12);
        let (to, arcs) =
            if closed { (from + TAU, SAMPLES) } else { (to, (span / TAU * SAMPLES).ceil().max(2.0)) };
        let step = (to - from) / arcs;
        let samples = if closed { arcs as usize } else { arcs as usize + 1 };
        let units = (0..samples).map(|i| DVec2::from_angle(from + step * i as f64)).collect();
        Self { from, to, step, closed, units }
    }

    /// Twice as many: both the samples and the middles between them.
    pub(crate) fn twice_of(sweep: &Sweep) -> Vec<DVec2> {
        let of = Self::of(sweep);
        let arcs = if of.closed { of.units.len() } else { of.units.len().saturating_sub(1) };
        let middle = |i: usize| DVec2::from_angle(of.from + of.step * (i as f64 + 0.5));
        of.units.iter().copied().chain((0..arcs).map(middle)).collect()
    }

    /// The function `angle` further than a point, `turn` = (cos, sin) of that angle; at the arc's end when beyond it.
    fn beside(&self, function: &impl OnCircle, point: &Point, angle: f64, turn: DVec2) -> Point {
        let t = point.t + angle;
        let (t, u) = if self.closed || (t >= self.from && t <= self.to) {
            (t, turn.rotate(point.u))
        } else {
            let end = t.clamp(self.from, self.to);
            (end, DVec2::from_angle(end))
        };
        Point { t, u, value: function.at(u) }
    }
}

#[derive(Debug, Clone, Copy)]
struct Point {
    t: f64,
    u: DVec2,
    value: f64,
}

/// A function of u = (cos t, sin t).
pub(crate) trait OnCircle {
    /// Its value.
    fn at(&self, u: DVec2) -> f64;
    /// K such that value + K t²/2 is convex in t.
    fn bend(&self) -> f64;
}

/// The largest value found, where, and a bound that no value exceeds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Peak {
    pub t: f64,
    pub value: f64,
    pub bound: f64,
}

#[derive(Debug, Clone, Copy)]
struct Span {
    start: f64,
    width: f64,
    ends: (DVec2, DVec2),
    values: (f64, f64),
}

impl Span {
    /// No value on the span exceeds this: the chord plus half the bend times the product of the distances to the ends.
    fn bound(&self, bend: f64) -> f64 {
        let half = self.width / 2.0;
        let mean = (self.values.0 + self.values.1) / 2.0;
        let rise = (self.values.1 - self.values.0).abs() / 2.0;
        let sag = bend * half * half;
        if rise >= sag { mean + rise } else { mean + rise * rise / (2.0 * sag) + sag / 2.0 }
    }

    fn halves(&self, function: &impl OnCircle) -> [Self; 2] {
        let middle = (self.ends.0 + self.ends.1).normalize_or(self.ends.0);
        let value = function.at(middle);
        let width = self.width / 2.0;
        [
            Self { width, ends: (self.ends.0, middle), values: (self.values.0, value), ..*self },
            Self {
                start: self.start + width,
                width,
                ends: (middle, self.ends.1),
                values: (value, self.values.1),
            },
        ]
    }
}

/// Looks for the largest value of one function after another over the same arc.
pub(crate) struct Search {
    directions: Directions,
    samples: Vec<f64>,
    open: Vec<Span>,
}

impl Search {
    pub(crate) fn new(sweep: &Sweep) -> Self {
        Self { directions: Directions::of(sweep), samples: Vec::new(), open: Vec::new() }
    }

    /// Largest value by branch and bound: the best sample is polished by parabolas, then every arc whose bound exceeds
    /// the best by more than `tolerance` (relative) is halved, down to 0.01 degree at [`WORST`].
    ///
    /// # Source
    /// Breiman & Cutler, *A deterministic algorithm for global optimization*, Mathematical Programming 58, 1993 (from
    /// memory), with the bound on the bend known beforehand.
    pub(crate) fn peak(&mut self, function: &impl OnCircle, tolerance: f64) -> Peak {
        let directions = &self.directions;
        self.samples.clear();
        self.samples.extend(directions.units.iter().map(|&u| function.at(u)));
        let first = (0..self.samples.len())
            .fold(0, |best, i| if self.samples[i] > self.samples[best] { i } else { best });
        let t = directions.from + directions.step * first as f64;
        let mut best = Point { t, u: directions.units[first], value: self.samples[first] };
        if directions.step == 0.0 {
            return Peak { t, value: best.value, bound: best.value };
        }
        // Near a peak the value falls as the square of the angle.
        let (finest, narrowest) = (tolerance.sqrt(), resolved(tolerance));
        best = polished(function, directions, best, directions.step / 2.0, finest);

        let bend = function.bend();
        let enough = |best: f64| best + tolerance * best.abs().max(LEAST);
        let mut bound = best.value;
        open_all(directions, &self.samples, &mut self.open);
        let mut evaluations = 0;
        while let Some(span) = self.open.pop() {
            let most = span.bound(bend);
            if most <= enough(best.value) || span.width <= narrowest || evaluations >= EVALUATIONS {
                bound = bound.max(most);
                continue;
            }
            let halves = span.halves(function);
            evaluations += 1;
            let middle = &halves[1];
            if middle.values.0 > best.value {
                let found = Point { t: middle.start, u: middle.ends.0, value: middle.values.0 };
                best = polished(function, directions, found, middle.width / 2.0, finest);
            }
            self.open.extend(halves);
        }
        let t = if directions.closed {
            directions.from + (best.t - directions.from).rem_euclid(TAU)
        } else {
            best.t
        };
        Peak { t, value: best.value, bound: bound.max(best.value) }
    }

    /// A direction in which the function exceeds `level`, rad; `None` when none does, but for what the search does not
    /// resolve (`tolerance`, relative, or 0.01 degree at [`WORST`]).
    pub(crate) fn above(&mut self, function: &impl OnCircle, level: f64, tolerance: f64) -> Option<f64> {
        let directions = &self.directions;
        self.samples.clear();
        for (i, &u) in directions.units.iter().enumerate() {
            let value = function.at(u);
            if value > level {
                return Some(directions.from + directions.step * i as f64);
            }
            self.samples.push(value);
        }
        if directions.step == 0.0 {
            return None;
        }
        let (closed, from) = (directions.closed, directions.from);
        let bend = function.bend();
        let enough = level + tolerance * level.abs().max(LEAST);
        let narrowest = resolved(tolerance);
        open_all(directions, &self.samples, &mut self.open);
        let mut evaluations = 0;
        while let Some(span) = self.open.pop() {
            if span.bound(bend) <= enough || span.width <= narrowest || evaluations >= EVALUATIONS {
                continue;
            }
            let halves = span.halves(function);
            evaluations += 1;
            let middle = &halves[1];
            if middle.values.0 > level {
                let t = middle.start;
                return Some(if closed { from + (t - from).rem_euclid(TAU) } else { t });
            }
            self.open.extend(halves);
        }
        None
    }
}

/// The narrowest arc that is halved for a tolerance, rad.
fn resolved(tolerance: f64) -> f64 {
    RESOLVED * (tolerance / WORST).sqrt().min(1.0)
}

/// The arcs between the samples.
fn open_all(directions: &Directions, samples: &[f64], open: &mut Vec<Span>) {
    let count = samples.len();
    let arcs = if directions.closed { count } else { count - 1 };
    open.clear();
    open.extend((0..arcs).map(|i| {
        let next = if i + 1 == count { 0 } else { i + 1 };
        Span {
            start: directions.from + directions.step * i as f64,
            width: directions.step,
            ends: (directions.units[i], directions.units[next]),
            values: (samples[i], samples[next]),
        }
    }));
}

/// Climbs from a point by parabolas through it and its neighbours at `reach` on both sides, then ever nearer down to
/// `finest`; never ends lower.
fn polished(
    function: &impl OnCircle,
    directions: &Directions,
    mut best: Point,
    mut reach: f64,
    finest: f64,
) -> Point {
    while reach > finest {
        let aside = DVec2::from_angle(reach);
        let before = directions.beside(function, &best, -reach, DVec2::new(aside.x, -aside.y));
        let after = directions.beside(function, &best, reach, aside);
        let curve = before.value - 2.0 * best.value + after.value;
        let shift = 0.5 * reach * (before.value - after.value) / curve;
        let top = if curve < 0.0 && shift.abs() <= reach {
            directions.beside(function, &best, shift, DVec2::from_angle(shift))
        } else {
            best
        };
        for found in [before, after, top] {
            if found.value > best.value {
                best = found;
            }
        }
        reach *= 0.1;
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec3;
    use proptest::prelude::*;
    use std::cell::Cell;

    fn arc(from: f64, to: f64) -> Sweep {
        let none = DVec3::ZERO;
        Sweep {
            gravity_along: none,
            gravity_across: none,
            acceleration_along: none,
            acceleration_across: none,
            from,
            to,
        }
    }

    /// p · u + amplitude cos(2 (t - turn)), and how often it was asked.
    struct Waves {
        p: DVec2,
        amplitude: f64,
        turn: f64,
        asked: Cell<usize>,
    }
    impl OnCircle for Waves {
        fn at(&self, u: DVec2) -> f64 {
            self.asked.set(self.asked.get() + 1);
            self.p.dot(u) + self.amplitude * (2.0 * (u.to_angle() - self.turn)).cos()
        }
        fn bend(&self) -> f64 {
            self.p.length() + 4.0 * self.amplitude.abs()
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(96))]

        #[test]
        fn no_dense_sample_beats_the_peak(
            x in -1.0..1.0f64, y in -1.0..1.0f64, amplitude in -1.0..1.0f64, turn in 0.0..3.0f64,
            from in -4.0..4.0f64, span in 0.0..8.0f64,
        ) {
            let f = Waves { p: DVec2::new(x, y), amplitude, turn, asked: Cell::new(0) };
            let found = Search::new(&arc(from, from + span)).peak(&f, 1e-9);
            let asked = f.asked.get();
            let to = from + span.min(TAU);
            prop_assert!(found.t >= from - 1e-12 && found.t <= to + 1e-12);
            prop_assert!((f.at(DVec2::from_angle(found.t)) - found.value).abs() < 1e-12);
            prop_assert!(found.bound >= found.value);
            for i in 0..=720 {
                let value = f.at(DVec2::from_angle(from + (to - from) * f64::from(i) / 720.0));
                prop_assert!(value <= found.value + 1e-9, "{value} at {i} above {}", found.value);
            }
            prop_assert!(asked < 500, "{asked}");
        }

        #[test]
        fn a_loose_search_says_how_loose(x in 0.1..1.0f64, amplitude in 0.0..1.0f64, turn in 0.0..3.0f64) {
            let f = Waves { p: DVec2::new(x, 0.0), amplitude, turn, asked: Cell::new(0) };
            let exact = Search::new(&arc(0.0, TAU)).peak(&f, 1e-9);
            let loose = Search::new(&arc(0.0, TAU)).peak(&f, 1e-4);
            prop_assert!(loose.value <= exact.value + 1e-12 && loose.bound >= exact.value - 1e-9);
            prop_assert!(loose.bound <= loose.value * (1.0 + 1e-4) + 1e-12);
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(96))]

        #[test]
        fn a_level_is_exceeded_where_it_says_or_nowhere(
            x in -1.0..1.0f64, y in -1.0..1.0f64, amplitude in -1.0..1.0f64, turn in 0.0..3.0f64,
            from in -4.0..4.0f64, span in 0.0..8.0f64, by in -1.0..1.0f64,
        ) {
            let f = Waves { p: DVec2::new(x, y), amplitude, turn, asked: Cell::new(0) };
            let mut search = Search::new(&arc(from, from + span));
            let peak = search.peak(&f, 1e-9);
            let level = peak.value + by.powi(5);
            match search.above(&f, level, WORST) {
                Some(t) => {
                    prop_assert!(t >= from - 1e-12 && t <= from + span.min(TAU) + 1e-12);
                    prop_assert!(f.at(DVec2::from_angle(t)) > level - 1e-12);
                }
                None => prop_assert!(peak.value <= level + 1e-8, "{} {level}", peak.value),
            }
        }
    }

    #[test]
    fn the_peak_of_a_cosine_is_found_to_a_hundredth_of_a_degree() {
        let f = Waves { p: DVec2::from_angle(1.2345), amplitude: 0.0, turn: 0.0, asked: Cell::new(0) };
        let found = Search::new(&arc(-1.0, 5.0)).peak(&f, 1e-9);
        assert!(
            (found.t - 1.2345).abs() < RESOLVED && found.value <= 1.0 + 1e-15 && found.bound < 1.0 + 1e-8
        );
    }

    #[test]
    fn an_arc_that_ends_before_the_peak_is_worst_at_its_end() {
        let f = Waves { p: DVec2::X, amplitude: 0.0, turn: 0.0, asked: Cell::new(0) };
        for (from, to) in [(0.5, 1.5), (1.5, 0.5)] {
            let found = Search::new(&arc(from, to)).peak(&f, 1e-9);
            assert_eq!((found.t, found.value), (0.5, 0.5_f64.cos()));
        }
    }

    #[test]
    fn an_arc_without_extent_or_without_sense_is_one_instant() {
        let f = Waves { p: DVec2::X, amplitude: 0.0, turn: 0.0, asked: Cell::new(0) };
        for (from, to, t) in [(0.7, 0.7, 0.7_f64), (f64::NAN, 0.7, 0.7), (0.7, f64::INFINITY, 0.7)] {
            let found = Search::new(&arc(from, to)).peak(&f, 1e-9);
            assert_eq!((found.t, found.value, found.bound), (t, t.cos(), t.cos()));
        }
        assert_eq!(Search::new(&arc(f64::NAN, f64::NAN)).peak(&f, 1e-9).t, 0.0);
    }
}
