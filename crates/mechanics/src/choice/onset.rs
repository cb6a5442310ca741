//! A lip as the bound sees it: what it carries up to the onset of leak and of sliding.

use crate::motion::MILLI;
use crate::strength::LipStrength;
use crate::usage::Reach;
use glam::{DVec2, DVec3};

/// One lip that may carry any load within its limits, whatever its stiffness.
///
/// A load (pull N, slide T, tilt M, twist) is carried when
/// - h(M) + N <= F - seal, with h the most that the tilt takes from the line pressure anywhere on the lip, times its length: the
///   onset of leak, exactly as in [`LipStrength`];
/// - |(T, twist/arm)| <= grip (F - N): the friction ellipse of even pressure. What uneven pressure takes from it is left out, so
///   that the bound is the larger for it.
///
/// A velocity of the cup - parting n, slide t, rolling r, turning z - finds no more power in those loads than
/// n (F - seal) + d seal with d = grip |(t, arm z)|, as long as n >= h*(r) + d with h* the gauge dual to h; where n is less, pressing
/// on gives power without end, or, with no more than `press` on any cup, the difference times F + press more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Onset {
    /// Centre of the lip, mm.
    pub at: DVec2,
    /// Turn of the lip's length axis from x, rad.
    pub turn: f64,
    /// Vacuum level times area, N.
    pub vacuum_force: f64,
    /// Force that must stay on the lip for it to seal, N.
    pub seal_force: f64,
    /// Slide per force on the lip.
    pub grip: f64,
    /// Mean radius of the lip, mm; 0 carries no twist.
    pub twist_arm: f64,
    /// Half sides of the rectangle within the lip, mm.
    pub core: DVec2,
    /// Radius of the circle that sweeps it, mm.
    pub radius: f64,
    /// Second moments of the line over its length about the lip's length and width axis, mm².
    pub second: DVec2,
}

/// What a velocity of the part is at one cup.
#[derive(Debug, Clone, Copy)]
pub(super) struct Motion {
    /// Away from the cup.
    pub parting: f64,
    /// grip |(t, arm z)|.
    pub sliding: f64,
    /// h*(r).
    pub rolling: f64,
}

impl Onset {
    /// Of a lip at a place.
    ///
    /// # Units
    /// `at` mm.
    pub fn of(at: DVec2, lip: &LipStrength) -> Self {
        let reach = Reach::of(&lip.shape);
        Self {
            at,
            turn: lip.turn,
            vacuum_force: lip.vacuum_force,
            seal_force: lip.seal_minimum.max(0.0) * lip.line.length,
            grip: lip.grip(),
            twist_arm: lip.line.mean_radius,
            core: reach.core,
            radius: reach.radius,
            second: DVec2::new(lip.line.ix, lip.line.iy) / lip.line.length,
        }
    }

    /// Whether the lip holds anything.
    pub(super) fn holds(&self) -> bool {
        self.vacuum_force > self.seal_force
    }

    /// Rows that give the rolling in the lip's own axes from the turning about x and y: mm² per rad.
    pub(super) fn roll(&self) -> [DVec2; 2] {
        let along = DVec2::from_angle(self.turn);
        let across = along.perp();
        // g = (M_y L/I_y, -M_x L/I_x) has the power of r = (r_y I_y/L, -r_x I_x/L).
        [across * self.second.y, -along * self.second.x]
    }

    /// The velocity at this cup of a part with velocity v and turning w about the origin (mm).
    pub(super) fn motion(&self, v: DVec3, w: DVec3) -> Motion {
        let parting = -(v.z + w.x * self.at.y - w.y * self.at.x);
        let slide = v.truncate() + w.z * self.at.perp();
        let [along, across] = self.roll().map(|row| row.dot(w.truncate()));
        Motion {
            parting,
            sliding: self.grip * slide.extend(self.twist_arm * w.z).length(),
            rolling: self.gauge(DVec2::new(along, across)),
        }
    }

    /// The least a for which the point lies in a times the rectangle swept by the circle.
    fn gauge(&self, point: DVec2) -> f64 {
        let p = point.abs();
        let whole = self.core + DVec2::splat(self.radius);
        if p == DVec2::ZERO {
            return 0.0;
        }
        let by_side = (p / whole).max_element(); // in a side, or the least that it can be
        if by_side.is_nan() {
            return f64::INFINITY;
        }
        let rest = p - by_side * self.core;
        if rest.x <= 0.0 || rest.y <= 0.0 {
            return by_side;
        }
        // In a corner: |p - a core| = a radius.
        let (a, b, c) =
            (self.core.length_squared() - self.radius * self.radius, p.dot(self.core), p.length_squared());
        let root = (b * b - a * c).max(0.0).sqrt();
        // The smaller root of a x² - 2 b x + c, in the form that loses no digits.
        let corner = c / (b + root);
        corner.max(by_side)
    }

    /// The most power that its loads have at a motion, N times the motion's unit; infinite where pressing on gives it without end.
    pub(super) fn power(&self, of: &Motion, press: Option<f64>) -> f64 {
        if !self.holds() {
            return 0.0;
        }
        let short = (of.rolling + of.sliding - of.parting).max(0.0);
        let more = match press {
            Some(press) => short * press,
            None if short > 0.0 => return f64::INFINITY,
            None => 0.0,
        };
        (of.parting + short) * (self.vacuum_force - self.seal_force) + of.sliding * self.seal_force + more
    }
}

/// A wrench as six numbers about the origin, N and N·mm.
pub(super) fn six(wrench: &crate::motion::Wrench) -> [f64; 6] {
    let here = wrench.moved_to(DVec3::ZERO);
    let moment = here.moment / MILLI;
    [here.force.x, here.force.y, here.force.z, moment.x, moment.y, moment.z]
}
