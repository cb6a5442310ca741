//! The columns of the table and their headers.

use crate::csv_in::{self, Found, Measure, PLAIN};
use std::sync::LazyLock;
use units::Quantity;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Column {
    Id,
    Name,
    Shape,
    Length,
    Width,
    Corner,
    Bore,
    Height,
    Travel,
    Channel,
    Free,
    Folds,
    Axial,
    Lateral,
    Hardness,
    SealingShare,
    TiltReduction,
    SideLever,
    LipWidth,
    SealMinimum,
    Lip,
    LipLife,
    Closes,
    Allowed,
    Material,
    Thread,
    Mass,
}

/// Every column in the order they are written: a word, or the key of the field that names it; its unit; other first words that
/// are taken for it.
pub(super) const COLUMNS: [(Column, &str, &str, &[&str]); 27] = [
    (Column::Name, "name", "", &["model", "cup"]),
    (Column::Shape, "shape", "", &["form"]),
    (Column::Length, "length", "mm", &["diameter", "size"]),
    (Column::Width, "width", "mm", &[]),
    (Column::Corner, "model.shape.corner", "mm", &["corner"]),
    (Column::Bore, "model.bore_mm", "mm", &["opening"]),
    (Column::Height, "model.height_mm", "mm", &[]),
    (Column::Travel, "model.travel_mm", "mm", &["stroke"]),
    (Column::Channel, "model.channel_mm", "mm", &["channel", "free height"]),
    (Column::Free, "model.free_ml", "ml", &["air at rest", "volume", "inner volume"]),
    (Column::Folds, "model.folds", "", &["fold"]),
    (Column::Axial, "model.axial_n_mm", "N/mm", &["axial"]),
    (Column::Lateral, "model.lateral_n_mm", "N/mm", &["lateral"]),
    (Column::Hardness, "model.hardness_shore_a", "Shore A", &[]),
    (Column::SealingShare, "model.sealing_share", "", &["sealing share"]),
    (Column::TiltReduction, "model.tilt_reduction", "", &["tilt reduction"]),
    (Column::SideLever, "model.side_lever_mm", "mm", &["side lever", "lever of side load"]),
    (Column::LipWidth, "model.lip_width_mm", "mm", &["width of the lip"]),
    (Column::SealMinimum, "model.seal_minimum_n_mm", "N/mm", &[]),
    (Column::Lip, "model.lip", "", &["lip"]),
    (Column::LipLife, "model.lip_life_picks", "picks", &["life of the lip"]),
    (Column::Closes, "model.closes_mm", "mm", &["closes"]),
    (Column::Allowed, "model.allowed", "", &["allowed", "surfaces", "surface"]),
    (Column::Material, "model.material", "", &["material"]),
    (Column::Thread, "model.thread", "", &[]),
    (Column::Mass, "model.mass_g", "g", &[]),
    (Column::Id, "id", "", &[]),
];

/// Headers as they are written, in the order of [`COLUMNS`]: "travel mm".
static HEADERS: LazyLock<Vec<(Column, String, String)>> = LazyLock::new(|| {
    let head = |(column, key, unit, _): (Column, &str, &str, &[&str])| {
        let name = document::field(key).map_or_else(|| key.to_owned(), |field| field.label().to_lowercase());
        let header = if unit.is_empty() { name.clone() } else { format!("{name} {unit}") };
        (column, name, header)
    };
    COLUMNS.into_iter().map(head).collect()
});

/// Headers as they are written.
pub(super) fn headers() -> Vec<&'static str> {
    HEADERS.iter().map(|(.., header)| header.as_str()).collect()
}

/// Columns without which no model can be made.
pub(super) const NEEDED: [Column; 9] = [
    Column::Name,
    Column::Shape,
    Column::Length,
    Column::Bore,
    Column::Height,
    Column::Travel,
    Column::Axial,
    Column::Lateral,
    Column::Hardness,
];

