//! Losses of elbows, tees, swept branches and changes of bore, each referred to its own bore.

/// Roughness of the steel pipe on which handbook loss coefficients were measured, mm (Crane TP-410).
#[cfg(test)]
const STEEL_PIPE_ROUGHNESS_MM: f64 = 0.045_72;
/// Natural logarithms of an inch in mm and of that roughness over 3.7.
const LN_INCH: f64 = 3.2347491740244907;
const LN_ROUGH: f64 = -4.393552259705706;
/// mm in an inch: the 2-K method counts bores in inches.
const INCH: f64 = 25.4;

/// The shape of a fitting, as the air meets it on its way from cup to source.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum FittingKind {
    /// Sharp 90 degree elbow, as most push-in elbows are inside.
    Elbow90,
    /// 45 degree elbow.
    Elbow45,
    /// Straight through a 90 degree tee.
    TeeRun,
    /// Out of the branch of a 90 degree tee.
    TeeBranch,
    /// Straight through a Y whose branch is swept at 45 degrees.
    SweptRun,
    /// Out of the branch of a Y swept at 45 degrees.
    SweptBranch,
    /// Straight coupling of full bore.
    Straight,
    /// Smooth bend; radius of its centre line over the bore.
    Bend {
        /// Radius of the centre line over the bore, 1 to 20.
        radius_over_bore: f64,
    },
    /// From the fitting's bore into a larger one, without a taper.
    Expansion {
        /// The larger bore, mm.
        to_mm: f64,
    },
    /// From a larger bore into the fitting's bore, without a taper.
    Contraction {
        /// The larger bore, mm.
        from_mm: f64,
    },
    /// Out of still air into a sharp-edged bore.
    Entrance,
    /// A loss measured by the user.
    Stated {
        /// Loss coefficient at high Reynolds number.
        k: f64,
        /// Loss coefficient times Reynolds number at low Reynolds number.
        k_low: f64,
    },
}

/// Which handbook gives the loss coefficient.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LossMethod {
    /// Multiple of the fully rough friction factor of the bore, plus the low Reynolds number term of the 2-K method. The
    /// default: the 2-K method's own growth towards small bores was fitted on much larger pipe.
    #[default]
    Multiple,
    /// 2-K method throughout; at 6 mm bore twice the loss of the table. Where the two differ much, measure.
    TwoK,
    /// 3-K method throughout: as 2-K, with a weaker growth towards small bores, fitted on more data.
    ThreeK,
    /// Whichever of the three loses most in this bore: the careful choice where nothing was measured.
    MoreCareful,
}

impl LossMethod {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Multiple => "table",
            Self::TwoK => "2-K",
            Self::ThreeK => "3-K",
            Self::MoreCareful => "larger loss",
        }
    }
}

/// One fitting and the bore its loss is referred to.
///
/// Its loss in squared pressure is (m/A)² R T (K + K_low/Re), A and Re those of its own bore; the low Reynolds number
/// term keeps the loss finite and honest at a trickle. Handbook coefficients were measured on steel pipe of 15 mm and more;
/// for small push-in fittings a measured sonic conductance is better, see [`Restriction`](crate::Restriction).
///
/// # Units
/// Bore mm.
///
/// # Example
/// ```
/// use vacuum::{Fitting, FittingKind};
///
/// let elbow = Fitting::new(FittingKind::Elbow90, 6.0); // mm
/// let swept = Fitting::new(FittingKind::SweptBranch, 6.0);
/// let tee = Fitting::new(FittingKind::TeeBranch, 6.0);
/// assert!(swept.k() < tee.k() && elbow.k() > 1.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitting {
    /// Shape.
    pub kind: FittingKind,
    /// Bore that the loss is referred to, mm.
    pub bore_mm: f64,
    /// Where the coefficient comes from.
    pub method: LossMethod,
}

impl Fitting {
    /// A fitting of a shape and bore (mm), its loss by the default method.
    #[must_use]
    pub const fn new(kind: FittingKind, bore_mm: f64) -> Self {
        Self { kind, bore_mm, method: LossMethod::Multiple }
    }

    /// The fitting with its loss by another method.
    #[must_use]
    pub const fn by(mut self, method: LossMethod) -> Self {
        self.method = method;
        self
    }

    /// A fitting whose loss coefficient the user states, the same at every flow.
    #[must_use]
    pub const fn stated(k: f64, bore_mm: f64) -> Self {
        Self::new(FittingKind::Stated { k, k_low: 0.0 }, bore_mm)
    }

