//! How hard the part may be accelerated in each direction.

mod ray;
mod search;

use crate::factor::{LipLimit, Reading};
use crate::group::CupGroup;
use crate::motion::{Body, Instant, Wrench, load};
use crate::readings::SplitLoad;
use crate::strength::LipStrength;
use glam::{DVec2, DVec3};
use ray::CupRays;
use std::f64::consts::{FRAC_PI_2, TAU};

/// Accelerations closer than this (relative) are equal; the first cup of them governs, whatever the last digit says.
const TIE: f64 = 1e-9;
/// A corner of the curve is found to this angle, rad.
const CORNER: f64 = 1e-7;
/// An arc this narrow is not looked into for more corners, rad.
const NARROW: f64 = 1e-4;

/// The largest acceleration in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnvelopePoint {
    /// In the plane of the part, from x, rad in [0, 2 π); along z the angle above the plane, ±π/2.
    pub direction: f64,
    /// m/s²; infinite if nothing ends it.
    pub acceleration: f64,
    /// The cup that ends it; the first of equals, 0 if nothing does.
    pub cup: usize,
    /// The limit of that cup; the seal if nothing ends it.
    pub limit: LipLimit,
    /// What is multiplied by the required factor where it ends; the whole load if nothing ends it.
    pub reading: Reading,
}

/// For each direction the largest acceleration at which every lip still meets the required factor.
///
/// The load of every cup is linear in the acceleration, and both limits of [`LipStrength`] are linear terms plus lengths
/// of linear vectors: along a ray each is the root of a quadratic, a lip that is not round giving one for each sign of
/// its terms. The accelerations allowed form a convex set: what meets all ways of counting (see [`Reading`]), required
/// times the whole load, and required times the acceleration beside the weight once and its favourable share.
///
/// # Example
/// ```
/// use geometry::LipShape;
/// use glam::{DMat3, DVec2, DVec3};
/// use mechanics::*;
/// let shape = LipShape::Round { diameter: 40.0 }; // mm
/// let line = shape.line();
/// let lip = LipStrength {
///     vacuum_force: 70.0, line, turn: 0.0, shape, friction: 0.5, slide_share: 0.9, seal_minimum: 0.0,
/// };
/// let cups: Vec<_> = [(-200.0, -150.0), (200.0, -150.0), (200.0, 150.0), (-200.0, 150.0)]
///     .map(|(x, y)| CupSpring::point(DVec2::new(x, y), 20.0, 10.0))
///     .into();
/// let group = CupGroup::new(&cups)?;
/// let part = Body { mass: 5.0, centre: DVec3::ZERO, inertia: DMat3::ZERO }; // kg, at the lips' height
/// let level = Instant::still(DVec3::new(0.0, 0.0, -10.0)); // m/s²
/// let Some(envelope) = Envelope::new(&part, &level, &group, &[lip; 4], 2.0, 0.9) else { panic!("too heavy at rest") };
/// // Factor 2 leaves 35 N a cup: 140 N lift 5 kg at 28 m/s², of which gravity takes 10.
/// assert!((envelope.along_z(true).acceleration - 18.0).abs() < 1e-9);
/// // Sideways friction carries 0.45 of the (35 - 12.5) N that are left on each lip.
/// assert!((envelope.in_plane(0.3).acceleration - 4.0 * 0.45 * 22.5 / 5.0).abs() < 1e-9);
/// # Ok::<(), GroupError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Envelope {
    /// Each cup in each state and way of counting, in the order of the cups.
    rays: Vec<(usize, Reading, CupRays)>,
}

impl Envelope {
    /// The envelope around `at_rest`: gravity, and whatever acceleration and turning it states, to which the
    /// accelerations of the envelope are added.
    ///
    /// `strengths` stand in the order of the group's cups. `None` when `at_rest` alone does not meet the `required`
    /// factor, or a cup has no strength; a required factor of zero or less asks for nothing. `favourable_weight` as that
    /// of a [`LoadCase`](crate::LoadCase).
    ///
    /// # Units
    /// As [`load`] and [`LipStrength`].
    pub fn new(
        body: &Body,
        at_rest: &Instant,
        group: &CupGroup,
        strengths: &[LipStrength],
        required: f64,
        favourable_weight: f64,
    ) -> Option<Self> {
        Self::through(body, std::slice::from_ref(at_rest), group, strengths, required, favourable_weight)
    }

