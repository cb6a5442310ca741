//! Document -> engine problems -> report -> findings.
//!
//! [`Analyst::check`] is a pure function of a project and one of its layouts. It keeps what each stage made and the
//! inputs it was made from, so that dragging a cup works out that cup's seat and the motions and nothing of the part,
//! and renaming works out nothing but the circuit of a renamed cup, whose hoses bear its tag. Screen, sheet and command line print the fields of the same [`Report`].
//!
//! # Stages
//! drawing (section, sound surface) · mass · circuits, whose levels the cups then have · seats, cup by cup · gaps · group of springs · motions, one by one · balance
//! · the part that bends, on its cups, motion by motion, where one is let bend · robot load · findings · verdict
//!
//! Slow figures, each from inputs of its own, on a thread of their own where one likes ([`Analyst::slow_job`], [`Slow`]): cups and
//! zones lost · limit factors · ranges over what is assumed · envelope · open cups, time and cost of circuits · remedy of a loss.
//!
//! # Units
//! Base units of [`units::Quantity`] in every field; sentences follow the [`units::UnitChoice`] of the analyst.

mod assemble;
mod assumed;
mod assumptions;
mod balance;
mod bending;
mod circuit;
mod cores;
mod customary;
mod envelopes;
mod family;
mod figures;
mod findings;
mod inputs;
mod judge;
mod library;
mod loads;
mod long_pair;
mod lower;
mod lower_motion;
mod memo;
mod part_stage;
#[cfg(test)]
mod poison_tests;
mod propose;
mod report;
mod robot;
mod seats;
mod shape;
mod side;
mod slow;
mod snapshot;
mod stages;
mod support;
mod title_fields;
mod upkeep;
mod verdict;
pub mod words;
#[cfg(test)]
mod work_tests;

pub use assumptions::{AssumedField, AssumedInput, Of, assumed_inputs};
pub use bending::{USUAL_DAMPING, USUAL_POISSON};
pub use circuit::{Entered, FieldCause, FieldCauses, SourceOnCircuit, design_share, fed_by};
pub use customary::customary;
pub use family::Landing;
pub use findings::{RuleInfo, SAME_LOSS, can_be_accepted, catalogue, of_factor, rule, upright};
pub use library::with_library;
pub use long_pair::{LongPair, MoreFrom, SpacingReport, long_pair, opening_moments};
pub use lower_motion::acceleration_of;
pub use mechanics::{
    CupLoad, Factor, Instant, LipLimit, Member, Reading, Readings, Uneven, Wrench, sudden_start_amplification,
};
pub use propose::*;
pub use report::*;
pub use side::{Side, WorstLoss, sides};
pub use slow::{Slow, SlowFound, SlowJob, SlowWork, Watch};
pub use stages::Analyst;
pub use support::{Judge, Support};
pub use title_fields::blank_title_fields;
pub use upkeep::{LipChange, lip_changes};
/// What the report holds of the engine's own types, so that views need not reach past this crate.
pub use vacuum::Regime;