    /// The part of the loss coefficient that does not depend on flow.
    ///
    /// # Source
    /// Crane, *Flow of Fluids*, Technical Paper 410, p. A-29: K = n fT with n = 30 for a 90 degree elbow, 16 for 45
    /// degrees, 20 and 60 for run and branch of a tee, bends by radius (multiples partly from memory). A swept Y has
    /// the tee's multiples times the ratio of the converging-junction formulas at an equal split (the tests have them): 15
    /// and 32. Straight couplings 2 (common practice, no source). 2-K: Hooper, Chemical Engineering 88(17), 1981,
    /// K = K_low/Re + K (1 + 1/bore in inches). 3-K: Darby, *Chemical Engineering Fluid Mechanics*, 2nd ed., 2001,
    /// K = K_low/Re + K (1 + Kd/bore in inches^0.3). Expansion (1 - β²)² (Borda-Carnot), contraction 0.5 (1 - β²),
    /// entrance 0.5.
    #[must_use]
    pub fn k(&self) -> f64 {
        let beta_squared = |larger: f64| (self.bore_mm / larger).powi(2).min(1.0);
        match self.kind {
            FittingKind::Stated { k, .. } => k,
            FittingKind::Expansion { to_mm } => (1.0 - beta_squared(to_mm)).powi(2),
            FittingKind::Contraction { from_mm } => 0.5 * (1.0 - beta_squared(from_mm)),
            FittingKind::Entrance => 0.5,
            _ => self.chosen().map_or(0.0, |(_, k)| k),
        }
    }

    /// The method that gives the coefficient: the one asked for, the table where that has no such shape, the one of the
    /// largest loss for [`LossMethod::MoreCareful`]. `None` where no method is needed: changes of bore, entrances,
    /// stated losses.
    #[must_use]
    pub fn method_used(&self) -> Option<LossMethod> {
        self.chosen().map(|(method, _)| method)
    }

    fn chosen(&self) -> Option<(LossMethod, f64)> {
        let multiple = self.multiple()?;
        let inches = self.bore_mm / INCH;
        // One logarithm for all: a circuit has hundreds of fittings, and every change of it asks them anew.
        let ln_bore = self.bore_mm.ln();
        let table = (LossMethod::Multiple, multiple * fully_rough(ln_bore));
        let two = self.two_k().map(|(_, k)| (LossMethod::TwoK, k * (1.0 + inches.recip())));
        let scaled = |(k, d): (f64, f64)| k * (1.0 + d * (-0.3 * (ln_bore - LN_INCH)).exp());
        let three = self.three_k().map(|of| (LossMethod::ThreeK, scaled(of)));
        Some(match self.method {
            LossMethod::Multiple => table,
            LossMethod::TwoK => two.unwrap_or(table),
            LossMethod::ThreeK => three.unwrap_or(table),
            // The part with 1/Re is the same in all three, so the constants decide.
            LossMethod::MoreCareful => {
                two.into_iter().chain(three).fold(table, |most, one| if one.1 > most.1 { one } else { most })
            }
        })
    }

    /// The coefficient of 1/Re in the loss.
    #[must_use]
    pub fn k_low(&self) -> f64 {
        match self.kind {
            FittingKind::Stated { k_low, .. } => k_low,
            _ => self.two_k().map_or(0.0, |(low, _)| low),
        }
    }

    /// n of K = n fT; `None` for what the table does not scale by.
    fn multiple(&self) -> Option<f64> {
        match self.kind {
            FittingKind::Elbow90 => Some(30.0),
            FittingKind::Elbow45 => Some(16.0),
            FittingKind::TeeRun => Some(20.0),
            FittingKind::TeeBranch => Some(60.0),
            FittingKind::SweptRun => Some(15.0),
            FittingKind::SweptBranch => Some(32.0),
            FittingKind::Straight => Some(2.0),
            FittingKind::Bend { radius_over_bore } => Some(bend_multiple(radius_over_bore)),
            FittingKind::Expansion { .. }
            | FittingKind::Contraction { .. }
            | FittingKind::Entrance
            | FittingKind::Stated { .. } => None,
        }
    }

    /// Both constants of the 2-K method (Hooper's table, from memory), where it has the shape.
    fn two_k(&self) -> Option<(f64, f64)> {
        match self.kind {
            FittingKind::Elbow90 => Some((800.0, 0.4)),
            FittingKind::Elbow45 => Some((500.0, 0.2)),
            FittingKind::TeeRun => Some((200.0, 0.1)),
            FittingKind::TeeBranch => Some((800.0, 0.8)),
            // Half-way between the run of a tee and nothing; a swept branch turns by 45 degrees.
            FittingKind::SweptRun => Some((100.0, 0.05)),
            FittingKind::SweptBranch => Some((500.0, 0.4)),
            FittingKind::Bend { .. } => Some((800.0, 0.2)),
            _ => None,
        }
    }

