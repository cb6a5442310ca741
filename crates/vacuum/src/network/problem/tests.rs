//! Nothing.
