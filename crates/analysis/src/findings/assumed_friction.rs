//! `assumed.friction`: the friction of lip on part is assumed.
//!
//! Why: friction is specific to a pair of lip and surface and is measured; a factor made from a guess is a range.
//! Limits: advice whenever the value is assumed, once for each lip material that has a friction of its own; watched where it
//! may take a motion below its required factor. Remedy: the range of that factor, or of the one that governs, with the
//! friction off by 30 % either way (project setting), and a slide test. 30 %: figures given for one rubber on one surface lie
//! that far apart with load, wear, dust, film and damp (common practice, no source).

use super::{Draft, Facts, RuleInfo};
use crate::{
    assumed::Input,
    loads::{self, Case},
    report::{MotionReport, Severity},
    words,
};
use mechanics::LipStrength;
use units::Quantity;

/// Motions whose range is looked at, least to spare first.
const LOOKED_AT: usize = 4;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "assumed.friction",
    title: "Friction is assumed",
    explains: "Friction belongs to one pair of lip and surface and has to be measured; an assumed value \
        gives a range of factors. It is varied by 30 % either way unless the project says otherwise: \
        published values for one rubber on one surface differ that much with load, wear, dust, film and damp \
        (common practice, no source).",
    fail: "",
    watch: "it may bring a motion below its required factor",
    remedy: "the factor over that spread, and a slide test",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(part) = facts.part else { return };
    let (Some(governing), Some(group), Some(body)) = (facts.governing(), facts.group, facts.body) else {
        return;
    };
    // Besides the one that governs, the few with the least to spare: the range of another may reach further down.
    let mut few: Vec<(&MotionReport, &Case)> = facts.solved().collect();
    few.sort_by(|a, b| ratio(a.0, a.1.factor()).total_cmp(&ratio(b.0, b.1.factor())));
    few.truncate(LOOKED_AT);
    let frictions = facts.assumed.iter().filter(|(assumed, _)| assumed.input == Input::Friction);
    for (assumed, _) in frictions {
        let Some(first) = assumed.cups.first().and_then(|index| facts.cups.get(*index)) else { continue };
        let friction = first.strength.friction;
        let at = |case: &Case, times: f64| {
            let strengths: Vec<LipStrength> = facts
                .cups
                .iter()
                .enumerate()
                .map(|(index, cup)| match assumed.cups.contains(&index) {
                    true => LipStrength { friction: cup.strength.friction * times, ..cup.strength },
                    false => cup.strength,
                })
                .collect();
            loads::solve(group, &body, &strengths, &case.load_case).ok().map(|case| case.factor())
        };
        let low_of = |(motion, case): &(&MotionReport, &Case)| {
            at(case, assumed.least).map(|low| ratio(motion, low)).filter(|ratio| *ratio < 1.0)
        };
        let short = few.iter().filter_map(|of| Some((low_of(of)?, *of))).min_by(|a, b| a.0.total_cmp(&b.0));
        let severity = if short.is_some() { Severity::Watch } else { Severity::Advice };
        let (motion, case) = short.map_or(governing, |(_, of)| of);
        let (Some(low), Some(high)) = (at(case, assumed.least), at(case, assumed.most)) else { continue };
        let name = words::inside(&motion.name);
        let words = facts.words;
        let (less, more) = (words.factor(assumed.least * friction), words.factor(assumed.most * friction));
        let range = if high - low > 1e-6 * high {
            format!(
                "From {less} to {more}, the factor of {name} goes from {} to {}; {} is required.",
                words.against(low, motion.required_factor),
                words.factor(high),
                words.factor(motion.required_factor),
            )
        } else {
            format!("From {less} to {more} the governing motion, {name}, does not change.")
        };
        // Of one lip material among several, the cups that have it are named.
        let some = assumed.cups.len() < facts.cups.len();
        let of = if some { facts.tags(&assumed.cups) } else { "the lips".to_owned() };
        let says =
            format!("Friction {} of {of} on {} is assumed. {range}", words.factor(friction), part.name);
        let cups = assumed.cups.iter().filter(|_| some).map(|index| facts.cups[*index].id);
        out.push(
            Draft::new(INFO.id, severity, says)
                .range(range)
                .cups(cups)
                .motion(motion.id)
                .figure(friction, f64::NAN, Quantity::Ratio)
                .remedy("Measure it with a slide test on the real part and enter it as measured.".to_owned())
                .off(match severity {
                    Severity::Watch => 1.0 - ratio(motion, low),
                    _ => high / low.max(1e-9) - 1.0,
                }),
        );
    }
}

fn ratio(motion: &MotionReport, factor: f64) -> f64 {
    factor / motion.required_factor
}
