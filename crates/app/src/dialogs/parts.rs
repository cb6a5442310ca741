//! What dialogs are made of.

use crate::{command::Command, outputs::Output, view::Action};
use egui::{RichText, Ui};

/// Offers the library of the project as a table.
pub(crate) fn as_table_ui(ui: &mut Ui, any: bool, output: Output, actions: &mut Vec<Action>) {
    let button = ui.add_enabled(any, egui::Button::new("As a table…"));
    if button.on_hover_text(units::capital(output.holds())).clicked() {
        actions.push(Action::Run(Command::Write(output)));
    }
}

/// Title of a dialog.
pub(crate) fn title(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(crate::theme::Size::Verdict.strong()));
    ui.add_space(6.0);
}

/// Buttons at the lower right, the first is what Enter does; gives which was clicked.
pub(crate) fn buttons(ui: &mut Ui, labels: &[&str], enabled: bool) -> Option<usize> {
    let mut clicked = None;
    ui.add_space(8.0);
    ui.allocate_ui_with_layout(
        egui::vec2(ui.available_width(), 28.0),
        egui::Layout::right_to_left(egui::Align::Center),
        |ui| {
            for (i, label) in labels.iter().enumerate().rev() {
                let t = crate::theme::Tokens::of(ui);
                let button = if i == 0 {
                    egui::Button::new(RichText::new(*label).color(t.ground)).fill(t.working)
                } else {
                    egui::Button::new(*label)
                };
                if ui.add_enabled(enabled || i > 0, button.min_size(egui::vec2(88.0, 28.0))).clicked() {
                    clicked = Some(i);
                }
            }
        },
    );
    if clicked.is_none()
        && enabled
        && ui.input(|i| i.key_pressed(egui::Key::Enter))
        && !ui.ctx().text_edit_focused()
    {
        clicked = Some(0);
    }
    clicked
}
