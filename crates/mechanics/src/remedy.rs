//! What would have to change for a lip, or a case, to meet a required factor.

use crate::case::worst_case;
use crate::group::{CupGroup, CupLoad};
use crate::motion::{Body, LoadCase};
use crate::readings::SplitLoad;
use crate::strength::{LipStrength, Uneven};
use glam::DVec3;

/// Accelerations this many times as large as stated count as unlimited.
const UNLIMITED: f64 = 1e6;
/// Relative precision of a scale of acceleration.
const SCALE: f64 = 1e-7;
/// Lips this many times as large or as small are not looked at.
const LARGEST_LIP: f64 = 100.0;

impl LipStrength {
    /// Vacuum force with which the lip would carry a factor of `required`, in every way of counting the load (see
    /// [`Reading`](crate::Reading)); over the present force it is the multiple of vacuum level needed. Infinite when no
    /// vacuum is enough (a slide without friction); 0 when none is needed.
    ///
    /// # Units
    /// N.
    ///
    /// # Source
    /// The limits of [`LipStrength`] solved for F.
    pub fn vacuum_force_for(&self, load: &SplitLoad, required: f64, favourable_weight: f64) -> f64 {
        let least = self.seal_minimum * self.line.length;
        let for_one = |load: CupLoad| {
            let (seal, slide) = self.demand(&load);
            // A lip that is pressed on still needs its own seal, as in `factor`.
            (seal.max(0.0) + least).max(slide)
        };
        load.all_counted(required, favourable_weight).into_iter().map(for_one).fold(0.0, f64::max)
    }

    /// Friction with which the lip would carry a factor of `required`, in every way of counting the load; `None` when no
    /// friction is enough because the pull or the seal is too much already.
    ///
    /// # Source
    /// The slide limits of [`LipStrength`] solved for the coefficient of friction: the root of a quadratic where tilt makes
    /// the pressure uneven. At the shares of [`slide_share_within`](crate::slide_share_within) more friction always helps a
    /// lip that seals, since the tilt takes less of it than the seal needs of the force; at a smaller share it may not.
    pub fn friction_for(&self, load: &SplitLoad, required: f64, favourable_weight: f64) -> Option<f64> {
        let each = load.all_counted(required, favourable_weight).into_iter();
        let most = each
            .map(|load| self.friction_under(&load))
            .try_fold(0.0, |most: f64, friction| friction.map(|friction| most.max(friction)))?;
        let loads = load.all_counted(required, favourable_weight);
        let with = Self { friction: most, ..*self };
        loads.iter().all(|load| with.usage(load) <= 1.0 + 1e-9).then_some(most)
    }

    /// Friction with which one load is just carried.
    fn friction_under(&self, load: &CupLoad) -> Option<f64> {
        let (seal, _) = self.demand(load);
        let left = self.vacuum_force - load.pull;
        let sealed = self.available().0;
        if sealed <= 0.0 || sealed < seal || left <= 0.0 || self.slide_share <= 0.0 {
            return None;
        }
        let (twist, tilt) = (load.twist * self.twist_as_slide(), self.tilt_as_slide() * load.tilt);
        let held = self.slide_share * left;
        let even = load.slide.extend(twist).length() / held;
        let Uneven { slide, twist: turn, apart, .. } = self.uneven();
        // |fixed + mu along| = h + mu held, for the sign of the tilt that makes the left side longer.
        let along = if load.slide.dot(tilt) < 0.0 { -tilt } else { tilt } * slide;
        let fixed = (load.slide * slide).extend(twist * turn);
        let uneven = crossing_down(fixed, along.extend(0.0), -apart * twist.abs(), held)?;
        Some(even.max(uneven))
    }

    /// How many times as large a lip, of the same shape at the same vacuum level, would carry a factor of `required`, in
    /// every way of counting the load, were its share of the load to stay; `None` when not even a hundred times as large.
    ///
    /// # Source
    /// The limits of [`LipStrength`] with F growing as the square of the size, the line's length and mean radius as the
    /// size, its second moments as the cube; found by halving the range, as both limits only gain with size.
    pub fn lip_multiple_for(&self, load: &SplitLoad, required: f64, favourable_weight: f64) -> Option<f64> {
        let loads = load.all_counted(required, favourable_weight);
        let meets = |size: f64| {
            let line = geometry::LipLine {
                length: self.line.length * size,
                area: self.line.area * size * size,
                ix: self.line.ix * size.powi(3),
                iy: self.line.iy * size.powi(3),
                mean_radius: self.line.mean_radius * size,
                radius_across: self.line.radius_across * size,
                half_length: self.line.half_length * size,
                half_width: self.line.half_width * size,
            };
            let lip = Self {
                vacuum_force: self.vacuum_force * size * size,
                line,
                shape: self.shape.scaled(size),
                ..*self
            };
            loads.iter().all(|load| lip.usage(load) <= 1.0)
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

/// The least x >= 0 at which |v0 + x v1| is no more than h + x k; `None` when there is none. Needs |v0| >= h and k > 0.
///
/// Squared, A x² + 2 B x + C = 0 with A = |v1|² - k². Length minus line is convex and not below zero at 0, so that it crosses
/// zero downwards at most once: at the larger root when the line rises faster than the length can, else at the smaller, in
/// both cases (-B - √(B² - A C))/A.
fn crossing_down(v0: DVec3, v1: DVec3, h: f64, k: f64) -> Option<f64> {
    let (start, size) = (v0.length(), v1.length());
    if start <= h {
        return Some(0.0);
    }
    let a = (size - k) * (size + k);
    let b = v0.dot(v1) - h * k;
    let c = (start - h) * (start + h);
    let square = b * b - a * c;
    if a < 0.0 {
        let root = square.max(0.0).sqrt();
        // The same root without a difference where b is negative.
        Some(if b >= 0.0 { (b + root) / -a } else { c / (root - b) })
    } else if b < 0.0 && square >= 0.0 {
        Some(c / (square.sqrt() - b))
    } else {
        None
    }
}

/// Largest multiple of a case's accelerations (linear, angular, centripetal: see
/// [`LoadCase::with_accelerations_scaled`]) at which the group's factor is still `required`.
///
/// `None` when gravity alone is too much. Infinite when the case has no acceleration or a million times as much would
/// still be met.
///
/// # Source
/// One over the factor is convex in the scale: of the whole load because that is affine in it, of the motion beside its
/// weight because it goes with the scale. So the scales that meet the required factor
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
