//! Something being read or worked out beside the window.

use super::{
    Dialog, Effect, buttons,
    reading::{Reading, reading_ui},
    title,
};
use crate::app::Cupwright;
use egui::Ui;
use exchange::Watch;

/// What the window does once the work is over.
pub type Then = Box<dyn FnOnce(&mut Cupwright) + Send>;

/// Work beside the window that may be left.
#[derive(Debug, Clone)]
pub struct WaitForm {
    /// What it is for, "Open plate.ron".
    pub title: String,
    /// What is done, "Reading".
    doing: &'static str,
    work: Reading<Then>,
    /// What it stands before.
    pub behind: Option<Box<Dialog>>,
}

impl WaitForm {
    /// Starts the work: what the window does then when that took a moment only, otherwise the dialog to wait with.
    /// `Ok(None)` when the work failed in a way nobody foresaw.
    pub fn start(
        title: &str,
        doing: &'static str,
        work: impl FnOnce(&Watch) -> Then + Send + 'static,
    ) -> Result<Option<Then>, Self> {
        let work = Reading::start(work);
        work.take_in_a_moment().ok_or_else(|| Self { title: title.to_owned(), doing, work, behind: None })
    }

    /// What came of it, once it is over; see [`Reading::take`].
    pub fn take(&self) -> Option<Option<Then>> {
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
    match buttons(ui, &["Leave"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}
