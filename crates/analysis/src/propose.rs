//! Layouts that the program proposes: which cups, how many and where.
//!
//! A [`document::Question`] is what a person asks for. [`Analyst::proposal_job`] takes it with the project to wherever it may take its time;
//! [`ProposalJob::run`] gives what it found so far again and again, and [`Proposals`] in the end: a few layouts that differ in kind,
//! each with the report that a check of it gives, and what no layout of the places looked at can be better than. Nothing is
//! changed: a proposal becomes a new alternative when a person takes it.
//!
//! # Units
//! mm, N, kPa, degrees; a score is the least factor over the required one.

mod board;
mod certainty;
mod chooser;
mod cups;
mod error;
mod find;
mod free;
mod more;
mod on_tool;
mod patterns;
mod proposal;
mod question;
mod rows;
mod run;
mod suit;
mod told;
mod work;

pub use certainty::Certainty;
pub use chooser::ModelOnPart;
pub use error::CannotPropose;
pub use more::MoreJob;
pub use proposal::{Kind, MoreAt, Proposal, ProposalFigures, Proposals};
pub use suit::Suits;
pub use work::{ProposalJob, ProposalProgress, ProposalWatch};

#[cfg(test)]
mod tests;