    /// As [`Envelope::new`] for a tool that goes through several states, as a turn that starts and stops does: what is
    /// allowed in every one of them.
    pub fn through(
        body: &Body,
        states: &[Instant],
        group: &CupGroup,
        strengths: &[LipStrength],
        required: f64,
        favourable_weight: f64,
    ) -> Option<Self> {
        if required.is_nan() {
            return None;
        }
        if required <= 0.0 {
            return Some(Self { rays: Vec::new() });
        }
        let about = group.centre().extend(0.0);
        let along = [DVec3::X, DVec3::Y, DVec3::Z].map(|direction| {
            let falling = Instant::still(-direction);
            group.share(&Wrench { about, ..load(body, &falling, about) })
        });
        let mut rays = Vec::with_capacity(3 * group.len() * states.len());
        for at_rest in states {
            let weight = group.share(&load(body, &Instant::still(at_rest.gravity), about));
            let turning = group.share(&load(body, &Instant { gravity: DVec3::ZERO, ..*at_rest }, about));
            for (i, (&weight, &motion)) in weight.iter().zip(&turning).enumerate() {
                let lip = strengths.get(i)?;
                let rest = SplitLoad { weight, motion };
                let too_heavy = required < 1.0 && lip.usage(&weight) > 1.0;
                if too_heavy || lip.readings(&rest, favourable_weight).worse().value < required {
                    return None;
                }
                for reading in [Reading::WholeLoad, Reading::WeightOnce, Reading::FavourableWeight] {
                    // Over the required factor, as what is available is.
                    let rest = rest.counted(reading, required, favourable_weight).times(required.recip());
                    let along = [&along[0][i], &along[1][i], &along[2][i]];
                    rays.push((i, reading, CupRays::new(lip, &rest, along, required)));
                }
            }
        }
        Some(Self { rays })
    }

    /// Largest acceleration in one direction of the plane.
    ///
    /// # Units
    /// rad from x; m/s².
    pub fn in_plane(&self, direction: f64) -> EnvelopePoint {
        let point = self.along(DVec2::from_angle(direction).extend(0.0));
        EnvelopePoint { direction: direction.rem_euclid(TAU), ..point }
    }

    /// Largest acceleration along z: away from the part (`up`), or towards it.
    pub fn along_z(&self, up: bool) -> EnvelopePoint {
        let sign = if up { 1.0 } else { -1.0 };
        EnvelopePoint { direction: sign * FRAC_PI_2, ..self.along(DVec3::Z * sign) }
    }

    /// The direction of the plane with the smallest of all largest accelerations, to 0.01 degree or 1e-9.
    ///
    /// # Source
    /// One over the acceleration is convex in the direction, so that every arc has a bound; the search is that of
    /// [`worst_case`](crate::worst_case).
    pub fn weakest(&self) -> EnvelopePoint {
        self.in_plane(search::weakest_direction(self))
    }

    /// `n` even directions from x on, and the corners at which another cup, or another limit of it, begins to govern;
    /// sorted by direction. A corner names what governs from there on.
    pub fn curve(&self, n: usize) -> Vec<EnvelopePoint> {
        let even: Vec<EnvelopePoint> = (0..n).map(|i| self.in_plane(TAU * i as f64 / n as f64)).collect();
        let mut curve = Vec::with_capacity(2 * n);
        for (i, &point) in even.iter().enumerate() {
            curve.push(point);
            let last = i + 1 == n;
            let end = if last { TAU } else { even[i + 1].direction };
            let next = even[if last { 0 } else { i + 1 }];
            self.corners(point, EnvelopePoint { direction: end, ..next }, &mut curve);
        }
        curve
    }

    /// Adds the corners between two directions.
    fn corners(&self, from: EnvelopePoint, to: EnvelopePoint, found: &mut Vec<EnvelopePoint>) {
        let (mut low, mut high) = (from, to);
        while !same(&low, &high) {
            let width = high.direction - low.direction;
            if width <= CORNER {
                found.push(high);
                return;
            }
            let middle = self.in_plane(low.direction + 0.5 * width);
            if same(&middle, &low) {
                low = middle;
            } else if same(&middle, &high) {
                high = middle;
            } else if width > NARROW {
                self.corners(low, middle, found);
                low = middle;
            } else {
                // Three and more meet in next to one direction: where the first ends, and where the last begins.
                found.push(self.change((low, middle), |point| !same(point, &low)));
                found.push(self.change((middle, high), |point| same(point, &high)));
                return;
            }
        }
    }

    /// The first point between two directions of which something is true from there on.
    fn change(
        &self,
        (mut low, mut high): (EnvelopePoint, EnvelopePoint),
        from_there_on: impl Fn(&EnvelopePoint) -> bool,
    ) -> EnvelopePoint {
        while high.direction - low.direction > CORNER {
            let middle = self.in_plane(0.5 * (low.direction + high.direction));
            if from_there_on(&middle) { high = middle } else { low = middle }
        }
        high
    }

    fn along(&self, direction: DVec3) -> EnvelopePoint {
        let mut least = EnvelopePoint {
            direction: 0.0,
            acceleration: f64::INFINITY,
            cup: 0,
            limit: LipLimit::Seal,
            reading: Reading::WholeLoad,
        };
        for (cup, reading, rays) in &self.rays {
            let (acceleration, limit) = rays.reach(direction);
            let first = least.acceleration == f64::INFINITY && acceleration.is_finite();
            if first || acceleration < least.acceleration * (1.0 - TIE) {
                least = EnvelopePoint { acceleration, cup: *cup, limit, reading: *reading, ..least };
            }
        }
        least
    }
}

fn same(a: &EnvelopePoint, b: &EnvelopePoint) -> bool {
    a.cup == b.cup
        && a.limit == b.limit
        && a.reading == b.reading
        && a.acceleration.is_finite() == b.acceleration.is_finite()
}

#[cfg(test)]
mod tests;
