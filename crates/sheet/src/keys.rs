//! Every shortcut on one page, to be pinned beside the screen.

use crate::Paper;
use crate::page::{Item, Page, Pen, Tone, Weight};
use crate::style::{FINE, Style, left};
use crate::text_width::{printable, wrap};
use glam::dvec2;

/// What belongs together, under its heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyGroup {
    /// Heading.
    pub name: String,
    /// In the order of the menu.
    pub rows: Vec<KeyRow>,
}

/// One shortcut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyRow {
    /// What is pressed: "Ctrl+Z".
    pub keys: String,
    /// What it does.
    pub does: String,
}

/// A4 upright, mm: every office printer has it, and it prints on letter paper with a little less margin.
const SIZE: [f64; 2] = [210.0, 297.0];
/// Margins at the sides, above and below: of the smaller of A4 and letter, so that both take it.
const EDGE: [f64; 2] = [16.0, 14.0];
/// Between the columns.
const APART: f64 = 9.0;
/// Width of what is pressed, as a share of a column.
const KEYS_SHARE: f64 = 0.34;
/// Letters are made smaller by this until all stands on the page.
const SMALLER: f64 = 0.97;

/// The page.
pub fn compose_keys(groups: &[KeyGroup]) -> Page {
    let name = "Keys and mouse".to_owned();
    let style = Style::new(Paper::A4, false);
    let top = SIZE[1] - EDGE[1] - style.heading * 1.4;
    let mut items = vec![left(dvec2(EDGE[0], top), &name, style.heading * 1.4, Weight::SemiBold, Tone::Ink)];
    let room = top - style.heading - EDGE[1];
    let width = (SIZE[0] - 2.0 * EDGE[0] - APART) / 2.0;
    let mut size = style.body * 1.15;
    // Columns as even as groups allow: each stands whole in one.
    let (made, split) = loop {
        let made: Vec<(f64, Vec<Item>)> =
            groups.iter().map(|group| group_items(group, width, size)).collect();
        let split = halves(&made.iter().map(|(height, _)| *height).collect::<Vec<_>>());
        let height = |part: &[(f64, Vec<Item>)]| part.iter().map(|(height, _)| height).sum::<f64>();
        if height(&made[..split]).max(height(&made[split..])) <= room || size < 1.2 {
            break (made, split);
        }
        size *= SMALLER;
    };
    for (column, part) in [&made[..split], &made[split..]].into_iter().enumerate() {
        let x = EDGE[0] + column as f64 * (width + APART);
        let mut y = top - style.heading;
        for (height, group) in part {
            items.extend(group.iter().map(|item| item.shifted(dvec2(x, y))));
            y -= height;
        }
    }
    Page { name, size_mm: SIZE, items }
}

/// Height and items of a group from its upper left corner.
fn group_items(group: &KeyGroup, width: f64, size: f64) -> (f64, Vec<Item>) {
    let leading = size * 1.42;
    let mut items = Vec::new();
    let mut y = -leading;
    items.push(left(dvec2(0.0, y), &group.name, size * 1.08, Weight::SemiBold, Tone::Ink));
    y -= size * 0.45;
    items.push(Item::Line { from: dvec2(0.0, y), to: dvec2(width, y), pen: Pen::solid(FINE, Tone::Second) });
    let keys_width = KEYS_SHARE * width;
    for row in &group.rows {
        let keys = wrap(&printable(&row.keys), Weight::SemiBold, size, keys_width - size);
        let does = wrap(&printable(&row.does), Weight::Regular, size, width - keys_width);
        for (at, line) in keys.iter().enumerate() {
            let at = dvec2(0.0, y - leading * (at + 1) as f64);
            items.push(left(at, line, size, Weight::SemiBold, Tone::Ink));
        }
        for (at, line) in does.iter().enumerate() {
            let at = dvec2(keys_width, y - leading * (at + 1) as f64);
            items.push(left(at, line, size, Weight::Regular, Tone::Ink));
        }
        y -= leading * keys.len().max(does.len()).max(1) as f64;
    }
    (leading * 0.7 - y, items)
}

/// How many of the first stand in the left column, so that the longer column is as short as can be.
fn halves(heights: &[f64]) -> usize {
    let longer = |split: usize| {
        let [a, b] = [&heights[..split], &heights[split..]].map(|part| part.iter().sum::<f64>());
        a.max(b)
    };
    (0..=heights.len()).min_by(|a, b| longer(*a).total_cmp(&longer(*b))).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn groups(count: usize, rows: usize) -> Vec<KeyGroup> {
        let row = |i: usize| KeyRow {
            keys: format!("Ctrl+Shift+{i}"),
            does: format!("does thing {i} to all that is selected, however long that takes to say"),
        };
        (0..count)
            .map(|i| KeyGroup { name: format!("Group {i}"), rows: (0..rows).map(row).collect() })
            .collect()
    }

    #[test]
    fn nothing_stands_off_the_page_or_on_another_line() {
        for (count, rows) in [(1, 1), (6, 5), (13, 7)] {
            let page = compose_keys(&groups(count, rows));
            crate::tests::pages::check_texts(std::slice::from_ref(&page), "keys");
            for text in page.texts() {
                assert!(text.at.y >= EDGE[1] - 1e-6 && text.at.y <= SIZE[1] - EDGE[1], "{text:?}");
            }
            assert_eq!(page.texts().iter().filter(|text| text.text.starts_with("Group")).count(), count);
        }
    }

    #[test]
    fn columns_are_as_even_as_groups_allow() {
        assert_eq!(halves(&[10.0, 10.0, 10.0, 10.0]), 2);
        assert_eq!(halves(&[30.0, 5.0, 5.0, 5.0]), 1);
        assert_eq!(halves(&[]), 0);
    }
}
