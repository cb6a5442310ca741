//! Fields of a motion.

use super::{Field, IN_REACH, LONGEST, Measure as M, choice, length, number, place, time, turn};
use units::Quantity as Q;

const FRAME: &str = "In the tool's frame: X right, Y up on the plan, Z from the part towards the tool";
const TILT: &str = "0° is level, 90° on edge, 180° turned over";
const AXIS: &str = "more no robot\u{2019}s axis makes";

/// In the order of the file.
pub(super) const FIELDS: &[Field] = &[
    choice("motion.kind", "kind"),
    number("motion.required_factor", "required factor", M::Of(Q::Ratio), (0.01, 1000.0), "2 and 4 are usual")
        .helped(
            "2 when the lips are pulled, 4 where friction alone carries (common practice, no source). A \
            standard that applies to your equipment takes precedence",
        )
        .usual("2 where lips are pulled, 4 where friction alone carries"),
    number("motion.tilt_deg", "tilt", M::Of(Q::Angle), (-360.0, 360.0), TILT)
        .helped("Angle of the part from level; 90° is on edge, 180° upside down"),
    turn("motion.lowest_deg", "lowest direction")
        .helped("Direction on the plan that is lowest when tilted: 0° right, 90° up, 270° down"),
    number(
        "motion.acceleration",
        "acceleration",
        M::Of(Q::Acceleration),
        (-200.0, 200.0),
        "more than about 20 times free fall no robot\u{2019}s arm makes; check the unit",
    )
    .helped(FRAME)
    .usual("usual for this kind of motion; enter what your robot does"),
    length("motion.stroke.mm", "stroke", (1e-3, LONGEST), IN_REACH)
        .why_at(super::REACH)
        .helped("From rest to rest"),
    time("motion.stroke.time_s", "stroke time", (1e-3, 3600.0), "no move of a cycle takes an hour"),
    time("motion.stroke.pause_s", "pause after it", (0.0, 3600.0), "no pause of a cycle takes an hour")
        .helped("Before set-down or the next move: a ringing sheet needs it"),
    choice("motion.stroke.profile", "speed profile").helped(
        "Shape of the speed curve. Peak acceleration over stroke/time²: 4.5 for thirds, 6.28 for a cycloid, \
        5.77 for the fifth degree",
    ),
    number(
        "motion.inertia_times",
        "dynamic factor",
        M::Of(Q::Ratio),
        (1.0, 10.0),
        "1, or 2 for a sudden start",
    )
    .helped(
        "Multiplies the inertial part of the load; gravity always counts once. A sudden start from rest \
            doubles the load on springy cups (step response of an undamped oscillator); a slow ramp comes \
            close to 1",
    )
    .usual("a smooth start; 2 is offered for a sudden one"),
    number("motion.turn_rate_deg_s", "turn rate", M::Of(Q::TurnRate), (-2000.0, 2000.0), AXIS).helped(FRAME),
    number(
        "motion.turn_acceleration_deg_s2",
        "turn acceleration",
        M::Of(Q::TurnAcceleration),
        (-1e5, 1e5),
        AXIS,
    )
    .short("turn accel.")
    .helped(FRAME),
    place("motion.pivot_mm", "pivot").helped("Centre of rotation, from the origin of the drawing"),
    super::other("motion.worst", "worst case", M::Of(Q::Angle)).helped(
        "As stated, or in the worst direction of the in-plane acceleration, with the worst edge lowest, or \
        at the worst tilt up to the end tilt",
    ),
    number("motion.worst.TiltTo.deg", "end tilt", M::Of(Q::Angle), (-360.0, 360.0), TILT)
        .helped("Every tilt between the two is checked"),
    choice("motion.start_stop", "start and stop").helped(
        "What starts also stops: acceleration and turn acceleration are checked as stated and reversed, with \
        the turn running and at rest; the worst case counts. Choose as stated only if you know that the \
        other cases cannot occur",
    ),
];
