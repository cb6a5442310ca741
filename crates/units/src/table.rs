//! The units a person may type, with the size of each in base units.
//!
//! # Source
//! The inch (0.0254 m), foot, pound (0.453 592 37 kg) and standard gravity (9.806 65 m/s²) are exact by
//! definition, so everything derived from them is computed here and not copied: NIST Special Publication 811,
//! A. Thompson and B. N. Taylor, 2008 edition, appendix B.8 (from memory). Prefixes and derived SI units: ISO 80000-1
//! (from memory). Inch and millimetre of mercury are the *conventional* ones, density 13 595.1 kg/m³ at standard
//! gravity (same appendix).

use crate::Quantity;
use crate::atmosphere::{ANR_DENSITY, STANDARD_ATMOSPHERE, STANDARD_GRAVITY, dry_density};

/// One unit: base value = (number - `zero`) × `scale`.
#[derive(Debug)]
pub(crate) struct Unit {
    /// The name shown, then the other spellings. `²` and `³` also match `2`, `^2`; `·` also matches `*`, `.`, `-`,
    /// a blank and nothing; upper and lower case are interchangeable.
    pub(crate) names: &'static [&'static str],
    /// Base units in one of this unit.
    pub(crate) scale: f64,
    /// Reading of this unit where the base unit reads zero; other than 0 for °F and K only.
    pub(crate) zero: f64,
}

const fn unit(names: &'static [&'static str], scale: f64) -> Unit {
    Unit { names, scale, zero: 0.0 }
}

/// Base units in `number` of a unit of size `scale`, free of the noise that the product brings: 3/8 of 25.4 is
/// 9.525 and not 9.524999999999999, so that a file keeps what a person typed.
pub(crate) fn scaled(number: f64, scale: f64) -> f64 {
    if scale == 1.0 { number } else { tidied(number * scale) }
}

/// How far a reading is above the zero of its scale, with no more decimals than the reading can have: 32.018 less 32 is 0.018.
pub(crate) fn above(reading: f64, zero: f64) -> f64 {
    let by = reading - zero;
    if by.abs() < 1e3 { (by * 1e12).round() / 1e12 } else { by }
}

/// The neighbour with at most 15 significant figures, if it is within two rounding steps; else the value itself: for a figure
/// that is only kept in another size (0.0754 kg as 75.4 g), so that it reads as it was typed.
///
/// ```
/// assert_eq!(units::tidied(0.0754 * 1000.0), 75.4);
/// ```
pub fn tidied(value: f64) -> f64 {
    match format!("{value:.14e}").parse::<f64>() {
        Ok(tidy) if (tidy - value).abs() <= 2.0 * f64::EPSILON * value.abs() => tidy,
        _ => value,
    }
}

