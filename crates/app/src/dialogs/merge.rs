//! Two sets of changes to one file, put together: what comes in by itself, and a choice where both touch the same thing.

use super::{Effect, buttons, title};
use crate::{app::OpenFile, theme::Size, view::View};
use document::{Change, Choice, Conflict, Merge, Project};
use egui::{RichText, Ui};
use std::{fmt, sync::Arc};

/// What a merge is made from, and the choices so far.
#[derive(Clone)]
pub struct MergeForm {
    /// Both sets of changes.
    pub merge: Merge,
    /// As someone else left the file.
    pub theirs: Arc<Project>,
    /// The file as it is now.
    pub file: OpenFile,
    choices: Vec<Option<Choice>>,
}

impl fmt::Debug for MergeForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("MergeForm").field("file", &self.file.path).finish_non_exhaustive()
    }
}

impl MergeForm {
    /// Nothing is chosen yet.
    pub fn new(merge: Merge, theirs: Arc<Project>, file: OpenFile) -> Self {
        let choices = vec![None; merge.conflicts.len()];
        Self { merge, theirs, file, choices }
    }
}

/// Draws both lists and the choices.
pub fn merge_ui(ui: &mut Ui, view: &View, form: &mut MergeForm) -> Effect {
    let t = view.tokens;
    title(ui, "Merge what was saved elsewhere");
    ui.columns(2, |columns| {
        let sides = [("Theirs, taken in", &form.merge.theirs), ("Yours, kept", &form.merge.mine)];
        for (ui, (name, changes)) in columns.iter_mut().zip(sides) {
            ui.label(RichText::new(name).font(Size::Body.strong()));
            for line in lines(changes) {
                ui.label(RichText::new(line).color(t.second));
            }
            if changes.is_empty() {
                ui.label(RichText::new("nothing").color(t.second));
            }
        }
    });
    if !form.merge.conflicts.is_empty() {
        ui.add_space(8.0);
        ui.label(RichText::new("Both changed the same thing: choose one").font(Size::Body.strong()));
        for (conflict, choice) in form.merge.conflicts.iter().zip(&mut form.choices) {
            conflict_ui(ui, view, conflict, choice);
        }
    }
    let settled: Option<Vec<Choice>> = form.choices.iter().copied().collect();
    match (buttons(ui, &["Merge", "Cancel"], settled.is_some()), settled) {
        (Some(0), Some(choices)) => Effect::Merged(choices),
        (Some(1), _) => Effect::Close,
        _ => Effect::Stay,
    }
}

fn conflict_ui(ui: &mut Ui, view: &View, conflict: &Conflict, choice: &mut Option<Choice>) {
    let t = view.tokens;
    ui.add_space(4.0);
    ui.label(&conflict.called);
    for (side, name, changes) in
        [(Choice::Mine, "yours", &conflict.mine), (Choice::Theirs, "theirs", &conflict.theirs)]
    {
        ui.horizontal(|ui| {
            ui.add_space(12.0);
            let picked = ui.radio(*choice == Some(side), name);
            ui.ctx().accesskit_node_builder(picked.id, |node| {
                node.set_label(format!("{}: {name}", conflict.called));
            });
            if picked.clicked() {
                *choice = Some(side);
            }
            let text = changes.iter().map(short).collect::<Vec<_>>().join("; ");
            ui.add(egui::Label::new(RichText::new(text).color(t.second)).wrap());
        });
    }
}

/// One line for each thing, whatever number of its fields changed.
fn lines(changes: &[Change]) -> Vec<String> {
    const MOST: usize = 14;
    let mut lines: Vec<String> = Vec::new();
    for change in changes {
        let line = match change.kind {
            document::ChangeKind::Added => format!("{} added", change.called),
            document::ChangeKind::Removed => format!("{} removed", change.called),
            document::ChangeKind::Changed => format!("{} changed", change.called),
        };
        if lines.last() != Some(&line) {
            lines.push(line);
        }
    }
    if lines.len() > MOST {
        let more = lines.len() - MOST;
        lines.truncate(MOST);
        lines.push(format!("and {more} more"));
    }
    lines
}

/// "at: [120, 80] → [132, 80]", "removed".
fn short(change: &Change) -> String {
    let value = |v: &Option<serde_json::Value>| v.as_ref().map_or_else(|| "–".to_owned(), shown);
    match change.kind {
        document::ChangeKind::Added => "added".to_owned(),
        document::ChangeKind::Removed => "removed".to_owned(),
        document::ChangeKind::Changed => {
            format!("{}: {} → {}", change.field.replace('_', " "), value(&change.from), value(&change.to))
        }
    }
}

fn shown(value: &serde_json::Value) -> String {
    const MOST: usize = 48;
    let text = match value {
        serde_json::Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    if text.chars().count() > MOST { text.chars().take(MOST).collect::<String>() + "…" } else { text }
}
