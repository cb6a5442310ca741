//! Fewer lines and arcs for the same outline within a tolerance: many short chords become the arc or line they follow.

use crate::Drawing;
use crate::piece::Piece;
use geometry::{Loop, Outline, Vertex};
use glam::DVec2;

/// What a tolerance makes of one part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TolerancePreview {
    /// Lines and arcs as read.
    pub before: usize,
    /// Lines and arcs within the tolerance.
    pub after: usize,
    /// True arcs among those after.
    pub arcs: usize,
    /// Change of the area, mm².
    pub area_mm2: f64,
}

/// Counts of lines and arcs before and after simplifying one part of a drawing, for a slider that shows both.
///
/// `None` when the drawing has no such part. Reading again with [`crate::ImportOptions::simplify_mm`] gives what is counted.
///
/// # Units
/// `tolerance_mm` mm; the change of area mm².
///
/// ```
/// # use exchange::{ImportOptions, preview, read_drawing_bytes};
/// # let ring: String = (0..360).map(|i| f64::from(i).to_radians()).map(|t| format!("{},{} ", 100.0 + 90.0 * t.cos(), 100.0 + 90.0 * t.sin())).collect();
/// let svg = format!(r#"<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">
///   <polygon points="{ring}"/></svg>"#); // a disc drawn with 360 chords
/// let drawing = read_drawing_bytes("disc.svg", svg.as_bytes(), &ImportOptions::default())?;
/// let fine = preview(&drawing, 0, 0.02).expect("a part"); // mm
/// assert_eq!((fine.before, fine.after, fine.arcs), (360, 2, 2));
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn preview(drawing: &Drawing, part: usize, tolerance_mm: f64) -> Option<TolerancePreview> {
    let outline = &drawing.parts.get(part)?.outline;
    let simple = simplified(outline, tolerance_mm);
    let count = |o: &Outline| o.loops().map(|l| l.vertices.len()).sum();
    let area = |o: &Outline| {
        o.outer.signed_area().abs() - o.holes.iter().map(|h| h.signed_area().abs()).sum::<f64>()
    };
    Some(TolerancePreview {
        before: count(outline),
        after: count(&simple),
        arcs: simple.loops().flat_map(|l| &l.vertices).filter(|v| v.bulge != 0.0).count(),
        area_mm2: area(&simple) - area(outline),
    })
}

/// The outline with as few lines and arcs as stay within `tolerance_mm` of it. A boundary that would come to cross
/// itself or another is left as it is; a tolerance that is not a number above nought changes nothing.
///
/// # Units
/// mm
///
/// ```
/// use geometry::{Loop, Outline};
/// use glam::DVec2;
/// let chords = Loop::regular(DVec2::ZERO, 50.0, 720, 0.0); // mm
/// let disc = exchange::simplified(&Outline::solid(chords), 0.01); // mm
/// assert_eq!(disc.outer.vertices.len(), 2);
/// ```
#[must_use]
pub fn simplified(outline: &Outline, tolerance_mm: f64) -> Outline {
    if !(tolerance_mm > 0.0 && tolerance_mm.is_finite()) {
        return outline.clone();
    }
    let simple = Outline {
        outer: simple_loop(&outline.outer, tolerance_mm),
        holes: outline.holes.iter().map(|h| simple_loop(h, tolerance_mm)).collect(),
    };
    if simple != *outline && geometry::validate(&simple).len() > geometry::validate(outline).len() {
        return outline.clone();
    }
    simple
}

fn simple_loop(boundary: &Loop, tolerance: f64) -> Loop {
    let corners = &boundary.vertices;
    let n = corners.len();
    if n < 3 {
        return boundary.clone();
    }
    let piece = |i: usize| Piece {
        from: corners[i % n].at,
        to: corners[(i + 1) % n].at,
        bulge: corners[i % n].bulge,
    };
    let pieces: Vec<Piece> = (0..n).map(piece).collect();
    if let Some(round) = whole_circle(&pieces, tolerance) {
        return round;
    }
    // Begin where the boundary turns most, so that the seam is a corner.
    let turn = |i: usize| {
        let (before, after) = (arrives(&pieces[(i + n - 1) % n]), pieces[i].leaves());
        before.perp_dot(after).atan2(before.dot(after)).abs()
    };
    let first = (0..n).max_by(|a, b| turn(*a).total_cmp(&turn(*b)).then(b.cmp(a))).unwrap_or(0);
    let turned: Vec<Piece> = (0..n).map(|i| pieces[(first + i) % n]).collect();
    let mut out: Vec<Vertex> = Vec::new();
    let mut at = 0;
    while at < n {
        // No piece takes the place of more than half of the boundary, so that two are left at least.
        let most = (n - at).min(n.div_ceil(2).max(1));
        let (count, taken) = longest(&turned[at..at + most], tolerance);
        out.push(Vertex { at: taken.from, bulge: taken.bulge });
        at += count;
    }
    let simple = Loop { vertices: out };
    let (was, is) = (boundary.signed_area(), simple.signed_area());
    if simple.vertices.len() < n && was * is > 0.0 { simple } else { boundary.clone() }
}

fn arrives(piece: &Piece) -> DVec2 {
    -piece.reversed().leaves()
}

/// The most pieces from the start that one line or arc can stand for, and that line or arc.
fn longest(pieces: &[Piece], tolerance: f64) -> (usize, Piece) {
    let mut best = (1, pieces[0]);
    let mut step = 1;
    // Twice as far while it fits, then halfway between what fits and what does not.
    let mut beyond = pieces.len() + 1;
    while best.0 < pieces.len() {
        let next = (best.0 + step).min(beyond - 1);
        if next == best.0 {
            break;
        }
        match stand_in(&pieces[..next], tolerance) {
            Some(taken) => {
                best = (next, taken);
                step = if beyond > pieces.len() { step * 2 } else { ((beyond - next) / 2).max(1) };
            }
            None => {
                beyond = next;
                step = ((next - best.0) / 2).max(1);
            }
        }
    }
    best
}

