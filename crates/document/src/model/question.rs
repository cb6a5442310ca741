//! What a person asks for when layouts are proposed; kept in the project, so that it need not be put again.

use super::{ModelId, Rules};

/// How many cups.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HowMany {
    /// So many.
    Exactly(usize),
    /// As few as meet what must hold, and no more than this.
    Fewest {
        /// Where looking ends.
        most: usize,
    },
}

impl HowMany {
    /// Cups at most.
    pub fn most(self) -> usize {
        match self {
            Self::Exactly(count) | Self::Fewest { most: count } => count,
        }
    }
}

/// How the cups stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// Anywhere on the grid step.
    Free,
    /// Mirror images about a middle line of the part.
    Mirrored,
    /// Rows and columns of even pitch.
    Rows,
    /// On the slots and holes of the frame.
    Frame,
    /// Evenly round a circle.
    Ring,
}

impl Pattern {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Free, Self::Mirrored, Self::Rows, Self::Frame, Self::Ring];

    /// What to call it: "rows and columns".
    pub fn name(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Mirrored => "mirrored",
            Self::Rows => "rows and columns",
            Self::Frame => "on the frame",
            Self::Ring => "ring",
        }
    }

    /// Its name on the command line and in JSON.
    pub fn key(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Mirrored => "mirrored",
            Self::Rows => "rows",
            Self::Frame => "frame",
            Self::Ring => "ring",
        }
    }
}

/// What comes first among layouts that meet everything that must hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Prefer {
    /// Fewest cups, then the largest reserve.
    #[default]
    Cups,
    /// The largest factor over required.
    Reserve,
    /// Fewest different X and Y on the drawing.
    Positions,
    /// Fewest models.
    Models,
    /// Least air.
    Air,
}

impl Prefer {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Cups, Self::Reserve, Self::Positions, Self::Models, Self::Air];

    /// What to call it: "fewest cups".
    pub fn name(self) -> &'static str {
        match self {
            Self::Cups => "fewest cups",
            Self::Reserve => "largest reserve",
            Self::Positions => "fewest different X and Y",
            Self::Models => "fewest models",
            Self::Air => "least air",
        }
    }

    /// Its name on the command line and in JSON.
    pub fn key(self) -> &'static str {
        match self {
            Self::Cups => "cups",
            Self::Reserve => "reserve",
            Self::Positions => "positions",
            Self::Models => "models",
            Self::Air => "air",
        }
    }
}

/// Positions are multiples of this unless a person says otherwise, mm: people drill round numbers (common practice, no source).
const STEP_MM: f64 = 5.0;
/// Cups above which nobody looks for fewest: more on one tool are built as area grippers (common practice, no source).
const MOST_CUPS: usize = 24;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Cup models that may be used, of the project or the library; any that suit where there are none.
    pub models: Vec<ModelId>,
    /// How many cups.
    pub count: HowMany,
    /// How they stand; every way where nothing is said.
    pub pattern: Option<Pattern>,
    /// Whether every motion must be held with any one cup lost: what is left has a factor of [`Self::lost_factor`].
    pub one_lost: bool,
    /// The same with any one zone lost. A new cup joins the zone of the nearest cup that is there.
    pub zone_lost: bool,
    /// Least factor of what is left with a cup or a zone lost: 1, so that no lip opens and the loss does not run on.
    pub lost_factor: f64,
    /// Whether required factors must be met with every assumed input at its worst.
    pub low_end: bool,
    /// Whether two models may stand in one layout.
    pub mixed: bool,
    /// Positions are multiples of this, mm.
    pub step_mm: f64,
    /// Least gap between the lips of two cups, mm; the gap that the project's limits watch where nothing is said.
    pub spacing_mm: Option<f64>,
    /// What comes first.
    pub prefer: Prefer,
    /// The same seed gives the same proposals.
    pub seed: u32,
}

impl Default for Question {
    fn default() -> Self {
        Self {
            models: Vec::new(),
            count: HowMany::Fewest { most: MOST_CUPS },
            pattern: None,
            one_lost: false,
            zone_lost: false,
            lost_factor: 1.0,
            low_end: false,
            mixed: false,
            step_mm: STEP_MM,
            spacing_mm: None,
            prefer: Prefer::default(),
            seed: 1,
        }
    }
}

impl Question {
    /// Whether another question is the same but for the order of the answers.
    pub fn asks_alike(&self, other: &Self) -> bool {
        *self == Self { prefer: self.prefer, ..other.clone() }
    }

    /// Least gap between the lips of two cups in a project with these limits, mm.
    pub fn spacing(&self, rules: &Rules) -> f64 {
        self.spacing_mm.unwrap_or(rules.gap_watch_mm.max(0.0))
    }
}
