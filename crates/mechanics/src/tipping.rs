//! How much a load case tips the cups about a line, or about a point, at most.

use crate::case::varying;
use crate::motion::{Body, LoadCase};
use crate::sweep::{OnCircle, Search};
use glam::{DVec2, DVec3};

/// Agreement of the largest moment over a sweep, relative.
const CLOSE: f64 = 1e-9;

/// Largest tipping moment of a load case, in any [state](LoadCase::members) of its motion, about `about`: about the axis in the plan of the lips through that point along
/// `axis` (a unit vector), or without one about whichever axis in the plan it tips most.
///
/// The instant that tips most need not be the one that governs the factor: there friction may, or a lip off the line.
///
/// # Units
/// `about` mm, in the plan of the lips; the result N·m, never negative.
///
/// # Source
/// [`load`](crate::load); over a sweep the moment is affine in (cos t, sin t), so that its length is convex in them.
///
/// # Example
/// ```
/// use glam::{DMat3, DVec2, DVec3};
/// use mechanics::{Body, Instant, LoadCase, tipping_moment};
/// // 2 kg hang 50 mm below two cups in line along x and 30 mm beside it, and start at 3 m/s² along y.
/// let part = Body { mass: 2.0, centre: DVec3::new(0.0, 30.0, -50.0), inertia: DMat3::ZERO };
/// let start = LoadCase::single(Instant {
///     acceleration: DVec3::new(0.0, 3.0, 0.0),
///     ..Instant::still(DVec3::new(0.0, 0.0, -9.8))
/// });
/// let tips = tipping_moment(&part, &start, DVec2::ZERO, Some(DVec2::X));
/// assert!((tips - (19.6 * 0.030 + 6.0 * 0.050)).abs() < 1e-12); // N·m
/// ```
pub fn tipping_moment(body: &Body, case: &LoadCase, about: DVec2, axis: Option<DVec2>) -> f64 {
    let states = case.members().map(|(_, state)| in_state(body, &state, about, axis));
    states.fold(0.0, f64::max)
}

fn in_state(body: &Body, case: &LoadCase, about: DVec2, axis: Option<DVec2>) -> f64 {
    let of = |moment: DVec3| {
        let tips = moment.truncate();
        axis.map_or(tips, |axis| axis * tips.dot(axis))
    };
    match varying(case) {
        None => of(crate::load(body, &case.at(0.0), about.extend(0.0)).moment).length(),
        Some(sweep) => {
            let [fixed, along, across] =
                case.wrenches(body, about.extend(0.0)).map(|wrench| of(wrench.moment));
            Search::new(&sweep).peak(&Length { fixed, along, across }, CLOSE).value
        }
    }
}

/// Length of fixed + along cos t + across sin t.
struct Length {
    fixed: DVec2,
    along: DVec2,
    across: DVec2,
}

impl OnCircle for Length {
    fn at(&self, u: DVec2) -> f64 {
        (self.fixed + self.along * u.x + self.across * u.y).length()
    }

    /// |v|'' >= v''·v / |v| >= -|along cos t + across sin t|.
    fn bend(&self) -> f64 {
        self.along.length().hypot(self.across.length())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{Instant, Sweep};
    use glam::DMat3;
    use proptest::prelude::*;
    use std::f64::consts::{PI, TAU};

    fn vector(size: f64) -> impl Strategy<Value = DVec3> {
        [-size..size, -size..size, -size..size].prop_map(DVec3::from_array)
    }

    /// By hand: two cups in line along x, 4 kg hanging 25 mm below and 40 mm beside the line, carried at 5 m/s² in every
    /// direction of the plan. About the line: the weight's 4 · 9.80665 · 0.040 and, straight across, 4 · 5 · 0.025 more.
    #[test]
    fn a_carry_tips_most_straight_across_the_line() {
        let body = Body { mass: 4.0, centre: DVec3::new(10.0, 40.0, -25.0), inertia: DMat3::ZERO };
        let none = DVec3::ZERO;
        let carry = LoadCase::swept(
            Instant::still(DVec3::new(0.0, 0.0, -9.80665)),
            Sweep {
                gravity_along: none,
                gravity_across: none,
                acceleration_along: DVec3::new(5.0, 0.0, 0.0),
                acceleration_across: DVec3::new(0.0, 5.0, 0.0),
                from: 0.0,
                to: TAU,
            },
        );
        let tips = tipping_moment(&body, &carry, DVec2::ZERO, Some(DVec2::X));
        assert!((tips - (4.0 * 9.80665 * 0.040 + 4.0 * 5.0 * 0.025)).abs() < 1e-8, "{tips}");
        // Of a single cup: the weight's moment at 41.2 mm and the same 0.5 N·m the same way.
        let tips = tipping_moment(&body, &carry, DVec2::ZERO, None);
        assert!((tips - (4.0 * 9.80665 * 0.010_f64.hypot(0.040) + 0.5)).abs() < 1e-8, "{tips}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        /// Against Newton and Euler at every half degree, moments taken by r x F from scratch.
        #[test]
        fn no_instant_tips_more(
            ga in vector(10.0), gx in vector(10.0), aa in vector(10.0), ax in vector(10.0), fixed in vector(10.0),
            e in vector(5.0), centre in vector(200.0), from in -4.0..4.0f64, span in 0.0..8.0f64, line in 0.0..PI,
            at in vector(300.0), alone: bool,
        ) {
            let inertia = DMat3::from_diagonal(DVec3::new(4e5, 9e5, 13e5));
            let body = Body { mass: 3.0, centre, inertia };
            let sweep = Sweep {
                gravity_along: ga, gravity_across: gx, acceleration_along: aa, acceleration_across: ax,
                from, to: from + span,
            };
            let instant = Instant { turn_acceleration: e, pivot: centre, ..Instant::still(fixed) };
            let case = LoadCase::swept(instant, sweep);
            let axis = DVec2::from_angle(line);
            let found = tipping_moment(&body, &case, at.truncate(), (!alone).then_some(axis));
            let steps = 1000;
            let most = (0..=steps)
                .map(|i| {
                    let (sin, cos) = (from + span.min(TAU) * f64::from(i) / f64::from(steps)).sin_cos();
                    let pull = 3.0 * (fixed + cos * (ga - aa) + sin * (gx - ax));
                    let arm = (centre - at.truncate().extend(0.0)) * 1e-3;
                    let moment = arm.cross(pull) - inertia * 1e-6 * e;
                    if alone { moment.truncate().length() } else { moment.truncate().dot(axis).abs() }
                })
                .fold(0.0, f64::max);
            prop_assert!(found >= most * (1.0 - 1e-8) - 1e-9, "{found} under {most}");
            prop_assert!(found <= most * (1.0 + 1e-4) + 1e-2, "{found} over {most}");
        }
    }
}
