//! What a motion asks of the cups, how they share it, and what one lip carries.
//!
//! Tool frame: x, y in the plane of the part, z from the part towards the tool, z = 0 the plane of the lips.
//! Forces N, moments N·m, lengths mm, angles rad, accelerations m/s².

use glam::{DMat3, DVec2, DVec3};

/// The part (mass kg, centre mm, inertia about the centre kg·mm²).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Body {
    pub mass: f64,
    pub centre: DVec3,
    pub inertia: DMat3,
}

/// One instant of a motion, in the tool's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// Free fall, m/s²; (0, 0, -g) when level.
    pub gravity: DVec3,
    pub acceleration: DVec3,
    pub turn_rate: DVec3,
    pub turn_acceleration: DVec3,
    /// Pivot of the turning, mm.
    pub pivot: DVec3,
}
/// One-parameter family of instants: `fixed + cos t · along + sin t · across`, t from `from` to `to`.
/// Gravity and acceleration may vary; the turning is fixed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sweep {
    pub gravity_along: DVec3,
    pub gravity_across: DVec3,
    pub acceleration_along: DVec3,
    pub acceleration_across: DVec3,
    pub from: f64,
    pub to: f64,
}
/// A load case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadCase {
    pub fixed: Instant,
    pub sweep: Option<Sweep>,
}
impl LoadCase {
    pub fn at(&self, t: f64) -> Instant {
        todo!()
    }
}

/// Gravity in the tool frame for a tool tilted by `tilt` so that the direction `toward` in the plan is lowest.
pub fn gravity_when_tilted(g: f64, tilt: f64, toward: f64) -> DVec3 {
    todo!()
}

/// Force N, moment N·m about `about` mm, of the part on the cups.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wrench {
    pub force: DVec3,
    pub moment: DVec3,
    pub about: DVec3,
}
/// METHODS 1.
pub fn load(body: &Body, instant: &Instant, about: DVec3) -> Wrench {
    todo!()
}

/// One cup as springs at its centre. `tilt[0]` resists turning about the lip's length axis, `tilt[1]` about its width
/// axis, N·m/rad; axial and lateral N/mm; twist N·m/rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CupSpring {
    pub at: DVec2,
    pub turn: f64,
    pub axial: f64,
    pub lateral: f64,
    pub tilt: [f64; 2],
    pub twist: f64,
}
impl CupSpring {
    /// Tilt and twist stiffness of axial and lateral stiffness spread evenly along a lip line; tilt times `tilt_reduction`.
    pub fn along_lip(
        at: DVec2,
        turn: f64,
        axial: f64,
        lateral: f64,
        line: &geometry::LipLine,
        tilt_reduction: f64,
    ) -> Self {
        todo!()
    }
    /// Point spring: the handbook's bolt or pile group.
    pub fn point(at: DVec2, axial: f64, lateral: f64) -> Self {
        todo!()
    }
}
/// What one cup gets, forces of the part on the cup: pull (positive away), slide, tilt (vector moment about x and y), twist.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CupLoad {
    pub pull: f64,
    pub slide: DVec2,
    pub tilt: DVec2,
    pub twist: f64,
}

/// Cups ready to share loads: one factorisation, then a multiply per motion.
#[derive(Debug, Clone)]
pub struct CupGroup {
    _private: (),
}
/// What a group cannot carry.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GroupError {
    #[error("placeholder")]
    Placeholder,
}
impl CupGroup {
    pub fn new(cups: &[CupSpring]) -> Result<Self, GroupError> {
        todo!()
    }
    /// Stiffness-weighted centre.
    pub fn centre(&self) -> DVec2 {
        todo!()
    }
    pub fn share(&self, wrench: &Wrench) -> Vec<CupLoad> {
        todo!()
    }
}
/// How well a group resists tipping without the lips' own tilt stiffness: one cup, or cups in line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Arrangement {
    Spread,
    InLine { through: DVec2, direction: DVec2 },
    Single { at: DVec2 },
    Empty,
}
pub fn arrangement(points: &[DVec2]) -> Arrangement {
    todo!()
}

/// What one lip can carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LipStrength {
    pub vacuum_force: f64,
    pub line: geometry::LipLine,
    pub turn: f64,
    pub shape: geometry::LipShape,
    pub friction: f64,
    pub slide_share: f64,
    pub seal_minimum: f64,
}
/// Which limit is met first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LipLimit {
    Seal,
    Slide,
}
/// Largest multiple of the load that the lip meets; `None` = no multiple fails it (pressed on).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    pub value: f64,
    pub limit: LipLimit,
}
impl LipStrength {
    pub fn factor(&self, load: &CupLoad) -> Factor {
        todo!()
    }
    /// What the load uses up, N of vacuum force, by seal and by slide (factor = available / demand).
    pub fn demand(&self, load: &CupLoad) -> (f64, f64) {
        todo!()
    }
}
/// All cups through one load case: the worst instant for each, and for the group.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseResult {
    pub worst_t: f64,
    pub instant: Instant,
    pub wrench: Wrench,
    pub loads: Vec<CupLoad>,
    pub factors: Vec<Factor>,
    pub governing: usize,
    pub cup_worst: Vec<(f64, Factor)>,
}
