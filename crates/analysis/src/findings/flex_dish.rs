//! `flex.dish`: a thin part is drawn into the lips.
//!
//! Why: what is drawn in by more than a lip closes leaks, and marks stay. Limits: fails where its stress is above the allowable
//! stated for the part, is watched where it is drawn in by more than the model closes. Remedy: a smaller lip or less level.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{DishedCup, SagIs, Severity},
    slow::Slow,
};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.dish",
    title: "Part is drawn into the lips",
    explains: "Inside a lip the vacuum bends a thin sheet like a plate with an edge between clamped and \
        simply supported (Timoshenko and Woinowsky-Krieger; from memory). Checked where a modulus of \
        elasticity is given.",
    fail: "stress with a simply supported edge above the stated allowable",
    watch: "drawn in by more than the lip can seal, with a clamped edge",
    remedy: "a smaller lip, one with support ribs, or a lower level",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(reserve) = facts.bent_reserve else { return };
    let allowable =
        facts.part.and_then(|part| part.allowable_n_mm2.as_ref()).map(|allowable| allowable.value);
    let words = facts.words;
    let told = |cup: &DishedCup| {
        let worth = match cup.is {
            SagIs::Small => "",
            SagIs::Less | SagIs::VeryLarge => " A real sheet stiffens and is drawn in less.",
        };
        format!(
            "{} draws the part in by {} to {}.{worth}",
            facts.tag_of(cup.id),
            words.some_length(cup.held_mm),
            words.some_length(cup.free_mm),
        )
    };
    let most = reserve.dishing.iter().max_by(|a, b| a.stress_n_mm2.total_cmp(&b.stress_n_mm2));
    if let (Some(cup), Some(allowable)) = (most, allowable)
        && cup.stress_n_mm2 > allowable
    {
        let stress = |value: f64| facts.words.figure(value, units::Quantity::Stress);
        let says = format!(
            "{} The stress there reaches {}; {} is allowed.",
            told(cup),
            stress(cup.stress_n_mm2),
            stress(allowable)
        );
        out.push(
            Draft::new(INFO.id, Severity::Fail, facts.as_it_bent(Slow::BentReserve, says))
                .cups([cup.id])
                .figure(cup.stress_n_mm2, allowable, Quantity::Stress)
                .remedy("Use a smaller lip, one with support ribs, or a lower level.".to_owned())
                .off(cup.stress_n_mm2 / allowable - 1.0),
        );
        return;
    }
    let beyond = |cup: &&DishedCup| {
        let model =
            facts.index_of(cup.id).and_then(|index| facts.models.get(&facts.placed.get(index)?.model));
        model.is_some_and(|held| cup.held_mm > held.model.closes_mm)
    };
    let cups: Vec<&DishedCup> = reserve.dishing.iter().filter(beyond).collect();
    let Some(cup) = cups.iter().max_by(|a, b| a.held_mm.total_cmp(&b.held_mm)) else { return };
    let says = format!("{} That is more than its lip can seal.", told(cup));
    out.push(
        Draft::new(INFO.id, Severity::Watch, facts.as_it_bent(Slow::BentReserve, says))
            .cups(cups.iter().map(|cup| cup.id))
            .figure(cup.held_mm, 0.0, Quantity::Length)
            .remedy("Use a smaller lip, one with support ribs, or a lower level.".to_owned())
            .off(0.1),
    );
}
