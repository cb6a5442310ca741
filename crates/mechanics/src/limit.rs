//! The largest load that some share of it among the cups can carry.

mod arc;
mod over;
mod programme;
mod share;
mod states;
mod wave;

use crate::motion::{MILLI, Wrench};
use crate::strength::LipStrength;
use crate::usage::Reach;
use glam::{DVec2, DVec3};
use programme::{Load, Programme};
use share::{Capacity, CupShare};

pub use states::{LimitOver, limit_over};

/// One lip (or point) as the programme sees it.
///
/// The lip carries a pull N, a slide T, a tilt M and a twist. What stays on it, C = F - N, is a pressure along the lip
/// that is nowhere below the seal minimum, however it is spread: its excess C - `seal_force` >= 0 then acts at a point
/// within the hull of the sealing line, which is a rectangle swept by a circle. So M is a part |u| <= core (C - seal) along
/// each side of the rectangle and a part |v| <= radius (C - seal) for the circle: exact. Slide and twist stay within the
/// friction ellipse |(T, twist/arm)| <= grip C, which counts friction as if C were spread evenly.
///
/// How far that is from lips made of many points, each with its own pressure and friction: pull and tipping agree. With
/// [`slide_share_within`](crate::slide_share_within) the limit of three and more lips came out up to 1.5 % above and, as
/// points can also press where friction has the better lever, 10 % below as a rule and 47 % at most, over 90 random
/// groups. A lone lip that is about to tip off is overrated: pressure at one edge leaves no lever for the twist. By 0.9 √2, 27 %,
/// where it only tips and twists, by 70 % at most where it is pulled and slides as well (the worst of a climb from 1,500 random
/// loads), and without end where the load presses it on. The elastic factor keeps away from there, since it ends at the onset of leak and counts
/// friction under the pressure that the tilt makes uneven ([`Uneven`](crate::Uneven)); that only takes from the ellipse, so that
/// the limit factor stays the larger of the two.
///
/// The lever of a side load ([`CupSpring::side_lever`](crate::CupSpring)) is no limit of a lip but a rule of how the springs
/// share, and is not in here: a cup may take any moment at its fitting, so that its lip need not tilt with its slide. A group
/// of tall soft cups comes nearer to the elastic factor than to this one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Centre of the lip, mm.
    pub at: DVec2,
    /// Turn of the lip's length axis from x, rad.
    pub turn: f64,
    /// Vacuum level times area, N.
    pub vacuum_force: f64,
    /// Slide per force on the lip: friction times the share of its ellipse that may be used.
    pub grip: f64,
    /// Force that must stay on the lip for it to seal: least line pressure times length, N.
    pub seal_force: f64,
    /// Half sides of the lip's rectangle, in the lip's axes, mm.
    pub core: DVec2,
    /// Radius of the circle that sweeps it, mm.
    pub radius: f64,
    /// Mean radius of the lip, mm; 0 carries no twist.
    pub twist_arm: f64,
}

impl Contact {
    /// A point: no tilt, no twist.
    ///
    /// # Units
    /// `at` mm, `vacuum_force` N.
    pub fn point(at: DVec2, vacuum_force: f64, friction: f64) -> Self {
        Self {
            at,
            turn: 0.0,
            vacuum_force,
            grip: friction.max(0.0),
            seal_force: 0.0,
            core: DVec2::ZERO,
            radius: 0.0,
            twist_arm: 0.0,
        }
    }

    /// A ring that carries twist but no tilt.
    ///
    /// # Units
    /// `at` and `radius` mm, `vacuum_force` N.
    pub fn ring(at: DVec2, vacuum_force: f64, friction: f64, radius: f64) -> Self {
        Self { twist_arm: radius, ..Self::point(at, vacuum_force, friction) }
    }

    /// A whole lip.
    ///
    /// # Units
    /// `at` mm.
    pub fn lip(at: DVec2, lip: &LipStrength) -> Self {
        let reach = Reach::of(&lip.shape);
        Self {
            at,
            turn: lip.turn,
            vacuum_force: lip.vacuum_force,
            grip: lip.grip(),
            seal_force: lip.seal_minimum.max(0.0) * lip.line.length,
            core: reach.core,
            radius: reach.radius,
            twist_arm: lip.line.mean_radius,
        }
    }

