//! What every sheet says before the tool is used.

use super::small;
use crate::block::{Block, Section, paragraph, stacked};
use crate::style::Style;

/// The cautions, in full on every sheet.
pub const CAUTIONS: [&str; 8] = [
    "Suspended or moving loads can fall: keep people out of the path and from below; guard to the machine's risk \
     assessment.",
    "Loss of energy must not release the part: check valves, monitored vacuum level, stated hold time.",
    "Test with the real part, at the lowest feed pressure, the worst surface and the highest temperature.",
    "Ear and eye protection near ejector exhaust; pipe exhaust with chips or dust away from people.",
    "Isolate and vent before working on the tool. Wear gloves for sharp sheet and glass.",
    "Not for lifting people or above people.",
    "These figures assist, and do not replace, the judgement of a competent person, a trial pick with the real part, \
     local codes and licensed practice, and the machine's risk assessment.",
    "Upkeep (common practice, no source): thread sealant paste rather than tape on vacuum fittings, since a tape \
     strand that breaks off holds a flap valve open; wash flap valves in mild soap and water and align each with its \
     port when refitting; check lips, filters and vacuum level at stated intervals.",
];

pub(crate) fn section(width: f64, style: &Style) -> Section {
    let rows = CAUTIONS.iter().map(|caution| {
        stacked([paragraph(caution, small(style), 0.0, width), Block::space(style.small * 0.28)])
    });
    Section { name: "cautions", heading: "Before use".to_owned(), head: Vec::new(), rows: rows.collect() }
}

#[cfg(test)]
mod tests {
    #[test]
    fn promises_nothing() {
        for caution in super::CAUTIONS {
            assert!(!caution.to_lowercase().contains("safe"), "{caution}");
        }
    }
}
