//! Border, zones and centring marks, in the spirit of ISO 5457 (from memory).

use crate::page::{Anchor, Contour, Item, Pen, Tone, Weight};
use crate::style::{FRAME, MEDIUM, NOTE, text};
use glam::{DVec2, dvec2};

/// An upright rectangle on the page, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rect {
    pub min: DVec2,
    pub max: DVec2,
}

impl Rect {
    pub fn new(min: DVec2, max: DVec2) -> Self {
        Self { min, max }
    }
    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }
    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }
    /// The same rectangle with its sides moved in by `by` (out where negative).
    pub fn inset(&self, by: f64) -> Self {
        Self { min: self.min + by, max: self.max - by }
    }
    pub fn contains(&self, other: &Self) -> bool {
        self.min.cmple(other.min).all() && self.max.cmpge(other.max).all()
    }
    pub fn upper_left(&self) -> DVec2 {
        dvec2(self.min.x, self.max.y)
    }
}

/// Filing margin left, the other margins.
const LEFT: f64 = 20.0;
const OTHER: f64 = 10.0;
/// Length of a zone in the middle of the sheet.
const ZONE: f64 = 50.0;

/// The area inside the border.
pub(crate) fn area([width, height]: [f64; 2]) -> Rect {
    Rect::new(dvec2(LEFT, OTHER), dvec2(width - OTHER, height - OTHER))
}

/// The border and what lies outside it. `foot_free` tells whether the centring mark may reach in at the foot.
pub(crate) fn draw(size_mm: [f64; 2], foot_free: bool) -> Item {
    let [width, height] = size_mm;
    let area = area(size_mm);
    let border = Contour::rectangle(area.min, area.max);
    let mut items =
        vec![Item::Path { contours: vec![border], pen: Some(Pen::solid(FRAME, Tone::Ink)), fill: None }];
    let thin = Pen::solid(MEDIUM, Tone::Ink);
    let line = |from: DVec2, to: DVec2, pen: Pen| Item::Line { from, to, pen };
    let (columns, rows) = (zones(width), zones(height));
    let label = |at: DVec2, says: &str| {
        text(at - dvec2(0.0, 0.8), says, NOTE, Weight::Regular, Tone::Second, Anchor::Middle)
    };
    for (index, [from, to]) in fields(width, columns, area.min.x, area.max.x).into_iter().enumerate() {
        let says = (index + 1).to_string();
        for (edge, out) in [(area.max.y, 1.0), (area.min.y, -1.0)] {
            items.push(label(dvec2((from + to) / 2.0, edge + out * 2.8), &says));
            if index > 0 {
                items.push(line(dvec2(from, edge), dvec2(from, edge + out * 3.5), thin));
            }
        }
    }
    for (index, [from, to]) in fields(height, rows, area.min.y, area.max.y).into_iter().enumerate() {
        // Letters run down the sheet; I and O are left out since they read as figures.
        let letter = b"ABCDEFGHJKLMNPQRSTUVWXYZ".get(rows - 1 - index).copied().unwrap_or(b'?');
        for (edge, out) in [(area.min.x, -1.0), (area.max.x, 1.0)] {
            items.push(label(dvec2(edge + out * 3.0, (from + to) / 2.0), &char::from(letter).to_string()));
            if index > 0 {
                items.push(line(dvec2(edge, from), dvec2(edge + out * 3.5, from), thin));
            }
        }
    }
    let heavy = Pen::solid(FRAME, Tone::Ink);
    let (x, y) = (width / 2.0, height / 2.0);
    items.push(line(dvec2(x, area.max.y - 5.0), dvec2(x, area.max.y + 5.0), heavy));
    items.push(line(
        dvec2(x, area.min.y - 5.0),
        dvec2(x, area.min.y + if foot_free { 5.0 } else { 0.0 }),
        heavy,
    ));
    items.push(line(dvec2(area.min.x - 5.0, y), dvec2(area.min.x + 5.0, y), heavy));
    items.push(line(dvec2(area.max.x - 5.0, y), dvec2(area.max.x + 5.0, y), heavy));
    Item::Group { name: "frame".to_owned(), clip: None, items }
}

/// An even number of zones, so that a boundary lies on the centring mark.
fn zones(length: f64) -> usize {
    2 * (length / (2.0 * ZONE)).round().max(1.0) as usize
}

/// Zones of 50 mm from the middle of the sheet; the outermost reach the border.
fn fields(length: f64, count: usize, from: f64, to: f64) -> Vec<[f64; 2]> {
    let at = |index: usize| match index {
        0 => from,
        i if i == count => to,
        i => length / 2.0 + (i as f64 - count as f64 / 2.0) * ZONE,
    };
    (0..count).map(|index| [at(index), at(index + 1)]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Paper;
    #[test]
    fn zones_are_as_the_standard_counts_them() {
        // ISO 5457:1999, table 2, number of fields (from memory): A4 6 x 4, A3 8 x 6, A2 12 x 8, A1 16 x 12.
        for (paper, count) in [
            (Paper::A4, [6, 4]),
            (Paper::A3, [8, 6]),
            (Paper::A2, [12, 8]),
            (Paper::A1, [16, 12]),
            (Paper::A0, [24, 16]),
        ] {
            assert_eq!(paper.size_mm().map(zones), count);
        }
    }
}
