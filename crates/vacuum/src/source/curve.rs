//! Flow of a source against level.

use crate::air::{GAS_CONSTANT, NORMAL_DENSITY, NORMAL_TEMPERATURE};
use units::{STANDARD_ATMOSPHERE, VacuumLevel};

/// Flow of a source against level.
///
/// # Units
/// Flow in litres ANR per minute, level kPa.
///
/// # Example
/// ```
/// use units::VacuumLevel;
/// use vacuum::SourceCurve;
///
/// let curve = SourceCurve::linear(90.0, VacuumLevel::from_kpa(85.0)); // L/min ANR, kPa
/// assert!((curve.flow_nl_min(VacuumLevel::from_kpa(42.5)) - 45.0).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct SourceCurve {
    /// Flow drawn with nothing to hold back, litres ANR per minute.
    pub free_flow_nl_min: f64,
    /// Deepest level, at which nothing is drawn.
    pub ultimate: VacuumLevel,
    /// How flow falls in between.
    pub shape: CurveShape,
}

/// How the share of free flow falls from 1 to 0 while the share of the deepest level rises from 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub enum CurveShape {
    /// In a straight line: a pump of constant volume flow with an ultimate pressure.
    Linear,
    /// 1 - level^n; n from 0.5 (hollow) through 1 (straight) to 6 (full).
    Power(f64),
    /// Straight lines between points (share of level, share of flow), from (0, 1) to (1, 0).
    Points(Vec<(f64, f64)>),
}

/// Why figures are no curve of a source. The sentence follows the source's name.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CurveError {
    /// Too few points.
    #[error("its curve has {0} points; it needs at least two, the first at level 0 and the last at flow 0")]
    TooFewPoints(usize),
    /// A number is missing or infinite.
    #[error("point {0} of its curve is not a pair of numbers")]
    NotANumber(usize),
    /// Levels must rise.
    #[error(
        "the level at point {index} of its curve is {level_kpa} kPa, not deeper than the point before; sort the points by level"
    )]
    LevelNotRising {
        /// Number of the point, from 1.
        index: usize,
        /// Its level.
        level_kpa: f64,
    },
    /// Flow rises with level.
    #[error(
        "the flow of its curve rises to {flow_nl_min} L/min ANR at {level_kpa} kPa; a source draws less the deeper the level"
    )]
    FlowRises {
        /// Level of the point, kPa.
        level_kpa: f64,
        /// Its flow.
        flow_nl_min: f64,
    },
    /// The first point is not at level 0.
    #[error("its curve begins at {0} kPa; add its flow at level 0")]
    NoFreeFlow(f64),
    /// No source gets there.
    #[error("its curve goes to {0} kPa, which is the whole atmosphere or more; check the levels")]
    PastVacuum(f64),
    /// The last point still draws.
    #[error("its curve ends with a flow of {0} L/min ANR; add the level at which it draws nothing")]
    NoUltimate(f64),
    /// Free flow or deepest level is not more than 0.
    #[error("its {what} is {value}; it must be more than 0")]
    NotPositive {
        /// Which figure.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// Exponent outside its range.
    #[error("the exponent of its curve is {0}; it must lie between 0.5 and 6")]
    Exponent(f64),
}

impl SourceCurve {
    /// A straight curve from a free flow (L/min ANR) to a deepest level.
    #[must_use]
    pub const fn linear(free_flow_nl_min: f64, ultimate: VacuumLevel) -> Self {
        Self { free_flow_nl_min, ultimate, shape: CurveShape::Linear }
    }

    /// A curve 1 - level^n.
    #[must_use]
    pub const fn power(free_flow_nl_min: f64, ultimate: VacuumLevel, exponent: f64) -> Self {
        Self { free_flow_nl_min, ultimate, shape: CurveShape::Power(exponent) }
    }

