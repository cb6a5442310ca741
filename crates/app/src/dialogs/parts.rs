//! What dialogs are made of.

use crate::{command::Command, outputs::Output, view::Action};
use egui::{Context, Id, RichText, Ui};

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

/// Height of the row of buttons with the air above it.
pub(super) const FOOTER: f32 = 40.0;

/// The buttons of the dialog that is open: they stand below what may scroll, so that they are always in sight. What was clicked
/// is told to the dialog in the frame after.
#[derive(Debug, Clone, Default)]
pub(super) struct Footer {
    of: Option<Id>,
    labels: Vec<String>,
    enabled: bool,
    clicked: Option<usize>,
    /// Frame in which the dialog was drawn last.
    drawn: u64,
}

impl Footer {
    fn change<R>(ctx: &Context, change: impl FnOnce(&mut Self) -> R) -> R {
        ctx.data_mut(|data| change(data.get_temp_mut_or_default(Id::unique("buttons of the dialog"))))
    }

    /// Before a dialog is drawn: a click on another one, or before it was closed and opened again, is none on this one.
    pub(super) fn begin(ctx: &Context, of: Id) {
        let frame = ctx.cumulative_frame_nr();
        Self::change(ctx, |footer| {
            let last = std::mem::replace(&mut footer.drawn, frame);
            if footer.of.replace(of) != Some(of) || frame.saturating_sub(last) > 1 {
                footer.clicked = None;
            }
            footer.labels.clear();
        });
    }

    /// After it: draws the buttons that it asked for.
    pub(super) fn show(ui: &mut Ui) {
        let Self { labels, enabled, .. } = Self::change(ui.ctx(), |footer| footer.clone());
        if labels.is_empty() {
            return;
        }
        ui.add_space(8.0);
        let (size, layout) =
            (egui::vec2(ui.available_width(), 28.0), egui::Layout::right_to_left(egui::Align::Center));
        ui.allocate_ui_with_layout(size, layout, |ui| {
            for (i, label) in labels.iter().enumerate().rev() {
                let t = crate::theme::Tokens::of(ui);
                let button = if i == 0 {
                    egui::Button::new(RichText::new(label).color(t.ground)).fill(t.working)
                } else {
                    egui::Button::new(label)
                };
                if ui.add_enabled(enabled || i > 0, button.min_size(egui::vec2(88.0, 28.0))).clicked() {
                    Self::change(ui.ctx(), |footer| footer.clicked = Some(i));
                    ui.ctx().request_repaint();
                }
            }
        });
    }
}

/// Buttons at the lower right, the first is what Enter does; gives which was clicked.
pub(crate) fn buttons(ui: &mut Ui, labels: &[&str], enabled: bool) -> Option<usize> {
    let mut clicked = Footer::change(ui.ctx(), |footer| {
        footer.labels = labels.iter().map(|label| (*label).to_owned()).collect();
        footer.enabled = enabled;
        // The form may have become wrong in the frame between.
        footer.clicked.take().filter(|clicked| enabled || *clicked > 0)
    });
    if clicked.is_none()
        && enabled
        && ui.input(|i| i.key_pressed(egui::Key::Enter))
        && !ui.ctx().text_edit_focused()
    {
        clicked = Some(0);
    }
    clicked
}
