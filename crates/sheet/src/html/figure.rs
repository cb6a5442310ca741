//! Drawings of the sheet within a page of text.

use super::content::said;
use crate::extent::extent;
use crate::page::Item;
use crate::svg::{number, within};
use glam::{DVec2, dvec2};

/// A drawing narrower than this is a sign in a line of text, mm.
const SIGN: f64 = 12.0;

/// A drawing from the upper left of its block.
pub(super) fn of_block(items: &[Item], height: f64, width: f64, says: &str, id: usize) -> String {
    drawing(items, dvec2(0.0, -height), dvec2(width, 0.0), says, id)
}

/// A drawing by itself, as large as what is in it.
pub(super) fn alone(items: &[Item], width: f64, says: &str, id: usize) -> String {
    let Some([min, max]) = extent(items) else { return String::new() };
    if max.x - min.x < SIGN {
        let size = max - min;
        return format!(
            "<span class=\"sign\"><svg aria-hidden=\"true\" viewBox=\"{}\" width=\"{}mm\" height=\"{}mm\">{}</svg></span>\n",
            view_box(min - 0.4, max + 0.4),
            number(size.x + 0.8),
            number(size.y + 0.8),
            within(items, 0.0, &format!("s{id}"))
        );
    }
    drawing(items, dvec2(min.x.min(0.0), min.y - 0.5), dvec2(max.x.max(width), max.y + 0.5), says, id)
}

fn drawing(items: &[Item], min: DVec2, max: DVec2, says: &str, id: usize) -> String {
    format!(
        "<div class=\"drawing\"><svg role=\"img\" aria-label=\"{}\" viewBox=\"{}\" style=\"max-width:{}mm\">\n{}</svg></div>\n",
        said(says),
        view_box(min, max),
        number((max.x - min.x) * 1.25),
        within(items, 0.0, &format!("s{id}"))
    )
}

/// As SVG has it, y downwards, of items drawn in a height of nothing.
fn view_box(min: DVec2, max: DVec2) -> String {
    format!("{} {} {} {}", number(min.x), number(-max.y), number(max.x - min.x), number(max.y - min.y))
}
