//! Bending sheets against cases from outside the project and against their own laws.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test fails by panicking and says what it found"
)]

mod factors;
mod flexible_part;
mod laws;
mod plates;
mod record;
mod ringing;
