//! A large project being read.

use super::{
    Effect, buttons,
    reading::{Reading, reading_ui},
    title,
};
use document::{FileError, Project, Stamp};
use egui::Ui;
use std::path::{Path, PathBuf};

type Read = Result<(Project, Stamp), FileError>;

/// A project that is being read.
#[derive(Debug, Clone)]
pub struct OpeningForm {
    path: PathBuf,
    reading: Reading<Read>,
}

impl OpeningForm {
    /// Reads a project: what was read when that takes a moment only, otherwise the dialog to wait with.
    pub fn read(path: &Path) -> Result<Read, Self> {
        let (path, place) = (path.to_owned(), path.to_owned());
        let reading = Reading::start(move |_| document::open(&place));
        match reading.take_in_a_moment() {
            Some(read) => Ok(read.unwrap_or_else(|| fell(&path))),
            None => Err(Self { path, reading }),
        }
    }
}

fn fell(path: &Path) -> Read {
    let why = "the program failed over it; please report it with the file".to_owned();
    Err(FileError::Other { doing: "read", why, path: path.display().to_string() })
}

/// Draws how long it takes; gives what was read once it is there.
pub fn opening_ui(ui: &mut Ui, form: &mut OpeningForm) -> Effect {
    let name = form.path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    title(ui, &format!("Open {name}"));
    if let Some(read) = form.reading.take() {
        return Effect::Opened(form.path.clone(), Box::new(read.unwrap_or_else(|| fell(&form.path))));
    }
    reading_ui(ui, &form.reading, "Reading");
    match buttons(ui, &["Leave"], true) {
        Some(_) => Effect::Close,
        None => Effect::Stay,
    }
}
