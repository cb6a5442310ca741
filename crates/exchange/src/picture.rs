//! The drawing as it is, for a person who looks at it beside what was taken: every closed line with what it was told to
//! be, and what was left open.

use crate::clean::{Closed, Loose};
use crate::curve::Curve;
use crate::marks::Text;
use crate::pick::Role;
use crate::piece::Piece;
use geometry::Loop;
use glam::{DAffine2, DVec2};

/// Closed lines kept, at most; the largest first.
const MOST_CLOSED: usize = 20_000;
/// Corners of closed lines kept, and open lines, at most.
const MOST_CORNERS: usize = 200_000;
const MOST_OPEN: usize = 20_000;
/// Lines and arcs of a curve that is not read, at most.
const MOST_OF_A_CURVE: usize = 2_000;
/// Texts kept, and letters of one: more is a note, too small to read beside a part.
const MOST_TEXTS: usize = 1_000;
const MOST_LETTERS: usize = 60;
/// Curves that are not read are followed this closely, mm.
const TOLERANCE: f64 = 0.1;
/// Turn between two places along an arc, rad.
const STEP: f64 = 0.14;

/// A closed line of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct ClosedLine {
    /// The line, mm, counter-clockwise.
    pub line: Loop,
    /// What it was told to be.
    pub role: Role,
}

/// All that a drawing shows, mm, in the size the parts are in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Picture {
    /// Closed lines, the largest first.
    pub closed: Vec<ClosedLine>,
    /// Lines that close to nothing, each as points along it.
    pub open: Vec<Vec<DVec2>>,
    /// Ends of those that may be an outline that fails.
    pub ends: Vec<DVec2>,
    /// What is drawn besides and not read, each as points along it: dimensions, centre lines, layers that are left out.
    pub beside: Vec<Vec<DVec2>>,
    /// What is written, for a person who looks for a dimension.
    pub texts: Vec<Lettering>,
    /// Whether more is drawn than is kept here.
    pub cut_short: bool,
}

/// A text of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Lettering {
    /// What it says, one line.
    pub says: String,
    /// The middle of its letters, mm.
    pub middle: DVec2,
    /// From line to line of its letters, pointing up, mm; its length is their height.
    pub up: DVec2,
}

/// Lines and texts that are shown and not read, in the drawing's unit.
#[derive(Debug, Default)]
pub(crate) struct Beside {
    pub(crate) curves: Vec<Curve>,
    texts: Vec<Text>,
}

impl Beside {
    pub(crate) fn curve(&mut self, curve: &Curve, map: &DAffine2) {
        if self.curves.len() < MOST_OPEN {
            self.curves.push(curve.transformed(map));
        }
    }

    pub(crate) fn texts(&mut self, texts: impl Iterator<Item = Text>) {
        self.texts.extend(texts.take(MOST_TEXTS.saturating_sub(self.texts.len())));
    }
}

impl Picture {
    /// A place inside a closed line and in none of those that lie within it, for whoever chooses a line without a pointer;
    /// nothing where there is hardly any room.
    #[must_use]
    pub fn place_in(&self, closed: usize) -> Option<DVec2> {
        let own = &self.closed.get(closed)?.line;
        let size = own.bounds()?.size().max_element();
        // The larger come first.
        let within: Vec<&Loop> = self.closed[closed + 1..]
            .iter()
            .map(|c| &c.line)
            .filter(|l| l.vertices.first().is_some_and(|v| own.contains(v.at)))
            .collect();
        let free = |at: &DVec2| own.contains(*at) && !within.iter().any(|l| l.contains(*at));
        // Just inside its edge; it runs counter-clockwise.
        [1e-2, 1e-3, 1e-4].into_iter().find_map(|share| {
            let beside = |s: geometry::Segment| s.point_at(0.5) + s.direction_at(0.5).perp() * (share * size);
            own.segments().map(beside).find(free)
        })
    }

    pub(crate) fn of(
        loops: &[Closed],
        roles: &[Role],
        [open, branches]: [&[Vec<Loose>]; 2],
        ends: Vec<DVec2>,
        scale: f64,
    ) -> Self {
        let area = |i: usize| crate::piece::area(&loops[i].pieces);
        let mut order: Vec<(f64, usize)> = (0..loops.len()).map(|i| (area(i), i)).collect();
        order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut corners = 0;
        let mut closed = Vec::new();
        for (_, i) in order.iter().take(MOST_CLOSED) {
            corners += loops[*i].pieces.len();
            if corners > MOST_CORNERS {
                break;
            }
            let mut line = loops[*i].to_loop();
            line.vertices.iter_mut().for_each(|v| v.at *= scale);
            closed.push(ClosedLine { line, role: roles[*i] });
        }
        let mut left = MOST_CORNERS;
        let mut lines = Vec::new();
        for chain in open.iter().chain(branches).take(MOST_OPEN) {
            if chain.len() > left {
                break;
            }
            left -= chain.len();
            lines.push(points(chain, scale));
        }
        let ends = ends.into_iter().map(|at| at * scale).collect();
        let cut_short = closed.len() < loops.len() || lines.len() < open.len() + branches.len();
        Self { closed, open: lines, ends, beside: Vec::new(), texts: Vec::new(), cut_short }
    }

    /// With what is not read; `scale` turns the drawing's unit into the mm of the parts, which the texts of the drawing
    /// are already in but for `times`.
    pub(crate) fn with(&mut self, beside: Beside, texts: &[Text], scale: f64, times: f64) {
        let mut left = MOST_CORNERS;
        for curve in &beside.curves {
            let (pieces, closed) = curve.pieces(TOLERANCE / scale, left.min(MOST_OF_A_CURVE), None);
            left = left.saturating_sub(pieces.len());
            if left == 0
                || pieces.iter().any(|p| !(p.from * scale).is_finite() || !(p.to * scale).is_finite())
            {
                continue;
            }
            let mut line = along(pieces.iter(), scale);
            if closed {
                line.extend(line.first().copied());
            }
            self.beside.push(line);
        }
        let own = beside.texts.iter().map(|text| (text, scale)).chain(texts.iter().map(|text| (text, times)));
        for (text, scale) in own.filter(|(text, _)| text.up != DVec2::ZERO).take(MOST_TEXTS) {
            let says = text.says.split_whitespace().collect::<Vec<_>>().join(" ");
            if says.chars().count() <= MOST_LETTERS && text.middle.is_finite() && text.up.is_finite() {
                self.texts.push(Lettering { says, middle: text.middle * scale, up: text.up * scale });
            }
        }
    }
}

/// Places along a chain.
fn points(chain: &[Loose], scale: f64) -> Vec<DVec2> {
    along(chain.iter().map(|l| &l.piece), scale)
}

/// Places along lines and arcs, of arcs one every few degrees.
fn along<'a>(mut pieces: impl Iterator<Item = &'a Piece>, scale: f64) -> Vec<DVec2> {
    let mut points = Vec::new();
    let mut push = |piece: &Piece| {
        if let Some(arc) = piece.arc() {
            let steps = (arc.sweep.abs() / STEP).ceil().clamp(1.0, 64.0);
            for step in 1..steps as usize {
                let turn = DVec2::from_angle(arc.sweep * step as f64 / steps);
                points.push((arc.centre + turn.rotate(piece.from - arc.centre)) * scale);
            }
        }
        points.push(piece.to * scale);
    };
    if let Some(first) = pieces.next() {
        push(&Piece::line(first.from, first.from));
        push(first);
        pieces.for_each(push);
    }
    points
}