    /// Whether the lip seals at all. One that does not holds nothing, as one that is lost.
    fn seals(&self) -> bool {
        self.vacuum_force > self.seal_force
    }

    /// Whether the lip carries tilt.
    fn leans(&self) -> bool {
        self.radius > 0.0 || self.core != DVec2::ZERO
    }

    fn is_finite(&self) -> bool {
        let numbers = [self.turn, self.vacuum_force, self.grip, self.seal_force, self.radius, self.twist_arm];
        self.at.is_finite() && self.core.is_finite() && numbers.iter().all(|v| v.is_finite())
    }
}

/// What came of looking for the largest multiple.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// The largest multiple; finite and not negative.
    Solved(f64),
    /// The fixed load alone is too much.
    Infeasible,
    /// No multiple is too much.
    Unlimited,
    /// The solver did not get there, or some input is not a number.
    NotConverged,
}

impl Limit {
    /// The multiple as a number: infinite when unlimited, 0 when the fixed load alone is too much, nothing when the solver
    /// did not get there.
    pub fn multiple(&self) -> Option<f64> {
        match self {
            Self::Solved(value) => Some(*value),
            Self::Infeasible => Some(0.0),
            Self::Unlimited => Some(f64::INFINITY),
            Self::NotConverged => None,
        }
    }
}

/// A way in which the part comes off at the limit load: which loads, times the multiple, would drive it.
///
/// For every load w about `about`: `rate(w)` never exceeds one over its largest multiple. It equals it for a load that was
/// solved, and with a fixed load the rate of all that is carried, fixed and multiple, is 1.
#[derive(Debug, Clone, Copy)]
struct Release {
    along: DVec3,
    about_axes: DVec3,
    about: DVec3,
}

impl Release {
    fn rate(&self, load: &Wrench) -> f64 {
        let load = load.moved_to(self.about);
        self.along.dot(load.force) + self.about_axes.dot(load.moment)
    }
}

/// The programme of a group of cups, ready for one load after another: pattern, scaling and the order of factorisation
/// are kept between them.
///
/// # Source
/// Lower-bound theorem of limit analysis: a load is carried if some share of it meets every limit; Livesley, Int. J. Num.
/// Meth. Engng 12, 1978, for joints with friction (from memory). Strictly it holds for associated flow; friction is not
/// associated (Drucker 1954), so the limit factor is what some share could carry, an upper estimate of what a group that
/// yields would. Solved by its dual, the motions in which the part comes off, with the conic solver Clarabel.
///
/// # Example
/// ```
/// use glam::{DVec2, DVec3};
/// use mechanics::{Contact, Limit, LimitSolver, Wrench};
/// let cups = [(200.0, 150.0), (-200.0, 150.0), (200.0, -150.0), (-200.0, -150.0)] // mm
///     .map(|(x, y)| Contact::point(DVec2::new(x, y), 100.0, 0.5)); // N
/// let mut solver = LimitSolver::new(&cups);
/// let nothing = Wrench::zero(DVec3::ZERO);
/// let hanging = Wrench { force: DVec3::new(0.0, 0.0, -50.0), ..nothing }; // N
/// let Limit::Solved(limit) = solver.solve(&nothing, &hanging) else { panic!("no limit") };
/// assert!((limit - 8.0).abs() < 1e-6);
/// // Without one cup two of the others, on a diagonal, carry everything.
/// let Limit::Solved(limit) = solver.solve_without(&[1], &nothing, &hanging) else { panic!("no limit") };
/// assert!((limit - 4.0).abs() < 1e-6);
/// ```
pub struct LimitSolver {
    contacts: Vec<Contact>,
    /// `None` without a cup that holds anything, or when an input is not a number.
    programme: Option<Programme>,
    finite: bool,
    release: Option<Release>,
    /// How the last load was shared, cup by cup; empty when it could not be, and with a fixed load.
    shares: Vec<CupShare>,
    /// Ways of coming off that were found so far, each with the cups that were lost then, sorted: it stays a way when more
    /// are lost.
    known: Vec<(Vec<usize>, Release)>,
}

/// Ways of coming off that are kept.
const KNOWN: usize = 256;

