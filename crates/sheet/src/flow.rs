//! Lets sections run through columns, page after page.

use crate::block::{Block, Section};
use crate::frame::Rect;
use crate::page::Item;
use crate::style::Style;
use glam::{DVec2, dvec2};
use std::ops::Range;

/// A split section keeps at least this many rows with its head.
const LEAST_ROWS: usize = 3;
/// Where there is no room for that, at least so many: one row alone reads as a mistake.
const FEWEST_ROWS: usize = 2;

/// A column of a page.
pub(crate) type Column = Rect;

/// Sections laid into columns.
#[derive(Debug, Clone)]
pub(crate) struct Flow {
    /// The items of each page.
    pub pages: Vec<Vec<Item>>,
    /// Where the lowest piece on the last page ends.
    pub foot: f64,
}

/// Rows of a section that stand in one column.
#[derive(Debug, Clone, PartialEq)]
struct Piece {
    page: usize,
    corner: DVec2,
    section: usize,
    rows: Range<usize>,
    foot: f64,
}

/// Columns of the pages: of the first, which may be short, of all later ones, and the height that a page is cut to.
#[derive(Debug, Clone, Copy)]
struct Room<'a> {
    first: &'a [Column],
    later: &'a [Column],
    cut: Option<(usize, f64)>,
}

impl Room<'_> {
    fn count(&self, page: usize) -> usize {
        if page == 0 { self.first.len() } else { self.later.len() }
    }
    fn column(&self, page: usize, index: usize) -> Column {
        let column = if page == 0 { self.first[index] } else { self.later[index] };
        match self.cut {
            Some((cut, height)) if cut == page => {
                let low = (column.max.y - height).max(column.min.y).min(column.max.y);
                Rect::new(dvec2(column.min.x, low), column.max)
            }
            _ => column,
        }
    }
    /// A page that may leave a column with no room at all; of any other a column takes at least one row.
    fn is_short(&self, page: usize) -> bool {
        (page == 0 && self.first != self.later) || self.cut.is_some_and(|(cut, _)| cut == page)
    }
}

impl Flow {
    /// Lets sections run through the columns of a first page, which may be short, and of later ones; the columns of the last
    /// page end at one height as far as rows allow, so that what follows can begin below them.
    pub fn run(first: &[Column], sections: &[&Section], later: &[Column], style: &Style) -> Self {
        let room = Room { first, later, cut: None };
        let mut pieces = lay(sections, room, style, LEAST_ROWS);
        let last = pieces.last().map_or(0, |piece| piece.page);
        let highest =
            (0..room.count(last)).map(|index| room.column(last, index).height()).fold(0.0, f64::max);
        let whole = (last == 0)
            .then(|| even_limit(sections, room.count(0), first, style))
            .flatten()
            .map(|limit| lay(sections, Room { cut: Some((0, limit)), ..room }, style, usize::MAX))
            .filter(|whole| whole.last().is_some_and(|piece| piece.page == 0));
        let (mut too_low, mut enough) = (0.0, highest);
        if let Some(whole) = whole {
            pieces = whole;
        } else if room.count(last) > 1 {
            for _ in 0..TRIES {
                let height = (too_low + enough) / 2.0;
                let tried = lay(sections, Room { cut: Some((last, height)), ..room }, style, LEAST_ROWS);
                if tried.last().is_some_and(|piece| piece.page == last) {
                    (enough, pieces) = (height, tried);
                } else {
                    too_low = height;
                }
            }
        }
        Self::drawn(&pieces, sections, room, style)
    }

    fn drawn(pieces: &[Piece], sections: &[&Section], room: Room, style: &Style) -> Self {
        let mut pages: Vec<Vec<Item>> = vec![Vec::new()];
        for piece in pieces {
            pages.resize(piece.page + 1, Vec::new());
            let (section, rows) = (sections[piece.section], piece.rows.clone());
            let continued = rows.start > 0;
            let [x, top] = piece.corner.to_array();
            if let Some(items) = pages.last_mut() {
                draw_section(section, &section.rows[rows], continued, x, top, style, items);
            }
        }
        let last = pages.len() - 1;
        let top = (0..room.count(last)).map(|index| room.column(last, index).max.y).fold(f64::MIN, f64::max);
        let on_last = pieces.iter().filter(|piece| piece.page == last);
        let foot = on_last.map(|piece| piece.foot).fold(top, f64::min);
        Self { pages, foot }
    }
}

/// Halvings of a page's height, to well under a tenth of a millimetre.
const TRIES: usize = 14;

