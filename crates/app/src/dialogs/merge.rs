//! Two sets of changes to one file, put together: what comes in by itself, and a choice where both touch the same thing.

use super::{Effect, buttons, title};
use crate::{files::OpenFile, theme::Size, view::View};
use document::{Change, Choice, Conflict, Merge, Project};
use egui::{RichText, Ui};
use std::{fmt, sync::Arc};
use units::UnitChoice;

/// Longer lists are cut: the dialog must fit a small window.
const MOST_LINES: usize = 12;

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
    /// What comes in by itself and what stays, where both did not change the same thing.
    taken: [Vec<String>; 2],
    /// What each side made of each thing that both changed.
    said: Vec<[String; 2]>,
}

impl fmt::Debug for MergeForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("MergeForm").field("file", &self.file.path).finish_non_exhaustive()
    }
}

impl MergeForm {
    /// Nothing is chosen yet.
    pub fn new(merge: Merge, theirs: Arc<Project>, file: OpenFile, units: &UnitChoice) -> Self {
        let choices = vec![None; merge.conflicts.len()];
        let [base, my_side, their_side] = merge.sides();
        let says = |side: &Project, changes: &[Change]| telling::changes_in_words(base, side, changes, units);
        let alone = |side: &Project, changes: &[Change]| {
            let alone = changes.iter().filter(|c| !merge.conflicts.iter().any(|both| both.thing == c.thing));
            says(side, &alone.cloned().collect::<Vec<_>>())
        };
        let taken = [alone(their_side, &merge.theirs), alone(my_side, &merge.mine)];
        let both = |c: &Conflict| [says(my_side, &c.mine).join("; "), says(their_side, &c.theirs).join("; ")];
        let said = merge.conflicts.iter().map(both).collect();
        Self { merge, theirs, file, choices, taken, said }
    }
}

/// Draws both lists and the choices.
pub fn merge_ui(ui: &mut Ui, view: &View, form: &mut MergeForm) -> Effect {
    let t = view.tokens;
    title(ui, "Merge what was saved elsewhere");
    ui.columns(2, |columns| {
        for ((ui, name), says) in columns.iter_mut().zip(["Theirs, added", "Yours, kept"]).zip(&form.taken) {
            ui.label(RichText::new(name).font(Size::Body.strong()));
            for line in says.iter().take(MOST_LINES) {
                ui.label(RichText::new(line).color(t.second));
            }
            let rest = match says.len() {
                0 => "nothing".to_owned(),
                all if all > MOST_LINES => format!("and {} more", all - MOST_LINES),
                _ => continue,
            };
            ui.label(RichText::new(rest).color(t.second));
        }
    });
    if !form.merge.conflicts.is_empty() {
        ui.add_space(8.0);
        ui.label(RichText::new("Both changed the same thing: choose one").font(Size::Body.strong()));
        for ((conflict, choice), said) in form.merge.conflicts.iter().zip(&mut form.choices).zip(&form.said) {
            conflict_ui(ui, view, conflict, said, choice);
        }
    }
    let settled: Option<Vec<Choice>> = form.choices.iter().copied().collect();
    match (buttons(ui, &["Merge", "Cancel"], settled.is_some()), settled) {
        (Some(0), Some(choices)) => Effect::Merged(choices),
        (Some(1), _) => Effect::Close,
        _ => Effect::Stay,
    }
}

fn conflict_ui(
    ui: &mut Ui,
    view: &View,
    conflict: &Conflict,
    [mine, theirs]: &[String; 2],
    choice: &mut Option<Choice>,
) {
    let t = view.tokens;
    ui.add_space(4.0);
    ui.label(&conflict.called);
    for (side, name, says) in [(Choice::Mine, "yours", mine), (Choice::Theirs, "theirs", theirs)] {
        ui.horizontal(|ui| {
            ui.add_space(12.0);
            let picked = ui.radio(*choice == Some(side), name);
            ui.ctx().accesskit_node_builder(picked.id, |node| {
                node.set_label(format!("{}: {name}", conflict.called));
            });
            if picked.clicked() {
                *choice = Some(side);
            }
            ui.add(egui::Label::new(RichText::new(says).color(t.second)).wrap());
        });
    }
}
