//! `balance.hull`: the part pulls beside the cups.
//!
//! Why: a part held beside its centre of gravity hangs on the nearest cups and levers the others off; a motion that tips
//! it does so for as long as it lasts.
//! Limits: fails when the centre of gravity lies outside the convex hull of the cups' centres. When it lies inside,
//! watched when the resultant of a motion that mainly pulls meets the plane of the lips outside that hull at the instant
//! that governs. Remedy: the shift of the group; for a motion how much wider to set the cups, or how much less to
//! accelerate.

use super::{Draft, Facts, RuleInfo, remedies};
use crate::{
    balance,
    loads::Case,
    report::{Balance, MotionReport, Severity},
    words,
};
use glam::DVec2;
use mechanics::{Arrangement, Body, LoadCase, Wrench};
use units::Quantity;

/// Instants of a sweep that the remedies of a motion are held against, besides the one that governs.
const INSTANTS: u32 = 72;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "balance.hull",
    title: "Pull outside the cups",
    explains: "A part held to one side of its centre of gravity loads the nearest cups and pries the others \
        off; a tipping motion does the same while it lasts.",
    fail: "centre of gravity outside the hull of the cups' centres",
    watch: "in a motion that mainly pulls, the resultant outside that hull",
    remedy: "the shift of the group; for a motion, how much wider to space the cups or how much less to \
        accelerate",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let (Some(balance), Some(body)) = (facts.balance, facts.body) else { return };
    if facts.arrangement != Arrangement::Spread {
        return;
    }
    if balance.inside_hull {
        out.extend(in_a_motion(facts, balance, &body));
        return;
    }
    let distance = balance::hull_distance(facts.cups, body.centre);
    let says = format!("The centre of gravity is {} outside the cups.", facts.words.some_length(-distance));
    // Shifting the cups is shifting the centre of gravity the other way.
    let inside = |by: DVec2| balance::hull_distance(facts.cups, body.centre - by.extend(0.0)) >= 0.0;
    let (remedy, fix) = remedies::shift_group(facts, balance.centroid_offset, &inside);
    out.push(
        Draft::new(INFO.id, Severity::Fail, says)
            .figure(distance, 0.0, Quantity::Length)
            .remedy(remedy)
            .fix(fix)
            .off(1.0 - distance / balance.spread.max_element().max(1.0)),
    );
}

/// The motion that pulls furthest outside, if one does.
fn in_a_motion(facts: &Facts<'_>, balance: &Balance, body: &Body) -> Option<Draft> {
    let hull = balance::hull(facts.cups);
    let mut worst: Option<(&MotionReport, &Case, f64)> = None;
    let mut others = 0;
    for (motion, case) in facts.solved() {
        let Some(distance) = balance::pull_inside(&hull, &case.result.wrench).filter(|d| *d < 0.0) else {
            continue;
        };
        others += u32::from(worst.is_some());
        if worst.is_none_or(|(.., most)| distance < most * (1.0 + 1e-9)) {
            worst = Some((motion, case, distance));
        }
    }
    let (motion, case, distance) = worst?;
    let more = match others {
        0 => String::new(),
        1 => ", and in one more motion,".to_owned(),
        count => format!(", and in {count} more motions,"),
    };
    let says = format!(
        "At {}{more} the pull of the part acts {} outside the cups.",
        words::inside(&motion.name),
        facts.words.some_length(-distance),
    );
    Some(
        Draft::new(INFO.id, Severity::Watch, says)
            .motion(motion.id)
            .figure(distance, 0.0, Quantity::Length)
            .remedy(remedy(facts, balance, body, &hull, (motion, case)))
            .off(-distance / balance.spread.max_element().max(1.0)),
    )
}

fn remedy(
    facts: &Facts<'_>,
    balance: &Balance,
    body: &Body,
    hull: &[DVec2],
    (motion, case): (&MotionReport, &Case),
) -> String {
    let instants = instants(case);
    let wider = instants
        .iter()
        .flat_map(|t| pulls_at(body, &case.load_case, *t))
        .map(|at| times_as_wide(hull, balance.cup_centre, at))
        .fold(1.0, f64::max);
    let holds = |slower: &mechanics::LoadCase| {
        instants
            .iter()
            .flat_map(|t| pulls_at(body, slower, *t))
            .all(|at| geometry::inside_hull(hull, at) >= 0.0)
    };
    let inside = |scale: f64| holds(&case.load_case.with_accelerations_scaled(scale));
    let ways: Vec<String> = [
        wider.is_finite().then(|| {
            let times = facts.words.factor((wider * 100.0 - 1e-6).ceil() / 100.0);
            format!("space the cups {times} times as far from their centre")
        }),
        largest_share(inside)
            .and_then(|scale| remedies::less_acceleration(facts, motion.id, scale, &holds))
            .map(|most| format!("allow {most}")),
    ]
    .into_iter()
    .flatten()
    .collect();
    match ways.as_slice() {
        [] => "Reduce the acceleration, or add cups on the side the part pulls to.".to_owned(),
        ways => format!("{}.", words::capital(&ways.join(", or "))),
    }
}

/// Places in the sweep, rad: the one that governs, and others evenly over it.
fn instants(case: &Case) -> Vec<f64> {
    let sweep = case.load_case.sweep.iter().flat_map(|sweep| {
        (0..=INSTANTS).map(|i| sweep.from + (sweep.to - sweep.from) * f64::from(i) / f64::from(INSTANTS))
    });
    std::iter::once(case.result.worst_t).chain(sweep).collect()
}

/// Where the part pulls at an instant, in every state from start to stop in which it mainly pulls, mm.
fn pulls_at(body: &Body, load_case: &LoadCase, t: f64) -> impl Iterator<Item = DVec2> {
    load_case.members().filter_map(move |(_, state)| {
        let load: Wrench = mechanics::load(body, &state.at(t), glam::DVec3::ZERO);
        load.centre_of_pull().filter(|at| balance::mainly_pulls(&load) && at.is_finite())
    })
}

/// How many times as far from `centre` the corners of a hull (counter-clockwise) must be for it to hold a place; infinite
/// when the centre is not inside.
fn times_as_wide(hull: &[DVec2], centre: DVec2, at: DVec2) -> f64 {
    let sides = hull.iter().zip(hull.iter().cycle().skip(1));
    sides
        .map(|(from, to)| {
            let outward = -(*to - *from).perp();
            let reach = (*from - centre).dot(outward);
            if reach > 0.0 { (at - centre).dot(outward) / reach } else { f64::INFINITY }
        })
        .fold(0.0, f64::max)
}

/// The largest share in 0..1 that satisfies; `None` when nought does not.
fn largest_share(satisfies: impl Fn(f64) -> bool) -> Option<f64> {
    if !satisfies(0.0) {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..20 {
        let middle = 0.5 * (low + high);
        if satisfies(middle) { low = middle } else { high = middle }
    }
    Some(low)
}
