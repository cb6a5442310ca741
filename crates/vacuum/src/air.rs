//! Air at the place of work, and the litre ANR.

use units::{AbsolutePressure, STANDARD_ATMOSPHERE};

/// Specific gas constant of dry air, J/(kg·K) (ISO 2533:1975).
pub const GAS_CONSTANT: f64 = 287.052_87;
/// Density of air ANR, kg/m³: every flow here is in litres of it.
pub use units::ANR_DENSITY as NORMAL_DENSITY;
/// Temperature of the normal state, K.
pub const NORMAL_TEMPERATURE: f64 = 293.15;

/// Zero of the Celsius scale, K.
const ZERO_CELSIUS: f64 = 273.15;
/// kg/s in one litre ANR per minute.
const KG_S_PER_NL_MIN: f64 = NORMAL_DENSITY * 1e-3 / 60.0;

/// The air around the tool: its pressure and its temperature.
///
/// Flow through hoses and fittings is taken as isothermal at this temperature: a long thin hose has time to warm the
/// air. Dry air throughout.
///
/// # Units
/// Temperature °C.
///
/// # Example
/// ```
/// use vacuum::Air;
///
/// let here = Air { ambient: units::standard_atmosphere(1500.0), ..Air::default() }; // m above the sea
/// assert!((here.ambient.kpa() - 84.56).abs() < 0.01); // kPa
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Pressure of the atmosphere outside.
    pub ambient: AbsolutePressure,
    /// Temperature, °C.
    pub temperature_c: f64,
}

impl Default for Air {
    /// Standard atmosphere at the sea, 20 °C.
    fn default() -> Self {
        Self { ambient: STANDARD_ATMOSPHERE, temperature_c: 20.0 }
    }
}

impl Air {
    /// Temperature, K.
    #[must_use]
    pub fn kelvin(&self) -> f64 {
        self.temperature_c + ZERO_CELSIUS
    }

    /// Dynamic viscosity, Pa·s.
    ///
    /// # Source
    /// Sutherland's formula with the constants of ISO 2533:1975 (from memory).
    #[must_use]
    pub fn viscosity_pa_s(&self) -> f64 {
        let t = self.kelvin();
        1.458e-6 * t.powf(1.5) / (t + 110.4)
    }

    /// Gas constant times temperature, J/kg.
    pub(crate) fn rt(&self) -> f64 {
        GAS_CONSTANT * self.kelvin()
    }

    /// Pressure outside, Pa.
    pub(crate) fn ambient_pa(&self) -> f64 {
        self.ambient.kpa() * 1e3
    }
}

/// Mass flow in kg/s of a flow in litres ANR per minute.
///
/// ```
/// assert!((vacuum::kg_s_from_nl_min(100.0) - 0.001975).abs() < 1e-12); // kg/s
/// ```
#[must_use]
pub fn kg_s_from_nl_min(nl_min: f64) -> f64 {
    nl_min * KG_S_PER_NL_MIN
}

/// Flow in litres ANR per minute of a mass flow in kg/s.
#[must_use]
pub fn nl_min_from_kg_s(kg_s: f64) -> f64 {
    kg_s / KG_S_PER_NL_MIN
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn viscosity_at_20_celsius_follows_iso_2533() {
        // 18.134 uPa s: Sutherland's formula of ISO 2533 evaluated apart (recomputed, table value from memory 18.1).
        assert!((Air::default().viscosity_pa_s() - 1.813_405_882e-5).abs() < 1e-13);
    }

    #[test]
    fn normal_litres_go_both_ways() {
        assert!((nl_min_from_kg_s(kg_s_from_nl_min(37.0)) - 37.0).abs() < 1e-12);
    }
}
