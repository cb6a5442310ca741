//! Layouts and what carries the cups, as they stand in the file.

use super::values::{bare, there};
use super::{Attached, Three, Two, format_types};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum FrameShape {
    Rail { length_mm: f64, width_mm: f64, pitch_mm: f64, first_mm: f64, kg_m: f64 },
    Plate { length_mm: f64, width_mm: f64, pitch_mm: Two, first_mm: Two, kg_m2: f64 },
}

fn is_origin(at: &Two) -> bool {
    *at == (0.0, 0.0)
}
fn is_nought(value: &f64) -> bool {
    *value == 0.0
}
fn one() -> f64 {
    1.0
}
fn is_one(value: &f64) -> bool {
    *value == one()
}

format_types! {
    Layout {
        id: u32,
        name: String,
        part: u32,
        // Left out: its one part, datum on datum.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        seats: Vec<Seat>,
        cups: Vec<Cup>,
        // Left out: the preset for the part.
        #[serde(default, deserialize_with = "there", serialize_with = "bare", skip_serializing_if = "Option::is_none")]
        tool: Option<Tool>,
        #[serde(default, skip_serializing_if = "String::is_empty")]
        proposed: String,
    }
    /// A part and where it lies on the tool; what is left out is nought, or applies.
    Seat {
        id: u32,
        part: u32,
        #[serde(default, skip_serializing_if = "is_origin")]
        at: Two,
        #[serde(default, skip_serializing_if = "is_nought")]
        turn_deg: f64,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        shut: Vec<String>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        left_out: Vec<u32>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        may_stay_shut: Vec<u32>,
        #[serde(default = "one", skip_serializing_if = "is_one")]
        share: f64,
        #[serde(default, deserialize_with = "there", serialize_with = "bare", skip_serializing_if = "Option::is_none")]
        stops: Option<Stops>,
    }
    /// Places on two edges of the part, in its frame, and three stops on the tool.
    Stops {
        edges: [Two; 2],
        at: [Two; 3],
    }
    Cup {
        id: u32,
        tag: String,
        model: String,
        at: Two,
        #[serde(default)]
        turn_deg: f64,
        #[serde(default)]
        height_mm: f64,
        circuit: u32,
        #[serde(default)]
        zone: String,
        #[serde(default)]
        locked: bool,
    }
    /// What carries the cups.
    Tool {
        flange: Three,
        #[serde(default)]
        masses: Vec<Attached>,
        #[serde(default)]
        frame: Vec<FramePiece>,
    }
    FramePiece {
        id: u32,
        name: String,
        at: Two,
        #[serde(default)]
        turn_deg: f64,
        height_mm: f64,
        shape: FrameShape,
    }
}