    /// A curve through measured points (level in kPa, flow in L/min ANR), joined by straight lines.
    ///
    /// # Errors
    /// Fewer than two points, levels that do not rise, flow that rises with level, no point at level 0 or at flow 0.
    ///
    /// ```
    /// let measured = [(0.0, 90.0), (30.0, 50.0), (60.0, 55.0), (80.0, 0.0)];
    /// let error = vacuum::SourceCurve::from_points(&measured).unwrap_err();
    /// assert_eq!(
    ///     error.to_string(),
    ///     "the flow of its curve rises to 55 L/min ANR at 60 kPa; a source draws less the deeper the level"
    /// );
    /// ```
    pub fn from_points(points: &[(f64, f64)]) -> Result<Self, CurveError> {
        let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
            return Err(CurveError::TooFewPoints(0));
        };
        if points.len() < 2 {
            return Err(CurveError::TooFewPoints(points.len()));
        }
        if let Some(at) = points.iter().position(|p| !(p.0.is_finite() && p.1.is_finite())) {
            return Err(CurveError::NotANumber(at + 1));
        }
        if first.0 != 0.0 {
            return Err(CurveError::NoFreeFlow(first.0));
        }
        for (pair, index) in points.windows(2).zip(2..) {
            let [(level, flow), (next_level, next_flow)] = [pair[0], pair[1]];
            if next_level <= level {
                return Err(CurveError::LevelNotRising { index, level_kpa: next_level });
            }
            if next_flow > flow {
                return Err(CurveError::FlowRises { level_kpa: next_level, flow_nl_min: next_flow });
            }
        }
        if last.1 != 0.0 {
            return Err(CurveError::NoUltimate(last.1));
        }
        let shares = points.iter().map(|&(level, flow)| (level / last.0, flow / first.1)).collect();
        let curve = Self {
            free_flow_nl_min: first.1,
            ultimate: VacuumLevel::from_kpa(last.0),
            shape: CurveShape::Points(shares),
        };
        curve.check()?;
        Ok(curve)
    }

    /// A curve through points of level (kPa, at the standard atmosphere) and volume flow at the inlet (L/min at 20 °C), joined
    /// there by straight lines: what a pump or blower displaces less what leaks back in it. The air drawn goes with the
    /// pressure, so that each stretch is a hollow piece of flow ANR; it is taken in eight straight ones.
    ///
    /// # Errors
    /// As [`SourceCurve::from_points`]; a level of the whole atmosphere or more, which no source reaches.
    ///
    /// # Source
    /// Ideal gas: ρ = p/(R T).
    ///
    /// ```
    /// // Constant displacement down to a deepest level of 80 kPa draws half the air at half the pressure.
    /// let curve = vacuum::SourceCurve::from_inlet_points(&[(0.0, 100.0), (79.9, 100.0), (80.0, 0.0)]).unwrap();
    /// let half = units::VacuumLevel::from_kpa(101.325 / 2.0);
    /// assert!((curve.flow_nl_min(half) / curve.free_flow_nl_min - 0.5).abs() < 1e-9);
    /// ```
    pub fn from_inlet_points(points: &[(f64, f64)]) -> Result<Self, CurveError> {
        /// Pieces of each stretch.
        const PIECES: u32 = 8;
        let atmosphere = STANDARD_ATMOSPHERE.kpa();
        if let Some(&(level, _)) = points.iter().find(|(level, _)| *level >= atmosphere) {
            return Err(CurveError::PastVacuum(level));
        }
        for pair in points.windows(2) {
            if pair[1].1 > pair[0].1 {
                return Err(CurveError::FlowRises { level_kpa: pair[1].0, flow_nl_min: pair[1].1 });
            }
        }
        let drawn = |(level, volume): (f64, f64)| {
            let density = (atmosphere - level) * 1e3 / (GAS_CONSTANT * NORMAL_TEMPERATURE);
            (level, volume * density / NORMAL_DENSITY)
        };
        let between = |pair: &[(f64, f64)]| {
            let [(from, flow), (to, next)] = [pair[0], pair[1]];
            (1..=PIECES).map(move |i| {
                let share = f64::from(i) / f64::from(PIECES);
                // The last of a stretch is its end itself.
                if i == PIECES {
                    (to, next)
                } else {
                    (from + share * (to - from), flow + share * (next - flow))
                }
            })
        };
        let first = points.first().copied().into_iter();
        let all: Vec<(f64, f64)> = first.chain(points.windows(2).flat_map(between)).map(drawn).collect();
        Self::from_points(&all)
    }

    /// Flow at a level, litres ANR per minute; 0 beyond the deepest.
    #[must_use]
    pub fn flow_nl_min(&self, level: VacuumLevel) -> f64 {
        let u = level.kpa() / self.ultimate.kpa();
        if u >= 1.0 { 0.0 } else { self.free_flow_nl_min * self.shape.share_and_slope(u).0 }
    }

    /// Whether it is a curve of a source.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn check(&self) -> Result<(), CurveError> {
        let positive = |value: f64, what| {
            if value.is_finite() && value > 0.0 {
                Ok(())
            } else {
                Err(CurveError::NotPositive { what, value })
            }
        };
        positive(self.free_flow_nl_min, "free flow")?;
        positive(self.ultimate.kpa(), "deepest level")?;
        self.shape.check(self)
    }
}

impl CurveShape {
    fn check(&self, curve: &SourceCurve) -> Result<(), CurveError> {
        match self {
            Self::Linear => Ok(()),
            Self::Power(n) if (0.5..=6.0).contains(n) => Ok(()),
            Self::Power(n) => Err(CurveError::Exponent(*n)),
            Self::Points(points) => {
                let stated: Vec<_> = points
                    .iter()
                    .map(|p| (p.0 * curve.ultimate.kpa(), p.1 * curve.free_flow_nl_min))
                    .collect();
                check_points(points, &stated)
            }
        }
    }

