//! The reviewer's checklist: what a careful colleague would question before saying yes.
//!
//! Questions are made from the report and the project alone. Each has a key that stays while it is about the same thing,
//! whatever its figures, and a state with the figures in base units, by which a tick of an older one is recognised.

mod assumed;
mod circuits;
mod findings;
mod handing;
mod inputs;
mod motions;

use analysis::{Report, words::Words};
use document::{CupId, Layout, LayoutId, MotionId, Part, Pin, Project, Tick};
use std::collections::{HashMap, HashSet};
use units::UnitChoice;

/// What a question is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum QuestionGroup {
    /// What fails, warns or was not checked.
    Findings,
    /// Findings that somebody accepted.
    Accepted,
    /// Values that nobody stated or measured.
    Assumptions,
    /// Other inputs.
    Inputs,
    /// Source, hoses and valves.
    Circuit,
    /// What handing over wants.
    Issue,
}

impl QuestionGroup {
    /// In the order of the checklist.
    pub const ALL: [Self; 6] =
        [Self::Findings, Self::Accepted, Self::Assumptions, Self::Inputs, Self::Circuit, Self::Issue];

    /// As a heading.
    pub fn label(self) -> &'static str {
        match self {
            Self::Findings => "Findings",
            Self::Accepted => "Accepted",
            Self::Assumptions => "Assumptions",
            Self::Inputs => "Inputs",
            Self::Circuit => "Circuit",
            Self::Issue => "Issue",
        }
    }
}

/// One question of the reviewer's checklist.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The same while the question is about the same thing, whatever its figures; unique within a checklist.
    pub key: String,
    /// What it is about.
    pub group: QuestionGroup,
    /// What is so, with its figures, in the units of who reads it.
    pub says: String,
    /// The same in any units. A tick of another state is an older one.
    pub state: String,
    /// What to look into, and what would answer it.
    pub why: String,
    /// Where a remark on it is pinned.
    pub pin: Pin,
    /// What that is called: "C4".
    pub called: String,
}

impl Question {
    /// The tick that it has, and whether that was set as it stands now.
    pub fn tick<'t>(&self, ticks: &'t [Tick]) -> Option<(&'t Tick, bool)> {
        ticks.iter().find(|tick| tick.key == self.key).map(|tick| (tick, tick.state == self.state))
    }
}

/// The reviewer's checklist of one layout: open findings, findings taken on, assumed values, inputs and circuits that a careful
/// colleague would question, and what handing over wants. In the order of [`QuestionGroup::ALL`]; each key once. What is not
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
    let mut out = asked(project, report, units);
    let base = UnitChoice::default();
    if *units != base {
        let states = asked(project, report, &base).into_iter().map(|question| (question.key, question.state));
        let mut states: HashMap<String, String> = states.collect();
        for question in &mut out {
            question.state = states.remove(&question.key).unwrap_or_default();
        }
    }
    out
}

/// As [`questions`], with states as they read in these units.
fn asked(project: &Project, report: &Report, units: &UnitChoice) -> Vec<Question> {
    let Some(layout) = project.layout(report.layout) else { return Vec::new() };
    // Of several parts on a tool the one that governs.
    let shown = report.part.as_ref().map_or(layout.part, |part| part.id);
    let part = project.part(shown).map(AsRef::as_ref);
    let words = Words { choice: units };
    let mut asking = Asking { project, layout, part, report, words, out: Vec::new(), told: HashSet::new() };
    findings::ask(&mut asking);
    assumed::ask(&mut asking);
    inputs::ask(&mut asking);
    motions::ask(&mut asking);
    circuits::ask(&mut asking);
    handing::ask(&mut asking);
    let mut out = asking.out;
    // Stable: within a group the order they were asked in stays.
    out.sort_by_key(|question| question.group);
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
    /// Keys and sentences of the questions made so far.
    told: HashSet<(String, String)>,
}

impl Asking<'_> {
    /// Where places are counted from.
    fn datum(&self) -> glam::DVec2 {
        self.part.map_or(glam::DVec2::ZERO, Part::datum_at)
    }
    fn ask(
        &mut self,
        group: QuestionGroup,
        key: String,
        about: (Pin, String),
        says: String,
        why: impl Into<String>,
    ) {
        let state = says.clone();
        self.ask_in(group, key, about, (says, state), why);
    }

    /// As [`Self::ask`], with a state of its own.
    fn ask_in(
        &mut self,
        group: QuestionGroup,
        key: String,
        (pin, called): (Pin, String),
        (says, state): (String, String),
        why: impl Into<String>,
    ) {
        if !self.told.insert((key.clone(), says.clone())) {
            return;
        }
        match self.out.iter_mut().find(|held| held.key == key) {
            // Two findings of one rule about the same cups are one question.
            Some(held) => {
                held.says = format!("{} {says}", held.says);
                held.state = format!("{}; {state}", held.state);
            }
            None => self.out.push(Question { key, group, says, state, why: why.into(), pin, called }),
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
