//! The smallest limit factor over a sweep.

use super::{Limit, LimitSolver, Release};
use crate::motion::{Body, LoadCase, Sweep, Wrench};
use glam::{DVec2, DVec3};
use std::f64::consts::{FRAC_PI_4, TAU};

/// A climb ends when the next instant would gain less than this (relative).
const GAIN: f64 = 1e-6;
/// Solves of one climb; the usual number is 3 to 5.
const STEPS: usize = 10;
/// The same two with cups lost, where many cases are looked at.
const GAIN_WHEN_LOST: f64 = 1e-4;
const STEPS_WHEN_LOST: usize = 4;
/// Longest step of a climb, rad.
const STRIDE: f64 = 0.5;
/// Instants of a sweep that are solved first lie no further apart, rad.
const APART: f64 = FRAC_PI_4;
/// The proof ends within this of the factor (relative), or at this many solves.
const PROVED: f64 = 0.02;
const SOLVES: usize = 40;
/// A usage below this, a factor of a thousand, needs no proof.
const LITTLE: f64 = 1e-3;

/// The smallest limit factor over a load case, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitOver {
    /// What some share carries at the worst instant found, of the whole load, weight included.
    pub limit: Limit,
    /// The instant, rad; 0 without a sweep.
    pub t: f64,
    /// No instant has a smaller limit factor than this: the proof. As good as the limit without a sweep, within two
    /// hundredths as a rule over a sweep, 0 when nothing was proved (cups lost, or not converged).
    pub at_least: f64,
}

/// The limit factor of a load case: the smallest over its instants of the multiple of the whole load that some share
/// among the cups carries, those `lost` left out.
///
/// `start_t` is where to begin, best the elastic worst instant. One over the factor is convex in the load: each solve
/// gives a plane below it, whose slope along the sweep says where the factor falls. From there it climbs; with no cup
/// lost it also solves instants all over the sweep, climbs from the worst of them, and bounds what may lie between. With
/// cups lost it climbs from `start_t` and from the worst instant by what the same solver has learnt before (most of all
/// with no cup lost: look at that first), and proves nothing.
///
/// # Units
/// rad.
///
/// # Source
/// Supporting planes of a convex function (Kelley, J. SIAM 8, 1960, from memory), followed by the secant method.
///
/// # Example
/// ```
/// use glam::{DMat3, DVec2, DVec3};
/// use mechanics::*;
/// use std::f64::consts::TAU;
/// let cups = [(200.0, 150.0), (-200.0, 150.0), (200.0, -150.0), (-200.0, -150.0)] // mm
///     .map(|(x, y)| Contact::point(DVec2::new(x, y), 100.0, 0.5)); // N
/// let part = Body { mass: 5.0, centre: DVec3::ZERO, inertia: DMat3::ZERO };
/// // On edge, whichever side is lowest: friction carries 4 times 50 N.
/// let on_edge = LoadCase::swept(
///     Instant::still(DVec3::ZERO),
///     Sweep {
///         gravity_along: DVec3::X * 10.0, gravity_across: DVec3::Y * 10.0,
///         acceleration_along: DVec3::ZERO, acceleration_across: DVec3::ZERO,
///         from: 0.0, to: TAU,
///     },
/// );
/// let worst = limit_over(&mut LimitSolver::new(&cups), &part, &on_edge, 0.0, &[]);
/// let Limit::Solved(factor) = worst.limit else { panic!("no limit") };
/// assert!((factor - 200.0 / 50.0).abs() < 1e-6 && worst.at_least > 0.98 * factor);
/// ```
pub fn limit_over(
    solver: &mut LimitSolver,
    body: &Body,
    case: &LoadCase,
    start_t: f64,
    lost: &[usize],
) -> LimitOver {
    let loads = case.wrenches(body, DVec3::ZERO);
    let arc = case.sweep.map(|sweep| Arc::of(&sweep));
    let mut lost = lost.to_vec();
    lost.sort_unstable();
    let none_lost = lost.is_empty();
    let mut look = Look { solver, loads, arc: arc.unwrap_or_default(), lost, solved: Vec::new() };
    if look.arc.span() == 0.0 || look.is_steady() {
        let t = if arc.is_some() { look.arc.clamped(start_t) } else { 0.0 };
        let limit = look.at(t).limit;
        return LimitOver { limit, t, at_least: limit.multiple().unwrap_or(0.0) };
    }
    let first = look.at(look.arc.clamped(start_t));
    if none_lost {
        look.all_over();
        look.climb(look.worst());
        look.climb(first);
        let at_least = look.prove();
        look.result(at_least)
    } else {
        look.climb(first);
        let (t, rate) = look.worst_known();
        if rate > look.worst().usage * (1.0 + GAIN_WHEN_LOST) {
            let from = look.at(t);
            look.climb(from);
        }
        look.result(0.0)
    }
}

