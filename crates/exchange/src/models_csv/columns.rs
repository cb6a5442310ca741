//! The columns of the table and their headers.

use units::{Quantity, UnitChoice, parse};

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
    Folds,
    Axial,
    Lateral,
    Hardness,
    SealingShare,
    TiltReduction,
    SealMinimum,
    Lip,
    Closes,
    Allowed,
    Material,
    Thread,
    Mass,
}

/// Every column in the order they are written: header as written, other first words that are taken for it.
pub(super) const COLUMNS: [(Column, &str, &[&str]); 22] = [
    (Column::Name, "name", &["model", "cup"]),
    (Column::Shape, "shape", &["form"]),
    (Column::Length, "length mm", &["diameter", "size"]),
    (Column::Width, "width mm", &[]),
    (Column::Corner, "corner mm", &["corner radius"]),
    (Column::Bore, "bore mm", &["opening"]),
    (Column::Height, "height mm", &[]),
    (Column::Travel, "travel mm", &["stroke"]),
    (Column::Folds, "folds", &["fold"]),
    (Column::Axial, "axial N/mm", &["axial stiffness"]),
    (Column::Lateral, "lateral N/mm", &["lateral stiffness"]),
    (Column::Hardness, "hardness Shore A", &[]),
    (Column::SealingShare, "sealing share", &[]),
    (Column::TiltReduction, "tilt reduction", &[]),
    (Column::SealMinimum, "seal minimum N/mm", &[]),
    (Column::Lip, "lip", &[]),
    (Column::Closes, "closes mm", &[]),
    (Column::Allowed, "allowed", &["surfaces", "surface"]),
    (Column::Material, "material", &[]),
    (Column::Thread, "thread", &[]),
    (Column::Mass, "mass g", &[]),
    (Column::Id, "id", &[]),
];

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

    /// What a figure in it measures, for columns that have a unit.
    pub(super) fn quantity(self) -> Option<Quantity> {
        match self {
            Column::Length
            | Column::Width
            | Column::Corner
            | Column::Bore
            | Column::Height
            | Column::Travel
            | Column::Closes => Some(Quantity::Length),
            Column::Axial | Column::Lateral => Some(Quantity::Stiffness),
            Column::SealMinimum => Some(Quantity::LineForce),
            Column::Mass => Some(Quantity::Mass),
            _ => None,
        }
    }
}

/// A column found in a header.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) column: Column,
    /// Header as it stands in the file.
    pub(super) title: String,
    /// Unit named in the header; empty for the base unit (grams for the mass).
    pub(super) unit: String,
}

/// Reads one header cell; `Err` says what is wrong with it.
pub(super) fn header(cell: &str) -> Result<Found, String> {
    let title = cell.trim().to_owned();
    let plain: String = title.chars().map(|c| if "()[],_".contains(c) { ' ' } else { c }).collect::<String>();
    let words: Vec<&str> = plain.split_whitespace().collect();
    let lower = words.join(" ").to_lowercase();
    // The name without its unit is the first words; the longest that fits counts ("corner radius" before "corner").
    let mut best: Option<(usize, Column)> = None;
    for (column, written, others) in COLUMNS {
        let unit = written
            .split(' ')
            .next_back()
            .filter(|_| column.quantity().is_some() || column == Column::Hardness);
        let own = match (column, unit) {
            (Column::Hardness, _) => "hardness",
            (_, Some(unit)) => written.trim_end_matches(unit).trim_end(),
            _ => written,
        };
        for name in std::iter::once(own).chain(others.iter().copied()) {
            let fits = lower.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
            let count = name.split(' ').count();
            if fits && best.is_none_or(|(longest, _)| count > longest) {
                best = Some((count, column));
            }
        }
    }
    let Some((count, column)) = best else {
        return Err(format!(
            "column \"{title}\" is not known and was left out; see the template for the columns"
        ));
    };
    // Of "axial stiffness N/mm" the unit is what follows the name, in its own letters.
    let unit = words[count..].join(" ");
    if let Some(quantity) = column.quantity()
        && !unit.is_empty()
        && let Err(e) = parse(&format!("1 {unit}"), quantity, &UnitChoice::default())
    {
        return Err(format!("the unit of column \"{title}\" cannot be read: {e}"));
    }
    Ok(Found { column, title, unit })
}

#[cfg(test)]
mod tests {
    use super::*;

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
