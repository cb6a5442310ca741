//! The frame of a sheet, and the cells of its title block: closed lines that are no part though they lie around it.
//!
//! A rectangle or circle that holds other shapes earns points for what frames have and loses them for what parts have; no
//! single sign decides. The weights are our choice, no source.

use super::Role;
use super::shapes::{Shape, Shapes};
use crate::clean::Loose;
use crate::marks::{Markings, Text};
use geometry::Bounds;
use glam::DVec2;

/// Points from which a closed line counts as a frame.
const ENOUGH: i32 = 2;
/// Shapes within one frame that are looked at, the largest first.
const LOOKED_AT: usize = 50;
/// Texts and lines looked at for one frame.
const MOST_MARKS: usize = 2_000;
/// Letters that make a text a word.
const WORD: usize = 3;
/// Closed lines tried as frames, the largest first.
const MOST_TRIED: usize = 24;

/// Sides of sheets, mm, shorter first.
///
/// # Source
/// ISO 216 (A0 to A5); ANSI/ASME Y14.1 (A to E, in inches); from memory.
const SHEETS: [(f64, f64, &str); 11] = [
    (841.0, 1189.0, "A0"),
    (594.0, 841.0, "A1"),
    (420.0, 594.0, "A2"),
    (297.0, 420.0, "A3"),
    (210.0, 297.0, "A4"),
    (148.0, 210.0, "A5"),
    (215.9, 279.4, "ANSI A"),
    (279.4, 431.8, "ANSI B"),
    (431.8, 558.8, "ANSI C"),
    (558.8, 863.6, "ANSI D"),
    (863.6, 1117.6, "ANSI E"),
];

/// Times a sheet is drawn larger or smaller, with the part.
///
/// # Source
/// ISO 5455, recommended scales; from memory. 25.4 is a sheet in a drawing whose unit is taken wrongly.
const SCALES: [f64; 15] =
    [1.0, 2.0, 2.5, 4.0, 5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 0.5, 0.2, 0.1, 25.4, 1.0 / 25.4];

/// A sheet that a rectangle has the size of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sheet {
    pub(super) name: &'static str,
    /// How many times as large as the paper it is drawn.
    pub(super) scale: f64,
    /// How sure: 3 = its size or the border that ISO 5457 draws in it, 1 = some border.
    points: i32,
}

/// The sheet whose size, or border, a rectangle has.
pub(super) fn sheet(size: DVec2) -> Option<Sheet> {
    let (short, long) = (size.min_element(), size.max_element());
    let landscape = size.x >= size.y;
    let mut best: Option<Sheet> = None;
    for scale in SCALES {
        for (a, b, name) in SHEETS {
            let (w, h) = (short / scale, long / scale);
            let near = |v: f64, of: f64| (v - of).abs() <= 0.6;
            // ISO 5457: 20 mm on the left, 10 mm on the other sides; from memory.
            let border = match landscape {
                true => near(w, a - 20.0) && near(h, b - 30.0),
                false => near(w, a - 30.0) && near(h, b - 20.0),
            };
            // Other borders leave margins in steps of 5 mm, or of a quarter inch.
            let step = if name.starts_with('A') && name.len() == 2 { 5.0 } else { 6.35 };
            let margin = |v: f64, of: f64| {
                (8.0..=45.0).contains(&(of - v))
                    && ((of - v) / step - ((of - v) / step).round()).abs() <= 0.05
            };
            let points = if near(w, a) && near(h, b) || border {
                if scale == 1.0 { 3 } else { 2 }
            } else if scale == 1.0 && margin(w, a) && margin(h, b) {
                1
            } else {
                continue;
            };
            if best.is_none_or(|s| points > s.points) {
                best = Some(Sheet { name, scale, points });
            }
        }
    }
    best
}

/// What a frame was told by.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Frame {
    pub(super) of: usize,
    pub(super) sheet: Option<Sheet>,
    pub(super) texts: usize,
    pub(super) lines: usize,
}

