//! The smallest limit factor over a sweep, in one state of a motion.

use super::arc::{Arc, Held, insert};
use super::share::{Capacity, Through};
use super::wave::{at, highest, is_nothing, wave, worst};
use super::{Limit, LimitSolver, Release};
use crate::factor::Reading;
use crate::motion::{Body, LoadCase, Wrench};
use glam::{DVec2, DVec3};
use std::f64::consts::FRAC_PI_2;

/// A climb ends when the next instant would gain less than this (relative).
pub(super) const GAIN: f64 = 1e-7;
/// Solves of one climb; the usual number is 3 to 5.
const STEPS: usize = 10;
/// Longest step of a climb, rad.
const STRIDE: f64 = 0.5;
/// A proof is complete when no instant is worse than the worst found by more than this (relative).
const PROVED: f64 = 1e-4;
/// Solves in all for one load case and loss; the usual number is 10 to 20. What is not proved by then stays open.
const SOLVES: usize = 160;
/// Of very many cups fewer, since each takes longer: so many cups in all solves, but never fewer solves than the last.
const CUPS_SOLVED: usize = 32_000;
const FEWEST: usize = 12;
/// A usage below this, a factor of a thousand, needs no proof.
pub(super) const LITTLE: f64 = 1e-3;
/// Arcs narrower than this are not halved, rad.
const NARROW: f64 = 2e-4;

/// The worst instant of one state of a motion, and the usage that none exceeds, `None` when that is not known. No more than
/// `floor` need be told apart: so much is used in another state.
pub(super) fn in_state(
    solver: &mut LimitSolver,
    body: &Body,
    case: &LoadCase,
    start_t: f64,
    lost: &[usize],
    floor: f64,
) -> (Option<Seen>, Option<f64>) {
    let [weight, motion] = [case.weight(), case.motion()].map(|part| part.wrenches(body, DVec3::ZERO));
    let cups = solver.capacities(lost);
    let arc = match case.sweep.map(|sweep| Arc::of(&sweep)) {
        // Nothing varies: one instant.
        Some(arc) if [&weight, &motion].iter().any(|part| part[1..].iter().any(|load| !is_nothing(load))) => {
            arc
        }
        Some(arc) => Arc::single(arc.clamped(start_t)),
        None => Arc::single(0.0),
    };
    let start = arc.clamped(start_t);
    let lost = lost.to_vec();
    let most_solves = SOLVES.min((CUPS_SOLVED / cups.len().max(1)).max(FEWEST));
    let mut look = Look {
        solver,
        weight,
        motion,
        arc,
        lost,
        cups,
        floor,
        best: None,
        solves: 0,
        most_solves,
        held: Vec::new(),
    };
    let bound = look.whole(start).and_then(|bound| Some(bound.max(look.kept(case.favourable_weight)?)));
    let inside = |best: Seen| Seen { t: arc.inside(best.t).unwrap_or(best.t), ..best };
    (look.best.map(inside), bound)
}

/// One instant that was solved in one reading.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    pub t: f64,
    pub limit: Limit,
    pub reading: Reading,
    /// One over the factor; infinite when the load cannot be carried at all.
    pub usage: f64,
    /// Its slope along the sweep, 1/rad.
    slope: f64,
    /// Where the plane of the solve is highest, rad.
    crest: f64,
}

/// What came of a proof.
enum Proof {
    /// No instant uses more than was asked.
    Holds,
    /// This instant does.
    Beaten(f64),
    /// The work ended before; no instant uses more than this, infinite when that is not known either.
    Open(f64),
}

struct Look<'a> {
    solver: &'a mut LimitSolver,
    /// Fixed, along and across.
    weight: [Wrench; 3],
    motion: [Wrench; 3],
    arc: Arc,
    lost: Vec<usize>,
    cups: Vec<Capacity>,
    /// What is used elsewhere: no instant that uses less needs to be looked for.
    floor: f64,
    best: Option<Seen>,
    solves: usize,
    most_solves: usize,
    /// Instants solved with the whole load.
    held: Vec<Held>,
}

