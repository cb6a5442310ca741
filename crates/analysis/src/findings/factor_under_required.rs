//! `factor.under_required`: a motion has less than its required factor.
//!
//! Why: this is what the tool is for. Lips are brittle: the first that opens or slides counts, and no redistribution
//! among cups is relied on.
//! Limits: fails below the required factor, watched below 1.15 times that (project setting). Remedy: which of a deeper
//! level, larger lips, a drier surface, less acceleration or more cups would do, and how much of each.

use super::{Draft, Facts, RuleInfo, remedies};
use crate::{
    loads::{self, Case},
    lower_motion,
    report::{MotionReport, Severity},
    verdict, words,
};
use units::Quantity;

/// Motions whose remedies are worked out in full, worst first: each takes some forty solutions of the motion, which a
/// drag has no time for in every one of many. What mends these is tried on the others next.
const IN_FULL: usize = 4;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "factor.under_required",
    title: "Factor below the required one",
    explains: "The factor is how many times the load could be carried before the first lip loses its seal or \
        slides. Lips fail suddenly, so no redistribution among cups is counted on.",
    fail: "factor below the required factor",
    watch: "factor below 1.15 times the required factor",
    remedy: "how much deeper a level, larger lips, a drier surface, less acceleration or more cups",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let watch = facts.project.rules.factor_watch.max(1.0);
    // Where a part bends, the factor as it bends is what counts, and has its own rule.
    let bent =
        |motion: &MotionReport| facts.bends().is_some_and(|bends| bends.of_motion(motion.id).is_some());
    let mut low: Vec<(f64, &MotionReport, &Case)> = facts
        .solved()
        .filter(|(motion, _)| !bent(motion))
        .map(|(motion, case)| (case.factor() / motion.required_factor, motion, case))
        .filter(|(ratio, ..)| *ratio < watch)
        .collect();
    low.sort_by(|a, b| a.0.total_cmp(&b.0));
    let worst = low.first().map(|(_, motion, _)| motion.name.clone());
    for (rank, (ratio, motion, case)) in low.into_iter().enumerate() {
        let governing = case.result.governing;
        let factor = case.factor();
        let fails = ratio < 1.0;
        let says = format!(
            "{} holds {} of the {} required{}{}: {}.{}",
            words::capital(&motion.name),
            facts.words.factor(factor),
            facts.words.factor(motion.required_factor),
            governs(motion).map_or(String::new(), |when| format!(", {when}")),
            verdict::counted_like(facts, case).map_or(String::new(), |how| format!(", with {how}")),
            verdict::first_to_fail(facts.tag(governing), case),
            if fails && rank < IN_FULL { at_rest(facts, motion, case) } else { String::new() },
        );
        let remedy = match (fails, &worst) {
            (true, _) if rank < IN_FULL => remedies::for_factor(facts, motion, case),
            (true, Some(worst)) => format!(
                "Needs {} times the vacuum force; fix {} first, then check again.",
                facts.words.factor(1.0 / ratio),
                words::inside(worst),
            ),
            _ => format!(
                "{} times the vacuum force would leave {} to spare.",
                facts.words.factor(watch / ratio),
                facts.words.percent(watch - 1.0),
            ),
        };
        out.push(
            Draft::new(INFO.id, if fails { Severity::Fail } else { Severity::Watch }, says)
                .cups([facts.cups[governing].id])
                .motion(motion.id)
                .figure(factor, motion.required_factor, Quantity::Ratio)
                .remedy(remedy)
                .off(if fails { 2.0 - ratio } else { 1.0 - ratio / watch }),
        );
    }
}

/// The state and place that govern a motion, in words.
fn governs(motion: &MotionReport) -> Option<&str> {
    motion.outcome.as_ref().ok()?.governs.as_deref()
}

/// What holds the part still where along the motion that is least, where that alone is too little: no slower motion would do.
fn at_rest(facts: &Facts<'_>, motion: &MotionReport, case: &Case) -> String {
    let (Some(body), Some(group)) = (facts.body, facts.group) else { return String::new() };
    let still = case.load_case.with_accelerations_scaled(0.0);
    if still == case.load_case {
        return String::new();
    }
    let strengths: Vec<mechanics::LipStrength> = facts.cups.iter().map(|cup| cup.strength).collect();
    match loads::solve(group, &body, &strengths, &still) {
        Ok(held) if held.factor() < motion.required_factor => {
            let stated = facts.project.motion(motion.id);
            let place = stated.and_then(|stated| lower_motion::place(stated, &held, &facts.words));
            format!(
                " Weight alone is too much: held still {} the factor is {}.",
                place.as_deref().unwrap_or("like this"),
                facts.words.factor(held.factor())
            )
        }
        _ => String::new(),
    }
}
