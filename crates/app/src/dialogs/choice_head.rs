//! What stands over a list that something is chosen from: the search, the order, and whether what is worked out of its rows is there.

use crate::view::View;
use egui::{RichText, TextEdit, Ui};
use std::sync::{Arc, OnceLock};

/// Results of every row, filled by the thread that works them out.
#[derive(Debug)]
pub(super) struct Found<T>(Arc<OnceLock<Result<Vec<T>, String>>>);

impl<T> Clone for Found<T> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<T> Found<T> {
    /// None, and why.
    pub(super) fn none(why: &str) -> Self {
        Self(Arc::new(OnceLock::from(Err(why.to_owned()))))
    }

    /// Whether they are still being calculated.
    pub(super) fn waits(&self) -> bool {
        self.0.get().is_none()
    }

    /// The results once they are there; until then the window looks again soon. Why there are none is said.
    pub(super) fn shown(&self, ui: &mut Ui, view: &View) -> Option<&[T]> {
        match self.0.get() {
            None => {
                ui.ctx().request_repaint_after(std::time::Duration::from_millis(60));
                None
            }
            Some(Err(why)) => {
                let says = format!("Suitability is not known: {}.", why.trim_end_matches('.'));
                ui.add(egui::Label::new(RichText::new(says).color(view.tokens.watch)).wrap());
                None
            }
            Some(Ok(all)) => Some(all),
        }
    }
}

impl<T: Send + Sync + 'static> Found<T> {
    /// Works them out beside the window; where no thread is to be had the list stands without them.
    pub(super) fn start(what: &str, work: impl FnOnce() -> Result<Vec<T>, String> + Send + 'static) -> Self {
        let found = Self(Arc::default());
        let filled = found.clone();
        let started = std::thread::Builder::new().name(what.to_owned()).spawn(move || {
            // Nobody else fills it.
            let _ = filled.0.set(work());
        });
        if let Err(error) = started {
            log::warn!("no results for the {what}: {error}");
        }
        found
    }
}

/// What a person did with the search.
pub(super) struct Searched {
    /// Other words.
    pub changed: bool,
    /// Enter, which chooses the row that is marked.
    pub enter: bool,
}

/// The field that the list is searched by; it has the keyboard once the list is opened.
pub(super) fn search_ui(
    ui: &mut Ui,
    text: &mut String,
    focused: &mut bool,
    (name, hint): (&str, &str),
) -> Searched {
    let edit = ui.add(TextEdit::singleline(text).hint_text(hint).desired_width(250.0));
    ui.ctx().accesskit_node_builder(edit.id, |node| node.set_label(name));
    if !std::mem::replace(focused, true) {
        edit.request_focus();
    }
    Searched {
        changed: edit.changed(),
        enter: edit.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter)),
    }
}

/// In which order, and whether only what suits; gives whether another order was chosen.
pub(super) fn order_ui<O: PartialEq + Copy>(
    ui: &mut Ui,
    view: &View,
    order: &mut O,
    all: &[(O, &str)],
    (only_suiting, name): (&mut bool, &str),
) -> bool {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Order by").color(view.tokens.second));
        let mut changed = false;
        for (each, name) in all {
            changed |= ui.selectable_value(order, *each, *name).changed();
        }
        ui.checkbox(only_suiting, name);
        changed
    })
    .inner
}