    /// K and Kd of the 3-K method, where it has the shape; its coefficient of 1/Re is that of the 2-K method.
    ///
    /// Darby 2001, table 7-3 (values as in common open code): threaded elbows, tees flanged as elbow and threaded
    /// through, bends by radius.
    fn three_k(&self) -> Option<(f64, f64)> {
        match self.kind {
            FittingKind::Elbow90 => Some((0.14, 4.0)),
            FittingKind::Elbow45 => Some((0.071, 4.2)),
            FittingKind::TeeRun => Some((0.091, 4.0)),
            FittingKind::TeeBranch => Some((0.28, 4.0)),
            FittingKind::Bend { radius_over_bore } => {
                const K: [(f64, f64); 4] = [(1.0, 0.091), (2.0, 0.056), (4.0, 0.066), (6.0, 0.075)];
                Some((crate::interpolate::between(&K, radius_over_bore), 3.9))
            }
            _ => None,
        }
    }
}

/// The friction factor of clean steel pipe at full turbulence, by which handbook losses are scaled, by the natural logarithm of
/// its bore in mm.
///
/// # Source
/// Crane TP-410: fT = 0.25 / (log10(roughness / (3.7 bore)))², roughness 0.00015 ft, 0.04572 mm.
fn fully_rough(ln_bore: f64) -> f64 {
    0.25 / ((LN_ROUGH - ln_bore) / std::f64::consts::LN_10).powi(2)
}

#[cfg(test)]
mod logarithms {
    use super::*;

    #[test]
    fn constants_are_logarithms_of_what_they_say() {
        assert!((LN_INCH - INCH.ln()).abs() < 1e-15);
        assert!((LN_ROUGH - (STEEL_PIPE_ROUGHNESS_MM / 3.7).ln()).abs() < 1e-15);
        let of = |bore: f64| 0.25 / (STEEL_PIPE_ROUGHNESS_MM / (3.7 * bore)).log10().powi(2);
        assert!((fully_rough(8.0_f64.ln()) / of(8.0) - 1.0).abs() < 1e-14);
    }
}

