//! Things as the file has them, for whatever works on every field of a thing without naming one.

use super::v4;
use crate::model as m;
use serde::Serialize;
use serde_json::Value;

/// A thing as it stands in the file.
pub(crate) trait Form {
    /// Fields by the names the file gives them; what is not there is absent or null.
    fn form(&self) -> Value;
}

fn value(thing: &impl Serialize) -> Value {
    // The format types hold numbers, text, lists and plain variants only: none of them can refuse to be written.
    serde_json::to_value(thing).unwrap_or_default()
}

macro_rules! forms {
    ($($domain:ident = $format:ident),+ $(,)?) => { $(
        impl Form for m::$domain {
            fn form(&self) -> Value { value(&v4::$format::from(self)) }
        })+ };
}
forms!(
    Site = Site,
    Rules = Rules,
    Cycle = Cycle,
    SheetFields = Sheet,
    Part = Part,
    Circuit = Circuit,
    Motion = Motion,
    Layout = Layout,
    Tool = Tool,
    Cup = Cup,
    TrialEntry = TrialEntry,
    BaselineCurve = BaselineCurve,
    Accepted = Accepted,
    CupModel = Model,
    SourceModel = Source,
);

/// The content alone, for its mark: without the format, the counter of ids, review and issued revisions.
pub(crate) fn content_form(project: &m::Project) -> Value {
    let mut form = value(&v4::Project::from(&project.content()));
    if let Value::Object(fields) = &mut form {
        for no_content in ["format", "last_id", "question", "review", "issued", "traced"] {
            fields.remove(no_content);
        }
    }
    form
}

/// Settings that are put together again from their fields.
pub(crate) trait FromForm: Form + Sized {
    /// Back from the form; `None` where it is no such thing.
    fn from_form(form: Value) -> Option<Self>;
}
macro_rules! from_forms {
    ($($domain:ident = $format:ident),+ $(,)?) => { $(
        impl FromForm for m::$domain {
            fn from_form(form: Value) -> Option<Self> {
                serde_json::from_value::<v4::$format>(form).ok().map(Self::from)
            }
        })+ };
}
from_forms!(Site = Site, Rules = Rules, Cycle = Cycle, SheetFields = Sheet);