/// Finds frames and cells of title blocks, and marks them in `roles`.
pub(super) fn find(shapes: &Shapes, open: &[&[Loose]], marks: &Markings, roles: &mut [Role]) -> Vec<Frame> {
    let candidate = |s: &Shape| s.rectangle || s.round_cornered || s.circle.is_some();
    let mut tried: Vec<usize> = (0..shapes.all.len())
        .filter(|i| candidate(&shapes.all[*i]) && !shapes.children[*i].is_empty())
        .collect();
    tried.sort_by(|a, b| shapes.all[*b].area.total_cmp(&shapes.all[*a].area).then(a.cmp(b)));
    tried.truncate(MOST_TRIED);
    let mut frames: Vec<Frame> = Vec::new();
    for of in tried {
        // Nothing but frames lies around a frame.
        let mut around = shapes.parents[of];
        while let Some(p) = around.filter(|p| roles[*p] == Role::Frame) {
            around = shapes.parents[p];
        }
        if around.is_some() {
            continue;
        }
        if let Some(frame) = judged(shapes, open, marks, of) {
            roles[of] = Role::Frame;
            frames.push(frame);
        }
    }
    cells(shapes, marks, &frames, roles);
    frames
}

/// A frame, where the points are enough.
fn judged(shapes: &Shapes, open: &[&[Loose]], marks: &Markings, of: usize) -> Option<Frame> {
    let own = &shapes.all[of];
    let inside = shapes.largest_in(of, LOOKED_AT);
    let lies_close =
        |i: usize| shapes.all[i].rectangle && own.rectangle && shapes.all[i].area > 0.75 * own.area;
    // Sheets have sharp corners: with round ones it takes words beside a part that lies clear of them.
    let crowded = |i: &usize| shapes.all[*i].area > 0.6 * own.area;
    if own.round_cornered && inside.iter().any(crowded) {
        return None;
    }
    // A part has to be left: something large that is no plain hole, or has holes of its own.
    let has_holes = |i: usize| {
        let round = |c: &usize| shapes.is_round_hole(*c);
        !shapes.is_round_hole(i) && shapes.children[i].iter().any(round)
    };
    let title = |i: usize| leans_in_a_corner(own, &shapes.all[i]) && !has_holes(i);
    // Its lines may end on the frame instead of going round.
    let cut = |chain: &&&[Loose]| own.rectangle && cuts_a_corner(own, chain, marks);
    let titles = inside.iter().any(|i| title(*i)) || open.iter().take(MOST_MARKS).any(|chain| cut(&chain));
    let may_be_part = |i: &usize| {
        let s = &shapes.all[*i];
        !title(*i) && (has_holes(*i) || lies_close(*i) || (s.circle.is_none() && s.area > 0.01 * own.area))
    };
    let sheet = if own.rectangle { sheet(own.size()) } else { None };
    let mut parts: Vec<usize> = inside.iter().copied().filter(may_be_part).collect();
    let lines = lines_on(own, open, &parts.iter().map(|p| &shapes.all[*p]).collect::<Vec<_>>());
    // A disc alone is a hole in most things, and the part on a sheet.
    if let ([first, ..], true) = (&inside[..], parts.is_empty() && sheet.is_some_and(|s| s.points > 1)) {
        let area = |i: &usize| shapes.all[*i].area;
        let next = inside.get(1).map_or(0.0, area);
        let written = lines > 2 || marks.texts.iter().take(MOST_MARKS).any(|t| own.roughly_contains(t.at));
        if written && area(first) > 0.03 * own.area && area(first) > 4.0 * next {
            parts.push(*first);
        }
    }
    if parts.is_empty() {
        return None;
    }
    let in_parts = |at: DVec2| parts.iter().any(|p| !lies_close(*p) && shapes.all[*p].roughly_contains(at));
    // Figures are dimensions, which stand in parts too; words stand in title blocks.
    let words = |t: &&Text| t.says.chars().filter(|c| c.is_alphabetic()).count() >= WORD;
    let beside = |t: &&Text| own.roughly_contains(t.at) && !in_parts(t.at);
    let texts = marks.texts.iter().take(MOST_MARKS).filter(words).filter(beside).count();
    let mut points = sheet.map_or(0, |s| s.points) + (lines / 3).min(2) as i32;
    points += match texts {
        0 => 0,
        1 | 2 => 1,
        _ => 2,
    };
    // A title block stands in a corner; no hole of a part does.
    points += i32::from(titles);
    let evidence = points > 0;
    points += if parts.iter().any(|p| has_holes(*p) && (evidence || !lies_close(*p))) { 2 } else { 0 };
    points += if evidence && parts.iter().any(|p| lies_close(*p)) { 2 } else { 0 };
    let large = parts.iter().filter(|p| !lies_close(**p)).count();
    points += i32::from(large > 1);
    if own.round_cornered && texts == 0 {
        return None;
    }
    // Dimensions measure parts, not frames.
    let measured = |s: &Shape| measures(s, marks);
    points += if parts.iter().any(|p| measured(&shapes.all[*p]) > 0) { 2 } else { 0 };
    points -= if measured(own) > 0 { 3 } else { 0 };
    // Holes straight in it make it a part.
    let holes = inside.iter().filter(|i| {
        let hole = shapes.is_round_hole(**i) && !parts.contains(*i);
        hole && !marks.texts.iter().take(MOST_MARKS).any(|t| shapes.all[**i].roughly_contains(t.at))
    });
    points -= holes.count().min(2) as i32;
    (points >= ENOUGH).then_some(Frame { of, sheet, texts, lines })
}

