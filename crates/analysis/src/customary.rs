//! What the figures rest on where nobody gave a figure, besides what stands in the project: for the table of defaults.

use crate::assumed::{
    CURVE_SPREAD, DEEPEST_SHARE, FEED_SPREAD, GAP_TIMES, LEVEL_SPREAD, PERMEANCE_SPREAD, WIDTH_SPREAD,
};
use units::figure;

/// What is taken, as name, value with its unit, and reason.
///
/// ```
/// assert!(analysis::customary().iter().any(|(what, value, _)| *what == "design level" && value.starts_with("85 %")));
/// ```
pub fn customary() -> Vec<(&'static str, String, &'static str)> {
    let percent = |share: f64| format!("{} %", figure(share * 100.0, 0));
    let spread = |share: f64| format!("\u{b1}{}", percent(share));
    vec![
        (
            "design level",
            crate::circuit::design_share(),
            "while nobody stated what the switch waits for: wear, a low feed and a filter in use take the rest",
        ),
        (
            "alarm level",
            "the design level".to_owned(),
            "the machine stops once the part no longer counts as held",
        ),
        (
            "width that a lip bears on",
            "half of what the outer size has over the sealing line, 0.5 mm at least".to_owned(),
            "what lies outside of the line that seals",
        ),
        (
            "lever of a side load",
            "half the height of the cup".to_owned(),
            "a cup held square at both ends has no moment half-way up",
        ),
        ("spread of an assumed level", spread(LEVEL_SPREAD), "gauges and leaks differ by so much"),
        ("spread of an assumed curve", spread(CURVE_SPREAD), "sources of one kind differ by so much"),
        ("spread of an assumed feed", spread(FEED_SPREAD), "an air line falls by so much when others draw"),
        (
            "spread of an assumed permeance",
            spread(PERMEANCE_SPREAD),
            "board and foam of one kind differ by so much, and with humidity",
        ),
        (
            "spread of an assumed gap",
            format!("{} to {} times", figure(GAP_TIMES.0, 1), figure(GAP_TIMES.1, 0)),
            "a gap is known to its order only until a leak-down is measured",
        ),
        ("spread of an assumed lip width", spread(WIDTH_SPREAD), "a lip spreads under load"),
        (
            "deepest level of any source",
            format!("{} of the atmosphere", percent(DEEPEST_SHARE)),
            "no source of a tool is deeper, unless its own curve says so",
        ),
    ]
}