    /// Share of free flow at a share of the deepest level up to 1, and its derivative. Above the atmosphere (below 0)
    /// more is drawn, in a straight line.
    pub(crate) fn share_and_slope(&self, u: f64) -> (f64, f64) {
        match self {
            _ if u < 0.0 => (1.0 - u, -1.0),
            Self::Linear => (1.0 - u, -1.0),
            Self::Power(n) => {
                // The derivative of a hollow curve has no bound at level 0.
                let from_zero = u.max(1e-4);
                (1.0 - u.powf(*n), -n * from_zero.powf(n - 1.0))
            }
            Self::Points(points) => crate::interpolate::value_and_slope(points, u),
        }
    }
}

/// Shares must run from (0, 1) to (1, 0) without rising; figures as stated are for the sentence.
fn check_points(shares: &[(f64, f64)], stated: &[(f64, f64)]) -> Result<(), CurveError> {
    if shares.len() < 2 {
        return Err(CurveError::TooFewPoints(shares.len()));
    }
    if let Some(at) = shares.iter().position(|p| !(p.0.is_finite() && p.1.is_finite())) {
        return Err(CurveError::NotANumber(at + 1));
    }
    if shares[0] != (0.0, 1.0) {
        return Err(CurveError::NoFreeFlow(stated[0].0));
    }
    for index in 1..shares.len() {
        let (level_kpa, flow_nl_min) = stated[index];
        if shares[index].0 <= shares[index - 1].0 {
            return Err(CurveError::LevelNotRising { index: index + 1, level_kpa });
        }
        if shares[index].1 > shares[index - 1].1 {
            return Err(CurveError::FlowRises { level_kpa, flow_nl_min });
        }
    }
    if shares[shares.len() - 1] != (1.0, 0.0) {
        return Err(CurveError::NoUltimate(stated[stated.len() - 1].1));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_to_be_no_curve_has_its_sentence() {
        let says = |points: &[(f64, f64)]| SourceCurve::from_points(points).unwrap_err().to_string();
        assert_eq!(
            says(&[(0.0, 5.0)]),
            "its curve has 1 points; it needs at least two, the first at level 0 and the last at flow 0"
        );
        assert_eq!(says(&[(0.0, 5.0), (f64::NAN, 0.0)]), "point 2 of its curve is not a pair of numbers");
        assert_eq!(says(&[(10.0, 5.0), (20.0, 0.0)]), "its curve begins at 10 kPa; add its flow at level 0");
        assert_eq!(
            says(&[(0.0, 5.0), (20.0, 3.0), (20.0, 0.0)]),
            "the level at point 3 of its curve is 20 kPa, not deeper than the point before; sort the points by level"
        );
        assert_eq!(
            says(&[(0.0, 5.0), (20.0, 3.0)]),
            "its curve ends with a flow of 3 L/min ANR; add the level at which it draws nothing"
        );
        assert_eq!(says(&[(0.0, 0.0), (20.0, 0.0)]), "its free flow is 0; it must be more than 0");
        let hollow = SourceCurve::power(5.0, VacuumLevel::from_kpa(80.0), 0.1);
        assert_eq!(
            hollow.check().unwrap_err().to_string(),
            "the exponent of its curve is 0.1; it must lie between 0.5 and 6"
        );
    }

    #[test]
    fn points_are_met_and_joined() {
        let curve = SourceCurve::from_points(&[(0.0, 90.0), (40.0, 60.0), (80.0, 0.0)]).unwrap();
        let flow = |kpa| curve.flow_nl_min(VacuumLevel::from_kpa(kpa));
        assert_eq!((flow(0.0), flow(20.0), flow(40.0), flow(60.0)), (90.0, 75.0, 60.0, 30.0));
        assert_eq!((flow(80.0), flow(95.0)), (0.0, 0.0));
    }

    #[test]
    fn slopes_are_those_of_the_shares() {
        let points = CurveShape::Points(vec![(0.0, 1.0), (0.4, 0.7), (1.0, 0.0)]);
        for shape in [CurveShape::Linear, CurveShape::Power(0.6), CurveShape::Power(3.0), points] {
            for u in [-0.3, 0.1, 0.35, 0.6, 0.95] {
                let h = 1e-6;
                let (high, low) = (shape.share_and_slope(u + h).0, shape.share_and_slope(u - h).0);
                let slope = shape.share_and_slope(u).1;
                assert!((slope - (high - low) / (2.0 * h)).abs() < 1e-5, "{shape:?} {u}");
            }
        }
    }
}
