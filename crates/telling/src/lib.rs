//! What is told of reports: alternatives side by side ([`compare()`]), what became of a project since ([`difference()`]), what a
//! reviewer asks ([`questions()`]), many projects in one table ([`batch_text`]), the JSON objects ([`to_json`]). Nothing is worked
//! out here: figures come from [`analysis`].
//!
//! # Units
//! Those of the report; sentences follow the [`units::UnitChoice`] that is picked.

mod approval;
mod batch;
mod cautions;
mod compare;
mod difference;
mod family;
mod identity;
mod json;
mod plain;
mod proposals;
mod questions;

pub use approval::{Approval, NOT_ALL_CHECKED, WITH_OPEN_FAILURES, approval, approval_of, open_failures};
pub use batch::{BatchLine, LibraryLine, batch_line, batch_text, library_line, library_text};
pub use cautions::CAUTIONS;
pub use compare::{CompareFigure, CompareRow, Comparison, compare, compare_text};
pub use difference::{
    ChangeLine, CupElsewhere, Difference, Elsewhere, Fate, FigureChange, FindingChange, FindingChanges,
    changes_in_words, difference, difference_text, elsewhere,
};
pub use family::{family_text, mix_in_words, valves_in_words};
pub use identity::{Identity, Stamp, standing_words};
pub use json::{
    FORMAT, compare_json, difference_json, exit_code, one_sided_json, proposals_json, to_json, unread_json,
};
pub use plain::{plain, plain_json};
pub use proposals::{any_meets, proposals_text};
pub use questions::{Question, QuestionGroup, questions};
