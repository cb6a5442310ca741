//! Issued revisions as they stand in the file. What a revision shares with an earlier one is written there only;
//! an outline that it shares with what the project holds now is written there only. Nothing else is taken from what the
//! project holds now, so that a figure mended by hand does not change what was handed out.

use super::{
    Accepted, Circuit, Cycle, Layout, Model, Motion, Part, Rules, Sheet, Site, Source, Trial, cycle,
    format_types,
};
use serde::{Deserialize, Serialize};

/// A thing of a frozen content.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) enum Frozen<T, K = u32> {
    /// Written out.
    Own(T),
    /// As the earlier revision of this index has it, by its id.
    As(String, K),
}
/// Where an outline or an area is written out that is left empty here: at the part and keep-out of the same ids.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) enum Drawn {
    /// In what the project holds now.
    Now,
    /// In the earlier revision of this index.
    As(String),
}

format_types! {
    Issued {
        index: String,
        #[serde(default)]
        on: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        what: String,
        #[serde(default)]
        program: String,
        fingerprint: String,
        /// Number of the canonical form that the fingerprint is of.
        form: u32,
        content: Content,
    }
    /// A project without review and issued revisions.
    Content {
        name: String,
        last_id: u32,
        site: Site,
        rules: Rules,
        #[serde(default = "cycle")]
        cycle: Cycle,
        #[serde(default)]
        sheet: Sheet,
        parts: Vec<Frozen<OwnPart>>,
        #[serde(default)]
        circuits: Vec<Frozen<Circuit>>,
        #[serde(default)]
        motions: Vec<Frozen<Motion>>,
        layouts: Vec<Frozen<Layout>>,
        #[serde(default)]
        trial: Trial,
        #[serde(default)]
        accepted: Vec<Accepted>,
        #[serde(default)]
        models: Vec<Frozen<Model, String>>,
        #[serde(default)]
        sources: Vec<Frozen<Source, String>>,
    }
    OwnPart {
        /// `None` where it is written out in the part.
        #[serde(default)]
        outline: Option<Drawn>,
        /// Of keep-outs, by their ids, whose areas are not written out in the part.
        #[serde(default)]
        areas: Vec<Area>,
        part: Part,
    }
}
/// Keep-out, and where its area is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Area(pub u32, pub Drawn);
