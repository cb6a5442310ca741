//! The layout sheet: pages of shapes and text laid out from a report, then written as PDF or SVG.

use analysis::Report;
use document::Project;
use units::UnitChoice;

/// Paper, landscape, mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paper {
    A4,
    A3,
    A2,
    A1,
    Letter,
    Tabloid,
}
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOptions {
    pub paper: Paper,
    pub units: UnitChoice,
}
/// One page in mm from the lower left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    pub size_mm: [f64; 2],
    pub items: Vec<Item>,
}
/// Something drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {}
#[derive(Debug, thiserror::Error)]
pub enum SheetError {
    #[error("placeholder")]
    Placeholder,
}
/// Lays the sheet out.
pub fn compose(project: &Project, report: &Report, options: &SheetOptions) -> Vec<Page> {
    todo!()
}
/// Vector PDF with selectable text and embedded subset fonts; deterministic bytes.
pub fn to_pdf(pages: &[Page], title: &str) -> Result<Vec<u8>, SheetError> {
    todo!()
}
/// One page as SVG.
pub fn to_svg(page: &Page) -> String {
    todo!()
}
