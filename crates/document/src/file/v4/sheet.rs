//! Title block, revision table and accepted findings as they stand in the file.

use super::format_types;
use serde::{Deserialize, Serialize};

/// How the general tolerance is stated.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub(crate) enum Tolerances {
    #[default]
    Positions,
    Fine,
    Medium,
    Coarse,
    VeryCoarse,
}

/// Title block; every field may be left out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Sheet {
    pub title: String,
    pub owner: String,
    pub number: String,
    pub revision: String,
    pub created_by: String,
    pub approved_by: String,
    pub date: String,
    pub document_type: String,
    // Left out where they are as usual, so that older marks stay.
    #[serde(skip_serializing_if = "is_by_position")]
    pub tolerances: Tolerances,
    #[serde(skip_serializing_if = "is_usual_tolerance")]
    pub position_tolerance_mm: f64,
    pub revisions: Vec<Revision>,
}
fn is_by_position(tolerances: &Tolerances) -> bool {
    *tolerances == Tolerances::Positions
}
fn is_usual_tolerance(mm: &f64) -> bool {
    *mm == crate::SheetFields::default().position_tolerance_mm
}
impl Default for Sheet {
    fn default() -> Self {
        (&crate::SheetFields::default()).into()
    }
}
/// A line of the revision table; every field may be left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Revision {
    pub index: String,
    pub date: String,
    pub by: String,
    pub what: String,
}

format_types! {
    Accepted {
        rule: String,
        layout: u32,
        // Of one of several parts on the tool.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        seat: Option<u32>,
        subject: Vec<u32>,
        #[serde(default)]
        motion: Option<u32>,
        reason: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        on: String,
    }
}
