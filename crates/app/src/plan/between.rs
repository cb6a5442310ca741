//! How far the cup that is dragged is from its neighbours in a row and in a column.

use super::{marks::chip, paper::Canvas};
use crate::view::View;
use document::Cup;
use egui::{Align2, Pos2, Stroke, Vec2};
use units::Quantity;

/// Shorter than this on the screen a dimension says nothing, points.
const SHORTEST: f32 = 24.0;

/// The nearest other cup, measured from centre to centre; `None` where there is none.
pub fn nearest<'a>(view: &'a View, cup: &Cup) -> Option<&'a Cup> {
    let others = view.layout.cups.iter().filter(|other| other.id != cup.id);
    others.min_by(|a, b| a.at.distance_squared(cup.at).total_cmp(&b.at.distance_squared(cup.at)))
}

/// Draws the distance along X and along Y to the nearest other cup.
pub fn dimensions(canvas: &Canvas<'_>, view: &View, cup: &Cup) {
    let Some(other) = nearest(view, cup) else { return };
    let t = &canvas.t;
    let (from, to) = (canvas.at(other.at), canvas.at(cup.at));
    let corner = Pos2::new(to.x, from.y);
    let stroke = Stroke::new(1.0, t.working.gamma_multiply(0.8));
    let by = cup.at - other.at;
    let number = |mm: f64| view.show(mm.abs(), Quantity::Length).number;
    if (corner.x - from.x).abs() > SHORTEST {
        canvas.dashed(&[from, corner], stroke, 3.0, 3.0);
        let at = Pos2::new((from.x + corner.x) / 2.0, from.y - 3.0);
        chip(canvas, at, Align2::CENTER_BOTTOM, &number(by.x), t.working);
    }
    if (to.y - corner.y).abs() > SHORTEST {
        canvas.dashed(&[corner, to], stroke, 3.0, 3.0);
        let at = Pos2::new(corner.x, (corner.y + to.y) / 2.0) + Vec2::new(4.0, 0.0);
        chip(canvas, at, Align2::LEFT_CENTER, &number(by.y), t.working);
    }
}
