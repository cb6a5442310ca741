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
            "used until a switch level is entered: wear, low feed pressure and a used filter cost the rest",
        ),
        (
            "alarm level",
            "the design level".to_owned(),
            "the machine stops once the part no longer counts as held",
        ),
        (
            "bearing width of a lip",
            "half the difference between outer size and sealing line, at least 0.5 mm".to_owned(),
            "the ring outside the sealing line",
        ),
        (
            document::name_of("model.side_lever_mm"),
            "half the height of the cup".to_owned(),
            "a cup held square at both ends has no moment at half height",
        ),
        ("spread of an assumed level", spread(LEVEL_SPREAD), "gauges and leaks vary this much"),
        ("spread of an assumed curve", spread(CURVE_SPREAD), "sources of one type vary this much"),
        (
            "spread of an assumed feed",
            spread(FEED_SPREAD),
            "line pressure drops this much when others draw air",
        ),
        (
            "spread of an assumed permeance",
            spread(PERMEANCE_SPREAD),
            "board and foam of one grade vary this much, and with humidity",
        ),
        (
            "spread of an assumed gap",
            format!("{} to {} times", figure(GAP_TIMES.0, 1), figure(GAP_TIMES.1, 0)),
            "until a leak-down is measured, only the order of magnitude is known",
        ),
        ("spread of an assumed lip width", spread(WIDTH_SPREAD), "a lip spreads under load"),
        (
            "deepest level of any source",
            format!("{} of the atmosphere", percent(DEEPEST_SHARE)),
            "no source on a tool goes deeper, unless its own curve says so",
        ),
    ]
}
