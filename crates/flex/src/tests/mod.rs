//! Tests of the plate by itself, which see what the crate keeps to itself.

mod energy;
mod plates;
