//! `long.alone`: one long cup alone, with a motion across its length.
//!
//! Why: a long lip is strong along its length and weak across it; sideways motion rolls it open about its long axis.
//! Limits: fails when such a motion governs and is under its required factor, watched when it governs and meets it.
//! Remedy: two round cups of the same sealing area where they fit, with the figures of both.

use super::{Draft, Facts, RuleInfo};
use crate::{
    loads,
    lower::{self, CupFacts},
    report::Severity,
    words,
};
use geometry::{Lip, LipShape};
use glam::DVec2;
use mechanics::{Channel, CupSpring, LipLimit, LipStrength};
use units::Quantity;

/// Longer than this times its width, a lip counts as long.
const LONG: f64 = 1.2;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "long.alone",
    title: "One long cup alone",
    explains: "A long lip is strong along its length and weak across it; a sideways motion rolls it open about its long \
               axis.",
    fail: "a motion across its length governs and is under its required factor",
    watch: "a motion across its length governs",
    remedy: "two round cups of the same sealing area: figures for both",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let ([cup], Some((motion, case)), Some(body)) = (facts.cups, facts.governing(), facts.body) else {
        return;
    };
    let size = cup.lip.shape.size();
    let (Some(load), Some(factor)) = (case.result.loads.first(), case.result.factors.first()) else { return };
    let line = &cup.strength.line;
    let own = DVec2::from_angle(-cup.lip.turn).rotate(load.tilt).abs();
    let rolls = own.x / line.ix * line.half_width > own.y / line.iy * line.half_length;
    if size.x < LONG * size.y || factor.limit != LipLimit::Seal || !rolls {
        return;
    }
    let short = factor.value < motion.required_factor;
    let says = format!(
        "{} is one long cup alone, and {} rolls it open across its length: it holds {} of the {} required.",
        facts.tag(0),
        words::inside(&motion.name),
        facts.words.factor(factor.value),
        facts.words.factor(motion.required_factor),
    );
    let (diameter, apart, pair) = two_round(cup, facts);
    let lands = |cup: &CupFacts| facts.ground.is_none_or(|ground| ground.lands_at(&cup.lip, cup.lip.at));
    let remedy = match loads::factor_of(&pair, &body, &case.load_case) {
        Some(two) if !pair.iter().all(lands) => format!(
            "Two round cups of the same sealing area together, {} each, do not fit here (they would hold \
            {}); place two long cups side by side.",
            facts.words.length(diameter),
            facts.words.factor(two)
        ),
        Some(two) if two > factor.value => format!(
            "Two round cups of {} with centres {} apart, of the same sealing area together, would hold {}.",
            facts.words.length(diameter),
            facts.words.length(apart),
            facts.words.factor(two),
        ),
        Some(two) => format!(
            "Two round cups of the same sealing area together would hold only {}; place two long cups side \
            by side.",
            facts.words.factor(two)
        ),
        None => "Place two cups side by side.".to_owned(),
    };
    out.push(
        Draft::new(INFO.id, if short { Severity::Fail } else { Severity::Watch }, says)
            .cups([cup.id])
            .motion(motion.id)
            .figure(factor.value, motion.required_factor, Quantity::Ratio)
            .remedy(remedy)
            .off(1.0 - factor.value / motion.required_factor),
    );
}

/// Outer size, distance of centres, and two round cups in place of a long one: half the sealing area and half the
/// stiffness each, as far apart along its length as the long lip reaches.
fn two_round(cup: &CupFacts, facts: &Facts<'_>) -> (f64, f64, [CupFacts; 2]) {
    let model = facts.placed.first().and_then(|placed| facts.models.get(&placed.model));
    let share = model.map_or(1.0, |m| m.model.sealing_share.value);
    let reduction = model.map_or(1.0, |m| m.model.tilt_reduction.value);
    let sealing = (2.0 * cup.strength.line.area / std::f64::consts::PI).sqrt();
    let diameter = sealing / share;
    let apart = (cup.lip.shape.size().x - diameter).max(diameter);
    let along = DVec2::from_angle(cup.lip.turn) * (0.5 * apart);
    let shape = LipShape::Round { diameter: sealing };
    let line = shape.line();
    // On a part that air comes through each has its own port and a shorter way to it.
    let channel = cup.channel.map(|long| {
        lower::channel_report(&Channel { fall_per_m: long.fall_per_m, half_length_mm: 0.5 * sealing })
    });
    let level = channel.map_or(1.0, |own| own.mean_share) / cup.channel.map_or(1.0, |long| long.mean_share);
    let pair = [-along, along].map(|offset| {
        let at = cup.lip.at + offset;
        CupFacts {
            lip: Lip { shape: LipShape::Round { diameter }, at, turn: cup.lip.turn },
            sealing: shape,
            spring: CupSpring::along_lip(
                at,
                cup.lip.turn,
                0.5 * cup.spring.axial,
                0.5 * cup.spring.lateral,
                &line,
                reduction,
            )
            .with_side_lever(cup.spring.side_lever),
            strength: LipStrength {
                vacuum_force: cup.strength.vacuum_force * level * line.area / cup.strength.line.area,
                line,
                shape,
                slide_share: lower::slide_share(facts.project.rules.slide_share, &shape),
                ..cup.strength
            },
            channel,
            ..*cup
        }
    });
    (diameter, apart, pair)
}
