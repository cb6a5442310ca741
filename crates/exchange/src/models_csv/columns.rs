//! The columns of the table and their headers.

use crate::csv_in::{Measure, PLAIN, titled};
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

/// Every column in the order they are written: header as written, other first words that are taken for it.
pub(super) const COLUMNS: [(Column, &str, &[&str]); 27] = [
    (Column::Name, "name", &["model", "cup"]),
    (Column::Shape, "shape", &["form"]),
    (Column::Length, "length mm", &["diameter", "size"]),
    (Column::Width, "width mm", &[]),
    (Column::Corner, "corner mm", &["corner radius"]),
    (Column::Bore, "bore mm", &["opening"]),
    (Column::Height, "height mm", &[]),
    (Column::Travel, "travel mm", &["stroke"]),
    (Column::Channel, "channel mm", &["free height"]),
    (Column::Free, "air at rest ml", &["volume", "inner volume"]),
    (Column::Folds, "folds", &["fold"]),
    (Column::Axial, "axial N/mm", &["axial stiffness"]),
    (Column::Lateral, "lateral N/mm", &["lateral stiffness"]),
    (Column::Hardness, "hardness Shore A", &[]),
    (Column::SealingShare, "sealing share", &[]),
    (Column::TiltReduction, "tilt reduction", &[]),
    (Column::SideLever, "side lever mm", &["lever of side load"]),
    (Column::LipWidth, "lip width mm", &["width of the lip"]),
    (Column::SealMinimum, "seal minimum N/mm", &[]),
    (Column::Lip, "lip", &[]),
    (Column::LipLife, "lip life picks", &["lip life", "life of the lip"]),
    (Column::Closes, "closes mm", &[]),
    (Column::Allowed, "allowed", &["surfaces", "surface"]),
    (Column::Material, "material", &[]),
    (Column::Thread, "thread", &[]),
    (Column::Mass, "mass g", &[]),
    (Column::Id, "id", &[]),
];

/// A whole number, which a file cannot hold wrong: no bellows has more.
const FOLDS: (f64, f64) = (0.0, 20.0);

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
        COLUMNS.iter().find(|c| c.0 == self).map_or("", |c| c.1)
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
        let name = match self {
            Column::Folds => return FOLDS,
            Column::Length => "shape.length",
            Column::Width => "shape.width",
            Column::Corner => "shape.corner",
            Column::Bore => "bore_mm",
            Column::Height => "height_mm",
            Column::Travel => "travel_mm",
            Column::Channel => "channel_mm",
            Column::Free => "free_ml",
            Column::Axial => "axial_n_mm",
            Column::Lateral => "lateral_n_mm",
            Column::Hardness => "hardness_shore_a",
            Column::SealingShare => "sealing_share",
            Column::TiltReduction => "tilt_reduction",
            Column::SideLever => "side_lever_mm",
            Column::LipWidth => "lip_width_mm",
            Column::SealMinimum => "seal_minimum_n_mm",
            Column::LipLife => "lip_life_picks",
            Column::Closes => "closes_mm",
            Column::Mass => "mass_g",
            _ => "",
        };
        let field = document::fields().iter().find(|field| field.key.strip_prefix("model.") == Some(name));
        // Words have no range, and nothing is within this one.
        field.map_or((f64::NAN, f64::NAN), |field| (field.least, field.most))
    }

    /// The header as written without its unit.
    fn own_name(self) -> &'static str {
        let unit = if self == Column::Hardness { "Shore A" } else { self.measure().own_unit() };
        self.header().strip_suffix(unit).unwrap_or(self.header()).trim_end()
    }
}

/// A column found in a header.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) column: Column,
    /// Header as it stands in the file.
    pub(super) title: String,
    /// Unit named in the header; empty for the own one.
    pub(super) unit: String,
}

/// Reads one header cell; `Err` says what is wrong with it.
pub(super) fn header(cell: &str) -> Result<Found, String> {
    let title = cell.trim().to_owned();
    let names = COLUMNS.iter().flat_map(|(column, _, others)| {
        std::iter::once((*column, column.own_name())).chain(others.iter().map(|other| (*column, *other)))
    });
    let Some((column, unit)) = titled(&title, names) else {
        return Err(format!(
            "column \"{title}\" is not known and was left out; see the template for the columns"
        ));
    };
    if !column.measure().own_unit().is_empty() {
        let takes = column.measure().takes(&unit);
        takes.map_err(|e| format!("the unit of column \"{title}\" cannot be read: {e}"))?;
    }
    Ok(Found { column, title, unit })
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
        for (column, header, _) in COLUMNS {
            let (least, most) = column.range();
            assert_eq!(least < most, !words(column), "{header}");
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
        for (column, written, _) in COLUMNS {
            assert_eq!(header(written).map(|f| f.column), Ok(column), "{written}");
            assert_eq!(column.header(), written);
        }
    }
}
