//! What the tables that are read have in common: separators, headers with units, figures with either decimal mark.

use std::collections::HashSet;
use std::fmt::Display;
use std::hash::Hash;
use units::{Quantity, UnitChoice, Worded, parse};

/// A bad row of a CSV table: line number, column, what is wrong, what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct RowProblem {
    /// Line in the file, counted from 1.
    pub line: u64,
    /// Name of the column; empty when it is about the whole row.
    pub column: String,
    /// What is wrong and what to do.
    pub says: Worded,
}

/// What the figures of a column measure.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Measure {
    /// A quantity that is typed elsewhere too: its own unit in the table, and how many of those the base unit holds.
    Of(Quantity, &'static str, f64),
    /// One that is typed in tables only: its units, the own one first, and how many own ones so many of it are. Two figures,
    /// so that 95 % is 0.95 to the last digit.
    Listed(&'static [(&'static str, f64, f64)]),
}

/// A plain number.
pub(crate) const PLAIN: Measure = Measure::Of(Quantity::Ratio, "", 1.0);

impl Measure {
    /// The unit in which the project keeps it, and the header where it names none.
    pub(crate) fn own_unit(self) -> &'static str {
        match self {
            Measure::Of(_, unit, _) => unit,
            Measure::Listed(list) => list.first().map_or("", |first| first.0),
        }
    }

    /// Whether a header may name this unit; `Err` says why not.
    pub(crate) fn takes(self, unit: &str) -> Result<(), String> {
        if unit.is_empty() || unit == self.own_unit() {
            return Ok(());
        }
        match self {
            Measure::Of(quantity, ..) => parse(&format!("1 {unit}"), quantity, &UnitChoice::default())
                .map(|_| ())
                .map_err(|e| e.to_string()),
            Measure::Listed(list) => listed(list, unit).map(|_| ()),
        }
    }

    /// The figure of a cell in the own unit; a bare number is in the unit of the header.
    pub(crate) fn read(self, text: &str, header_unit: &str, marks: Marks) -> Result<f64, String> {
        let choice = marks.choice(text, &UnitChoice::default())?;
        let number = |text: &str| parse(text, Quantity::Ratio, &choice).map_err(|e| e.to_string());
        let end = text.find(|c: char| !in_figure(c)).unwrap_or(text.len());
        let bare = end == text.len();
        match self {
            // A number in the own unit is taken as it stands, without the rounding of a conversion.
            Measure::Of(quantity, own, _) if bare && (header_unit.is_empty() || header_unit == own) => {
                let value = number(text)?;
                Ok(if quantity == Quantity::VacuumLevel { value.abs() } else { value })
            }
            Measure::Of(quantity, _, per_base) => {
                let full = if bare { format!("{text} {header_unit}") } else { text.to_owned() };
                parse(full.trim(), quantity, &choice).map(|v| v * per_base).map_err(|e| e.to_string())
            }
            Measure::Listed(list) => {
                let (figure, unit) = text.split_at(end);
                let named = [unit.trim(), header_unit].into_iter().find(|u| !u.is_empty());
                let (times, over) = named.map_or(Ok((1.0, 1.0)), |unit| listed(list, unit))?;
                Ok(number(figure)? * times / over)
            }
        }
    }
}

fn listed(list: &[(&str, f64, f64)], unit: &str) -> Result<(f64, f64), String> {
    // "l" and "L" are both litres; "mW" is no unit of any list here, so that case never decides.
    let found = list.iter().find(|(name, ..)| name.eq_ignore_ascii_case(unit));
    found.map(|(_, times, over)| (*times, *over)).ok_or_else(|| {
        let names: Vec<&str> = list.iter().map(|l| l.0).filter(|n| !n.is_empty()).collect();
        format!("\"{unit}\" is not a unit for it; use {}", names.join(" or "))
    })
}

/// Whether a bare number may have this in it, with either decimal mark.
pub(crate) fn in_figure(c: char) -> bool {
    c.is_ascii_digit() || "+-\u{2212}.,eE".contains(c)
}

/// How a table writes its numbers.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Marks {
    /// Separates the cells.
    pub(crate) separator: u8,
    /// A number with a decimal comma stands somewhere in it.
    comma: bool,
}

impl Marks {
    /// Of a whole table.
    pub(crate) fn of(text: &str) -> Self {
        let separator = separator(text);
        Self { separator, comma: separator != b',' && has_decimal_comma(text) }
    }

    /// Of fields that were told apart already: a comma within one parts none.
    pub(crate) fn within<'a>(mut fields: impl Iterator<Item = &'a str>) -> Self {
        Self { separator: b';', comma: fields.any(has_decimal_comma) }
    }

    /// How one number is read, in these units where it bears none; `Err` where it may mean two.
    pub(crate) fn choice(self, text: &str, units: &UnitChoice) -> Result<UnitChoice, String> {
        let comma = text.contains(',');
        let grouped = text.split('.').skip(1).all(|g| g.len() == 3 && g.bytes().all(|b| b.is_ascii_digit()));
        if comma && text.contains('.') {
            return Err(format!(
                "\"{text}\" has both a point and a comma; write it without thousands separators"
            ));
        }
        if self.comma && text.contains('.') && grouped && !text.starts_with("0.") {
            return Err(format!(
                "\"{text}\" may mean {} or {} in a table with decimal commas; write it without a point",
                text.replace('.', ""),
                text.replacen('.', ",", 1)
            ));
        }
        Ok(UnitChoice { decimal_comma: comma, ..*units })
    }
}