/// Multiples of fT for smooth bends, between the radii of Crane's table (TP-410 p. A-30, from memory).
fn bend_multiple(radius_over_bore: f64) -> f64 {
    const TABLE: [(f64, f64); 11] = [
        (1.0, 20.0),
        (1.5, 14.0),
        (2.0, 12.0),
        (3.0, 12.0),
        (4.0, 14.0),
        (6.0, 17.0),
        (8.0, 24.0),
        (10.0, 30.0),
        (12.0, 34.0),
        (16.0, 42.0),
        (20.0, 50.0),
    ];
    crate::interpolate::between(&TABLE, radius_over_bore)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Loss coefficients of run and branch of a junction where two flows join, both of the joined flow in the run's bore:
    /// `branch_share` of it comes from a branch at `angle_deg` whose bore is `bore_ratio` of the run's.
    ///
    /// # Source
    /// Crane, *Flow of Fluids*, Technical Paper 410, 2009, converging tees and wyes (from memory).
    fn junction_k(angle_deg: f64, branch_share: f64, bore_ratio: f64) -> (f64, f64) {
        let q = branch_share.clamp(0.0, 1.0);
        let beta_squared = bore_ratio * bore_ratio;
        let along = match angle_deg {
            a if a < 37.5 => 1.74,
            a if a < 52.5 => 1.41,
            a if a < 75.0 => 1.0,
            _ => 0.0,
        };
        let scale = if beta_squared <= 0.35 {
            1.0
        } else if q <= 0.4 {
            0.9 * (1.0 - q)
        } else {
            0.55
        };
        let branch = scale
            * (1.0 + (q / beta_squared).powi(2) - 2.0 * (1.0 - q).powi(2) - along / beta_squared * q * q);
        let run = if angle_deg >= 75.0 {
            1.55 * q - q * q
        } else {
            1.0 - (1.0 - q).powi(2) - along / beta_squared * q * q
        };
        (run, branch)
    }

    /// The loss coefficient at a Reynolds number of the fitting's own bore.
    fn k_at(fitting: &Fitting, reynolds: f64) -> f64 {
        fitting.k() + fitting.k_low() / reynolds
    }

    #[test]
    fn a_change_of_bore_follows_momentum() {
        // Borda-Carnot, exact momentum: bore doubled, (1 - 1/4)^2.
        let wider = Fitting::new(FittingKind::Expansion { to_mm: 12.0 }, 6.0);
        assert!((wider.k() - 0.5625).abs() < 1e-12);
        let narrower = Fitting::new(FittingKind::Contraction { from_mm: 12.0 }, 6.0);
        assert!((narrower.k() - 0.375).abs() < 1e-12);
        // No change, no loss.
        assert_eq!(Fitting::new(FittingKind::Expansion { to_mm: 6.0 }, 6.0).k(), 0.0);
    }

    #[test]
    fn the_multiples_of_a_swept_branch_follow_from_the_formulas_of_a_junction() {
        let [tee, swept] = [90.0, 45.0].map(|angle| junction_k(angle, 0.5, 1.0));
        let multiple = |kind| Fitting::new(kind, 6.0).multiple().unwrap();
        let run = multiple(FittingKind::TeeRun) * swept.0 / tee.0;
        let branch = multiple(FittingKind::TeeBranch) * swept.1 / tee.1;
        assert!((multiple(FittingKind::SweptRun) - run).abs() < 0.5, "{run}");
        assert!((multiple(FittingKind::SweptBranch) - branch).abs() < 0.5, "{branch}");
    }

    #[test]
    fn swept_beats_square_and_straight_beats_both() {
        for bore in [4.0, 6.0, 10.0, 20.0] {
            let k = |kind| Fitting::new(kind, bore).k();
            assert!(k(FittingKind::Straight) < k(FittingKind::Elbow45));
            assert!(k(FittingKind::Elbow45) < k(FittingKind::Elbow90));
            assert!(k(FittingKind::SweptBranch) < k(FittingKind::TeeBranch));
            assert!(k(FittingKind::SweptRun) < k(FittingKind::TeeRun));
            assert!(k(FittingKind::Bend { radius_over_bore: 3.0 }) < k(FittingKind::Elbow90));
        }
    }

    #[test]
    fn small_bores_lose_more_by_the_2k_method() {
        let elbow = Fitting { method: LossMethod::TwoK, ..Fitting::new(FittingKind::Elbow90, 6.35) };
        // Hooper 1981: 800/Re + 0.4 (1 + 1/0.25 in); 2.8 at Re 1000.
        assert!((k_at(&elbow, 1000.0) - 2.8).abs() < 1e-12);
        assert!(elbow.k() > 1.5 * Fitting::new(FittingKind::Elbow90, 6.35).k());
    }

    #[test]
    fn three_constants_give_what_their_author_gives() {
        // Darby 2001, K = K1/Re + K (1 + Kd/D^0.3), D in inches: threaded elbow of 2 in at Re 1e4.
        let elbow = Fitting::new(FittingKind::Elbow90, 50.8).by(LossMethod::ThreeK);
        assert!((k_at(&elbow, 1e4) - (0.08 + 0.14 * (1.0 + 4.0 / 2.0_f64.powf(0.3)))).abs() < 1e-12);
        assert!((k_at(&elbow, 1e4) - 0.674_861).abs() < 1e-5, "{}", k_at(&elbow, 1e4));
        assert_eq!(elbow.method_used(), Some(LossMethod::ThreeK));
    }

    #[test]
    fn the_careful_choice_is_the_largest_of_the_three_and_says_which() {
        let kinds = [
            FittingKind::Elbow90,
            FittingKind::Elbow45,
            FittingKind::TeeRun,
            FittingKind::TeeBranch,
            FittingKind::SweptBranch,
            FittingKind::Bend { radius_over_bore: 3.0 },
        ];
        let methods = [LossMethod::Multiple, LossMethod::TwoK, LossMethod::ThreeK];
        for bore in [3.0, 6.0, 13.0, 50.0, 150.0] {
            for kind in kinds {
                let by = |method| Fitting::new(kind, bore).by(method);
                let careful = by(LossMethod::MoreCareful);
                for re in [100.0, 1e4, 1e6] {
                    let most = methods.map(|method| k_at(&by(method), re)).into_iter().fold(0.0, f64::max);
                    assert!((k_at(&careful, re) - most).abs() < 1e-12);
                }
                assert_eq!(by(careful.method_used().unwrap()).k(), careful.k());
            }
        }
        // Small: the growth of 2-K. In pipe of 150 mm the two are alike.
        let elbow = |bore| Fitting::new(FittingKind::Elbow90, bore).by(LossMethod::MoreCareful).method_used();
        assert_eq!(elbow(6.0), Some(LossMethod::TwoK));
        assert_eq!(elbow(150.0), Some(LossMethod::ThreeK));
        // No method knows these.
        assert_eq!(Fitting::new(FittingKind::Entrance, 6.0).method_used(), None);
        let straight = Fitting::new(FittingKind::Straight, 6.0).by(LossMethod::ThreeK);
        assert_eq!(straight.method_used(), Some(LossMethod::Multiple));
    }
}
