//! Questions with a few answers: commands, demos, unsaved work, recovery, acceptance.

use super::{Effect, Next, PathForm, Pending, Purpose, buttons, title};
use crate::{
    command::Command,
    theme::{Size, Tokens},
    view::{Action, View},
    widgets::row_ground,
};
use analysis::Finding;
use document::{Accepted, Edit};
use egui::{Key, RichText, Role, Sense, TextEdit, Ui, WidgetInfo};
use std::{path::Path, sync::LazyLock};

/// Asks for another name for a layout.
pub fn rename_layout_ui(
    ui: &mut Ui,
    id: document::LayoutId,
    name: &mut String,
    actions: &mut Vec<Action>,
) -> Effect {
    title(ui, "Rename the layout");
    let edit = ui.add(TextEdit::singleline(name).desired_width(f32::INFINITY).font(Size::Heading.font()));
    ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label("Name of the layout"));
    let enter = edit.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    crate::widgets::first_focus(ui, &edit);
    let meant = !name.trim().is_empty();
    match buttons(ui, &["Rename", "Cancel"], meant) {
        Some(1) => Effect::Close,
        clicked if meant && (clicked == Some(0) || enter) => {
            actions.push(Action::Edit(Edit::RenameLayout(id, name.trim().to_owned())));
            Effect::Close
        }
        _ => Effect::Stay,
    }
}

/// Draws the list of commands that match.
pub fn palette_ui(ui: &mut Ui, query: &mut String, at: &mut usize, actions: &mut Vec<Action>) -> Effect {
    let t = Tokens::of(ui);
    let edit = ui.add(
        TextEdit::singleline(query)
            .hint_text("Find a command")
            .desired_width(f32::INFINITY)
            .font(Size::Heading.font()),
    );
    ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label("Find a command"));
    let enter = edit.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if edit.changed() {
        *at = 0;
    }
    if !edit.has_focus() && !enter {
        edit.request_focus();
    }
    let mut found = Command::found(query);
    found.retain(|command| *command != Command::Palette);
    let (up, down, escape) = ui
        .input(|i| (i.key_pressed(Key::ArrowUp), i.key_pressed(Key::ArrowDown), i.key_pressed(Key::Escape)));
    *at = if down {
        *at + 1
    } else if up {
        at.saturating_sub(1)
    } else {
        *at
    }
    .min(found.len().saturating_sub(1));
    let mut chosen = if enter { found.get(*at).copied() } else { None };
    // The list keeps its place and size, whatever it holds.
    let height = (0.62 * ui.ctx().content_rect().height()).max(160.0);
    egui::ScrollArea::vertical().max_height(height).min_scrolled_height(height).auto_shrink(false).show(
        ui,
        |ui| {
            for (i, command) in found.iter().enumerate() {
                let (rect, response) =
                    ui.allocate_exact_size(egui::vec2(ui.available_width(), 24.0), Sense::click());
                response.widget_info(|| WidgetInfo::labeled(Role::Button, true, command.label()));
                row_ground(ui, rect.shrink2(egui::vec2(6.0, 0.0)), i == *at, &response);
                if i == *at && (up || down) {
                    response.scroll_to_me(None);
                }
                ui.painter().text(
                    rect.left_center() + egui::vec2(8.0, 0.0),
                    egui::Align2::LEFT_CENTER,
                    format!("{}: {}", command.group().label(), command.label()),
                    Size::Body.font(),
                    t.ink,
                );
                ui.painter().text(
                    rect.right_center() - egui::vec2(8.0, 0.0),
                    egui::Align2::RIGHT_CENTER,
                    command.shortcut_text(ui.ctx()),
                    Size::Body.font(),
                    t.second,
                );
                if response.clicked() {
                    chosen = Some(*command);
                }
            }
            if found.is_empty() {
                ui.label(RichText::new("No command matches.").color(t.second));
            }
        },
    );
    match chosen {
        Some(command) => {
            actions.push(Action::Run(command));
            Effect::Close
        }
        None if escape => Effect::Close,
        None => Effect::Stay,
    }
}

/// What the demos are called, read once.
static DEMO_NAMES: LazyLock<Vec<String>> = LazyLock::new(|| {
    let called = |(file, text): &(&str, &str)| {
        document::from_text(text, file).map_or_else(|_| (*file).to_owned(), |project| project.name)
    };
    crate::demos::DEMOS.iter().map(called).collect()
});

/// Draws the demos.
pub fn demos_ui(ui: &mut Ui) -> Effect {
    title(ui, "Open a demo");
    let mut effect = Effect::Stay;
    for (i, name) in DEMO_NAMES.iter().enumerate() {
        if ui.link(name).clicked() {
            effect = Effect::Guarded(Pending::Demo(i));
        }
    }
    match buttons(ui, &["Close"], true) {
        Some(_) => Effect::Close,
        None => effect,
    }
}

