//! Everything wrong with the inputs, as sentences.

mod circuit;
mod model;
mod motion;
mod part;
mod seat;
mod tool;
mod trial;

use crate::{
    CircuitId, Cup, CupId, CupModel, Layout, LayoutId, ModelId, MotionId, PartId, Project, SeatId, SourceId,
    SourceModel, numbers,
    ranges::{self, OutOfRange},
};
use std::collections::HashMap;
use units::{UnitChoice, Worded};

/// One input that cannot be worked with; `subject` says which thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Which thing.
    pub subject: Subject,
    /// What is wrong, a sentence without a full stop.
    pub says: String,
    /// What to do.
    pub remedy: String,
    /// The figure that is out of its range, where that is what is wrong.
    pub out_of_range: Option<OutOfRange>,
    /// Both sentences before their figures got units, where they have some besides.
    worded: Option<Box<[Worded; 2]>>,
}
impl Problem {
    /// What is wrong and what to do, for whoever is read in units that are not known yet.
    pub fn worded(&self) -> [Worded; 2] {
        self.worded
            .as_deref()
            .cloned()
            .unwrap_or_else(|| [self.says.as_str().into(), self.remedy.as_str().into()])
    }
    /// With its figures in the units a person picked.
    pub fn in_units(self, units: &UnitChoice) -> Self {
        match (&self.out_of_range, &self.worded) {
            (Some(out), _) => Self { says: out.says(units), remedy: out.remedy(units), ..self },
            (None, Some(worded)) => {
                let [says, remedy] = worded.each_ref().map(|one| one.says(units));
                Self { says, remedy, ..self }
            }
            (None, None) => self,
        }
    }
}
/// A thing of the project.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Subject {
    /// The project as a whole.
    Project,
    /// A part.
    Part(PartId),
    /// A layout.
    Layout(LayoutId),
    /// A cup of a layout.
    Cup(LayoutId, CupId),
    /// A motion.
    Motion(MotionId),
    /// A circuit.
    Circuit(CircuitId),
    /// A cup model.
    Model(ModelId),
    /// What makes the vacuum.
    Source(SourceId),
    /// Where the tool works.
    Site,
}

/// Centres closer than this are one point, mm.
const SAME_POINT_MM: f64 = 0.01;

/// What to do, with figures or without.
struct Remedy(Worded);
impl From<&str> for Remedy {
    fn from(text: &str) -> Self {
        Self(Worded::text(text))
    }
}
impl From<Worded> for Remedy {
    fn from(worded: Worded) -> Self {
        Self(worded)
    }
}

