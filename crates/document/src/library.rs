//! The built-in library: generic, invented cup models and sources.

use crate::{CupModel, SourceModel, file};
use std::sync::{Arc, LazyLock};

const TEXT: &str = include_str!("../../../assets/library/cup-models.ron");

// The text is compiled in and a test reads it, so the empty list is never seen.
static MODELS: LazyLock<Vec<Arc<CupModel>>> = LazyLock::new(|| {
    file::models_from_text(TEXT, "cup-models.ron").unwrap_or_default().into_iter().map(Arc::new).collect()
});

const SOURCES_TEXT: &str = include_str!("../../../assets/library/sources.ron");

static SOURCES: LazyLock<Vec<Arc<SourceModel>>> = LazyLock::new(|| {
    let read = file::sources_from_text(SOURCES_TEXT, "sources.ron").unwrap_or_default();
    read.into_iter().map(Arc::new).collect()
});

/// Built-in generic, invented sources (`assets/library/sources.ron`, compiled in): ejectors for a deep level, for high flow
/// through porous parts, for low feed pressure, straight through for dirt; pumps; blowers.
///
/// ```
/// let deep = document::sources().iter().find(|s| &*s.id.0 == "ejector-deep-90").unwrap();
/// assert_eq!(deep.curve.last().map(|p| p.level_kpa), Some(88.0));
/// ```
pub fn sources() -> &'static [Arc<SourceModel>] {
    &SOURCES
}

/// Built-in generic, invented models (`assets/library/cup-models.ron`, compiled in).
///
/// ```
/// let round = document::library().iter().find(|m| &*m.id.0 == "round-40-flat-medium");
/// assert!(round.is_some());
/// ```
pub fn library() -> &'static [Arc<CupModel>] {
    &MODELS
}
