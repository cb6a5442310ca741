//! The vacuum circuits of a layout: lowered to networks, solved, and told in the report.

mod input;
mod lower;
mod source;
mod stage;
mod steady;

pub(crate) use input::{CircuitInput, is_porous};
pub(crate) use stage::CircuitStage;
pub(crate) use steady::Solved;
