//! What every sheet says before the tool is used.

use super::small;
use crate::block::{Block, Section, SectionId, paragraph, stacked};
use crate::style::Style;
use telling::CAUTIONS;

pub(crate) fn section(width: f64, style: &Style) -> Section {
    let rows = CAUTIONS.iter().map(|caution| {
        stacked([paragraph(caution, small(style), 0.0, width), Block::space(style.small * 0.28)])
    });
    Section {
        id: SectionId::Other("cautions"),
        heading: "Before use".to_owned(),
        head: Vec::new(),
        rows: rows.collect(),
    }
}
