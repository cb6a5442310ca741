//! What is told of a drawing: the worst first, ten before the rest is asked for; each shows its place, a decision its
//! alternative.

use super::import_options::start_of;
use crate::{theme::Size, view::View};
use egui::{RichText, Sense, Ui};
use exchange::{ImportOptions, Message, SHOWN_FIRST, Weight};
use glam::DVec2;

/// What a person did with the list.
pub(super) enum Asked {
    /// To see where it is.
    Show(DVec2),
    /// The alternative; the options are changed.
    Other,
}

/// Draws the list.
pub(super) fn messages_ui(
    ui: &mut Ui,
    view: &View,
    messages: &[Message],
    all: &mut bool,
    options: &mut ImportOptions,
) -> Option<Asked> {
    let t = view.tokens;
    ui.add_space(4.0);
    ui.label(RichText::new("Decided, repaired and skipped").font(Size::Heading.strong()));
    if messages.is_empty() {
        ui.label(RichText::new("Nothing: the drawing was clean.").color(t.second));
        return None;
    }
    let mut asked = None;
    let high = (ui.available_height() - 6.0).clamp(110.0, 190.0);
    egui::ScrollArea::vertical().id_salt("diagnostics").max_height(high).auto_shrink([false, true]).show(
        ui,
        |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let shown = if *all { messages.len() } else { SHOWN_FIRST };
            for m in messages.iter().take(shown) {
                let colour = match m.weight {
                    Weight::Ask => t.fail,
                    Weight::Check => t.watch,
                    Weight::Chosen => t.working,
                    Weight::Mended => t.order,
                    Weight::Skipped => t.second,
                };
                ui.horizontal_top(|ui| {
                    let word = RichText::new(m.weight.label()).color(colour);
                    ui.add_sized([54.0, 18.0], egui::Label::new(word).halign(egui::Align::LEFT));
                    ui.vertical(|ui| {
                        if let Some(said) = message_ui(ui, m, options) {
                            asked = Some(said);
                        }
                    });
                });
            }
            if messages.len() > shown && ui.link(format!("{} more…", messages.len() - shown)).clicked() {
                *all = true;
            }
        },
    );
    asked
}

fn message_ui(ui: &mut Ui, m: &Message, options: &mut ImportOptions) -> Option<Asked> {
    let times = if m.count > 1 { format!(" ({}×)", m.count) } else { String::new() };
    let text = format!("{}{times}", start_of(&m.says));
    // What needs no answer takes one line, and says the rest when it is pointed at.
    let long = m.weight <= Weight::Chosen;
    let label = egui::Label::new(RichText::new(&text).font(Size::Small.font())).sense(Sense::click());
    let response = ui.add(if long { label.wrap() } else { label.truncate() });
    let place = if m.place.is_empty() { String::new() } else { format!("\n{}", start_of(&m.place)) };
    let response = response.on_hover_text(format!("{text}{place}"));
    let mut asked = None;
    if let (true, Some(at)) = (response.clicked(), m.at) {
        asked = Some(Asked::Show(at));
    }
    if let Some((other, instead)) = &m.other
        && ui.link(RichText::new(units::capital(other)).font(Size::Small.font())).clicked()
    {
        instead.apply(options);
        asked = Some(Asked::Other);
    }
    asked
}
