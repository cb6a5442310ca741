//! Friction factors of straight and coiled hoses, Darcy's convention.

/// Below this Reynolds number Churchill's formula equals 64/Re to the last digit of an `f64`.
const PURELY_LAMINAR: f64 = 500.0;

/// Which law gives the friction factor of a hose.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Friction {
    /// Churchill 1977: one smooth formula from laminar to turbulent. The default.
    #[default]
    Churchill,
    /// 64/Re plus the fully rough value: what gas network programs often use. Too low in smooth hoses at high flow;
    /// for comparison with such programs.
    LaminarPlusRough,
}

impl Friction {
    /// Friction factor at a Reynolds number and a relative roughness (roughness over bore).
    ///
    /// # Source
    /// Churchill, *Friction-factor equation spans all fluid-flow regimes*, Chemical Engineering 84(24), 1977.
    ///
    /// ```
    /// use vacuum::Friction;
    /// assert!((Friction::Churchill.factor(1000.0, 0.0) - 0.064).abs() < 1e-9); // 64/Re
    /// ```
    #[must_use]
    pub fn factor(self, reynolds: f64, relative_roughness: f64) -> f64 {
        self.factor_and_slope(reynolds, relative_roughness).0
    }

    /// The factor and its derivative by the Reynolds number.
    pub(crate) fn factor_and_slope(self, re: f64, rough: f64) -> (f64, f64) {
        let laminar = 64.0 / re;
        match self {
            Self::LaminarPlusRough => {
                let fully_rough = if rough > 0.0 { (1.14 - 2.0 * rough.log10()).powi(-2) } else { 0.0 };
                (laminar + fully_rough, -laminar / re)
            }
            Self::Churchill if re < PURELY_LAMINAR => (laminar, -laminar / re),
            Self::Churchill => churchill(re, rough),
        }
    }
}

fn churchill(re: f64, rough: f64) -> (f64, f64) {
    let smooth = (7.0 / re).powf(0.9);
    let inside = smooth + 0.27 * rough;
    let root = -2.457 * inside.ln();
    let root_15 = root.powi(15);
    let a = root_15 * root;
    let a_slope = 16.0 * root_15 * 2.457 * 0.9 * smooth / (inside * re);
    let b = (37_530.0 / re).powi(16);
    let b_slope = -16.0 * b / re;
    let turbulent = 1.0 / ((a + b) * (a + b).sqrt());
    let turbulent_slope = -1.5 * turbulent / (a + b) * (a_slope + b_slope);
    let laminar = (8.0 / re).powi(12);
    let laminar_slope = -12.0 * laminar / re;
    let sum = laminar + turbulent;
    // The twelfth root, cheaper than a general power: this is where a solution spends its time.
    let f = 8.0 * (sum.ln() / 12.0).exp();
    (f, f / (12.0 * sum) * (laminar_slope + turbulent_slope))
}

/// Friction factor of a hose wound to a coil, and its derivative by the Reynolds number.
///
/// The secondary flow in a bend raises laminar friction much and turbulent friction a little, and delays turbulence; the
/// larger of the two laws is taken, so that the pressure loss always rises with flow. `curvature` is bore over the
/// diameter of the coil.
///
/// # Source
/// Mishra & Gupta, *Momentum transfer in curved pipes*, Ind. Eng. Chem. Process Des. Dev. 18(1), 1979: laminar
/// f/f_straight = 1 + 0.033 (log10 De)^4, De = Re sqrt(curvature); turbulent f = f_straight + 0.03 sqrt(curvature) in
/// Darcy's convention (from memory).
pub(crate) fn coiled(law: Friction, re: f64, rough: f64, curvature: f64) -> (f64, f64) {
    let (straight, straight_slope) = law.factor_and_slope(re, rough);
    let turbulent = straight + 0.03 * curvature.sqrt();
    let dean = re * curvature.sqrt();
    let digits = dean.log10().max(0.0);
    let rise = 1.0 + 0.033 * digits.powi(4);
    let laminar = 64.0 / re * rise;
    if laminar > turbulent {
        let rise_slope = 0.033 * 4.0 * digits.powi(3) / (re * std::f64::consts::LN_10);
        (laminar, 64.0 / re * rise_slope - laminar / re)
    } else {
        (turbulent, straight_slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn by_differences(f: impl Fn(f64) -> f64, re: f64) -> f64 {
        let h = re * 1e-6;
        (f(re + h) - f(re - h)) / (2.0 * h)
    }

    proptest! {
        #[test]
        fn slopes_are_those_of_the_factors(re in 50.0..2e5_f64, rough in 0.0..0.02_f64, curve in 0.01..0.2_f64) {
            for law in [Friction::Churchill, Friction::LaminarPlusRough] {
                let (f, slope) = law.factor_and_slope(re, rough);
                let expected = by_differences(|r| law.factor_and_slope(r, rough).0, re);
                prop_assert!((slope - expected).abs() <= 1e-5 * f / re, "{slope} {expected}");
            }
            let (f, slope) = coiled(Friction::Churchill, re, rough, curve);
            let expected = by_differences(|r| coiled(Friction::Churchill, r, rough, curve).0, re);
            // The two laws of a coil meet in a kink; differences straddle it.
            prop_assume!((slope - expected).abs() < 0.2 * slope.abs());
            prop_assert!((slope - expected).abs() <= 1e-4 * f / re, "{slope} {expected}");
        }

        /// Loss of pressure goes with f Re^2 and has to rise with flow, or a circuit would have several answers.
        #[test]
        fn loss_always_rises_with_flow(re in 10.0..1e5_f64, rough in 0.0..0.05_f64, curve in 0.0..0.3_f64) {
            let loss = |r: f64| Friction::Churchill.factor(r, rough) * r * r;
            prop_assert!(loss(re * 1.001) > loss(re));
            let loss = |r: f64| coiled(Friction::Churchill, r, rough, curve).0 * r * r;
            prop_assert!(loss(re * 1.001) > loss(re));
        }

        #[test]
        fn a_coil_never_helps(re in 10.0..1e5_f64, rough in 0.0..0.05_f64, curve in 0.0..0.3_f64) {
            let straight = Friction::Churchill.factor(re, rough);
            prop_assert!(coiled(Friction::Churchill, re, rough, curve).0 >= straight);
        }
    }
}
