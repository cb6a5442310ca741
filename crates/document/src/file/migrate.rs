//! Brings older formats up to the one this program writes, one step at a time.
//!
//! Each format has its own types (`v1`, later `v2` ...). When a format is added: its types go beside `v1`, a step from
//! the one before is added to [`to_latest`], and a file of every format ever written stays in `tests/fixtures`.

use super::{FORMAT, FileError, read, v1};

/// Reads text of a known format with that format's types and takes it up to the latest ones.
pub(super) fn to_latest(format: u32, text: &str, name: &str) -> Result<v1::Project, FileError> {
    match format {
        1 => read::parse::<v1::Project>(text, name),
        found => Err(FileError::Newer { found, known: FORMAT, path: name.to_owned() }),
    }
}
