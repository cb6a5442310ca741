//! The drawing as it is, for a person who looks at it beside what was taken: every closed line with what it was told to
//! be, and what was left open.

use crate::clean::{Closed, Loose};
use crate::pick::Role;
use geometry::Loop;
use glam::DVec2;

/// Closed lines kept, at most; the largest first.
const MOST_CLOSED: usize = 20_000;
/// Corners of closed lines kept, and open lines, at most.
const MOST_CORNERS: usize = 200_000;
const MOST_OPEN: usize = 20_000;

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
    /// Whether more is drawn than is kept here.
    pub cut_short: bool,
}

impl Picture {
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
        Self { closed, open: lines, ends, cut_short }
    }
}

/// Places along a chain, arcs by their middles.
fn points(chain: &[Loose], scale: f64) -> Vec<DVec2> {
    let mut points: Vec<DVec2> = chain.first().map(|l| l.piece.from * scale).into_iter().collect();
    for l in chain {
        if !l.piece.is_straight() {
            points.push(l.piece.middle() * scale);
        }
        points.push(l.piece.to * scale);
    }
    points
}
