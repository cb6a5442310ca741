//! `seat.clearance`: a lip lands, but nearer to an edge, hole or keep-out than part and tool are placed.
//!
//! Why: the part lies where it lies within its tolerances; a lip with less clearance than that overhangs the edge on some picks.
//! Limit: watched below position tolerance + turn tolerance x reach + drawing tolerance. Remedy: the move, or a
//! smaller lip.

use super::{Draft, Facts, RuleInfo, seat_overhang};
use crate::{report::Severity, seats::LENGTH_NOISE};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.clearance",
    title: "Less clearance than the placement needs",
    explains: "The part has a position, a turn and a contour tolerance; a lip with less clearance than \
        position + turn × reach + contour overhangs the edge on some cycles.",
    fail: "",
    watch: "clearance below the required clearance",
    remedy: "the move to the nearest landing point, or the largest lip that fits there",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for (index, seat) in facts.seats.iter().enumerate() {
        let Some(clearance) = seat
            .clearance
            .filter(|c| c.distance >= -LENGTH_NOISE && c.distance < seat.required - LENGTH_NOISE)
        else {
            continue;
        };
        let distance = clearance.distance.max(0.0);
        let says = format!(
            "{} has {} of clearance to {}; its placement needs {}.",
            facts.tag(index),
            facts.words.length(distance),
            seat_overhang::boundary(facts, clearance.limit),
            facts.words.length(seat.required),
        );
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .cups([facts.cups[index].id])
                .figure(distance, seat.required, Quantity::Length)
                .remedy(seat_overhang::remedy(facts, index))
                .fix(seat_overhang::fix(facts, index))
                .off(1.0 - distance / seat.required),
        );
    }
}
