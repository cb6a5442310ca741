//! What makes the vacuum: ejectors, pumps and blowers by their curves.

mod curve;
mod exhaust;

pub use curve::{CurveError, CurveShape, SourceCurve};
pub use exhaust::{Exhaust, ExhaustTakes};

use crate::air::Air;
use crate::restriction::Restriction;
use std::fmt;
use units::{AbsolutePressure, STANDARD_ATMOSPHERE, VacuumLevel};

/// One row of an ejector's table: what it does at one feed pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedRow {
    /// Feed pressure above the atmosphere, measured at the ejector while it runs, kPa.
    pub feed_kpa: f64,
    /// Flow drawn with nothing to hold back, litres ANR per minute.
    pub free_flow_nl_min: f64,
    /// Deepest level, kPa. It usually peaks at some feed pressure and falls again above.
    pub ultimate_kpa: f64,
    /// Compressed air used, litres ANR per minute.
    pub consumption_nl_min: f64,
}

/// An ejector: rows by feed pressure, and one shape of curve for all of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Ejector {
    /// Shape of flow against level, the same at every feed pressure.
    pub shape: CurveShape,
    /// At least one row, feed pressures rising.
    pub rows: Vec<FeedRow>,
}

/// What an ejector's rows give at one feed pressure, between the rows by straight lines.
#[derive(Debug, Clone, PartialEq)]
pub struct AtFeed {
    /// Flow against level.
    pub curve: SourceCurve,
    /// Compressed air used, litres ANR per minute.
    pub consumption_nl_min: f64,
}

/// Why a source cannot be used as stated. The sentence follows the source's name.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SourceError {
    /// Its curve is not one.
    #[error(transparent)]
    Curve(#[from] CurveError),
    /// No rows, or rows out of order.
    #[error(
        "its table of feed pressures needs at least one row, each with a higher feed pressure than the row before"
    )]
    Rows,
    /// A feed pressure outside the table.
    #[error(
        "its feed pressure is {feed_kpa} kPa, but its table covers {from_kpa} to {to_kpa} kPa; set a pressure within, or add a row"
    )]
    FeedOutside {
        /// The pressure asked for.
        feed_kpa: f64,
        /// Lowest of the table.
        from_kpa: f64,
        /// Highest of the table.
        to_kpa: f64,
    },
    /// It never gets as deep as is needed.
    #[error(
        "it reaches {} kPa at most here, but {} kPa are needed; use a source with a deeper level or larger cups",
        units::figure(*reaches_kpa, 1),
        units::figure(*needed_kpa, 1)
    )]
    TooShallow {
        /// The level needed.
        needed_kpa: f64,
        /// The deepest it gets.
        reaches_kpa: f64,
    },
    /// A figure of it is not usable.
    #[error("{0}")]
    Figure(String),
}

impl Ejector {
    /// What the ejector does at a feed pressure (kPa above the atmosphere).
    ///
    /// # Errors
    /// A table without rows or out of order, a feed pressure outside it, a curve that is none.
    pub fn at_feed(&self, feed_kpa: f64) -> Result<AtFeed, SourceError> {
        let sorted = self.rows.windows(2).all(|pair| pair[0].feed_kpa < pair[1].feed_kpa);
        let (Some(first), Some(last), true) = (self.rows.first(), self.rows.last(), sorted) else {
            return Err(SourceError::Rows);
        };
        if !(first.feed_kpa..=last.feed_kpa).contains(&feed_kpa) {
            let (from_kpa, to_kpa) = (first.feed_kpa, last.feed_kpa);
            return Err(SourceError::FeedOutside { feed_kpa, from_kpa, to_kpa });
        }
        let column = |pick: fn(&FeedRow) -> f64| {
            let table: Vec<_> = self.rows.iter().map(|row| (row.feed_kpa, pick(row))).collect();
            crate::interpolate::between(&table, feed_kpa)
        };
        let curve = SourceCurve {
            free_flow_nl_min: column(|row| row.free_flow_nl_min),
            ultimate: VacuumLevel::from_kpa(column(|row| row.ultimate_kpa)),
            shape: self.shape.clone(),
        };
        curve.check()?;
        let consumption_nl_min = column(|row| row.consumption_nl_min);
        if !(consumption_nl_min.is_finite() && consumption_nl_min >= 0.0) {
            return Err(SourceError::Figure(format!(
                "its air consumption is {consumption_nl_min} L/min ANR; it must not be negative"
            )));
        }
        Ok(AtFeed { curve, consumption_nl_min })
    }
}

