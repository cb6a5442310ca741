//! Rows of the review.

use crate::{
    theme::Size,
    view::View,
    widgets::{one_line, row_ground},
};
use egui::{Color32, Pos2, Rect, RichText, Role, Sense, Ui, Vec2, WidgetInfo};

/// Height of a row.
pub(super) const ROW: f32 = 24.0;

/// A sentence in place of rows.
pub(super) fn note(ui: &mut Ui, view: &View, says: &str) {
    ui.add_space(6.0);
    ui.add(egui::Label::new(RichText::new(says).color(view.tokens.second)).wrap());
}

/// A row that can be clicked, with its ground.
pub(super) fn row(ui: &mut Ui, marked: bool, spoken: &str) -> (Rect, egui::Response) {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, marked, spoken));
    row_ground(ui, rect, marked, &response);
    (rect, response)
}

/// A text on one line, its left middle there.
pub(super) fn put(ui: &Ui, at: Pos2, width: f32, text: &str, strong: bool, colour: Color32) {
    let font = if strong { Size::Body.strong() } else { Size::Body.font() };
    let galley = one_line(ui, text, width, font, colour);
    ui.painter().galley(at - Vec2::new(0.0, galley.size().y / 2.0), galley, colour);
}
