//! Sources -> CSV.

use super::columns::{COLUMNS, Column, headers};
use crate::{csv_in::written, csv_out::Table};
use document::{CurveFlow, CurvePoint, FeedPoint, Origin, SourceId, SourceKind, SourceModel};

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

/// A table with every column and one invented source of each kind, to fill in.
///
/// ```
/// let read = exchange::sources_from_csv(&exchange::sources_csv_template(), "template.csv");
/// assert_eq!((read.sources.len(), read.diagnostics.len()), (3, 0));
/// ```
#[must_use]
pub fn sources_csv_template() -> String {
    let curve = |points: &[(f64, f64)]| {
        points.iter().map(|&(level_kpa, flow_nl_min)| CurvePoint { level_kpa, flow_nl_min }).collect()
    };
    let feed = |feed_kpa, flow_share, level_share, air_nl_min| FeedPoint {
        feed_kpa,
        flow_share,
        level_share,
        air_nl_min,
    };
    let ejector = SourceModel {
        id: SourceId::from("example-ejector"),
        name: "Example ejector (invented)".to_owned(),
        kind: SourceKind::Ejector,
        curve: curve(&[(0.0, 60.0), (40.0, 32.0), (85.0, 0.0)]),
        curve_flow: CurveFlow::Anr,
        feed: vec![feed(400.0, 0.9, 0.8, 70.0), feed(500.0, 1.0, 1.0, 85.0), feed(600.0, 1.0, 0.95, 100.0)],
        rated_feed_kpa: 500.0,
        power_w: 0.0,
        straight_bore_mm: None,
        air_saving: true,
        volume_ml: 6.0,
        mass_g: 200.0,
        figures: Origin::Stated,
        on: String::new(),
    };
    let pump = SourceModel {
        id: SourceId::from("example-pump"),
        name: "Example pump (invented)".to_owned(),
        kind: SourceKind::Pump,
        curve: curve(&[(0.0, 250.0), (60.0, 170.0), (88.0, 0.0)]),
        curve_flow: CurveFlow::Inlet,
        feed: Vec::new(),
        rated_feed_kpa: 0.0,
        power_w: 550.0,
        air_saving: false,
        volume_ml: 200.0,
        mass_g: 18_000.0,
        ..ejector.clone()
    };
    let blower = SourceModel {
        id: SourceId::from("example-blower"),
        name: "Example blower (invented)".to_owned(),
        kind: SourceKind::Blower,
        curve: curve(&[(0.0, 2000.0), (10.0, 1200.0), (22.0, 0.0)]),
        power_w: 1100.0,
        straight_bore_mm: Some(40.0),
        curve_flow: CurveFlow::Anr,
        ..pump.clone()
    };
    sources_to_csv(&[ejector, pump, blower])
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
