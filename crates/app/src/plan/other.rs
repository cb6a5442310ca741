//! The alternative beside the plan: the same look and the same view, to read and not to change.

use super::{PlanState, canvas, cups, frame, labels::Collected, level_strip, marks, paper};
use crate::{
    theme::Size,
    view::{Action, CompareView, View},
    widgets::one_line,
};
use egui::{CursorIcon, Pos2, Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use paper::Canvas;

/// Draws it; scrolling and dragging the ground move both plans, a double click puts it on the plan.
pub fn other_ui(
    ui: &mut Ui,
    view: &View,
    other: &CompareView,
    plan: &mut PlanState,
    actions: &mut Vec<Action>,
) {
    let rect = ui.available_rect_before_wrap();
    let response = ui.interact(rect.shrink(5.0), ui.scope_id().with("other plan"), Sense::click_and_drag());
    let name = format!("Plan of {}, to compare", other.layout.name);
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, name.clone()));
    canvas::navigate(ui, plan, rect, &response);
    let seen = view.of_other(other);
    let painter = ui.painter_at(rect);
    let labels = Collected::default();
    let (camera, pose) = (plan.camera, geometry::Pose::new(glam::DVec2::ZERO, 0.0));
    let canvas = Canvas { painter: &painter, rect, camera, pose, t: view.tokens, labels: &labels };
    painter.rect_filled(rect, 0.0, view.tokens.ground);
    if plan.show.grid {
        paper::grid(&canvas, &seen);
    }
    paper::part(&canvas, &mut plan.other_cache, &seen, None);
    frame::frame(&canvas, &seen);
    marks::datum(&canvas, view.part.datum_at());
    if let Some(part) = &seen.report.part {
        marks::centre_of_gravity(&canvas, part.centre_of_gravity_mm.truncate(), false);
    }
    frame::attached(&canvas, &seen);
    let most = canvas::most_loads(&seen);
    let required = seen.shown_motion().map(|m| m.required_factor);
    for cup in &seen.layout.cups {
        let Some(model) = seen.project.model(&cup.model) else { continue };
        let in_motion = seen.shown_loads().iter().find(|c| c.id == cup.id);
        let plain = cups::Emphasis::default();
        cups::cup(&canvas, &seen, cup, model, in_motion, required, most, plain, plan.show.loads);
    }
    level_strip::level_strips(&canvas, &seen, true);
    painter.vline(rect.left(), rect.y_range(), Stroke::new(1.0, view.tokens.hairline));
    labels.take().draw(&painter, rect, ui.input(|i| i.pointer.hover_pos()), view.tokens.second);
    if response.hovered() {
        ui.ctx().set_cursor_icon(CursorIcon::Default);
    }
    if response.double_clicked() {
        actions.push(Action::Layout(other.layout.id));
    }
}

/// Height of the names above the two plans, points.
pub const HEAD: f32 = 28.0;

/// The names of the layouts above their plans, each at the left of its half.
pub fn heads_ui(ui: &mut Ui, view: &View, other: &CompareView) {
    let t = view.tokens;
    let whole = ui.available_rect_before_wrap();
    let half = whole.width() / 2.0;
    for (left, name, note) in [
        (whole.left(), &view.layout.name, "current"),
        (whole.center().x + 16.0, &other.layout.name, "double click to switch to it"),
    ] {
        let at = Pos2::new(left, whole.center().y);
        let galley = one_line(ui, name, half - 24.0, Size::Body.strong(), t.ink);
        let width = galley.size().x;
        ui.painter().galley(at - Vec2::new(0.0, galley.size().y / 2.0), galley, t.ink);
        let note = ui.painter().layout_no_wrap(note.to_owned(), Size::Small.slanted(), t.second);
        // The note is the first to give way.
        if width + 8.0 + note.size().x <= half - 24.0 {
            let at = at + Vec2::new(width + 8.0, -note.size().y / 2.0);
            ui.painter().galley(at, note, t.second);
        }
    }
    ui.painter().hline(whole.x_range().expand(16.0), whole.bottom(), Stroke::new(1.0, t.hairline));
    ui.painter().vline(whole.center().x, whole.y_range(), Stroke::new(1.0, t.hairline));
}
