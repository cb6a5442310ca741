//! What the window keeps of its recovery journal.

use crate::offers::Offers;
use document::{Journal, Stamp};
use std::time::Instant;

/// The recovery journal and what it knows.
#[derive(Default)]
pub struct Recovery {
    pub(super) journal: Option<Journal>,
    pub(super) recorded: u64,
    pub(super) failed: bool,
    /// When a drag under way is recorded next, and whether it was since it began.
    pub(super) next_under_way: Option<Instant>,
    pub(super) under_way: bool,
    /// What earlier runs left; it stands before any other dialog.
    pub(super) offers: Option<Box<Offers>>,
    /// The stamp for which an outside change was already reported.
    pub outside_seen: Option<Stamp>,
    /// Whether it was said that the file is gone.
    pub file_gone: bool,
}
