//! The vacuum circuits of a layout: lowered to networks, solved, and told in the report.

mod apply;
mod causes;
mod cost;
mod coupling;
mod depth;
mod helps;
mod input;
mod lines;
mod lower;
mod source;
mod stage;
mod steady;

pub use causes::{FieldCause, FieldCauses};
pub(crate) use coupling::{Coupling, SnapshotCircuit};
pub(crate) use depth::work_out;
pub(crate) use input::is_porous;
pub(crate) use stage::CircuitStage;
