//! What the window keeps of the file being shared.

use crate::{errand::Errand, files::OpenFile};
use document::{Outside, OwnNote};

/// What the window keeps of the file being shared.
#[derive(Default)]
pub(crate) struct Sharing {
    /// Taken away when another file is opened or the program ends.
    pub(super) note: Option<OwnNote>,
    /// Someone else's note, in words.
    pub(super) other: Option<String>,
    /// The look under way, every two seconds until there is news, and which content of which file it is about.
    pub(super) looking: Option<(OpenFile, Errand<Seen>)>,
}

/// What a look at the file on disk found.
pub(super) struct Seen {
    /// Nobody else's note lies beside it any more.
    pub(super) alone: bool,
    pub(super) file: Outside,
}
