//! `flex.ring`: a part that bends rings on after a stroke for longer than the pause.
//!
//! Why: a sheet that is set down while it swings lands beside its place. Limit: the pause of the stroke, until it rings by no more
//! than counts as rest (project setting). Remedy: the pause, or the stroke that has it at rest soonest, solved.

use super::{Draft, Facts, RuleInfo};
use crate::{
    report::{Fix, Rings, Severity, StrokeRing},
    slow::Slow,
    words,
};
use document::{MotionId, MoveProfile};
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "flex.ring",
    title: "Part still rings after the pause",
    explains: "A stroke across a thin sheet leaves it swinging on its cups. The time to rest follows from \
        its frequencies, the speed profile and its damping. Checked where a modulus of elasticity is given.",
    fail: "",
    watch: "time to rest longer than the pause after the stroke",
    remedy: "a pause, or the profile and stroke time that bring it to rest soonest",
};

/// A pause that is short by less is none to speak of, s.
const LITTLE: f64 = 0.005;

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some(ringing) = facts.ringing else { return };
    for motion in &ringing.motions {
        let Rings::Stroke(ring) = &motion.rings else { continue };
        let wait = ring.stated.wait_s.unwrap_or(f64::INFINITY);
        if wait <= ring.pause_s + LITTLE {
            continue;
        }
        let Some(report) = facts.motions.iter().find(|report| report.id == motion.id) else { continue };
        let words = facts.words;
        let pause = match ring.pause_s {
            0.0 => "there is no pause after it".to_owned(),
            pause => format!("the pause after it is {}", words.figure(pause, Quantity::Time)),
        };
        let after = match ring.stated.wait_s {
            Some(wait) => format!(
                "settles within \u{b1}{} only {} after it",
                words.length(ringing.limit_mm),
                words.figure(wait, Quantity::Time)
            ),
            None => "does not come to rest".to_owned(),
        };
        let says = format!(
            "The part swings by {} at the end of {} and {after}; {pause}.",
            words.some_length(ring.stated.left_mm),
            words::inside(&report.name),
        );
        out.push(
            Draft::new(INFO.id, Severity::Watch, facts.as_it_bent(Slow::Ringing, says))
                .motion(motion.id)
                .figure(wait, ring.pause_s, Quantity::Time)
                .remedy(remedy(facts, ring))
                .fix(offered(motion.id, ring))
                .off(if wait.is_finite() { wait - ring.pause_s } else { 1e3 }),
        );
    }
}

fn offered(motion: MotionId, ring: &StrokeRing) -> Option<Fix> {
    let better = ring.better()?;
    Some(Fix::Stroke { motion, profile: better.profile, time_s: better.time_s })
}

fn remedy(facts: &Facts<'_>, ring: &StrokeRing) -> String {
    let words = facts.words;
    let time = |s: f64| words.figure(s, Quantity::Time);
    let pause =
        ring.stated.wait_s.map_or(String::new(), |wait| format!("Pause for {} after it. ", time(wait)));
    let (Some(better), Some(now)) = (ring.better(), ring.stated.at_rest_s()) else {
        return format!("{}No other profile or stroke time tried comes to rest sooner.", pause);
    };
    let (rest, wait) = (better.at_rest_s().unwrap_or(now), better.wait_s.unwrap_or(0.0));
    let profile = match better.profile {
        MoveProfile::Trapezoid => "in thirds",
        MoveProfile::Cycloid => "as a cycloid",
        MoveProfile::Quintic => "of the fifth degree",
    };
    let then = if wait > LITTLE { format!(" and a pause of {}", time(wait)) } else { String::new() };
    let longer = better.time_s - ring.stated.time_s;
    let cost =
        if longer > 1e-6 { format!("the move takes {} longer; ", time(longer)) } else { String::new() };
    format!(
        "{pause}Or use a stroke {profile} in {}{then}: {} remains; {cost}at rest {} sooner than now.",
        time(better.time_s),
        words.some_length(better.left_mm),
        time(now - rest),
    )
}
