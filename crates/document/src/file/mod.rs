//! The project's file: text, saving, and noticing that someone else changed it.

mod check;
mod convert;
mod error;
mod form;
mod keep;
mod migrate;
mod note;
mod place;
mod read;
mod stamp;
mod store;
mod v4;
mod write;

pub(crate) use check::checked;
pub use error::FileError;
pub(crate) use error::shown;
pub(crate) use form::{Form, FromForm, content_form};
pub use keep::keep_copy;
pub use note::{InUse, NoteStanding, OwnNote, leave_note, note_of_other, note_path};
pub use read::MOST_BYTES as MOST_FILE_BYTES;
pub use read::{from_text, looks_like_project, models_from_text, sources_from_text};
pub use stamp::{Outside, Stamp, outside};
pub(crate) use store::sweep;
pub use store::{larger_than_a_file, open, previous_path, save};
pub use write::to_text;

/// The format this program writes, and the newest it reads.
pub const FORMAT: u32 = 4;
