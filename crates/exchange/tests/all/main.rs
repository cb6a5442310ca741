//! The tests of the crate from outside, in one program: each module says what it holds.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod awkward;
mod bad_input;
mod cleaning;
mod drawing_units;
mod drawings;
mod dxf_out;
mod ellipses;
mod hole_table;
mod hostile;
mod pdf_in;
mod properties;
mod reimport;
mod said;
mod sources;
mod strange;
