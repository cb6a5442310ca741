//! Which units a person picked, and the size of the picked unit of every quantity.

use crate::Quantity;
use crate::atmosphere::STANDARD_GRAVITY;
use crate::table;

/// Which units a person picked. The file stays in base units.
///
/// Quantities without a pick of their own follow the pick they belong to: area, altitude, gap, slope, air permeability and
/// temperature follow the length, moment, stiffness, stress and line force follow the force, density, mass per area and dust follow
/// the mass, a sonic conductance and volumes of air follow the flow. Angles, times and ratios have one unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct UnitChoice {
    /// Lengths, areas, altitude.
    pub length: LengthUnit,
    /// Vacuum levels and absolute pressures.
    pub pressure: PressureUnit,
    /// Forces, moments, stiffnesses, line forces.
    pub force: ForceUnit,
    /// Masses, densities, mass per area.
    pub mass: MassUnit,
    /// Accelerations.
    pub acceleration: AccelerationUnit,
    /// Flows.
    pub flow: FlowUnit,
    /// Print (and read) a decimal comma.
    pub decimal_comma: bool,
}

impl UnitChoice {
    /// Inches, pounds, pounds-force, inches of mercury, standard cubic feet: as a shop in the United States reads them.
    #[must_use]
    pub const fn inch_pound() -> Self {
        Self {
            length: LengthUnit::Inch,
            pressure: PressureUnit::InchMercury,
            force: ForceUnit::PoundForce,
            mass: MassUnit::Pound,
            acceleration: AccelerationUnit::Gravity,
            flow: FlowUnit::StandardCubicFootPerMinute,
            decimal_comma: false,
        }
    }
}