struct Found(Vec<Problem>);
impl Found {
    fn add(&mut self, subject: &Subject, says: impl Into<String>, remedy: impl Into<String>) {
        let (says, remedy) = (in_short(&says.into()), in_short(&remedy.into()));
        self.0.push(Problem { subject: subject.clone(), says, remedy, out_of_range: None, worded: None });
    }
    /// A sentence whose figures have units: parts stand in the places of the pattern.
    fn figures<const N: usize>(
        &mut self,
        subject: &Subject,
        pattern: &str,
        parts: [units::Part; N],
        remedy: impl Into<Remedy>,
    ) {
        self.worded(subject, Worded::new(pattern, parts), remedy);
    }
    fn worded(&mut self, subject: &Subject, says: Worded, remedy: impl Into<Remedy>) {
        let worded = [says, remedy.into().0];
        let [says, remedy] = worded.each_ref().map(|one| one.says(&UnitChoice::default()));
        let worded = Some(Box::new(worded));
        self.0.push(Problem { subject: subject.clone(), says, remedy, out_of_range: None, worded });
    }
    /// Adds figures out of their range; whether there were none. Where there are some, what figures are to each other is not
    /// looked at.
    fn in_range(&mut self, subject: &Subject, look: impl FnOnce(ranges::Out<'_>)) -> bool {
        let before = self.0.len();
        look(&mut |out| {
            let units = UnitChoice::default();
            let (says, remedy) = (out.says(&units), out.remedy(&units));
            // A vector that is off in two directions is told once.
            if self.0.iter().skip(before).all(|told| told.says != says) {
                let subject = subject.clone();
                self.0.push(Problem { subject, says, remedy, out_of_range: Some(out), worded: None });
            }
        });
        self.0.len() == before
    }
}

impl Project {
    /// Everything wrong with the inputs (mass <= 0, friction 0, required factor 0, unknown model ...), as sentences. Those
    /// of the project come first, then parts, layouts with their cups, motions, circuits, models, sources, cycle, trial, site.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use document::{Motion, MotionId, MotionKind, Part, PartId, Project, Subject};
    /// # let part = Part::rectangle(PartId(1), "Tray blank", 600.0, 400.0);
    /// let mut project = Project::new("Tray line 2", part);
    /// let id = project.motions[0].id;
    /// project.motions[0] = Arc::new(Motion { required_factor: 0.0, ..Motion::preset(id, MotionKind::LevelLift) });
    /// let problems = project.problems();
    /// assert_eq!(problems[0].subject, Subject::Motion(id));
    /// assert_eq!(problems[0].says, "the required factor of motion Level lift is 0");
    /// ```
    pub fn problems(&self) -> Vec<Problem> {
        self.all_problems(true)
    }
    /// As [`Project::problems`], but whether outlines close, cross or touch is not looked at: the one thing here that takes long.
    pub fn problems_but_of_outlines(&self) -> Vec<Problem> {
        self.all_problems(false)
    }
    fn all_problems(&self, outlines: bool) -> Vec<Problem> {
        let mut found = Found(Vec::new());
        if self.motions.is_empty() {
            found.add(
                &Subject::Project,
                "there is no motion, so no load to check",
                "add a motion, level lift to begin with",
            );
        }
        self.parts.iter().for_each(|p| part::part(p, outlines, &mut found));
        self.layouts.iter().for_each(|l| layout(self, l, &mut found));
        self.motions.iter().for_each(|m| motion::motion(m, &mut found));
        self.circuits.iter().for_each(|c| circuit::circuit(self, c, &mut found));
        self.models.iter().for_each(|m| model::model(m, &mut found));
        self.sources.iter().for_each(|s| circuit::source(s, &mut found));
        trial::cycle(&self.cycle, &mut found);
        trial::trial(&self.trial, &mut found);
        site_and_rules(self, &mut found);
        found.0
    }
    /// As [`Project::problems`], those of one part on a tool: where it lies and which zones it shuts.
    pub fn seat_problems(&self, id: LayoutId, seat: SeatId) -> Vec<Problem> {
        let mut found = Found(Vec::new());
        if let Some((l, seat)) = self.layout(id).and_then(|l| Some((l, l.seat(seat)?))) {
            seat::seat(self, l, seat, &mut found);
        }
        found.0
    }
    /// As [`Project::problems`], those of one layout and its cups only: cheap enough for every step of a drag.
    pub fn layout_problems(&self, id: LayoutId) -> Vec<Problem> {
        let mut found = Found(Vec::new());
        if let Some(l) = self.layout(id) {
            layout(self, l, &mut found);
        }
        found.0
    }
}

impl SourceModel {
    /// Everything wrong with the figures of a source, as sentences; what a form or a table of curve points is checked by.
    ///
    /// ```
    /// # use document::{CurvePoint, SourceModel};
    /// let mut source = SourceModel::clone(&document::sources()[0]);
    /// assert_eq!(source.problems(), []);
    /// source.curve.insert(1, CurvePoint { level_kpa: 10.0, flow_nl_min: 99.0 });
    /// let says = &source.problems()[0].says;
    /// assert_eq!(says, "the curve of source Ejector for one cup, 15 L/min rises from 15 L/min ANR to 99 L/min ANR at 10 kPa");
    /// ```
    pub fn problems(&self) -> Vec<Problem> {
        let mut found = Found(Vec::new());
        circuit::source(self, &mut found);
        found.0
    }
}

impl CupModel {
    /// Everything wrong with the figures of a model, as sentences; what a form or a table of models is checked by.
    pub fn problems(&self) -> Vec<Problem> {
        let mut found = Found(Vec::new());
        model::model(self, &mut found);
        found.0
    }
}

/// A sentence in which figures of very many digits stand as powers of ten: a range that begins at zero lets 1e-300 in.
fn in_short(says: &str) -> String {
    const MOST: usize = 18;
    let word = |word: &str| match word.parse::<f64>() {
        Ok(figure) if word.len() > MOST => {
            units::show_exact(figure, units::Quantity::Ratio, &UnitChoice::default()).number
        }
        _ => word.to_owned(),
    };
    says.split(' ').map(word).collect::<Vec<String>>().join(" ")
}

fn layout(p: &Project, l: &Layout, found: &mut Found) {
    let subject = Subject::Layout(l.id);
    if p.part(l.part).is_none() {
        found.add(
            &subject,
            format!("{} is for a part that is not in the project", l.name),
            "choose one of the parts",
        );
    }
    let mut tags: HashMap<&str, usize> = HashMap::new();
    let mut nearby: HashMap<(i64, i64), Vec<&Cup>> = HashMap::new();
    for cup in &l.cups {
        let subject = Subject::Cup(l.id, cup.id);
        if p.model(&cup.model).is_none() {
            let says = format!(
                "cup {} of {} is of model {}, which is not in the project",
                cup.tag, l.name, cup.model
            );
            found.add(&subject, says, "choose a model from the library");
        }
        if p.circuit(cup.circuit).is_none() {
            let says = format!("cup {} of {} is on a circuit that is not in the project", cup.tag, l.name);
            found.add(&subject, says, "choose one of the circuits");
        }
        if !found.in_range(&subject, |out| ranges::cup(cup, &l.name, out)) {
            continue;
        }
        if cup.tag.trim().is_empty() {
            found.add(
                &subject,
                format!("a cup of {} has no tag", l.name),
                "give it one: the build team finds the cup by its tag",
            );
        }
        *tags.entry(&cup.tag).or_default() += 1;
        if let Some(other) = at_one_point(&nearby, cup) {
            let says = format!("cups {} and {} of {} are at one point", other.tag, cup.tag, l.name);
            found.add(&subject, says, format!("move or remove {}", cup.tag));
        }
        nearby.entry(cell(cup)).or_default().push(cup);
    }
    let mut twice: Vec<_> = tags.into_iter().filter(|(tag, n)| *n > 1 && !tag.trim().is_empty()).collect();
    twice.sort_unstable();
    for (tag, n) in twice {
        found.add(&subject, format!("{n} cups of {} have the tag {tag}", l.name), "give each its own tag");
    }
    l.seats.iter().for_each(|seat| seat::seat(p, l, seat, found));
    circuit::ports(p, l, found);
    tool::tool(l, found);
}
fn cell(cup: &Cup) -> (i64, i64) {
    let along = |x: f64| (x / SAME_POINT_MM).floor() as i64;
    (along(cup.at.x), along(cup.at.y))
}
/// Looks only into the cells around, so that the cost does not grow with the square of the cups.
fn at_one_point<'a>(nearby: &HashMap<(i64, i64), Vec<&'a Cup>>, cup: &Cup) -> Option<&'a Cup> {
    let (x, y) = cell(cup);
    let around = (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x.saturating_add(dx), y.saturating_add(dy))));
    let mut near = around.filter_map(|at| nearby.get(&at)).flatten();
    near.find(|o| o.at.distance(cup.at) < SAME_POINT_MM).copied()
}

fn site_and_rules(p: &Project, found: &mut Found) {
    found.in_range(&Subject::Site, |out| ranges::thing(&p.site, numbers::site, "the site", out));
    found.in_range(&Subject::Project, |out| ranges::thing(&p.rules, numbers::rules, "", out));
    found.in_range(&Subject::Project, |out| ranges::thing(&p.sheet, numbers::sheet, "", out));
    found.in_range(&Subject::Project, |out| {
        ranges::thing(&*p.question, numbers::question, "the question", out)
    });
}