/// mm in an inch.
pub(crate) const INCH: f64 = 25.4;
/// mm in a foot.
pub(crate) const FOOT: f64 = 12.0 * INCH;
/// kg in a pound.
pub(crate) const POUND: f64 = 0.453_592_37;
/// N in a pound-force.
pub(crate) const POUND_FORCE: f64 = POUND * STANDARD_GRAVITY;
/// kPa in a pound-force per square inch: N/mm² are MPa.
pub(crate) const PSI: f64 = POUND_FORCE / (INCH * INCH) * 1e3;
/// kPa in a conventional millimetre of mercury.
pub(crate) const MILLIMETRE_MERCURY: f64 = 13_595.1 * STANDARD_GRAVITY * 1e-6;
/// kPa in a conventional inch of mercury.
pub(crate) const INCH_MERCURY: f64 = INCH * MILLIMETRE_MERCURY;
/// N·m in a pound-force inch.
pub(crate) const POUND_FORCE_INCH: f64 = POUND_FORCE * INCH * 1e-3;
/// m/s² in a foot per second squared.
const FOOT_PER_SECOND_SQUARED: f64 = FOOT * 1e-3;
/// Litres in a cubic foot: a litre is a cubic decimetre.
pub(crate) const CUBIC_FOOT: f64 = 0.3048 * 0.3048 * 0.3048 * 1e3;
/// Litres ANR with the mass of a normal litre.
pub(crate) const NORMAL_LITRE: f64 = dry_density(0.0) / ANR_DENSITY;
/// Litres ANR with the mass of a standard cubic foot.
pub(crate) const STANDARD_CUBIC_FOOT: f64 = CUBIC_FOOT * dry_density((60.0 - 32.0) / 1.8) / ANR_DENSITY;
/// kg/m³ in a pound per cubic foot.
pub(crate) const POUND_PER_CUBIC_FOOT: f64 = POUND / (0.3048 * 0.3048 * 0.3048);
/// kg/m² in a pound per square foot.
pub(crate) const POUND_PER_SQUARE_FOOT: f64 = POUND / (0.3048 * 0.3048);
/// kg/m in a pound per foot.
pub(crate) const POUND_PER_FOOT: f64 = POUND / 0.3048;
/// kg·m² in a pound foot squared.
pub(crate) const POUND_FOOT_SQUARED: f64 = POUND * 0.3048 * 0.3048;
/// Base units of a sonic conductance in one scfm/psi: a flow of one standard cubic foot a minute, as litres ANR a second, for each
/// pound-force per square inch absolute in front of it. Both states of the air are exact, so that nothing is rounded here;
/// C of ISO 6358 is told for air ANR (ISO 8778), a standard cubic foot as under [`FLOW`].
pub(crate) const SCFM_PER_PSI: f64 = STANDARD_CUBIC_FOOT / 60.0 * (100.0 / PSI);
/// Something per m³ ANR in one per thousand standard cubic feet.
pub(crate) const PER_THOUSAND_SCF: f64 = 1.0 / STANDARD_CUBIC_FOOT;
/// N/mm² in a thousand pound-force per square inch.
pub(crate) const KSI: f64 = PSI;
/// µm in a thousandth of an inch.
pub(crate) const MIL: f64 = INCH;
/// mm/m in an inch per foot.
pub(crate) const INCH_PER_FOOT: f64 = 1e3 / 12.0;
/// g in an ounce.
pub(crate) const OUNCE: f64 = POUND / 16.0 * 1e3;
/// g/m³ in a grain per cubic foot; 7000 grains are a pound.
pub(crate) const GRAIN_PER_CUBIC_FOOT: f64 = POUND_PER_CUBIC_FOOT / 7000.0 * 1e3;
/// µm/(Pa·s) in a cubic foot a minute through a square foot for each pound-force per square inch.
pub(crate) const CFM_PER_SQUARE_FOOT_PSI: f64 = FOOT * 1e3 / 60.0 / (PSI * 1e3);
/// Degrees in a radian.
const RADIAN: f64 = 180.0 / std::f64::consts::PI;

const LENGTH: &[Unit] = &[
    unit(&["mm", "millimetre", "millimetres", "millimeter", "millimeters"], 1.0),
    unit(&["cm", "centimetre", "centimetres", "centimeter", "centimeters"], 10.0),
    unit(&["m", "metre", "metres", "meter", "meters"], 1e3),
    unit(&["in", "\"", "''", "inch", "inches"], INCH),
    unit(&["ft", "'", "foot", "feet"], FOOT),
];

const AREA: &[Unit] = &[
    unit(&["mm²", "sq mm"], 1.0),
    unit(&["cm²", "sq cm"], 1e2),
    unit(&["m²", "sq m"], 1e6),
    unit(&["in²", "sq in", "\"²"], INCH * INCH),
    unit(&["ft²", "sq ft"], FOOT * FOOT),
];

const VACUUM_LEVEL: &[Unit] = &[
    unit(&["kPa", "kPa vac"], 1.0),
    unit(&["mbar", "mbar vac"], 0.1),
    unit(&["bar", "bar vac"], 100.0),
    unit(&["inHg", "in Hg", "\"Hg", "inHg vac", "in Hg vac"], INCH_MERCURY),
    unit(&["psi", "lbf/in²", "psi vac"], PSI),
    // Dial gauges and pumps are marked in per cent of the standard atmosphere, whatever the weather.
    unit(&["%", "% vac"], STANDARD_ATMOSPHERE.kpa() / 100.0),
    unit(&["Pa"], 1e-3),
    unit(&["hPa"], 0.1),
    unit(&["MPa"], 1e3),
    unit(&["mmHg", "mm Hg"], MILLIMETRE_MERCURY),
    unit(&["torr"], STANDARD_ATMOSPHERE.kpa() / 760.0),
    unit(&["atm"], STANDARD_ATMOSPHERE.kpa()),
];

