//! Views of long parts with the middle left out: two pieces in line, and a dimension from the one to the other that prints
//! more than is drawn.

use super::Role;
use super::shapes::{Shape, Shapes};
use crate::DrawingUnit;
use crate::marks::{Dimension, Markings};
use glam::DVec2;

/// Dimensions, and closed lines, that are looked at.
const MOST: usize = 200;

/// A break.
pub(super) struct Broken {
    pub(super) printed: f64,
    /// What is drawn of it, mm.
    pub(super) drawn: f64,
    pub(super) at: DVec2,
    /// Dimensions over the break, which say nothing of the scale.
    pub(super) dimensions: Vec<usize>,
}

/// Looks for a break.
pub(super) fn find(shapes: &Shapes, roles: &[Role], marks: &Markings, unit: DrawingUnit) -> Option<Broken> {
    let mut outer: Vec<&Shape> = (0..shapes.all.len())
        .filter(|i| roles[*i] == Role::Edge)
        .filter(|i| shapes.parents[*i].is_none_or(|p| roles[p] == Role::Frame))
        .map(|i| &shapes.all[i])
        .collect();
    outer.sort_by(|a, b| b.area.total_cmp(&a.area));
    outer.truncate(MOST);
    if outer.len() < 2 {
        return None;
    }
    let mut found: Option<Broken> = None;
    for (i, d) in marks.dimensions.iter().enumerate().take(MOST) {
        let Some(printed) = d.printed else { continue };
        let units = [unit.mm(), 1.0, DrawingUnit::Inch.mm()];
        let longer = units
            .iter()
            .all(|u| printed.value * u > 1.05 * d.measured || printed.value * u < 0.5 * d.measured);
        if longer && printed.value * unit.mm() > 1.05 * d.measured && spans_a_break(d, &outer) {
            let at = (d.ends[0] + d.ends[1]) / 2.0;
            let broken = found.get_or_insert(Broken {
                printed: printed.value,
                drawn: d.measured,
                at,
                dimensions: Vec::new(),
            });
            broken.dimensions.push(i);
        }
    }
    found
}

/// Whether a dimension runs from the far side of one shape to the far side of another that stands in line with it and is
/// as high.
fn spans_a_break(d: &Dimension, outer: &[&Shape]) -> bool {
    [DVec2::X, DVec2::Y].into_iter().any(|way| {
        let along = |p: DVec2| p.dot(way);
        let across = |p: DVec2| p.dot(way.perp()).abs();
        let (low, high) = (along(d.ends[0]).min(along(d.ends[1])), along(d.ends[0]).max(along(d.ends[1])));
        let slack = 1e-3 * (high - low);
        let level = |s: &Shape| [across(s.bounds.min), across(s.bounds.max)];
        let first = outer.iter().filter(|s| (along(s.bounds.min) - low).abs() <= slack);
        first.into_iter().any(|a| {
            outer.iter().any(|b| {
                let [p, q] = [level(a), level(b)];
                let alike = (0..2).all(|i| (p[i] - q[i]).abs() <= slack);
                (along(b.bounds.max) - high).abs() <= slack
                    && alike
                    && along(b.bounds.min) > along(a.bounds.max)
            })
        })
    })
}
