//! `cups.many`: every factor is far above what is required.
//!
//! Why: each cup costs air, weight and upkeep.
//! Limit: advice when every motion has more than three times its required factor. Remedy: about how many would do.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;
use units::Quantity;

/// Times the required factor above which fewer cups are suggested.
const FAR_ABOVE: f64 = 3.0;
/// Fewer than this cannot stand off one line.
const FEWEST: usize = 3;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "cups.many",
    title: "More cups than the motions need",
    explains: "Every motion has more than three times its required factor; each cup costs air, weight and \
        maintenance. The loss of one cup is not considered here.",
    fail: "",
    watch: "",
    remedy: "roughly how many cups are enough",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let solved = facts.solved().count();
    let count = facts.cups.len();
    if solved == 0 || solved < facts.motions.len() || count <= FEWEST {
        return;
    }
    // A sheet that bends needs its cups to lie flat, whatever their factors as under a rigid part.
    if facts.bends().is_some() {
        return;
    }
    let Some((motion, case)) = facts.governing() else { return };
    let least = case.factor() / motion.required_factor;
    if !least.is_finite() || least <= FAR_ABOVE {
        return;
    }
    // Vacuum force and stiffness both go with the number of cups, so the factor does.
    let would_do = ((count as f64 / least).ceil() as usize).max(FEWEST);
    let says = format!(
        "Every factor is more than three times the required one; the lowest is {} of {}.",
        facts.words.factor(case.factor()),
        facts.words.factor(motion.required_factor),
    );
    out.push(
        Draft::new(INFO.id, Severity::Advice, says)
            .motion(motion.id)
            .figure(case.factor(), motion.required_factor, Quantity::Ratio)
            .remedy(format!(
                "About {would_do} of the {count} cups are enough if they share the load equally, or use \
                smaller lips: try it in a copy of the layout, and keep enough cups for the loss of one."
            ))
            .off(least),
    );
}