impl Look<'_> {
    /// Motion and so many times the weight: fixed, along and across.
    fn loads(&self, weight: f64) -> [Wrench; 3] {
        std::array::from_fn(|i| {
            let (weighs, moves) = (&self.weight[i], &self.motion[i]);
            Wrench {
                force: moves.force + weighs.force * weight,
                moment: moves.moment + weighs.moment * weight,
                about: moves.about,
            }
        })
    }

    /// The usage that the best found may be short of without being called wrong.
    fn enough(&self) -> f64 {
        (self.best.map_or(0.0, |best| best.usage).max(self.floor) * (1.0 + PROVED)).max(LITTLE)
    }

    /// The whole load multiplied: the worst instant, and the usage that none exceeds; `None` when that is not known.
    fn whole(&mut self, start: f64) -> Option<f64> {
        // Where the solver does not get there it does a little on.
        for t in std::iter::once(start).chain(self.arc.thirds(start)) {
            if self.best.is_none() {
                self.climb(Reading::WholeLoad, 1.0, t);
            }
        }
        if self.arc.span() == 0.0 {
            return self.best.map(|best| best.usage);
        }
        let loads = self.loads(1.0);
        if let Some(t) = self.known_beyond(&loads, self.enough()) {
            self.climb(Reading::WholeLoad, 1.0, t);
        }
        loop {
            let enough = self.enough();
            if enough == f64::INFINITY {
                return Some(enough);
            }
            let mut held = std::mem::take(&mut self.held);
            let proof = self.prove(&loads, enough, &mut held);
            self.held = held;
            match proof {
                Proof::Holds => return Some(enough),
                Proof::Open(bound) => return Some(bound),
                Proof::Beaten(t) => self.climb(Reading::WholeLoad, 1.0, t),
            }
        }
    }

    /// The motion multiplied beside the weight: makes the worst found worse where that is so, and gives the usage that no
    /// instant exceeds; `None` when that is not known.
    fn kept(&mut self, favourable: f64) -> Option<f64> {
        let mut bound: f64 = 0.0;
        if [&self.weight, &self.motion].iter().any(|part| part.iter().all(is_nothing)) {
            return Some(bound);
        }
        let fixed = self.weight[1..].iter().all(is_nothing);
        // What taking weight off uses up, and what the weight alone does, where it stands still.
        let (off, alone) = if fixed { (self.uses(-1.0), self.uses(1.0)) } else { (None, None) };
        for (reading, share) in [(Reading::FavourableWeight, favourable), (Reading::WeightOnce, 1.0)] {
            let whole = self.best.map_or(f64::INFINITY, |best| best.usage);
            if whole == f64::INFINITY {
                return Some(whole);
            }
            // Where the weight alone is too much, no motion that helps counts.
            if alone.is_some_and(|alone| share * alone > 1.0) {
                self.climb(reading, share, self.arc.from);
                return Some(f64::INFINITY);
            }
            let spared = off == Some(0.0) && share * self.enough() <= 1.0;
            // A weight that is carried once lies between its share and the whole load multiplied.
            let between =
                reading == Reading::WeightOnce && self.enough() <= 1.0 && alone.is_some_and(|u| u <= 1.0);
            let same = reading == Reading::WeightOnce && favourable == 1.0;
            if spared || between || same {
                bound = bound.max(self.enough());
                continue;
            }
            bound = bound.max(self.kept_in(reading, share)?);
        }
        Some(bound)
    }

    fn kept_in(&mut self, reading: Reading, share: f64) -> Option<f64> {
        if self.arc.span() == 0.0 {
            self.climb(reading, share, self.arc.from);
            return self.best.map(|best| best.usage);
        }
        if !self.weight[1..].iter().all(is_nothing) {
            let weight = self.weight;
            match self.prove(&weight, share.recip(), &mut Vec::new()) {
                Proof::Holds => {}
                Proof::Open(_) => return None,
                Proof::Beaten(t) => {
                    self.climb(reading, share, t);
                    return self.best.map(|best| best.usage).filter(|usage| *usage == f64::INFINITY);
                }
            }
        }
        loop {
            let enough = self.enough();
            if enough == f64::INFINITY {
                return Some(enough);
            }
            let loads = self.loads(share * enough);
            if let Some(t) = self.known_beyond(&loads, enough) {
                let before = self.best.map(|best| best.usage);
                self.climb(reading, share, t);
                if self.best.map(|best| best.usage) > before {
                    continue;
                }
            }
            match self.prove(&loads, enough, &mut Vec::new()) {
                Proof::Holds => return Some(enough),
                Proof::Open(_) => return None,
                Proof::Beaten(t) => {
                    let before = self.best.map(|best| best.usage);
                    self.climb(reading, share, t);
                    if self.best.map(|best| best.usage) <= before {
                        return None; // the last digits of two solves disagree
                    }
                }
            }
        }
    }

    /// The usage of the fixed weight times this.
    fn uses(&mut self, times: f64) -> Option<f64> {
        let [weight, ..] = self.weight;
        let load = Wrench { force: weight.force * times, moment: weight.moment * times, ..weight };
        self.solves += 1;
        let limit = self.solver.solve_without(&self.lost, &Wrench::zero(load.about), &load);
        limit.multiple().map(f64::recip)
    }

    /// Solves one instant in one reading, of which `share` times the weight stays.
    fn at(&mut self, reading: Reading, share: f64, t: f64) -> Option<Seen> {
        self.solves += 1;
        let (limit, kept) = if reading == Reading::WholeLoad {
            let load = at(&self.loads(1.0), t);
            (self.solver.solve_without(&self.lost, &Wrench::zero(load.about), &load), 0.0)
        } else {
            let weight = at(&self.weight, t);
            let dead = Wrench { force: weight.force * share, moment: weight.moment * share, ..weight };
            (self.solver.solve_without(&self.lost, &dead, &at(&self.motion, t)), share)
        };
        let usage = limit.multiple()?.recip();
        let (crest, slope) = self.solver.release.map_or((t, 0.0), |release| {
            // A plane r gives the usage r · motion/(1 - r · share of the weight) in a reading that keeps it.
            let level = if kept > 0.0 { kept * usage } else { 1.0 };
            let loads = self.loads(level);
            let rest = 1.0 - release.rate(&at(&self.weight, t)) * kept;
            let slope = wave(&release, &loads).dot(DVec2::from_angle(t).perp()) / rest;
            (self.highest(&release, &loads).0, slope)
        });
        let seen = Seen { t, limit, reading, usage, slope, crest };
        if self.best.is_none_or(|best| usage > best.usage) {
            self.best = Some(seen);
        }
        if reading == Reading::WholeLoad {
            self.hold(t, usage);
        }
        Some(seen)
    }

    /// Keeps the share that the last solve found.
    fn hold(&mut self, t: f64, usage: f64) {
        let shares = std::mem::take(&mut self.solver.shares);
        insert(&mut self.held, &self.arc, Held { t, usage, shares });
    }

    /// Where a plane is highest over the arc, and how high: the crest of a wave, or an end.
    fn highest(&self, release: &Release, loads: &[Wrench; 3]) -> (f64, f64) {
        let (fixed, wave) = (release.rate(&loads[0]), wave(release, loads));
        let ends = [self.arc.from, self.arc.to];
        let candidates = self.arc.inside(wave.to_angle()).into_iter().chain(ends);
        highest(candidates.map(|t| (t, fixed + wave.dot(DVec2::from_angle(t)))))
    }

    /// The worst instant by all planes that are known, if it uses more than this.
    fn known_beyond(&self, loads: &[Wrench; 3], enough: f64) -> Option<f64> {
        let (t, usage) = highest(self.solver.known_ways(&self.lost).map(|way| self.highest(way, loads)));
        (usage > enough).then_some(t)
    }

    /// Climbs along the sweep from an instant.
    fn climb(&mut self, reading: Reading, share: f64, from: f64) {
        let Some(mut best) = self.at(reading, share, from) else { return };
        let mut other: Option<Seen> = None;
        for _ in 1..STEPS {
            if !(best.usage.is_finite() && best.usage > 0.0) || self.arc.span() == 0.0 {
                return;
            }
            let t = self.arc.wrapped(next(&best, other.as_ref()), best.t);
            if ((t - best.t) * best.slope).abs() < GAIN * best.usage {
                return;
            }
            let Some(seen) = self.at(reading, share, t) else { return };
            (best, other) = if seen.usage > best.usage { (seen, Some(best)) } else { (best, Some(seen)) };
        }
    }

    /// Whether no instant uses more than `enough` under these loads. `held` are instants of the same loads that are
    /// solved already.
    fn prove(&mut self, loads: &[Wrench; 3], enough: f64, held: &mut Vec<Held>) -> Proof {
        if let Some(beyond) = held.iter().find(|held| held.usage > enough) {
            return Proof::Beaten(beyond.t);
        }
        let first = self.best.map_or(self.arc.from, |best| best.t);
        for t in self.arc.thirds(self.arc.inside(first).unwrap_or(self.arc.from)) {
            if held.iter().any(|held| self.arc.is_same(held.t, t)) {
                continue;
            }
            match self.look_at(loads, t, held) {
                Some(usage) if usage > enough => return Proof::Beaten(t),
                _ => {}
            }
        }
        if held.len() < 3 {
            return Proof::Open(f64::INFINITY);
        }
        let count = if self.arc.closed { held.len() } else { held.len() - 1 };
        let mut bounds: Vec<Option<f64>> = vec![None; count];
        loop {
            for (i, bound) in bounds.iter_mut().enumerate() {
                if bound.is_none() {
                    *bound = Some(self.most(held, i, enough));
                }
            }
            let (i, bound) = worst(&bounds);
            if bound <= enough {
                return Proof::Holds;
            }
            let (from, to) = self.arc.between(held, i);
            if self.solves >= self.most_solves || to - from < NARROW {
                return Proof::Open(bound);
            }
            let before = held.len();
            // The middle, or beside it where the solver does not get there.
            let tried = [0.5, 0.35, 0.65].map(|share| from + (to - from) * share);
            let found = tried.into_iter().find_map(|t| Some((t, self.look_at(loads, t, held)?)));
            let Some((t, usage)) = found else { return Proof::Open(bound) };
            if usage > enough {
                return Proof::Beaten(t);
            }
            if held.len() == before {
                return Proof::Open(bound);
            }
            // One arc has become two. Past the end of the circle the new instant is the first.
            bounds[i] = None;
            let wrapped = self.arc.closed && t >= self.arc.to;
            bounds.insert(if wrapped { 0 } else { i }, None);
            // A nearer third instant may tell more of what is still open.
            for bound in &mut bounds {
                *bound = bound.filter(|bound| *bound <= enough);
            }
        }
    }

    /// Solves one instant of these loads and holds its share.
    fn look_at(&mut self, loads: &[Wrench; 3], t: f64, held: &mut Vec<Held>) -> Option<f64> {
        self.solves += 1;
        let load = at(loads, t);
        let limit = self.solver.solve_without(&self.lost, &Wrench::zero(load.about), &load);
        let usage = limit.multiple()?.recip();
        let shares = std::mem::take(&mut self.solver.shares);
        if usage.is_finite() && shares.is_empty() {
            return None;
        }
        insert(held, &self.arc, Held { t, usage, shares });
        Some(usage)
    }

    /// No instant between a held one and the next uses more than this.
    fn most(&self, held: &[Held], i: usize, enough: f64) -> f64 {
        let count = held.len();
        let (from, to) = self.arc.between(held, i);
        let (a, b) = (i, (i + 1) % count);
        // The third instant: the next on either side that is not so near that the wave runs away between the two.
        let far = |k: &usize| {
            let apart = |of: usize| self.arc.apart(held[*k].t, held[of].t);
            apart(a).min(apart(b)) >= 0.25 * (to - from).min(FRAC_PI_2)
        };
        let others = |k: &usize| *k != a && *k != b;
        let back = (1..count).map(|step| (a + count - step) % count).filter(others).find(far);
        let on = (1..count).map(|step| (b + step) % count).filter(others).find(far);
        let thirds = [back, on.filter(|on| Some(*on) != back)];
        let each = thirds.into_iter().flatten().map(|c| {
            let through = Through {
                at: [held[a].t, held[b].t, held[c].t],
                shares: [&held[a].shares, &held[b].shares, &held[c].shares],
                cups: &self.cups,
            };
            through.most(from, to, enough)
        });
        each.fold(f64::INFINITY, f64::min)
    }
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
