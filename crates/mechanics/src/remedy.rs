//! What would have to change for a lip, or a case, to meet a required factor.

use crate::case::worst_case;
use crate::group::{CupGroup, CupLoad};
use crate::motion::{Body, LoadCase};
use crate::strength::LipStrength;
use glam::DVec3;

/// Accelerations this many times as large as stated count as unlimited.
const UNLIMITED: f64 = 1e6;
/// Relative precision of a scale of acceleration.
const SCALE: f64 = 1e-7;
/// Lips this many times as large or as small are not looked at.
const LARGEST_LIP: f64 = 100.0;

impl LipStrength {
    /// Vacuum force with which the lip would carry `required` times the load; over the present force it is the multiple
    /// of vacuum level needed. Infinite when no vacuum is enough (a slide without friction); 0 when none is needed.
    ///
    /// # Units
    /// N.
    ///
    /// # Source
    /// The limits of [`LipStrength`] solved for F.
    pub fn vacuum_force_for(&self, load: &CupLoad, required: f64) -> f64 {
        let (seal, slide) = self.demand(load);
        let least = self.seal_minimum * self.line.length;
        // A lip that is pressed on still needs its own seal, as in `factor`.
        (required * seal.max(0.0) + least).max(required * slide)
    }

    /// Friction with which the lip would carry `required` times the load; `None` when no friction is enough because the
    /// pull or the seal is too much already.
    ///
    /// # Source
    /// The slide limit of [`LipStrength`] solved for the coefficient of friction.
    pub fn friction_for(&self, load: &CupLoad, required: f64) -> Option<f64> {
        let (seal, _) = self.demand(load);
        let left = self.vacuum_force - required * load.pull;
        let sealed = self.available().0;
        if sealed <= 0.0 || sealed < required * seal || left <= 0.0 || self.slide_share <= 0.0 {
            return None;
        }
        Some(required * self.sliding(load) / (self.slide_share * left))
    }

    /// How many times as large a lip, of the same shape at the same vacuum level, would carry `required` times the
    /// load, were its share of the load to stay; `None` when not even a hundred times as large.
    ///
    /// # Source
    /// The limits of [`LipStrength`] with F growing as the square of the size, the line's length and mean radius as the
    /// size, its second moments as the cube; found by halving the range, as both limits only gain with size.
    pub fn lip_multiple_for(&self, load: &CupLoad, required: f64) -> Option<f64> {
        let meets = |size: f64| {
            let line = geometry::LipLine {
                length: self.line.length * size,
                area: self.line.area * size * size,
                ix: self.line.ix * size.powi(3),
                iy: self.line.iy * size.powi(3),
                mean_radius: self.line.mean_radius * size,
                half_length: self.line.half_length * size,
                half_width: self.line.half_width * size,
            };
            let lip = Self {
                vacuum_force: self.vacuum_force * size * size,
                line,
                shape: self.shape.scaled(size),
                ..*self
            };
            lip.factor(load).value >= required
        };
        if !meets(LARGEST_LIP) {
            return None;
        }
        let (mut low, mut high) = (LARGEST_LIP.recip().ln(), LARGEST_LIP.ln());
        for _ in 0..48 {
            let middle = 0.5 * (low + high);
            if meets(middle.exp()) { high = middle } else { low = middle }
        }
        Some(high.exp())
    }
}

/// Largest multiple of a case's accelerations (linear, angular, centripetal: see
/// [`LoadCase::with_accelerations_scaled`]) at which the group's factor is still `required`.
///
/// `None` when gravity alone is too much. Infinite when the case has no acceleration or a million times as much would
/// still be met.
///
/// # Source
/// One over the factor is convex in the scale (the load is affine in it), so the scales that meet the required factor
/// are one interval from 0; its end by bracketed false position (Illinois rule, Dowell & Jarratt, BIT 11, 1971, from
/// memory), from the side that meets it.
///
/// # Example
/// ```
/// use geometry::LipShape;
/// use glam::{DMat3, DVec2, DVec3};
/// use mechanics::*;
/// let shape = LipShape::Round { diameter: 40.0 }; // mm
/// let line = shape.line();
/// let lip = LipStrength {
///     vacuum_force: 80.0, line, turn: 0.0, shape, friction: 0.5, slide_share: 0.9, seal_minimum: 0.0,
/// };
/// let cup = CupGroup::new(&[CupSpring::along_lip(DVec2::ZERO, 0.0, 20.0, 10.0, &line, 1.0)])?;
/// let part = Body { mass: 2.0, centre: DVec3::ZERO, inertia: DMat3::ZERO }; // kg
/// let up = DVec3::new(0.0, 0.0, 15.0); // m/s²
/// let lift = LoadCase::single(Instant { acceleration: up, ..Instant::still(DVec3::new(0.0, 0.0, -10.0)) });
/// // Factor 2 leaves 40 N for 2 kg: 20 m/s², of which gravity takes 10.
/// let scale = acceleration_scale_for(&part, &lift, &cup, &[lip], 2.0).unwrap_or(0.0);
/// assert!((scale * 15.0 - 10.0).abs() < 1e-5);
/// # Ok::<(), GroupError>(())
/// ```
pub fn acceleration_scale_for(
    body: &Body,
    case: &LoadCase,
    group: &CupGroup,
    strengths: &[LipStrength],
    required: f64,
) -> Option<f64> {
    // Positive when the factor is missed.
    let missed = |scale: f64| {
        let worst = worst_case(body, &case.with_accelerations_scaled(scale), group, strengths);
        worst.factor().value.recip() - required.recip()
    };
    if required <= 0.0 {
        return Some(f64::INFINITY);
    }
    let at_rest = missed(0.0);
    if at_rest.is_nan() || at_rest > 0.0 {
        return None;
    }
    if !accelerates(case) {
        return Some(f64::INFINITY);
    }
    let (mut low, mut high) = ((0.0, at_rest), (1.0, missed(1.0)));
    while high.1 <= 0.0 {
        if high.0 >= UNLIMITED {
            return Some(f64::INFINITY);
        }
        low = high;
        high = (4.0 * high.0, missed(4.0 * high.0));
    }
    // Weights of the two ends: the Illinois rule halves the one that has stood still.
    let (mut low_weight, mut high_weight) = (low.1, high.1);
    for step in 0..80 {
        if high.0 - low.0 <= SCALE * high.0 {
            break;
        }
        // Every third step halves the bracket, so that a kink cannot stall it.
        let share = if step % 3 == 2 || !high_weight.is_finite() {
            0.5
        } else {
            (-low_weight / (high_weight - low_weight)).clamp(0.0, 1.0)
        };
        let scale = low.0 + share * (high.0 - low.0);
        let value = missed(scale);
        if value <= 0.0 {
            (low, low_weight) = ((scale, value), value);
            high_weight *= 0.5;
        } else {
            (high, high_weight) = ((scale, value), value);
            low_weight *= 0.5;
        }
    }
    Some(low.0)
}

fn accelerates(case: &LoadCase) -> bool {
    let fixed = &case.fixed;
    let swept = case.sweep.map_or([DVec3::ZERO; 2], |s| [s.acceleration_along, s.acceleration_across]);
    [fixed.acceleration, fixed.turn_rate, fixed.turn_acceleration, swept[0], swept[1]]
        .iter()
        .any(|&v| v != DVec3::ZERO)
}

#[cfg(test)]
mod tests;
