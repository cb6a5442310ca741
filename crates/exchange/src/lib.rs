//! Drawings and tables in and out. Everything mended or skipped is a diagnostic; nothing is guessed silently.

use geometry::Outline;
use std::path::Path;

/// Length unit of a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum DrawingUnit {
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Foot,
}
/// Where the unit came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UnitFrom {
    File,
    Option,
    Guess,
}
/// How to read a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportOptions {
    /// Overrides what the file says.
    pub unit: Option<DrawingUnit>,
    /// Ends closer than this are joined, mm.
    pub gap_mm: f64,
    /// Layers to read; `None` = all that look like part geometry.
    pub layers: Option<Vec<String>>,
}
/// What was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub file_name: String,
    pub sha256: String,
    pub unit: DrawingUnit,
    pub unit_from: UnitFrom,
    /// Largest first.
    pub parts: Vec<ImportedPart>,
    /// Name and entity count of every layer in the file.
    pub layers: Vec<(String, usize)>,
    pub diagnostics: Vec<Diagnostic>,
}
#[derive(Debug, Clone, PartialEq)]
pub struct ImportedPart {
    pub name: String,
    pub outline: Outline,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DiagnosticSeverity {
    Mended,
    Skipped,
    Warning,
}
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnostic {
    pub severity: DiagnosticSeverity,
    pub what: String,
    pub place: String,
    pub count: usize,
}
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    #[error("placeholder")]
    Placeholder,
}
/// Reads a DXF or SVG file, told apart by content first, name second.
pub fn read_drawing(path: &Path, options: &ImportOptions) -> Result<Drawing, ImportError> {
    todo!()
}
/// As [`read_drawing`] from memory.
pub fn read_drawing_bytes(name: &str, bytes: &[u8], options: &ImportOptions) -> Result<Drawing, ImportError> {
    todo!()
}
/// The `import --json` object.
pub fn import_json(drawing: &Drawing) -> String {
    todo!()
}
/// A bad row of a CSV table: line number, column, what is wrong, what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct RowProblem {
    pub line: u64,
    pub column: String,
    pub says: String,
}
/// Cup models from a CSV table with units in the header; good rows come through, bad ones are reported.
pub fn read_models_csv(text: &str) -> (Vec<document::CupModel>, Vec<RowProblem>) {
    todo!()
}
/// The hole table (tag, X, Y, turn, model, bore, zone, height), quoted, decimal point, unit in the header.
pub fn hole_table_csv(project: &document::Project, report: &analysis::Report) -> String {
    todo!()
}
