//! The table as plain text, for the command line.

use super::{CompareFigure, CompareRow, Comparison};
use crate::plain::plain;
use analysis::words::Words;
use units::{Quantity, UnitChoice};

/// The comparison as a table in plain text, with the sentence above and the notes below; the better figure of a row is
/// marked with a star and said so below the table.
///
/// ```
/// use analysis::Analyst;
/// use telling::{compare, compare_text};
/// use document::{Part, PartId, Project};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let comparison = compare(&mut Analyst::new(), &project, &[project.layouts[0].id]);
/// let text = compare_text(&comparison, &units::UnitChoice::default());
/// assert!(text.lines().any(|line| line.starts_with("Required factors met")));
/// ```
pub fn compare_text(comparison: &Comparison, units: &UnitChoice) -> String {
    let words = Words { choice: units };
    let mut lines: Vec<Vec<String>> = Vec::with_capacity(comparison.rows.len() + 1);
    let head = comparison.layouts.iter().map(|(_, name)| name.clone());
    lines.push(std::iter::once(String::new()).chain(head).collect());
    for row in &comparison.rows {
        let cells = row.figures.iter().enumerate().map(|(index, figure)| {
            let mark = if row.better == Some(index) { " *" } else { "" };
            format!("{}{mark}", cell(row, figure, &words))
        });
        lines.push(std::iter::once(row.name.clone()).chain(cells).collect());
    }
    for cell in lines.iter_mut().flatten() {
        *cell = plain(cell).into_owned();
    }
    let width = |column: usize| {
        lines.iter().filter_map(|line| line.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..=comparison.layouts.len()).map(width).collect();
    let mut out =
        format!("{}\n\n", comparison.sentences.iter().map(|says| plain(says)).collect::<Vec<_>>().join("\n"));
    for line in &lines {
        let padded: Vec<String> =
            line.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        out.push_str(padded.join("  ").trim_end());
        out.push('\n');
    }
    if comparison.rows.iter().any(|row| row.better.is_some()) {
        out.push_str(
            "\n* better: meets the required factors, by more than assumed inputs could account for and by \
            more than one per cent\n",
        );
    } else {
        out.push_str("\nNo figure is marked as better.\n");
    }
    for note in &comparison.notes {
        out.push_str(&plain(note));
        out.push('\n');
    }
    out
}

fn cell(row: &CompareRow, figure: &CompareFigure, words: &Words<'_>) -> String {
    match figure {
        CompareFigure::Factor { factor, required } => words.of(*factor, *required),
        CompareFigure::Number(value) if row.quantity == Quantity::Ratio => words.factor(*value),
        CompareFigure::Number(value) => words.figure(*value, row.quantity),
        CompareFigure::Words(words) | CompareFigure::Unknown(words) => words.clone(),
    }
}
