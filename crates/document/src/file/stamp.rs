//! A file as it was when read or written.

use super::{FileError, store};
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
    /// On one line, for the recovery journal.
    pub(crate) fn to_line(&self) -> String {
        let digits: String = self.sha256.iter().map(|byte| format!("{byte:02x}")).collect();
        format!("{digits} {}", self.bytes)
    }
    /// What [`Stamp::to_line`] wrote.
    pub(crate) fn from_line(line: &str) -> Option<Self> {
        let (digits, bytes) = line.split_once(' ')?;
        let mut sha256 = [0; 32];
        if digits.len() != 64 || !digits.is_ascii() {
            return None;
        }
        for (place, byte) in sha256.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&digits[2 * place..2 * place + 2], 16).ok()?;
        }
        Some(Self { sha256, bytes: bytes.parse().ok()? })
    }
}

/// What a file is now, beside its stamp.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Outside {
    /// As it was.
    Same,
    /// Someone changed it.
    Changed,
    /// It is not there: moved, renamed, deleted, or its disk is away.
    Gone,
    /// It is there and cannot be read.
    Unreadable,
}

/// What became of the file since the stamp was taken.
pub fn outside(path: &Path, stamp: &Stamp) -> Outside {
    match store::read_bytes(path) {
        Ok(now) if Stamp::of(&now) == *stamp => Outside::Same,
        Ok(_) => Outside::Changed,
        Err(FileError::NotFound { .. } | FileError::NotAFolder { .. }) => Outside::Gone,
        Err(_) => Outside::Unreadable,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stamp_is_read_back_from_its_line() {
        let stamp = Stamp::of(b"contents");
        assert_eq!(Stamp::from_line(&stamp.to_line()), Some(stamp));
        for line in ["", "12 3", "zz", &"é".repeat(32), &format!("{} x", "0".repeat(64))] {
            assert_eq!(Stamp::from_line(line), None, "{line}");
        }
    }
}
