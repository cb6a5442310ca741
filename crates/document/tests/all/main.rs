//! The tests of the crate from outside, in one program: each module says what it holds.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod common;
mod difference;
mod edits;
mod faults;
mod formats;
mod history;
mod in_use;
mod issued;
mod library;
mod merge;
mod mutated;
mod problems;
mod ranges;
mod recovery;
mod routing;
mod seats;
mod sources;
mod store;
mod supplies;
mod text;
