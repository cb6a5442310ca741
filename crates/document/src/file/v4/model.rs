//! Cup models as they stand in the file.

use super::{Shape, Sourced, Texture, format_types};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum LipKind {
    Plain,
    ThinFilm,
    Foam,
}

format_types! {
    Model {
        id: String,
        name: String,
        shape: Shape,
        sealing_share: Sourced<f64>,
        bore_mm: f64,
        height_mm: f64,
        travel_mm: Sourced<f64>,
        channel_mm: Sourced<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        free_ml: Option<Sourced<f64>>,
        folds: u8,
        axial_n_mm: Sourced<f64>,
        lateral_n_mm: Sourced<f64>,
        tilt_reduction: Sourced<f64>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        side_lever_mm: Option<Sourced<f64>>,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        lip_width_mm: Option<Sourced<f64>>,
        hardness_shore_a: f64,
        lip: LipKind,
        lip_life_picks: Sourced<f64>,
        seal_minimum_n_mm: Sourced<f64>,
        closes_mm: f64,
        allowed: Vec<Texture>,
        #[serde(default)]
        material: String,
        #[serde(default)]
        thread: String,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        drill_mm: Option<f64>,
        #[serde(default)]
        mass_g: f64,
    }
}
