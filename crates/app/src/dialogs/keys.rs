//! Every shortcut and what the mouse does, on one page.

use super::{Effect, buttons, title};
use crate::{
    command::{Command, Group},
    plan,
    theme::{Size, Tokens},
    view::View,
};
use egui::{RichText, Ui};
use units::Quantity;

/// What hand and key do on the plan, which no command is called after.
pub(crate) const ON_THE_PLAN: &[(&str, &str)] = &[
    ("Drag a cup", "moves it; Alt ignores the grid, Escape puts it back"),
    ("Drag the background", "selects what the box touches; Shift adds"),
    ("Click, Shift-click", "selects one; adds or removes one"),
    ("Middle or right button, or Space", "pans the plan"),
    ("Wheel", "zooms about the pointer"),
    ("[ and ]", "turn them by 15 degrees"),
    ("Escape", "ends the tool, then clears the selection"),
    ("Double click on a panel's edge", "folds the panel and unfolds it"),
];

/// Draws the page in two columns.
pub fn keys_ui(ui: &mut Ui, view: &View) -> Effect {
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
        let step = plan::nudge_step(view.units.length);
        let by = |times: f64| view.given(units::tidied(times * step), Quantity::Length);
        let moves = format!("move the selected cups by {}; Shift {}, Ctrl {}", by(1.0), by(10.0), by(0.1));
        pair_ui(ui, &moves, "Arrow keys");
        let grid = view.given(view.step_mm, Quantity::Length);
        pair_ui(ui, &format!("move the cup about to be placed by {grid}; Enter places it"), "C, arrow keys");
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
