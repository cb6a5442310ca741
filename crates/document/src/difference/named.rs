//! What things are called in a difference.

use crate::{
    BaselineCurve, Circuit, CircuitId, CupId, CupModel, LayoutId, ModelId, Motion, MotionId, Part, PartId,
    Project, SourceId, SourceModel, TrialEntry, TrialKind,
};
use serde_json::Value;

/// "Layout A" stays; "Two round" alone would not say what it is: "layout Two round".
pub(crate) fn titled(kind: &str, name: &str) -> String {
    let name = name.trim();
    if name.to_lowercase().starts_with(kind) {
        return name.to_owned();
    }
    format!("{kind} {name}").trim_end().to_owned()
}

/// A thing with a name.
pub(super) trait Named {
    /// With its kind in front: "motion Level lift".
    fn called(&self) -> String;
}
macro_rules! named {
    ($($type:ident => $kind:literal),+ $(,)?) => { $(
        impl Named for $type {
            fn called(&self) -> String { titled($kind, &self.name) }
        })+ };
}
named! {
    Part => "part",
    Circuit => "circuit",
    Motion => "motion",
    CupModel => "cup model",
    SourceModel => "source",
}

/// Ids as the file has them.
macro_rules! numbers {
    ($($id:ident),+) => { $(
        impl From<$id> for Value {
            fn from(id: $id) -> Self { id.0.into() }
        })+ };
}
numbers!(PartId, LayoutId, CupId, MotionId, CircuitId);
macro_rules! texts {
    ($($id:ident),+) => { $(
        impl From<$id> for Value {
            fn from(id: $id) -> Self { id.0.as_ref().into() }
        })+ };
}
texts!(ModelId, SourceId);

fn circuit(p: &Project, id: CircuitId) -> String {
    p.circuit(id).map_or_else(|| format!("circuit {id}"), |c| c.called())
}
pub(crate) fn entry(p: &Project, e: &TrialEntry) -> String {
    let of = match &e.what {
        TrialKind::Level { layout, cup } => {
            p.cup(*layout, *cup).map_or_else(|| format!("cup {cup}"), |c| titled("cup", &c.tag))
        }
        TrialKind::TimeToLevel { circuit: id, .. } | TrialKind::LeakDown { circuit: id, .. } => {
            circuit(p, *id)
        }
        TrialKind::Friction { lip_material, .. } => lip_material.clone(),
    };
    format!("trial, {} ({of}), {}", e.what.label(), e.stage.label())
}
pub(crate) fn curve(p: &Project, c: &BaselineCurve) -> String {
    format!("trial, {} curve ({}), {}", c.kind.label(), circuit(p, c.circuit), c.stage.label())
}
