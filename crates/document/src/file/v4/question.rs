//! What was asked for when layouts were proposed, as it stands in the file; every field may be left out.

use serde::{Deserialize, Serialize};

/// How the cups stand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Pattern {
    Free,
    Mirrored,
    Rows,
    Frame,
    Ring,
}

/// What comes first.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Prefer {
    Cups,
    Reserve,
    Positions,
    Models,
    Air,
}

/// The question.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Question {
    pub models: Vec<String>,
    /// As few as meet what must hold, at most `most`, where it is not there.
    pub cups: Option<u32>,
    pub most: u32,
    pub pattern: Option<Pattern>,
    pub one_lost: bool,
    pub zone_lost: bool,
    pub lost_factor: f64,
    pub low_end: bool,
    pub mixed: bool,
    pub step_mm: f64,
    pub spacing_mm: Option<f64>,
    pub prefer: Prefer,
    pub seed: u32,
}

impl Default for Question {
    fn default() -> Self {
        (&crate::Question::default()).into()
    }
}

pub(super) fn is_usual_question(question: &Question) -> bool {
    *question == Question::default()
}
