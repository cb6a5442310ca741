//! Paths as drawings of pages give them, step by step, as curves.

use crate::curve::{Curve, EllipseArc, Stretch};
use crate::piece::Piece;
use glam::DVec2;

/// One step along a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Step {
    Move(DVec2),
    Line(DVec2),
    Quad(DVec2, DVec2),
    Cubic(DVec2, DVec2, DVec2),
    Arc(EllipseArc, DVec2),
    Close,
}

/// Subpaths as curves.
pub(crate) fn subpaths(steps: impl Iterator<Item = Step>) -> Vec<Curve> {
    let mut out = Vec::new();
    let mut stretches: Vec<Stretch> = Vec::new();
    let (mut start, mut at) = (DVec2::ZERO, DVec2::ZERO);
    let mut end = |stretches: &mut Vec<Stretch>, closed: bool| {
        if !stretches.is_empty() {
            out.push(Curve::Path { stretches: std::mem::take(stretches), closed });
        }
    };
    for step in steps {
        match step {
            Step::Move(p) => {
                end(&mut stretches, false);
                (start, at) = (p, p);
            }
            Step::Line(p) => {
                stretches.push(Stretch::Piece(Piece::line(at, p)));
                at = p;
            }
            Step::Quad(c, p) => {
                // The same curve as a cubic.
                stretches.push(Stretch::Cubic([at, at.lerp(c, 2.0 / 3.0), p.lerp(c, 2.0 / 3.0), p]));
                at = p;
            }
            Step::Cubic(a, b, p) => {
                stretches.push(Stretch::Cubic([at, a, b, p]));
                at = p;
            }
            Step::Arc(arc, p) => {
                stretches.push(Stretch::Ellipse(arc));
                at = p;
            }
            Step::Close => {
                if at != start {
                    stretches.push(Stretch::Piece(Piece::line(at, start)));
                }
                end(&mut stretches, true);
                at = start;
            }
        }
    }
    end(&mut stretches, false);
    out
}
