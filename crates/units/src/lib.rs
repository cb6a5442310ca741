//! Quantities a person types and reads.
//!
//! Inside the program every figure is a plain `f64` in one fixed unit per [`Quantity`] (its *base* unit, see
//! [`Quantity::base_unit`]); this crate is the only place that knows other units.

/// What a number measures; fixes its base unit inside the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Base mm.
    Length,
    /// Base mm².
    Area,
    /// Base kPa below the atmosphere outside, positive.
    VacuumLevel,
    /// Base kPa above zero pressure.
    AbsolutePressure,
    /// Base N.
    Force,
    /// Base N·m.
    Moment,
    /// Base kg.
    Mass,
    /// Base kg/m³.
    Density,
    /// Base kg/m².
    ArealMass,
    /// Base m/s².
    Acceleration,
    /// Base degree.
    Angle,
    /// Base °/s.
    TurnRate,
    /// Base °/s².
    TurnAcceleration,
    /// Base L/min (normal litres).
    Flow,
    /// Base s.
    Time,
    /// Base N/mm.
    Stiffness,
    /// Base N/mm of lip line.
    LineForce,
    /// Base °C.
    Temperature,
    /// Base m above sea level.
    Altitude,
    /// Plain number.
    Ratio,
    /// Base 1; typed and printed in per cent.
    Share,
}

/// Which units a person picked. The file stays in base units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct UnitChoice {
    pub length: LengthUnit,
    pub pressure: PressureUnit,
    pub force: ForceUnit,
    pub mass: MassUnit,
    pub acceleration: AccelerationUnit,
    pub flow: FlowUnit,
    /// Print (and read) a decimal comma.
    pub decimal_comma: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum LengthUnit {
    #[default]
    Millimetre,
    Inch,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum PressureUnit {
    #[default]
    Kilopascal,
    Millibar,
    Bar,
    InchMercury,
    Psi,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum ForceUnit {
    #[default]
    Newton,
    PoundForce,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum MassUnit {
    #[default]
    Kilogram,
    Pound,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum AccelerationUnit {
    #[default]
    MetrePerSecondSquared,
    Gravity,
}
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum FlowUnit {
    #[default]
    LitrePerMinute,
    CubicFootPerMinute,
}

impl Default for UnitChoice {
    fn default() -> Self {
        Self {
            length: LengthUnit::default(),
            pressure: PressureUnit::default(),
            force: ForceUnit::default(),
            mass: MassUnit::default(),
            acceleration: AccelerationUnit::default(),
            flow: FlowUnit::default(),
            decimal_comma: false,
        }
    }
}

/// A number ready to show: figures and unit apart, so that a view can set the unit in a lighter tone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    pub number: String,
    pub unit: &'static str,
}

impl std::fmt::Display for Shown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        todo!()
    }
}

/// Why a typed text is not a quantity.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ParseError {
    #[error("placeholder")]
    Placeholder,
}

/// Reads "12 1/2 in", "3/8\"", "240+15", "2*(120+5) mm", "1,5 kg", "0.6 bar" into the base unit; a bare number is in
/// the unit the person picked.
pub fn parse(text: &str, quantity: Quantity, choice: &UnitChoice) -> Result<f64, ParseError> {
    todo!()
}

/// Shows a base-unit value with the decimals customary for the quantity (mm 1, in 3, kPa 1, N 1 ...), no "-0.0".
pub fn show(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    todo!()
}

/// As [`show`], with enough digits that [`parse`] gives the same value back (what an edit field starts from).
pub fn show_exact(value: f64, quantity: Quantity, choice: &UnitChoice) -> Shown {
    todo!()
}

/// The base-unit value of one picked unit, and its name.
pub fn unit_of(quantity: Quantity, choice: &UnitChoice) -> (f64, &'static str) {
    todo!()
}

/// Absolute pressure, kPa.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AbsolutePressure(f64);
/// Pressure below the atmosphere outside, kPa, positive.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct VacuumLevel(f64);

impl AbsolutePressure {
    pub fn from_kpa(kpa: f64) -> Self {
        Self(kpa)
    }
    pub fn kpa(self) -> f64 {
        self.0
    }
}
impl VacuumLevel {
    pub fn from_kpa(kpa: f64) -> Self {
        Self(kpa)
    }
    pub fn kpa(self) -> f64 {
        self.0
    }
    /// A source that keeps its pressure ratio reaches this level where the atmosphere is `outside` (see `atmosphere`).
    pub fn at_atmosphere(self, outside: AbsolutePressure) -> VacuumLevel {
        todo!()
    }
}
/// Pressure of the standard atmosphere at a geometric altitude in m (ISO 2533).
pub fn standard_atmosphere(altitude_m: f64) -> AbsolutePressure {
    todo!()
}
/// Standard acceleration of free fall, m/s² (exact by definition, 3rd CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