/// A line or arc from end to end that no piece strays from, if there is one.
fn stand_in(pieces: &[Piece], tolerance: f64) -> Option<Piece> {
    let (first, last) = (pieces.first()?, pieces.last()?);
    let length: f64 = pieces.iter().map(Piece::length).sum();
    let line = Piece::line(first.from, last.to);
    let middle = halfway(pieces, length / 2.0);
    let arc = Piece::through(first.from, middle, last.to);
    [line, arc].into_iter().find(|p| follows(p, pieces, length, tolerance))
}

fn halfway(pieces: &[Piece], length: f64) -> DVec2 {
    let mut left = length;
    for p in pieces {
        let here = p.length();
        if left <= here && here > 0.0 {
            // The nearer of the places that are exact.
            let share = left / here;
            return if share < 0.25 {
                p.from
            } else if share > 0.75 {
                p.to
            } else {
                p.middle()
            };
        }
        left -= here;
    }
    pieces.last().map_or(DVec2::ZERO, |p| p.to)
}

/// Whether all pieces lie within the tolerance of one, which goes their way and is no longer or shorter than they are
/// by more than the tolerance allows.
fn follows(one: &Piece, pieces: &[Piece], length: f64, tolerance: f64) -> bool {
    let own = one.length();
    if one.bulge.abs() > 1.0 + 1e-9
        || own <= 2.0 * tolerance
        || (own - length).abs() > 4.0 * tolerance + 0.02 * own
    {
        return false;
    }
    let along = |p: DVec2| match one.arc() {
        Some(arc) => {
            let turned = (one.from - arc.centre).angle_to(p - arc.centre);
            if arc.sweep > 0.0 { turned } else { -turned }.rem_euclid(std::f64::consts::TAU) * arc.radius
        }
        None => (p - one.from).dot(one.chord()) / own,
    };
    let mut before = 0.0;
    pieces.iter().enumerate().all(|(i, p)| {
        let near = one.distance(p.middle()) <= tolerance && one.distance(p.to) <= tolerance;
        let here = if i + 1 == pieces.len() { own } else { along(p.to) };
        let forwards = here >= before - tolerance;
        before = here;
        near && forwards
    })
}

/// The circle that a whole boundary follows.
fn whole_circle(pieces: &[Piece], tolerance: f64) -> Option<Loop> {
    let n = pieces.len();
    if n < 8 && pieces.iter().any(Piece::is_straight) {
        return None;
    }
    let [a, b, c] = [0, n / 3, 2 * n / 3].map(|i| pieces[i].from);
    let arc = Piece::through(a, b, c).arc()?;
    let near = |p: DVec2| (p.distance(arc.centre) - arc.radius).abs() <= tolerance;
    if arc.radius <= 2.0 * tolerance || !pieces.iter().all(|p| near(p.from) && near(p.middle())) {
        return None;
    }
    let turned: f64 = pieces.iter().map(|p| (p.from - arc.centre).angle_to(p.to - arc.centre)).sum();
    if (turned.abs() - std::f64::consts::TAU).abs() > 1e-6 {
        return None;
    }
    let disc = Loop::circle(arc.centre, arc.radius);
    Some(if turned < 0.0 { disc.reversed() } else { disc })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn off(a: &Loop, b: &Loop) -> f64 {
        let points =
            a.segments().flat_map(|s| [s.start(), s.point_at(0.25), s.point_at(0.5), s.point_at(0.75)]);
        points.filter_map(|p| b.nearest_point(p)).map(|near| near.1).fold(0.0, f64::max)
    }

    #[test]
    fn chords_of_a_rounded_plate_become_its_lines_and_arcs() {
        let plate = Loop::rounded_rectangle(DVec2::ZERO, DVec2::new(300.0, 200.0), 30.0);
        let chords = Loop::polygon(plate.flatten(0.004));
        assert!(chords.vertices.len() > 60);
        let simple = simplified(&Outline::solid(chords.clone()), 0.02).outer;
        assert!(simple.vertices.len() <= 12, "{}", simple.vertices.len());
        assert!(off(&chords, &simple) <= 0.02 && off(&simple, &chords) <= 0.03);
        assert!((simple.signed_area() - plate.signed_area()).abs() < 0.02 * plate.perimeter());
    }

    #[test]
    fn corners_and_small_outlines_stay() {
        let plate = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(3.0, 2.0)));
        for tolerance in [0.0, 0.01, f64::NAN, 0.5, 5.0] {
            assert_eq!(simplified(&plate, tolerance), plate, "{tolerance}");
        }
        let hexagon = Outline::solid(Loop::regular(DVec2::ZERO, 50.0, 6, 0.0));
        assert_eq!(simplified(&hexagon, 0.5), hexagon);
    }

    #[test]
    fn lines_in_a_row_become_one() {
        let points =
            [(0.0, 0.0), (10.0, 0.0), (20.0, 0.001), (90.0, 0.0), (90.0, 40.0), (0.0, 40.0), (0.0, 15.0)];
        let boundary = Loop::polygon(points.map(|(x, y)| DVec2::new(x, y)));
        let simple = simplified(&Outline::solid(boundary), 0.01);
        assert_eq!(simple.outer, Loop { vertices: simple.outer.vertices.clone() });
        assert_eq!(simple.outer.vertices.len(), 4);
        assert!(simple.outer.vertices.iter().all(|v| v.bulge == 0.0));
    }
}