/// Whether a rectangle lies in a corner of another, on two of its sides.
fn leans_in_a_corner(own: &Shape, s: &Shape) -> bool {
    own.rectangle && s.rectangle && in_a_corner(own, &s.bounds)
}

fn in_a_corner(own: &Shape, of: &Bounds) -> bool {
    let slack = 2e-4 * own.size().max_element();
    let on = |apart: f64| apart.abs() <= slack;
    let (low, high) = (of.min - own.bounds.min, own.bounds.max - of.max);
    let small = of.width() * of.height() < 0.5 * own.area;
    small && (on(low.x) || on(high.x)) && (on(low.y) || on(high.y))
}

/// Whether two lines cut a corner off a rectangle in which something is written.
fn cuts_a_corner(own: &Shape, chain: &[Loose], marks: &Markings) -> bool {
    let [a, b] = chain else { return false };
    let upright = |way: DVec2| way.abs().min_element() <= 1e-3 * way.length();
    let lines = a.piece.is_straight() && b.piece.is_straight();
    let square = upright(a.piece.chord()) && upright(b.piece.chord());
    let Some(of) = Bounds::of([a.piece.from, a.piece.to, b.piece.to]) else { return false };
    lines && square && in_a_corner(own, &of) && marks.texts.iter().take(MOST_MARKS).any(|t| of.contains(t.at))
}

/// How many dimensions measure the width or height of a shape from one side to the other.
pub(super) fn measures(shape: &Shape, marks: &Markings) -> usize {
    let (min, max) = (shape.bounds.min, shape.bounds.max);
    let slack = 1e-3 * shape.size().max_element();
    let spans = |a: f64, b: f64, low: f64, high: f64| {
        (a.min(b) - low).abs() <= slack && (a.max(b) - high).abs() <= slack
    };
    let of = |d: &&crate::marks::Dimension| {
        let [a, b] = d.ends;
        let within = |v: f64, low: f64, high: f64| (low - slack..=high + slack).contains(&v);
        (spans(a.x, b.x, min.x, max.x) && within(a.y, min.y, max.y) && within(b.y, min.y, max.y))
            || (spans(a.y, b.y, min.y, max.y) && within(a.x, min.x, max.x) && within(b.x, min.x, max.x))
    };
    marks.dimensions.iter().take(MOST_MARKS).filter(of).count()
}

