//! A short name for the exact file a sheet was made from.

use document::Project;
use sha2::{Digest, Sha256};

/// SHA-256 of the project's text as it is saved, in hexadecimal: a sheet and a file with the same fingerprint belong
/// together. The sheet prints the first twelve digits.
pub fn fingerprint(project: &Project) -> String {
    Sha256::digest(document::to_text(project)).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The first twelve digits in groups of four.
pub(crate) fn short(fingerprint: &str) -> String {
    let digits: Vec<char> = fingerprint.chars().take(12).collect();
    digits.chunks(4).map(|group| group.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
}
