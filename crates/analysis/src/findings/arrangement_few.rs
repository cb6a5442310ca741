//! `arrangement.few`: one cup, or cups in line.
//!
//! Why: cups in line resist tipping about their line only by the lips' own tilt; a small offset of the part opens them.
//! Limits: fails when the group cannot carry the tipping moment, or a motion is under its required factor because a lip
//! opens; watched when the lips' tilt alone carries it. Remedy: a place for a cup off the line.

use super::{Draft, Facts, RuleInfo};
use crate::{loads, lower::CupFacts, report::Severity};
use glam::DVec2;
use mechanics::{Arrangement, LipLimit};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "arrangement.few",
    title: "One cup, or cups in line",
    explains: "Cups in line resist tipping about their line only through the tilt stiffness of their lips; a \
        small offset of the part breaks their seal.",
    fail: "the tipping moment about the line is not carried with the required factor",
    watch: "only the lips' tilt carries it",
    remedy: "a place for a cup off the line",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let (what, through, direction) = match facts.arrangement {
        Arrangement::Spread | Arrangement::Empty => return,
        Arrangement::Single { at } => (single(facts), at, None),
        Arrangement::InLine { through, direction } => {
            let all: Vec<usize> = (0..facts.cups.len()).collect();
            (format!("{} are in line", facts.tags(&all)), through, Some(direction))
        }
    };
    // The most of every motion, which need not be where a factor governs.
    let tips = facts.body.map_or(0.0, |body| {
        facts
            .solved()
            .map(|(_, case)| mechanics::tipping_moment(&body, &case.load_case, through, direction))
            .fold(0.0, f64::max)
    });
    let opens = facts.solved().any(|(motion, case)| {
        let limit = case.result.factors.get(case.result.governing).map(|factor| factor.limit);
        case.factor() < motion.required_factor && limit == Some(LipLimit::Seal)
    });
    let fails = facts.group_error || opens;
    let about = if direction.is_some() { "about their line" } else { "about it" };
    let moment = facts.words.moment(tips);
    let says = match (facts.group_error, opens) {
        (true, _) => format!("{what}: nothing carries a tipping moment {about}."),
        (false, true) => {
            format!("{what}: the lips\u{2019} tilt does not carry the {moment} that tip {about}.")
        }
        // Balanced to the last figure printed: any offset of the part on the table tips it.
        (false, false) if tips < 0.005 => {
            format!("{what}: only the lips\u{2019} tilt would carry a tipping moment {about}.")
        }
        (false, false) => {
            format!("{what}: only the lips\u{2019} tilt carries the {moment} that tip {about}.")
        }
    };
    out.push(
        Draft::new(INFO.id, if fails { Severity::Fail } else { Severity::Watch }, says)
            .cups(facts.cups.iter().map(|cup| cup.id))
            .figure(tips, f64::NAN, Quantity::Moment)
            .remedy(remedy(facts, through, direction))
            .off(if fails { 0.5 } else { 0.0 }),
    );
}

fn single(facts: &Facts<'_>) -> String {
    match facts.cups.len() {
        1 => format!("{} carries the part alone", facts.tag(0)),
        _ => {
            let all: Vec<usize> = (0..facts.cups.len()).collect();
            format!("{} are at one point", facts.tags(&all))
        }
    }
}

fn remedy(facts: &Facts<'_>, through: DVec2, direction: Option<DVec2>) -> String {
    match place(facts, through, direction) {
        Some(at) => {
            let place = facts.place(at);
            format!(
                "Add a cup off the line, for example at {place}{}.",
                tried(facts, at).unwrap_or_default()
            )
        }
        None => {
            "Add a cup off the line; this part has no room there for another of this size, so use smaller cups."
                .to_owned()
        }
    }
}

/// What one more cup like the first makes of the least factor over required at a place, the levels as they are.
fn tried(facts: &Facts<'_>, at: DVec2) -> Option<String> {
    let first = facts.cups.first()?;
    let mut cups: Vec<CupFacts> = facts.cups.to_vec();
    let mut more = *first;
    more.lip.at = at;
    more.spring.at = at;
    cups.push(more);
    let body = facts.body?;
    let mut least: Option<(f64, f64, &crate::report::MotionReport)> = None;
    for (motion, case) in facts.solved() {
        let factor = loads::factor_of(&cups, &body, &case.load_case)?;
        let ratio = factor / motion.required_factor;
        if least.is_none_or(|(held, ..)| ratio < held) {
            least = Some((ratio, factor, motion));
        }
    }
    let (ratio, factor, motion) = least.filter(|(ratio, ..)| ratio.is_finite())?;
    let words = facts.words;
    let now = facts.governing().map(|(motion, case)| case.factor() / motion.required_factor);
    let lowers = if now.is_some_and(|now| ratio < now) {
        ", lower than now because the added cup draws load"
    } else {
        ""
    };
    Some(format!(
        "; at the same vacuum level the lowest factor would then be {} at {}{lowers}",
        words.of(factor, motion.required_factor),
        crate::words::inside(&motion.name),
    ))
}

/// The landing place farthest from the line and straight across from its centre, on the side of the centre of gravity
/// where there is one.
fn place(facts: &Facts<'_>, through: DVec2, direction: Option<DVec2>) -> Option<DVec2> {
    const STEPS: u32 = 64;
    let region = facts.landing(0)?;
    let bounds = facts.ground?.shape.bounds;
    let reach = DVec2::new(bounds[2] - bounds[0], bounds[3] - bounds[1]).length();
    let to_mass = facts.body.map_or(DVec2::ZERO, |body| body.centre.truncate() - through);
    let across = match direction {
        Some(direction) => direction.perp(),
        // One cup: along the part's longer side.
        None if bounds[2] - bounds[0] >= bounds[3] - bounds[1] => DVec2::X,
        None => DVec2::Y,
    };
    let toward = if to_mass.dot(across) < 0.0 { -across } else { across };
    let farthest = |way: DVec2| {
        (1..=STEPS)
            .rev()
            .map(|step| through + way * (reach * f64::from(step) / f64::from(STEPS)))
            .find(|point| region.contains(*point))
    };
    let clear = |at: &DVec2| {
        facts.cups.iter().all(|cup| at.distance(cup.lip.at) > cup.lip.shape.size().max_element())
    };
    farthest(toward)
        .filter(clear)
        .or_else(|| farthest(-toward).filter(clear))
        .map(|at| (at * 10.0).round() / 10.0)
}
