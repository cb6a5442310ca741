//! Texts drawn as outlines: rows of small shapes that differ, of about one height, close beside one another.

use super::Role;
use super::shapes::Shapes;
use geometry::Bounds;
use glam::DVec2;

/// Shapes from which a row may be a word.
const FEWEST: usize = 3;
/// Shapes of one part that are looked at for words.
const MOST: usize = 20_000;
/// Tallest letter against the part it stands on.
const TALLEST: f64 = 0.15;

/// A word or line of letters.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    /// Where it begins, mm.
    pub(super) at: DVec2,
    /// Its letters.
    pub(super) of: Vec<usize>,
    /// Height of the tallest, mm.
    pub(super) height: f64,
}

/// Marks letters that stand in `part`, with what lies in them: written along the drawing, then up it.
pub(super) fn find(shapes: &Shapes, part: usize, roles: &mut [Role]) -> Vec<Row> {
    let mut rows = written(shapes, part, roles, |v| v);
    rows.extend(written(shapes, part, roles, |v| DVec2::new(v.y, -v.x)));
    rows
}

/// Rows that run along x once they are turned.
fn written(shapes: &Shapes, part: usize, roles: &mut [Role], turn: fn(DVec2) -> DVec2) -> Vec<Row> {
    let turned = |i: usize| {
        let b = &shapes.all[i].bounds;
        let (a, c) = (turn(b.min), turn(b.max));
        Bounds { min: a.min(c), max: a.max(c) }
    };
    let tallest = TALLEST * shapes.all[part].size().max_element();
    let mut small: Vec<usize> = shapes.children[part]
        .iter()
        .copied()
        .filter(|i| roles[*i] == Role::Edge && shapes.all[*i].size().max_element() <= tallest)
        .collect();
    if small.len() < FEWEST || small.len() > MOST {
        return Vec::new();
    }
    let left = |i: usize| turned(i).min.x;
    small.sort_by(|a, b| left(*a).total_cmp(&left(*b)).then(a.cmp(b)));
    let mut used = vec![false; small.len()];
    let mut rows = Vec::new();
    for first in 0..small.len() {
        if used[first] {
            continue;
        }
        let (mut row, mut last) = (vec![first], first);
        // The next letter begins within a letter's height behind this one.
        let mut at = first + 1;
        while at < small.len() {
            let (a, b) = (turned(small[last]), turned(small[at]));
            if b.min.x - a.max.x > 1.2 * a.height().max(b.height()) {
                break;
            }
            if !used[at] && follows(&a, &b) {
                row.push(at);
                last = at;
            }
            at += 1;
            if at - last > 64 {
                break;
            }
        }
        let of: Vec<usize> = row.iter().map(|r| small[*r]).collect();
        if of.len() >= FEWEST && reads(shapes, &of) {
            row.iter().for_each(|r| used[*r] = true);
            let height = of.iter().map(|i| turned(*i).height()).fold(0.0, f64::max);
            let at = shapes.all[of[0]].bounds.min;
            for i in &of {
                let mut below = vec![*i];
                while let Some(at) = below.pop() {
                    roles[at] = Role::Letter;
                    below.extend(&shapes.children[at]);
                }
            }
            rows.push(Row { at, of, height });
        }
    }
    rows
}

/// Whether one shape stands behind another as letters do: on one line, of like height, not far off.
fn follows(a: &Bounds, b: &Bounds) -> bool {
    let (tall, low) = (a.height().max(b.height()), a.height().min(b.height()));
    let overlap = a.max.y.min(b.max.y) - a.min.y.max(b.min.y);
    let gap = b.min.x - a.max.x;
    overlap >= 0.5 * low && tall <= 2.0 * low && gap <= 1.2 * tall && gap >= -0.3 * tall
}

/// Letters differ from one another; holes, slots and louvres in a row are alike.
fn reads(shapes: &Shapes, row: &[usize]) -> bool {
    let mut seen: Vec<(f64, DVec2)> = Vec::new();
    let mut plain = 0;
    for i in row {
        let s = &shapes.all[*i];
        plain += usize::from(s.circle.is_some());
        let like = |(area, size): &(f64, DVec2)| {
            (area - s.area).abs() <= 0.02 * s.area
                && (*size - s.size()).abs().max_element() <= 0.02 * size.max_element()
        };
        if !seen.iter().any(like) {
            seen.push((s.area, s.size()));
        }
    }
    // A row of round holes of several sizes is a row of holes.
    seen.len() >= FEWEST && 2 * seen.len() > row.len() && 2 * plain < row.len()
}