/// Declares one pick: the enum, every value of it for a menu, and a label for each.
macro_rules! pick {
    ($(#[$about:meta])* $name:ident, $count:literal: $($(#[$doc:meta])* $variant:ident = $label:literal,)+) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
        pub enum $name { $($(#[$doc])* $variant,)+ }

        impl $name {
            /// Every value, in the order a menu shows them.
            pub const ALL: [$name; $count] = [$($name::$variant),+];

            /// What a menu calls it.
            #[must_use]
            pub fn label(self) -> &'static str {
                match self { $($name::$variant => $label),+ }
            }
        }
    };
}

pick!(
    /// Unit of lengths.
    LengthUnit, 2:
    /// mm
    #[default]
    Millimetre = "mm",
    /// in
    Inch = "inch",
);
pick!(
    /// Unit of vacuum levels and absolute pressures.
    PressureUnit, 5:
    /// kPa
    #[default]
    Kilopascal = "kPa",
    /// mbar
    Millibar = "mbar",
    /// bar
    Bar = "bar",
    /// Conventional inch of mercury.
    InchMercury = "inHg",
    /// lbf/in²
    Psi = "psi",
);
pick!(
    /// Unit of forces.
    ForceUnit, 2:
    /// N
    #[default]
    Newton = "N",
    /// lbf
    PoundForce = "lbf",
);
pick!(
    /// Unit of masses.
    MassUnit, 2:
    /// kg
    #[default]
    Kilogram = "kg",
    /// lb
    Pound = "lb",
);
pick!(
    /// Unit of accelerations.
    AccelerationUnit, 2:
    /// m/s²
    #[default]
    MetrePerSecondSquared = "m/s²",
    /// Multiples of standard gravity.
    Gravity = "g",
);
pick!(
    /// Unit of flows, each with its reference state.
    FlowUnit, 3:
    /// L/min of air ANR.
    #[default]
    LitrePerMinute = "L/min ANR",
    /// Normal litres per minute, DIN 1343.
    NormalLitrePerMinute = "NL/min (0 °C)",
    /// Standard cubic feet per minute.
    StandardCubicFootPerMinute = "scfm (60 °F)",
);

impl FlowUnit {
    /// The state that the air's volume is told in.
    #[must_use]
    pub const fn reference(self) -> &'static str {
        match self {
            FlowUnit::LitrePerMinute => "air at 20 °C, 100 kPa and 65 % humidity (ANR, ISO 8778)",
            FlowUnit::NormalLitrePerMinute => "dry air at 0 °C and 101.325 kPa (DIN 1343)",
            FlowUnit::StandardCubicFootPerMinute => "dry air at 60 °F and 14.696 psi",
        }
    }
}

/// Where the scale of the unit picked begins: a reading is `value / unit_of(..).0` more than this. 0 but for °F.
pub(crate) fn zero_of(quantity: Quantity, choice: &UnitChoice) -> f64 {
    let fahrenheit = quantity == Quantity::Temperature && choice.length == LengthUnit::Inch;
    if fahrenheit { 32.0 } else { 0.0 }
}

/// The volume that a price of air is for, without its state: "m³", "1000 scf". As [`Quantity::PerAirVolume`] has it.
#[must_use]
pub fn priced_air(choice: &UnitChoice) -> &'static str {
    match choice.flow {
        FlowUnit::LitrePerMinute | FlowUnit::NormalLitrePerMinute => "m³",
        FlowUnit::StandardCubicFootPerMinute => "1000 scf",
    }
}

/// The base-unit value of one picked unit, and its name.
///
/// # Units
/// Base units of the quantity per picked unit. A share is typed and printed in per cent, so its picked unit is 0.01.
///
/// ```
/// use units::{unit_of, LengthUnit, Quantity, UnitChoice};
///
/// let inch = UnitChoice { length: LengthUnit::Inch, ..UnitChoice::default() };
/// assert_eq!(unit_of(Quantity::Length, &inch), (25.4, "in"));
/// ```
#[must_use]
pub fn unit_of(quantity: Quantity, choice: &UnitChoice) -> (f64, &'static str) {
    let inch = choice.length == LengthUnit::Inch;
    let pound_force = choice.force == ForceUnit::PoundForce;
    let pound = choice.mass == MassUnit::Pound;
    let either = |picked, imperial, metric| if picked { imperial } else { metric };
    match quantity {
        Quantity::Length => either(inch, (table::INCH, "in"), (1.0, "mm")),
        Quantity::Area => either(inch, (table::INCH * table::INCH, "in²"), (1.0, "mm²")),
        Quantity::Altitude => either(inch, (table::FOOT * 1e-3, "ft"), (1.0, "m")),
        Quantity::VacuumLevel => match choice.pressure {
            PressureUnit::Kilopascal => (1.0, "kPa"),
            PressureUnit::Millibar => (0.1, "mbar"),
            PressureUnit::Bar => (100.0, "bar"),
            PressureUnit::InchMercury => (table::INCH_MERCURY, "inHg"),
            PressureUnit::Psi => (table::PSI, "psi"),
        },
        // Named apart, because the same figure means something else as a vacuum level.
        Quantity::AbsolutePressure => match choice.pressure {
            PressureUnit::Kilopascal => (1.0, "kPa abs"),
            PressureUnit::Millibar => (0.1, "mbar abs"),
            PressureUnit::Bar => (100.0, "bar abs"),
            PressureUnit::InchMercury => (table::INCH_MERCURY, "inHg abs"),
            PressureUnit::Psi => (table::PSI, "psi abs"),
        },
        // Nobody reads a gauge of compressed air in millibars or inches of mercury.
        Quantity::FeedPressure => match choice.pressure {
            PressureUnit::Kilopascal => (1.0, "kPa"),
            PressureUnit::Millibar | PressureUnit::Bar => (100.0, "bar"),
            PressureUnit::InchMercury | PressureUnit::Psi => (table::PSI, "psi"),
        },
        Quantity::Force => either(pound_force, (table::POUND_FORCE, "lbf"), (1.0, "N")),
        Quantity::Moment => either(pound_force, (table::POUND_FORCE_INCH, "lbf·in"), (1.0, "N·m")),
        Quantity::Stiffness | Quantity::LineForce => {
            either(pound_force, (table::POUND_FORCE / table::INCH, "lbf/in"), (1.0, "N/mm"))
        }
        Quantity::Mass => either(pound, (table::POUND, "lb"), (1.0, "kg")),
        Quantity::Density => either(pound, (table::POUND_PER_CUBIC_FOOT, "lb/ft³"), (1.0, "kg/m³")),
        Quantity::ArealMass => either(pound, (table::POUND_PER_SQUARE_FOOT, "lb/ft²"), (1.0, "kg/m²")),
        Quantity::LineMass => either(pound, (table::POUND_PER_FOOT, "lb/ft"), (1.0, "kg/m")),
        Quantity::Inertia => either(pound, (table::POUND_FOOT_SQUARED, "lb·ft²"), (1.0, "kg·m²")),
        Quantity::Permeance => {
            either(inch, (table::CFM_PER_SQUARE_FOOT_PSI, "cfm/(ft²·psi)"), (1.0, "µm/(Pa·s)"))
        }
        Quantity::Stress => either(pound_force, (table::KSI, "ksi"), (1.0, "N/mm²")),
        Quantity::TiltStiffness => {
            either(pound_force, (table::POUND_FORCE_INCH, "lbf·in/rad"), (1.0, "N·m/rad"))
        }
        Quantity::Gap => either(inch, (table::MIL, "mil"), (1.0, "µm")),
        Quantity::Slope => either(inch, (table::INCH_PER_FOOT, "in/ft"), (1.0, "mm/m")),
        Quantity::SmallMass => either(pound, (table::OUNCE, "oz"), (1.0, "g")),
        Quantity::DustLoad => either(pound, (table::GRAIN_PER_CUBIC_FOOT, "gr/ft³"), (1.0, "g/m³")),
        Quantity::Volume => {
            either(inch, (table::INCH * table::INCH * table::INCH * 1e-3, "in³"), (1.0, "ml"))
        }
        Quantity::Acceleration => match choice.acceleration {
            AccelerationUnit::MetrePerSecondSquared => (1.0, "m/s²"),
            AccelerationUnit::Gravity => (STANDARD_GRAVITY, "g"),
        },
        Quantity::Flow => match choice.flow {
            FlowUnit::LitrePerMinute => (1.0, "L/min ANR"),
            FlowUnit::NormalLitrePerMinute => (table::NORMAL_LITRE, "NL/min (0 °C)"),
            FlowUnit::StandardCubicFootPerMinute => (table::STANDARD_CUBIC_FOOT, "scfm (60 °F)"),
        },
        Quantity::InletFlow => match choice.flow {
            FlowUnit::LitrePerMinute | FlowUnit::NormalLitrePerMinute => (1.0, "L/min"),
            FlowUnit::StandardCubicFootPerMinute => (table::CUBIC_FOOT, "cfm"),
        },
        Quantity::AirVolume => match choice.flow {
            FlowUnit::LitrePerMinute => (1.0, "L ANR"),
            FlowUnit::NormalLitrePerMinute => (table::NORMAL_LITRE, "NL (0 °C)"),
            FlowUnit::StandardCubicFootPerMinute => (table::STANDARD_CUBIC_FOOT, "scf (60 °F)"),
        },
        Quantity::PerAirVolume => match choice.flow {
            FlowUnit::LitrePerMinute | FlowUnit::NormalLitrePerMinute => (1.0, "per m³ ANR"),
            FlowUnit::StandardCubicFootPerMinute => (table::PER_THOUSAND_SCF, "per 1000 scf"),
        },
        Quantity::AirEnergy => match choice.flow {
            FlowUnit::LitrePerMinute | FlowUnit::NormalLitrePerMinute => (1.0, "kWh/m³"),
            FlowUnit::StandardCubicFootPerMinute => (table::PER_THOUSAND_SCF, "kWh/1000 scf"),
        },
        // ISO 6358 tells it for air ANR; a normal litre is no unit of it.
        Quantity::Conductance => match choice.flow {
            FlowUnit::LitrePerMinute | FlowUnit::NormalLitrePerMinute => (1.0, "dm³/(s·bar)"),
            FlowUnit::StandardCubicFootPerMinute => (table::SCFM_PER_PSI, "scfm/psi"),
        },
        Quantity::Angle => (1.0, "°"),
        Quantity::TurnRate => (1.0, "°/s"),
        Quantity::TurnAcceleration => (1.0, "°/s²"),
        Quantity::Time => (1.0, "s"),
        Quantity::Temperature if choice.length == LengthUnit::Inch => (5.0 / 9.0, "°F"),
        Quantity::Temperature => (1.0, "°C"),
        Quantity::Ratio => (1.0, ""),
        Quantity::SharePerPressure => match choice.pressure {
            PressureUnit::Kilopascal => (0.01, "%/kPa"),
            PressureUnit::Millibar => (0.1, "%/mbar"),
            PressureUnit::Bar => (1e-4, "%/bar"),
            PressureUnit::InchMercury => (0.01 / table::INCH_MERCURY, "%/inHg"),
            PressureUnit::Psi => (0.01 / table::PSI, "%/psi"),
        },
        Quantity::Share => (0.01, "%"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published factors, NIST SP 811 (2008) appendix B.8, from memory, to the seven figures printed there;
    /// the tolerance is half a unit of the seventh.
    #[test]
    fn picked_units_have_their_published_size() {
        let imperial = UnitChoice {
            length: LengthUnit::Inch,
            pressure: PressureUnit::Psi,
            force: ForceUnit::PoundForce,
            mass: MassUnit::Pound,
            acceleration: AccelerationUnit::Gravity,
            flow: FlowUnit::StandardCubicFootPerMinute,
            decimal_comma: false,
        };
        let published = [
            (Quantity::Length, 25.4),
            (Quantity::Area, 645.16),
            (Quantity::Altitude, 0.3048),
            (Quantity::AbsolutePressure, 6.894_757),
            (Quantity::Force, 4.448_222),
            (Quantity::Moment, 0.112_984_8),
            (Quantity::Stiffness, 0.175_126_8),
            (Quantity::Mass, 0.453_592_4),
            (Quantity::Density, 16.018_46),
            (Quantity::ArealMass, 4.882_428),
            (Quantity::LineMass, 1.488_164),
            (Quantity::Inertia, 0.042_140_11),
            (Quantity::Acceleration, 9.806_65),
        ];
        for (quantity, size) in published {
            let ours = unit_of(quantity, &imperial).0;
            assert!((ours / size - 1.0).abs() < 5e-7, "{quantity:?}: {ours} against {size}");
        }
        // Of one multiplication: 7000 grains in a pound, 16 ounces, 12 inches a foot; N/mm² in a thousand psi as above.
        let made = [
            (Quantity::Stress, 6.894_757),
            (Quantity::TiltStiffness, 0.112_984_8),
            (Quantity::Gap, 25.4),
            (Quantity::Slope, 83.333_33),
            (Quantity::SmallMass, 28.349_52),
            (Quantity::DustLoad, 2.288_352),
            // A foot a minute is 5.08 mm/s, over 6894.757 Pa.
            (Quantity::Permeance, 0.736_791_7),
        ];
        for (quantity, size) in made {
            let ours = unit_of(quantity, &imperial).0;
            assert!((ours / size - 1.0).abs() < 5e-7, "{quantity:?}: {ours} against {size}");
        }
        // No table prints it: the cubic foot times the density of dry air at 60 °F and one atmosphere over that of ANR.
        let flow = unit_of(Quantity::Flow, &imperial).0;
        assert!((flow / 29.216_36 - 1.0).abs() < 5e-7, "{flow}");
        // A sonic conductance is a flow over an absolute pressure: 29.21636 L/min ANR a psi, in dm³/s a bar.
        let conductance = unit_of(Quantity::Conductance, &imperial).0;
        assert!((conductance / (29.216_36 / 60.0 / 0.068_947_57) - 1.0).abs() < 5e-7, "{conductance}");
        let mercury = UnitChoice { pressure: PressureUnit::InchMercury, ..imperial };
        let ours = unit_of(Quantity::VacuumLevel, &mercury).0;
        assert!((ours / 3.386_389 - 1.0).abs() < 5e-7, "{ours}");
    }

    #[test]
    fn menus_list_the_default_first() {
        assert_eq!(PressureUnit::ALL[0], PressureUnit::default());
        let labels: Vec<_> = PressureUnit::ALL.iter().map(|u| u.label()).collect();
        assert_eq!(labels, ["kPa", "mbar", "bar", "inHg", "psi"]);
    }
}