const ABSOLUTE_PRESSURE: &[Unit] = &[
    unit(&["kPa", "kPa abs", "kPa(a)", "kPa a"], 1.0),
    unit(&["mbar", "mbar abs", "mbar(a)", "mbar a"], 0.1),
    unit(&["bar", "bar abs", "bar(a)", "bara", "bar a"], 100.0),
    unit(&["inHg", "inHg abs", "in Hg", "in Hg abs", "\"Hg"], INCH_MERCURY),
    unit(&["psi", "psi abs", "psia", "psi(a)", "lbf/in²"], PSI),
    unit(&["Pa", "Pa abs"], 1e-3),
    unit(&["hPa", "hPa abs"], 0.1),
    unit(&["MPa", "MPa abs"], 1e3),
    unit(&["mmHg", "mm Hg", "mmHg abs", "mm Hg abs"], MILLIMETRE_MERCURY),
    unit(&["torr", "torr abs"], STANDARD_ATMOSPHERE.kpa() / 760.0),
    unit(&["atm"], STANDARD_ATMOSPHERE.kpa()),
];

const FEED_PRESSURE: &[Unit] = &[
    unit(&["kPa", "kPa g"], 1.0),
    unit(&["bar", "bar(g)", "barg", "bar g"], 100.0),
    unit(&["psi", "psig", "psi(g)", "psi g", "lbf/in²"], PSI),
    unit(&["MPa"], 1e3),
    unit(&["mbar"], 0.1),
    unit(&["hPa"], 0.1),
    unit(&["Pa"], 1e-3),
];

const FORCE: &[Unit] = &[
    unit(&["N", "newton", "newtons"], 1.0),
    unit(&["kN"], 1e3),
    unit(&["lbf"], POUND_FORCE),
    unit(&["kgf", "kp"], STANDARD_GRAVITY),
    unit(&["ozf"], POUND_FORCE / 16.0),
];

const MOMENT: &[Unit] = &[
    unit(&["N·m"], 1.0),
    unit(&["N·mm"], 1e-3),
    unit(&["N·cm"], 1e-2),
    unit(&["kN·m"], 1e3),
    unit(&["lbf·in", "in·lbf", "lb·in", "in·lb"], POUND_FORCE_INCH),
    unit(&["lbf·ft", "ft·lbf", "lb·ft", "ft·lb"], POUND_FORCE_INCH * 12.0),
];

const MASS: &[Unit] = &[
    unit(&["kg", "kilogram", "kilograms"], 1.0),
    unit(&["g", "gram", "grams"], 1e-3),
    unit(&["lb", "lbs", "lbm", "pound", "pounds"], POUND),
    unit(&["oz", "ounce", "ounces"], POUND / 16.0),
    unit(&["t", "tonne", "tonnes"], 1e3),
];

const DENSITY: &[Unit] = &[
    unit(&["kg/m³"], 1.0),
    unit(&["g/cm³", "g/cc", "g/mL"], 1e3),
    unit(&["kg/dm³", "kg/L"], 1e3),
    unit(&["t/m³"], 1e3),
    unit(&["lb/ft³", "lbm/ft³", "pcf"], POUND_PER_CUBIC_FOOT),
    unit(&["lb/in³", "lbm/in³"], POUND_PER_CUBIC_FOOT * 1728.0),
];

const AREAL_MASS: &[Unit] = &[
    unit(&["kg/m²"], 1.0),
    unit(&["g/m²", "gsm"], 1e-3),
    unit(&["lb/ft²", "psf"], POUND_PER_SQUARE_FOOT),
    unit(&["oz/ft²"], POUND_PER_SQUARE_FOOT / 16.0),
    unit(&["oz/yd²"], POUND_PER_SQUARE_FOOT / 144.0),
    unit(&["g/cm²"], 10.0),
];

const LINE_MASS: &[Unit] = &[
    unit(&["kg/m"], 1.0),
    unit(&["g/mm"], 1.0),
    unit(&["g/m"], 1e-3),
    unit(&["lb/ft"], POUND_PER_FOOT),
    unit(&["lb/in"], POUND_PER_FOOT * 12.0),
];

