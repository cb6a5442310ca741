//! The columns of the table and their headers.

use crate::csv_in::{self, Found, Measure, PLAIN};
use std::sync::LazyLock;
use units::Quantity;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Column {
    Name,
    Kind,
    RatedFeed,
    Level,
    Flow,
    FlowIs,
    Feed,
    FlowShare,
    LevelShare,
    Air,
    Power,
    StraightBore,
    AirSaving,
    Volume,
    Mass,
    Figures,
    Date,
    Id,
}

/// Every column in the order they are written: a word, or the key of the field that names it; its unit; other first words that
/// are taken for it.
pub(super) const COLUMNS: [(Column, &str, &str, &[&str]); 18] = [
    (Column::Name, "name", "", &["source"]),
    (Column::Kind, "source.kind", "", &[]),
    (Column::RatedFeed, "source.rated_feed_kpa", "kPa", &["rated feed pressure"]),
    (Column::Level, "level", "kPa", &["vacuum level", "vacuum"]),
    (Column::Flow, "flow", "L/min", &["flow drawn", "air drawn"]),
    (Column::FlowIs, "flow is", "", &[]),
    (Column::Feed, "source.feed.feed_kpa", "kPa", &["feed"]),
    (Column::FlowShare, "source.feed.flow_share", "", &["flow share"]),
    (Column::LevelShare, "source.feed.level_share", "", &["level share"]),
    (Column::Air, "source.feed.air_nl_min", "L/min", &["air", "air consumption"]),
    (Column::Power, "source.power_w", "W", &["electric power"]),
    (Column::StraightBore, "source.straight_bore_mm", "mm", &["bore"]),
    (Column::AirSaving, "source.air_saving", "", &[]),
    (Column::Volume, "source.volume_ml", "ml", &["volume"]),
    (Column::Mass, "source.mass_g", "g", &[]),
    (Column::Figures, "figures", "", &[]),
    (Column::Date, "date", "", &["on"]),
    (Column::Id, "id", "", &[]),
];

/// Name and header of every column as they are written, in the order of [`COLUMNS`]: "power [W]".
static HEADERS: LazyLock<Vec<(Column, String, String)>> = LazyLock::new(|| {
    let head = |(column, key, unit, _): (Column, &str, &str, &[&str])| {
        let name = document::field(key).map_or_else(|| key.to_owned(), |field| field.label().to_lowercase());
        let header = if unit.is_empty() { name.clone() } else { format!("{name} [{unit}]") };
        (column, name, header)
    };
    COLUMNS.into_iter().map(head).collect()
});

/// Headers as they are written.
pub(super) fn headers() -> Vec<&'static str> {
    HEADERS.iter().map(|(.., header)| header.as_str()).collect()
}

/// Columns without which no curve can be made.
pub(super) const NEEDED: [Column; 3] = [Column::Kind, Column::Level, Column::Flow];

