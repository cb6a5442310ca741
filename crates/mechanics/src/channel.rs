//! The vacuum level along a long cup on a part that leaks through its surface.

use crate::motion::MILLI;

/// The gap under a cup as a flat channel, fed from a port in its middle, into which air leaks through the part.
///
/// Per width of the channel the laminar flow between two plates h apart is -h³/(12 μ) dp/dx, p the vacuum level (how far
/// below the atmosphere) and μ the viscosity of air. What comes in through the part over a length dx is P p dx, P the
/// part's permeance: flow per area and level. Flow in balance: h³/(12 μ) p'' = P p, so p'' = n² p with n² = 12 μ P/h³; the
/// width cancels. No flow passes the lip at the end, p'(l) = 0: p(x) = p0 cosh(n (l - x))/cosh(n l), x from the port. It is
/// the equation of a straight fin with an insulated tip, n the fin's m.
///
/// This takes air as incompressible. With laminar flow of a gas at one temperature, in the gap and through the part, the
/// same equation holds for the difference of the squared absolute pressures, which gives a lower level the deeper the vacuum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// The n above, 1/m; 0 on a tight part, infinite when no gap is left.
    pub fall_per_m: f64,
    /// From the port to the end of the lip, mm.
    pub half_length_mm: f64,
}

impl Channel {
    /// The channel of a gap on a part of given permeance.
    ///
    /// A permeance of zero (or less) is a tight part; a gap of zero (or less) lets nothing through on a part that leaks.
    ///
    /// # Units
    /// `permeance_m_pa_s` m³/(s m² Pa) = m/(Pa s), `gap_mm` and `half_length_mm` mm, `viscosity_pa_s` Pa s.
    ///
    /// # Source
    /// Flow between parallel plates and balance of flow, as above; solution: Incropera & DeWitt, *Fundamentals of Heat and
    /// Mass Transfer*, fins of uniform cross-section, adiabatic tip (from memory).
    ///
    /// # Example
    /// ```
    /// use mechanics::{Channel, air_viscosity};
    /// // Cardboard-like permeance, 0.5 mm gap, 60 mm from the port to the end.
    /// let channel = Channel::of(2e-8, 0.5, 60.0, air_viscosity(293.15));
    /// assert!(channel.share_at_end() < channel.mean_share() && channel.mean_share() < 1.0);
    /// ```
    pub fn of(permeance_m_pa_s: f64, gap_mm: f64, half_length_mm: f64, viscosity_pa_s: f64) -> Self {
        let gap = gap_mm.max(0.0) * MILLI;
        let leak = 12.0 * viscosity_pa_s * permeance_m_pa_s;
        // Not `leak <= 0.0`: what is not a number does not fall.
        let fall_per_m = if leak > 0.0 { (leak / (gap * gap * gap)).sqrt() } else { 0.0 };
        Self { fall_per_m, half_length_mm }
    }

    /// n times a length from the end, never below zero and never NaN.
    fn depth(&self, length_mm: f64) -> f64 {
        if length_mm > 0.0 { self.fall_per_m * length_mm * MILLI } else { 0.0 }
    }

    /// Level at `x_mm` from the port over the level at the port; beyond the end that of the end.
    ///
    /// # Units
    /// mm; either side of the port.
    pub fn share_at(&self, x_mm: f64) -> f64 {
        let x = x_mm.abs().min(self.half_length_mm.max(0.0));
        if x == 0.0 || self.fall_per_m == 0.0 {
            return 1.0;
        }
        let (here, whole) = (self.depth(self.half_length_mm - x), self.depth(self.half_length_mm));
        // cosh a/cosh b with a <= b, without overflow.
        (-self.depth(x)).exp() * (1.0 + (-2.0 * here).exp()) / (1.0 + (-2.0 * whole).exp())
    }

    /// Level at the end of the lip over the level at the port.
    pub fn share_at_end(&self) -> f64 {
        self.share_at(self.half_length_mm)
    }

