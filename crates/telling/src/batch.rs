//! Many projects at once: one line each, worst first, and what another library would make of them.

use crate::{difference::change_lines, plain::plain};
use analysis::Side;
use analysis::{
    Analyst, Report, Severity, with_library,
    words::{self, Words},
};
use document::{CupModel, Project, SourceModel};
use std::{cmp::Ordering, sync::Arc};
use units::UnitChoice;

/// What there is to say of one project in one line: of its worst layout.
#[derive(Debug, Clone, PartialEq)]
pub struct BatchLine {
    /// As it was asked for.
    pub file: String,
    /// `Fail`, `Watch` or `Ok`; what is not known does not hold.
    pub severity: Severity,
    /// Least factor over required; `None` without a figure for every motion, or when nothing loads a lip.
    pub figure: Option<f64>,
    /// The verdict.
    pub sentence: String,
    /// Name of the layout that it is about; empty where there is only one.
    pub layout: String,
    /// By which lines of one severity are sorted: the ratio, 0 without a figure, infinite without a load.
    rank: f64,
}

impl BatchLine {
    /// A file that could not be read: comes before all that could.
    pub fn unread(file: &str, says: &str) -> Self {
        let (file, sentence) = (file.to_owned(), format!("Not read: {says}"));
        Self { file, severity: Severity::Fail, figure: None, sentence, layout: String::new(), rank: -1.0 }
    }

    /// Worst first: fail, watch, ok; then the least factor over required; then the name of the file.
    pub fn order(&self, other: &Self) -> Ordering {
        let by_severity = other.severity.cmp(&self.severity);
        by_severity.then_with(|| self.rank.total_cmp(&other.rank)).then_with(|| self.file.cmp(&other.file))
    }

    fn word(&self) -> &'static str {
        match self.severity {
            Severity::Fail => "fail",
            Severity::Watch => "watch",
            Severity::NotChecked | Severity::Advice | Severity::Ok => "ok",
        }
    }

    fn of(file: &str, report: &Arc<Report>, several: bool) -> Self {
        let ratio = Side { report: Arc::clone(report) }.least_ratio().map(|(ratio, _)| ratio);
        let severity = match report.verdict.severity {
            Severity::Fail | Severity::NotChecked => Severity::Fail,
            Severity::Watch => Severity::Watch,
            Severity::Advice | Severity::Ok => Severity::Ok,
        };
        Self {
            file: file.to_owned(),
            severity,
            figure: ratio.filter(|ratio| ratio.is_finite()),
            sentence: report.verdict.sentence.clone(),
            layout: if several { report.layout_name.clone() } else { String::new() },
            rank: ratio.unwrap_or(0.0),
        }
    }
}

/// The line of one project, from the reports of its layouts.
///
/// ```
/// use analysis::{Analyst, Severity};
/// use telling::batch_line;
/// use document::{Part, PartId, Project};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let report = Analyst::new().check(&project, project.layouts[0].id);
/// let line = batch_line("jobs/tray.ron", &project, &[report]);
/// assert_eq!((line.severity, line.figure), (Severity::Fail, None)); // no cups yet
/// ```
pub fn batch_line(file: &str, project: &Project, reports: &[Arc<Report>]) -> BatchLine {
    let several = project.layouts.len() > 1;
    let lines = reports.iter().map(|report| BatchLine::of(file, report, several));
    let empty =
        || BatchLine { rank: 0.0, sentence: "No layout to check".to_owned(), ..BatchLine::unread(file, "") };
    // The first of equals.
    lines.min_by(BatchLine::order).unwrap_or_else(empty)
}

/// One line a file under a line of headings, worst first, whatever the order they come in; empty for none.
pub fn batch_text(lines: &[BatchLine], units: &UnitChoice) -> String {
    let words = Words { choice: units };
    let mut sorted: Vec<&BatchLine> = lines.iter().collect();
    sorted.sort_by(|a, b| a.order(b));
    let mut rows = vec![["verdict", "least", "file", "says"].map(str::to_owned)];
    rows.extend(sorted.into_iter().map(|line| {
        let says = match line.layout.as_str() {
            "" => line.sentence.clone(),
            layout => format!("{layout}: {}", line.sentence),
        };
        [line.word().to_owned(), ratio(line, words), line.file.clone(), says]
            .map(|cell| plain(&cell).into_owned())
    }));
    if lines.is_empty() { String::new() } else { table(&rows) }
}

/// Least factor over required; what falls short is never printed as met.
fn ratio(line: &BatchLine, words: Words<'_>) -> String {
    match line.figure {
        Some(ratio) if ratio < 1.0 => words.factor(ratio.min(1.0 - 0.005 - 1e-9)),
        Some(ratio) => words.factor(ratio),
        None if line.rank == f64::INFINITY => "no load".to_owned(),
        None => "none".to_owned(),
    }
}