/// One instant that was solved.
#[derive(Debug, Clone, Copy)]
struct Seen {
    t: f64,
    limit: Limit,
    /// One over the factor; infinite when the load cannot be carried at all, NaN when not known.
    usage: f64,
    /// Its slope along the sweep, 1/rad.
    slope: f64,
    /// Where the plane of the solve is highest, rad.
    crest: f64,
}

struct Look<'a> {
    solver: &'a mut LimitSolver,
    /// Fixed, along and across.
    loads: [Wrench; 3],
    arc: Arc,
    lost: Vec<usize>,
    solved: Vec<Seen>,
}

impl Look<'_> {
    fn is_steady(&self) -> bool {
        self.loads[1..].iter().all(|load| load.force == DVec3::ZERO && load.moment == DVec3::ZERO)
    }

    fn load(&self, t: f64) -> Wrench {
        let ([fixed, along, across], (sin, cos)) = (&self.loads, t.sin_cos());
        Wrench {
            force: fixed.force + along.force * cos + across.force * sin,
            moment: fixed.moment + along.moment * cos + across.moment * sin,
            about: fixed.about,
        }
    }

    /// Solves one instant and remembers it.
    fn at(&mut self, t: f64) -> Seen {
        let load = self.load(t);
        let limit = self.solver.solve_without(&self.lost, &Wrench::zero(load.about), &load);
        let usage = limit.multiple().map_or(f64::NAN, f64::recip);
        let (crest, slope) = self.solver.release.map_or((t, 0.0), |release| {
            let wave = self.wave(&release);
            (self.highest(&release).0, wave.dot(DVec2::from_angle(t).perp()))
        });
        let seen = Seen { t, limit, usage, slope, crest };
        self.solved.push(seen);
        seen
    }

    /// How a plane's height varies along the sweep: its part times (cos t, sin t).
    fn wave(&self, release: &Release) -> DVec2 {
        DVec2::new(release.rate(&self.loads[1]), release.rate(&self.loads[2]))
    }

    /// Where a plane is highest over the arc, and how high: the crest of a sinusoid, or an end.
    fn highest(&self, release: &Release) -> (f64, f64) {
        let (fixed, wave) = (release.rate(&self.loads[0]), self.wave(release));
        let ends = [self.arc.from, self.arc.to];
        let candidates = self.arc.inside(wave.to_angle()).into_iter().chain(ends);
        highest(candidates.map(|t| (t, fixed + wave.dot(DVec2::from_angle(t)))))
    }

    /// The worst instant by all planes that are known.
    fn worst_known(&self) -> (f64, f64) {
        highest(self.solver.known_ways(&self.lost).map(|release| self.highest(release)))
    }

    /// The worst instant solved; one that is not known is worse than any.
    fn worst(&self) -> Seen {
        let worse = |a: &Seen, b: &Seen| b.usage.is_nan() && !a.usage.is_nan() || b.usage > a.usage;
        self.solved[1..]
            .iter()
            .fold(self.solved[0], |worst, seen| if worse(&worst, seen) { *seen } else { worst })
    }

    /// Solves instants evenly over the sweep, so that no two neighbours lie far apart.
    fn all_over(&mut self) {
        let arcs = (self.arc.span() / APART).ceil().max(1.0);
        let step = self.arc.span() / arcs;
        // The last is the first again on a full circle.
        let count = if self.arc.closed { arcs as usize } else { arcs as usize + 1 };
        for i in 0..count {
            let t = if i as f64 == arcs { self.arc.to } else { self.arc.from + step * i as f64 };
            self.at(t);
        }
    }

    /// Climbs along the sweep from an instant that was solved.
    fn climb(&mut self, from: Seen) {
        let (gain, steps) =
            if self.lost.is_empty() { (GAIN, STEPS) } else { (GAIN_WHEN_LOST, STEPS_WHEN_LOST) };
        let mut best = from;
        let mut other: Option<Seen> = None;
        for _ in 1..steps {
            if !(best.usage.is_finite() && best.usage > 0.0) {
                return;
            }
            let t = self.arc.wrapped(next(&best, other.as_ref()), &best);
            let step = t - best.t;
            if (step * best.slope).abs() < gain * best.usage {
                return;
            }
            let seen = self.at(t);
            if seen.usage.is_nan() {
                return;
            }
            (best, other) = if seen.usage > best.usage { (seen, Some(best)) } else { (best, Some(seen)) };
        }
    }

    /// The smallest factor that any instant may have. Between two solved instants the load is a times the one plus b
    /// times the other less (a + b - 1) times its fixed part, a, b >= 0 and a + b >= 1, and usage is convex and grows with
    /// the load.
    fn prove(&mut self) -> f64 {
        let back = Wrench { force: -self.loads[0].force, moment: -self.loads[0].moment, ..self.loads[0] };
        let turned_about = self.solver.solve(&Wrench::zero(back.about), &back);
        let Some(turned_about) = turned_about.multiple().map(f64::recip) else { return 0.0 };
        if turned_about.is_infinite() {
            return 0.0;
        }
        for seen in &mut self.solved {
            seen.t = self.arc.inside(seen.t).unwrap_or(seen.t);
        }
        loop {
            self.solved.sort_by(|a, b| a.t.total_cmp(&b.t));
            let worst = self.worst().usage;
            if !worst.is_finite() {
                return 0.0;
            }
            let pairs = self.solved.windows(2).map(|pair| (pair[0], pair[1]));
            let around = self.arc.closed.then(|| {
                let (last, first) = (self.solved[self.solved.len() - 1], self.solved[0]);
                (last, Seen { t: first.t + TAU, ..first })
            });
            let bounds = pairs.chain(around).map(|(a, b)| {
                ((a.t + b.t) / 2.0, between(a.usage, b.usage, (b.t - a.t) / 2.0, turned_about))
            });
            let (t, bound) = highest(bounds);
            if bound <= (worst * (1.0 + PROVED)).max(LITTLE) || self.solved.len() >= SOLVES {
                return bound.max(worst).recip();
            }
            let t = self.arc.inside(t).unwrap_or(self.arc.to);
            self.at(t);
        }
    }

    fn result(&self, at_least: f64) -> LimitOver {
        let Seen { t, limit, .. } = self.worst();
        let least = limit.multiple().unwrap_or(0.0);
        LimitOver { limit, t: self.arc.inside(t).unwrap_or(t), at_least: at_least.min(least) }
    }
}

