//! Document -> engine problems -> report -> findings.
//!
//! [`Analyst::check`] is a pure function of a project and one of its layouts. It keeps what each stage made and the
//! inputs it was made from, so that dragging a cup works out that cup's seat and the motions and nothing of the part,
//! and renaming works out nothing but the circuit of a renamed cup, whose hoses bear its tag. Screen, sheet and command line print the fields of the same [`Report`].
//!
//! # Stages
//! drawing (section, sound surface) · mass · circuits, whose levels the cups then have · seats, cup by cup · gaps · group of springs · motions, one by one · balance
//! · robot load · findings · verdict
//!
//! Slow stages, from a snapshot, on a thread of their own where one likes ([`Analyst::depth_job`]): limit load · cups and
//! zones lost · ranges over what is assumed · envelope · open cups, time and cost of circuits. Alternatives side by side: [`compare()`]. What a reviewer asks: [`questions()`]. What became of a
//! project since: [`difference()`].
//!
//! # Units
//! Base units of [`units::Quantity`] in every field; sentences follow the [`units::UnitChoice`] of the analyst.

mod approval;
mod assemble;
mod assumed;
mod assumptions;
mod balance;
mod batch;
mod circuit;
mod compare;
mod customary;
mod depth;
mod difference;
mod envelopes;
mod findings;
mod inputs;
mod json;
mod library;
mod loads;
mod lower;
mod lower_motion;
mod memo;
mod part_stage;
mod plain;
#[cfg(test)]
mod poison_tests;
mod questions;
mod report;
mod robot;
mod seats;
mod shape;
mod snapshot;
mod stages;
mod title_fields;
mod upkeep;
mod verdict;
mod words;
#[cfg(test)]
mod work_tests;

pub use approval::{Approval, approval, approval_of, open_failures};
pub use batch::{BatchLine, LibraryLine, batch_line, batch_text, library_line, library_text};
pub use circuit::{Entered, FieldCause, FieldCauses, design_share};
pub use compare::{
    CompareFigure, CompareRow, Comparison, LongPair, MoreFrom, SpacingReport, compare, compare_text,
    long_pair,
};
pub use customary::customary;
pub use depth::{Depth, DepthJob};
pub use difference::{
    ChangeLine, CupElsewhere, Difference, Elsewhere, Fate, FigureChange, FindingChange, FindingChanges,
    changes_in_words, difference, difference_text, elsewhere,
};
pub use findings::{RuleInfo, can_be_accepted, catalogue, rule};
pub use json::{FORMAT, compare_json, difference_json, exit_code, one_sided_json, to_json, unread_json};
pub use library::with_library;
pub use lower_motion::acceleration_of;
pub use mechanics::{CupLoad, Factor, Instant, LipLimit, Member, Reading, Readings, Uneven, Wrench};
pub use plain::{plain, plain_json};
pub use questions::{QUESTION_GROUPS, Question, questions};
pub use report::*;
pub use stages::Analyst;
pub use title_fields::blank_title_fields;
pub use upkeep::{LipChange, lip_changes};
/// What the report holds of the engine's own types, so that views need not reach past this crate.
pub use vacuum::Regime;