const INERTIA: &[Unit] = &[
    unit(&["kg·m²"], 1.0),
    unit(&["kg·cm²"], 1e-4),
    unit(&["kg·mm²"], 1e-6),
    unit(&["lb·ft²"], POUND_FOOT_SQUARED),
    unit(&["lb·in²"], POUND_FOOT_SQUARED / 144.0),
];

/// A flow per area and pressure drop: m/s for a pascal, so µm/s for a pascal is the handy size.
const VOLUME: &[Unit] = &[
    unit(&["ml", "cm³", "cc"], 1.0),
    unit(&["L", "dm³"], 1e3),
    unit(&["mm³"], 1e-3),
    unit(&["m³"], 1e6),
    unit(&["in³"], INCH * INCH * INCH * 1e-3),
];

const PERMEANCE: &[Unit] = &[
    unit(&["µm/(Pa·s)", "um/(Pa·s)", "μm/(Pa·s)"], 1.0),
    unit(&["m/(Pa·s)"], 1e6),
    unit(&["mm/(Pa·s)"], 1e3),
    unit(&["cfm/(ft²·psi)"], CFM_PER_SQUARE_FOOT_PSI),
];

const ACCELERATION: &[Unit] = &[
    unit(&["m/s²", "m/s/s"], 1.0),
    unit(&["g", "gn"], STANDARD_GRAVITY),
    unit(&["mm/s²", "mm/s/s"], 1e-3),
    unit(&["ft/s²", "ft/s/s"], FOOT_PER_SECOND_SQUARED),
    unit(&["in/s²", "in/s/s"], FOOT_PER_SECOND_SQUARED / 12.0),
    unit(&["cm/s²", "cm/s/s"], 1e-2),
];

const ANGLE: &[Unit] = &[
    unit(&["°", "deg", "degree", "degrees"], 1.0),
    unit(&["rad", "radian", "radians"], RADIAN),
    unit(&["mrad"], RADIAN * 1e-3),
    unit(&["turn", "turns", "rev"], 360.0),
    unit(&["'", "arcmin"], 1.0 / 60.0),
    unit(&["\"", "''", "arcsec"], 1.0 / 3600.0),
];

const TURN_RATE: &[Unit] = &[
    unit(&["°/s", "deg/s"], 1.0),
    unit(&["rad/s"], RADIAN),
    unit(&["rpm", "rev/min", "r/min"], 6.0),
    unit(&["rev/s", "rps"], 360.0),
    unit(&["°/min", "deg/min"], 1.0 / 60.0),
];

const TURN_ACCELERATION: &[Unit] = &[
    unit(&["°/s²", "deg/s²", "°/s/s", "deg/s/s"], 1.0),
    unit(&["rad/s²", "rad/s/s"], RADIAN),
    unit(&["rev/s²"], 360.0),
    unit(&["rpm/s"], 6.0),
];

// A flow is a mass of air, told as the volume it would have in a reference state, so a unit names that state. One without it
// is read as ANR, the state that the ports, ejectors and compressors of the trade are rated in (ISO 8778). "N" is DIN 1343:
// 0 °C and 101.325 kPa, dry; an "slpm" of a flow meter is the same (SEMI E12). A standard cubic foot is of 60 °F and
// 14.696 psi, dry. All states from memory of the standards' published summaries.
const FLOW: &[Unit] = &[
    unit(&["L/min ANR", "L/min (ANR)", "L/min", "lpm", "dm³/min ANR", "dm³/min (ANR)", "dm³/min"], 1.0),
    unit(&["L/s ANR", "L/s (ANR)", "L/s"], 60.0),
    unit(&["m³/h ANR", "m³/h (ANR)", "m³/h", "m³/hr"], 1e3 / 60.0),
    unit(&["m³/min ANR", "m³/min (ANR)", "m³/min"], 1e3),
    unit(&["cfm ANR", "cfm (ANR)", "cfm", "ft³/min"], CUBIC_FOOT),
    unit(&["L/h ANR", "L/h (ANR)", "L/h"], 1.0 / 60.0),
    unit(&["cfh ANR", "cfh (ANR)", "cfh", "ft³/h"], CUBIC_FOOT / 60.0),
    unit(&["m³/s ANR", "m³/s (ANR)", "m³/s"], 6e4),
    unit(&["NL/min (0 °C)", "NL/min", "nlpm", "ln/min", "slpm", "sL/min", "Ndm³/min"], NORMAL_LITRE),
    unit(&["NL/s (0 °C)", "NL/s"], 60.0 * NORMAL_LITRE),
    unit(&["Nm³/h (0 °C)", "Nm³/h"], NORMAL_LITRE * 1e3 / 60.0),
    unit(&["Nm³/min (0 °C)", "Nm³/min"], NORMAL_LITRE * 1e3),
    unit(&["NL/h (0 °C)", "NL/h"], NORMAL_LITRE / 60.0),
    unit(&["scfm (60 °F)", "scfm"], STANDARD_CUBIC_FOOT),
    unit(&["scfh (60 °F)", "scfh"], STANDARD_CUBIC_FOOT / 60.0),
];

