//! `robot.payload`: tool and part are more than the robot carries.
//!
//! Why: what a robot may carry at its flange counts the tool; near the limit it slows down or stops.
//! Limits: fails above the payload stated for the site, watched above 0.85 of it (project setting). Remedy: how much is
//! too much, and what of the tool has no stated mass yet.

use super::{Draft, Facts, RuleInfo};
use crate::report::Severity;
use units::Quantity;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "robot.payload",
    title: "Tool and part heavy for the robot",
    explains: "A robot's payload includes the tool; its payload diagram also limits how far out the centre \
        of gravity may be.",
    fail: "tool and part above the stated payload",
    watch: "above 0.85 of it",
    remedy: "the excess, and what has no stated mass yet",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    let Some((robot, payload)) = facts.robot.and_then(|robot| Some((robot, robot.payload_kg?))) else {
        return;
    };
    let mass = robot.loaded.mass_kg;
    let watch = facts.project.rules.payload_watch;
    let fails = mass > payload;
    if !fails && mass <= watch * payload {
        return;
    }
    let words = facts.words;
    let kg = |value: f64| words.figure(value, Quantity::Mass);
    let part = facts.body.map_or(0.0, |body| body.mass);
    let without = match robot.left_out.as_slice() {
        [] => String::new(),
        missing => format!(", not counting {}, whose mass is not stated", crate::words::list(missing)),
    };
    let says = format!("Tool and part weigh {}{without}; the robot may carry {}.", kg(mass), kg(payload));
    let remedy = if fails {
        let over = mass - payload;
        let tool = mass - part;
        if over < tool {
            format!("Take {} off the tool, or use a robot with a higher payload.", kg(over))
        } else {
            format!("Use a robot with a payload of at least {}.", kg(mass))
        }
    } else {
        format!(
            "{} remain; check the centre of gravity, {} from the flange, against the robot\u{2019}s payload \
            diagram.",
            kg(payload - mass),
            words.length(robot.loaded.centre_mm.length()),
        )
    };
    out.push(
        Draft::new(INFO.id, if fails { Severity::Fail } else { Severity::Watch }, says)
            .figure(mass, payload, Quantity::Mass)
            .remedy(remedy)
            .off(mass / payload - 1.0),
    );
}
