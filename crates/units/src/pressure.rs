//! Absolute pressure and vacuum level, kept apart by their types.

use crate::atmosphere::STANDARD_ATMOSPHERE;

/// Pressure above zero pressure.
///
/// # Units
/// kPa.
///
/// It does not mix with a [`VacuumLevel`]; the atmosphere outside must be named to get from one to the other:
///
/// ```
/// use units::{AbsolutePressure, VacuumLevel, STANDARD_ATMOSPHERE};
///
/// let level = VacuumLevel::from_kpa(60.0);
/// let inside = level.absolute(STANDARD_ATMOSPHERE);
/// assert!((inside.kpa() - 41.325).abs() < 1e-12);
/// assert!((inside.level(STANDARD_ATMOSPHERE).kpa() - 60.0).abs() < 1e-12);
/// ```
///
/// ```compile_fail,E0308
/// use units::{AbsolutePressure, VacuumLevel};
///
/// fn lifts_at(level: VacuumLevel) -> f64 { level.kpa() }
/// lifts_at(AbsolutePressure::from_kpa(41.325));
/// ```
///
/// ```compile_fail,E0308
/// use units::{AbsolutePressure, VacuumLevel};
///
/// let _ = AbsolutePressure::from_kpa(41.325) < VacuumLevel::from_kpa(60.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AbsolutePressure(f64);

/// Pressure below the atmosphere outside, a positive number.
///
/// # Units
/// kPa.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct VacuumLevel(f64);

impl AbsolutePressure {
    /// A pressure of so many kPa above zero.
    #[must_use]
    pub const fn from_kpa(kpa: f64) -> Self {
        Self(kpa)
    }

    /// The pressure in kPa above zero.
    #[must_use]
    pub const fn kpa(self) -> f64 {
        self.0
    }

    /// How far this pressure lies below the atmosphere `outside`.
    #[must_use]
    pub fn level(self, outside: AbsolutePressure) -> VacuumLevel {
        VacuumLevel(outside.0 - self.0)
    }
}

impl VacuumLevel {
    /// A level of so many kPa below the atmosphere outside.
    #[must_use]
    pub const fn from_kpa(kpa: f64) -> Self {
        Self(kpa)
    }

    /// The level in kPa below the atmosphere outside.
    #[must_use]
    pub const fn kpa(self) -> f64 {
        self.0
    }

    /// The pressure inside, where the atmosphere is `outside`.
    #[must_use]
    pub fn absolute(self, outside: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure(outside.0 - self.0)
    }

    /// A source that reaches this level at the standard atmosphere and keeps its pressure ratio reaches the
    /// returned level where the atmosphere is `outside`.
    ///
    /// # Source
    /// From first principles: a source that keeps the ratio p_inside / p_outside keeps level / p_outside too.
    ///
    /// ```
    /// use units::{standard_atmosphere, VacuumLevel};
    ///
    /// let stated = VacuumLevel::from_kpa(70.0); // at sea level
    /// let here = stated.at_atmosphere(standard_atmosphere(1500.0));
    /// assert!((here.kpa() - 58.4).abs() < 0.1); // kPa, 1500 m up
    /// ```
    #[must_use]
    pub fn at_atmosphere(self, outside: AbsolutePressure) -> VacuumLevel {
        VacuumLevel(self.0 * (outside.0 / STANDARD_ATMOSPHERE.0))
    }
}
