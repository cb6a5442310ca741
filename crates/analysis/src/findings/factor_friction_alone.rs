//! `factor.friction_alone`: a motion in which friction alone carries the weight must hold less than four times its load.
//!
//! Why: with the part upright the vacuum presses the lips on, and none of it carries: what holds the part up is friction,
//! which oil, water, dust and a film change within one batch.
//! Limit: watched where the required factor is below 4 (common practice and this program's own rule, no source; a standard
//! that applies to the equipment governs) and the part comes within 10° of upright. Remedy: what the motion holds against 4.

use super::{Draft, Facts, RuleInfo};
use crate::{report::Severity, words};
use document::{Motion, Worst};
use units::Quantity;

/// Least factor where friction alone carries (common practice, no source).
pub(crate) const ON_FRICTION: f64 = 4.0;
/// So near to upright, friction alone carries, degrees: of the weight a sixth at most pulls or presses on the lips.
const NEAR_UPRIGHT: f64 = 10.0;

pub(super) const INFO: RuleInfo = RuleInfo {
    id: "factor.friction_alone",
    title: "Friction alone carries the part, with a low required factor",
    explains: "With the part upright, vacuum presses the lips on but friction carries the weight, and \
        friction changes with oil, water, dust and film. 4 is common practice and this program\u{2019}s own \
        rule (no source); a standard that applies to the equipment takes precedence.",
    fail: "",
    watch: "required factor below 4 in a motion that brings the part within 10\u{b0} of upright",
    remedy: "the factor of the motion against 4",
};

pub(super) fn find(facts: &Facts<'_>, out: &mut Vec<Draft>) {
    for motion in facts.project.motions.iter().filter(|motion| upright(motion)) {
        let required = motion.required_factor;
        if required >= ON_FRICTION {
            continue;
        }
        let words = facts.words;
        let says = format!(
            "{} requires a factor of {}, although friction alone carries the weight: {} is usual (common \
            practice, no source).",
            words::capital(&motion.name),
            words.factor(required),
            words.factor(ON_FRICTION),
        );
        let held = facts.solved().find(|(held, _)| held.id == motion.id).map(|(_, case)| case.factor());
        let asked = words.factor(ON_FRICTION);
        let remedy = match held {
            Some(factor) if factor >= ON_FRICTION => {
                format!(
                    "Its factor is {}: set the required factor to {asked} to keep it there.",
                    words.factor(factor)
                )
            }
            Some(factor) => format!(
                "Its factor is {} of {asked}: set the required factor to {asked} and fix it, or accept this \
                with the reason why less is enough.",
                words.against(factor, ON_FRICTION)
            ),
            None => format!("Set the required factor to {asked}."),
        };
        out.push(
            Draft::new(INFO.id, Severity::Watch, says)
                .motion(motion.id)
                .figure(required, ON_FRICTION, Quantity::Ratio)
                .remedy(remedy)
                .off(0.5 * (1.0 - required / ON_FRICTION)),
        );
    }
}

/// Whether the part comes upright in a motion.
pub fn upright(motion: &Motion) -> bool {
    let from = motion.tilt_deg;
    let to = match motion.worst {
        Worst::TiltTo { deg } => deg,
        Worst::AsStated | Worst::Direction | Worst::Lowest => from,
    };
    let (least, most) = (from.min(to), from.max(to));
    // Every half turn from a quarter on is upright.
    let first = ((least - NEAR_UPRIGHT - 90.0) / 180.0).ceil() * 180.0 + 90.0;
    first <= most + NEAR_UPRIGHT
}

#[cfg(test)]
mod tests {
    use super::*;
    use document::{MotionId, MotionKind};

    #[test]
    fn a_motion_is_upright_near_a_quarter_turn_either_way_and_on_the_way_through_it() {
        let tilted = |from: f64, to: Option<f64>| {
            let worst = to.map_or(Worst::AsStated, |deg| Worst::TiltTo { deg });
            upright(&Motion { tilt_deg: from, worst, ..Motion::preset(MotionId(1), MotionKind::LevelLift) })
        };
        for (from, to, expected) in [
            (0.0, None, false),
            (79.9, None, false),
            (80.1, None, true),
            (90.0, None, true),
            (-90.0, None, true),
            (100.1, None, false),
            (180.0, None, false),
            (270.0, None, true),
            (0.0, Some(180.0), true),
            (0.0, Some(70.0), false),
            (180.0, Some(110.0), false),
        ] {
            assert_eq!(tilted(from, to), expected, "{from} {to:?}");
        }
    }
}
