//! CSV -> sources.

use super::columns::{Column, NEEDED, header};
use super::row::{Row, Whole};
use crate::csv_in::{self, Marks, RowProblem, slug};
use document::{CurvePoint, FeedPoint, Origin, SourceId, SourceKind, SourceModel};
use std::collections::{HashMap, HashSet};
use std::path::Path;
use units::{Quantity, Worded};

/// Most rows that are read; a table of sources has hundreds.
const MOST_ROWS: usize = 100_000;

/// What a table of sources came to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SourcesRead {
    /// Sources without a mistake, in the order in which they begin.
    pub sources: Vec<SourceModel>,
    /// Every mistake, by line. A source with one is left out as a whole: a curve that lacks a point is another curve.
    pub diagnostics: Vec<RowProblem>,
}

/// Sources from a CSV table with units in the header, as
/// [`sources_to_csv`](crate::sources_to_csv) writes them; sources without a mistake come through, every mistake is
/// reported with its line and column.
///
/// `name` is the table's, such as its file's; a table without a column of names holds one source, called so.
/// A curve that rises with the level, does not begin at level 0 or does not end at flow 0 is refused in words.
/// Figures count as stated where the table does not say. Blanks around a cell count for nothing, those within stay.
///
/// # Units
/// As each header or cell says; kPa, L/min ANR, W, mm, ml, g where neither does.
///
/// ```
/// let table = "name;kind;power [kW];level [mbar];flow [L/min]\n\
///              Demo pump;pump;0,37;0;170\n\
///              ;;;400;90,5\n\
///              ;;;880;0\n\
///              Odd pump;pump;0,37;0;170\n\
///              ;;;400;171\n\
///              ;;;880;0\n";
/// let read = exchange::sources_from_csv(table, "pumps.csv");
/// assert_eq!(read.sources.len(), 1);
/// assert_eq!(read.sources[0].curve[1].level_kpa, 40.0); // kPa
/// assert_eq!(read.sources[0].power_w, 370.0); // W
/// assert_eq!(exchange::sources_from_csv(&table.replace("Demo pump", " Demo pump "), "").sources[0].name, "Demo pump");
/// let odd = &read.diagnostics[0];
/// assert_eq!((odd.line, odd.column.as_str()), (6, "flow [L/min]"));
/// assert!(odd.says.to_string().starts_with("the curve of Odd pump rises from 170 L/min to 171 L/min at 40 kPa"));
/// ```
#[must_use]
pub fn sources_from_csv(text: &str, name: &str) -> SourcesRead {
    let text = csv_in::without_mark(text);
    let marks = Marks::of(text);
    let mut reader = csv_in::rows(text, marks);
    let mut rows = reader.records();
    let whole = |line: u64, says: String| RowProblem { line, column: String::new(), says: says.into() };
    let refused = |says: String| SourcesRead { sources: Vec::new(), diagnostics: vec![whole(1, says)] };
    let columns = match rows.next() {
        None => return refused("the table is empty; its first row names the columns".to_owned()),
        Some(Err(e)) => return refused(format!("the first row cannot be read: {e}")),
        Some(Ok(record)) => record,
    };
    let mut found = Collected::default();
    let columns = csv_in::headers(&columns, header, &mut found.problems);
    let there: HashSet<Column> = columns.iter().flatten().map(|f| f.column).collect();
    let missing: Vec<&str> = NEEDED.iter().filter(|c| !there.contains(c)).map(|c| c.header()).collect();
    if !missing.is_empty() {
        let says = format!("needed columns are missing: {}; add them, with their units", missing.join(", "));
        found.problems.push(whole(1, says));
        return SourcesRead { sources: Vec::new(), diagnostics: found.problems };
    }
    if !there.contains(&Column::Name) && !there.contains(&Column::Id) {
        let called = Path::new(name).file_stem().map(|s| s.to_string_lossy().trim().to_owned());
        found.called = called.filter(|c| !c.is_empty());
    }
    for (count, row) in rows.enumerate() {
        let record = match row {
            Ok(record) => record,
            Err(e) => {
                let says = format!("the row cannot be read: {e}");
                found.problems.push(whole(csv_in::line_of(e.position(), count), says));
                found.spoil();
                continue;
            }
        };
        let line = csv_in::line_of(record.position(), count);
        let record = csv_in::as_meant(&record);
        if count >= MOST_ROWS {
            found
                .problems
                .push(whole(line, format!("only the first {MOST_ROWS} rows are read; split the table")));
            found.spoil();
            break;
        }
        if !record.iter().all(str::is_empty) {
            found.row(Row { columns: &columns, record: &record, line, marks, problems: Vec::new() });
        }
    }
    found.finish()
}

