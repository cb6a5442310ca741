//! `seat.shut`: on a tool for several parts a cup lies on one of them while its zone is shut.
//!
//! Why: it could carry and does not; where that is meant, marking it as one that may stay shut says so.
//! Limit: advice. Remedy: open the zone, or mark the cup.

use super::{Draft, Facts, RuleInfo};
use crate::family::Seated;
use crate::report::{Cover, Severity};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.shut",
    title: "Cup on a part with its zone shut",
    explains: "A cup that lies on the part carries nothing while its zone is shut. That is allowed, and noted: fewer valves may be \
               worth more than its force.",
    fail: "",
    watch: "",
    remedy: "open the zone, or mark the cup as one that may stay shut",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(seated) = facts.seated else { return };
    let shut: Vec<usize> = (0..seated.cups.len())
        .filter(|index| {
            let cup = &seated.cups[*index];
            cup.cover == Some(Cover::On) && !cup.zone_on && !cup.may_stay_shut
        })
        .collect();
    if shut.is_empty() {
        return;
    }
    let tags: Vec<String> = shut.iter().map(|index| seated.tags[*index].0.clone()).collect();
    let says = match tags.as_slice() {
        [tag] => format!("{tag} is on the part and its zone is shut: it carries nothing."),
        tags => {
            format!(
                "{} are on the part and their zones are shut: they carry nothing.",
                crate::words::list(tags)
            )
        }
    };
    out.push(
        Draft::new(INFO.id, Severity::Advice, says)
            .cups(shut.iter().map(|index| seated.cups[*index].id))
            .remedy(remedy(seated, &shut))
            .off(shut.len() as f64),
    );
}

/// A zone with cups beside the part or partly on it cannot be opened: then those on it need one of their own.
fn remedy(seated: &Seated, shut: &[usize]) -> String {
    let zone = |index: usize| seated.tags[index].1.as_str();
    let off = |index: &usize| {
        let here = shut.iter().any(|on| zone(*on) == zone(*index));
        here && seated.cups[*index].cover.is_some_and(|cover| cover != Cover::On)
    };
    let tags: Vec<String> =
        (0..seated.cups.len()).filter(off).map(|index| seated.tags[index].0.clone()).collect();
    match tags.as_slice() {
        [] => "Open their zone for this part, or mark them as cups that may stay shut.".to_owned(),
        tags => format!(
            "Give them a zone without {}, which would draw air, or mark them as cups that may stay shut.",
            crate::words::list(tags)
        ),
    }
}