/// Where every piece of every section stands; a piece has at least `least` rows where that can be.
fn lay(sections: &[&Section], room: Room, style: &Style, least: usize) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let (mut page, mut index) = (0, 0);
    let mut column = room.column(page, index);
    let (mut y, mut fresh) = (column.max.y, true);
    for (number, section) in sections.iter().enumerate() {
        let mut done = 0;
        while done < section.rows.len() {
            let rows = &section.rows[done..];
            // What has no heading of its own goes on from the section before.
            let gap = if section.heading.is_empty() { style.small * 0.6 } else { style.gap };
            let top = if fresh { y } else { y - gap };
            let head = section.height_over(rows, style);
            let fitting = fitting(rows, top - column.min.y - head);
            let must = fresh && !room.is_short(page);
            // A column of its own takes at least one row, so that this always ends.
            // What is no table may be cut between any two of its paragraphs, but its first does not stand alone.
            let plain = section.head_over(rows).is_empty() && least == LEAST_ROWS;
            let least = if plain { 1 + usize::from(done == 0) } else { least };
            let now =
                if must { forced(fitting, rows.len()) } else { whole_pieces(fitting, rows.len(), least) };
            if now > 0 {
                y = top - head - rows[..now].iter().map(|row| row.height).sum::<f64>();
                let corner = dvec2(column.min.x, top);
                pieces.push(Piece { page, corner, section: number, rows: done..done + now, foot: y });
                (done, fresh) = (done + now, false);
            }
            if done < section.rows.len() {
                index += 1;
                if index == room.count(page) {
                    (page, index) = (page + 1, 0);
                }
                column = room.column(page, index);
                (y, fresh) = (column.max.y, true);
            }
        }
    }
    pieces
}

/// The lowest height of columns into which whole sections go in their order; `None` when even full columns are too low.
fn even_limit(sections: &[&Section], count: usize, columns: &[Column], style: &Style) -> Option<f64> {
    let heights: Vec<f64> = sections.iter().map(|section| section.height(style)).collect();
    let lowest = columns.iter().map(Rect::height).fold(f64::INFINITY, f64::min);
    lowest_limit(&heights, count, lowest, style.gap)
}

/// As [`even_limit`], of heights.
fn lowest_limit(heights: &[f64], columns: usize, most: f64, gap: f64) -> Option<f64> {
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

/// How many rows a piece takes of those that fit: all, or at least `least` with as many left for the next column; else none.
fn whole_pieces(fitting: usize, rows: usize, least: usize) -> usize {
    if fitting >= rows {
        return rows;
    }
    let now = fitting.min(rows.saturating_sub(least));
    if now >= least { now } else { 0 }
}

/// How many rows a piece takes where it must take some: no row is left alone as far as that can be.
fn forced(fitting: usize, rows: usize) -> usize {
    let pieces = [LEAST_ROWS, FEWEST_ROWS].map(|least| whole_pieces(fitting, rows, least));
    pieces.into_iter().find(|now| *now > 0).unwrap_or(fitting.max(1))
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
    for block in std::iter::once(&heading).chain(section.head_over(rows)).chain(rows) {
        inner.extend(block.at(dvec2(x, y)));
        y -= block.height;
    }
    items.push(Item::Group { name: section.id.name().to_owned(), clip: None, items: inner });
    y
}

#[cfg(test)]
mod tests {
    use super::{forced, lowest_limit, whole_pieces};

    #[test]
    fn no_single_row_is_left_for_the_next_column() {
        assert_eq!(whole_pieces(7, 8, 3), 5);
        assert_eq!(whole_pieces(5, 8, 3), 5);
        assert_eq!(whole_pieces(8, 8, 3), 8);
        // Too few rows for two pieces of three: whole, or in two pieces of two where there is no other way.
        assert_eq!(whole_pieces(4, 5, 3), 0);
        assert_eq!([forced(4, 5), forced(3, 4), forced(2, 3), forced(0, 4)], [3, 2, 2, 1]);
    }

    #[test]
    fn columns_are_as_low_as_whole_sections_allow() {
        let limit =
            |heights: &[f64], columns, most| lowest_limit(heights, columns, most, 1.0).map(f64::round);
        assert_eq!(limit(&[10.0, 10.0, 10.0, 10.0], 2, 100.0), Some(21.0));
        assert_eq!(limit(&[30.0, 10.0, 10.0], 2, 100.0), Some(30.0));
        assert_eq!(limit(&[10.0, 10.0, 30.0], 1, 100.0), Some(52.0));
        assert_eq!(limit(&[60.0, 60.0, 60.0], 2, 100.0), None);
    }
}