/// A source on its way.
#[derive(Debug, Default)]
struct Begun {
    name: String,
    id: String,
    /// Of its first row.
    line: u64,
    whole: Whole,
    curve: Vec<CurvePoint>,
    feed: Vec<FeedPoint>,
    /// It has a mistake.
    spoilt: bool,
}

#[derive(Debug, Default)]
struct Collected {
    begun: Vec<Begun>,
    by_id: HashMap<String, usize>,
    by_name: HashMap<String, usize>,
    /// The one that a row without a name belongs to.
    current: Option<usize>,
    /// Name of the only source, where the table has no column for names.
    called: Option<String>,
    problems: Vec<RowProblem>,
}

impl Collected {
    /// A row that was not read may have belonged to the current source.
    fn spoil(&mut self) {
        if let Some(at) = self.current {
            self.begun[at].spoilt = true;
        }
    }

    fn row(&mut self, mut row: Row<'_>) {
        if row.record.len() > row.columns.len() {
            let says = "has more fields than the header; quote fields that contain the separator";
            row.say("", says.to_owned());
        }
        let at = self.source_of(&mut row);
        let (whole, point, feed) = (row.whole(), row.curve_point(), row.feed_point());
        if let Some(at) = at {
            let begun = &mut self.begun[at];
            begun.take_whole(whole, &mut row);
            begun.take_point(point, &mut row);
            begun.take_feed(feed, &mut row);
            begun.spoilt |= !row.problems.is_empty();
        }
        self.problems.append(&mut row.problems);
    }

    /// The source that a row belongs to, begun if it is new.
    fn source_of(&mut self, row: &mut Row<'_>) -> Option<usize> {
        let id = row.text(Column::Id).unwrap_or_default().to_owned();
        let name = row.text(Column::Name).map(str::to_owned).or_else(|| self.called.clone());
        let name = name.unwrap_or_default();
        if name.is_empty() && id.is_empty() {
            if self.current.is_none() {
                let says = "the row has no name and there is no source above it; fill in the name";
                row.say_at(Column::Name, says.to_owned());
            }
            return self.current;
        }
        let by_id = Some(&id).filter(|id| !id.is_empty()).and_then(|id| self.by_id.get(id));
        let by_name = || self.by_name.get(&name).filter(|_| id.is_empty());
        let at = match by_id.or_else(by_name) {
            Some(&at) => at,
            None => self.begin(name.clone(), id, row.line),
        };
        let known = &mut self.begun[at].name;
        if known.is_empty() {
            known.clone_from(&name);
        } else if !name.is_empty() && *known != name {
            let says = format!("this id is that of {known} above; give {name} another");
            row.say_at(Column::Id, says);
        }
        self.current = Some(at);
        Some(at)
    }

    fn begin(&mut self, name: String, id: String, line: u64) -> usize {
        let at = self.begun.len();
        if !id.is_empty() {
            self.by_id.insert(id.clone(), at);
        }
        self.by_name.entry(name.clone()).or_insert(at);
        self.begun.push(Begun { name, id, line, ..Begun::default() });
        at
    }

    fn finish(self) -> SourcesRead {
        let Collected { begun, mut problems, .. } = self;
        if begun.is_empty() && problems.is_empty() {
            let says = "the table has no source below its header; add a row for each point of a curve";
            problems.push(RowProblem { line: 1, column: String::new(), says: says.into() });
        }
        let (mut sources, mut ids) = (Vec::new(), HashSet::new());
        for mut source in begun {
            // Its own mistakes come first; a source that lacks a point for one would only be blamed twice.
            let spoilt = source.spoilt;
            let (line, mut says) = (source.line, Vec::new());
            let model = source.model(&mut says);
            if !says.is_empty() {
                problems.extend(says.into_iter().map(|(column, says)| RowProblem { line, column, says }));
            } else if !spoilt {
                if ids.insert(model.id.clone()) {
                    sources.push(model);
                } else {
                    let says =
                        format!("source \"{}\" is in a row above; give it another name or id", model.id)
                            .into();
                    problems.push(RowProblem { line, column: Column::Name.header().to_owned(), says });
                }
            }
        }
        problems.sort_by_key(|p| p.line);
        SourcesRead { sources, diagnostics: problems }
    }
}

/// Takes a value that describes a source as a whole; a second one that differs is a mistake.
fn once<T: PartialEq>(kept: &mut Option<T>, new: Option<T>, column: Column, row: &mut Row<'_>) {
    match (&*kept, new) {
        (Some(old), Some(new)) if *old != new => {
            let says =
                format!("{} differs from a row of the same source above; state it once", column.plain_name());
            row.say_at(column, says);
        }
        (None, new) => *kept = new,
        _ => {}
    }
}