/// The largest second value.
fn highest(points: impl Iterator<Item = (f64, f64)>) -> (f64, f64) {
    points.fold((0.0, f64::NEG_INFINITY), |best, point| if point.1 > best.1 { point } else { best })
}

/// Where to look after the best instant so far and one beside it: the crest of the plane first, then where the slopes
/// of the two say that the slope vanishes.
fn next(best: &Seen, other: Option<&Seen>) -> f64 {
    let Some(other) = other else { return best.crest };
    let apart = other.t - best.t;
    let share = best.slope / (best.slope - other.slope);
    if best.slope * apart > 0.0 && other.usage < best.usage {
        // Uphill of the best lies a lower one: the top is between.
        let inside = if other.slope * best.slope < 0.0 && share.is_finite() { share } else { 0.5 };
        best.t + apart * inside.clamp(0.05, 0.95)
    } else if other.slope * best.slope > 0.0 && best.slope.abs() < other.slope.abs() && share.is_finite() {
        // Both say further: the slope falls off, and vanishes where it gets to.
        best.t + (apart * share).clamp(-STRIDE, STRIDE)
    } else {
        best.t + (2.0 * (best.crest - best.t)).clamp(-STRIDE, STRIDE)
    }
}

/// No usage between two instants `half` an angle from their middle exceeds this: a usage for a load turned about taken
/// with it. See `Look::prove`.
fn between(a: f64, b: f64, half: f64, turned_about: f64) -> f64 {
    if half >= FRAC_PI_4 * 1.9 {
        return f64::INFINITY;
    }
    // With the angle s from the middle: [a sin(half - s) + b sin(half + s)]/sin 2 half, that is a sinusoid in s.
    let (even, odd) = ((a + b) / (2.0 * half.cos()), (b - a) / (2.0 * half.sin().max(1e-300)));
    let rest = if turned_about == 0.0 { 0.0 } else { turned_about * (half.cos().recip() - 1.0) };
    let crest = odd.atan2(even);
    let most = if crest.abs() <= half { even.hypot(odd) } else { a.max(b) };
    most + rest
}

/// The instants of a sweep.
#[derive(Debug, Clone, Copy, Default)]
struct Arc {
    from: f64,
    to: f64,
    closed: bool,
}

impl Arc {
    fn of(sweep: &Sweep) -> Self {
        let (from, to) = if sweep.from <= sweep.to { (sweep.from, sweep.to) } else { (sweep.to, sweep.from) };
        let span = to - from;
        // As the search for the elastic worst: an end that is not a number leaves the other.
        if !span.is_finite() {
            let at = [from, to].into_iter().find(|t| t.is_finite()).unwrap_or(0.0);
            return Self { from: at, to: at, closed: false };
        }
        let closed = span >= TAU * (1.0 - 1e-12);
        Self { from, to: if closed { from + TAU } else { to }, closed }
    }

    fn span(&self) -> f64 {
        self.to - self.from
    }

    fn clamped(&self, t: f64) -> f64 {
        if t.is_finite() { t.clamp(self.from, self.to) } else { self.from }
    }

    /// The same direction within the arc.
    fn inside(&self, t: f64) -> Option<f64> {
        let t = self.from + (t - self.from).rem_euclid(TAU);
        (t <= self.to).then_some(t)
    }

    /// The same direction within half a turn of an instant, or the arc's end.
    fn wrapped(&self, t: f64, near: &Seen) -> f64 {
        if self.closed {
            near.t + (t - near.t + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0
        } else {
            t.clamp(self.from, self.to)
        }
    }
}
