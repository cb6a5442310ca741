//! The bar at the top: what is open, the layouts, undo, and the menu.

use super::Status;
use crate::{
    command::{Command, Group},
    outputs::Output,
    theme::Size,
    view::{Action, View},
    widgets::{elided, line_within},
};
use egui::{Align, Button, Layout, RichText, Ui};

/// Room for what undo and redo would do: about four words.
const UNDO_WIDTH: f32 = 170.0;

/// Draws the bar.
pub fn title_ui(ui: &mut Ui, view: &View, status: &Status, actions: &mut Vec<Action>) {
    let t = view.tokens;
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = 12.0;
        let room = ui.available_width();
        let picked = [units::Quantity::Length, units::Quantity::VacuumLevel, units::Quantity::Force]
            .map(|q| units::unit_of(q, &view.units).1)
            .join(", ");
        let shade = if t.dark { "Light" } else { "Dark" };
        let history = [(Command::Redo, &view.redo), (Command::Undo, &view.undo)].map(|(command, name)| {
            let label = name.as_ref().map_or_else(
                || command.label().to_owned(),
                |n| elided(ui, &format!("{} {}", command.label(), lower(n)), UNDO_WIDTH),
            );
            (command, name.is_some(), label)
        });
        // Redo appears only when there is something to redo: the bar stays calm.
        let history = history.into_iter().filter(|(command, any, _)| *any || *command == Command::Undo);
        let history: Vec<_> = history.collect();
        // Names at the left have what the buttons leave.
        let buttons = WRITES.iter().map(|command| command.label()).chain(["Menu", shade, picked.as_str()]);
        let buttons = buttons.chain(history.iter().map(|(.., label)| label.as_str()));
        let left = room - buttons.map(|label| button_width(ui, label)).sum::<f32>();
        let started = ui.cursor().left();
        line_within(ui, &view.project.name, Size::Heading.strong(), t.ink, (room * 0.24).min(left * 0.62));
        let sealed = view.review.as_ref().is_some_and(|review| review.sealed);
        let file = match (&view.file_name, view.unsaved) {
            (Some(name), _) if sealed => format!("{name}, under review"),
            (Some(name), false) => name.clone(),
            (Some(name), true) => format!("{name}, edited"),
            (None, true) if view.demo => "demo, edited".to_owned(),
            (None, false) if view.demo => "demo".to_owned(),
            (None, _) => "not saved yet".to_owned(),
        };
        let still = |ui: &Ui| left - (ui.cursor().left() - started) - 8.0;
        let widest = (room * 0.16).min(still(ui)).max(0.0);
        line_within(ui, &file, Size::Body.font(), t.second, widest);
        standing_ui(ui, view, (room * 0.17).min(still(ui)), actions);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = 4.0;
            ui.menu_button("Menu", |ui| menu_ui(ui, view, status, actions));
            let quiet = |text: String| Button::new(text).frame_when_inactive(false);
            if ui.add(quiet(shade.to_owned())).on_hover_text(hover(ui, Command::ToggleTheme)).clicked() {
                actions.push(Action::Run(Command::ToggleTheme));
            }
            for command in WRITES {
                if ui.add(quiet(command.label().to_owned())).on_hover_text(hover(ui, command)).clicked() {
                    actions.push(Action::Run(command));
                }
            }
            if ui.add(quiet(picked)).on_hover_text(hover(ui, Command::Units)).clicked() {
                actions.push(Action::Run(Command::Units));
            }
            for (command, any, label) in history {
                if ui.add_enabled(any, quiet(label)).on_hover_text(hover(ui, command)).clicked() {
                    actions.push(Action::Run(command));
                }
            }
        });
    });
}

/// Buttons of the title bar, from the right.
const WRITES: [Command; 3] = [Command::Write(Output::SHEET), Command::ImportDrawing, Command::Save];

/// Below this the standing says nothing any more; the review has it too.
const NARROWEST_STANDING: f32 = 90.0;

