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
    /// Whether a list was open before this frame: its Enter and Escape are its own.
    list_open: bool,
}

impl Footer {
    fn change<R>(ctx: &Context, change: impl FnOnce(&mut Self) -> R) -> R {
        ctx.data_mut(|data| change(data.get_temp_mut_or_default(Id::unique("buttons of the dialog"))))
    }

    /// Before a dialog is drawn: a click on another one, or before it was closed and opened again, is none on this one.
    pub(super) fn begin(ctx: &Context, of: Id) {
        let frame = ctx.cumulative_frame_nr();
        let list_open = egui::Popup::is_any_open(ctx);
        Self::change(ctx, |footer| {
            footer.list_open = list_open;
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
        // Drawn from left to right, as Tab goes, and ending at the right edge.
        let font = egui::TextStyle::Button.resolve(ui.style());
        let (padding, gap) = (2.0 * ui.spacing().button_padding.x, ui.spacing().item_spacing.x);
        let wide = |label: &String| {
            let text = ui.painter().layout_no_wrap(label.clone(), font.clone(), egui::Color32::PLACEHOLDER);
            (text.size().x + padding).max(88.0) + gap
        };
        let total: f32 = labels.iter().map(wide).sum::<f32>() - gap;
        ui.horizontal(|ui| {
            ui.add_space((ui.available_width() - total).max(0.0).floor());
            for (i, label) in labels.iter().enumerate() {
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
    let (mut clicked, list_open) = Footer::change(ui.ctx(), |footer| {
        footer.labels = labels.iter().map(|label| (*label).to_owned()).collect();
        footer.enabled = enabled;
        // The form may have become wrong in the frame between.
        (footer.clicked.take().filter(|clicked| enabled || *clicked > 0), footer.list_open)
    });
    // On a button, a box, a list or in a text of several lines Enter is theirs.
    let theirs = ui
        .memory(|memory| memory.focused())
        .and_then(|id| ui.ctx().read_response(id))
        .is_some_and(|focused| focused.layer_id == ui.layer_id());
    if clicked.is_none() && enabled && !list_open && !theirs && ui.input(|i| i.key_pressed(egui::Key::Enter))
    {
        clicked = Some(0);
    }
    clicked
}
