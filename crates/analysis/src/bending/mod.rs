//! A part that bends: what it is by itself, how it hangs on the cups, and what follows. Worked out beside the rigid figures, on
//! the thread of the slow figures, so that a drag stays within its frame.

mod input;
mod motions;
mod reserve;
mod ringing;
mod seated;

pub(crate) use input::{BendingInput, SheetKey};
pub(crate) use motions::motions;
pub(crate) use reserve::{Reserve, reserve};
pub(crate) use ringing::ringing;
pub(crate) use seated::{Bent, hang};

/// Poisson's ratio where nobody said: most metals, glass and hard plastics lie from 0.2 to 0.4, and a sag changes by a tenth
/// between them (from memory).
pub const USUAL_POISSON: f64 = 0.3;

pub use document::USUAL_DAMPING;

/// How far an assumed modulus of elasticity and Poisson's ratio may be off (common practice, no source): handbooks differ by a
/// tenth for metals, by more for plastics and board.
pub(crate) const MODULUS_SPREAD: f64 = 0.15;
pub(crate) const POISSON_SPREAD: f64 = 0.3;
