//! The tests of the crate from outside, in one program: each module says what it holds.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod absurd;
mod said;
mod whole;
