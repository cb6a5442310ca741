//! Restrictions by sonic conductance and critical ratio: restrictors, valves, filters, orifices.

use crate::air::{Air, GAS_CONSTANT, NORMAL_DENSITY, NORMAL_TEMPERATURE, nl_min_from_kg_s};
use units::{AbsolutePressure, STANDARD_ATMOSPHERE, VacuumLevel};

/// m³/(s·Pa) in one dm³/(s·bar).
const SI_CONDUCTANCE: f64 = 1e-8;
/// Critical ratio usually set for a short tube or a sharp edge (common practice, no source).
pub const ORIFICE_CRITICAL_RATIO: f64 = 0.5;

/// A short restriction that may choke.
///
/// # Units
/// Conductance dm³/(s·bar) in the normal state; ratio without unit.
///
/// # Source
/// ISO 6358-1:2013 with subsonic index 0.5 (formula from memory).
///
/// # Example
/// ```
/// use units::AbsolutePressure;
/// use vacuum::{Air, Restriction};
///
/// let restrictor = Restriction { conductance_dm3_s_bar: 1.0, critical_ratio: 0.3 };
/// let flow = restrictor.flow(AbsolutePressure::from_kpa(101.325), AbsolutePressure::from_kpa(20.0), &Air::default());
/// assert!(flow.choked && (flow.kg_s - 0.001_200_701).abs() < 1e-9); // kg/s
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restriction {
    /// Sonic conductance C, dm³/(s·bar).
    pub conductance_dm3_s_bar: f64,
    /// Critical pressure ratio b: downstream over upstream pressure below which flow no longer rises. 0 to below 1.
    pub critical_ratio: f64,
}

/// What comes back through a valve that is shut and not quite tight: so much at a level behind it, the standard atmosphere in
/// front.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seep {
    /// Litres ANR per minute.
    pub nl_min: f64,
    /// The level.
    pub at: VacuumLevel,
}

impl Seep {
    /// What drives air through a valve of this critical ratio over the flow, Pa²·s/kg: gaps that seep are so fine that air creeps
    /// through them in proportion. Infinite where nothing comes back.
    pub(crate) fn slope(&self, critical_ratio: f64) -> f64 {
        let (outside, behind) = self.pressures();
        let (outside, behind) = (outside.kpa() * 1e3, behind.kpa() * 1e3);
        crate::leak::delta(critical_ratio, outside, behind).0 / crate::kg_s_from_nl_min(self.nl_min)
    }

    /// The opening that lets as much back at this level; `None` where nothing comes back.
    #[must_use]
    pub fn opening(&self) -> Option<Restriction> {
        let (outside, behind) = self.pressures();
        let one = Restriction { conductance_dm3_s_bar: 1.0, critical_ratio: ORIFICE_CRITICAL_RATIO };
        let through = one.flow(outside, behind, &Air::default()).nl_min;
        (self.nl_min > 0.0 && through > 0.0)
            .then(|| Restriction { conductance_dm3_s_bar: self.nl_min / through, ..one })
    }

    fn pressures(&self) -> (AbsolutePressure, AbsolutePressure) {
        (STANDARD_ATMOSPHERE, self.at.absolute(STANDARD_ATMOSPHERE))
    }

    pub(crate) fn fault(&self) -> Option<String> {
        let fits = self.nl_min.is_finite()
            && self.nl_min >= 0.0
            && (0.0..STANDARD_ATMOSPHERE.kpa()).contains(&self.at.kpa())
            && self.at.kpa() > 0.0;
        (!fits).then(|| {
            format!(
                "it leaks {} L/min ANR back at {} kPa; neither may be negative, and the level not 0",
                self.nl_min,
                self.at.kpa()
            )
        })
    }
}

/// Flow through a restriction between two pressures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RestrictionFlow {
    /// Mass flow, kg/s; negative when it runs backwards.
    pub kg_s: f64,
    /// The same in litres ANR per minute.
    pub nl_min: f64,
    /// The speed of sound is reached: a lower downstream pressure would draw no more.
    pub choked: bool,
}

