//! The reviewer's checklist: what a careful colleague would question before saying yes.
//!
//! Questions are made from the report and the project alone. Each has a key that stays while it is about the same thing,
//! whatever its figures, and a text with the figures, by which a tick of an older state is recognised.

mod assumed;
mod circuits;
mod findings;
mod handing;
mod inputs;
mod motions;

use analysis::{Report, words::Words};
use document::{CupId, Layout, LayoutId, MotionId, Part, Pin, Project};
use units::UnitChoice;

/// Groups of [`Question::group`], in the order of the checklist.
pub const QUESTION_GROUPS: [&str; 6] = [FINDINGS, TAKEN_ON, ASSUMPTIONS, INPUTS, CIRCUIT, HANDING_OVER];

const FINDINGS: &str = "Findings";
const TAKEN_ON: &str = "Accepted";
const ASSUMPTIONS: &str = "Assumptions";
const INPUTS: &str = "Inputs";
const CIRCUIT: &str = "Circuit";
const HANDING_OVER: &str = "Issue";

/// One question of the reviewer's checklist.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The same while the question is about the same thing, whatever its figures; unique within a checklist.
    pub key: String,
    /// One of [`QUESTION_GROUPS`].
    pub group: &'static str,
    /// What is so, with its figures. A tick whose `asked` reads otherwise is of an older state.
    pub says: String,
    /// What to look into, and what would answer it.
    pub why: String,
    /// What it is about.
    pub pin: Pin,
    /// What that is called: "C4".
    pub called: String,
}

/// The reviewer's checklist of one layout: open findings, findings taken on, assumed values, inputs and circuits that a careful
/// colleague would question, and what handing over wants. In the order of [`QUESTION_GROUPS`]; each key once. What is not
/// about one layout has the same key in the checklist of every layout.
///
/// ```
/// use analysis::Analyst;
/// use telling::questions;
/// use document::{Part, PartId, Project};
/// use units::UnitChoice;
///
/// let project = Project::new("Tray line 2", Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0)); // mm
/// let report = Analyst::new().check_whole(&project, project.layouts[0].id);
/// let asked = questions(&project, &report, &UnitChoice::default());
/// let friction = asked.iter().find(|question| question.key == "assumed/part 1/friction").ok_or("not asked")?;
/// assert_eq!(friction.says, "The friction of the lips on Tray blank is assumed: 0.50.");
/// # Ok::<(), &str>(())
/// ```
pub fn questions(project: &Project, report: &Report, units: &UnitChoice) -> Vec<Question> {
    let Some(layout) = project.layout(report.layout) else { return Vec::new() };
    // Of several parts on a tool the one that governs.
    let shown = report.part.as_ref().map_or(layout.part, |part| part.id);
    let part = project.part(shown).map(AsRef::as_ref);
    let words = Words { choice: units };
    let mut asking = Asking { project, layout, part, report, words, out: Vec::new() };
    findings::ask(&mut asking);
    assumed::ask(&mut asking);
    inputs::ask(&mut asking);
    motions::ask(&mut asking);
    circuits::ask(&mut asking);
    handing::ask(&mut asking);
    let Asking { mut out, .. } = asking;
    // Stable: within a group the order they were asked in stays.
    out.sort_by_key(|question| QUESTION_GROUPS.iter().position(|group| *group == question.group));
    out
}

/// What the questions are made from, and those made so far.
struct Asking<'a> {
    project: &'a Project,
    layout: &'a Layout,
    part: Option<&'a Part>,
    report: &'a Report,
    words: Words<'a>,
    out: Vec<Question>,
}

impl Asking<'_> {
    /// Where places are counted from.
    fn datum(&self) -> glam::DVec2 {
        self.part.map_or(glam::DVec2::ZERO, Part::datum_at)
    }
    fn ask(
        &mut self,
        group: &'static str,
        key: String,
        (pin, called): (Pin, String),
        says: String,
        why: impl Into<String>,
    ) {
        match self.out.iter_mut().find(|held| held.key == key) {
            // Two findings of one rule about the same cups are one question.
            Some(held) => {
                if !held.says.contains(&says) {
                    held.says = format!("{} {says}", held.says);
                }
            }
            None => self.out.push(Question { key, group, says, why: why.into(), pin, called }),
        }
    }

    fn whole(&self) -> (Pin, String) {
        (Pin::Whole, self.project.name.clone())
    }

    fn motion(&self, id: MotionId) -> (Pin, String) {
        (Pin::Motion(id), self.project.motion(id).map_or_else(String::new, |motion| motion.name.clone()))
    }

    fn tags(&self, cups: &[CupId]) -> Vec<String> {
        cups.iter()
            .map(|id| {
                let held = self.layout.cups.iter().find(|cup| cup.id == *id);
                held.map_or_else(|| format!("cup {id}"), |cup| cup.tag.clone())
            })
            .collect()
    }
}

/// Names a finding in a key: rule, cups in the order of their ids, motion.
fn finding_key(layout: LayoutId, rule: &str, subject: &[CupId], motion: Option<MotionId>) -> String {
    let mut cups: Vec<CupId> = subject.to_vec();
    cups.sort_unstable();
    let cups: Vec<String> = cups.iter().map(ToString::to_string).collect();
    let cups = if cups.is_empty() { String::new() } else { format!("/cups {}", cups.join(" ")) };
    let motion = motion.map_or_else(String::new, |id| format!("/motion {id}"));
    format!("layout {layout}/{rule}{cups}{motion}")
}
