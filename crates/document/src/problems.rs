//! Everything wrong with the inputs, as sentences.

mod circuit;
mod model;
mod motion;
mod part;
mod tool;
mod trial;

use crate::{
    CircuitId, Cup, CupId, CupModel, Layout, LayoutId, ModelId, MotionId, PartId, Project, SourceId,
    SourceModel,
};
use std::collections::HashMap;

/// One input that cannot be worked with; `subject` says which thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Which thing.
    pub subject: Subject,
    /// What is wrong, a sentence without a full stop.
    pub says: String,
    /// What to do.
    pub remedy: String,
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

struct Found(Vec<Problem>);
impl Found {
    fn add(&mut self, subject: &Subject, says: impl Into<String>, remedy: impl Into<String>) {
        self.0.push(Problem { subject: subject.clone(), says: says.into(), remedy: remedy.into() });
    }
    /// `name` of the subject must be more than zero.
    fn positive(&mut self, subject: &Subject, of: &str, name: &str, value: f64, unit: &str) {
        if !(value > 0.0 && value.is_finite()) {
            self.add(subject, format!("{name} of {of} is {value}{unit}"), "enter a figure above zero");
        }
    }
    fn not_negative(&mut self, subject: &Subject, of: &str, name: &str, value: f64, unit: &str) {
        if !(value >= 0.0 && value.is_finite()) {
            self.add(subject, format!("{name} of {of} is {value}{unit}"), "enter zero or a figure above it");
        }
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
        let mut found = Found(Vec::new());
        if self.motions.is_empty() {
            found.add(
                &Subject::Project,
                "there is no motion, so no load to check",
                "add a motion, level lift to begin with",
            );
        }
        self.parts.iter().for_each(|p| part::part(p, &mut found));
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
    /// assert_eq!(says, "the curve of source Ejector for one cup, 15 L/min rises from 15 to 99 L/min at 10 kPa");
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
            let says = format!("cup {} of {} hangs on a circuit that is not in the project", cup.tag, l.name);
            found.add(&subject, says, "choose one of the circuits");
        }
        if !(cup.at.is_finite() && cup.turn_deg.is_finite()) {
            found.add(
                &subject,
                format!("cup {} of {} has no place", cup.tag, l.name),
                "type its x, y and turn again",
            );
            continue;
        }
        found.not_negative(
            &subject,
            &format!("cup {} of {}", cup.tag, l.name),
            "the post height",
            cup.height_mm,
            " mm",
        );
        if cup.tag.trim().is_empty() {
            found.add(
                &subject,
                format!("a cup of {} has no tag", l.name),
                "give it one: the build team finds it by that",
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
    // From the Dead Sea to the highest road (common knowledge, no source).
    if !(-450.0..=6000.0).contains(&p.site.altitude_m) {
        let says = format!("the altitude of the site is {} m", p.site.altitude_m);
        found.add(&Subject::Site, says, "enter metres above sea level, from -450 to 6000");
    }
    if !(-60.0..=200.0).contains(&p.site.temperature_c) {
        let says = format!("the temperature of the site is {} °C", p.site.temperature_c);
        found.add(&Subject::Site, says, "enter degrees Celsius, from -60 to 200");
    }
    if let Some(payload) = p.site.payload_kg
        && !(payload > 0.0 && payload.is_finite())
    {
        let says = format!("the payload of the robot is {payload} kg");
        found.add(&Subject::Site, says, "enter what it may carry at its flange, or leave it empty");
    }
    let r = &p.rules;
    let of = "the limits of the findings";
    found.not_negative(&Subject::Project, of, "the watched gap", r.gap_watch_mm, " mm");
    found.positive(&Subject::Project, of, "the watched centroid offset", r.centroid_offset_share, "");
    if r.factor_watch.is_nan() || r.factor_watch < 1.0 {
        let says = format!("the watched factor is {} times the required one", r.factor_watch);
        found.add(&Subject::Project, says, "enter 1 or more, 1.15 is usual");
    }
    if r.most_over_mean.is_nan() || r.most_over_mean < 1.0 {
        let says = format!("the watched most over mean load is {}", r.most_over_mean);
        found.add(&Subject::Project, says, "enter 1 or more, 1.5 is usual");
    }
    if !(r.slide_share > 0.0 && r.slide_share <= 1.0) {
        let says = format!("the share of friction that a lip may use is {}", r.slide_share);
        found.add(&Subject::Project, says, "enter a figure above 0 and up to 1, 0.9 is usual");
    }
    if !(r.favourable_weight > 0.0 && r.favourable_weight <= 1.0) {
        let says =
            format!("the share of the weight that is counted on where it helps is {}", r.favourable_weight);
        found.add(&Subject::Project, says, "enter a figure above 0 and up to 1, 0.9 is usual");
    }
    let shares = [
        ("the flow a source must have to spare", r.supply_margin),
        ("how far levels of a circuit may lie apart", r.level_spread),
        ("what one element may lose", r.element_loss),
    ];
    for (name, share) in shares {
        if !(share > 0.0 && share.is_finite()) {
            let says = format!("{name} before it is watched is {share} times it");
            found.add(&Subject::Project, says, "enter a share above 0; 0.25, 0.05 and 0.1 are usual");
        }
    }
    if !(r.payload_watch > 0.0 && r.payload_watch <= 1.0) {
        let says = format!("the watched share of the payload is {}", r.payload_watch);
        found.add(&Subject::Project, says, "enter a figure above 0 and up to 1, 0.85 is usual");
    }
    let spreads = [
        ("friction", r.friction_spread),
        ("stiffness or tilt reduction", r.stiffness_spread),
        ("sealing line or seal minimum", r.lip_spread),
    ];
    for (name, spread) in spreads {
        if !(0.0..1.0).contains(&spread) {
            let says = format!("how far an assumed {name} may be off is {spread} times it");
            found.add(&Subject::Project, says, "enter a share from 0 to below 1");
        }
    }
}