impl Restriction {
    /// An orifice of a bore (mm) with a discharge coefficient: 0.6 to 0.85 for a sharp edge, the largest unknown of
    /// any open bore; 1 for a rounded nozzle.
    ///
    /// # Source
    /// Isentropic nozzle, any gas dynamics text (e.g. Shapiro 1953): choked mass flow = Cd A p 0.68473/sqrt(R T).
    ///
    /// ```
    /// // About 12 L/min ANR per mm² at a discharge coefficient of 1.
    /// let open = vacuum::Restriction::orifice(2.0, 1.0);
    /// assert!((open.conductance_dm3_s_bar - 0.62579).abs() < 1e-5);
    /// ```
    #[must_use]
    pub fn orifice(bore_mm: f64, discharge: f64) -> Self {
        Self::opening(std::f64::consts::FRAC_PI_4 * bore_mm * bore_mm, discharge)
    }

    /// An opening of an area (mm²) with a discharge coefficient, as [`Restriction::orifice`].
    #[must_use]
    pub fn opening(area_mm2: f64, discharge: f64) -> Self {
        let gamma: f64 = 1.4;
        let critical = (gamma * (2.0 / (gamma + 1.0)).powf((gamma + 1.0) / (gamma - 1.0))).sqrt();
        let si = discharge * area_mm2 * 1e-6 * critical
            / ((GAS_CONSTANT * NORMAL_TEMPERATURE).sqrt() * NORMAL_DENSITY);
        Self { conductance_dm3_s_bar: si / SI_CONDUCTANCE, critical_ratio: ORIFICE_CRITICAL_RATIO }
    }

    /// The bore (mm) of the orifice with this conductance at a discharge coefficient.
    #[must_use]
    pub fn bore_mm(&self, discharge: f64) -> f64 {
        (self.conductance_dm3_s_bar / Self::orifice(1.0, discharge).conductance_dm3_s_bar).sqrt()
    }

    /// The same restriction with a share of its conductance left, as when a filter clogs.
    #[must_use]
    pub fn with_share(self, share: f64) -> Self {
        Self { conductance_dm3_s_bar: self.conductance_dm3_s_bar * share, ..self }
    }

    /// Flow from one pressure to another.
    #[must_use]
    pub fn flow(&self, from: AbsolutePressure, to: AbsolutePressure, air: &Air) -> RestrictionFlow {
        let (up, down, sign) = if from.kpa() >= to.kpa() { (from, to, 1.0) } else { (to, from, -1.0) };
        let (up, down) = (up.kpa() * 1e3, down.kpa() * 1e3);
        let excess = (down - self.critical_ratio * up).max(0.0) / (1.0 - self.critical_ratio);
        let kg_s = sign * self.mass_conductance(air) * (up * up - excess * excess).max(0.0).sqrt();
        RestrictionFlow {
            kg_s,
            nl_min: nl_min_from_kg_s(kg_s),
            choked: up > 0.0 && down <= self.critical_ratio * up,
        }
    }

    /// C rho0 sqrt(T0/T): choked mass flow per upstream pressure, kg/(s·Pa).
    pub(crate) fn mass_conductance(&self, air: &Air) -> f64 {
        self.conductance_dm3_s_bar
            * SI_CONDUCTANCE
            * NORMAL_DENSITY
            * (NORMAL_TEMPERATURE / air.kelvin()).sqrt()
    }

    /// What is wrong with the figures, if anything.
    pub(crate) fn fault(&self) -> Option<String> {
        let Self { conductance_dm3_s_bar: c, critical_ratio: b } = *self;
        if !(c.is_finite() && c > 0.0) {
            Some(format!("its conductance is {c} dm³/(s·bar); it must be more than 0"))
        } else if !(0.0..=0.95).contains(&b) {
            Some(format!("its critical ratio is {b}; it must lie between 0 and 0.95"))
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn flow_is_odd_continuous_and_monotone(
            c in 0.01..50.0_f64, b in 0.0..0.9_f64, p in 5.0..110.0_f64, q in 5.0..110.0_f64,
        ) {
            let law = Restriction { conductance_dm3_s_bar: c, critical_ratio: b };
            let flow = |p: f64, q: f64| {
                law.flow(AbsolutePressure::from_kpa(p), AbsolutePressure::from_kpa(q), &Air::default()).kg_s
            };
            prop_assert_eq!(flow(p, q), -flow(q, p));
            prop_assert!(flow(p * 1.001, q) >= flow(p, q) - 1e-18);
            prop_assert!(flow(p, q * 1.001) <= flow(p, q) + 1e-18);
        }

        #[test]
        fn bore_and_conductance_go_both_ways(bore in 0.2..25.0_f64, discharge in 0.5..1.0_f64) {
            prop_assert!((Restriction::orifice(bore, discharge).bore_mm(discharge) / bore - 1.0).abs() < 1e-12);
        }
    }
}
