//! `assumed.friction`: the friction of lip on part is assumed.
//!
//! Why: friction is specific to a pair of lip and surface and is measured; a factor made from a guess is a range.
//! Limit: advice whenever the value is assumed. Remedy: the range of the governing factor at 0.8 and 1.2 times the
//! value, and a slide test.

use super::{Draft, Facts, RuleInfo};
use crate::{loads, report::Severity, words};
use document::Origin;
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
    let Some(part) = facts.part.filter(|part| part.friction.origin == Origin::Assumed) else { return };
    let (Some((motion, case)), Some(group), Some(body)) = (facts.governing(), facts.group, facts.body) else {
        return;
    };
    let friction = part.friction.value;
    let at = |times: f64| {
        let strengths: Vec<LipStrength> = facts
            .cups
            .iter()
            .map(|cup| LipStrength { friction: cup.strength.friction * times, ..cup.strength })
            .collect();
        loads::solve(group, &body, &strengths, &case.load_case).ok().map(|case| case.factor())
    };
    let (Some(low), Some(high)) = (at(0.8), at(1.2)) else { return };
    let name = words::inside(&motion.name);
    let words = facts.words;
    let (less, more) = (words.factor(0.8 * friction), words.factor(1.2 * friction));
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
    out.push(
        Draft::new(
            INFO.id,
            Severity::Advice,
            format!("Friction {} of the lips on {} is assumed. {range}", words.factor(friction), part.name),
        )
        .motion(motion.id)
        .figure(friction, f64::NAN, Quantity::Ratio)
        .remedy("Measure it with a slide test on the real part and enter it as measured.".to_owned())
        .off(high / low.max(1e-9) - 1.0),
    );
}
