//! The standard atmosphere.

use crate::pressure::AbsolutePressure;

/// Standard acceleration of free fall, m/s² (exact by definition, 3rd CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// The standard atmosphere at sea level, 101.325 kPa (exact by definition, 10th CGPM 1954).
pub const STANDARD_ATMOSPHERE: AbsolutePressure = AbsolutePressure::from_kpa(101.325);

/// Density of air ANR, the reference atmosphere of the trade's flows: 20 °C, 100 kPa, 65 % humidity; kg/m³.
///
/// # Source
/// ISO 8778 and ISO 6358, from their published summaries (from memory).
pub const ANR_DENSITY: f64 = 1.185;

/// Density of dry air at the standard atmosphere's pressure and a temperature in °C, kg/m³: what a normal litre (DIN 1343,
/// 0 °C, 101.325 kPa) or a standard cubic foot (60 °F, 14.696 psi) is of.
pub(crate) const fn dry_density(celsius: f64) -> f64 {
    STANDARD_ATMOSPHERE.kpa() * 1e3 / (GAS_CONSTANT * (celsius + 273.15))
}

/// Temperature at sea level, K.
const SEA_LEVEL_TEMPERATURE: f64 = 288.15;
/// Fall of temperature with geopotential altitude up to 11 km, K/m.
const LAPSE: f64 = 0.0065;
/// Specific gas constant of dry air, J/(kg·K).
const GAS_CONSTANT: f64 = 287.052_87;
/// Nominal radius of the earth, m: from geometric to geopotential altitude.
const EARTH_RADIUS: f64 = 6_356_766.0;
/// Lowest and highest altitude the troposphere's formula covers, m (geopotential).
const TROPOSPHERE: (f64, f64) = (-2000.0, 11_000.0);

/// Pressure of the standard atmosphere at a geometric altitude.
///
/// # Units
/// Altitude m above sea level; result as [`AbsolutePressure`]. Altitudes outside the troposphere (-2 km to 11 km)
/// count as its nearest end: nobody runs a machine there. A NaN altitude counts as NaN.
///
/// # Source
/// ISO 2533:1975, *Standard Atmosphere*, layer of constant temperature gradient below 11 km; geometric altitude
/// turned into geopotential altitude with the standard's nominal radius of the earth (constants from memory).
///
/// ```
/// use units::standard_atmosphere;
///
/// assert_eq!(standard_atmosphere(0.0).kpa(), 101.325); // kPa
/// assert!((standard_atmosphere(2000.0).kpa() - 79.501).abs() < 0.001); // kPa at 2000 m
/// ```
#[must_use]
pub fn standard_atmosphere(altitude_m: f64) -> AbsolutePressure {
    // The conversion has a pole one earth radius below the sea; bound the altitude before it, and the result after.
    let geometric = altitude_m.clamp(2.0 * TROPOSPHERE.0, 2.0 * TROPOSPHERE.1);
    let geopotential =
        (EARTH_RADIUS * geometric / (EARTH_RADIUS + geometric)).clamp(TROPOSPHERE.0, TROPOSPHERE.1);
    let cooling = 1.0 - LAPSE * geopotential / SEA_LEVEL_TEMPERATURE;
    let exponent = STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE);
    AbsolutePressure::from_kpa(STANDARD_ATMOSPHERE.kpa() * cooling.powf(exponent))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::VacuumLevel;

    /// Handbook densities of dry air at one atmosphere, CRC Handbook of Chemistry and Physics (from memory): 1.2929 kg/m³ at
    /// 0 °C, 1.2255 at 15 °C, 1.2047 at 20 °C; a real gas, so to 5 in 10 000.
    #[test]
    fn dry_air_weighs_what_the_handbook_says() {
        for (celsius, density) in [(0.0, 1.2929), (15.0, 1.2255), (20.0, 1.2047)] {
            assert!(
                (dry_density(celsius) / density - 1.0).abs() < 6e-4,
                "{celsius} °C: {}",
                dry_density(celsius)
            );
        }
    }

    /// ISO 2533:1975 (same as ICAO and US Standard Atmosphere 1976), table of pressure against geometric altitude:
    /// 101 325, 95 461, 89 876, 84 560, 79 501, 70 121 Pa (table values from memory). The tolerance is the
    /// half-unit of the table's last figure.
    #[test]
    fn pressure_follows_iso_2533() {
        let table = [
            (0.0, 101_325.0),
            (500.0, 95_461.0),
            (1000.0, 89_876.0),
            (1500.0, 84_560.0),
            (2000.0, 79_501.0),
            (3000.0, 70_121.0),
        ];
        for (altitude, pascal) in table {
            let ours = standard_atmosphere(altitude).kpa() * 1e3;
            assert!((ours - pascal).abs() <= 0.5, "{altitude} m: {ours} Pa against {pascal} Pa");
        }
    }

    /// Same standard, pressure from the hydrostatic equation integrated numerically with the standard's constants
    /// (independent of the closed form), to 1e-6 kPa.
    #[test]
    fn pressure_follows_the_hydrostatic_equation() {
        let integrated = [
            (500.0, 95.461_285_49),
            (1000.0, 89.876_277_6),
            (1500.0, 84.559_665_93),
            (2000.0, 79.501_411_07),
            (3000.0, 70.121_144_07),
        ];
        for (altitude, kpa) in integrated {
            let ours = standard_atmosphere(altitude).kpa();
            assert!((ours - kpa).abs() < 1e-6, "{altitude} m: {ours} kPa against {kpa} kPa");
        }
    }

    /// First principles, no source needed: 70 % of the atmosphere at 1500 m is 59 191.766 Pa and lifts 116.222 76 N
    /// with a 50 mm cup, 0.834 539 of what it lifts at sea level.
    #[test]
    fn a_source_that_keeps_its_ratio_loses_with_altitude() {
        let stated = VacuumLevel::from_kpa(0.70 * STANDARD_ATMOSPHERE.kpa());
        let here = stated.at_atmosphere(standard_atmosphere(1500.0));
        assert!((here.kpa() / 59.191_766_15 - 1.0).abs() < 1e-5);
        let area_mm2 = std::f64::consts::PI * 25.0 * 25.0;
        assert!((here.kpa() * area_mm2 * 1e-3 / 116.222_761 - 1.0).abs() < 1e-5); // kPa mm² are mN
        assert!((here.kpa() / stated.kpa() / 0.834_539_017 - 1.0).abs() < 1e-5);
    }

    #[test]
    fn absurd_altitudes_stay_finite_and_fall() {
        let mut last = f64::INFINITY;
        for altitude in [f64::NEG_INFINITY, -6_356_766.0, -2000.0, 0.0, 8000.0, 12_000.0, 1e12, f64::INFINITY]
        {
            let kpa = standard_atmosphere(altitude).kpa();
            assert!(kpa.is_finite() && kpa > 0.0 && kpa <= last, "{altitude} m: {kpa} kPa");
            last = kpa;
        }
    }
}
