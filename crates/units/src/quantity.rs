//! What the program measures.

use crate::table;

/// What a number measures; fixes its base unit inside the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Base mm.
    Length,
    /// Base mm².
    Area,
    /// Base ml: what a vessel or a cup holds.
    Volume,
    /// Base kPa below the atmosphere outside, positive.
    VacuumLevel,
    /// Base kPa above zero pressure.
    AbsolutePressure,
    /// Base kPa above the atmosphere: what compressed air is fed with.
    FeedPressure,
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
    /// Base kg/m.
    LineMass,
    /// Base kg·m².
    Inertia,
    /// Base µm/(Pa·s): how easily air comes through a part.
    Permeance,
    /// Base m/s².
    Acceleration,
    /// Base degree.
    Angle,
    /// Base °/s.
    TurnRate,
    /// Base °/s².
    TurnAcceleration,
    /// Base L/min ANR: the mass of air in a minute, as the volume it has at 20 °C, 100 kPa and 65 % humidity.
    Flow,
    /// Base L/min, in the state that the air has at the inlet: a pump's displacement.
    InletFlow,
    /// Base L ANR: the mass of air that a cycle uses, as a volume.
    AirVolume,
    /// Base 1/m³ ANR: what a volume of compressed air costs, in money of any kind.
    PerAirVolume,
    /// Base kWh/m³ ANR: the work in compressed air.
    AirEnergy,
    /// Base dm³ ANR in a second for each bar in front: the sonic conductance C of ISO 6358.
    Conductance,
    /// Base s.
    Time,
    /// Base N/mm.
    Stiffness,
    /// Base N/mm of lip line.
    LineForce,
    /// Base N/mm²: stress in a sheet, modulus of elasticity.
    Stress,
    /// Base N·m/rad.
    TiltStiffness,
    /// Base µm: what is left under a lip.
    Gap,
    /// Base mm/m.
    Slope,
    /// Base g: dust in a filter.
    SmallMass,
    /// Base g/m³: dust in the air.
    DustLoad,
    /// Base °C.
    Temperature,
    /// Base m above sea level.
    Altitude,
    /// Plain number.
    Ratio,
    /// Base 1/kPa; typed and printed in per cent for each unit of pressure.
    SharePerPressure,
    /// Base 1; typed and printed in per cent.
    Share,
}

impl Quantity {
    /// Every quantity, in the order of the declaration.
    pub const ALL: [Quantity; 38] = [
        Quantity::Length,
        Quantity::Area,
        Quantity::Volume,
        Quantity::VacuumLevel,
        Quantity::AbsolutePressure,
        Quantity::FeedPressure,
        Quantity::Force,
        Quantity::Moment,
        Quantity::Mass,
        Quantity::Density,
        Quantity::ArealMass,
        Quantity::LineMass,
        Quantity::Inertia,
        Quantity::Permeance,
        Quantity::Acceleration,
        Quantity::Angle,
        Quantity::TurnRate,
        Quantity::TurnAcceleration,
        Quantity::Flow,
        Quantity::InletFlow,
        Quantity::AirVolume,
        Quantity::PerAirVolume,
        Quantity::AirEnergy,
        Quantity::Conductance,
        Quantity::Time,
        Quantity::Stiffness,
        Quantity::LineForce,
        Quantity::Stress,
        Quantity::TiltStiffness,
        Quantity::Gap,
        Quantity::Slope,
        Quantity::SmallMass,
        Quantity::DustLoad,
        Quantity::Temperature,
        Quantity::Altitude,
        Quantity::Ratio,
        Quantity::SharePerPressure,
        Quantity::Share,
    ];

