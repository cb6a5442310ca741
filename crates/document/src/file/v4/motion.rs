//! Motions as they stand in the file.

use super::{Three, format_types};
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum MotionKind {
    LevelLift,
    LevelCarry,
    OnEdge,
    TurnOver,
    EmergencyStop,
    Swing,
    StrokeAndTime,
    Free,
}
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub(crate) enum StartStop {
    #[default]
    Both,
    AsStated,
}
fn is_both(start_stop: &StartStop) -> bool {
    *start_stop == StartStop::Both
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum MoveProfile {
    Trapezoid,
    Cycloid,
    Quintic,
}
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Worst {
    AsStated,
    Direction,
    Lowest,
    TiltTo { deg: f64 },
}

format_types! {
    Motion {
        id: u32,
        name: String,
        kind: MotionKind,
        required_factor: f64,
        tilt_deg: f64,
        lowest_deg: f64,
        acceleration: Three,
        #[serde(default)]
        stroke: Option<Stroke>,
        #[serde(default = "inertia_times")]
        inertia_times: f64,
        turn_rate_deg_s: Three,
        turn_acceleration_deg_s2: Three,
        pivot_mm: Three,
        worst: Worst,
        // Left out: both.
        #[serde(default, skip_serializing_if = "is_both")]
        start_stop: StartStop,
    }
    Stroke {
        mm: f64,
        time_s: f64,
        profile: MoveProfile,
        // Left out: none.
        #[serde(default, skip_serializing_if = "is_nought")]
        pause_s: f64,
    }
}

fn is_nought(value: &f64) -> bool {
    *value == 0.0
}

/// Not a sudden start.
fn inertia_times() -> f64 {
    1.0
}
