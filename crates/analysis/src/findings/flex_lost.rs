//! `flex.lost`: a part that bends drops when a cup fails, where a rigid one would stay.
//!
//! Why: a thin sheet hands the load of a lost cup to its neighbours only. Limit: the part drops. Remedy: cups set closer round that
//! cup.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{Lost, Severity},
    slow::Slow,
    words,
};
use document::CupId;
use units::Quantity;

pub(crate) const INFO: RuleInfo = RuleInfo {
    id: "flex.lost",
    title: "Bending part drops if one cup fails",
    explains: "Every cup is lost in turn while the sheet bends: its neighbours pick up nearly all of its \
        load. Checked where a modulus of elasticity is given; zones are covered by the rule for a rigid \
        part.",
    fail: "the part drops where a rigid one would be held",
    watch: "more lips lose their seal where none would on a rigid part",
    remedy: "closer cup spacing, a deeper level",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let (Some(_), Some(reserve)) = (facts.bends(), facts.bent_reserve) else { return };
    // Each cup that drops the part in some motion as it bends only, with the motion where least is left.
    let mut found: Vec<(bool, f64, CupId, usize, Vec<CupId>)> = Vec::new();
    for (index, motion) in facts.motions.iter().enumerate() {
        let Ok(outcome) = &motion.outcome else { continue };
        let Some(bent) = reserve.of_motion(motion.id) else { continue };
        // What drops with every cup is told by its factor.
        if facts.bends().and_then(|b| b.of_motion(motion.id)).is_none_or(|b| b.factor.value < 1.0) {
            continue;
        }
        for lost in &bent.lost {
            let rigid = outcome
                .slow
                .as_ref()
                .and_then(|slow| slow.lost.iter().find(|held| held.lost == Lost::Cup(lost.cup)));
            let worse = match rigid {
                Some(rigid) => {
                    rigid.holds && (!lost.holds || rigid.then_lost.is_empty() && !lost.then_lost.is_empty())
                }
                None => !lost.holds,
            };
            if worse {
                let left = lost.factor.unwrap_or(0.0);
                found.push((!lost.holds, left, lost.cup, index, lost.then_lost.clone()));
            }
        }
    }
    found.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.total_cmp(&b.1)));
    let Some((drops, left, cup, index, then)) = found.first() else { return };
    let alike = found.iter().filter(|other| other.0 == *drops);
    let mut cups: Vec<CupId> = Vec::new();
    for other in alike {
        if !cups.contains(&other.2) {
            cups.push(other.2);
        }
    }
    let motion = &facts.motions[*index];
    let tags: Vec<String> = then.iter().map(|cup| facts.tag_of(*cup).to_owned()).collect();
    let follows = match (tags.as_slice(), *drops) {
        ([], true) => "the remaining cups cannot carry it".to_owned(),
        ([], false) => "lips lose their seal".to_owned(),
        (tags, _) => {
            format!("{} {} after it", words::list(tags), if tags.len() == 1 { "fails" } else { "fail" })
        }
    };
    let ends =
        if *drops { "the part drops as it bends" } else { "the part is held as it bends, but lips fail" };
    let many = match cups.len() {
        1 => String::new(),
        count => format!(" The same goes for {count} of the cups."),
    };
    let says = format!(
        "If {} fails at {}, {ends}: {follows}. A rigid part would be held.{many}",
        facts.tag_of(*cup),
        words::inside(&motion.name),
    );
    let severity = if *drops { Severity::Fail } else { Severity::Watch };
    out.push(
        Draft::new(INFO.id, severity, facts.as_it_bent(Slow::BentReserve, says))
            .cups(cups)
            .motion(motion.id)
            .figure(*left, 1.0, Quantity::Ratio)
            .remedy(
                "Space the cups around it closer, or protect each cup with a check valve and use a \
                deeper level."
                    .to_owned(),
            )
            .off(0.04),
    );
}
