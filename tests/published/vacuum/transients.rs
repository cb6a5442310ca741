//! Topic E.
