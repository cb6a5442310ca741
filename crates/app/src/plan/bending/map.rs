//! The sheet as shades, with contour lines and their figures.

use super::{
    shown::{Shown, shown},
    state::Bending,
};
use crate::{
    plan::{labels::Rank, paper::Canvas},
    theme::{Size, Tokens},
    view::View,
};
use egui::{Align2, Color32, Mesh, Pos2, Shape, Stroke, Vec2, epaint::Vertex};
use glam::DVec2;
use units::Quantity;

/// About so many contour lines.
const LINES: f64 = 6.0;
/// Places along a contour line that its figure may stand at.
const SPOTS: usize = 9;

/// Shade of a share of the largest, 0 to 1: even steps to the eye, from the theme.
pub(super) fn shade(t: &Tokens, share: f64) -> Color32 {
    let last = t.sag.len() - 1;
    let place = (share.clamp(0.0, 1.0) as f32) * last as f32;
    let low = (place.floor() as usize).min(last - 1);
    t.sag[low].lerp_to_gamma(t.sag[low + 1], place - low as f32)
}

/// Draws it over the part.
pub(in crate::plan) fn map(canvas: &Canvas<'_>, view: &View, state: &Bending) {
    let Some(shown) = shown(view, state) else { return };
    let vertex = |(at, value): (&DVec2, &f64)| Vertex {
        pos: canvas.at(*at),
        uv: egui::epaint::WHITE_UV,
        color: shade(&canvas.t, value.abs() / shown.most),
    };
    canvas.painter.add(Mesh {
        vertices: shown.map.points.iter().zip(shown.values.iter()).map(vertex).collect(),
        indices: shown.map.triangles.iter().flatten().copied().collect(),
        ..Mesh::default()
    });
    canvas.labels.borrow_mut().on_patches();
    lines(canvas, view, &shown, state);
    deepest(canvas, view, &shown);
}

fn lines(canvas: &Canvas<'_>, view: &View, shown: &Shown<'_>, state: &Bending) {
    let (per_unit, in_unit) = if shown.lengths {
        let (unit, _) = units::unit_of(Quantity::Length, &view.units);
        (unit, shown.most / unit)
    } else {
        (1.0, 1.0)
    };
    // Round in the unit that is read; what is played keeps its lines while it swings.
    let step = analysis::round_step(in_unit, LINES) * per_unit;
    if step <= 0.0 {
        return;
    }
    let (low, high) = shown.values.iter().fold((0.0_f64, 0.0_f64), |(l, h), v| (l.min(*v), h.max(*v)));
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    for at in first..=last {
        let level = at as f64 * step;
        let pieces = shown.map.contour(&shown.values, level);
        if pieces.is_empty() {
            continue;
        }
        let wide = if at == 0 { 1.6 } else { 0.8 };
        let stroke = Stroke::new(wide, canvas.t.part_line.gamma_multiply(if at == 0 { 0.8 } else { 0.55 }));
        let drawn = pieces.iter().map(|[a, b]| Shape::line_segment([canvas.at(*a), canvas.at(*b)], stroke));
        canvas.painter.extend(drawn);
        if state.playing {
            continue;
        }
        let says =
            if shown.lengths { view.show(level, Quantity::Length).to_string() } else { view.fixed(level, 1) };
        let spots: Vec<(Pos2, Align2)> = (0..SPOTS)
            .filter_map(|k| pieces.get((2 * k + 1) * pieces.len() / (2 * SPOTS)))
            .map(|[a, b]| (canvas.at((*a + *b) / 2.0), Align2::CENTER_CENTER))
            .filter(|(at, _)| canvas.rect.contains(*at))
            .collect();
        if !spots.is_empty() {
            canvas.label(canvas.lettering(Rank::Name, says, Size::Small.font(), canvas.t.ink, &spots));
        }
    }
}

/// Where it sags most, with its figure.
fn deepest(canvas: &Canvas<'_>, view: &View, shown: &Shown<'_>) {
    let Some(bent) = shown.bent else { return };
    let at = canvas.at(bent.sag_at);
    let stroke = Stroke::new(1.5, canvas.t.ink);
    for arm in [Vec2::new(5.0, 0.0), Vec2::new(0.0, 5.0)] {
        canvas.painter.line_segment([at - arm, at + arm], stroke);
    }
    let says = format!("most, {}", view.show(bent.sag_mm.abs(), Quantity::Length));
    let spots = [
        (at + Vec2::new(8.0, -4.0), Align2::LEFT_BOTTOM),
        (at + Vec2::new(-8.0, -4.0), Align2::RIGHT_BOTTOM),
        (at + Vec2::new(8.0, 4.0), Align2::LEFT_TOP),
        (at + Vec2::new(-8.0, 4.0), Align2::RIGHT_TOP),
    ];
    canvas.label(canvas.lettering(Rank::Figure, says, Size::Small.strong(), canvas.t.ink, &spots));
}
