//! Lines drawn on a part that are no edges of it: circles that point out a detail, a border a little inside the outline.

use super::Role;
use super::shapes::Shapes;
use crate::clean::Closed;
use crate::dxf::Trouble;
use crate::marks::{Markings, Text};
use crate::watch::Watch;
use geometry::Loop;
use glam::DVec2;

/// Circles, and pairs of closed lines, that are looked at in one drawing: a drawing with more is no drawing of one part.
const MOST_CIRCLES: usize = 2_000;
const MOST_PAIRS: usize = 4_000_000;
/// Places looked at on a circle.
const PLACES: usize = 24;
/// An inner border encloses at least this share of the outline.
const BORDER: f64 = 0.75;

/// Marks circles that cross an outline: they point something out, or it would be cut there.
pub(super) fn crossing_circles(
    shapes: &Shapes,
    loops: &[Closed],
    roles: &mut [Role],
    watch: &Watch,
) -> Result<Vec<usize>, Trouble> {
    let circles: Vec<usize> = (0..shapes.all.len())
        .filter(|i| roles[*i] == Role::Edge && shapes.all[*i].circle.is_some())
        .take(MOST_CIRCLES + 1)
        .collect();
    let others: Vec<usize> = (0..shapes.all.len())
        .filter(|i| roles[*i] == Role::Edge && shapes.all[*i].circle.is_none())
        .collect();
    let mut found = Vec::new();
    if circles.len() > MOST_CIRCLES || circles.len() * others.len() > MOST_PAIRS {
        return Ok(found);
    }
    for c in circles {
        let Some((centre, radius)) = shapes.all[c].circle else { continue };
        let own = &shapes.all[c].bounds;
        for o in &others {
            let (s, b) = (&shapes.all[*o], &shapes.all[*o].bounds);
            let apart = own.min.cmpgt(b.max).any() || b.min.cmpgt(own.max).any();
            if apart || s.area < shapes.all[c].area {
                continue;
            }
            watch.spend(loops[*o].pieces.len())?;
            if crosses(centre, radius, &loops[*o].to_loop()) {
                roles[c] = Role::Mark;
                found.push(c);
                break;
            }
        }
    }
    Ok(found)
}

/// Whether a letter or word stands by a circle, as by one that points out a detail.
pub(crate) fn is_named(centre: DVec2, radius: f64, marks: &Markings) -> bool {
    let by = |t: &Text| (0.5..=2.0).contains(&(t.at.distance(centre) / radius));
    let word = |t: &Text| t.says.chars().any(char::is_alphabetic);
    marks.texts.iter().take(MOST_CIRCLES).any(|t| word(t) && by(t))
}

/// Whether a circle runs both inside and outside a boundary, and not only along it.
fn crosses(centre: DVec2, radius: f64, boundary: &Loop) -> bool {
    let slack = 0.01 * radius;
    // The nearest place of the boundary tells for most circles.
    let Some((_, near, _)) = boundary.nearest_point(centre) else { return false };
    if near > radius - slack {
        return false;
    }
    let (mut inside, mut outside) = (0, 0);
    for i in 0..PLACES {
        let at = centre + radius * DVec2::from_angle(std::f64::consts::TAU * i as f64 / PLACES as f64);
        if boundary.contains(at) { inside += 1 } else { outside += 1 }
    }
    inside > 0 && outside > 0
}

/// A line drawn as a band is this narrow, against the size of what it goes round, or in mm.
const NARROW: (f64, f64) = (0.004, 1.5);

/// How far one closed line runs inside another, where that is the same all round, mm.
fn even_inset(inner: usize, outer: usize, shapes: &Shapes, loops: &[Closed]) -> Option<f64> {
    let (a, b) = (&shapes.all[inner], &shapes.all[outer]);
    let sides = [a.bounds.min - b.bounds.min, b.bounds.max - a.bounds.max].map(|d| d.to_array());
    let width = sides.iter().flatten().sum::<f64>() / 4.0;
    let even = width > 0.0 && sides.iter().flatten().all(|w| (w - width).abs() <= 0.1 * width);
    if !even {
        return None;
    }
    let around: f64 = loops[outer].pieces.iter().map(crate::piece::Piece::length).sum();
    let between = b.area - a.area;
    // Round corners take the area of the band off, four of them at most twice its width each way.
    let corners = 4.0 * width * width;
    ((between - around * width).abs() <= 0.1 * between + corners).then_some(width)
}

/// Marks the inner side of lines that are drawn as narrow bands, as programs write a thick line turned into an area.
pub(super) fn bands(shapes: &Shapes, loops: &[Closed], roles: &mut [Role]) -> Vec<(usize, f64)> {
    let mut found = Vec::new();
    for i in 0..shapes.all.len() {
        let Some(p) = shapes.parents[i].filter(|p| roles[i] == Role::Edge && roles[*p] == Role::Edge) else {
            continue;
        };
        let narrow = (NARROW.0 * shapes.all[p].size().max_element()).min(NARROW.1);
        if let Some(width) = even_inset(i, p, shapes, loops).filter(|w| *w <= narrow) {
            roles[i] = Role::Mark;
            found.push((i, width));
        }
    }
    found
}

/// Lines a little inside an outline.
#[derive(Default)]
pub(super) struct Borders {
    /// Told from edges by what lies in them: they are marked.
    pub(super) marked: Vec<usize>,
    /// Those with nothing in them, which may be rims or openings, with the width that is left.
    pub(super) bare: Vec<(usize, f64)>,
}

/// A rim is this wide at most, against the size of the part, or in mm.
const RIM: (f64, f64) = (0.03, 12.0);

/// Marks a border a little inside an outline that holds holes: they are holes of the part, not discs in a ring. One that
/// runs along the outline is a rim, a chamfer or a radius, whatever it holds.
pub(super) fn inner_borders(shapes: &Shapes, loops: &[Closed], roles: &mut [Role]) -> Borders {
    let mut found = Borders::default();
    for i in 0..shapes.all.len() {
        let Some(p) = shapes.parents[i].filter(|_| roles[i] == Role::Edge) else { continue };
        let top = shapes.parents[p].is_none_or(|q| roles[q] != Role::Edge);
        let border = roles[p] == Role::Edge && top && shapes.all[i].area >= BORDER * shapes.all[p].area;
        // A flange's raised face and its bore are circles about one centre, which are told by themselves.
        if !border || shapes.all[i].circle.is_some() {
            continue;
        }
        let narrow = (RIM.0 * shapes.all[p].size().max_element()).min(RIM.1);
        let rim = even_inset(i, p, shapes, loops).filter(|w| *w <= narrow);
        let hole = |c: &usize| shapes.is_round_hole(*c);
        match (shapes.children[i].is_empty(), rim) {
            (true, Some(width)) => found.bare.push((i, width)),
            (true, None) => {}
            (false, rim) => {
                if rim.is_some() || shapes.children[i].iter().all(hole) {
                    roles[i] = Role::Mark;
                    found.marked.push(i);
                }
            }
        }
    }
    found
}
