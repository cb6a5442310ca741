//! How a load is shared at the limit, and what such shares say of the instants between them.

use super::Contact;
use glam::{DVec2, DVec3};

/// Arcs of a bound are no wider than this at first, rad.
const WIDEST: f64 = 0.4;
/// They are not halved below this, rad: the circle lies within 4e-7 of a chord so wide.
const FINEST: f64 = 2e-3;

/// What one cup does for a load, as forces that press its lip on, N: the friction that it gives over what each newton
/// gives, the tilt over the lever of each part of the lip. Every entry is linear in the share.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct CupShare {
    /// Pull.
    pub pull: f64,
    /// Slide and twist over the grip.
    pub friction: DVec3,
    /// Tilt that the sides of the lip's rectangle carry, over their levers.
    pub lean: DVec2,
    /// Tilt that its circle carries, over its radius.
    pub roll: DVec2,
}

impl CupShare {
    pub(super) fn times(&self, scale: f64) -> Self {
        Self {
            pull: self.pull * scale,
            friction: self.friction * scale,
            lean: self.lean * scale,
            roll: self.roll * scale,
        }
    }

    fn plus(&self, other: &Self, scale: f64) -> Self {
        Self {
            pull: self.pull + other.pull * scale,
            friction: self.friction + other.friction * scale,
            lean: self.lean + other.lean * scale,
            roll: self.roll + other.roll * scale,
        }
    }
}

/// What one cup has, N: one over the force that is left above the seal's and one over all.
#[derive(Debug, Clone, Copy)]
pub(super) struct Capacity {
    per_seal: f64,
    per_force: f64,
}

impl Capacity {
    /// Of a cup; one that does not hold uses nothing of nothing.
    pub(super) fn of(cup: &Contact, holds: bool) -> Self {
        if !holds {
            return Self { per_seal: 0.0, per_force: 0.0 };
        }
        Self { per_seal: (cup.vacuum_force - cup.seal_force).recip(), per_force: cup.vacuum_force.recip() }
    }

    /// The part of a cup that a share uses up: the least u at which the share over u meets its limits. Convex.
    fn usage(&self, share: &CupShare) -> f64 {
        let pressed = share.lean.abs().max_element().max(share.roll.length());
        let seal = (share.pull + pressed) * self.per_seal;
        seal.max((share.pull + share.friction.length()) * self.per_force)
    }
}

/// Shares of three instants of a sweep. The load is a wave in the instant, fixed + along cos t + across sin t; so is the
/// share that meets these three, and it balances the load at every instant.
pub(super) struct Through<'a> {
    pub at: [f64; 3],
    pub shares: [&'a [CupShare]; 3],
    pub cups: &'a [Capacity],
}

impl Through<'_> {
    /// The largest part of any cup that the share uses up at `u` = size (cos t, sin t): convex in u.
    fn usage(&self, t: f64, size: f64) -> f64 {
        let [a, b, c] = self.at;
        // The wave that is 1 at one instant and 0 at the other two.
        let weight = |here: f64, p: f64, q: f64| {
            let wave = ((p - q) / 2.0).cos() - size * (t - (p + q) / 2.0).cos();
            wave / (2.0 * ((here - p) / 2.0).sin() * ((here - q) / 2.0).sin())
        };
        let (wa, wb, wc) = (weight(a, b, c), weight(b, c, a), weight(c, a, b));
        if !(wa.is_finite() && wb.is_finite() && wc.is_finite()) {
            return f64::INFINITY;
        }
        let [sa, sb, sc] = self.shares;
        let each = self
            .cups
            .iter()
            .zip(sa.iter().zip(sb).zip(sc))
            .map(|(cup, ((a, b), c))| cup.usage(&a.times(wa).plus(b, wb).plus(c, wc)));
        each.fold(0.0, f64::max)
    }

    /// No instant between `from` and `to` uses more than this. Arcs on which `enough` is not exceeded, and those on which
    /// the share itself exceeds it, are not looked at more closely.
    ///
    /// An arc lies in the triangle of its ends and the point where their tangents meet; a convex function is nowhere in
    /// it larger than at the corners.
    pub(super) fn most(&self, from: f64, to: f64, enough: f64) -> f64 {
        let arcs = ((to - from) / WIDEST).ceil().max(1.0);
        let step = (to - from) / arcs;
        let mut open: Vec<(f64, f64)> =
            (0..arcs as usize).map(|i| (from + step * i as f64, from + step * (i + 1) as f64)).collect();
        let mut most = self.usage(from, 1.0).max(self.usage(to, 1.0));
        while let Some((from, to)) = open.pop() {
            let (middle, half) = ((from + to) / 2.0, (to - from) / 2.0);
            let corner = self.usage(middle, half.cos().recip());
            if corner <= enough || 2.0 * half <= FINEST {
                most = most.max(corner);
                continue;
            }
            let inside = self.usage(middle, 1.0);
            most = most.max(inside);
            if inside > enough {
                most = most.max(corner);
            } else {
                open.extend([(from, middle), (middle, to)]);
            }
        }
        most
    }
}
