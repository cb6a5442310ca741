//! Something being read or worked out beside the window.

use super::{
    Effect, buttons,
    reading::{Reading, reading_ui},
    title,
};
use egui::Ui;
use exchange::Watch;
use std::any::Any;

/// What the work gives; whoever started it knows what it is.
pub type Outcome = Box<dyn Any + Send>;

/// Work beside the window that may be left.
#[derive(Debug, Clone)]
pub struct WaitForm {
    /// What it is for, "Open plate.ron".
    pub title: String,
    /// What is done, "Reading".
    doing: &'static str,
    work: Reading<Outcome>,
}

impl WaitForm {
    /// Starts the work: what came of it when that took a moment only, otherwise the dialog to wait with.
    /// `Ok(None)` when the work failed in a way nobody foresaw.
    pub fn start(
        title: &str,
        doing: &'static str,
        work: impl FnOnce(&Watch) -> Outcome + Send + 'static,
    ) -> Result<Option<Outcome>, Self> {
        let work = Reading::start(work);
        work.take_in_a_moment().ok_or_else(|| Self { title: title.to_owned(), doing, work })
    }

    /// What came of it, once it is over; see [`Reading::take`].
    pub fn take(&self) -> Option<Option<Outcome>> {
        self.work.take()
    }
}

/// Draws how long it takes; asks to go on once it is over.
pub fn waiting_ui(ui: &mut Ui, form: &WaitForm) -> Effect {
    title(ui, &form.title);
    if form.work.is_over() {
        return Effect::Waited;
    }
    reading_ui(ui, &form.work, form.doing);
    match buttons(ui, &["Cancel"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}
