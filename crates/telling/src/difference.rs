//! Two projects, or two revisions of one, side by side: what was changed, and what follows from it.

mod elsewhere;
mod figures;
mod findings;
mod says;
mod sentence;
mod text;
mod values;

pub use elsewhere::{CupElsewhere, Elsewhere, Fate, elsewhere};
pub use text::difference_text;

use crate::compare::CompareFigure;
use analysis::{Analyst, Finding, Report, words::Words};
use document::{Change, CupId, LayoutId, MotionId, Project};
use std::sync::Arc;
use units::{Quantity, UnitChoice};

/// A move that the customary digits do not show, mm.
const LITTLE_MM: f64 = 0.1;

/// What changed from one project to another, and what follows from it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Difference {
    /// In the order of the file.
    pub changes: Vec<ChangeLine>,
    /// Of the layouts that both have: the factors, and every other figure that is not the same; none where nothing was changed.
    pub figures: Vec<FigureChange>,
    /// Of the layouts that both have.
    pub findings: FindingChanges,
    /// What was changed and what came of it, with the figures that decide.
    pub sentence: String,
    /// What the difference rests on, one sentence each.
    pub notes: Vec<String>,
}

/// One change as a person reads it.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeLine {
    /// As the file has it.
    pub change: Change,
    /// "C4 moved 12.4 mm: from (120.0, 80.0) to (132.0, 83.0) mm", in the picked units.
    pub says: String,
    /// What it is about: a cup by its tag, "C4", everything else with its kind, "Motion Level lift".
    pub name: String,
    /// What a field became, in words and the picked units; empty for what is new or gone.
    pub became: String,
    /// The layout it is about.
    pub layout: Option<LayoutId>,
    /// The cups it is about.
    pub cups: Vec<CupId>,
    /// The motion it is about.
    pub motion: Option<MotionId>,
}

/// A figure before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureChange {
    /// "Factor, level carry".
    pub name: String,
    /// What the numbers measure.
    pub quantity: Quantity,
    /// In the older project.
    pub from: CompareFigure,
    /// In the newer one.
    pub to: CompareFigure,
    /// Whether it became better; `None` when it is the same within half a per cent or better has no meaning here.
    pub better: Option<bool>,
    /// The layout it is of.
    pub layout: LayoutId,
    /// The motion it is about.
    pub motion: Option<MotionId>,
}

/// What became of the findings. They are paired by layout, rule, cups and motion; a factor under the required one by its
/// motion, whichever cup governs it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FindingChanges {
    /// Not there before.
    pub new: Vec<FindingChange>,
    /// Not there any more.
    pub gone: Vec<FindingChange>,
    /// More urgent, or as urgent and further off.
    pub worse: Vec<FindingChange>,
    /// Less urgent, or as urgent and less far off.
    pub better: Vec<FindingChange>,
}

/// A finding before and after; one of them is there at least.
#[derive(Debug, Clone, PartialEq)]
pub struct FindingChange {
    /// Where.
    pub layout: LayoutId,
    /// As it was.
    pub before: Option<Finding>,
    /// As it is.
    pub after: Option<Finding>,
}

impl FindingChange {
    /// As it is, or as it was last.
    pub fn latest(&self) -> Option<&Finding> {
        self.after.as_ref().or(self.before.as_ref())
    }
}

/// What changed from `old` to `new`, with everything worked out anew on both sides. Layouts are paired by their ids; one that only one
/// side has is a change, and its figures are not paired. Revisions issued and what is said in review are no content.
///
/// ```
/// use analysis::Analyst;
/// use telling::difference;
/// use document::{Edit, Part, PartId, Project};
/// use std::sync::Arc;
///
/// let old = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let mut lift = old.motions[0].as_ref().clone();
/// lift.required_factor = 2.5;
/// let edit = Edit::ChangeMotion { motion: Arc::new(lift), what: String::new() };
/// let new = edit.apply(&old)?;
/// let difference = difference(&mut Analyst::new(), &old, &new);
/// assert_eq!(difference.changes[0].says, "Motion Level lift: required factor from 2.00 to 2.50");
/// # Ok::<(), document::EditError>(())
/// ```
pub fn difference(analyst: &mut Analyst, old: &Project, new: &Project) -> Difference {
    let units = analyst.units();
    let words = Words { choice: &units };
    let changes = change_lines(old, new, words);
    let mut pairs: Vec<Pair> = Vec::new();
    if !changes.is_empty() {
        // An analyst of its own for the older side: what the other one remembers belongs to the plan that is worked on.
        let mut earlier = Analyst::with_units(units);
        for layout in new.layouts.iter().filter(|layout| old.layout(layout.id).is_some()) {
            let before = earlier.check_whole(old, layout.id);
            let after = analyst.check_whole(new, layout.id);
            pairs.push(Pair { before, after });
        }
    }
    let mut findings = FindingChanges::default();
    for pair in &pairs {
        findings::pair(&pair.before, &pair.after, &mut findings);
    }
    let figures =
        pairs.iter().flat_map(|pair| figures::figures(old, new, &pair.before, &pair.after)).collect();
    let sentence = sentence::sentence(&changes, &pairs, &findings, words);
    let notes = sentence::notes(old, new, &pairs);
    Difference { changes, figures, findings, sentence, notes }
}

/// Every change as a sentence, nothing worked out.
pub(crate) fn change_lines(old: &Project, new: &Project, words: Words<'_>) -> Vec<ChangeLine> {
    says::lines(old, new, document::difference(old, new), words)
}

/// Changes of [`document::difference`] between these two as sentences, in the picked units; nothing is worked out.
///
/// ```
/// use telling::changes_in_words;
/// use document::{Edit, Part, PartId, Project, difference};
/// use units::UnitChoice;
///
/// let old = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let new = Edit::RenameProject("Tray line 3".to_owned()).apply(&old)?;
/// let says = changes_in_words(&old, &new, &difference(&old, &new), &UnitChoice::default());
/// assert_eq!(says, ["Project: name from “Tray line 2” to “Tray line 3”"]);
/// # Ok::<(), document::EditError>(())
/// ```
pub fn changes_in_words(old: &Project, new: &Project, changes: &[Change], units: &UnitChoice) -> Vec<String> {
    let lines = says::lines(old, new, changes.to_vec(), Words { choice: units });
    lines.into_iter().map(|line| line.says).collect()
}

/// Both reports of one layout.
struct Pair {
    before: Arc<Report>,
    after: Arc<Report>,
}
