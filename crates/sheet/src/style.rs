//! Sizes of letters, rows and gaps for a paper, and the little text builders that everything uses.

use crate::Paper;
use crate::page::{Anchor, Item, Text, Tone, Weight};
use crate::text_width::printable;
use glam::DVec2;

/// Width of the frame's line (ISO 5457: 0.7 mm, from memory).
pub(crate) const FRAME: f64 = 0.7;
/// Outline of the part.
pub(crate) const THICK: f64 = 0.5;
/// Lips, rules under table heads, title block.
pub(crate) const MEDIUM: f64 = 0.3;
/// Centre marks, dimensions, hatching.
pub(crate) const THIN: f64 = 0.18;
/// Letters of field labels and notes, at least: 7 pt, which a copy of a copy still shows.
pub(crate) const NOTE: f64 = 7.0 * 25.4 / 72.0;
/// Letters of tags, at least: 8 pt.
pub(crate) const TAG: f64 = 8.0 * 25.4 / 72.0;
/// Between lines that are written into by hand.
pub(crate) const BY_HAND: f64 = 8.0;
/// Rules between rows.
pub(crate) const FINE: f64 = 0.12;

/// Sizes, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Style {
    /// Tables and sentences.
    pub body: f64,
    /// Labels, notes, cautions.
    pub small: f64,
    /// Headings.
    pub heading: f64,
    /// Baseline to baseline in tables.
    pub pitch: f64,
    /// Baseline to baseline in sentences of the body size.
    pub leading: f64,
    /// Baseline to baseline in small sentences.
    pub small_leading: f64,
    /// Between sections.
    pub gap: f64,
    /// Width of the title block and of the column over it.
    pub column: f64,
    /// Height of one row of the title block.
    pub title_row: f64,
}

impl Style {
    /// Sizes for a paper; `compact` sets the tables closer to keep them on one sheet.
    pub fn new(paper: Paper, compact: bool) -> Self {
        let (body, column, title_row) = match paper {
            Paper::A4 | Paper::Letter => (2.6, 122.0, 10.0),
            Paper::A3 | Paper::Tabloid | Paper::A2 | Paper::AnsiC => (3.1, 160.0, 11.4),
            Paper::A1 | Paper::AnsiD | Paper::A0 | Paper::AnsiE => (3.3, 180.0, 12.0),
        };
        let body = if compact { (body * 0.86_f64).max(NOTE) } else { body };
        let small = (body * 0.82_f64).max(NOTE);
        Self {
            body,
            small,
            heading: body * 1.2,
            pitch: body * if compact { 1.52 } else { 1.62 },
            leading: body * 1.32,
            small_leading: small * 1.3,
            gap: body * if compact { 1.6 } else { 2.1 },
            column,
            title_row,
        }
    }
}

impl Style {
    /// Rows and sections as close as they can still be read, for the few lines that would need a page of their own.
    pub fn closest(paper: Paper) -> Self {
        let style = Self::new(paper, true);
        Self { pitch: style.body * 1.4, gap: style.body * 1.15, ..style }
    }
}

/// A text item of characters that the fonts have.
pub(crate) fn text(at: DVec2, says: &str, size: f64, weight: Weight, tone: Tone, anchor: Anchor) -> Item {
    Item::Text(Text { at, text: printable(says), size, weight, tone, anchor, turn_deg: 0.0 })
}

/// A text that starts at a point.
pub(crate) fn left(at: DVec2, says: &str, size: f64, weight: Weight, tone: Tone) -> Item {
    text(at, says, size, weight, tone, Anchor::Start)
}
