//! What a person asks for.

use document::{ModelId, Project};

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

/// Positions are multiples of this unless a person says otherwise, mm: people drill round numbers (common practice, no source).
const STEP_MM: f64 = 5.0;
/// Cups above which nobody looks for fewest: more on one tool are built as area grippers (common practice, no source).
const MOST_CUPS: usize = 24;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Wish {
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
    /// Least factor of what is left with a cup or a zone lost: 1, so that nothing lets go and the loss does not run on.
    pub lost_factor: f64,
    /// Whether two models may stand in one layout.
    pub mixed: bool,
    /// Positions are multiples of this, mm.
    pub step_mm: f64,
    /// Least gap between the lips of two cups, mm.
    pub spacing_mm: f64,
    /// The same seed gives the same proposals.
    pub seed: u64,
}

impl Wish {
    /// What is asked for where a person says nothing, with the spacing that the project's limits watch.
    pub fn of(project: &Project) -> Self {
        Self {
            models: Vec::new(),
            count: HowMany::Fewest { most: MOST_CUPS },
            pattern: None,
            one_lost: false,
            zone_lost: false,
            lost_factor: 1.0,
            mixed: false,
            step_mm: STEP_MM,
            spacing_mm: project.rules.gap_watch_mm.max(0.0),
            seed: 1,
        }
    }

    /// The question as a sentence, as a layout keeps it: "Fewest cups, in any pattern, every motion held with one cup lost."
    pub fn says(&self, names: &[String]) -> String {
        let cups = match self.count {
            HowMany::Exactly(1) => "One cup".to_owned(),
            HowMany::Exactly(count) => format!("{count} cups"),
            HowMany::Fewest { .. } => "Fewest cups".to_owned(),
        };
        let models = if self.models.is_empty() {
            "of any model that suits".to_owned()
        } else {
            format!("of {}", crate::words::all(names))
        };
        let pattern = self.pattern.map_or("in any pattern", |pattern| match pattern {
            Pattern::Free => "anywhere",
            Pattern::Mirrored => "mirrored",
            Pattern::Rows => "in rows and columns",
            Pattern::Frame => "on the frame",
            Pattern::Ring => "in a ring",
        });
        let held = match (self.one_lost, self.zone_lost) {
            (false, false) => "every motion held",
            (true, false) => "every motion held with any one cup lost",
            (false, true) => "every motion held with any one zone lost",
            (true, true) => "every motion held with any one cup or zone lost",
        };
        format!("{cups} {models}, {pattern}, {held}.")
    }
}
