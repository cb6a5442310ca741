//! `seat.none`: on a tool for several parts nothing holds one of them.
//!
//! Why: the part lies beside all cups, or the valves of all cups on it are shut.
//! Limit: fails where no cup with its zone on lies on the part. Remedy: place the part over cups, or open a zone.

use super::{Draft, Facts, RuleInfo};
use crate::report::{Cover, Severity};

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "seat.none",
    title: "Part that no cup holds",
    explains: "A part on the tool that lies beside all cups, or whose cups are all on shut valves, is not picked up.",
    fail: "no cup with its zone open lies on the part",
    watch: "",
    remedy: "another place for the part on the tool, or a zone to open",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(seated) = facts.seated else { return };
    // Where the part cannot be worked with, that is told instead.
    if seated.cups.is_empty() || seated.cups.iter().any(|cup| cup.holds || cup.cover.is_none()) {
        return;
    }
    let on = seated.cups.iter().filter(|cup| cup.cover == Some(Cover::On)).count();
    let partly = seated.cups.iter().any(|cup| cup.cover == Some(Cover::Partly));
    let (says, remedy) = match (on, partly) {
        (0, false) => (
            "The part lies beside all cups of the tool.".to_owned(),
            "Place the part over cups, or add cups where it lies.".to_owned(),
        ),
        (0, true) => (
            "No cup lies wholly on the part.".to_owned(),
            "Place the part over cups, or move cups onto it.".to_owned(),
        ),
        _ => (
            format!("The zones of all {on} cups on the part are shut."),
            "Open a zone whose cups are on it.".to_owned(),
        ),
    };
    out.push(Draft::new(INFO.id, Severity::Fail, says).remedy(remedy).off(20.0));
}
