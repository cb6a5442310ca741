//! Why a command could not be carried out.

use crate::outputs::OutputError;

/// Something could not be read, written or shown, or there was nothing to check.
pub(super) const COULD_NOT: u8 = 2;

/// Why a command could not be carried out.
#[derive(Debug, thiserror::Error)]
pub(super) enum TaskError {
    #[error(transparent)]
    File(#[from] document::FileError),
    #[error(transparent)]
    Import(#[from] exchange::ImportError),
    #[error(transparent)]
    Output(#[from] OutputError),
    #[error(transparent)]
    Propose(#[from] analysis::CannotPropose),
    #[error("{0}")]
    Layouts(String),
    #[error("{0}")]
    Asked(String),
    #[error("could not print: {0}")]
    Print(#[from] std::io::Error),
    #[error("{0}")]
    Inside(String),
    #[error("{0}")]
    Window(String),
}