/// Columns under one another, the last as it comes.
pub(crate) fn table<R: AsRef<[String]>>(rows: &[R]) -> String {
    let columns = rows.first().map_or(0, |row| row.as_ref().len());
    let width =
        |column: usize| rows.iter().map(|row| row.as_ref()[column].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns.saturating_sub(1)).map(width).collect();
    rows.iter()
        .map(|row| {
            let padded: Vec<String> = row
                .as_ref()
                .iter()
                .enumerate()
                .map(|(column, cell)| match widths.get(column) {
                    Some(width) => format!("{cell:<width$}"),
                    None => cell.clone(),
                })
                .collect();
            format!("{}\n", padded.join("  ").trim_end())
        })
        .collect()
}

/// What another library makes of one project.
#[derive(Debug, Clone, PartialEq)]
pub struct LibraryLine {
    /// With its own entries.
    pub before: BatchLine,
    /// With those of the library.
    pub after: BatchLine,
    /// Names of the models and sources that differ.
    pub differ: Vec<String>,
    /// What changed in them, one sentence each.
    pub changes: Vec<String>,
}

impl LibraryLine {
    /// Whether the project's verdict is another one.
    pub fn changes_verdict(&self) -> bool {
        self.before.severity != self.after.severity
    }

    /// Changed verdicts first, those that become worse before those that become better; then worst first.
    pub fn order(&self, other: &Self) -> Ordering {
        let place = |line: &Self| match line.after.severity.cmp(&line.before.severity) {
            Ordering::Greater => 0,
            Ordering::Less => 1,
            Ordering::Equal => 2,
        };
        place(self).cmp(&place(other)).then_with(|| self.after.order(&other.after))
    }
}

/// What another library makes of one project: the embedded entries are replaced by those of the same id, and both are worked out
/// whole. Where nothing differs it is worked out once.
///
/// ```
/// use analysis::Analyst;
/// use telling::library_line;
/// use document::{Part, PartId, Project, library};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let models: Vec<_> = library().iter().map(|model| model.as_ref().clone()).collect();
/// let line = library_line(&mut Analyst::new(), "jobs/tray.ron", &project, &models, &[]);
/// assert!(line.differ.is_empty() && !line.changes_verdict());
/// ```
pub fn library_line(
    analyst: &mut Analyst,
    file: &str,
    project: &Project,
    models: &[CupModel],
    sources: &[SourceModel],
) -> LibraryLine {
    let units = analyst.units();
    let mut line = |project: &Project| {
        let layouts = project.layouts.iter();
        let reports: Vec<Arc<Report>> =
            layouts.map(|layout| analyst.check_whole(project, layout.id)).collect();
        batch_line(file, project, &reports)
    };
    let (replaced, differ) = with_library(project, models, sources);
    let before = line(project);
    let after = if differ.is_empty() { before.clone() } else { line(&replaced) };
    let changes = change_lines(project, &replaced, Words { choice: &units });
    LibraryLine { before, after, differ, changes: changes.into_iter().map(|line| line.says).collect() }
}

/// What another library makes of each project: verdict and least factor over required before and after, and what differs. Changed
/// verdicts stand first, with what changed below; how many there are stands in the first line.
pub fn library_text(lines: &[LibraryLine], units: &UnitChoice) -> String {
    let words = Words { choice: units };
    let mut sorted: Vec<&LibraryLine> = lines.iter().collect();
    sorted.sort_by(|a, b| a.order(b));
    let changed = lines.iter().filter(|line| line.changes_verdict()).count();
    let projects = if lines.len() == 1 { "project" } else { "projects" };
    let mut out = match changed {
        0 => format!("With this library no verdict of {} {projects} changes.\n", lines.len()),
        1 => format!("With this library 1 verdict of {} {projects} changes.\n", lines.len()),
        _ => format!("With this library {changed} verdicts of {} {projects} change.\n", lines.len()),
    };
    let side = |line: &BatchLine| format!("{} {}", line.word(), ratio(line, words));
    let mut rows = vec![["before", "after", "file", "what differs"].map(str::to_owned)];
    rows.extend(sorted.iter().map(|line| {
        let differs = if line.differ.is_empty() { "nothing".to_owned() } else { words::list(&line.differ) };
        [side(&line.before), side(&line.after), line.after.file.clone(), differs]
            .map(|cell| plain(&cell).into_owned())
    }));
    if !lines.is_empty() {
        out.push('\n');
        out.push_str(&table(&rows));
    }
    for line in sorted.iter().filter(|line| line.changes_verdict()) {
        out.push_str(&format!("\n{}: {}\n", plain(&line.after.file), plain(&line.after.sentence)));
        for change in &line.changes {
            out.push_str(&format!("  {}\n", plain(change)));
        }
    }
    out
}
