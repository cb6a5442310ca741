//! Every shortcut and what the mouse does, on one page.

use super::{Effect, buttons, title};
use crate::{
    command::{Command, Group},
    theme::{Size, Tokens},
};
use egui::{RichText, Ui};

/// What hand and key do on the plan, which no command is called after.
pub(crate) const ON_THE_PLAN: &[(&str, &str)] = &[
    ("Drag a cup", "moves it; Alt lets it go off the grid, Escape puts it back"),
    ("Drag the ground", "selects what the box touches; Shift adds"),
    ("Click, Shift-click", "selects one, adds one or leaves it out"),
    ("Middle or right button, or Space", "drags the plan"),
    ("Wheel", "zooms about the pointer"),
    ("Arrow keys", "move the selected cups by 1 mm; Shift 10 mm, Ctrl 0.1 mm"),
    ("[ and ]", "turn them by 15 degrees"),
    ("Escape", "leaves the tool, then the selection"),
    ("Double click on a panel's edge", "folds the panel and unfolds it"),
];

/// Draws the page in two columns.
pub fn keys_ui(ui: &mut Ui) -> Effect {
    title(ui, "Keys and mouse");
    let groups: Vec<Group> =
        Group::ALL.into_iter().filter(|g| Command::of(*g).any(|c| c.shortcut().is_some())).collect();
    let half = groups.len().div_ceil(2);
    ui.columns(2, |columns| {
        for (column, groups) in columns.iter_mut().zip([&groups[..half], &groups[half..]]) {
            for group in groups {
                group_ui(column, *group);
            }
        }
        let ui = &mut columns[1];
        heading(ui, "On the plan");
        for (hand, does) in ON_THE_PLAN {
            pair_ui(ui, does, hand);
        }
    });
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

fn heading(ui: &mut Ui, name: &str) {
    ui.add_space(4.0);
    ui.label(RichText::new(name).font(Size::Body.strong()));
}

fn group_ui(ui: &mut Ui, group: Group) {
    heading(ui, group.label());
    for command in Command::of(group) {
        let keys = command.shortcut_text(ui.ctx());
        if !keys.is_empty() {
            pair_ui(ui, command.label().trim_end_matches('…'), &keys);
        }
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
