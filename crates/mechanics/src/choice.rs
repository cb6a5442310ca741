//! Which of many places should have a cup: how good a set of them is, what no set of them can be better than, and a search
//! between the two.
//!
//! A [`Place`] is a cup that might be there: springs, strength and kind of cup. A [`Duty`] is a motion with what is required of it.
//! [`Scorer`] says how many times what is required a set of places has, by the same sharing and the same limits as
//! [`worst_case`](crate::worst_case). [`bound`] proves by a cone programme that no set of so many places has more.
//! [`search`] looks for the best. [`PartsScorer`] is the same of a tool that carries several parts.
//!
//! # Units
//! As [`worst_case`](crate::worst_case): mm, N, N·m, rad. A score is a factor over the required one: 1 just meets it.

mod bound;
mod certificate;
mod combinations;
mod onset;
mod programme;
mod removal;
mod score;
mod search;
mod several;
mod state;

pub use bound::{Bound, BoundTask, Certificate, Instance, Stop, bound, bound_unless, certify};
pub use combinations::{Conflicts, combinations};
pub use onset::Onset;
pub use score::{Goal, Scorer};
pub use search::{Found, Question, Step, search};
pub use several::{Carried, PartsScorer, Score};

use crate::group::CupSpring;
use crate::motion::LoadCase;
use crate::strength::LipStrength;

/// A cup that might be placed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// The cup as springs, with its place.
    pub spring: CupSpring,
    /// What its lip carries.
    pub strength: LipStrength,
    /// Which kind of cup it is: kinds may be counted apart.
    pub kind: usize,
    /// Cups of one zone are lost together; `None` for one that is lost alone.
    pub zone: Option<usize>,
}

/// One motion and what is required of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duty {
    /// The motion.
    pub case: LoadCase,
    /// Least factor with every cup.
    pub required: f64,
    /// Least factor of what is left when one cup, or one zone, is lost.
    pub required_lost: f64,
}

#[cfg(test)]
mod tests;
