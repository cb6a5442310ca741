//! A motion: one load case.

use super::MotionId;
use glam::DVec3;

/// One load case.
#[derive(Debug, Clone, PartialEq)]
pub struct Motion {
    /// Never reused.
    pub id: MotionId,
    /// For people.
    pub name: String,
    /// How many times the real load must be carried.
    pub required_factor: f64,
    /// What it was made as.
    pub kind: MotionKind,
    /// Angle of the part's plane from level, degrees.
    pub tilt_deg: f64,
    /// Direction in the plan that is lowest when tilted, degrees from x.
    pub lowest_deg: f64,
    /// In the tool's frame, m/s². With a `stroke` only its direction counts.
    pub acceleration: DVec3,
    /// Size of the acceleration as the peak of a move of known stroke and time.
    pub stroke: Option<Stroke>,
    /// How many times the inertial part of the load is counted: 1, or 2 for a sudden start. Never set by itself.
    pub inertia_times: f64,
    /// About the tool's axes, °/s.
    pub turn_rate_deg_s: DVec3,
    /// About the tool's axes, °/s².
    pub turn_acceleration_deg_s2: DVec3,
    /// What it turns about, mm.
    pub pivot_mm: DVec3,
    /// What is taken in its worst state.
    pub worst: Worst,
    /// Whether its start and its stop are both taken, or only what is stated.
    pub start_stop: StartStop,
}
/// A move from rest to rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// How far, mm.
    pub mm: f64,
    /// In what time, s.
    pub time_s: f64,
    /// How the speed goes.
    pub profile: MoveProfile,
    /// Pause after it, before what comes next, s.
    pub pause_s: f64,
}
/// How the speed of a move from rest to rest goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MoveProfile {
    /// A third speeding up, a third steady, a third slowing down.
    Trapezoid,
    /// Acceleration as a full sine.
    Cycloid,
    /// Polynomial of the fifth degree.
    Quintic,
}
/// What a motion was made as; labels and the form's field order only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MotionKind {
    /// Straight up, part level.
    LevelLift,
    /// Sideways, part level, any direction.
    LevelCarry,
    /// Part upright: friction carries.
    OnEdge,
    /// From level through upright to upside down.
    TurnOver,
    /// Stop from full speed.
    EmergencyStop,
    /// About the robot's axis.
    Swing,
    /// A known stroke in a known time.
    StrokeAndTime,
    /// Anything else.
    Free,
}
/// Whether a motion is judged at its start and its stop, whichever is worse, or exactly as stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum StartStop {
    /// Acceleration and turn acceleration as stated and reversed, the turn at its rate and standing: the worst counts.
    #[default]
    Both,
    /// Only as stated: a person knows that the rest does not come about.
    AsStated,
}
/// What is taken in its worst state instead of as stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Worst {
    /// Nothing: the figures as they are.
    AsStated,
    /// Direction in the plane of the acceleration (its x, y length is kept).
    Direction,
    /// Direction that is lowest when tilted.
    Lowest,
    /// Tilt from `tilt_deg` to this.
    TiltTo {
        /// Degrees.
        deg: f64,
    },
}