/// What kind of source it is, and what it takes.
#[derive(Debug, Clone, PartialEq)]
pub enum SourceKind {
    /// Driven by compressed air.
    Ejector {
        /// Its table.
        ejector: Ejector,
        /// Feed pressure above the atmosphere, at the ejector, kPa.
        feed_kpa: f64,
    },
    /// A pump driven by a motor.
    Pump {
        /// Flow against level.
        curve: SourceCurve,
        /// Electric power, W.
        power_w: f64,
    },
    /// A blower driven by a motor: much flow, little level.
    Blower {
        /// Flow against level.
        curve: SourceCurve,
        /// Electric power, W.
        power_w: f64,
    },
}

/// A source at a node of a circuit.
///
/// Its curve holds at the atmosphere of `rated_at`. Elsewhere it keeps its pressure ratio and the volume it draws: level
/// and flow ANR both go with the atmosphere outside. Past its deepest level it draws nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Kind, curve and drive.
    pub kind: SourceKind,
    /// The atmosphere at which its figures were measured.
    pub rated_at: AbsolutePressure,
    /// Whether it runs.
    pub running: bool,
    /// The way back through it while it stands still; `None` where a check valve shuts it.
    pub way_back: Option<Restriction>,
    /// What stands behind an ejector; `None` where it blows out freely, as its curve was measured.
    pub exhaust: Option<Exhaust>,
}

/// A source's curve brought to the air of a circuit, SI.
#[derive(Debug, Clone)]
pub(crate) struct SourceLaw {
    /// kg/s at no level.
    pub free: f64,
    /// Level at which it draws nothing, Pa.
    pub ultimate: f64,
    /// Pressure there, Pa.
    pub floor: f64,
    ambient: f64,
    shape: CurveShape,
}

/// Slope below the deepest level, as a share of the mean slope above it: without it every deeper pressure of a tight
/// circuit would be an answer.
const SLOPE_BELOW: f64 = 1e-9;

impl SourceLaw {
    /// Flow drawn at a pressure in Pa, kg/s, and its derivative by pressure.
    pub(crate) fn drawn(&self, p: f64) -> (f64, f64) {
        let u = (self.ambient - p) / self.ultimate;
        let (share, slope) =
            if u > 1.0 { (-SLOPE_BELOW * (u - 1.0), -SLOPE_BELOW) } else { self.shape.share_and_slope(u) };
        (self.free * share, -self.free * slope.min(-SLOPE_BELOW) / self.ultimate)
    }
}

impl Source {
    /// A running source of a kind, rated at the standard atmosphere, with a check valve.
    #[must_use]
    pub const fn new(kind: SourceKind) -> Self {
        Self { kind, rated_at: STANDARD_ATMOSPHERE, running: true, way_back: None, exhaust: None }
    }

    /// An ejector fed with a pressure (kPa above the atmosphere).
    #[must_use]
    pub const fn ejector(ejector: Ejector, feed_kpa: f64) -> Self {
        Self::new(SourceKind::Ejector { ejector, feed_kpa })
    }

    /// A pump of a curve and electric power (W).
    #[must_use]
    pub const fn pump(curve: SourceCurve, power_w: f64) -> Self {
        Self::new(SourceKind::Pump { curve, power_w })
    }

    /// A blower of a curve and electric power (W).
    #[must_use]
    pub const fn blower(curve: SourceCurve, power_w: f64) -> Self {
        Self::new(SourceKind::Blower { curve, power_w })
    }

    /// The source standing still.
    #[must_use]
    pub fn stopped(self) -> Self {
        Self { running: false, ..self }
    }

    /// The source without a check valve: standing still, it lets air back through a restriction.
    #[must_use]
    pub fn with_way_back(self, through: Restriction) -> Self {
        Self { way_back: Some(through), ..self }
    }

    /// Its curve at the atmosphere it is rated at.
    ///
    /// # Errors
    /// As [`Ejector::at_feed`]; for a pump or blower, a curve that is none.
    pub fn curve(&self) -> Result<SourceCurve, SourceError> {
        match &self.kind {
            SourceKind::Ejector { ejector, feed_kpa } => Ok(ejector.at_feed(*feed_kpa)?.curve),
            SourceKind::Pump { curve, .. } | SourceKind::Blower { curve, .. } => {
                curve.check()?;
                Ok(curve.clone())
            }
        }
    }

