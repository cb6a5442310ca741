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
        // One offer has its buttons below, with the dialog's own.
        if offers.list.len() > 1 {
            ui.horizontal(|ui| {
                let size = egui::vec2(88.0, 28.0);
                if ui.add(Button::new("Recover").min_size(size)).clicked() {
                    effect = Effect::Recover(at);
                }
                if ui.add(Button::new("Discard").min_size(size)).clicked() {
                    effect = Effect::DiscardRecovered(at);
                }
            });
        }
    }
    for note in &offers.notes {
        ui.add_space(8.0);
        ui.label(note);
    }
    if !offers.list.is_empty() {
        ui.add_space(8.0);
        let later = "Later: everything is kept and offered again at the next start.";
        ui.label(RichText::new(later).font(Size::Small.slanted()).color(view.tokens.second));
    }
    match offers.list.len() {
        0 => buttons(ui, &["Close"], true).map_or(effect, |_| Effect::Close),
        1 => match buttons(ui, &["Recover", "Discard", "Later"], true) {
            Some(0) => Effect::Recover(0),
            Some(1) => Effect::DiscardRecovered(0),
            Some(_) => Effect::Close,
            None => effect,
        },
        _ => buttons(ui, &["Later"], true).map_or(effect, |_| Effect::Close),
    }
}
