//! What is wrong with a motion.

use super::{Found, Subject};
use crate::{Motion, MotionKind, Stroke, ranges};
use units::{Quantity, Worded};

/// Above this an acceleration is questioned, m/s²: about 20 g, more than a robot's arm makes (common practice, no source).
const MOST_ACCELERATION: f64 = 200.0;
/// Above this a turn rate is questioned, °/s.
const MOST_TURN_RATE: f64 = 2000.0;

pub(super) fn motion(m: &Motion, found: &mut Found) {
    let subject = Subject::Motion(m.id);
    let of = format!("motion {}", m.name);
    if m.kind == MotionKind::StrokeAndTime && m.stroke.is_none() {
        let says = format!("{of} is set by stroke and time but has neither");
        found.add(&subject, says, "enter its stroke and its time, or make it a free motion");
    }
    if !found.in_range(&subject, |out| ranges::motion(m, out)) {
        return;
    }
    match &m.stroke {
        Some(moved) => stroke(moved, m, &subject, &of, found),
        None => {
            let what = Worded::text(format!("the acceleration of {of} is"));
            acceleration(m.acceleration.length(), what, &subject, found)
        }
    }
    let rate = m.turn_rate_deg_s.length();
    if rate > MOST_TURN_RATE {
        let says =
            format!("the turn rate of {of} is {} °/s, more than a robot axis can do", units::figure(rate, 0));
        found.add(&subject, says, format!("check value and unit; up to {MOST_TURN_RATE} °/s is accepted"));
    }
}

fn stroke(stroke: &Stroke, m: &Motion, subject: &Subject, of: &str, found: &mut Found) {
    if m.acceleration == glam::DVec3::ZERO {
        let says = format!("the stroke of {of} has no direction");
        found.add(subject, says, "enter a direction, 1, 0, 0 for along x");
    }
    // From rest to rest no profile gets by with less: full speed-up for half the time, full slow-down for the other half.
    let least = 4.0 * stroke.mm / 1000.0 / (stroke.time_s * stroke.time_s);
    let parts = [(stroke.mm, Quantity::Length).into(), (stroke.time_s, Quantity::Time).into(), of.into()];
    let what = Worded::new("{} in {}, the stroke of {}, needs at least", parts);
    acceleration(least, what, subject, found);
}

fn acceleration(m_s2: f64, what: Worded, subject: &Subject, found: &mut Found) {
    if m_s2 > MOST_ACCELERATION {
        let times = units::figure(m_s2 / units::STANDARD_GRAVITY, 0);
        let is = Worded::new(
            " {}, {} times gravity, more than a robot arm can do",
            [(m_s2.round(), Quantity::Acceleration).into(), times.into()],
        );
        let most = (MOST_ACCELERATION, Quantity::Acceleration).into();
        let remedy = Worded::new("check value and unit; up to {} is accepted", [most]);
        found.worded(subject, what.and(is), remedy);
    }
}
