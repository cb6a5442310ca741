//! The project: everything a person decided, nothing that is computed.

mod circuit;
mod cup_model;
mod datum;
mod layout;
mod motion;
mod operation;
mod part;
mod question;
mod review;
mod seat;
mod stops;
mod traced;
mod trial;
mod values;

pub use circuit::*;
pub use cup_model::*;
pub use datum::*;
pub use layout::*;
pub use motion::*;
pub use operation::*;
pub use part::*;
pub use question::*;
pub use review::*;
pub use seat::*;
use std::sync::Arc;
pub use stops::*;
pub use traced::*;
pub use trial::*;
pub use values::*;

/// The project. Cheap to clone: everything large is shared.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    /// What it is called on screen and on the sheet.
    pub name: String,
    /// At least one.
    pub parts: Vec<Arc<Part>>,
    /// At least one: the alternatives.
    pub layouts: Vec<Arc<Layout>>,
    /// Load cases, in the order of the form.
    pub motions: Vec<Arc<Motion>>,
    /// Cups that share a source.
    pub circuits: Vec<Arc<Circuit>>,
    /// Every model a cup uses, and those kept at hand.
    pub models: Vec<Arc<CupModel>>,
    /// Every source a circuit uses, and those kept at hand.
    pub sources: Vec<Arc<SourceModel>>,
    /// How often it picks, and what air and energy cost.
    pub cycle: Cycle,
    /// What was measured on the real tool.
    pub trial: Arc<Trial>,
    /// Where the tool works.
    pub site: Site,
    /// Limits of the findings.
    pub rules: Rules,
    /// Findings taken on with a reason.
    pub accepted: Vec<Accepted>,
    /// Title block.
    pub sheet: SheetFields,
    /// What is asked for when layouts are proposed; no content, since nothing follows from it until a proposal is taken.
    pub question: Arc<Question>,
    /// Revisions as they were handed out, oldest first.
    pub issued: Vec<Arc<Issued>>,
    /// What colleagues say of it.
    pub review: Arc<Review>,
    /// The picture under the plan, to trace an outline from.
    pub traced: Option<Arc<Traced>>,
    /// Highest number ever given to anything; ids are never reused.
    pub last_id: u32,
}

/// Where the tool works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Above sea level, m.
    pub altitude_m: f64,
    /// Air, °C.
    pub temperature_c: f64,
    /// What the robot may carry at its flange, tool and part together, kg.
    pub payload_kg: Option<f64>,
}

/// Limits of the findings, editable per project.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// Lips closer than this are watched, mm.
    pub gap_watch_mm: f64,
    /// A factor below this times the required one is watched.
    pub factor_watch: f64,
    /// Centroid offset over the spread of the cups.
    pub centroid_offset_share: f64,
    /// Most over mean load of the cups.
    pub most_over_mean: f64,
    /// Share of the friction cone a lip may use when sliding and twisting (0.9).
    pub slide_share: f64,
    /// Tool and part above this share of the robot's payload are watched.
    pub payload_watch: f64,
    /// How far an assumed friction may be off, as a share of it, each way (0.3: figures given for one rubber on one surface lie
    /// that far apart; common practice, no source).
    pub friction_spread: f64,
    /// How far an assumed stiffness or tilt reduction may be off, as a share of it, each way.
    pub stiffness_spread: f64,
    /// How far an assumed sealing line or seal minimum may be off, as a share of it, each way.
    pub lip_spread: f64,
    /// A source with less flow to spare than this share of the leaks at the level needed is watched.
    pub supply_margin: f64,
    /// Levels of a circuit's cups or manifold ports further apart than this share of the deepest are watched.
    pub level_spread: f64,
    /// An element that loses more than this share of the source's level is watched.
    pub element_loss: f64,
    /// Share of the weight that is counted on where it presses a lip on, while the motion is multiplied: above 0, up to 1
    /// (0.9, the principle of EN 1990, EQU; value from memory).
    pub favourable_weight: f64,
    /// A sheet that bends and leaves the plane of its lips by more than this is watched, mm (10: common practice, no source).
    pub sag_watch_mm: f64,
    /// A part that bends counts as at rest once it rings by no more than this, mm either way.
    pub ring_limit_mm: f64,
}
/// A finding taken on with a reason.
#[derive(Debug, Clone, PartialEq)]
pub struct Accepted {
    /// Name of the rule, e.g. "seat.overhang".
    pub rule: String,
    /// Cups it is about.
    pub subject: Vec<CupId>,
    /// Motion it is about.
    pub motion: Option<MotionId>,
    /// Layout it is about.
    pub layout: LayoutId,
    /// Part on the tool that it is about, where the layout carries several.
    pub seat: Option<SeatId>,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepted it.
    pub by: String,
    /// When, ISO 8601, or empty.
    pub on: String,
}

