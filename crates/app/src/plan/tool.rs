//! What the hand on the plan holds.

use super::{shape::Sketch, stops::StopsDraft};
use document::ModelId;

/// What a click on the plan does.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Tool {
    /// Select and drag cups.
    #[default]
    Select,
    /// Put down cups of a model.
    Place {
        /// Which.
        model: ModelId,
        /// Turn of the next cup, degrees.
        turn_deg: f64,
    },
    /// Draw an outline, a hole or a keep-out.
    Sketch(Sketch),
    /// Drag corners and edges of the outline, holes and keep-outs.
    EditOutline,
    /// Choose what places are counted from.
    Datum,
    /// Lay the part shown against three stops.
    Stops(StopsDraft),
    /// Move and scale the picture to trace.
    Trace,
    /// Pin a remark to a place.
    Remark,
}
