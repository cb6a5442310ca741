//! Alternatives side by side: one table of figures, the better one of each, and a sentence with those that decide.

mod notes;
pub(crate) mod rows;
mod sentence;
mod text;

pub use text::compare_text;

use analysis::{Analyst, EnvelopeReport, LongPair, Support, long_pair, sides, words::Words};
use document::{LayoutId, MotionId, Project};
use units::Quantity;

/// Two or more layouts compared.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Comparison {
    /// In the order asked for, with their names.
    pub layouts: Vec<(LayoutId, String)>,
    /// One figure each.
    pub rows: Vec<CompareRow>,
    /// One after the other: how much each holds, which is better for these motions, what the loss of a cup does, and why.
    pub sentences: Vec<String>,
    /// What the comparison rests on, one sentence each; where it departs from common practice, under which assumption.
    pub notes: Vec<String>,
    /// Beside `layouts`.
    pub envelopes: Vec<Option<EnvelopeReport>>,
    /// Where one long cup is compared with two round ones: who holds more, and from which spacing on.
    pub long_pair: Option<LongPair>,
}

impl Comparison {
    /// The sentences in one line.
    pub fn sentence(&self) -> String {
        self.sentences.join(" ")
    }
}

/// One figure of every layout.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareRow {
    /// "Factor, level carry".
    pub name: String,
    /// What the numbers measure.
    pub quantity: Quantity,
    /// Beside [`Comparison::layouts`].
    pub figures: Vec<CompareFigure>,
    /// The better one; `None` when they are equal, better has no meaning here, the layouts are over different parts, the best
    /// does not hold what is required, or the difference is no larger than what is assumed could make it.
    pub better: Option<usize>,
    /// The motion it is about.
    pub motion: Option<MotionId>,
    /// Whether it is about all motions together: of other motions it is another figure.
    pub of_motions: bool,
}

/// A figure, or the word that stands in its place.
#[derive(Debug, Clone, PartialEq)]
pub enum CompareFigure {
    /// In the base unit of the row's quantity.
    Number(f64),
    /// A factor and what it is held against.
    Factor {
        /// How many times the load is carried.
        factor: f64,
        /// How many times it must be.
        required: f64,
    },
    /// "no limit", "drops", "not checked".
    Words(String),
    /// "not stated": nothing can be said for want of an input, so that another figure is neither better nor worse.
    Unknown(String),
}

/// Compares layouts of a project with everything worked out. A layout that the project does not have is left out.
///
/// ```
/// use analysis::Analyst;
/// use telling::compare;
/// use document::{Part, PartId, Project};
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let comparison = compare(&mut Analyst::new(), &project, &[project.layouts[0].id]);
/// assert_eq!(comparison.layouts.len(), 1);
/// assert!(comparison.sentence().starts_with("Only one layout"));
/// ```
pub fn compare(analyst: &mut Analyst, project: &Project, layouts: &[LayoutId]) -> Comparison {
    let sides = sides(analyst, project, layouts);
    let pair = long_pair(analyst, project, layouts);
    let support = Support::of(analyst, project, &sides);
    let units = analyst.units();
    let words = Words { choice: &units };
    let mut notes = notes::notes(&sides, &words);
    if let Some(pair) = &pair {
        notes.extend(notes::of_long_pair(project, &sides, pair, &words));
    }
    let sentences = sentence::sentences(project, &sides, &support, pair.as_ref(), &words);
    Comparison {
        layouts: sides.iter().map(|side| (side.report.layout, side.name().to_owned())).collect(),
        rows: rows::rows(project, &sides, &support),
        sentences,
        notes,
        envelopes: sides.iter().map(|side| side.report.envelope.clone()).collect(),
        long_pair: pair,
    }
}
