//! Messages, about and cautions.

use super::{Effect, buttons, title};
use crate::{
    command::Command,
    outputs::{Output, Shelf},
    theme::{Size, Tokens},
    view::Action,
};
use egui::{RichText, Ui};

/// Draws a message.
pub fn message_ui(ui: &mut Ui, heading: &str, text: &str) -> Effect {
    title(ui, heading);
    ui.label(text);
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws what the status line said, newest first.
pub fn messages_ui(ui: &mut Ui, said: &[(String, String)]) -> Effect {
    let t = Tokens::of(ui);
    title(ui, "Message log");
    for (on, text) in said.iter().rev() {
        ui.horizontal_top(|ui| {
            ui.label(RichText::new(on).color(t.second));
            ui.add(egui::Label::new(text).wrap());
        });
    }
    if said.is_empty() {
        ui.label(RichText::new("No messages yet.").color(t.second));
    }
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws what the program is and what it is not.
pub fn about_ui(ui: &mut Ui) -> Effect {
    let t = Tokens::of(ui);
    title(ui, "Cupwright");
    ui.label(RichText::new(format!("Version {}", env!("CARGO_PKG_VERSION"))).color(t.second));
    ui.label("Which suction cups, how many and where, and whether the tool picks the part up and keeps it through every motion of the cycle, as modelled.");
    ui.add_space(6.0);
    ui.label(RichText::new("Cautions").font(Size::Heading.strong()));
    for caution in sheet::CAUTIONS {
        ui.horizontal_top(|ui| {
            ui.label(RichText::new("–").color(t.second));
            ui.add(egui::Label::new(caution).wrap());
        });
    }
    ui.add_space(6.0);
    ui.label(RichText::new("The built-in cup models are invented and generic, not any maker's data: replace them with measured or stated ones.").color(t.second));
    ui.label(RichText::new("Type: Source Sans 3, SIL Open Font License 1.1.").color(t.second));
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the plots that can be written as pictures of their own.
pub fn plots_ui(ui: &mut Ui, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Plots as pictures");
    let mut effect = Effect::Stay;
    for output in Output::of(Shelf::Pictures) {
        if ui.link(output.label()).clicked() {
            actions.push(Action::Run(Command::Write(output)));
            effect = Effect::Close;
        }
        ui.label(RichText::new(output.holds()).font(Size::Small.font()).color(Tokens::of(ui).second));
        ui.add_space(4.0);
    }
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => effect,
    }
}