impl Column {
    pub(super) fn header(self) -> &'static str {
        HEADERS.iter().find(|head| head.0 == self).map_or("", |head| head.2.as_str())
    }

    /// What a figure in it measures; plain numbers and words have no unit.
    pub(super) fn measure(self) -> Measure {
        match self {
            Column::Length
            | Column::Width
            | Column::Corner
            | Column::Bore
            | Column::Height
            | Column::Travel
            | Column::Channel
            | Column::SideLever
            | Column::LipWidth
            | Column::Closes => Measure::Of(Quantity::Length, "mm", 1.0),
            Column::Axial | Column::Lateral => Measure::Of(Quantity::Stiffness, "N/mm", 1.0),
            Column::SealMinimum => Measure::Of(Quantity::LineForce, "N/mm", 1.0),
            Column::Mass => Measure::Of(Quantity::Mass, "g", 1000.0),
            Column::Free => Measure::Of(Quantity::Volume, "ml", 1.0),
            _ => PLAIN,
        }
    }

    /// Which figures make sense in it, in its own unit: what a project file takes for the same figure of a model.
    pub(super) fn range(self) -> (f64, f64) {
        let key = match self {
            Column::Length => "model.shape.length",
            Column::Width => "model.shape.width",
            _ => COLUMNS.iter().find(|column| column.0 == self).map_or("", |column| column.1),
        };
        let field = document::field(key).filter(|field| field.is_number());
        // Words have no range, and nothing is within this one.
        field.map_or((f64::NAN, f64::NAN), |field| (field.least, field.most))
    }

    /// The header as written without its unit.
    fn own_name(self) -> &'static str {
        HEADERS.iter().find(|head| head.0 == self).map_or("", |head| head.1.as_str())
    }
}

/// Reads one header cell; `Err` says what is wrong with it.
pub(super) fn header(cell: &str) -> Result<Found<Column>, String> {
    let names = COLUMNS.iter().flat_map(|(column, _, _, others)| {
        std::iter::once((*column, column.own_name())).chain(others.iter().map(|other| (*column, *other)))
    });
    csv_in::header(cell, names, |column, unit| match column.measure() {
        measure if measure.own_unit().is_empty() => Ok(()),
        measure => measure.takes(unit),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_of_figures_has_the_range_of_the_project_file() {
        let words = |column: Column| {
            use Column as C;
            matches!(column, C::Id | C::Name | C::Shape | C::Lip | C::Allowed | C::Material | C::Thread)
        };
        for (column, ..) in COLUMNS {
            let (least, most) = column.range();
            assert_eq!(least < most, !words(column), "{}", column.header());
        }
        assert_eq!(Column::Length.range(), (0.1, 5000.0));
    }

    #[test]
    fn headers_are_read_with_their_units() {
        let of = |cell: &str| header(cell).map(|f| (f.column, f.unit));
        assert_eq!(of("Length (mm)"), Ok((Column::Length, "mm".to_owned())));
        assert_eq!(of("diameter in"), Ok((Column::Length, "in".to_owned())));
        assert_eq!(of("corner radius [mm]"), Ok((Column::Corner, "mm".to_owned())));
        assert_eq!(of("Axial stiffness N/mm"), Ok((Column::Axial, "N/mm".to_owned())));
        assert_eq!(of("hardness Shore A"), Ok((Column::Hardness, "Shore A".to_owned())));
        assert_eq!(of("seal_minimum N/mm"), Ok((Column::SealMinimum, "N/mm".to_owned())));
        assert!(of("price").is_err_and(|e| e.contains("\"price\" is not known")));
        assert!(of("length kg").is_err_and(|e| e.contains("unit")));
    }

    #[test]
    fn every_header_as_written_is_read_as_its_column() {
        for (written, (column, ..)) in headers().into_iter().zip(COLUMNS) {
            assert_eq!(header(written).map(|f| f.column), Ok(column), "{written}");
            assert_eq!(column.header(), written);
        }
        assert_eq!(Column::Travel.header(), "travel mm");
        assert_eq!(Column::LipLife.header(), "lip life picks");
    }
}
