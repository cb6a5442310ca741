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
        Self::lay(sections, columns, columns, style, LEAST_ROWS)
    }

    /// As [`Flow::run`], with other columns on the first page, as many and as wide.
    pub fn run_from(first: &[Column], sections: &[&Section], columns: &[Column], style: &Style) -> Self {
        Self::lay(sections, first, columns, style, LEAST_ROWS)
    }

    /// A piece of a section has at least `least` rows.
    fn lay(sections: &[&Section], first: &[Column], later: &[Column], style: &Style, least: usize) -> Self {
        let mut columns = first;
        let mut pages: Vec<Vec<Item>> = vec![Vec::new()];
        let (mut column, mut y) = (0, columns[0].max.y);
        let mut fresh = true;
        for section in sections {
            let mut rows = section.rows.as_slice();
            let mut continued = false;
            while !rows.is_empty() {
                // What has no heading of its own goes on from the section before.
                let gap = if section.heading.is_empty() { style.small * 0.6 } else { style.gap };
                let top = if fresh { y } else { y - gap };
                let room = top - columns[column].min.y - section.head_height(style);
                let fitting = whole_pieces(fitting(rows, room), rows.len(), least);
                let enough = fitting == rows.len() || fitting >= least;
                // A short first page may leave a column with no room at all; a later one is never that low.
                let must = fresh && (pages.len() > 1 || first == later);
                if enough || must {
                    // A column of its own takes at least one row, so that this always ends.
                    let (now, rest) = rows.split_at(fitting.max(usize::from(must)));
                    if let Some(items) = pages.last_mut() {
                        y = draw_section(section, now, continued, columns[column].min.x, top, style, items);
                    }
                    (rows, continued, fresh) = (rest, true, false);
                }
                if !rows.is_empty() {
                    column += 1;
                    if column == columns.len() {
                        (column, columns) = (0, later);
                        pages.push(Vec::new());
                    }
                    (y, fresh) = (columns[column].max.y, true);
                }
            }
        }
        Self { pages, columns: later.to_vec(), used: column + 1 }
    }

    /// As [`Flow::run`], with the columns of a single page filled evenly where that needs no section cut.
    pub fn balanced(sections: &[&Section], columns: &[Column], style: &Style) -> Self {
        let heights: Vec<f64> = sections.iter().map(|section| section.height(style)).collect();
        let Some(limit) = even_limit(&heights, columns.len(), columns[0].height(), style.gap) else {
            return Self::run(sections, columns, style);
        };
        let shorter: Vec<Column> = columns
            .iter()
            .map(|column| Rect::new(dvec2(column.min.x, column.max.y - limit), column.max))
            .collect();
        let flow = Self::lay(sections, &shorter, &shorter, style, usize::MAX);
        if flow.pages.len() > 1 { Self::run(sections, columns, style) } else { flow }
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

    /// Width of every column, mm.
    pub fn column_width(&self) -> f64 {
        self.columns[0].width()
    }

    /// What the first page got.
    pub fn first_page(&self) -> Vec<Item> {
        self.pages.first().cloned().unwrap_or_default()
    }
}

/// The lowest height of columns into which whole sections go in their order; `None` when even full columns are too low.
fn even_limit(heights: &[f64], columns: usize, most: f64, gap: f64) -> Option<f64> {
    let mut limits: Vec<f64> = (0..heights.len())
        .flat_map(|from| {
            let mut sum = -gap;
            heights[from..].iter().map(move |height| {
                sum += height + gap;
                sum
            })
        })
        .filter(|limit| *limit <= most)
        .collect();
    limits.sort_by(f64::total_cmp);
    // A hair more, so that sums taken in another order still fit.
    limits.into_iter().map(|limit| limit + 1e-6).find(|limit| {
        let (mut used, mut column) = (0.0, 1);
        heights.iter().all(|height| {
            let with = if used > 0.0 { used + gap + height } else { *height };
            if with <= *limit {
                used = with;
            } else {
                (used, column) = (*height, column + 1);
            }
            used <= *limit && column <= columns
        })
    })
}

/// Fewer rows than fit, where that keeps a few last ones together.
fn whole_pieces(fitting: usize, rows: usize, least: usize) -> usize {
    let left = rows - fitting;
    if left == 0 || left >= least || rows < least.saturating_mul(2) { fitting } else { rows - least }
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
    if !continued && !section.heading.is_empty() {
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

#[cfg(test)]
mod tests {
    use super::{even_limit, whole_pieces};

    #[test]
    fn no_single_row_is_left_for_the_next_column() {
        assert_eq!(whole_pieces(7, 8, 3), 5);
        assert_eq!(whole_pieces(5, 8, 3), 5);
        assert_eq!(whole_pieces(8, 8, 3), 8);
        // Too few rows for two pieces of three.
        assert_eq!(whole_pieces(4, 5, 3), 4);
    }

    #[test]
    fn columns_are_as_low_as_whole_sections_allow() {
        let limit = |heights: &[f64], columns, most| even_limit(heights, columns, most, 1.0).map(f64::round);
        assert_eq!(limit(&[10.0, 10.0, 10.0, 10.0], 2, 100.0), Some(21.0));
        assert_eq!(limit(&[30.0, 10.0, 10.0], 2, 100.0), Some(30.0));
        assert_eq!(limit(&[10.0, 10.0, 30.0], 1, 100.0), Some(52.0));
        assert_eq!(limit(&[60.0, 60.0, 60.0], 2, 100.0), None);
    }
}
