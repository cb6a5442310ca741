//! Every shortcut and what the mouse does, on one page.

use super::{Effect, buttons, title};
use crate::{
    command::Command,
    outputs::Output,
    shortcuts,
    theme::{Size, Tokens},
    view::{Action, View},
};
use egui::{RichText, Ui};
use sheet::KeyGroup;

/// Draws the page in two columns.
pub fn keys_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Keys and mouse");
    let groups = shortcuts::groups(&view.units);
    // As many rows at the left as at the right, or a few more.
    let rows: usize = groups.iter().map(|group| group.rows.len() + 1).sum();
    let mut left = 0;
    let mut counted = 0;
    while counted + groups[left].rows.len() < rows / 2 {
        counted += groups[left].rows.len() + 1;
        left += 1;
    }
    ui.columns(2, |columns| {
        for (column, groups) in columns.iter_mut().zip([&groups[..left], &groups[left..]]) {
            for group in groups {
                group_ui(column, group);
            }
        }
    });
    match buttons(ui, &["Close", "Print…"], true) {
        Some(0) => Effect::Close,
        Some(_) => {
            actions.push(Action::Run(Command::Write(Output::KEYS)));
            Effect::Close
        }
        None => Effect::Stay,
    }
}

fn heading(ui: &mut Ui, name: &str) {
    ui.add_space(4.0);
    ui.label(RichText::new(name).font(Size::Body.strong()));
}

fn group_ui(ui: &mut Ui, group: &KeyGroup) {
    heading(ui, &group.name);
    for row in &group.rows {
        pair_ui(ui, &row.does, &row.keys);
    }
}

/// The keys at the left, what they do beside them.
fn pair_ui(ui: &mut Ui, does: &str, keys: &str) {
    let t = Tokens::of(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 10.0;
        let width = 112.0;
        ui.allocate_ui(egui::vec2(width, 18.0), |ui| {
            ui.set_width(width);
            ui.add(egui::Label::new(RichText::new(keys).color(t.working)).wrap());
        });
        ui.add(egui::Label::new(does).wrap());
    });
}
