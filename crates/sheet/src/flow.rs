//! Where sections go: whole ones into the columns of the first sheet, the rest over later sheets.

use crate::block::{Block, Section};
use crate::frame::Rect;
use crate::page::Item;
use crate::style::Style;
use glam::dvec2;

/// Sections in the order in which they keep their place on the first sheet when not all fit.
const KEEP_FIRST: [&str; 6] = ["loads", "cautions", "findings", "cups", "parts list", "assumptions"];
/// A split section keeps at least this many rows with its head.
const LEAST_ROWS: usize = 3;

/// Which section of the list stands in which column.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Packing {
    /// (section, column), in reading order.
    pub placed: Vec<(usize, usize)>,
    /// Sections for later sheets.
    pub later: Vec<usize>,
}

/// Sections by name with their heights in each column.
pub(crate) struct Shelf<'a> {
    pub names: Vec<&'static str>,
    /// `heights[column][section]`.
    pub heights: &'a [Vec<f64>],
    pub gap: f64,
}

impl Shelf<'_> {
    /// Packs as many whole sections as fit into columns of these heights, the most wanted first. `reserve` is kept free
    /// at the foot of `noted` when something has to go to a later sheet.
    pub fn pack(&self, room: &[f64], noted: usize, reserve: f64) -> Packing {
        let all: Vec<usize> = (0..self.names.len()).collect();
        if let Some(placed) = self.first_fit(&all, room) {
            return Packing { placed, later: Vec::new() };
        }
        let mut room = room.to_vec();
        if let Some(height) = room.get_mut(noted) {
            *height -= reserve;
        }
        let mut chosen: Vec<usize> = Vec::new();
        let mut placed = Vec::new();
        for name in KEEP_FIRST {
            let Some(index) = self.names.iter().position(|known| *known == name) else { continue };
            let mut wider = chosen.clone();
            wider.push(index);
            wider.sort_unstable();
            if let Some(packed) = self.first_fit(&wider, &room) {
                (chosen, placed) = (wider, packed);
            }
        }
        Packing { placed, later: all.into_iter().filter(|i| !chosen.contains(i)).collect() }
    }

    fn first_fit(&self, chosen: &[usize], room: &[f64]) -> Option<Vec<(usize, usize)>> {
        let mut used = vec![0.0; room.len()];
        let mut placed = Vec::new();
        for index in chosen {
            let with = |column: usize| {
                let gap = if used[column] > 0.0 { self.gap } else { 0.0 };
                used[column] + gap + self.heights[column][*index]
            };
            let column = (0..room.len()).find(|column| with(*column) <= room[*column])?;
            used[column] = with(column);
            placed.push((*index, column));
        }
        Some(placed)
    }
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

/// Lets sections run through columns, sheet after sheet; the items of each sheet.
pub(crate) fn run_on(sections: &[&Section], columns: &[Rect], style: &Style) -> Vec<Vec<Item>> {
    let mut sheets: Vec<Vec<Item>> = vec![Vec::new()];
    let (mut column, mut y) = (0, columns[0].max.y);
    let mut fresh = true;
    for section in sections {
        let mut rows = section.rows.as_slice();
        let mut continued = false;
        while !rows.is_empty() {
            let top = if fresh { y } else { y - style.gap };
            let room = top - columns[column].min.y - section.head_height(style);
            let mut height = 0.0;
            let fitting = rows
                .iter()
                .take_while(|row| {
                    height += row.height;
                    height <= room
                })
                .count();
            let enough = fitting == rows.len() || fitting >= LEAST_ROWS;
            if enough || fresh {
                // A column of its own takes at least one row, so that this always ends.
                let (now, rest) = rows.split_at(fitting.max(usize::from(fresh)));
                let items = sheets.last_mut();
                if let Some(items) = items {
                    y = draw_section(section, now, continued, columns[column].min.x, top, style, items);
                }
                (rows, continued, fresh) = (rest, true, false);
            }
            if !rows.is_empty() {
                column += 1;
                if column == columns.len() {
                    column = 0;
                    sheets.push(Vec::new());
                }
                (y, fresh) = (columns[column].max.y, true);
            }
        }
    }
    sheets
}
