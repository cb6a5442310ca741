//! `seat.partly`: on a tool for several parts a cup lies partly on one of them while its zone is on.
//!
//! Why: what of the lip lies beside the part is open to the air, and takes the level from every cup on its circuit.
//! Limit: fails where a lip lies neither wholly on sound surface nor wholly beside the part, with the clearance that placing
//! asks for. Remedy: the move that lands it, or a zone that is shut for this part.

use super::{Draft, Facts, RuleInfo};
use crate::family::Seated;
use crate::report::{Cover, Severity};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.partly",
    title: "Cup partly on a part with its zone open",
    explains: "Of a tool that carries several parts every cup is on a part, beside it, or partly on it. Partly on, with its \
               zone open, it draws air from beside the part; its uncovered area is counted as a leak of its circuit.",
    fail: "a lip that lies neither on sound surface nor beside the part with the required clearance, zone open",
    watch: "",
    remedy: "another place for the cup, or a zone of its own that is shut for this part",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(seated) = facts.seated else { return };
    for (cup, (tag, zone)) in seated.cups.iter().zip(&seated.tags) {
        if cup.cover != Some(Cover::Partly) || !cup.zone_on || super::in_cells(facts, cup.id) {
            continue;
        }
        let distance = cup.clearance_mm.unwrap_or(0.0);
        let says = if distance >= 0.0 {
            format!(
                "{tag} is partly on as the part may lie: {} to the edge of sound surface, {} required.",
                facts.words.some_length(distance),
                facts.words.some_length(cup.required_mm)
            )
        } else if cup.uncovered_mm2 > 0.0 {
            format!(
                "{tag} is partly on with {}: it draws air through {}.",
                super::open_zone(zone),
                facts.words.figure(cup.uncovered_mm2, Quantity::Area)
            )
        } else {
            format!("{tag} is partly on sound surface with {}.", super::open_zone(zone))
        };
        out.push(
            Draft::new(INFO.id, Severity::Fail, says)
                .cups([cup.id])
                .figure(distance, cup.required_mm, Quantity::Length)
                .remedy(remedy(seated, tag, zone))
                .off(2.0 + cup.uncovered_mm2.max(0.0).sqrt() * 1e-3),
        );
    }
}

/// A zone whose other cups hold the part cannot be shut: then the cup needs one of its own.
fn remedy(seated: &Seated, tag: &str, zone: &str) -> String {
    let mut same = seated.cups.iter().zip(&seated.tags).filter(|(_, (_, own))| own == zone);
    match (zone.is_empty(), same.any(|(cup, _)| cup.holds)) {
        (true, _) => format!("Move {tag}, or give it a zone with a valve that is shut for this part."),
        (false, false) => format!("Move {tag}, or shut zone {zone} for this part."),
        (false, true) => format!(
            "Move {tag}, or give it a zone of its own that is shut for this part: other cups of zone {zone} hold it."
        ),
    }
}