/// Room of a button with what parts it from the next.
fn button_width(ui: &Ui, label: &str) -> f32 {
    let font = egui::TextStyle::Button.resolve(ui.style());
    let text = ui.painter().layout_no_wrap(label.to_owned(), font, egui::Color32::PLACEHOLDER);
    text.size().x + 2.0 * ui.spacing().button_padding.x + 5.0
}

/// How the content stands to what was issued, what is said of it and who else has it open; leads to the review.
fn standing_ui(ui: &mut Ui, view: &View, room: f32, actions: &mut Vec<Action>) {
    let Some(content) = view.content.as_ref().filter(|_| view.review.is_none()) else { return };
    let open = view.project.review.open().count();
    let remarks = match open {
        0 => None,
        1 => Some("one remark".to_owned()),
        n => Some(format!("{n} remarks")),
    };
    let issued = (content.standing != document::Standing::NeverIssued).then(|| content.words().to_owned());
    let shared = view.also_open.as_ref().map(|_| "shared".to_owned());
    let text = [shared, remarks, issued].into_iter().flatten().collect::<Vec<_>>().join(", ");
    if text.is_empty() || room < NARROWEST_STANDING {
        return;
    }
    let shown = elided(ui, &text, room);
    let mut why = format!("Content {}, {}", content.fingerprint, content.words());
    if let Some(other) = &view.also_open {
        why = format!("{why}\nThe file is {other}");
    }
    let link = ui.link(shown).on_hover_text(why);
    ui.ctx().accesskit_node_builder(link.id, |node| node.set_label(text));
    if link.clicked() {
        actions.push(Action::Run(Command::Review));
    }
}

fn hover(ui: &Ui, command: Command) -> String {
    let keys = command.shortcut_text(ui.ctx());
    if keys.is_empty() { command.label().to_owned() } else { format!("{} ({keys})", command.label()) }
}

fn lower(name: &str) -> String {
    let mut chars = name.chars();
    chars.next().map(|c| c.to_lowercase().collect::<String>() + chars.as_str()).unwrap_or_default()
}

/// A menu's entry with its keys, if it has any.
pub(super) fn command_button(ui: &Ui, command: Command) -> Button<'static> {
    let button = Button::new(command.label()).frame_when_inactive(false);
    let keys = command.shortcut_text(ui.ctx());
    if keys.is_empty() { button } else { button.shortcut_text(keys) }
}

fn menu_ui(ui: &mut Ui, view: &View, status: &Status, actions: &mut Vec<Action>) {
    ui.set_min_width(150.0);
    for group in Group::ALL {
        ui.menu_button(group.label(), |ui| {
            ui.set_min_width(250.0);
            for (index, command) in Command::of(group).enumerate() {
                if command == Command::Quit {
                    recent_ui(ui, status, actions);
                }
                if index > 0 && command.is_apart() {
                    ui.separator();
                }
                let enabled = match command {
                    Command::Undo => view.undo.is_some(),
                    Command::Redo => view.redo.is_some(),
                    Command::Duplicate
                    | Command::Lock
                    | Command::MirrorAcrossVertical
                    | Command::MirrorAcrossHorizontal
                    | Command::ArrayRows
                    | Command::ArrayRing => !view.selection.is_empty(),
                    Command::AlignX | Command::AlignY => view.selection.len() > 1,
                    Command::SpaceX | Command::SpaceY => view.selection.len() > 2,
                    _ => true,
                };
                let button = command_button(ui, command).selected(status.on.contains(&command));
                if ui.add_enabled(enabled, button).clicked() {
                    actions.push(Action::Run(command));
                    ui.close();
                }
            }
        });
    }
}

fn recent_ui(ui: &mut Ui, status: &Status, actions: &mut Vec<Action>) {
    if status.recent.is_empty() {
        return;
    }
    ui.separator();
    ui.label(RichText::new("Recent").font(Size::Small.font()).weak());
    for path in &status.recent {
        let name =
            path.file_name().map_or_else(|| path.display().to_string(), |n| n.to_string_lossy().into_owned());
        if ui
            .add(Button::new(name).frame_when_inactive(false))
            .on_hover_text(path.display().to_string())
            .clicked()
        {
            actions.push(Action::Open(path.clone()));
            ui.close();
        }
    }
}
