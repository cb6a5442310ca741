//! Accelerations of a move stated as stroke and time, and what a sudden start adds to them.

use crate::motion::{LoadCase, MILLI};
use std::f64::consts::{PI, TAU};

/// How a move from rest to rest spreads its stroke over its time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MoveProfile {
    /// A third of the time speeding up evenly, a third at even speed, a third slowing down evenly.
    Trapezoid,
    /// Acceleration as one whole sine wave.
    Cycloid,
    /// Polynomial of fifth degree, without acceleration at both ends.
    Quintic,
}

impl MoveProfile {
    /// Every profile.
    pub const ALL: [Self; 3] = [Self::Trapezoid, Self::Cycloid, Self::Quintic];

    /// Share of the stroke that is done after a share of the time; both from 0 to 1, earlier and later ones are clamped.
    ///
    /// # Source
    /// Laws of rise of cams; e.g. Norton, *Design of Machinery*, chapter on cam design (from memory).
    pub fn position(self, time_share: f64) -> f64 {
        let u = time_share.clamp(0.0, 1.0);
        match self {
            Self::Trapezoid => {
                if u < 1.0 / 3.0 {
                    2.25 * u * u
                } else if u <= 2.0 / 3.0 {
                    1.5 * u - 0.25
                } else {
                    1.0 - 2.25 * (1.0 - u) * (1.0 - u)
                }
            }
            Self::Cycloid => u - (TAU * u).sin() / TAU,
            Self::Quintic => u * u * u * (10.0 + u * (6.0 * u - 15.0)),
        }
    }

    /// Largest acceleration of a stroke done in a time, and of the braking at its end.
    ///
    /// # Units
    /// `stroke_mm` mm, `time_s` s; the result m/s², never negative. Without a time (or one that is not a number) it is
    /// infinite, without a stroke 0.
    ///
    /// # Source
    /// Second derivative of [`Self::position`]: 4.5, 2 π and 10/√3 times stroke over time squared.
    ///
    /// # Example
    /// ```
    /// use mechanics::MoveProfile;
    /// let peak = MoveProfile::Trapezoid.peak_acceleration(1200.0, 1.0); // mm, s
    /// assert!((peak - 5.4).abs() < 1e-12); // m/s²
    /// ```
    pub fn peak_acceleration(self, stroke_mm: f64, time_s: f64) -> f64 {
        let coefficient = match self {
            Self::Trapezoid => 4.5,
            Self::Cycloid => TAU,
            Self::Quintic => 10.0 / 3_f64.sqrt(),
        };
        let stroke = stroke_mm.abs() * MILLI;
        if stroke == 0.0 {
            0.0
        } else if time_s > 0.0 && stroke.is_finite() {
            coefficient * stroke / (time_s * time_s)
        } else {
            f64::INFINITY
        }
    }
}

/// How many times an acceleration acts on a part that hangs on soft cups, when it rises from nothing to its full value
/// within `rise_over_period` of the part's own period of swinging on them: 2 for a sudden start, 1 for a slow one. It
/// multiplies the inertial part of the load only ([`LoadCase::with_inertia_times`]), not the weight.
///
/// Not a number counts as sudden.
///
/// # Source
/// Undamped oscillator under a ramp: 1 + |sin(π x)|/(π x); Chopra, *Dynamics of Structures*, step force with finite rise
/// time; Biggs, 1964 (both from memory).
///
/// # Example
/// ```
/// assert_eq!(mechanics::sudden_start_amplification(0.0), 2.0);
/// assert!((mechanics::sudden_start_amplification(0.5) - (1.0 + 2.0 / std::f64::consts::PI)).abs() < 1e-12);
/// ```
pub fn sudden_start_amplification(rise_over_period: f64) -> f64 {
    let angle = PI * rise_over_period;
    if angle.is_nan() || angle < 1e-9 {
        2.0
    } else if angle.is_infinite() {
        1.0
    } else {
        1.0 + angle.sin().abs() / angle
    }
}

