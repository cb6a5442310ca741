//! Sources -> CSV.

use super::columns::{COLUMNS, Column, headers};
use crate::{csv_in::written, csv_out::Table};
use document::{CurveFlow, CurvePoint, FeedPoint, Origin, SourceKind, SourceModel};

/// Sources as a CSV table that [`crate::sources_from_csv`] reads back: every column, a row for each point of a curve with
/// a feed pressure beside it, decimal point, unit in the header.
///
/// # Units
/// As each header says: kPa, L/min ANR, W, mm, ml, g.
///
/// ```
/// let pump = document::sources().iter().find(|s| &*s.id.0 == "pump-170").unwrap();
/// let table = exchange::sources_to_csv(&[document::SourceModel::clone(pump)]);
/// assert!(table.lines().nth(2).unwrap().starts_with("\"Vane pump, 170 L/min\",\"pump\",\"\",26.4,158.1,"));
/// assert_eq!(exchange::sources_from_csv(&table, "").sources, [document::SourceModel::clone(pump)]);
/// ```
#[must_use]
pub fn sources_to_csv(sources: &[SourceModel]) -> String {
    let mut table = Table::new(&headers());
    for source in sources {
        for row in 0..source.curve.len().max(source.feed.len()).max(1) {
            table.row(&COLUMNS.map(|c| cell(source, row, c.0)));
        }
    }
    table.finish()
}

fn cell(source: &SourceModel, row: usize, column: Column) -> String {
    let point = |pick: fn(&CurvePoint) -> f64| source.curve.get(row).map(pick).map_or(String::new(), written);
    let feed = |pick: fn(&FeedPoint) -> f64| source.feed.get(row).map(pick).map_or(String::new(), written);
    // What describes the whole source stands in its first row, so that a correction is made in one place.
    let whole = |text: String| if row == 0 { text } else { String::new() };
    match column {
        // On every row, so that the table may be sorted and filtered.
        Column::Name => source.name.clone(),
        Column::Id => source.id.to_string(),
        Column::Kind => match source.kind {
            SourceKind::Ejector => "ejector",
            SourceKind::Pump => "pump",
            SourceKind::Blower => "blower",
        }
        .to_owned(),
        Column::Level => point(|p| p.level_kpa),
        Column::Flow => point(|p| p.flow_nl_min),
        Column::FlowIs => whole(
            match source.curve_flow {
                CurveFlow::Anr => "drawn",
                CurveFlow::Inlet => "at the inlet",
            }
            .to_owned(),
        ),
        Column::Feed => feed(|f| f.feed_kpa),
        Column::FlowShare => feed(|f| f.flow_share),
        Column::LevelShare => feed(|f| f.level_share),
        Column::Air => feed(|f| f.air_nl_min),
        Column::RatedFeed if source.kind != SourceKind::Ejector && source.rated_feed_kpa == 0.0 => {
            String::new()
        }
        Column::RatedFeed => whole(written(source.rated_feed_kpa)),
        Column::Power => whole(written(source.power_w)),
        Column::StraightBore => whole(source.straight_bore_mm.map_or(String::new(), written)),
        Column::AirSaving => whole(if source.air_saving { "yes" } else { "no" }.to_owned()),
        Column::Volume => whole(written(source.volume_ml)),
        Column::Mass => whole(written(source.mass_g)),
        Column::Figures => whole(
            match source.figures {
                Origin::Measured => "measured",
                Origin::Stated => "stated",
                Origin::Assumed => "assumed",
            }
            .to_owned(),
        ),
        Column::Date => whole(source.on.clone()),
    }
}
