//! Rows and headings that forms are made of.

use crate::{
    theme::{Size, Tokens},
    widgets::elided,
};
use egui::{Align, Response, Ui, Vec2};

/// Width kept for the unit.
pub(super) const UNIT_WIDTH: f32 = 40.0;
/// Height of a form row.
pub const ROW: f32 = 24.0;

/// A form row that only shows a figure.
pub fn figure(ui: &mut Ui, name: &str, shown: &units::Shown, why: &str) {
    row(ui, name, why, |ui| {
        unit_cell(ui, shown.unit);
        ui.add_space(4.0);
        let number = ui.add(egui::Label::new(&shown.number));
        ui.ctx().accesskit_node_builder(number.id, |node| node.set_label(format!("{name}: {shown}")));
    });
}

/// The unit left-aligned in a cell of fixed width, so that numbers end on one line down the form.
pub(super) fn unit_cell(ui: &mut Ui, unit: &str) {
    let t = Tokens::of(ui);
    // A long unit takes the room it needs; the number then gives way.
    let galley = ui.painter().layout_no_wrap(unit.to_owned(), Size::Body.font(), t.second);
    let width = galley.size().x.max(UNIT_WIDTH);
    let (rect, _) = ui.allocate_exact_size(Vec2::new(width, ROW), egui::Sense::hover());
    ui.painter().galley(rect.left_center() - Vec2::new(0.0, galley.size().y / 2.0), galley, t.second);
}

/// Label left, the rest laid out from the right.
pub fn row<R>(ui: &mut Ui, name: &str, why: &str, add: impl FnOnce(&mut Ui) -> R) -> R {
    let t = Tokens::of(ui);
    ui.allocate_ui_with_layout(
        Vec2::new(ui.available_width(), ROW),
        egui::Layout::right_to_left(Align::Center),
        |ui| {
            ui.set_min_height(ROW);
            ui.spacing_mut().item_spacing.x = 4.0;
            let value = add(ui);
            // Painted, not a widget: the control itself carries the name for assistive technology.
            let (rect, response) = ui.allocate_exact_size(ui.available_size(), egui::Sense::hover());
            let text = elided(ui, name, rect.width());
            let font = Size::Body.font();
            ui.painter().text(rect.left_center(), egui::Align2::LEFT_CENTER, text, font, t.second);
            if !why.is_empty() {
                response.on_hover_text(why);
            }
            value
        },
    )
    .inner
}

/// Heading of a group with an action at its right.
pub fn heading(ui: &mut Ui, name: &str, action: Option<(&str, &str)>) -> bool {
    let mut clicked = false;
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        ui.label(egui::RichText::new(name).font(Size::Heading.strong()));
        if let Some((label, why)) = action {
            ui.with_layout(egui::Layout::right_to_left(Align::Center), |ui| {
                clicked = ui.link(label).on_hover_text(why).clicked();
            });
        }
    });
    clicked
}

/// Heading of a part of a form.
pub fn subheading(ui: &mut Ui, name: &str) -> Response {
    ui.add_space(6.0);
    ui.label(egui::RichText::new(name).font(Size::Body.strong()))
}

/// A part of a form that folds under its heading; it keeps its state while the program runs.
pub fn folding<R>(
    ui: &mut Ui,
    salt: impl std::hash::Hash + std::fmt::Debug,
    name: &str,
    open: bool,
    add: impl FnOnce(&mut Ui) -> R,
) -> Option<R> {
    ui.add_space(2.0);
    let heading = egui::RichText::new(name).font(Size::Body.strong());
    egui::CollapsingHeader::new(heading)
        .id_salt(("folding", super::fingerprint(&salt)))
        .default_open(open)
        .show_unindented(ui, add)
        .body_returned
}

/// A hairline with air around it.
pub fn parting(ui: &mut Ui) {
    ui.add_space(8.0);
    let t = Tokens::of(ui);
    let rect = ui.available_rect_before_wrap();
    ui.painter().hline(rect.x_range(), rect.top(), egui::Stroke::new(1.0, t.hairline));
    ui.add_space(8.0);
}