impl Column {
    pub(super) fn header(self) -> &'static str {
        HEADERS.iter().find(|head| head.0 == self).map_or("", |head| head.2.as_str())
    }

    /// The header without its unit.
    pub(super) fn plain_name(self) -> &'static str {
        HEADERS.iter().find(|head| head.0 == self).map_or("", |head| head.1.as_str())
    }

    /// What a figure in it measures; words have no unit.
    pub(super) fn measure(self) -> Measure {
        match self {
            Column::Level | Column::RatedFeed | Column::Feed => {
                Measure::Of(Quantity::VacuumLevel, "kPa", 1.0)
            }
            Column::Flow | Column::Air => Measure::Of(Quantity::Flow, "L/min", 1.0),
            Column::FlowShare | Column::LevelShare => Measure::Listed(&[("", 1.0, 1.0), ("%", 1.0, 100.0)]),
            Column::Power => Measure::Listed(&[("W", 1.0, 1.0), ("kW", 1000.0, 1.0)]),
            Column::Volume => {
                Measure::Listed(&[("ml", 1.0, 1.0), ("L", 1000.0, 1.0), ("cm³", 1.0, 1.0), ("cm3", 1.0, 1.0)])
            }
            Column::StraightBore => Measure::Of(Quantity::Length, "mm", 1.0),
            Column::Mass => Measure::Of(Quantity::Mass, "g", 1000.0),
            _ => PLAIN,
        }
    }

    /// Least and most of a figure in it, in the own unit: those of the project file.
    pub(super) fn range(self) -> (f64, f64) {
        let key = match self {
            Column::Level => "source.curve.level_kpa",
            Column::Flow => "source.curve.flow_nl_min",
            _ => COLUMNS.iter().find(|column| column.0 == self).map_or("", |column| column.1),
        };
        let field = document::field(key).filter(|field| field.is_number());
        // Words have no range, and nothing is within this one.
        field.map_or((f64::NAN, f64::NAN), |field| (field.least, field.most))
    }

    /// Whether it is a pressure above the atmosphere, which has units of a level but neither its sign nor its per cent.
    pub(super) fn is_feed(self) -> bool {
        matches!(self, Column::RatedFeed | Column::Feed)
    }

    /// Whether it holds words.
    fn is_text(self) -> bool {
        use Column::{AirSaving, Date, Figures, FlowIs, Id, Kind, Name};
        matches!(self, Name | Kind | FlowIs | AirSaving | Figures | Date | Id)
    }
}

/// Reads one header cell; `Err` says what is wrong with it.
pub(super) fn header(cell: &str) -> Result<Found<Column>, String> {
    let names = COLUMNS.iter().flat_map(|(column, _, _, others)| {
        std::iter::once((*column, column.plain_name())).chain(others.iter().map(|other| (*column, *other)))
    });
    let mut found = csv_in::header(cell, names, |column, unit| match column {
        _ if column.is_text() => Ok(()),
        _ if column.is_feed() && unit.contains('%') => {
            Err("a feed pressure has none in per cent; use kPa, bar or psi".to_owned())
        }
        _ => column.measure().takes(unit),
    })?;
    if found.column.is_text() {
        found.unit.clear();
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_of_figures_has_the_range_of_the_project_file() {
        for (column, ..) in COLUMNS.into_iter().filter(|(column, ..)| !column.is_text()) {
            let (least, most) = column.range();
            assert!(least < most, "{}: {least} to {most}", column.header());
        }
        assert_eq!(Column::Level.range(), (0.0, 101.3));
    }

    #[test]
    fn headers_are_read_with_their_units() {
        let of = |cell: &str| header(cell).map(|f| (f.column, f.unit));
        assert_eq!(of("Level (mbar)"), Ok((Column::Level, "mbar".to_owned())));
        assert_eq!(of("level share"), Ok((Column::LevelShare, String::new())));
        assert_eq!(of("flow share [%]"), Ok((Column::FlowShare, "%".to_owned())));
        assert_eq!(of("flow cfm"), Ok((Column::Flow, "cfm".to_owned())));
        assert_eq!(of("Air used [NL/min]"), Ok((Column::Air, "NL/min".to_owned())));
        assert_eq!(of("air saving"), Ok((Column::AirSaving, String::new())));
        assert_eq!(of("rated_feed [psi]"), Ok((Column::RatedFeed, "psi".to_owned())));
        assert_eq!(of("power [kW]"), Ok((Column::Power, "kW".to_owned())));
        assert!(of("price").is_err_and(|e| e.contains("\"price\" is not known")));
        assert!(of("flow [kg]").is_err_and(|e| e.contains("unit")));
        assert!(of("feed [bar abs]").is_err_and(|e| e.contains("unit")));
        assert!(of("feed [%]").is_err_and(|e| e.contains("per cent")));
        assert!(of("power [hp]").is_err_and(|e| e.contains("use W or kW")));
    }

    #[test]
    fn every_header_as_written_is_read_as_its_column() {
        for (written, (column, ..)) in headers().into_iter().zip(COLUMNS) {
            assert_eq!(header(written).map(|f| f.column), Ok(column), "{written}");
            assert_eq!(column.header(), written);
        }
        assert_eq!(Column::Power.header(), "power [W]");
    }
}