    /// Mean level along the cup over the level at the port: tanh(n l)/(n l). The vacuum force falls by as much.
    pub fn mean_share(&self) -> f64 {
        let whole = self.depth(self.half_length_mm);
        if whole < 1e-6 { 1.0 } else { whole.tanh() / whole }
    }
}

/// Dynamic viscosity of air.
///
/// # Units
/// `temperature_k` K, the result Pa s; 0 at or below 0 K.
///
/// # Source
/// ISO 2533:1975, Sutherland's formula: 1.458e-6 T^1.5/(T + 110.4).
///
/// # Example
/// ```
/// let at_15_degrees = mechanics::air_viscosity(288.15);
/// assert!((at_15_degrees - 1.7894e-5).abs() < 1e-9); // Pa s, as ISO 2533 prints it
/// ```
pub fn air_viscosity(temperature_k: f64) -> f64 {
    let t = temperature_k.max(0.0);
    1.458e-6 * t * t.sqrt() / (t + 110.4)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn the_level_solves_the_balance_of_flow(n in 0.1..60.0f64, half in 5.0..200.0f64, share in 0.1..0.9f64) {
            let channel = Channel { fall_per_m: n, half_length_mm: half };
            let (x, h) = (share * half, 0.02);
            let p = |x: f64| channel.share_at(x);
            let second = (p(x + h) - 2.0 * p(x) + p(x - h)) / (h * h) * 1e6; // 1/m²
            let expected = n * n * p(x);
            prop_assert!((second - expected).abs() < 1e-3 * expected + 1e-3, "{second} {expected}");
            // Nothing flows past the end.
            prop_assert!((p(half) - p(half - 1e-4)).abs() < 1e-6);
        }

        #[test]
        fn the_mean_is_the_mean(n in 0.0..80.0f64, half in 5.0..200.0f64) {
            let channel = Channel { fall_per_m: n, half_length_mm: half };
            let steps = 2000;
            let sum: f64 =
                (0..steps).map(|i| channel.share_at((f64::from(i) + 0.5) / f64::from(steps) * half)).sum();
            prop_assert!((sum / f64::from(steps) - channel.mean_share()).abs() < 1e-4);
        }

        #[test]
        fn a_leakier_part_or_a_thinner_gap_never_holds_more(
            permeance in 1e-10..1e-6f64, gap in 0.1..3.0f64, half in 10.0..150.0f64, more in 1.0..4.0f64,
        ) {
            let share = |permeance, gap| Channel::of(permeance, gap, half, 1.8e-5).share_at_end();
            prop_assert!(share(permeance * more, gap) <= share(permeance, gap));
            prop_assert!(share(permeance, gap / more) <= share(permeance, gap));
        }
    }

    #[test]
    fn a_tight_part_keeps_the_level_and_no_gap_keeps_none() {
        for permeance in [0.0, -1.0, f64::NAN] {
            let tight = Channel::of(permeance, 0.5, 80.0, 1.8e-5);
            assert_eq!((tight.share_at_end(), tight.mean_share()), (1.0, 1.0));
        }
        let closed = Channel::of(1e-8, 0.0, 80.0, 1.8e-5);
        assert_eq!((closed.share_at(0.0), closed.share_at_end(), closed.mean_share()), (1.0, 0.0, 0.0));
        let short = Channel::of(1e-8, 0.0, 0.0, 1.8e-5);
        assert_eq!((short.share_at_end(), short.mean_share()), (1.0, 1.0));
        let endless = Channel { fall_per_m: 1e4, half_length_mm: 1e4 };
        assert_eq!(endless.share_at_end(), 0.0);
        assert!((endless.mean_share() - 1e-5).abs() < 1e-12);
    }

    #[test]
    fn the_fall_has_the_unit_it_says() {
        // 12 · 1.8e-5 Pa s · 1e-8 m/(Pa s)/(0.001 m)³ = 2.16e-3 1/m².
        let channel = Channel::of(1e-8, 1.0, 50.0, 1.8e-5);
        assert!((channel.fall_per_m - 2.16e-3_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn colder_than_nothing_has_no_viscosity() {
        assert_eq!(air_viscosity(-5.0), 0.0);
    }
}
