//! The vacuum circuits of a layout: lowered to networks, solved, and told in the report.

mod apply;
mod causes;
mod cells;
mod choose;
mod closing;
mod cost;
mod coupling;
mod design;
mod dust;
mod helps;
mod input;
mod lines;
mod lower;
mod opens;
mod operation;
mod refit;
mod release;
mod slow;
mod source;
mod spread;
mod stage;
mod steady;
mod told;

pub use causes::{FieldCause, FieldCauses};
pub use choose::{SourceOnCircuit, fed_by};
pub(crate) use coupling::{Coupling, SnapshotCircuit};
pub(crate) use design::SHARE as DESIGN_SHARE;
pub use design::design_share;
pub(crate) use input::is_porous;
pub use refit::Entered;
pub(crate) use refit::baseline_levels;
pub(crate) use slow::work_out;
pub(crate) use stage::{CircuitStage, Circuits};
