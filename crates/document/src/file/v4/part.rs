//! Parts as they stand in the file.

use super::{Origin, Sourced, Three, Two, Vertex, format_types};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) enum Mass {
    /// kg/m³.
    Density(f64, Origin, #[serde(default)] String),
    /// kg/m².
    Areal(f64, Origin, #[serde(default)] String),
    /// kg.
    Stated(f64, Origin, #[serde(default)] String),
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Texture {
    Smooth,
    Structured,
    Porous,
    Film,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Wetness {
    Dry,
    Damp,
    Oily,
}
/// What a datum lies on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum DatumOn {
    Corner,
    Edges,
    Hole,
}
fn is_nought(value: &f64) -> bool {
    *value == 0.0
}
fn is_no(value: &bool) -> bool {
    !*value
}

format_types! {
    Part {
        id: u32,
        name: String,
        #[serde(default)]
        material: String,
        thickness_mm: f64,
        mass: Mass,
        #[serde(default)]
        centre_of_gravity: Option<Sourced<Three>>,
        surface: Surface,
        friction: Sourced<f64>,
        #[serde(default)]
        pairs: Vec<Pair>,
        #[serde(default)]
        permeance_um_pa_s: Option<Sourced<f64>>,
        // Left out where nobody said, so that what was written before stays as it is.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        modulus_n_mm2: Option<Sourced<f64>>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        poisson: Option<Sourced<f64>>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        modulus_across_n_mm2: Option<Sourced<f64>>,
        #[serde(default, skip_serializing_if = "is_nought")]
        along_deg: f64,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        allowable_n_mm2: Option<Sourced<f64>>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        damping: Option<Sourced<f64>>,
        #[serde(default, skip_serializing_if = "is_no")]
        stiff_blocks: bool,
        #[serde(default)]
        uneven_mm: f64,
        placement: Placement,
        #[serde(default)]
        attached: Vec<Attached>,
        #[serde(default)]
        keep_outs: Vec<KeepOut>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        datum: Option<Datum>,
        #[serde(default)]
        drawing: Option<Drawing>,
        outline: Outline,
    }
    /// Friction of one lip material on the part.
    Pair {
        lip_material: String,
        friction: Sourced<f64>,
    }
    Surface {
        texture: Texture,
        wetness: Wetness,
    }
    Placement {
        position_mm: f64,
        turn_deg: f64,
        drawing_mm: f64,
    }
    Attached {
        id: u32,
        name: String,
        mass_kg: f64,
        at: Three,
        size: Three,
        #[serde(default, skip_serializing_if = "is_nought")]
        turn_deg: f64,
    }
    KeepOut {
        id: u32,
        name: String,
        area: Vec<Vertex>,
    }
    Datum {
        on: DatumOn,
        at: Two,
    }
    Drawing {
        file_name: String,
        sha256: String,
        unit: String,
    }
    Outline {
        outer: Vec<Vertex>,
        #[serde(default)]
        holes: Vec<Vec<Vertex>>,
    }
}
