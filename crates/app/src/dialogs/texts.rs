//! Messages, about and cautions.

use super::{Effect, buttons, title};
use crate::theme::{Size, Tokens};
use egui::{RichText, Ui};

/// What every sheet and the About box carry.
const CAUTIONS: &[&str] = &[
    "Suspended or moving loads can fall: keep people out of the path and below; guard to the machine's risk assessment.",
    "Loss of energy must not release the part: check valves, monitored level, stated hold time.",
    "Test with the real part, at the lowest feed pressure, worst surface and highest temperature.",
    "Ear and eye protection near ejector exhaust; pipe exhaust with chips or dust away from people.",
    "Isolate and vent before working on it. Wear gloves for sharp sheet and glass.",
    "Not for lifting people or above people.",
    "The figures assist, and do not replace, the judgement of a competent person, the trial pick with the real part, local codes, licensed practice and the machine's risk assessment.",
];

/// Draws a message.
pub fn message_ui(ui: &mut Ui, heading: &str, text: &str) -> Effect {
    title(ui, heading);
    ui.label(text);
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
    for caution in CAUTIONS {
        ui.horizontal_top(|ui| {
            ui.label(RichText::new("–").color(t.second));
            ui.add(egui::Label::new(*caution).wrap());
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