/// Draws the question before unsaved work is left.
pub fn unsaved_ui(ui: &mut Ui, view: &View, then: &Pending) -> Effect {
    title(ui, "Not saved yet");
    ui.label(format!("{} has changes that are not on disk.", view.project.name));
    match buttons(ui, &["Save", "Discard", "Cancel"], true) {
        Some(0) => Effect::SaveThen(then.clone()),
        Some(1) => Effect::Proceed(then.clone()),
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the question before another's work is written over.
pub fn overwrite_ui(ui: &mut Ui, path: &Path, says: &str) -> Effect {
    title(ui, "The file has changed since you opened it");
    ui.label(says);
    match buttons(ui, &["Merge…", "Save as…", "Replace theirs", "Cancel"], true) {
        Some(0) => Effect::MergeTheirs,
        Some(1) => Effect::Then(Next::path(PathForm::new(
            Purpose::Save,
            path.with_extension("mine.ron").display().to_string(),
        ))),
        Some(2) => Effect::Overwrite(path.to_owned()),
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the question before a file that is there is written over.
pub fn replace_ui(ui: &mut Ui, says: &str) -> Effect {
    title(ui, "A file of that name exists");
    ui.label(says);
    match buttons(ui, &["Replace", "Cancel"], true) {
        Some(0) => Effect::Replace,
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the news that the open file changed on disk.
pub fn changed_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) -> Effect {
    title(ui, "Someone changed this file");
    let name = view.file_name.as_deref().unwrap_or("the file");
    ui.label(format!("{name} on disk has changed since it was opened or saved here."));
    if view.unsaved {
        ui.label(
            "Merge brings in their changes and keeps yours; where both changed the same thing, you choose. \
            Load theirs discards what you have not saved. Keep mine leaves theirs on disk, and saving asks \
            again.",
        );
        return match buttons(ui, &["Merge…", "See theirs", "Keep mine", "Save mine as…", "Load theirs"], true)
        {
            Some(0) => Effect::MergeTheirs,
            Some(1) => Effect::LookAtTheirs,
            Some(2) => Effect::Close,
            Some(3) => {
                actions.push(Action::Run(Command::SaveAs));
                Effect::Close
            }
            Some(_) => Effect::Reload,
            None => Effect::Stay,
        };
    }
    ui.label("You have changed nothing since: load theirs, or see what changed first.");
    match buttons(ui, &["Load theirs", "See theirs", "Keep mine"], true) {
        Some(0) => Effect::Reload,
        Some(1) => Effect::LookAtTheirs,
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the news that the open file is not there any more.
pub fn gone_ui(ui: &mut Ui, view: &View, actions: &mut Vec<Action>) -> Effect {
    title(ui, "The file is gone");
    let name = view.file_name.as_deref().unwrap_or("The file");
    ui.label(format!(
        "{name} was moved, renamed or deleted, or its disk is not connected. The project is still open here, \
        and this is now the only copy. Saving writes the file again.",
    ));
    match buttons(ui, &["Save again", "Save as…", "Later"], true) {
        Some(0) => Effect::SaveAgain,
        Some(1) => {
            actions.push(Action::Run(Command::SaveAs));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// Draws the form that accepts a finding.
pub fn accept_ui(
    ui: &mut Ui,
    view: &View,
    finding: &Finding,
    reason: &mut String,
    by: &mut String,
    actions: &mut Vec<Action>,
) -> Effect {
    title(ui, "Accept this finding");
    ui.label(RichText::new(&finding.says).font(Size::Body.strong()));
    ui.label(
        RichText::new(
            "It stays in the file and on the sheet with your reason, and no longer counts in \
        the verdict line. It does not improve the result.",
        )
        .color(view.tokens.second),
    );
    let field = |ui: &mut Ui, name: &str, text: &mut String| {
        ui.label(RichText::new(name).color(view.tokens.second));
        let edit = ui.add(TextEdit::singleline(text).desired_width(f32::INFINITY));
        ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label(format!("{name}, text")));
    };
    field(ui, "Reason for accepting", reason);
    field(ui, "Your name or initials", by);
    match buttons(ui, &["Accept", "Cancel"], !reason.trim().is_empty()) {
        Some(0) => {
            actions.push(Action::Edit(Edit::Accept(accepted(view, finding, reason, by))));
            Effect::Close
        }
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}

/// A finding of the layout shown, accepted today.
pub(super) fn accepted(view: &View, finding: &Finding, reason: &str, by: &str) -> Accepted {
    Accepted {
        rule: finding.rule.to_owned(),
        subject: finding.subject.clone(),
        motion: finding.motion,
        layout: view.layout.id,
        seat: finding.seat,
        reason: reason.trim().to_owned(),
        by: by.trim().to_owned(),
        on: crate::today(),
    }
}
