//! Motions as load cases.

use crate::{loads::Case, words::Words};
use document::{Motion, MoveProfile, Rules, StartStop, Stroke, Worst};
use glam::DVec3;
use mechanics::{Instant, LoadCase, Signs, Sweep};
use units::{Quantity, STANDARD_GRAVITY};

/// The acceleration of a motion as it is reckoned with, before its inertia is counted more than once: as stated, or of
/// the stated direction with the peak of its stroke and time.
///
/// A stroke in no direction accelerates nothing; one in no time has no finite acceleration.
///
/// # Units
/// m/s².
///
/// # Source
/// [`mechanics::MoveProfile::peak_acceleration`].
///
/// # Example
/// ```
/// use document::{Motion, MotionId, MotionKind, MoveProfile, Stroke};
/// let mut carry = Motion::preset(MotionId(1), MotionKind::StrokeAndTime);
/// carry.acceleration = glam::DVec3::new(0.0, 2.0, 0.0); // only its direction counts
/// carry.stroke = Some(Stroke { mm: 1200.0, time_s: 1.0, profile: MoveProfile::Trapezoid, pause_s: 0.0 });
/// // 4.5 s/t²: 4.5 x 1.2 m in 1 s.
/// assert!((analysis::acceleration_of(&carry).y - 5.4).abs() < 1e-12); // m/s²
/// ```
pub fn acceleration_of(motion: &Motion) -> DVec3 {
    match &motion.stroke {
        None => motion.acceleration,
        Some(stroke) => {
            let direction = motion.acceleration.normalize_or_zero();
            // Per axis, so that nought times endless stays nought.
            let peak = peak(stroke);
            DVec3::from_array(direction.to_array().map(|share| if share == 0.0 { 0.0 } else { share * peak }))
        }
    }
}

fn peak(stroke: &Stroke) -> f64 {
    let profile = match stroke.profile {
        MoveProfile::Trapezoid => mechanics::MoveProfile::Trapezoid,
        MoveProfile::Cycloid => mechanics::MoveProfile::Cycloid,
        MoveProfile::Quintic => mechanics::MoveProfile::Quintic,
    };
    profile.peak_acceleration(stroke.mm, stroke.time_s)
}

/// Why a load case cannot be worked out, if it cannot.
pub(crate) fn not_a_figure(motion: &Motion, case: &LoadCase) -> Option<String> {
    let at = |t: f64| {
        let instant = case.at(t);
        [instant.gravity, instant.acceleration, instant.turn_rate, instant.turn_acceleration, instant.pivot]
            .iter()
            .all(|vector| vector.is_finite())
    };
    let (from, to) = case.sweep.map_or((0.0, 0.0), |sweep| (sweep.from, sweep.to));
    if at(from) && at(to) {
        return None;
    }
    Some(match motion.stroke {
        Some(_) => "its stroke and time give no acceleration: enter a time above 0 and a stroke".to_owned(),
        None => "its acceleration, turning or pivot is not a number: enter plain numbers".to_owned(),
    })
}

/// Whether the part is held level all the time.
pub(crate) fn is_level(motion: &Motion) -> bool {
    motion.tilt_deg == 0.0 && !matches!(motion.worst, Worst::TiltTo { .. })
}

/// A motion as a load case in the tool's frame, with the sweep that its worst state asks for, at its start and its stop unless
/// a person keeps it to what is stated.
///
/// When a motion is tilted its acceleration stays as stated in the tool's frame; only gravity turns. Where a person counts
/// its inertia more than once, accelerations are that much larger and the turn rate by the root of it.
pub(crate) fn load_case(motion: &Motion, rules: &Rules) -> LoadCase {
    let signs = match motion.start_stop {
        StartStop::Both => Signs::Worst,
        StartStop::AsStated => Signs::AsStated,
    };
    let once = LoadCase { favourable_weight: rules.favourable_weight, signs, ..counted_once(motion) };
    // Exactly as stated where nothing is to be multiplied.
    if motion.inertia_times == 1.0 { once } else { once.with_inertia_times(motion.inertia_times) }
}

fn counted_once(motion: &Motion) -> LoadCase {
    let tilt = motion.tilt_deg.to_radians();
    let lowest = motion.lowest_deg.to_radians();
    let fixed = Instant {
        gravity: mechanics::gravity_when_tilted(STANDARD_GRAVITY, tilt, lowest),
        acceleration: acceleration_of(motion),
        turn_rate: radians(motion.turn_rate_deg_s),
        turn_acceleration: radians(motion.turn_acceleration_deg_s2),
        pivot: motion.pivot_mm,
    };
    match motion.worst {
        Worst::AsStated => LoadCase::single(fixed),
        Worst::Direction => every_direction(fixed),
        Worst::Lowest => every_lowest(fixed, tilt),
        Worst::TiltTo { deg } => tilting(fixed, tilt, deg.to_radians(), lowest),
    }
}

