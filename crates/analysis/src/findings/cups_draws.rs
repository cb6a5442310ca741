//! `cups.draws`: without some cup the least factor would be larger.
//!
//! Why: cups share a load as springs do. One more cup draws the load to where it stands and by how stiff it is; it may load
//! the lip that fails first, or be that lip itself. True of springs, and surprising.
//! Limits: advice when a cup's removal, with the levels of the others as they are, raises the least factor over required by
//! more than half a per cent. Of two cups and more. Remedy: the figure without it, and that the loss of one cup counts too.

use super::{Draft, Facts, RuleInfo};
use crate::{
    loads::{self, Case},
    report::{MotionReport, Severity},
    slow::Slow,
    words,
};
use document::CupId;
use glam::DVec2;
use mechanics::{CupSpring, LipStrength};
use std::collections::HashMap;
use units::Quantity;

/// Relative gain of the least factor over required from which on it is told.
const GAIN: f64 = 0.005;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "cups.draws",
    title: "Cup that lowers the governing factor",
    explains: "Cups share a load like springs: position and stiffness decide how much a cup draws, and it \
        may load the lip that fails first or be that lip. Each cup (the weakest, where there are very many) \
        is left out in turn, with the level at the others unchanged.",
    fail: "",
    watch: "",
    remedy: "the lowest factor without the cup; the loss of one cup still counts",
};

/// One cup left out.
struct Without<'a> {
    cup: usize,
    ratio: f64,
    factor: f64,
    motion: &'a MotionReport,
}

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    if !facts.ages.is_current(Slow::Losses) || facts.cups.len() < 2 {
        return;
    }
    let Some((motion, case)) = facts.governing() else { return };
    let now = case.factor() / motion.required_factor;
    if !(now.is_finite() && now > 0.0) {
        return;
    }
    let Some(tried) = tried(facts) else { return };
    let better = (0..facts.cups.len()).filter_map(|cup| without(facts, &tried, cup));
    let better: Vec<Without<'_>> = better.filter(|left| left.ratio > now * (1.0 + GAIN)).collect();
    let Some(most) = better.iter().max_by(|a, b| a.ratio.total_cmp(&b.ratio)) else { return };
    let words = facts.words;
    let tag = facts.tag(most.cup);
    let elsewhere = if most.motion.id == motion.id {
        String::new()
    } else {
        format!(" at {}", words::inside(&most.motion.name))
    };
    let others: Vec<String> = better
        .iter()
        .filter(|left| left.cup != most.cup)
        .map(|left| facts.tag(left.cup).to_owned())
        .collect();
    let others = match others.len() {
        0 => String::new(),
        _ => format!(" The same, to a lesser degree, without {}.", words::list(&others)),
    };
    let says = format!(
        "{tag} lowers the governing factor: without it, at the same vacuum level, it would be {} of \
        {}{elsewhere} instead of {} of {} at {}, {} times as high. {}.{others}",
        words.factor(most.factor),
        words.factor(most.motion.required_factor),
        words.factor(case.factor()),
        words.factor(motion.required_factor),
        words::inside(&motion.name),
        words.factor(most.ratio / now),
        words::capital(&why(facts, most.cup, case)),
    );
    out.push(
        Draft::new(INFO.id, Severity::Advice, says)
            .cups(better.iter().map(|left| facts.cups[left.cup].id))
            .motion(motion.id)
            .figure(most.ratio, now, Quantity::Ratio)
            .remedy(format!(
                "Try {tag} elsewhere or with a softer model in a copy of the layout, and compare. The \
                remaining cups must still hold with one cup lost, which is checked as well."
            ))
            .off(most.ratio / now - 1.0),
    );
}

/// Each motion that has a figure, with its factor without each cup that was tried.
type Tried<'f> = Vec<(&'f MotionReport, HashMap<CupId, Option<f64>>)>;

