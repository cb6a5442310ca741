//! Changes of a circuit that might help, as things a person can do.

use document::{HoseSize, hoses};
use units::{LengthUnit, Quantity, UnitChoice};

/// One change of a circuit; [`HelpChange::edit`](crate::HelpChange::edit) makes it.
#[derive(Debug, Clone, PartialEq)]
pub enum HelpChange {
    /// Hoses or manifold in the next size up, the fittings with them.
    Bore {
        /// Which.
        of: HosePart,
        /// Smallest bore now, mm.
        from_mm: f64,
        /// Those that are smaller become this, mm.
        to_mm: f64,
    },
    /// Hoses a quarter shorter.
    Shorter(HosePart),
    /// Hoses without what is wound up.
    Uncoiled(HosePart),
    /// Swept Ys in place of tees.
    Swept(HosePart),
    /// Straight fittings in place of 90° elbows, the hose led in a wide bend.
    WideBends(HosePart),
    /// Every branch of one length.
    EqualBranches {
        /// As cut, coil included, mm.
        mm: f64,
    },
    /// Each manifold fed at its other end too.
    FedAtBothEnds,
    /// A restrictor at every cup.
    Restrictors(document::Restriction),
    /// A check valve at every cup.
    CheckValves,
    /// A source on every cup, in place of one for all.
    SourceAtCups,
    /// Another feed pressure.
    Feed {
        /// Above the atmosphere, kPa.
        from_kpa: f64,
        /// Above the atmosphere, kPa.
        to_kpa: f64,
    },
}

/// Which lines of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HosePart {
    /// From the manifold or the parting point to the cups.
    Branches,
    /// From the source to the manifold or to where the branches part.
    Main,
    /// The manifold's own channel.
    Manifold,
}

impl HosePart {
    fn word(self) -> &'static str {
        match self {
            Self::Branches => "branches",
            Self::Main => "main hose",
            Self::Manifold => "manifold",
        }
    }
}

impl HelpChange {
    /// The change in words, lower case: "branches of 8 mm bore instead of 6 mm".
    ///
    /// ```
    /// use analysis::{HelpChange, HosePart};
    /// let change = HelpChange::Bore { of: HosePart::Branches, from_mm: 6.0, to_mm: 8.0 };
    /// assert_eq!(change.says(&units::UnitChoice::default()), "branches of 8 mm bore instead of 6 mm");
    /// ```
    pub fn says(&self, units: &UnitChoice) -> String {
        let feed = |kpa: f64| units::show(kpa, Quantity::FeedPressure, units).to_string();
        match self {
            Self::Bore { of, from_mm, to_mm } => {
                format!("{} of {} bore instead of {}", of.word(), bore(*to_mm, units), bore(*from_mm, units))
            }
            Self::Shorter(of) => format!("{} a quarter shorter", of.word()),
            Self::Uncoiled(of) => format!("{} without coils", of.word()),
            Self::Swept(of) => format!("{} with swept Ys instead of tees", of.word()),
            Self::WideBends(of) => {
                format!("{} with wide bends instead of 90° elbows", of.word())
            }
            Self::EqualBranches { mm } => {
                let length = match units.length {
                    LengthUnit::Millimetre => format!("{} mm", units::fixed(*mm, 0, units)),
                    LengthUnit::Inch => units::show(*mm, Quantity::Length, units).to_string(),
                };
                format!("all branches {length} long")
            }
            Self::FedAtBothEnds => "manifold fed at both ends".to_owned(),
            Self::Restrictors(through) => {
                let c = units::show(through.c_dm3_s_bar, Quantity::Conductance, units);
                format!("a restrictor of {c} at every cup")
            }
            Self::CheckValves => "a check valve at every cup".to_owned(),
            Self::SourceAtCups => "a separate source at every cup".to_owned(),
            Self::Feed { from_kpa, to_kpa } => {
                format!("feed of {} instead of {}", feed(*to_kpa), feed(*from_kpa))
            }
        }
    }
}

/// A hose is called by its size where it is one that is counted in the units picked; another bore is a length.
fn bore(mm: f64, units: &UnitChoice) -> String {
    let inch = units.length == LengthUnit::Inch;
    let near = |size: &&HoseSize| (size.bore_mm - mm).abs() < 0.01 && (size.inch || !inch);
    let size = hoses().iter().find(near);
    size.map_or_else(|| units::show(mm, Quantity::Length, units).to_string(), |size| size.name.to_owned())
}
