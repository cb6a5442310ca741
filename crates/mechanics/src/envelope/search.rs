//! The weakest direction of an envelope.

use super::Envelope;
use crate::motion::Sweep;
use crate::sweep::{OnCircle, Search};
use glam::{DVec2, DVec3};
use std::f64::consts::{PI, TAU};

/// Relative precision, unless 0.01 degree is reached first.
const PRECISION: f64 = 1e-9;
/// Accelerations below this count as this while searching, so that the search stays finite, m/s².
const LEAST: f64 = 1e-9;
/// Directions that bound the bend.
const SAMPLES: usize = 12;

/// Direction of the smallest acceleration, rad.
pub(super) fn weakest_direction(envelope: &Envelope) -> f64 {
    let none = DVec3::ZERO;
    let circle = Sweep {
        gravity_along: none,
        gravity_across: none,
        acceleration_along: none,
        acceleration_across: none,
        from: 0.0,
        to: TAU,
    };
    Search::new(&circle).peak(&Inverse::of(envelope), PRECISION).t
}

/// One over the acceleration: the gauge of the convex set of accelerations that are allowed.
struct Inverse<'a> {
    envelope: &'a Envelope,
    bend: f64,
}

impl<'a> Inverse<'a> {
    /// Along the circle a gauge g bends downwards by no more than its own value: with u' the tangent and u'' = -u,
    /// g'' = u'·H u' - ∇g·u, where H >= 0 (convex) and ∇g·u = g (Euler, of degree one). Nowhere on the circle does it
    /// exceed its largest value on the corners of a polygon around it.
    fn of(envelope: &'a Envelope) -> Self {
        let mut inverse = Self { envelope, bend: 0.0 };
        let largest = (0..SAMPLES)
            .map(|i| inverse.at(DVec2::from_angle(TAU * i as f64 / SAMPLES as f64)))
            .fold(0.0, f64::max);
        inverse.bend = largest / (PI / SAMPLES as f64).cos();
        inverse
    }
}

impl OnCircle for Inverse<'_> {
    fn at(&self, u: DVec2) -> f64 {
        self.envelope.along(u.extend(0.0)).acceleration.max(LEAST).recip()
    }

    fn bend(&self) -> f64 {
        self.bend
    }
}
