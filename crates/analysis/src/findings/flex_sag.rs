//! `flex.sag`: a part that bends leaves the plane of its lips by more than is watched for.
//!
//! Why: what hangs down catches on what it is set down in. Limit: the watched sag (project setting), in the motion that sags most.
//! Remedy: a cup where it sags most.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{Fix, SagIs, Severity},
    slow::Slow,
    words,
};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.sag",
    title: "Part sags between its cups",
    explains: "How far a bending sheet departs from the plane of its lips, between and beyond them, in its \
        worst motion. Checked where a modulus of elasticity is given.",
    fail: "",
    watch: "sag above its warning limit",
    remedy: "a cup near the largest sag",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(Ok(bending)) = facts.bending else { return };
    let limit = facts.project.rules.sag_watch_mm;
    let Some(motion) = bending.deepest().filter(|motion| motion.sag_mm.abs() > limit) else { return };
    let name = facts.motions.iter().find(|report| report.id == motion.id).map_or("", |report| &report.name);
    let worth = match motion.sag_is {
        SagIs::Small => "",
        SagIs::Less => " A real sheet stiffens and sags less.",
        SagIs::VeryLarge => " That is beyond small deflections: it can only be called very large.",
    };
    let says = format!(
        "The part sags by {} at {}, {} from the datum.{worth}",
        facts.words.length(motion.sag_mm.abs()),
        words::inside(name),
        facts.place(motion.sag_at),
    );
    let more = facts.one_more();
    let remedy = match more {
        Some(_) => one_more_says(facts),
        None => format!("Put a cup near {}.", facts.place(motion.sag_at)),
    };
    out.push(
        Draft::new(INFO.id, Severity::Watch, facts.as_it_bent(Slow::Bending, says))
            .motion(motion.id)
            .figure(motion.sag_mm.abs(), limit, Quantity::Length)
            .remedy(remedy)
            .fix(more.map(|more| Fix::AddCup { like: more.like, at: more.at }))
            .off(motion.sag_mm.abs() / limit - 1.0),
    );
}

/// What one more cup does to the largest sag, tried and solved; empty where none is offered.
pub(super) fn one_more_says(facts: &Facts<'_>) -> String {
    facts.one_more().map_or(String::new(), |more| {
        format!(
            "One more cup like {} at {} lowers the largest sag from {} to {}.",
            facts.tag_of(more.like),
            facts.place(more.at),
            facts.words.length(more.before_mm),
            facts.words.length(more.after_mm),
        )
    })
}