impl Begun {
    fn take_whole(&mut self, new: Whole, row: &mut Row<'_>) {
        let old = &mut self.whole;
        once(&mut old.kind, new.kind, Column::Kind, row);
        once(&mut old.flow_is, new.flow_is, Column::FlowIs, row);
        once(&mut old.rated_feed, new.rated_feed, Column::RatedFeed, row);
        once(&mut old.power, new.power, Column::Power, row);
        once(&mut old.straight_bore, new.straight_bore, Column::StraightBore, row);
        once(&mut old.air_saving, new.air_saving, Column::AirSaving, row);
        once(&mut old.volume, new.volume, Column::Volume, row);
        once(&mut old.mass, new.mass, Column::Mass, row);
        once(&mut old.figures, new.figures, Column::Figures, row);
        once(&mut old.date, new.date, Column::Date, row);
    }

    fn take_point(&mut self, point: Option<CurvePoint>, row: &mut Row<'_>) {
        let Some(point) = point else { return };
        if let Some(before) = self.curve.last() {
            let (level, flow) = (before.level_kpa, before.flow_nl_min);
            if point.level_kpa <= level {
                let says = Worded::new(
                    "{} comes after {} in the curve of {}; sort its points by level and keep one for each level",
                    [
                        (point.level_kpa, Quantity::VacuumLevel).into(),
                        (level, Quantity::VacuumLevel).into(),
                        (&self.name).into(),
                    ],
                );
                row.say_at(Column::Level, says);
            } else if point.flow_nl_min > flow {
                let says = Worded::new(
                    "the curve of {} rises from {} to {} at {}; check the point: a source draws less the deeper the level",
                    [
                        (&self.name).into(),
                        (flow, Quantity::InletFlow).into(),
                        (point.flow_nl_min, Quantity::InletFlow).into(),
                        (point.level_kpa, Quantity::VacuumLevel).into(),
                    ],
                );
                row.say_at(Column::Flow, says);
            }
        }
        self.curve.push(point);
    }

    fn take_feed(&mut self, feed: Option<FeedPoint>, row: &mut Row<'_>) {
        let Some(feed) = feed else { return };
        if let Some(before) = self.feed.last().filter(|before| feed.feed_kpa <= before.feed_kpa) {
            let says = Worded::new(
                "{} comes after {} in the feeds of {}; sort them by pressure and keep one for each",
                [
                    (feed.feed_kpa, Quantity::FeedPressure).into(),
                    (before.feed_kpa, Quantity::FeedPressure).into(),
                    (&self.name).into(),
                ],
            );
            row.say_at(Column::Feed, says);
        }
        self.feed.push(feed);
    }

    /// The source, and what is wrong with it as a whole, each with its column.
    fn model(&mut self, problems: &mut Vec<(String, Worded)>) -> SourceModel {
        let mut say = |column: Column, says: String| problems.push((column.header().to_owned(), says.into()));
        let id = if self.id.is_empty() { slug(&self.name) } else { std::mem::take(&mut self.id) };
        if self.name.is_empty() {
            say(Column::Name, format!("source {id} has no name; fill it in"));
        } else if id.is_empty() {
            say(Column::Name, format!("\"{}\" has no letter or digit to make an id from", self.name));
        }
        let ejector = self.whole.kind == Some(SourceKind::Ejector);
        // A word that cannot be read was reported where it stands.
        if self.whole.kind.is_none() && !self.spoilt {
            say(Column::Kind, format!("{} has no kind; enter ejector, pump or blower", self.name));
        }
        if ejector && self.whole.rated_feed.is_none() && !self.spoilt {
            let says =
                format!("ejector {} has no rated feed; enter the one that its curve is for", self.name);
            say(Column::RatedFeed, says);
        }
        let whole = std::mem::take(&mut self.whole);
        let model = SourceModel {
            id: SourceId::from(id.as_str()),
            name: std::mem::take(&mut self.name),
            kind: whole.kind.unwrap_or(SourceKind::Ejector),
            curve: std::mem::take(&mut self.curve),
            curve_flow: whole.flow_is.unwrap_or_default(),
            feed: std::mem::take(&mut self.feed),
            rated_feed_kpa: whole.rated_feed.unwrap_or(0.0),
            power_w: whole.power.unwrap_or(0.0),
            straight_bore_mm: whole.straight_bore,
            air_saving: whole.air_saving.unwrap_or(false),
            volume_ml: whole.volume.unwrap_or(0.0),
            mass_g: whole.mass.unwrap_or(0.0),
            figures: whole.figures.unwrap_or(Origin::Stated),
            on: whole.date.unwrap_or_default(),
        };
        if problems.is_empty() && !self.spoilt {
            let found = model.problems().into_iter();
            problems.extend(found.map(|p| (String::new(), Worded::joined(p.worded(), "; "))));
        }
        model
    }
}
