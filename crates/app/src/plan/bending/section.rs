//! A section through the sheet as it bends, along a line that the person draws.

use super::{shown::shown, state::Bending};
use crate::{plan::paper::Canvas, theme::Size, view::View};
use egui::{Align2, CursorIcon, PointerButton, Pos2, Rect, Response, Shape, Stroke, Ui, Vec2};
use glam::DVec2;
use units::Quantity;

/// Points along the line.
const POINTS: usize = 161;
/// Height of the profile, points.
pub(super) const HIGH: f32 = 118.0;

/// Takes the line from a stroke of the pointer over the plan.
pub(in crate::plan) fn pick(ui: &Ui, state: &mut Bending, pointer: Option<DVec2>, ground: &Response) {
    if ground.hovered() {
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    }
    let Some(at) = pointer else { return };
    if ground.drag_started_by(PointerButton::Primary) {
        state.section = Some([at, at]);
    } else if ground.dragged_by(PointerButton::Primary)
        && let Some([_, to]) = &mut state.section
    {
        *to = at;
    }
}

/// Draws the line on the plan and the profile along its foot.
pub(in crate::plan) fn profile(ui: &mut Ui, canvas: &Canvas<'_>, view: &View, state: &Bending, whole: Rect) {
    let Some([from, to]) = state.section else { return };
    let t = canvas.t;
    canvas.dashed(&[canvas.at(from), canvas.at(to)], Stroke::new(1.5, t.working), 8.0, 3.0);
    for (end, name) in [(from, "A"), (to, "B")] {
        let at = canvas.at(end);
        canvas.painter.circle_filled(at, 3.0, t.working);
        canvas.painter.text(
            at + Vec2::new(0.0, -6.0),
            Align2::CENTER_BOTTOM,
            name,
            Size::Small.strong(),
            t.working,
        );
    }
    let area = Rect::from_min_max(Pos2::new(whole.left(), whole.bottom() - HIGH), whole.right_bottom());
    let painter = &ui.painter_at(area);
    painter.rect_filled(area, 0.0, t.panel);
    painter.hline(area.x_range(), area.top(), Stroke::new(1.0, t.hairline));
    // Clicks on the profile are not clicks on the plan.
    ui.interact(area, ui.scope_id().with("section profile"), egui::Sense::click_and_drag());
    let length = from.distance(to);
    let says =
        |text: String, at: Pos2, anchor: Align2| painter.text(at, anchor, text, Size::Small.font(), t.second);
    let Some(shown) = shown(view, state).filter(|shown| shown.lengths && length > 1e-6) else {
        let text = "Draw a line over the part: drag from A to B.".to_owned();
        says(text, area.center(), Align2::CENTER_CENTER);
        return;
    };
    let inner = area.shrink2(Vec2::new(56.0, 26.0));
    let across = |share: f64| inner.left() + share as f32 * inner.width();
    let at = |k: usize| k as f64 / (POINTS - 1) as f64;
    let values: Vec<Option<f64>> =
        (0..POINTS).map(|k| shown.map.at(&shown.values, from.lerp(to, at(k)))).collect();
    // As tall as the section's own figures ask for, so that a shallow one is seen as well.
    let most = values.iter().flatten().map(|value| value.abs()).fold(0.01 * shown.most, f64::max);
    let tall = f64::from(inner.height()) / (2.0 * most);
    let middle = inner.center().y;
    // Down where the part hangs: what counts away from the cups is drawn downwards.
    let down = |value: f64| middle + (value * tall) as f32;
    painter.hline(inner.x_range(), middle, Stroke::new(1.0, t.hairline));
    let mut runs: Vec<Vec<Pos2>> = vec![Vec::new()];
    let mut largest: Option<(f64, f64)> = None;
    for (k, value) in values.iter().enumerate() {
        let share = at(k);
        match *value {
            Some(value) => {
                if largest.is_none_or(|(_, most)| value.abs() > most.abs()) {
                    largest = Some((share, value));
                }
                if let Some(run) = runs.last_mut() {
                    run.push(Pos2::new(across(share), down(value)));
                }
            }
            // Off the sheet the line breaks.
            None if runs.last().is_some_and(|run| !run.is_empty()) => runs.push(Vec::new()),
            None => {}
        }
    }
    for run in runs.into_iter().filter(|run| run.len() > 1) {
        painter.add(Shape::line(run, Stroke::new(2.0, t.part_line)));
    }
    cups(painter, view, (from, to), &|share| across(share), middle);
    let times = tall * length / f64::from(inner.width());
    let head = format!(
        "Section A to B, {}; sag enlarged {} times",
        view.show(length, Quantity::Length),
        view.fixed(times, 0)
    );
    says(head, area.left_top() + Vec2::new(16.0, 6.0), Align2::LEFT_TOP);
    says("A".to_owned(), Pos2::new(inner.left() - 8.0, middle), Align2::RIGHT_CENTER);
    says("B".to_owned(), Pos2::new(inner.right() + 8.0, middle), Align2::LEFT_CENTER);
    if let Some((share, value)) = largest {
        let at = Pos2::new(across(share), down(value));
        painter.circle_filled(at, 3.0, t.ink);
        let anchor = if share < 0.5 { Align2::LEFT_CENTER } else { Align2::RIGHT_CENTER };
        let side = if share < 0.5 { 8.0 } else { -8.0 };
        let text = view.show(value, Quantity::Length).to_string();
        let at = at + Vec2::new(side, 0.0);
        painter.text(at, anchor, text, Size::Small.strong(), t.ink);
    }
    let spoken = format!("Section along {}", view.show(length, Quantity::Length));
    let response = ui.interact(area, ui.scope_id().with("section figure"), egui::Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, spoken.clone()));
}

/// Cups that the line runs through, as ticks on the plane of the lips.
fn cups(
    painter: &egui::Painter,
    view: &View,
    (from, to): (DVec2, DVec2),
    across: &dyn Fn(f64) -> f32,
    middle: f32,
) {
    let along = to - from;
    for cup in &view.layout.cups {
        let Some(model) = view.project.model(&cup.model) else { continue };
        let share = (cup.at - from).dot(along) / along.length_squared();
        let beside = (cup.at - from).perp_dot(along).abs() / along.length();
        if (0.0..=1.0).contains(&share) && beside < 0.5 * model.shape.size().max_element() {
            let at = Pos2::new(across(share), middle);
            let stroke = Stroke::new(2.0, view.tokens.working);
            painter.line_segment([at - Vec2::new(0.0, 10.0), at], stroke);
            let name = at - Vec2::new(0.0, 12.0);
            painter.text(name, Align2::CENTER_BOTTOM, &cup.tag, Size::Small.font(), view.tokens.working);
        }
    }
}
