//! Format 4 as it stands in the file; format 3 is read with the same types. These types never change once released, but for fields
//! that may be left out: a later format gets its own file, and `migrate` brings this one up to it.
//!
//! Lengths mm, angles degrees, masses kg (cups: g), pressures kPa, accelerations m/s², stiffness N/mm, permeance µm/(Pa·s), the
//! life of a lip in picks.

mod circuit;
mod issued;
mod layout;
mod model;
mod motion;
mod part;
mod question;
mod review;
mod sheet;
mod values;

pub(crate) use circuit::*;
pub(crate) use issued::*;
pub(crate) use layout::*;
pub(crate) use model::*;
pub(crate) use motion::*;
pub(crate) use part::*;
pub(crate) use question::*;

pub(crate) use review::*;
use serde::{Deserialize, Serialize};
pub(crate) use sheet::*;
pub(crate) use values::{Origin, Packed, Shape, Sourced, Three, Two, Vertex};

/// Types of things in the file: every field must be there unless it says otherwise, and no other may be.
macro_rules! format_types {
    ($($(#[$doc:meta])* $name:ident { $($(#[$attr:meta])* $field:ident: $type:ty),+ $(,)? })+) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $name { $($(#[$attr])* pub $field: $type),+ })+ };
}
pub(in crate::file) use format_types;

fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

format_types! {
    /// The whole file.
    Project {
        format: u32,
        name: String,
        last_id: u32,
        site: Site,
        rules: Rules,
        #[serde(default = "cycle")]
        cycle: Cycle,
        #[serde(default)]
        sheet: Sheet,
        parts: Vec<Part>,
        #[serde(default)]
        circuits: Vec<Circuit>,
        #[serde(default)]
        motions: Vec<Motion>,
        layouts: Vec<Layout>,
        #[serde(default)]
        trial: Trial,
        #[serde(default)]
        accepted: Vec<Accepted>,
        #[serde(default)]
        models: Vec<Model>,
        #[serde(default)]
        sources: Vec<Source>,
        #[serde(default, skip_serializing_if = "question::is_usual_question")]
        question: Question,
        #[serde(default)]
        review: Review,
        #[serde(default)]
        issued: Vec<Issued>,
        // Last, so that the journal need not write it again with every change before it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        traced: Option<Traced>,
    }
    /// A picture to trace; a PNG as base64 (RFC 4648, 4).
    Traced {
        name: String,
        at: Two,
        #[serde(default, skip_serializing_if = "is_zero")]
        turn_deg: f64,
        dot_mm: f64,
        strength: f64,
        #[serde(default, skip_serializing_if = "std::ops::Not::not")]
        locked: bool,
        png: Packed,
    }
    Site {
        altitude_m: f64,
        temperature_c: f64,
        #[serde(default)]
        payload_kg: Option<f64>,
    }
    Rules {
        gap_watch_mm: f64,
        factor_watch: f64,
        centroid_offset_share: f64,
        most_over_mean: f64,
        slide_share: f64,
        #[serde(default = "payload_watch")]
        payload_watch: f64,
        #[serde(default = "friction_spread")]
        friction_spread: f64,
        #[serde(default = "stiffness_spread")]
        stiffness_spread: f64,
        #[serde(default = "lip_spread")]
        lip_spread: f64,
        #[serde(default = "supply_margin")]
        supply_margin: f64,
        #[serde(default = "level_spread")]
        level_spread: f64,
        #[serde(default = "element_loss")]
        element_loss: f64,
        // Left out where it is as usual, so that what was written before stays as it is.
        #[serde(default = "favourable_weight", skip_serializing_if = "is_usual_weight")]
        favourable_weight: f64,
        #[serde(default = "sag_watch", skip_serializing_if = "is_usual_sag")]
        sag_watch_mm: f64,
        #[serde(default = "ring_limit", skip_serializing_if = "is_usual_ring")]
        ring_limit_mm: f64,
    }
}

// What a field is when it is left out.

fn payload_watch() -> f64 {
    0.85
}
fn friction_spread() -> f64 {
    0.3
}
fn stiffness_spread() -> f64 {
    0.3
}
fn lip_spread() -> f64 {
    0.05
}
fn supply_margin() -> f64 {
    0.25
}
fn level_spread() -> f64 {
    0.05
}
fn element_loss() -> f64 {
    0.1
}
fn ring_limit() -> f64 {
    1.0
}
fn is_usual_ring(limit: &f64) -> bool {
    *limit == ring_limit()
}
fn sag_watch() -> f64 {
    10.0
}
fn is_usual_sag(sag: &f64) -> bool {
    *sag == sag_watch()
}
fn favourable_weight() -> f64 {
    0.9
}
fn is_usual_weight(share: &f64) -> bool {
    *share == favourable_weight()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a file means by leaving a limit out is what a new project begins with.
    #[test]
    fn limits_left_out_are_as_in_a_new_project() {
        let written = serde_json::to_value(Rules::from(&crate::Rules::default())).unwrap();
        let must = ["gap_watch_mm", "factor_watch", "centroid_offset_share", "most_over_mean", "slide_share"];
        let short: serde_json::Map<_, _> =
            must.iter().map(|key| ((*key).to_owned(), written[*key].clone())).collect();
        let read: Rules = serde_json::from_value(short.into()).unwrap();
        assert_eq!(crate::Rules::from(read), crate::Rules::default());
    }

    /// A field that is added is left out where it has its default, or every mark given before would be another one
    /// (`crate::mark`): no more fields are written with their default than the format began with, but for the question that
    /// proposals answer, which is left out as a whole and is no content.
    #[test]
    fn a_field_that_is_added_is_left_out_where_it_is_usual() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/file");
        let files = std::fs::read_dir(folder.join("v4")).unwrap().map(|entry| entry.unwrap().path());
        let sources = files.chain([folder.join("v4.rs")]).map(|file| std::fs::read_to_string(file).unwrap());
        let marks: Vec<String> = sources
            .flat_map(|text| text.split("#[serde(").skip(1).map(str::to_owned).collect::<Vec<_>>())
            .collect();
        let attribute = |text: &String| text.split(")]").next().unwrap_or_default().to_owned();
        let written = |text: &String| text.contains("default") && !text.contains("skip_serializing_if");
        assert_eq!(marks.iter().map(attribute).filter(written).count(), 118 + 1);
    }
}
