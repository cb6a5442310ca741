//! `seat.open`: on a tool for several parts a cup lies beside one of them while its zone is on.
//!
//! Why: it stands open and draws as much air as its bore lets through.
//! Limit: fails where the whole lip lies beside the part, or within a hole, and its zone is on. Remedy: shut the zone.

use super::{Draft, Facts, RuleInfo};
use crate::report::{Cover, Severity};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.open",
    title: "Cup beside a part with its zone open",
    explains: "A cup that lies beside the part, or within one of its holes, stands open while its zone is open and draws as much \
               air as its bore lets through; it is counted as a leak of its circuit.",
    fail: "a lip wholly beside the part, zone open",
    watch: "",
    remedy: "a zone that is shut for this part",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(seated) = facts.seated else { return };
    let mut zones: Vec<(&str, Vec<usize>)> = Vec::new();
    for (index, (cup, (_, zone))) in seated.cups.iter().zip(&seated.tags).enumerate() {
        if cup.cover == Some(Cover::Off) && cup.zone_on {
            match zones.iter_mut().find(|(held, _)| held == zone) {
                Some((_, cups)) => cups.push(index),
                None => zones.push((zone, vec![index])),
            }
        }
    }
    for (zone, cups) in zones {
        let tags: Vec<String> = cups.iter().map(|index| seated.tags[*index].0.clone()).collect();
        let (lies, draws) = if cups.len() == 1 { ("lies", "draws") } else { ("lie", "draw") };
        let says = format!(
            "{} {lies} beside the part with {} and {draws} air freely.",
            crate::words::list(&tags),
            super::open_zone(zone)
        );
        let others = seated.cups.iter().zip(&seated.tags).any(|(cup, (_, own))| own == zone && cup.holds);
        let remedy = match (zone.is_empty(), others) {
            (true, _) => "Give them a zone with a valve that is shut for this part.".to_owned(),
            (false, false) => format!("Shut zone {zone} for this part."),
            (false, true) => {
                format!(
                    "Give them a zone of their own that is shut for this part: other cups of zone {zone} hold it."
                )
            }
        };
        out.push(
            Draft::new(INFO.id, Severity::Fail, says)
                .cups(cups.iter().map(|index| seated.cups[*index].id))
                .remedy(remedy)
                .off(2.0 + cups.len() as f64),
        );
    }
}