    /// The name of the unit in which the program keeps this quantity; empty for a plain number and a share.
    ///
    /// ```
    /// assert_eq!(units::Quantity::Moment.base_unit(), "N·m");
    /// ```
    #[must_use]
    pub fn base_unit(self) -> &'static str {
        match self {
            Quantity::Length => "mm",
            Quantity::Area => "mm²",
            Quantity::Volume => "ml",
            Quantity::VacuumLevel | Quantity::AbsolutePressure | Quantity::FeedPressure => "kPa",
            Quantity::Force => "N",
            Quantity::Moment => "N·m",
            Quantity::Mass => "kg",
            Quantity::Density => "kg/m³",
            Quantity::ArealMass => "kg/m²",
            Quantity::LineMass => "kg/m",
            Quantity::Inertia => "kg·m²",
            Quantity::Permeance => "µm/(Pa·s)",
            Quantity::Acceleration => "m/s²",
            Quantity::Angle => "°",
            Quantity::TurnRate => "°/s",
            Quantity::TurnAcceleration => "°/s²",
            Quantity::Flow => "L/min ANR",
            Quantity::InletFlow => "L/min",
            Quantity::AirVolume => "L ANR",
            Quantity::PerAirVolume => "per m³ ANR",
            Quantity::AirEnergy => "kWh/m³",
            Quantity::Conductance => "dm³/(s·bar)",
            Quantity::Time => "s",
            Quantity::Stiffness | Quantity::LineForce => "N/mm",
            Quantity::Stress => "N/mm²",
            Quantity::TiltStiffness => "N·m/rad",
            Quantity::Gap => "µm",
            Quantity::Slope => "mm/m",
            Quantity::SmallMass => "g",
            Quantity::DustLoad => "g/m³",
            Quantity::Temperature => "°C",
            Quantity::Altitude => "m",
            Quantity::SharePerPressure => "1/kPa",
            Quantity::Ratio | Quantity::Share => "",
        }
    }

    /// The quantity in a sentence, article included: "a length", "an angle".
    #[must_use]
    pub fn noun(self) -> &'static str {
        match self {
            Quantity::Length => "a length",
            Quantity::Area => "an area",
            Quantity::Volume => "a volume",
            Quantity::VacuumLevel => "a vacuum level",
            Quantity::AbsolutePressure => "an absolute pressure",
            Quantity::FeedPressure => "a feed pressure",
            Quantity::Force => "a force",
            Quantity::Moment => "a moment",
            Quantity::Mass => "a mass",
            Quantity::Density => "a density",
            Quantity::ArealMass => "a mass per area",
            Quantity::LineMass => "a mass per length",
            Quantity::Inertia => "a moment of inertia",
            Quantity::Permeance => "a permeance",
            Quantity::Acceleration => "an acceleration",
            Quantity::Angle => "an angle",
            Quantity::TurnRate => "a turn rate",
            Quantity::TurnAcceleration => "a turn acceleration",
            Quantity::Flow => "a flow",
            Quantity::InletFlow => "a volume flow at the inlet",
            Quantity::AirVolume => "a volume of air",
            Quantity::PerAirVolume => "a price of air",
            Quantity::AirEnergy => "an energy per volume of air",
            Quantity::Conductance => "a sonic conductance",
            Quantity::Time => "a time",
            Quantity::Stiffness => "a stiffness",
            Quantity::LineForce => "a force per length",
            Quantity::Stress => "a stress",
            Quantity::TiltStiffness => "a tilt stiffness",
            Quantity::Gap => "a gap",
            Quantity::Slope => "a slope",
            Quantity::SmallMass => "a small mass",
            Quantity::DustLoad => "a mass per volume of air",
            Quantity::Temperature => "a temperature",
            Quantity::Altitude => "an altitude",
            Quantity::Ratio => "a plain number",
            Quantity::SharePerPressure => "a share per pressure",
            Quantity::Share => "a percentage",
        }
    }

    /// Units that [`crate::parse`] reads for this quantity, as the end of a sentence: "mm, cm, m, in or ft".
    #[must_use]
    pub fn units_that_would_do(self) -> String {
        // Six are enough to choose from; each table is ordered with the likeliest first.
        const LISTED: usize = 6;
        let names: Vec<&str> =
            table::units(self).iter().filter_map(|u| u.names.first().copied()).take(LISTED).collect();
        match names.split_last() {
            None => String::new(),
            Some((only, [])) => (*only).to_owned(),
            Some((last, before)) => format!("{} or {last}", before.join(", ")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Quantity;

    #[test]
    fn every_quantity_is_listed_once() {
        let mut seen = std::collections::HashSet::new();
        assert!(Quantity::ALL.iter().all(|q| seen.insert(*q)));
        // The last variant's discriminant is the count less one, so a variant left out of ALL shows here.
        assert_eq!(Quantity::Share as usize + 1, Quantity::ALL.len());
    }

    #[test]
    fn list_of_units_reads_as_a_sentence() {
        assert_eq!(Quantity::Length.units_that_would_do(), "mm, cm, m, in or ft");
        assert_eq!(Quantity::Ratio.units_that_would_do(), "%");
    }
}
