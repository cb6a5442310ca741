//! Cup models -> CSV.

use super::columns::{COLUMNS, Column, headers};
use crate::{csv_in, csv_out::Table};
use document::{CupModel, LipKind, Texture};
use geometry::LipShape;

/// Cup models as a CSV table that [`crate::read_models_csv`] reads back; every column, decimal point, unit in the
/// header.
///
/// # Units
/// As each header says: mm, N/mm, Shore A, g.
///
/// ```
/// let table = exchange::models_csv(&[]);
/// assert!(table.starts_with("\"name\",\"shape\",\"length mm\""));
/// ```
#[must_use]
pub fn models_csv(models: &[CupModel]) -> String {
    let mut table = Table::new(&headers());
    for model in models {
        table.row(&COLUMNS.map(|c| cell(model, c.0)));
    }
    table.finish()
}

fn cell(model: &CupModel, column: Column) -> String {
    let figure = csv_in::written;
    let size = model.shape.size();
    let round = matches!(model.shape, LipShape::Round { .. });
    match column {
        Column::Id => model.id.to_string(),
        Column::Name => model.name.clone(),
        Column::Shape => match model.shape {
            LipShape::Round { .. } => "round",
            LipShape::Long { .. } => "long",
            LipShape::Rectangle { .. } => "rectangle",
        }
        .to_owned(),
        Column::Length => figure(size.x),
        Column::Width if round => String::new(),
        Column::Width => figure(size.y),
        Column::Corner => match model.shape {
            LipShape::Rectangle { corner, .. } => figure(corner),
            _ => String::new(),
        },
        Column::Bore => figure(model.bore_mm),
        Column::Height => figure(model.height_mm),
        Column::Travel => figure(model.travel_mm.value),
        Column::Channel => figure(model.channel_mm.value),
        // Empty where it follows the geometry.
        Column::Free => model.free_ml.as_ref().map_or_else(String::new, |free| figure(free.value)),
        Column::Folds => model.folds.to_string(),
        Column::Axial => figure(model.axial_n_mm.value),
        Column::Lateral => figure(model.lateral_n_mm.value),
        Column::Hardness => figure(model.hardness_shore_a),
        Column::SealingShare => figure(model.sealing_share.value),
        Column::TiltReduction => figure(model.tilt_reduction.value),
        // Empty where it follows the height.
        Column::LipWidth => model.lip_width_mm.as_ref().map_or_else(String::new, |width| figure(width.value)),
        Column::SideLever => {
            model.side_lever_mm.as_ref().map_or_else(String::new, |lever| figure(lever.value))
        }
        Column::SealMinimum => figure(model.seal_minimum_n_mm.value),
        Column::Lip => match model.lip {
            LipKind::Plain => "plain",
            LipKind::ThinFilm => "thin film",
            LipKind::Foam => "foam",
        }
        .to_owned(),
        Column::LipLife => figure(model.lip_life_picks.value),
        Column::Closes => figure(model.closes_mm),
        Column::Allowed => {
            let word = |t: &Texture| match t {
                Texture::Smooth => "smooth",
                Texture::Structured => "structured",
                Texture::Porous => "porous",
                Texture::Film => "film",
            };
            model.allowed.iter().map(word).collect::<Vec<_>>().join("+")
        }
        Column::Material => model.material.clone(),
        Column::Thread => model.thread.clone(),
        Column::Mass => figure(model.mass_g),
    }
}
