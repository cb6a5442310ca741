//! A cup model as a row to click, in the panel of inputs and in the dialog of models.

use crate::{
    fields,
    theme::Size,
    view::View,
    widgets::{one_line, row_ground},
};
use document::CupModel;
use egui::{Role, Sense, Stroke, Ui, Vec2, WidgetInfo};
use geometry::LipShape;
use std::sync::Arc;
use units::Quantity;

/// Icon, name and a note.
pub fn model_row(
    ui: &mut Ui,
    view: &View,
    model: &Arc<CupModel>,
    note: &str,
    active: bool,
) -> egui::Response {
    let t = view.tokens;
    let (rect, response) =
        ui.allocate_exact_size(Vec2::new(ui.available_width(), fields::ROW), Sense::click());
    response
        .widget_info(|| WidgetInfo::selected(Role::Button, true, active, format!("Place {}", model.name)));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_value(note));
    row_ground(ui, rect, active, &response);
    let centre = rect.left_center() + Vec2::new(9.0, 0.0);
    let stroke = Stroke::new(1.4, if active { t.working } else { t.ink });
    match model.shape {
        LipShape::Round { .. } => {
            ui.painter().circle_stroke(centre, 6.0, stroke);
            if model.folds > 0 {
                ui.painter().circle_stroke(centre, 3.4, Stroke::new(1.0, stroke.color));
            }
        }
        LipShape::Long { .. } => {
            ui.painter().rect_stroke(
                egui::Rect::from_center_size(centre, Vec2::new(17.0, 8.0)),
                4.0,
                stroke,
                egui::StrokeKind::Middle,
            );
        }
        LipShape::Rectangle { .. } => {
            ui.painter().rect_stroke(
                egui::Rect::from_center_size(centre, Vec2::new(16.0, 10.0)),
                2.0,
                stroke,
                egui::StrokeKind::Middle,
            );
        }
    }
    let note = ui.painter().layout_no_wrap(note.to_owned(), Size::Body.font(), t.second);
    let room = rect.width() - note.size().x - 36.0;
    let name = one_line(ui, &model.name, room, Size::Body.font(), t.ink);
    ui.painter().galley(rect.left_center() + Vec2::new(26.0, -name.size().y / 2.0), name, t.ink);
    ui.painter().galley(rect.right_center() - Vec2::new(note.size().x, note.size().y / 2.0), note, t.second);
    response.on_hover_text(describe(view, model))
}

/// One paragraph about a model.
pub(crate) fn describe(view: &View, model: &CupModel) -> String {
    let size = model.shape.size();
    let length = |v: f64| view.text(v, Quantity::Length);
    format!(
        "{}\nlip {} × {}, bore {}, height {}, travel {}\n{} along, {} across, Shore A {}, seals gaps up to {}\n{}, thread {}",
        model.name,
        length(size.x),
        length(size.y),
        length(model.bore_mm),
        length(model.height_mm),
        length(model.travel_mm.value),
        view.text(model.axial_n_mm.value, Quantity::Stiffness),
        view.text(model.lateral_n_mm.value, Quantity::Stiffness),
        view.fixed(model.hardness_shore_a, 0),
        length(model.closes_mm),
        model.material,
        model.thread
    )
}
