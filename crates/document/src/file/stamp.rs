//! A file as it was when read or written.

use super::store;
use sha2::{Digest, Sha256};
use std::path::Path;

/// A file as it was when read or written, to notice that someone else changed it. Content counts, not times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    sha256: [u8; 32],
    bytes: u64,
}
impl Stamp {
    /// Of these contents.
    pub(crate) fn of(contents: &[u8]) -> Self {
        Self { sha256: Sha256::digest(contents).into(), bytes: contents.len() as u64 }
    }
}

/// Whether the file differs from the stamp now; one that is gone or cannot be read does.
pub fn changed_outside(path: &Path, stamp: &Stamp) -> bool {
    store::read_bytes(path).map_or(true, |now| Stamp::of(&now) != *stamp)
}