    /// Compressed air it uses while it runs in this air, litres ANR per minute; 0 for a pump or blower. Its nozzle is choked,
    /// so that it passes air in proportion to the absolute feed pressure: the same feed above a thinner atmosphere is less.
    ///
    /// # Errors
    /// As [`Source::curve`].
    pub fn consumption_nl_min(&self, air: &Air) -> Result<f64, SourceError> {
        match &self.kind {
            SourceKind::Ejector { ejector, feed_kpa } => {
                let thinner = (feed_kpa + air.ambient.kpa()) / (feed_kpa + self.rated_at.kpa());
                Ok(ejector.at_feed(*feed_kpa)?.consumption_nl_min * thinner)
            }
            SourceKind::Pump { .. } | SourceKind::Blower { .. } => Ok(0.0),
        }
    }

    /// Electric power of its own motor while it runs, W; 0 for an ejector.
    #[must_use]
    pub const fn power_w(&self) -> f64 {
        match self.kind {
            SourceKind::Ejector { .. } => 0.0,
            SourceKind::Pump { power_w, .. } | SourceKind::Blower { power_w, .. } => power_w,
        }
    }

    /// The deepest level it reaches in this air, with nothing leaking.
    ///
    /// # Errors
    /// As [`Source::curve`].
    pub fn deepest(&self, air: &Air) -> Result<VacuumLevel, SourceError> {
        Ok(VacuumLevel::from_kpa(self.law(air)?.ultimate * 1e-3))
    }

    /// What stands behind it and what that takes; `None` where it blows out freely.
    ///
    /// # Errors
    /// As [`Source::curve`].
    pub fn exhaust_takes(&self, air: &Air) -> Result<Option<ExhaustTakes>, SourceError> {
        let (used, drawn) = (self.consumption_nl_min(air)?, self.curve()?.free_flow_nl_min);
        let exhaust = self.exhaust.as_ref().filter(|_| used > 0.0);
        Ok(exhaust.map(|exhaust| exhaust.takes(used, drawn * self.thinning(air), air)))
    }

    /// Whether it can reach a level in this air at all.
    ///
    /// # Errors
    /// [`SourceError::TooShallow`] if not; otherwise as [`Source::curve`].
    pub fn reaches(&self, needed: VacuumLevel, air: &Air) -> Result<(), SourceError> {
        let deepest = self.deepest(air)?;
        if deepest.kpa() < needed.kpa() {
            return Err(SourceError::TooShallow { needed_kpa: needed.kpa(), reaches_kpa: deepest.kpa() });
        }
        Ok(())
    }

    /// Flow it draws at a level in this air, litres ANR per minute.
    ///
    /// # Errors
    /// As [`Source::curve`].
    pub fn flow_nl_min(&self, level: VacuumLevel, air: &Air) -> Result<f64, SourceError> {
        let law = self.law(air)?;
        Ok(crate::nl_min_from_kg_s(law.drawn(level.absolute(air.ambient).kpa() * 1e3).0).max(0.0))
    }

    /// Atmosphere here over that of the rating.
    fn thinning(&self, air: &Air) -> f64 {
        air.ambient.kpa() / self.rated_at.kpa()
    }

    pub(crate) fn law(&self, air: &Air) -> Result<SourceLaw, SourceError> {
        let curve = self.curve()?;
        let thinning = self.thinning(air);
        let used = self.consumption_nl_min(air)?;
        let exhaust = self.exhaust.as_ref().filter(|_| used > 0.0);
        let drawn = curve.free_flow_nl_min * thinning;
        let (flow, level) = exhaust.map_or((1.0, 1.0), |exhaust| exhaust.left(used, drawn, air));
        let ultimate = curve.ultimate.kpa() * 1e3 * thinning * level;
        Ok(SourceLaw {
            free: crate::kg_s_from_nl_min(drawn) * flow,
            ultimate,
            floor: air.ambient_pa() - ultimate,
            ambient: air.ambient_pa(),
            shape: curve.shape,
        })
    }

