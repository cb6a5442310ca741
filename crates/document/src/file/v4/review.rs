//! Remarks, decisions and ticks as they stand in the file.

use super::{Two, format_types};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum Pin {
    Whole,
    Cup {
        layout: u32,
        cup: u32,
    },
    /// mm.
    Place {
        layout: u32,
        at: Two,
    },
    Motion {
        motion: u32,
    },
    Finding {
        layout: u32,
        rule: String,
        subject: Vec<u32>,
        #[serde(default)]
        motion: Option<u32>,
    },
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Outcome {
    Accept,
    SendBack,
}

format_types! {
    Remark {
        id: u32,
        pin: Pin,
        #[serde(default)]
        called: String,
        text: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        on: String,
        #[serde(default)]
        of: String,
        #[serde(default)]
        answers: Vec<Answer>,
        #[serde(default)]
        resolved: Option<Answer>,
    }
    Answer {
        #[serde(default)]
        text: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        on: String,
    }
    Decision {
        outcome: Outcome,
        #[serde(default)]
        text: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        on: String,
        #[serde(default)]
        revision: String,
        #[serde(default)]
        of: String,
    }
    Tick {
        key: String,
        #[serde(default)]
        asked: String,
        #[serde(default, skip_serializing_if = "String::is_empty")]
        state: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        on: String,
        #[serde(default)]
        remark: Option<u32>,
    }
}

/// What is said of the project; every list may be left out.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Review {
    pub remarks: Vec<Remark>,
    pub decisions: Vec<Decision>,
    pub ticks: Vec<Tick>,
}
