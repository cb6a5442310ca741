//! What the fields of a project are called, and what they measure.

use units::Quantity;

/// A field in plain words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Field {
    /// As the file has it.
    pub key: &'static str,
    /// In a sentence: "least gap between lips".
    pub name: &'static str,
    pub quantity: Quantity,
}

const fn field(key: &'static str, name: &'static str, quantity: Quantity) -> Field {
    Field { key, name, quantity }
}

/// Limits of the findings.
pub(crate) const RULES: [Field; 12] = [
    field("gap_watch_mm", "gap between lips that is watched", Quantity::Length),
    field("factor_watch", "factor over required that is watched", Quantity::Ratio),
    field("centroid_offset_share", "centroid offset that is watched", Quantity::Share),
    field("most_over_mean", "most over mean load that is watched", Quantity::Ratio),
    field("slide_share", "share of the friction that may be used", Quantity::Share),
    field("payload_watch", "share of the payload that is watched", Quantity::Share),
    field("friction_spread", "spread of assumed friction", Quantity::Share),
    field("stiffness_spread", "spread of assumed stiffness", Quantity::Share),
    field("lip_spread", "spread of an assumed sealing line or seal minimum", Quantity::Share),
    field("supply_margin", "flow to spare that is watched", Quantity::Share),
    field("level_spread", "spread of levels that is watched", Quantity::Share),
    field("element_loss", "loss in one element that is watched", Quantity::Share),
];