    /// What is wrong with it, if anything.
    pub(crate) fn fault(&self, air: &Air) -> Option<String> {
        if !(self.rated_at.kpa().is_finite() && self.rated_at.kpa() > 0.0) {
            return Some(format!("it is rated at an atmosphere of {} kPa", self.rated_at.kpa()));
        }
        if !(self.power_w().is_finite() && self.power_w() >= 0.0) {
            return Some(format!("its power is {} W; it must not be negative", self.power_w()));
        }
        if let Some(fault) = self.way_back.and_then(|restriction| restriction.fault()) {
            return Some(format!("the way back through it: {fault}"));
        }
        if let Some(fault) = self.exhaust.as_ref().and_then(Exhaust::fault) {
            return Some(fault);
        }
        match self.law(air) {
            Err(error) => Some(error.to_string()),
            // Equality is a source without an ultimate pressure: a constant volume flow down to nothing.
            Ok(law) if law.floor < -1e-6 => Some(format!(
                "its deepest level is {} kPa, more than the atmosphere of {} kPa",
                units::figure(law.ultimate * 1e-3, 1),
                units::figure(law.ambient * 1e-3, 1)
            )),
            Ok(_) => None,
        }
    }
}

impl fmt::Display for SourceKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Ejector { .. } => "ejector",
            Self::Pump { .. } => "pump",
            Self::Blower { .. } => "blower",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ejector() -> Ejector {
        let row = |feed_kpa, free_flow_nl_min, ultimate_kpa, consumption_nl_min| FeedRow {
            feed_kpa,
            free_flow_nl_min,
            ultimate_kpa,
            consumption_nl_min,
        };
        let rows =
            vec![row(300.0, 40.0, 60.0, 50.0), row(400.0, 60.0, 80.0, 62.5), row(500.0, 70.0, 78.0, 75.0)];
        Ejector { shape: CurveShape::Linear, rows }
    }

    #[test]
    fn rows_join_by_straight_lines() {
        let at = ejector().at_feed(350.0).unwrap();
        assert_eq!(at.curve.free_flow_nl_min, 50.0);
        assert_eq!(at.curve.ultimate.kpa(), 70.0);
        assert_eq!(at.consumption_nl_min, 56.25);
    }

    #[test]
    fn a_feed_pressure_outside_the_table_is_refused() {
        let error = ejector().at_feed(600.0).unwrap_err();
        assert_eq!(
            error.to_string(),
            "its feed pressure is 600 kPa, but its table covers 300 to 500 kPa; set a pressure within, or add a row"
        );
        let mut mixed = ejector();
        mixed.rows.swap(0, 1);
        assert_eq!(mixed.at_feed(400.0), Err(SourceError::Rows));
    }

    fn at_1500_m() -> Air {
        Air { ambient: units::standard_atmosphere(1500.0), ..Air::default() }
    }

    #[test]
    fn a_source_keeps_its_pressure_ratio_with_altitude() {
        let source = Source::ejector(ejector(), 400.0);
        let (sea, high) = (Air::default(), at_1500_m());
        let ratio = |air: &Air| source.deepest(air).unwrap().kpa() / air.ambient.kpa();
        assert!((ratio(&sea) - ratio(&high)).abs() < 1e-12);
        let free = |air: &Air| source.flow_nl_min(VacuumLevel::from_kpa(0.0), air).unwrap();
        assert!(free(&high) < free(&sea));
    }

    #[test]
    fn a_level_out_of_reach_is_said_in_a_sentence() {
        let error = Source::ejector(ejector(), 300.0).reaches(VacuumLevel::from_kpa(70.0), &Air::default());
        assert_eq!(
            error.unwrap_err().to_string(),
            "it reaches 60.0 kPa at most here, but 70.0 kPa are needed; use a source with a deeper level or \
            larger cups"
        );
    }

    /// 400 kPa above 101.325 kPa here, above 84.556 kPa at 1500 m (ISO 2533:1975, from memory).
    #[test]
    fn an_ejector_uses_less_air_where_the_atmosphere_is_thinner() {
        let source = Source::ejector(ejector(), 400.0);
        let air = |air: &Air| source.consumption_nl_min(air).unwrap();
        assert_eq!(air(&Air::default()), 62.5);
        assert!((air(&at_1500_m()) / 62.5 - 484.556 / 501.325).abs() < 1e-5);
    }
}
