//! `long.channel`: the level falls under a lip on a part that air comes through.
//!
//! Why: air that comes in along a long lip must flow to its port through the little height that is left under the cup; far
//! from the port the level is lower, and so is the force.
//! Limits: advice when the level at the ends is below 0.9 of that at the port, watched below 0.75. Remedy: the height left
//! for the air that would keep it, shorter lips with a port each.

use super::{Draft, Facts, RuleInfo};
use crate::report::{ChannelReport, Severity};
use units::Quantity;

/// Level at the ends over that at the port, below which it is told.
const TOLD: f64 = 0.9;
/// Below which it is watched.
const WATCHED: f64 = 0.75;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "long.channel",
    title: "Level falls towards the ends of a lip",
    explains: "Air passing through the part along a lip flows to the port through the air gap under the cup; \
        far from the port the level is lower, and so is the force.",
    fail: "",
    watch: "level at the ends below 0.75 of that at the port (advice below 0.9)",
    remedy: "the air gap that would hold it; shorter lips with a port each",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(part) = facts.part else { return };
    for (model, cups) in facts.by_model() {
        let Some(cup) = cups.first().and_then(|index| facts.cups.get(*index)) else { continue };
        let Some(channel) = cup.channel.filter(|channel| channel.end_share < TOLD) else { continue };
        let words = facts.words;
        let says = format!(
            "Air passes through {}: under {} ({}) the level falls from {} at the port to {} at the ends, and \
            the force is {} of what the port\u{2019}s level would give.",
            part.name,
            facts.tags(&cups),
            model.name,
            words.level(cup.level_kpa),
            words.level(cup.level_kpa * channel.end_share),
            words.percent(channel.mean_share),
        );
        let gap = model.channel_mm.value;
        let remedy = format!(
            "Ribs or a model with an air gap of {} instead of {} would keep {} at the ends; shorter lips \
            with a port each lose less.",
            words.length((gap_that_keeps(gap, &channel) * 10.0).ceil() / 10.0),
            words.length(gap),
            words.percent(TOLD),
        );
        let severity = if channel.end_share < WATCHED { Severity::Watch } else { Severity::Advice };
        out.push(
            Draft::new(INFO.id, severity, says)
                .cups(cups.iter().map(|index| facts.cups[*index].id))
                .figure(channel.end_share, TOLD, Quantity::Share)
                .remedy(remedy)
                .off(1.0 - channel.end_share),
        );
    }
}

/// Height under the cup with which the level at the ends is as watched for, mm: the fall-off goes with the height to the
/// power of -1.5, and the share at the ends is one over the hyperbolic cosine of fall-off times length.
fn gap_that_keeps(gap: f64, channel: &ChannelReport) -> f64 {
    const M_PER_MM: f64 = 1e-3;
    let now = channel.fall_per_m * channel.half_length_mm * M_PER_MM;
    gap * (now / TOLD.recip().acosh()).powf(2.0 / 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use mechanics::Channel;

    #[test]
    fn the_height_that_is_named_keeps_the_level() {
        let fall = |gap: f64| Channel::of(2e-7, gap, 80.0, 1.8e-5);
        let now = crate::lower::channel_report(&fall(0.1));
        assert!(now.end_share < TOLD);
        let kept = fall(gap_that_keeps(0.1, &now));
        assert!((kept.share_at_end() - TOLD).abs() < 1e-9);
    }
}
