//! One row: cells by column, and what is wrong with them.

use super::columns::Column;
use crate::csv_in;
use document::{CurveFlow, CurvePoint, FeedPoint, Origin, SourceKind};
use units::Worded;

pub(super) type Row<'a> = csv_in::Row<'a, Column>;

/// What a row says of the source as a whole; `None` where its cell is empty or wrong.
#[derive(Debug, Clone, Default)]
pub(super) struct Whole {
    pub(super) kind: Option<SourceKind>,
    pub(super) flow_is: Option<CurveFlow>,
    pub(super) rated_feed: Option<f64>,
    pub(super) power: Option<f64>,
    pub(super) straight_bore: Option<f64>,
    pub(super) air_saving: Option<bool>,
    pub(super) volume: Option<f64>,
    pub(super) mass: Option<f64>,
    pub(super) figures: Option<Origin>,
    pub(super) date: Option<String>,
}

impl<'a> Row<'a> {
    /// As [`Row::say`], under the title that the column has in this table.
    pub(super) fn say_at(&mut self, column: Column, says: impl Into<Worded>) {
        let title = self.columns.iter().flatten().find(|f| f.column == column).map(|f| f.title.as_str());
        self.say(title.unwrap_or(column.header()), says);
    }

    pub(super) fn text(&self, column: Column) -> Option<&'a str> {
        self.cell(column).map(|(_, text)| text)
    }

    /// A figure within the range of its column, in the own unit.
    fn figure(&mut self, column: Column) -> Option<f64> {
        let (least, most) = column.range();
        let (found, text) = self.cell(column)?;
        if column.is_feed() && text.starts_with(['-', '\u{2212}']) {
            self.say_at(column, format!("{text} is below the atmosphere; enter the pressure above it"));
            return None;
        }
        let measure = column.measure();
        let says = match measure.read(text, &found.unit, self.marks) {
            Ok(value) if (least..=most).contains(&value) => return Some(value),
            Ok(value) => csv_in::out_of_range(text, value, least, most, measure.own_unit()),
            Err(says) => says,
        };
        self.say_at(column, says);
        None
    }

    /// One of a few words.
    fn word<T>(&mut self, column: Column, read: impl Fn(&str) -> Option<T>, words: &str) -> Option<T> {
        let text = self.text(column)?;
        let found = read(text.to_lowercase().as_str());
        if found.is_none() {
            self.say_at(column, format!("\"{text}\" is none of {words}"));
        }
        found
    }

    /// The point of the curve in this row.
    pub(super) fn curve_point(&mut self) -> Option<CurvePoint> {
        let there = [Column::Level, Column::Flow].map(|c| (c, self.text(c).is_some()));
        match there {
            [(_, false), (_, false)] => return None,
            [(_, true), (_, true)] => {}
            _ => {
                for (column, _) in there.into_iter().filter(|(_, there)| !there) {
                    let says =
                        format!("{} is empty; a point of a curve needs level and flow", column.plain_name());
                    self.say_at(column, says);
                }
            }
        }
        let level = self.figure(Column::Level);
        let flow = self.figure(Column::Flow);
        Some(CurvePoint { level_kpa: level?, flow_nl_min: flow? })
    }

    /// The feed pressure in this row, with what it gives.
    pub(super) fn feed_point(&mut self) -> Option<FeedPoint> {
        let columns = [Column::Feed, Column::FlowShare, Column::LevelShare, Column::Air];
        if columns.iter().all(|c| self.text(*c).is_none()) {
            return None;
        }
        let empty: Vec<Column> = columns.into_iter().filter(|c| self.text(*c).is_none()).collect();
        for column in empty {
            let says = format!(
                "{} is empty; a feed pressure needs both shares and the air used",
                column.plain_name()
            );
            self.say_at(column, says);
        }
        let [feed, flow, level, air] = [
            self.figure(Column::Feed),
            self.figure(Column::FlowShare),
            self.figure(Column::LevelShare),
            self.figure(Column::Air),
        ];
        Some(FeedPoint { feed_kpa: feed?, flow_share: flow?, level_share: level?, air_nl_min: air? })
    }

    pub(super) fn whole(&mut self) -> Whole {
        let kind = |word: &str| match word {
            "ejector" => Some(SourceKind::Ejector),
            "pump" => Some(SourceKind::Pump),
            "blower" => Some(SourceKind::Blower),
            _ => None,
        };
        let saving = |word: &str| match word {
            "yes" | "true" | "1" => Some(true),
            "no" | "false" | "0" => Some(false),
            _ => None,
        };
        let origin = |word: &str| match word {
            "measured" => Some(Origin::Measured),
            "stated" => Some(Origin::Stated),
            "assumed" => Some(Origin::Assumed),
            _ => None,
        };
        let flow_is = |word: &str| match word {
            "drawn" | "anr" | "free air" => Some(CurveFlow::Anr),
            "at the inlet" | "at inlet" | "inlet" => Some(CurveFlow::Inlet),
            _ => None,
        };
        Whole {
            kind: self.word(Column::Kind, kind, "ejector, pump and blower"),
            flow_is: self.word(Column::FlowIs, flow_is, "drawn and at the inlet"),
            rated_feed: self.figure(Column::RatedFeed),
            power: self.figure(Column::Power),
            straight_bore: self.figure(Column::StraightBore),
            air_saving: self.word(Column::AirSaving, saving, "yes and no"),
            volume: self.figure(Column::Volume),
            mass: self.figure(Column::Mass),
            figures: self.word(Column::Figures, origin, "measured, stated and assumed"),
            date: self.text(Column::Date).map(str::to_owned),
        }
    }
}
