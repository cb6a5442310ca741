//! The tests of the crate from outside, in one program: each module says what it holds.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

mod approval;
mod bad_motions;
mod batch;
mod bending;
mod changes;
mod circuit;
mod circuit_bad;
mod circuit_cells;
mod circuit_design;
mod circuit_findings;
mod circuit_helps;
mod circuit_losses;
mod circuit_operation;
mod circuit_own_sources;
mod circuit_ranges;
mod circuit_settable;
mod circuit_slow;
mod circuit_trial;
mod claims;
mod common;
mod compare;
mod difference;
mod difference_whole;
mod family;
mod family_tool;
mod figures;
mod findings;
mod findings_holding;
mod findings_seats;
mod json;
mod json_redo;
mod memo;
mod monotone;
mod questions;
mod remedies;
mod remedies_lost;
mod remedies_taken;
mod ringing;
mod rules;
mod slow;
mod slow_findings;
mod spoiled;
mod spoiled_circuit;
mod start_stop;