/// Straight lines that end on a rectangle or circle from inside: zone marks, and lines of a title block. Those that reach
/// from there to a shape inside measure it.
fn lines_on(own: &Shape, open: &[&[Loose]], inside: &[&Shape]) -> usize {
    let slack = 2e-4 * own.size().max_element();
    let on = |at: DVec2| match own.circle {
        Some((centre, radius)) => (centre.distance(at) - radius).abs() <= slack,
        None => {
            let (low, high) = ((at - own.bounds.min).abs(), (at - own.bounds.max).abs());
            own.bounds.expanded(slack).contains(at) && low.min(high).min_element() <= slack
        }
    };
    let of = |chain: &&&[Loose]| {
        let straight = chain.iter().all(|l| l.piece.is_straight());
        let ends = chain.first().zip(chain.last()).map(|(a, b)| [a.piece.from, b.piece.to]);
        let side = |s: &&&Shape, at: DVec2| {
            let (low, high) = ((at - s.bounds.min).abs(), (at - s.bounds.max).abs());
            s.bounds.expanded(slack).contains(at) && low.min(high).min_element() <= slack
        };
        let reaches = |ends: &[DVec2; 2]| inside.iter().any(|s| ends.iter().any(|e| side(&s, *e)));
        straight
            && ends.is_some_and(|ends| !reaches(&ends))
            && ends.is_some_and(|ends| {
                ends.iter().any(|e| on(*e)) && ends.iter().all(|e| own.bounds.expanded(slack).contains(*e))
            })
    };
    open.iter().take(MOST_MARKS).filter(of).count()
}

/// Rectangles within a frame that hold texts and no shapes of their own, or lie against the frame: title block and tables.
fn cells(shapes: &Shapes, marks: &Markings, frames: &[Frame], roles: &mut [Role]) {
    for frame in frames {
        let own = &shapes.all[frame.of];
        let slack = 2e-3 * own.size().max_element();
        for i in shapes.largest_in(frame.of, 500) {
            let s = &shapes.all[i];
            if !s.rectangle || roles[i] == Role::Frame || measures(s, marks) > 0 {
                continue;
            }
            let holds = marks.texts.iter().take(MOST_MARKS).any(|t| s.bounds.contains(t.at));
            let sides = [s.bounds.min - own.bounds.min, own.bounds.max - s.bounds.max];
            let leans = sides.iter().any(|d| d.abs().min_element() <= slack);
            let plain = |c: &usize| shapes.all[*c].rectangle;
            let empty = shapes.children[i].iter().all(plain);
            if empty && (holds || leans) && s.area < 0.5 * own.area {
                let mut below = vec![i];
                while let Some(at) = below.pop() {
                    roles[at] = Role::Cell;
                    below.extend(&shapes.children[at]);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_by_size_border_and_scale() {
        let of = |x: f64, y: f64| sheet(DVec2::new(x, y)).map(|s| (s.name, s.scale, s.points));
        assert_eq!(of(594.0, 420.0), Some(("A2", 1.0, 3)));
        assert_eq!(of(420.0, 594.0), Some(("A2", 1.0, 3)));
        assert_eq!(of(564.0, 400.0), Some(("A2", 1.0, 3)));
        assert_eq!(of(574.0, 400.0), Some(("A2", 1.0, 1)));
        assert_eq!(of(431.8, 279.4), Some(("ANSI B", 1.0, 3)));
        assert_eq!(of(4200.0, 2970.0), Some(("A3", 10.0, 2)));
        assert_eq!(of(400.0, 250.0), None);
        assert_eq!(of(1000.0, 500.0), None);
    }
}