/// What was tried; `None` where some motion has no slow figures.
fn tried<'f>(facts: &'f Facts<'_>) -> Option<Tried<'f>> {
    let one = |(motion, _): (&'f MotionReport, _)| {
        let slow = motion.outcome.as_ref().ok()?.slow.as_ref()?;
        Some((motion, slow.without.iter().copied().collect()))
    };
    facts.solved().map(one).collect()
}

/// The least factor over required with one cup left out; `None` where some motion has no figure then.
fn without<'f>(facts: &'f Facts<'_>, tried: &Tried<'f>, cup: usize) -> Option<Without<'f>> {
    let id = facts.cups[cup].id;
    let mut least: Option<Without<'f>> = None;
    for (motion, factors) in tried {
        let factor = (*factors.get(&id)?)?;
        let ratio = factor / motion.required_factor;
        if least.as_ref().is_none_or(|held| ratio < held.ratio) {
            least = Some(Without { cup, ratio, factor, motion });
        }
    }
    least
}

/// What the cup does to the lip that fails first.
fn why(facts: &Facts<'_>, cup: usize, case: &Case) -> String {
    let words = facts.words;
    let governing = case.result.governing;
    let cups = facts.cups;
    if governing == cup {
        let pulls: f64 = case.result.loads.iter().map(|load| load.pull.abs() + load.slide.length()).sum();
        let own = case.result.loads.get(cup).map_or(0.0, |load| load.pull.abs() + load.slide.length());
        let force: f64 = cups.iter().map(|cup| cup.strength.vacuum_force).sum();
        let share = own / pulls;
        let of_force = cups[cup].strength.vacuum_force / force;
        if share.is_finite() && of_force.is_finite() && share > of_force {
            return format!(
                "it fails first, with {} of the load for {} of the vacuum force: stiff or badly placed, it \
                draws load",
                words.percent(share),
                words.percent(of_force)
            );
        }
        return "it fails first because of its position".to_owned();
    }
    let tag = facts.tag(governing);
    let (Some(body), Some(left)) = (facts.body, left_out(facts, cup, case)) else {
        return format!("it loads {tag}, which fails first");
    };
    let offset = |of: &mut dyn Iterator<Item = &crate::lower::CupFacts>| {
        let (mut sum, mut at) = (0.0, DVec2::ZERO);
        for cup in of {
            sum += cup.spring.axial;
            at += cup.spring.axial * cup.lip.at;
        }
        (at / sum).distance(body.centre.truncate())
    };
    let with = offset(&mut cups.iter());
    let less = offset(&mut cups.iter().enumerate().filter(|(index, _)| *index != cup).map(|(_, cup)| cup));
    let load = |case: &Case, index: usize| {
        case.result.loads.get(index).map_or(0.0, |load| load.pull.abs().max(load.slide.length()))
    };
    let (now, then) = (load(case, governing), load(&left, governing - usize::from(governing > cup)));
    let force = |newton: f64| words.figure(newton, Quantity::Force);
    let shift = if with > less {
        format!(
            ", because it moves the cups\u{2019} centre from {} to {} off the centre of gravity",
            words.length(less),
            words.length(with)
        )
    } else {
        String::new()
    };
    if now > then {
        format!("with it {tag}, which fails first, carries {} instead of {}{shift}", force(now), force(then))
    } else {
        format!("with it the tilt and twist of {tag}, which fails first, grow{shift}")
    }
}

/// The governing motion worked out with one cup left out.
fn left_out(facts: &Facts<'_>, cup: usize, case: &Case) -> Option<Case> {
    let left = || facts.cups.iter().enumerate().filter(|(index, _)| *index != cup).map(|(_, cup)| cup);
    let springs: Vec<CupSpring> = left().map(|cup| cup.spring).collect();
    let strengths: Vec<LipStrength> = left().map(|cup| cup.strength).collect();
    let group = loads::factored(&springs).ok()?;
    loads::solve(&group, &facts.body?, &strengths, &case.load_case).ok()
}
