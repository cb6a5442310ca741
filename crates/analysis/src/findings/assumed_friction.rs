//! `assumed.friction`: the friction of lip on part is assumed.
//!
//! Why: friction is specific to a pair of lip and surface and is measured; a factor made from a guess is a range.
//! Limit: advice whenever the value is assumed, once for each lip material that has a friction of its own. Remedy: the
//! range of the governing factor at 0.8 and 1.2 times the value (project setting), and a slide test.

use super::{Draft, Facts, RuleInfo};
use crate::{assumed::Input, loads, report::Severity, words};
use mechanics::LipStrength;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "assumed.friction",
    title: "Friction is assumed",
    explains: "Friction is specific to a pair of lip and surface and is measured; made from an assumed value, a factor is \
               a range.",
    fail: "",
    watch: "",
    remedy: "the factor at 0.8 and 1.2 times the value, and a slide test",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(part) = facts.part else { return };
    let (Some((motion, case)), Some(group), Some(body)) = (facts.governing(), facts.group, facts.body) else {
        return;
    };
    let frictions = facts.assumed.iter().filter(|(assumed, _)| assumed.input == Input::Friction);
    for (assumed, _) in frictions {
        let Some(first) = assumed.cups.first().and_then(|index| facts.cups.get(*index)) else { continue };
        let friction = first.strength.friction;
        let at = |times: f64| {
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
        let (Some(low), Some(high)) = (at(assumed.least), at(assumed.most)) else { continue };
        let name = words::inside(&motion.name);
        let words = facts.words;
        let (less, more) = (words.factor(assumed.least * friction), words.factor(assumed.most * friction));
        let range = if high - low > 1e-6 * high {
            format!(
                "From {less} to {more}, {name} would hold from {} to {} of the {} required.",
                words.factor(low),
                words.factor(high),
                words.factor(motion.required_factor),
            )
        } else {
            format!("From {less} to {more} it changes nothing at {name}, which governs.")
        };
        // Of one lip material among several, the cups that have it are named.
        let some = assumed.cups.len() < facts.cups.len();
        let of = if some { facts.tags(&assumed.cups) } else { "the lips".to_owned() };
        let says =
            format!("Friction {} of {of} on {} is assumed. {range}", words.factor(friction), part.name);
        let cups = assumed.cups.iter().filter(|_| some).map(|index| facts.cups[*index].id);
        out.push(
            Draft::new(INFO.id, Severity::Advice, says)
                .cups(cups)
                .motion(motion.id)
                .figure(friction, f64::NAN, Quantity::Ratio)
                .remedy("Measure it with a slide test on the real part and enter it as measured.".to_owned())
                .off(high / low.max(1e-9) - 1.0),
        );
    }
}
