//! What is said before a tool is used, wherever its figures are handed out.

/// The cautions, in full on every sheet, page and drawing.
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
    "Maintenance (common practice, no source): thread sealant paste rather than tape on vacuum fittings, \
    since a tape strand that breaks off holds a flap valve open; wash flap valves in mild soap and water and \
    align each with its port when refitting; check lips, filters and vacuum level at stated intervals.",
];

#[cfg(test)]
mod tests {
    #[test]
    fn promises_nothing() {
        for caution in super::CAUTIONS {
            assert!(!caution.to_lowercase().contains("safe"), "{caution}");
        }
    }
}
