//! The smallest limit factor over a sweep.

use super::{Limit, LimitSolver, Release};
use crate::motion::{Body, LoadCase, Sweep, Wrench};
use glam::{DVec2, DVec3};
use std::f64::consts::TAU;

/// A climb ends when the next instant would gain less than this (relative).
const GAIN: f64 = 1e-7;
/// Solves of one climb; the usual number is 2 to 5.
const STEPS: usize = 30;
/// Further starts in a full circle.
const STARTS: usize = 3;

/// The smallest limit factor over a load case, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitOver {
    /// What some share carries at the worst instant, of the whole load, weight included.
    pub limit: Limit,
    /// The instant, rad; 0 without a sweep.
    pub t: f64,
}

/// The limit factor of a load case: the smallest over its instants of the multiple of the whole load that some share
/// among the cups carries, those `lost` left out.
///
/// `start_t` is where to begin, best the elastic worst instant. One over the factor is convex in the load, so that each
/// solve gives a plane below it; the instant at which that plane is highest comes next, and the factor never rises from
/// one instant to the next. Over a wide sweep further starts follow. What no start climbs to is not seen: the result is
/// the smallest that was found, and every instant that was solved carries at least as much.
///
/// # Units
/// rad.
pub fn limit_over(
    solver: &mut LimitSolver,
    body: &Body,
    case: &LoadCase,
    start_t: f64,
    lost: &[usize],
) -> LimitOver {
    let loads = case.wrenches(body, DVec3::ZERO);
    let Some(sweep) = case.sweep else {
        return LimitOver {
            limit: solver.solve_without(lost, &Wrench::zero(DVec3::ZERO), &loads[0]),
            t: 0.0,
        };
    };
    let mut climb = Climb { solver, loads, arc: Arc::of(&sweep), lost };
    let mut worst = climb.from(climb.arc.clamped(start_t));
    for start in climb.arc.starts(worst.t) {
        if matches!(worst.limit, Limit::Solved(0.0) | Limit::NotConverged) {
            break;
        }
        let other = climb.from(start);
        if other.limit == Limit::NotConverged || other.limit.multiple() < worst.limit.multiple() {
            worst = other;
        }
    }
    worst
}

struct Climb<'a> {
    solver: &'a mut LimitSolver,
    /// Fixed, along and across.
    loads: [Wrench; 3],
    arc: Arc,
    lost: &'a [usize],
}

impl Climb<'_> {
    fn at(&self, t: f64) -> Wrench {
        let ([fixed, along, across], (sin, cos)) = (&self.loads, t.sin_cos());
        Wrench {
            force: fixed.force + along.force * cos + across.force * sin,
            moment: fixed.moment + along.moment * cos + across.moment * sin,
            about: fixed.about,
        }
    }

    fn solve(&mut self, t: f64) -> LimitOver {
        let load = self.at(t);
        LimitOver { limit: self.solver.solve_without(self.lost, &Wrench::zero(load.about), &load), t }
    }

    fn from(&mut self, start: f64) -> LimitOver {
        let mut best = self.solve(start);
        for _ in 1..STEPS {
            let (Limit::Solved(factor), Some(release)) = (best.limit, self.solver.release) else { break };
            let (t, rate) = self.highest(&release);
            if rate * factor <= 1.0 + GAIN {
                break;
            }
            let next = self.solve(t);
            match next.limit {
                Limit::Solved(found) if found < factor => best = next,
                Limit::NotConverged => return next,
                // The plane promised more than the solve found: within the solver's precision.
                _ => break,
            }
        }
        best
    }

    /// Where a plane is highest over the arc: the crest of a sinusoid, or an end.
    fn highest(&self, release: &Release) -> (f64, f64) {
        let [fixed, along, across] = &self.loads;
        // The plane through zero: its rate is linear in the load.
        let wave = DVec2::new(release.rate(along), release.rate(across));
        let rate = |t: f64| release.rate(fixed) + wave.dot(DVec2::from_angle(t));
        let crest = wave.to_angle();
        let inside = self.arc.inside(crest);
        let ends = [self.arc.from, self.arc.to];
        inside
            .into_iter()
            .chain(ends)
            .map(|t| (t, rate(t)))
            .fold((ends[0], f64::NEG_INFINITY), |best, found| if found.1 > best.1 { found } else { best })
    }
}

/// The instants of a sweep.
#[derive(Debug, Clone, Copy)]
struct Arc {
    from: f64,
    to: f64,
}

impl Arc {
    fn of(sweep: &Sweep) -> Self {
        let (from, to) = if sweep.from <= sweep.to { (sweep.from, sweep.to) } else { (sweep.to, sweep.from) };
        // As the search for the elastic worst: an end that is not a number leaves the other.
        if !(to - from).is_finite() {
            let at = [from, to].into_iter().find(|t| t.is_finite()).unwrap_or(0.0);
            return Self { from: at, to: at };
        }
        Self { from, to: to.min(from + TAU) }
    }

    fn clamped(&self, t: f64) -> f64 {
        if t.is_finite() { t.clamp(self.from, self.to) } else { self.from }
    }

    /// The same direction within the arc.
    fn inside(&self, t: f64) -> Option<f64> {
        let t = self.from + (t - self.from).rem_euclid(TAU);
        (t <= self.to).then_some(t)
    }

    /// Further instants to start from: spread over the circle, or the ends of an arc.
    fn starts(self, used: f64) -> Vec<f64> {
        let span = self.to - self.from;
        if span == 0.0 {
            return Vec::new();
        }
        if span < TAU * (1.0 - 1e-12) {
            return [self.from, self.to].into_iter().filter(|t| (t - used).abs() > 1e-9).collect();
        }
        (1..=STARTS).filter_map(|i| self.inside(used + TAU * i as f64 / (STARTS + 1) as f64)).collect()
    }
}