/// The in-plane acceleration keeps its size and takes every direction.
fn every_direction(fixed: Instant) -> LoadCase {
    let in_plane = fixed.acceleration.truncate().length();
    if in_plane == 0.0 {
        return LoadCase::single(fixed);
    }
    LoadCase::swept(
        Instant { acceleration: DVec3::new(0.0, 0.0, fixed.acceleration.z), ..fixed },
        Sweep {
            gravity_along: DVec3::ZERO,
            gravity_across: DVec3::ZERO,
            acceleration_along: DVec3::X * in_plane,
            acceleration_across: DVec3::Y * in_plane,
            from: 0.0,
            to: std::f64::consts::TAU,
        },
    )
}

/// The tilt is kept and every direction in the plan is lowest in turn.
fn every_lowest(fixed: Instant, tilt: f64) -> LoadCase {
    let sideways = STANDARD_GRAVITY * tilt.sin();
    if sideways == 0.0 {
        return LoadCase::single(fixed);
    }
    LoadCase::swept(
        Instant { gravity: DVec3::new(0.0, 0.0, -STANDARD_GRAVITY * tilt.cos()), ..fixed },
        Sweep {
            gravity_along: DVec3::X * sideways,
            gravity_across: DVec3::Y * sideways,
            acceleration_along: DVec3::ZERO,
            acceleration_across: DVec3::ZERO,
            from: 0.0,
            to: std::f64::consts::TAU,
        },
    )
}

/// The tool tilts from one angle to another about a fixed direction.
fn tilting(fixed: Instant, from: f64, to: f64, lowest: f64) -> LoadCase {
    if from == to {
        return LoadCase::single(fixed);
    }
    LoadCase::swept(
        Instant { gravity: DVec3::ZERO, ..fixed },
        Sweep {
            gravity_along: DVec3::NEG_Z * STANDARD_GRAVITY,
            gravity_across: DVec3::new(lowest.cos(), lowest.sin(), 0.0) * STANDARD_GRAVITY,
            acceleration_along: DVec3::ZERO,
            acceleration_across: DVec3::ZERO,
            from: from.min(to),
            to: from.max(to),
        },
    )
}

fn radians(degrees: DVec3) -> DVec3 {
    DVec3::new(degrees.x.to_radians(), degrees.y.to_radians(), degrees.z.to_radians())
}

/// Where along its motion a case is worst, degrees: see [`MotionOutcome::at_deg`](crate::MotionOutcome).
pub(crate) fn at_deg(motion: &Motion, case: &Case) -> Option<f64> {
    let swept = case.load_case.sweep.is_some() && motion.worst != Worst::AsStated;
    let degrees = case.result.worst_t.to_degrees();
    swept.then(|| match motion.worst {
        Worst::Direction | Worst::Lowest => degrees.rem_euclid(360.0),
        Worst::AsStated | Worst::TiltTo { .. } => degrees,
    })
}

/// The attitude at which a case is worst, where its motion has more than one: "at 90.0°", "with 210.0° lowest".
pub(crate) fn place(motion: &Motion, case: &Case, words: &Words<'_>) -> Option<String> {
    let angle = words.figure(at_deg(motion, case)?, Quantity::Angle);
    match motion.worst {
        Worst::TiltTo { .. } => Some(format!("at {angle}")),
        Worst::Lowest => Some(format!("with {angle} lowest")),
        Worst::AsStated | Worst::Direction => None,
    }
}

/// State and attitude that govern a case, in words: "while the turn slows down, at 90.0°". `None` where it is as stated at its
/// one attitude, and where nothing ends its factor.
pub(crate) fn governs(motion: &Motion, case: &Case, words: &Words<'_>) -> Option<String> {
    if !case.factor().is_finite() {
        return None;
    }
    let (fixed, member) = (&case.load_case.fixed, &case.result.member);
    let mut says: Vec<String> = Vec::new();
    if motion.start_stop == StartStop::Both {
        let turning = fixed.turn_acceleration * member.turn_acceleration;
        let along = turning.dot(fixed.turn_rate);
        says.extend(
            match (member.turn_rate == 0.0, along) {
                (false, along) if along > 0.0 => Some("while the turn speeds up"),
                (false, along) if along < 0.0 => Some("while the turn slows down"),
                (true, along) if along > 0.0 => Some("as the turn starts"),
                (true, along) if along < 0.0 => Some("as the turn stops"),
                (true, _) if turning == DVec3::ZERO => Some("while it does not turn"),
                _ if member.turn_acceleration < 0.0 => Some("with the turn acceleration reversed"),
                _ => None,
            }
            .map(str::to_owned),
        );
        if member.acceleration < 0.0 {
            says.push("with the acceleration reversed".to_owned());
        }
    }
    let says = words_and_place(&says.join(" and "), place(motion, case, words));
    (!says.is_empty()).then_some(says)
}

fn words_and_place(state: &str, place: Option<String>) -> String {
    match (state, place) {
        (state, None) => state.to_owned(),
        ("", Some(place)) => place,
        (state, Some(place)) => format!("{state}, {place}"),
    }
}
