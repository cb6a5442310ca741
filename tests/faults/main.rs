//! What a person loses when things go wrong: the program is killed at any moment, the disk is full, the folder is gone or
//! may not be written. The whole program runs in a process of its own; this one looks at what is left.
//!
//! `FAULTS_KILLS=1000 cargo test --workspace --test faults -- --nocapture killed` kills it that often and prints what
//! came of it; without the variable ten times. `FAULTS_SEED=N` begins the random choices elsewhere.

mod driver;
#[path = "../window/hands.rs"]
#[allow(dead_code, reason = "shared with the window tests, which use all of it")]
mod hands;
mod kills;
mod places;
mod telling;
