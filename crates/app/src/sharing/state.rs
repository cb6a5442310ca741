//! What the window keeps of the file being shared.

use crate::{errand::Errand, files::OpenFile};
use document::{Outside, OwnNote};
use std::time::Instant;

/// What the window keeps of the file being shared.
#[derive(Default)]
pub(crate) struct Sharing {
    /// Taken away when another file is opened or the program ends.
    pub(super) note: Option<OwnNote>,
    /// Someone else's note, in words.
    pub(super) other: Option<String>,
    /// When the file on disk is looked at next.
    pub(super) next_look: Option<Instant>,
    /// The look under way, and which content of which file it is about.
    pub(super) looking: Option<(OpenFile, Errand<Seen>)>,
}

/// What a look at the file on disk found.
pub(super) struct Seen {
    /// Nobody else's note lies beside it any more.
    pub(super) alone: bool,
    pub(super) file: Outside,
}
