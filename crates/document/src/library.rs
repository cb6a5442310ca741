//! The built-in library: generic, invented cup models.

use crate::{CupModel, file};
use std::sync::{Arc, LazyLock};

const TEXT: &str = include_str!("../../../assets/library/cup-models.ron");

// The text is compiled in and a test reads it, so the empty list is never seen.
static MODELS: LazyLock<Vec<Arc<CupModel>>> = LazyLock::new(|| {
    file::models_from_text(TEXT, "cup-models.ron").unwrap_or_default().into_iter().map(Arc::new).collect()
});

/// Built-in generic, invented models (`assets/library/cup-models.ron`, compiled in).
///
/// ```
/// let round = document::library().iter().find(|m| &*m.id.0 == "round-40-flat-medium");
/// assert!(round.is_some());
/// ```
pub fn library() -> &'static [Arc<CupModel>] {
    &MODELS
}