impl LoadCase {
    /// The same case with every inertial part of the load `times` as large: linear and angular accelerations, and the
    /// centripetal and gyroscopic parts of the turning. The weight stays. What a sudden start does to a motion, with
    /// `times` from [`sudden_start_amplification`].
    pub fn with_inertia_times(&self, times: f64) -> Self {
        // Centripetal and gyroscopic parts go with the square of the turn rate, whose scaling takes the root.
        self.with_accelerations_scaled(times)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{Body, Instant, load};
    use glam::{DMat3, DVec3};

    /// Largest bend of the position law, by differences.
    fn numerically(profile: MoveProfile) -> f64 {
        let h = 1e-4;
        let s = |u: f64| profile.position(u);
        let bend = |u: f64| ((s(u + h) - 2.0 * s(u) + s(u - h)) / (h * h)).abs();
        let inside = (1..2999).map(|i| f64::from(i) / 3000.0).filter(|u| *u > h && *u < 1.0 - h);
        inside.map(bend).fold(0.0, f64::max)
    }

    #[test]
    fn peaks_are_those_of_the_position_law() {
        for profile in MoveProfile::ALL {
            let bend = numerically(profile);
            // 600 mm in 0.5 s.
            let most = profile.peak_acceleration(600.0, 0.5);
            assert!((most - bend * 0.6 / 0.25).abs() < 1e-4 * most, "{profile:?} {most} {bend}");
        }
    }

    #[test]
    fn a_move_starts_ends_and_is_half_done_in_the_middle() {
        for profile in MoveProfile::ALL {
            assert_eq!(profile.position(-1.0), 0.0);
            assert!(profile.position(1e-6) < 1e-9 && (1.0 - profile.position(1.0)).abs() < 1e-15);
            assert!((profile.position(0.5) - 0.5).abs() < 1e-15);
            for third in [1.0 / 3.0, 2.0 / 3.0] {
                let step = profile.position(third + 1e-12) - profile.position(third - 1e-12);
                assert!(step.abs() < 1e-11, "{profile:?} jumps");
            }
        }
    }

    #[test]
    fn no_time_is_endless_and_no_stroke_is_nothing() {
        for profile in MoveProfile::ALL {
            for time in [0.0, -1.0, f64::NAN] {
                assert_eq!(profile.peak_acceleration(100.0, time), f64::INFINITY);
                assert_eq!(profile.peak_acceleration(0.0, time), 0.0);
            }
            assert_eq!(profile.peak_acceleration(f64::NAN, 1.0), f64::INFINITY);
            assert_eq!(profile.peak_acceleration(-100.0, 1.0), profile.peak_acceleration(100.0, 1.0));
        }
    }

    #[test]
    fn a_ramp_amplifies_between_one_and_two() {
        for x in [f64::NAN, -1.0, 0.0, 1e-12] {
            assert_eq!(sudden_start_amplification(x), 2.0);
        }
        assert_eq!(sudden_start_amplification(f64::INFINITY), 1.0);
        for i in 0..500 {
            let found = sudden_start_amplification(f64::from(i) * 0.01);
            assert!((1.0..=2.0).contains(&found));
        }
    }

    /// The same oscillator integrated in small steps: x'' + x = ramp up to 1.
    #[test]
    fn the_amplification_is_that_of_an_oscillator() {
        for rise in [0.05, 0.25, 0.5, 0.8, 1.5, 2.5] {
            let (h, mut x, mut v, mut most) = (1e-3, 0.0_f64, 0.0_f64, 0.0_f64);
            for step in 0..40_000 {
                let t = h * (f64::from(step) + 0.5);
                let force = (t / (TAU * rise)).min(1.0);
                // Leapfrog.
                let middle = x + 0.5 * h * v;
                v += h * (force - middle);
                x = middle + 0.5 * h * v;
                most = most.max(x);
            }
            let found = sudden_start_amplification(rise);
            assert!((most - found).abs() < 1e-3, "{rise}: {most} {found}");
        }
    }

    #[test]
    fn only_inertia_is_multiplied() {
        let body = Body { mass: 3.0, centre: DVec3::new(50.0, 20.0, -30.0), inertia: DMat3::IDENTITY * 2e5 };
        let fixed = Instant {
            gravity: DVec3::new(0.0, 0.0, -9.81),
            acceleration: DVec3::new(1.0, 2.0, 3.0),
            turn_rate: DVec3::new(0.3, 0.0, 1.0),
            turn_acceleration: DVec3::new(0.0, 4.0, 1.0),
            pivot: DVec3::new(-400.0, 0.0, 0.0),
        };
        let at = |case: LoadCase| load(&body, &case.fixed, DVec3::ZERO);
        let case = LoadCase::single(fixed);
        let weight = at(LoadCase::single(Instant::still(fixed.gravity)));
        let (once, twice) = (at(case), at(case.with_inertia_times(2.0)));
        let expected = weight.force + 2.0 * (once.force - weight.force);
        assert!((twice.force - expected).length() < 1e-9);
        let expected = weight.moment + 2.0 * (once.moment - weight.moment);
        assert!((twice.moment - expected).length() < 1e-9);
    }
}
