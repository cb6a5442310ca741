//! Committed changes, each made or refused in words.

use super::Cupwright;
use crate::plan::Tool;
use document::{CupId, Edit};

impl Cupwright {
    /// One committed change; a refused one is said, never half done.
    pub(crate) fn apply(&mut self, edit: Edit) {
        self.attempt(edit);
    }

    /// As [`Self::apply`] for what was entered in a form: where it is refused, the field keeps what was typed and says why.
    pub(crate) fn enter(&mut self, ctx: &egui::Context, edit: Edit) {
        if let Some(says) = self.attempt(edit) {
            crate::fields::refuse(ctx, &says);
        }
    }

    /// One committed change, or why it was refused.
    fn attempt(&mut self, edit: Edit) -> Option<String> {
        if !self.may(&edit) {
            self.say_sealed();
            return None;
        }
        let new: Vec<CupId> = added_cups(&edit);
        let placing = matches!(self.plan.tool, Tool::Place { .. });
        let mut refused = None;
        match self.history.apply(edit) {
            Ok(()) if !new.is_empty() && !placing => self.selection = new.into_iter().collect(),
            Ok(()) => {}
            Err(error) => refused = Some(error.in_units(&self.prefs.unit_choice())),
        }
        if let Some(says) = &refused {
            self.say(says);
        }
        self.refresh();
        refused
    }
}

fn added_cups(edit: &Edit) -> Vec<CupId> {
    match edit {
        Edit::AddCups { cups, .. } => cups.iter().map(|c| c.id).collect(),
        Edit::Together { edits, .. } => edits.iter().flat_map(added_cups).collect(),
        _ => Vec::new(),
    }
}