fn has_decimal_comma(text: &str) -> bool {
    text.as_bytes().windows(3).any(|w| w[0].is_ascii_digit() && w[1] == b',' && w[2].is_ascii_digit())
}

/// The separator that the first line uses most.
fn separator(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or("");
    let count = |d: u8| first.bytes().filter(|b| *b == d).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|d| count(*d)).unwrap_or(b',')
}

/// Rows of a table without its byte order mark, blanks around cells dropped, rows as long as they are.
pub(crate) fn rows(text: &str, marks: Marks) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .delimiter(marks.separator)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
}

/// A row without the apostrophes that keep a spreadsheet from working out a text.
pub(crate) fn as_meant(record: &csv::StringRecord) -> csv::StringRecord {
    record.iter().map(crate::csv_out::meant).collect()
}

/// The text of a table as spreadsheets save it: UTF-8, UTF-16 with its mark, or the code page 1252 of older ones.
///
/// # Errors
/// What the bytes are instead, and what to do, as the end of a sentence.
///
/// ```
/// assert_eq!(exchange::table_text("name;größe".as_bytes()), Ok("name;größe".to_owned()));
/// assert_eq!(exchange::table_text(b"name;gr\xf6\xdfe"), Ok("name;größe".to_owned()));
/// assert_eq!(exchange::table_text(b"\xff\xfen\0;\0"), Ok("n;".to_owned()));
/// assert!(exchange::table_text(b"\x7fELF\x02\0\0").is_err());
/// ```
pub fn table_text(bytes: &[u8]) -> Result<String, String> {
    let no_text = || Err("it is not text; save it as CSV in UTF-8".to_owned());
    let wide = [(&[0xff, 0xfe][..], encoding_rs::UTF_16LE), (&[0xfe, 0xff], encoding_rs::UTF_16BE)];
    if let Some((_, encoding)) = wide.into_iter().find(|(mark, _)| bytes.starts_with(mark)) {
        let (text, _, wrong) = encoding.decode(bytes);
        return if wrong || text.contains('\0') { no_text() } else { Ok(text.into_owned()) };
    }
    // No text has these; UTF-16 without its mark has them at every other place.
    if bytes.iter().any(|b| matches!(b, 0..=8 | 14..=26 | 28..=31 | 127)) {
        return no_text();
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text.to_owned()),
        Err(_) => Ok(encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned()),
    }
}

/// The text without the mark that some programs put in front.
pub(crate) fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// Line of a row that cannot be read, of which it is known only how many came before.
pub(crate) fn line_of(position: Option<&csv::Position>, count: usize) -> u64 {
    position.map_or(count as u64 + 2, csv::Position::line)
}

/// The column that a header cell names, and the unit behind the name: "axial stiffness (N/mm)".
///
/// The name is the first words; the longest that fits counts ("corner radius" before "corner").
fn titled<'n, C: Copy>(cell: &str, names: impl Iterator<Item = (C, &'n str)>) -> Option<(C, String)> {
    let plain: String = cell.chars().map(|c| if "()[],_".contains(c) { ' ' } else { c }).collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    let lower = words.join(" ").to_lowercase();
    let mut best: Option<(usize, C)> = None;
    for (column, name) in names {
        let fits = lower.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
        let count = name.split(' ').count();
        if fits && best.is_none_or(|(longest, _)| count > longest) {
            best = Some((count, column));
        }
    }
    // Of "axial stiffness N/mm" the unit is what follows the name, in its own letters.
    best.map(|(count, column)| (column, words[count..].join(" ")))
}

/// A column found in a header.
#[derive(Debug, Clone)]
pub(crate) struct Found<C> {
    pub(crate) column: C,
    /// Header as it stands in the file.
    pub(crate) title: String,
    /// Unit named in the header; empty for the own one.
    pub(crate) unit: String,
}

/// Reads one header cell by the names of columns, and has the column look at the unit; `Err` says what is wrong with it.
pub(crate) fn header<'n, C: Copy>(
    cell: &str,
    names: impl Iterator<Item = (C, &'n str)>,
    takes: impl FnOnce(C, &str) -> Result<(), String>,
) -> Result<Found<C>, String> {
    let title = cell.trim().to_owned();
    let Some((column, unit)) = titled(&title, names) else {
        return Err(format!(
            "column \"{title}\" is not known and was left out; see the template for the columns"
        ));
    };
    takes(column, &unit).map_err(|e| format!("the unit of column \"{title}\" cannot be read: {e}"))?;
    Ok(Found { column, title, unit })
}

