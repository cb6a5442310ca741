//! Bending sheets against cases from outside the project and against their own laws.

mod flexible_part;
mod laws;
mod plates;
mod record;