impl LimitSolver {
    /// Prepares the programme of these cups.
    pub fn new(contacts: &[Contact]) -> Self {
        let finite = contacts.iter().all(Contact::is_finite);
        let holds_something = contacts.iter().any(Contact::seals);
        let programme = (finite && holds_something).then(|| Programme::new(contacts)).flatten();
        Self {
            contacts: contacts.to_vec(),
            programme,
            finite,
            release: None,
            shares: Vec::new(),
            known: Vec::new(),
        }
    }

    /// Largest multiple of `scaled` that can be carried beside `fixed`.
    ///
    /// # Units
    /// As [`Wrench`].
    pub fn solve(&mut self, fixed: &Wrench, scaled: &Wrench) -> Limit {
        self.solve_without(&[], fixed, scaled)
    }

    /// As [`Self::solve`], when the cups `lost` carry nothing.
    pub fn solve_without(&mut self, lost: &[usize], fixed: &Wrench, scaled: &Wrench) -> Limit {
        self.release = None;
        self.shares.clear();
        let known = self.finite && [fixed, scaled].iter().all(|w| is_finite(w));
        if !known {
            return Limit::NotConverged;
        }
        let holds: Vec<bool> =
            self.contacts.iter().enumerate().map(|(i, c)| c.seals() && !lost.contains(&i)).collect();
        let (no_fixed, no_scaled) = (is_zero(fixed), is_zero(scaled));
        if no_scaled {
            // No multiple of nothing is too much, if the rest is carried.
            return if no_fixed { Limit::Unlimited } else { self.carries(lost, fixed) };
        }
        if !holds.contains(&true) {
            return if no_fixed { Limit::Solved(0.0) } else { Limit::Infeasible };
        }
        if !no_fixed {
            // What is scaled may help, so that some multiple is carried where none of it is too little.
            let alone = self.carries(lost, fixed);
            self.release = None;
            self.shares.clear();
            if alone != Limit::Unlimited {
                return alone;
            }
        }
        let Some(programme) = &mut self.programme else { return Limit::NotConverged };
        let about = programme.about();
        let load = |wrench: &Wrench| {
            let here = wrench.moved_to(about);
            Load { force: here.force, moment: here.moment / MILLI }
        };
        let solved = programme.solve(&self.contacts, &holds, load(fixed), load(scaled));
        if let Limit::Solved(times) = solved.limit {
            // With the scaled load at unit power: what the cups take of the motion is the multiple and the fixed load's.
            let unit = Release { along: solved.velocity, about_axes: solved.turning / MILLI, about };
            let taken = times + if no_fixed { 0.0 } else { unit.rate(fixed) };
            if taken.is_nan() || taken <= 0.0 {
                return solved.limit;
            }
            let release = Release { along: unit.along / taken, about_axes: unit.about_axes / taken, about };
            self.release = Some(release);
            if self.known.len() < KNOWN {
                let mut lost = lost.to_vec();
                lost.sort_unstable();
                self.known.push((lost, release));
            }
        }
        if no_fixed {
            self.shares = solved.shares;
        }
        solved.limit
    }

    /// What each cup has that is not lost; one that holds nothing has no share to use any of it.
    fn capacities(&self, lost: &[usize]) -> Vec<Capacity> {
        let each = self.contacts.iter().enumerate();
        each.map(|(i, cup)| Capacity::of(cup, cup.seals() && !lost.contains(&i))).collect()
    }

    /// Ways of coming off that are known to stay open when the cups `lost` (sorted) carry nothing.
    fn known_ways<'a>(&'a self, lost: &'a [usize]) -> impl Iterator<Item = &'a Release> {
        let still = |then: &[usize]| then.iter().all(|cup| lost.binary_search(cup).is_ok());
        self.known.iter().filter(move |(then, _)| still(then)).map(|(_, release)| release)
    }

    /// Unlimited when a load alone can be carried.
    fn carries(&mut self, lost: &[usize], load: &Wrench) -> Limit {
        match self.solve_without(lost, &Wrench::zero(load.about), load) {
            Limit::Solved(times) if times < 1.0 => Limit::Infeasible,
            Limit::Solved(_) => Limit::Unlimited,
            other => other,
        }
    }
}

fn is_finite(wrench: &Wrench) -> bool {
    wrench.force.is_finite() && wrench.moment.is_finite() && wrench.about.is_finite()
}

fn is_zero(wrench: &Wrench) -> bool {
    wrench.force == DVec3::ZERO && wrench.moment == DVec3::ZERO
}

#[cfg(test)]
mod tests;