/// The columns of a header row; a cell that is empty, unknown or means what another one means has none.
pub(crate) fn headers<C: Copy + Eq + Hash>(
    record: &csv::StringRecord,
    header: impl Fn(&str) -> Result<Found<C>, String>,
    problems: &mut Vec<RowProblem>,
) -> Vec<Option<Found<C>>> {
    let mut seen = HashSet::new();
    let mut one = |cell: &str| match header(cell)? {
        found if seen.insert(found.column) => Ok(found),
        _ => Err(format!("column \"{cell}\" was left out: another column means the same")),
    };
    let mut column = |cell: &str| match one(cell) {
        _ if cell.is_empty() => None,
        Ok(found) => Some(found),
        Err(says) => {
            problems.push(RowProblem { line: 1, column: cell.to_owned(), says: says.into() });
            None
        }
    };
    record.iter().map(&mut column).collect()
}

/// One row: cells by column, and what is wrong with them.
pub(crate) struct Row<'a, C> {
    pub(crate) columns: &'a [Option<Found<C>>],
    pub(crate) record: &'a csv::StringRecord,
    pub(crate) line: u64,
    pub(crate) marks: Marks,
    pub(crate) problems: Vec<RowProblem>,
}

impl<'a, C: Copy + Eq> Row<'a, C> {
    pub(crate) fn say(&mut self, column: &str, says: impl Into<Worded>) {
        self.problems.push(RowProblem { line: self.line, column: column.to_owned(), says: says.into() });
    }

    /// Column and text of a cell that is not empty.
    pub(crate) fn cell(&self, column: C) -> Option<(&'a Found<C>, &'a str)> {
        let at = self.columns.iter().position(|c| c.as_ref().is_some_and(|c| c.column == column))?;
        let text = self.record.get(at).filter(|t| !t.is_empty())?;
        self.columns[at].as_ref().map(|found| (found, text))
    }
}

/// "Round 40, flat" -> "round-40-flat".
pub(crate) fn slug(name: &str) -> String {
    let words: Vec<String> =
        name.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).map(str::to_lowercase).collect();
    words.join("-")
}

/// A figure outside what a column may hold, in words.
pub(crate) fn out_of_range(text: &str, value: f64, least: f64, most: f64, unit: impl Display) -> String {
    format!("{text} is out of range: {value} {unit}, expected {least} to {most} {unit}").trim_end().to_owned()
}

/// A figure as it is written: the shortest text that reads back as the same, nothing for none.
pub(crate) fn written(value: f64) -> String {
    // Very small and very large ones would fill a cell with noughts.
    match value.abs() {
        size if !size.is_finite() => String::new(),
        size if size != 0.0 && !(1e-9..1e15).contains(&size) => format!("{value:e}"),
        _ => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRESSURE: Measure = Measure::Of(Quantity::VacuumLevel, "kPa", 1.0);
    const POWER: Measure = Measure::Listed(&[("W", 1.0, 1.0), ("kW", 1000.0, 1.0)]);

    fn read(measure: Measure, text: &str, unit: &str) -> Result<f64, String> {
        measure.read(text, unit, Marks { separator: b';', comma: false })
    }

    #[test]
    fn figures_are_in_the_unit_of_the_cell_or_else_of_the_header() {
        assert_eq!(read(PRESSURE, "60", ""), Ok(60.0));
        assert_eq!(read(PRESSURE, "0,6", "bar"), Ok(60.0));
        assert_eq!(read(PRESSURE, "0.6 bar", "kPa"), Ok(60.0));
        assert_eq!(read(PRESSURE, "-60", "kPa"), Ok(60.0));
        assert_eq!(read(POWER, "1,5", "kW"), Ok(1500.0));
        assert_eq!(read(POWER, "1.5 kW", ""), Ok(1500.0));
        assert_eq!(read(POWER, "15", ""), Ok(15.0));
        assert_eq!(read(Measure::Of(Quantity::Mass, "g", 1e3), "0.3", "g"), Ok(0.3));
        assert!(read(POWER, "3 hp", "").is_err_and(|e| e == "\"hp\" is not a unit for it; use W or kW"));
        assert!(read(PRESSURE, "1.234,5", "").is_err_and(|e| e.contains("thousands")));
    }

    #[test]
    fn a_point_that_may_part_thousands_is_questioned_where_commas_are_decimal() {
        let table = "level;flow\n0;1.500\n12,5;900\n";
        let says = PLAIN.read("1.500", "", Marks::of(table));
        assert!(says.is_err_and(|e| e.starts_with("\"1.500\" may mean 1500 or 1,500")));
        assert_eq!(PLAIN.read("0.500", "", Marks::of(table)), Ok(0.5));
        assert_eq!(PLAIN.read("1.500", "", Marks::of("level;flow\n0;1.500\n")), Ok(1.5));
        // Where commas part the cells none is decimal.
        assert_eq!(PLAIN.read("1.500", "", Marks::of("level,flow\n0,1.500\n")), Ok(1.5));
    }

    #[test]
    fn what_is_written_reads_back_as_the_same() {
        for value in [0.0, -0.0, 0.1, 1e-300, 4.9e-324, f64::MAX, 123_456_789.123, -7.5e-11] {
            assert_eq!(read(PLAIN, &written(value), ""), Ok(value), "{value}");
        }
        assert_eq!(written(f64::NAN), "");
    }
}