const INLET_FLOW: &[Unit] = &[
    unit(&["L/min", "lpm", "dm³/min"], 1.0),
    unit(&["m³/h", "m³/hr"], 1e3 / 60.0),
    unit(&["L/s"], 60.0),
    unit(&["cfm", "acfm", "ft³/min"], CUBIC_FOOT),
    unit(&["m³/min"], 1e3),
    unit(&["L/h"], 1.0 / 60.0),
    unit(&["cfh", "ft³/h"], CUBIC_FOOT / 60.0),
    unit(&["m³/s"], 6e4),
];

const AIR_VOLUME: &[Unit] = &[
    unit(&["L ANR", "L (ANR)", "L"], 1.0),
    unit(&["scf (60 °F)", "scf"], STANDARD_CUBIC_FOOT),
    unit(&["NL (0 °C)", "NL"], NORMAL_LITRE),
    unit(&["m³ ANR", "m³"], 1e3),
];

const PER_AIR_VOLUME: &[Unit] =
    &[unit(&["per m³ ANR", "per m³"], 1.0), unit(&["per 1000 scf"], PER_THOUSAND_SCF)];

const AIR_ENERGY: &[Unit] = &[
    unit(&["kWh/m³", "kWh/m³ ANR"], 1.0),
    unit(&["kWh/1000 scf"], PER_THOUSAND_SCF),
    unit(&["kJ/m³"], 1.0 / 3600.0),
];

// A conductance is of air ANR, as a flow is where nothing else is said; with a named state of its own it is of that.
const CONDUCTANCE: &[Unit] = &[
    unit(&["dm³/(s·bar)", "L/(s·bar)", "dm³/s/bar", "L/s/bar"], 1.0),
    unit(&["scfm/psi", "scfm/psia"], SCFM_PER_PSI),
    unit(&["L/(min·bar)", "L/min/bar"], 1.0 / 60.0),
    // ISO 6358 itself writes it in m³/(s·Pa).
    unit(&["m³/(s·Pa)"], 1e8),
];

const STRESS: &[Unit] = &[
    unit(&["N/mm²"], 1.0),
    unit(&["MPa"], 1.0),
    unit(&["ksi"], KSI),
    unit(&["psi", "lbf/in²"], KSI * 1e-3),
    unit(&["GPa"], 1e3),
    unit(&["kPa"], 1e-3),
];

const TILT_STIFFNESS: &[Unit] = &[
    unit(&["N·m/rad"], 1.0),
    unit(&["N·mm/rad"], 1e-3),
    unit(&["lbf·in/rad", "in·lbf/rad"], POUND_FORCE_INCH),
    unit(&["N·m/°", "N·m/deg"], RADIAN),
];

const GAP: &[Unit] = &[
    unit(&["µm", "um"], 1.0),
    unit(&["mil", "mils", "thou"], MIL),
    unit(&["mm"], 1e3),
    unit(&["in", "\"", "inch", "inches"], INCH * 1e3),
];

const SLOPE: &[Unit] = &[unit(&["mm/m"], 1.0), unit(&["in/ft"], INCH_PER_FOOT), unit(&["%"], 10.0)];