/// How exactly places are to be kept where a sheet says nothing else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Tolerances {
    /// Places of cups and holes by [`SheetFields::position_tolerance_mm`].
    #[default]
    Positions,
    /// ISO 2768 fine.
    Fine,
    /// ISO 2768 medium.
    Medium,
    /// ISO 2768 coarse.
    Coarse,
    /// ISO 2768 very coarse.
    VeryCoarse,
}
impl Tolerances {
    /// In the order a form lists them.
    pub const ALL: [Self; 5] = [Self::Positions, Self::Fine, Self::Medium, Self::Coarse, Self::VeryCoarse];
    /// The letter of its class.
    ///
    /// # Source
    /// ISO 2768-1:1989, table 1 (letters f, m, c, v; from memory).
    pub fn class(self) -> Option<&'static str> {
        match self {
            Self::Positions => None,
            Self::Fine => Some("f"),
            Self::Medium => Some("m"),
            Self::Coarse => Some("c"),
            Self::VeryCoarse => Some("v"),
        }
    }
    /// For people.
    pub fn label(self) -> &'static str {
        match self {
            Self::Positions => "one value",
            Self::Fine => "ISO 2768-f, fine",
            Self::Medium => "ISO 2768-m, medium",
            Self::Coarse => "ISO 2768-c, coarse",
            Self::VeryCoarse => "ISO 2768-v, very coarse",
        }
    }
}

/// Title block (fields of ISO 7200) and the general tolerance.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetFields {
    /// What the sheet shows.
    pub title: String,
    /// Legal owner.
    pub owner: String,
    /// Identification number.
    pub number: String,
    /// Revision index.
    pub revision: String,
    /// Who made it.
    pub created_by: String,
    /// Who approved it.
    pub approved_by: String,
    /// Date of issue.
    pub date: String,
    /// Kind of document.
    pub document_type: String,
    /// How the general tolerance is stated.
    pub tolerances: Tolerances,
    /// Each way, of the place of a cup or a hole, mm; counts with [`Tolerances::Positions`].
    pub position_tolerance_mm: f64,
    /// Earlier issues, oldest first.
    pub revisions: Vec<Revision>,
}
impl SheetFields {
    /// What a drilled and slotted frame keeps with ease: common practice, no source.
    pub const USUAL_TOLERANCE_MM: f64 = 0.2;
    /// The general tolerance as a drawing states it: "General tolerance of positions ±0.2 mm".
    pub fn general_tolerance(&self, units: &units::UnitChoice) -> String {
        match self.tolerances.class() {
            Some(class) => format!("General tolerances ISO 2768-{class}"),
            None => {
                let mm = self.position_tolerance_mm;
                let (figure, unit) = match units.length {
                    units::LengthUnit::Millimetre => {
                        (units::show_given(mm, units::Quantity::Length, units).number, "mm")
                    }
                    // A thousandth is as fine as a drill is set to.
                    units::LengthUnit::Inch => {
                        (units::fixed(mm / 25.4, if mm < 0.02 { 4 } else { 3 }, units), "in")
                    }
                };
                format!("General tolerance of positions ±{figure} {unit}")
            }
        }
    }
}
impl Default for SheetFields {
    fn default() -> Self {
        Self {
            title: String::new(),
            owner: String::new(),
            number: String::new(),
            revision: String::new(),
            created_by: String::new(),
            approved_by: String::new(),
            date: String::new(),
            document_type: String::new(),
            tolerances: Tolerances::default(),
            position_tolerance_mm: Self::USUAL_TOLERANCE_MM,
            revisions: Vec::new(),
        }
    }
}
/// A line of the sheet's revision table.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Revision {
    /// "A".
    pub index: String,
    /// ISO 8601, or empty.
    pub date: String,
    /// Who made it.
    pub by: String,
    /// What changed.
    pub what: String,
}
