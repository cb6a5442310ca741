//! The offer to take up what killed runs left.

use super::{Effect, buttons, title};
use crate::{offers::Offers, theme::Size, view::View};
use egui::{Button, RichText, Ui};

/// Draws every journal that was left, newest first, and what could not be read.
pub fn left_ui(ui: &mut Ui, view: &View, offers: &Offers) -> Effect {
    title(ui, "Recover unsaved work");
    let mut effect = Effect::Stay;
    match offers.list.len() {
        0 => {}
        1 => {
            ui.label("The program closed unexpectedly. Unsaved work can be recovered.");
        }
        n => {
            ui.label(format!(
                "The program closed unexpectedly {n} times. Unsaved work can be recovered one at a time; the \
                rest is kept."
            ));
        }
    }
    for (at, offer) in offers.list.iter().enumerate() {
        let found = &offer.found;
        ui.add_space(8.0);
        ui.label(RichText::new(&found.project.name).font(Size::Heading.strong()));
        let changes =
            if found.edits == 1 { "One change".to_owned() } else { format!("{} changes", found.edits) };
        let last = found.last.as_ref().map(|name| format!(", the last: {name}")).unwrap_or_default();
        ui.label(format!("{changes} not saved, {}{last}", offer.when));
        let from = match &found.opened {
            Some(path) if path.is_file() => format!("From {}; that file is unchanged.", path.display()),
            Some(path) => format!("From {}, which no longer exists.", path.display()),
            None => "It was never saved in a file.".to_owned(),
        };
        ui.label(RichText::new(from).color(view.tokens.second));
        if let Some(problem) = &found.problem {
            ui.label(problem);
        }
        ui.horizontal(|ui| {
            let size = egui::vec2(88.0, 28.0);
            let take = RichText::new("Recover").color(view.tokens.ground);
            if ui.add(Button::new(take).fill(view.tokens.working).min_size(size)).clicked() {
                effect = Effect::Recover(at);
            }
            if ui.add(Button::new("Discard").min_size(size)).clicked() {
                effect = Effect::DiscardRecovered(at);
            }
        });
    }
    for note in &offers.notes {
        ui.add_space(8.0);
        ui.label(note);
    }
    let enter = ui.input(|i| i.key_pressed(egui::Key::Enter));
    if offers.list.len() == 1 && enter && matches!(effect, Effect::Stay) {
        return Effect::Recover(0);
    }
    if offers.list.is_empty() {
        return buttons(ui, &["Close"], true).map_or(effect, |_| Effect::Close);
    }
    ui.add_space(8.0);
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        let later = Button::new("Later").min_size(egui::vec2(88.0, 28.0));
        if ui.add(later).on_hover_text("Everything is kept and offered again at the next start").clicked() {
            effect = Effect::Close;
        }
    });
    effect
}
