//! The instants of a sweep.

use super::share::CupShare;
use crate::motion::Sweep;
use std::f64::consts::TAU;

/// Instants nearer than this are one, rad.
const SAME: f64 = 1e-9;

/// The instants of a sweep.
#[derive(Debug, Clone, Copy)]
pub(super) struct Arc {
    pub from: f64,
    pub to: f64,
    pub closed: bool,
}

impl Arc {
    pub(super) fn of(sweep: &Sweep) -> Self {
        let (from, to) = if sweep.from <= sweep.to { (sweep.from, sweep.to) } else { (sweep.to, sweep.from) };
        let span = to - from;
        // As the search for the elastic worst: an end that is not a number leaves the other.
        if !span.is_finite() {
            return Self::single([from, to].into_iter().find(|t| t.is_finite()).unwrap_or(0.0));
        }
        let closed = span >= TAU * (1.0 - 1e-12);
        Self { from, to: if closed { from + TAU } else { to }, closed }
    }

    pub(super) fn single(at: f64) -> Self {
        Self { from: at, to: at, closed: false }
    }

    pub(super) fn span(&self) -> f64 {
        self.to - self.from
    }

    pub(super) fn clamped(&self, t: f64) -> f64 {
        if t.is_finite() { t.clamp(self.from, self.to) } else { self.from }
    }

    /// The same direction within the arc.
    pub(super) fn inside(&self, t: f64) -> Option<f64> {
        if t >= self.from && t <= self.to {
            return Some(t);
        }
        let t = self.from + (t - self.from).rem_euclid(TAU);
        (t <= self.to).then_some(t)
    }

    /// The same direction within half a turn of an instant, or the arc's end.
    pub(super) fn wrapped(&self, t: f64, near: f64) -> f64 {
        if self.closed {
            near + (t - near + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0
        } else {
            t.clamp(self.from, self.to)
        }
    }

    /// Whether two instants of the arc are one.
    pub(super) fn is_same(&self, a: f64, b: f64) -> bool {
        let apart = if self.closed { self.apart(a, b) } else { (a - b).abs() };
        apart < SAME
    }

    /// How far two instants lie apart on the circle.
    pub(super) fn apart(&self, a: f64, b: f64) -> f64 {
        let turn = (a - b).rem_euclid(TAU);
        turn.min(TAU - turn)
    }

    /// Instants that divide the arc in parts of a third of a turn at most: around the circle from `first`, or both ends
    /// and at least one between.
    pub(super) fn thirds(&self, first: f64) -> Vec<f64> {
        if self.closed {
            return (0..3).map(|i| first + TAU * f64::from(i) / 3.0).collect();
        }
        let parts = (self.span() / TAU * 3.0).ceil().max(2.0);
        (0..=parts as usize).map(|i| (self.from + self.span() * i as f64 / parts).min(self.to)).collect()
    }

    /// From the i-th of the instants held to the next, past the end of the circle if need be.
    pub(super) fn between(&self, held: &[Held], i: usize) -> (f64, f64) {
        let from = held[i].t;
        match held.get(i + 1) {
            Some(next) => (from, next.t),
            None => (from, held[0].t + TAU),
        }
    }
}

/// One instant that was solved, with the share that was found.
pub(super) struct Held {
    pub t: f64,
    pub usage: f64,
    pub shares: Vec<CupShare>,
}

/// Puts an instant among those held, in the order of the sweep; one of two that are the same stays.
pub(super) fn insert(held: &mut Vec<Held>, arc: &Arc, mut new: Held) {
    new.t = arc.inside(new.t).unwrap_or(new.t);
    if !new.usage.is_finite() || new.shares.is_empty() {
        return;
    }
    if held.iter().any(|held| arc.is_same(held.t, new.t)) {
        return;
    }
    let place = held.partition_point(|held| held.t < new.t);
    held.insert(place, new);
}
