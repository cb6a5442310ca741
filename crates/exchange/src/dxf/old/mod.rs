//! The reader of entities by the library, for one comparison with ours.

pub(super) mod decode;
pub(super) mod records;
pub(super) mod scan;

use super::Trouble;
