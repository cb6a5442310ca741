//! What the tables that are written have in common: every text quoted, decimal point, and no text that a spreadsheet would
//! work out.

use std::borrow::Cow;

/// A table being written.
pub(crate) struct Table {
    writer: csv::Writer<Vec<u8>>,
    columns: usize,
}

impl Table {
    pub(crate) fn new(header: &[&str]) -> Self {
        let mut writer =
            csv::WriterBuilder::new().quote_style(csv::QuoteStyle::NonNumeric).from_writer(Vec::new());
        // Writing to memory cannot fail.
        drop(writer.write_record(header));
        Self { writer, columns: header.len() }
    }

    pub(crate) fn row(&mut self, cells: &[String]) {
        drop(self.writer.write_record(cells.iter().map(|cell| guarded(cell).into_owned())));
    }

    /// What the table is of and what is to be heeded, below its rows: a row each, marked by a sign that no tag begins with.
    pub(crate) fn told(&mut self, project: &document::Project, reports: &[&analysis::Report]) {
        for says in telling::Identity::of(project, reports).lines(&project.sheet) {
            let mut cells = vec![String::new(); self.columns];
            if let Some(first) = cells.first_mut() {
                *first = format!("# {says}");
            }
            self.row(&cells);
        }
    }

    pub(crate) fn finish(self) -> String {
        self.writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
    }
}

/// What makes a spreadsheet take a cell for a formula, in both widths, and what it passes over in front of one.
fn starts_a_formula(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'])
        || (text.starts_with(char::is_whitespace) && starts_a_formula(text.trim_start()))
}

fn is_number(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b)) && text.parse::<f64>().is_ok()
}

/// A text that a spreadsheet would take for a formula gets the apostrophe in front that marks it as text there; a number stays
/// one. A text that has such an apostrophe itself gets another one, so that [`meant`] gives each back as it was.
fn guarded(cell: &str) -> Cow<'_, str> {
    if starts_a_formula(cell.trim_start_matches('\'')) && !is_number(cell) {
        Cow::Owned(format!("'{cell}"))
    } else {
        Cow::Borrowed(cell)
    }
}

/// A cell of a table as it was meant, without the apostrophe that kept it from being worked out.
pub(crate) fn meant(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if starts_a_formula(rest.trim_start_matches('\'')) => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_a_spreadsheet_would_run_is_text_and_numbers_stay_numbers() {
        for text in
            ["=1+1", "+cmd|'/c calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", " =1", "-inf", "-", "=", "＝1"]
        {
            assert_eq!(guarded(text), format!("'{text}"));
            assert_eq!(meant(&guarded(text)), text);
        }
        for text in ["-12.500", "+1", "-1e-5", "C1", "", "'", "a=b", "12", "'tis", "1-2"] {
            assert_eq!(guarded(text), text);
            assert_eq!(meant(text), text);
        }
        assert_eq!(meant(&guarded("'=1")), "'=1");
        let mut table = Table::new(&["tag", "x mm"]);
        table.row(&["=1+1".to_owned(), "-12.500".to_owned()]);
        assert_eq!(table.finish(), "\"tag\",\"x mm\"\n\"'=1+1\",-12.500\n");
    }

    proptest! {
        #[test]
        fn every_text_is_read_back_as_it_was_and_none_starts_a_formula(text in "['=+@\\-\t 0-9a]{0,6}") {
            let written = guarded(&text);
            prop_assert_eq!(meant(&written), text.as_str());
            prop_assert!(is_number(&written) || !starts_a_formula(&written), "{}", written);
        }
    }
}