const SMALL_MASS: &[Unit] = &[
    unit(&["g", "gram", "grams"], 1.0),
    unit(&["oz", "ounce", "ounces"], OUNCE),
    unit(&["kg"], 1e3),
    unit(&["lb", "lbs"], POUND * 1e3),
    unit(&["mg"], 1e-3),
];

const DUST_LOAD: &[Unit] =
    &[unit(&["g/m³"], 1.0), unit(&["gr/ft³"], GRAIN_PER_CUBIC_FOOT), unit(&["mg/m³"], 1e-3)];

const TIME: &[Unit] = &[
    unit(&["s", "sec", "second", "seconds"], 1.0),
    unit(&["ms"], 1e-3),
    unit(&["min", "minute", "minutes"], 60.0),
    unit(&["h", "hr", "hour", "hours"], 3600.0),
];

const FORCE_PER_LENGTH: &[Unit] = &[
    unit(&["N/mm"], 1.0),
    unit(&["N/cm"], 0.1),
    unit(&["N/m"], 1e-3),
    unit(&["kN/m"], 1.0),
    // Springs are sold in "lb/in"; nothing here measures mass per length, so it cannot be mistaken.
    unit(&["lbf/in", "lb/in"], POUND_FORCE / INCH),
    unit(&["lbf/ft", "lb/ft"], POUND_FORCE / FOOT),
];

const TEMPERATURE: &[Unit] = &[
    unit(&["°C", "deg C", "degC", "C"], 1.0),
    Unit { names: &["°F", "deg F", "degF", "F"], scale: 5.0 / 9.0, zero: 32.0 },
    Unit { names: &["K", "kelvin"], scale: 1.0, zero: 273.15 },
];

const ALTITUDE: &[Unit] = &[
    unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
    unit(&["km"], 1e3),
    unit(&["ft", "'", "foot", "feet"], FOOT * 1e-3),
];

const SHARE_PER_PRESSURE: &[Unit] = &[
    unit(&["%/kPa"], 0.01),
    unit(&["%/psi"], 0.01 / PSI),
    unit(&["%/inHg"], 0.01 / INCH_MERCURY),
    unit(&["%/mbar"], 0.1),
    unit(&["%/bar"], 1e-4),
];

const RATIO: &[Unit] = &[unit(&["%"], 0.01)];

/// Every unit that is read for a quantity, the likeliest first.
pub(crate) const fn units(quantity: Quantity) -> &'static [Unit] {
    match quantity {
        Quantity::Length => LENGTH,
        Quantity::Area => AREA,
        Quantity::VacuumLevel => VACUUM_LEVEL,
        Quantity::AbsolutePressure => ABSOLUTE_PRESSURE,
        Quantity::FeedPressure => FEED_PRESSURE,
        Quantity::Force => FORCE,
        Quantity::Moment => MOMENT,
        Quantity::Mass => MASS,
        Quantity::Density => DENSITY,
        Quantity::ArealMass => AREAL_MASS,
        Quantity::LineMass => LINE_MASS,
        Quantity::Inertia => INERTIA,
        Quantity::Permeance => PERMEANCE,
        Quantity::Volume => VOLUME,
        Quantity::Acceleration => ACCELERATION,
        Quantity::Angle => ANGLE,
        Quantity::TurnRate => TURN_RATE,
        Quantity::TurnAcceleration => TURN_ACCELERATION,
        Quantity::Flow => FLOW,
        Quantity::InletFlow => INLET_FLOW,
        Quantity::AirVolume => AIR_VOLUME,
        Quantity::PerAirVolume => PER_AIR_VOLUME,
        Quantity::AirEnergy => AIR_ENERGY,
        Quantity::Conductance => CONDUCTANCE,
        Quantity::Stress => STRESS,
        Quantity::TiltStiffness => TILT_STIFFNESS,
        Quantity::Gap => GAP,
        Quantity::Slope => SLOPE,
        Quantity::SmallMass => SMALL_MASS,
        Quantity::DustLoad => DUST_LOAD,
        Quantity::Time => TIME,
        Quantity::Stiffness | Quantity::LineForce => FORCE_PER_LENGTH,
        Quantity::Temperature => TEMPERATURE,
        Quantity::Altitude => ALTITUDE,
        Quantity::SharePerPressure => SHARE_PER_PRESSURE,
        Quantity::Ratio | Quantity::Share => RATIO,
    }
}
