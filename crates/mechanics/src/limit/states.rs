//! The smallest limit factor of a load case: over the states of its motion, each over its sweep.

use super::over::{GAIN, Seen, in_state};
use super::{Limit, LimitSolver};
use crate::factor::Reading;
use crate::members::Member;
use crate::motion::{Body, LoadCase};

/// The smallest limit factor over a load case, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitOver {
    /// What some share carries at the worst instant found, in the worse reading.
    pub limit: Limit,
    /// The instant, rad; 0 without a sweep.
    pub t: f64,
    /// The state of the motion there.
    pub member: Member,
    /// What was multiplied there.
    pub reading: Reading,
    /// No instant has a smaller limit factor than this, in any reading: the proof. The limit itself without a sweep;
    /// within 1e-4 of it over one as a rule. 0 when nothing was proved.
    pub at_least: f64,
}

impl LimitOver {
    /// Whether the bound tells the limit to three digits; otherwise the true one may be as small as `at_least`.
    #[cfg(test)]
    pub(crate) fn is_proved(&self) -> bool {
        match self.limit {
            Limit::Solved(limit) => self.at_least >= limit * (1.0 - 5e-4),
            Limit::Infeasible => true,
            Limit::Unlimited => self.at_least >= super::over::LITTLE.recip() * (1.0 - 1e-3),
            Limit::NotConverged => false,
        }
    }
}

/// The limit factor of a load case: the smallest over its instants, over the [states](LoadCase::members) of its motion and
/// over the [readings](Reading), of the multiple that some share among the cups carries, those `lost` left out.
///
/// `start_t` is where to begin, best the elastic worst instant. One over the factor, the usage, is convex in the load:
/// each solve gives a plane below it, whose slope along the sweep says where the usage grows. Climbs follow that, from the
/// start and from wherever a plane that is known already (of fewer cups lost, most of all) stands higher.
///
/// Then it is proved that no instant uses more. The load is a wave in the instant, so the wave through the shares of three
/// solved instants balances it at every instant between them, and what it uses at most is a bound in closed form: no
/// slack where one way of coming off governs, and of third order where it turns. Arcs on which the bound is too high are
/// halved, at one more solve each; an instant that uses more is climbed from, and the proof begins anew.
///
/// While the motion alone is multiplied, a usage u is enough for every instant if the load of `u` times the weight and the
/// motion uses no more than u of the cups: the same proof for another load. It holds whether gravity turns with the sweep
/// or stands still, and needs no solve where taking weight off costs nothing (a part that hangs within its cups).
///
/// # Units
/// rad.
///
/// # Source
/// Lower-bound theorem as [`LimitSolver`]; supporting planes of a convex function (Kelley, J. SIAM 8, 1960, from memory);
/// the search of a root by planes: Dinkelbach, Management Science 13, 1967 (from memory).
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
/// assert!((factor - 200.0 / 50.0).abs() < 1e-6 && worst.at_least > 0.9998 * factor);
/// ```
pub fn limit_over(
    solver: &mut LimitSolver,
    body: &Body,
    case: &LoadCase,
    start_t: f64,
    lost: &[usize],
) -> LimitOver {
    let mut lost = lost.to_vec();
    lost.sort_unstable();
    let unknown = LimitOver {
        limit: Limit::NotConverged,
        t: start_t,
        member: Member::AS_STATED,
        reading: Reading::WholeLoad,
        at_least: 0.0,
    };
    let mut worst: Option<(Member, Seen)> = None;
    let mut bound = Some(0.0_f64);
    for (member, case) in case.members() {
        let floor = worst.map_or(0.0, |(_, seen)| seen.usage);
        if floor == f64::INFINITY {
            break; // nothing is less than what is not carried at all
        }
        let (best, most) = in_state(solver, body, &case, start_t, &lost, floor);
        let Some(best) = best else { return unknown };
        // The first of equals, as far as solves tell them apart.
        if worst.is_none() || best.usage > floor * (1.0 + GAIN) {
            worst = Some((member, best));
        }
        bound = bound.zip(most).map(|(held, most)| held.max(most));
    }
    let Some((member, best)) = worst else { return unknown };
    let least = best.limit.multiple().unwrap_or(0.0);
    let at_least = bound.map_or(0.0, |bound| bound.max(best.usage).recip());
    LimitOver { limit: best.limit, t: best.t, member, reading: best.reading, at_least: at_least.min(least) }
}
