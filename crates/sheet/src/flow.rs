//! Lets sections run through columns, page after page.

use crate::block::{Block, Section};
use crate::frame::Rect;
use crate::page::Item;
use crate::style::Style;
use glam::dvec2;

/// A split section keeps at least this many rows with its head.
const LEAST_ROWS: usize = 3;

/// A column of a page.
pub(crate) type Column = Rect;

/// Sections laid into columns.
#[derive(Debug, Clone)]
pub(crate) struct Flow {
    /// The items of each page.
    pub pages: Vec<Vec<Item>>,
    columns: Vec<Column>,
    /// Columns begun on the last page.
    used: usize,
}

impl Flow {
    /// Lets sections run through these columns from the first on.
    pub fn run(sections: &[&Section], columns: &[Column], style: &Style) -> Self {
        let mut pages: Vec<Vec<Item>> = vec![Vec::new()];
        let (mut column, mut y) = (0, columns[0].max.y);
        let mut fresh = true;
        for section in sections {
            let mut rows = section.rows.as_slice();
            let mut continued = false;
            while !rows.is_empty() {
                let top = if fresh { y } else { y - style.gap };
                let room = top - columns[column].min.y - section.head_height(style);
                let fitting = fitting(rows, room);
                let enough = fitting == rows.len() || fitting >= LEAST_ROWS;
                if enough || fresh {
                    // A column of its own takes at least one row, so that this always ends.
                    let (now, rest) = rows.split_at(fitting.max(usize::from(fresh)));
                    if let Some(items) = pages.last_mut() {
                        y = draw_section(section, now, continued, columns[column].min.x, top, style, items);
                    }
                    (rows, continued, fresh) = (rest, true, false);
                }
                if !rows.is_empty() {
                    column += 1;
                    if column == columns.len() {
                        column = 0;
                        pages.push(Vec::new());
                    }
                    (y, fresh) = (columns[column].max.y, true);
                }
            }
        }
        Self { pages, columns: columns.to_vec(), used: column + 1 }
    }

    /// Further sections in the columns that are left on the last page, when they fit there whole.
    pub fn joined(&self, sections: &[&Section], style: &Style) -> Option<Self> {
        let left = self.columns.get(self.used..).filter(|left| !left.is_empty())?;
        let mut more = Self::run(sections, left, style);
        if more.pages.len() > 1 {
            return None;
        }
        more.used += self.used;
        more.columns.clone_from(&self.columns);
        Some(more)
    }

    /// What the first page got.
    pub fn first_page(&self) -> Vec<Item> {
        self.pages.first().cloned().unwrap_or_default()
    }
}

/// How many rows fit.
fn fitting(rows: &[Block], room: f64) -> usize {
    let mut height = 0.0;
    rows.iter()
        .take_while(|row| {
            height += row.height;
            height <= room + 1e-9
        })
        .count()
}

/// Draws a section downwards from `top`; returns where it ends.
pub(crate) fn draw_section(
    section: &Section,
    rows: &[Block],
    continued: bool,
    x: f64,
    top: f64,
    style: &Style,
    items: &mut Vec<Item>,
) -> f64 {
    let mut y = top;
    let mut inner = Vec::new();
    if !continued {
        inner.push(Item::Bookmark { title: section.heading.clone(), at: dvec2(x, top + 2.0) });
    }
    let heading = section.heading_block(continued, style);
    for block in std::iter::once(&heading).chain(&section.head).chain(rows) {
        inner.extend(block.at(dvec2(x, y)));
        y -= block.height;
    }
    items.push(Item::Group { name: section.name.to_owned(), clip: None, items: inner });
    y
}
