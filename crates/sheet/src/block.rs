//! Pieces that flow down a column: blocks, and sections made of blocks.

use crate::page::{Item, Role, Tag, Tone, Weight};
use crate::style::{Style, left};
use crate::text_width::{printable, wrap};
use glam::{DVec2, dvec2};

/// Something of a fixed height; drawn from its upper left corner, y upwards.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Block {
    pub height: f64,
    pub items: Vec<Item>,
}

impl Block {
    pub fn space(height: f64) -> Self {
        Self { height, items: Vec::new() }
    }
    pub fn at(&self, corner: DVec2) -> impl Iterator<Item = Item> + '_ {
        self.items.iter().map(move |item| item.shifted(corner))
    }
}

/// Which section it is: those that the order of pages asks for, and the others by their name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SectionId {
    Result,
    Key,
    Holes,
    Revisions,
    CupsToBuy,
    Other(&'static str),
}

impl SectionId {
    /// Its name in an SVG and in the page for a browser.
    pub fn name(self) -> &'static str {
        match self {
            Self::Result => "result",
            Self::Key => "key",
            Self::Holes => "cups",
            Self::Revisions => "revisions",
            Self::CupsToBuy => "parts list",
            Self::Other(name) => name,
        }
    }
}

/// A heading with what stands under it. `head` repeats where a section goes on in another column.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Section {
    pub id: SectionId,
    pub heading: String,
    pub head: Vec<Block>,
    pub rows: Vec<Block>,
}

/// Whether a block holds a row of a table.
fn is_row(block: &Block) -> bool {
    block.items.iter().any(|item| matches!(item, Item::Tagged { tag, .. } if tag.role == Role::Row))
}

impl Section {
    /// The head of the table, where any of these rows is one of it: notes that follow a table in the next column have none.
    pub fn head_over(&self, rows: &[Block]) -> &[Block] {
        if rows.iter().any(is_row) { &self.head } else { &[] }
    }
    /// Height of the heading and of the head over these rows.
    pub fn height_over(&self, rows: &[Block], style: &Style) -> f64 {
        let heading = if self.heading.is_empty() { 0.0 } else { style.heading * 1.4 };
        heading + self.head_over(rows).iter().map(|b| b.height).sum::<f64>()
    }
    /// The heading; none for a section that goes on from the one before.
    pub fn heading_block(&self, continued: bool, style: &Style) -> Block {
        if self.heading.is_empty() {
            return Block::space(0.0);
        }
        let baseline = -style.heading * 0.8;
        let mut items =
            vec![left(dvec2(0.0, baseline), &self.heading, style.heading, Weight::SemiBold, Tone::Ink)];
        if continued {
            let x = crate::text_width::text_width(&printable(&self.heading), Weight::SemiBold, style.heading);
            items.push(left(
                dvec2(x + style.small, baseline),
                "continued",
                style.small,
                Weight::Italic,
                Tone::Second,
            ));
        }
        let says = if continued { format!("{}, continued", self.heading) } else { self.heading.clone() };
        Block { height: style.heading * 1.4, items: vec![Tag::new(Role::Heading, says).over(items)] }
    }
    pub fn height(&self, style: &Style) -> f64 {
        self.height_over(&self.rows, style) + self.rows.iter().map(|b| b.height).sum::<f64>()
    }
}

/// How a paragraph is set.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Setting {
    pub size: f64,
    pub leading: f64,
    pub weight: Weight,
    pub tone: Tone,
}

impl Setting {
    fn tag(self, says: &str) -> Tag {
        Tag { tone: self.tone, weight: self.weight, ..Tag::new(Role::Paragraph, says) }
    }
}

/// A paragraph in one block, `indent` from the left.
pub(crate) fn paragraph(says: &str, setting: Setting, indent: f64, width: f64) -> Block {
    let lines = wrap(&printable(says), setting.weight, setting.size, width - indent);
    let items = lines.iter().enumerate().map(|(index, line)| {
        let baseline = -setting.size * 0.82 - index as f64 * setting.leading;
        left(dvec2(indent, baseline), line, setting.size, setting.weight, setting.tone)
    });
    let height = lines.len() as f64 * setting.leading;
    Block { height, items: vec![setting.tag(says).over(items.collect())] }
}

/// A paragraph that may be cut where a column ends, every few lines.
pub(crate) fn long_paragraph(says: &str, setting: Setting, width: f64) -> Vec<Block> {
    const LINES: usize = 6;
    let lines = wrap(&printable(says), setting.weight, setting.size, width);
    if lines.len() <= LINES {
        // Whole, so that its tag says what was written.
        return vec![paragraph(says, setting, 0.0, width + 0.1)];
    }
    lines.chunks(LINES).map(|lines| paragraph(&lines.join(" "), setting, 0.0, width + 0.1)).collect()
}

/// Blocks under each other as one.
pub(crate) fn stacked(blocks: impl IntoIterator<Item = Block>) -> Block {
    let mut whole = Block::space(0.0);
    for block in blocks {
        whole.items.extend(block.at(dvec2(0.0, -whole.height)));
        whole.height += block.height;
    }
    whole
}
