//! Everything wrong with the inputs, as sentences.

use crate::{
    Circuit, CircuitId, Cup, CupId, CupModel, Layout, LayoutId, MassBy, ModelId, Motion, MotionId, Part,
    PartId, Project, Worst,
};
use geometry::LipShape;
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
    /// Where the tool works.
    Site,
}

/// Above this an acceleration is questioned, m/s²: about 20 g, more than a robot's arm makes (common practice, no source).
const MOST_ACCELERATION: f64 = 200.0;
/// Above this a turn rate is questioned, °/s.
const MOST_TURN_RATE: f64 = 2000.0;
/// Above this friction is questioned; rubber on a clean dry surface stays below (common practice, no source).
const MOST_FRICTION: f64 = 2.0;
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
    /// of the project come first, then parts, layouts with their cups, motions, circuits, models, site.
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
        self.parts.iter().for_each(|p| part(p, &mut found));
        self.layouts.iter().for_each(|l| layout(self, l, &mut found));
        self.motions.iter().for_each(|m| motion(m, &mut found));
        self.circuits.iter().for_each(|c| circuit(self, c, &mut found));
        self.models.iter().for_each(|m| model(m, &mut found));
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

impl CupModel {
    /// Everything wrong with the figures of a model, as sentences; what a form or a table of models is checked by.
    pub fn problems(&self) -> Vec<Problem> {
        let mut found = Found(Vec::new());
        model(self, &mut found);
        found.0
    }
}

fn part(p: &Part, found: &mut Found) {
    let subject = Subject::Part(p.id);
    let of = format!("part {}", p.name);
    if p.outline.outer.vertices.is_empty() {
        found.add(&subject, format!("{of} has no outline"), "import a drawing or sketch the outline");
    } else {
        for problem in geometry::validate(&p.outline) {
            found.add(
                &subject,
                format!("{of}: {problem}"),
                "mend the outline in the sketch or in the drawing",
            );
        }
    }
    found.positive(&subject, &of, "the thickness", p.thickness_mm, " mm");
    match &p.mass {
        MassBy::Density { kg_m3 } => found.positive(&subject, &of, "the density", kg_m3.value, " kg/m³"),
        MassBy::Areal { kg_m2 } => found.positive(&subject, &of, "the mass per area", kg_m2.value, " kg/m²"),
        MassBy::Stated { kg } => found.positive(&subject, &of, "the mass", kg.value, " kg"),
    }
    for a in &p.attached {
        found.positive(&subject, &format!("{} on {of}", a.name), "the mass", a.mass_kg, " kg");
        if a.size.min_element() < 0.0 {
            found.add(
                &subject,
                format!("a side of {} on {of} is negative", a.name),
                "enter its sides, or zero for a point",
            );
        }
    }
    friction(p.friction.value, &subject, &of, found);
    found.not_negative(&subject, &of, "the unevenness", p.uneven_mm, " mm");
    found.not_negative(&subject, &of, "the position tolerance", p.placement.position_mm, " mm");
    found.not_negative(&subject, &of, "the turn tolerance", p.placement.turn_deg, "°");
    found.not_negative(&subject, &of, "the drawing tolerance", p.placement.drawing_mm, " mm");
    for k in p.keep_outs.iter().filter(|k| k.area.vertices.len() < 2) {
        found.add(
            &subject,
            format!("keep-out {} of {of} has no area", k.name),
            "sketch it again or remove it",
        );
    }
}
fn friction(value: f64, subject: &Subject, of: &str, found: &mut Found) {
    if value > MOST_FRICTION {
        let says = format!("the friction of {of} is {value}, more than rubber has on any dry surface");
        found.add(
            subject,
            says,
            format!("measure it on the real part, or enter a figure up to {MOST_FRICTION}"),
        );
    } else {
        found.positive(subject, of, "the friction", value, "");
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

fn motion(m: &Motion, found: &mut Found) {
    let subject = Subject::Motion(m.id);
    let of = format!("motion {}", m.name);
    found.positive(&subject, &of, "the required factor", m.required_factor, "");
    let acceleration = m.acceleration.length();
    if acceleration > MOST_ACCELERATION {
        let says = format!(
            "the acceleration of {of} is {acceleration:.0} m/s², {:.0} times free fall, more than a robot's arm makes",
            acceleration / units::STANDARD_GRAVITY
        );
        found.add(
            &subject,
            says,
            format!("check figure and unit; up to {MOST_ACCELERATION} m/s² is not questioned"),
        );
    }
    let rate = m.turn_rate_deg_s.length();
    if rate > MOST_TURN_RATE {
        let says = format!("the turn rate of {of} is {rate:.0} °/s, more than a robot's axis makes");
        found.add(
            &subject,
            says,
            format!("check figure and unit; up to {MOST_TURN_RATE} °/s is not questioned"),
        );
    }
    let turning = [m.turn_rate_deg_s, m.turn_acceleration_deg_s2];
    if !turning.iter().all(|v| v.is_finite()) || !m.acceleration.is_finite() || !m.pivot_mm.is_finite() {
        found.add(&subject, format!("a figure of {of} is not a number"), "type it again");
    }
    let mut tilts = vec![m.tilt_deg];
    if let Worst::TiltTo { deg } = m.worst {
        tilts.push(deg);
    }
    for tilt in tilts {
        if !(-360.0..=360.0).contains(&tilt) {
            found.add(
                &subject,
                format!("the tilt of {of} is {tilt}°"),
                "enter 0° for level, 90° on edge, 180° turned over",
            );
        }
    }
}

fn circuit(p: &Project, c: &Circuit, found: &mut Found) {
    let subject = Subject::Circuit(c.id);
    let level = c.level_kpa.value;
    // The level is stated for sea level, where it can at most be all of the atmosphere.
    let outside = units::standard_atmosphere(0.0).kpa();
    if level >= outside {
        let says = format!(
            "the vacuum level of {} is {level} kPa and the atmosphere at sea level {outside:.1} kPa",
            c.name
        );
        let here = units::standard_atmosphere(p.site.altitude_m).kpa();
        let remedy = format!(
            "the level is stated for sea level and lowered with the atmosphere at the site ({here:.1} kPa); 40 to 80 kPa is usual"
        );
        found.add(&subject, says, remedy);
    } else {
        found.positive(&subject, &c.name, "the vacuum level", level, " kPa");
    }
}

fn model(m: &CupModel, found: &mut Found) {
    let subject = Subject::Model(m.id.clone());
    let of = format!("cup model {}", m.name);
    let (length, width) = match m.shape {
        LipShape::Round { diameter } => (diameter, diameter),
        LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. } => (length, width),
    };
    found.positive(&subject, &of, "the lip size", length.min(width), " mm");
    if length < width {
        let says = format!("the lip of {of} is {length} mm long and {width} mm wide");
        found.add(&subject, says, "exchange length and width");
    }
    if let LipShape::Rectangle { corner, .. } = m.shape
        && !(0.0..=length.min(width) / 2.0).contains(&corner)
    {
        let says = format!("the corner radius of {of} is {corner} mm");
        found.add(&subject, says, "enter a radius from zero to half the lip's width");
    }
    let share = m.sealing_share.value;
    if !(share > 0.0 && share <= 1.0) {
        let says = format!("the sealing line of {of} is {share} times its outer size");
        found.add(&subject, says, "enter a share between 0.8 and 0.95");
    }
    found.positive(&subject, &of, "the bore", m.bore_mm, " mm");
    if m.bore_mm >= length.min(width) && length.min(width) > 0.0 {
        let says = format!("the bore of {of} is {} mm and its lip {} mm", m.bore_mm, length.min(width));
        found.add(&subject, says, "enter the bore's diameter, smaller than the lip");
    }
    found.positive(&subject, &of, "the height", m.height_mm, " mm");
    found.not_negative(&subject, &of, "the travel", m.travel_mm.value, " mm");
    if m.travel_mm.value > m.height_mm {
        let says = format!("{of} gives {} mm and is only {} mm high", m.travel_mm.value, m.height_mm);
        found.add(&subject, says, "enter a travel below its height");
    }
    found.positive(&subject, &of, "the axial stiffness", m.axial_n_mm.value, " N/mm");
    found.positive(&subject, &of, "the lateral stiffness", m.lateral_n_mm.value, " N/mm");
    found.not_negative(&subject, &of, "the tilt reduction", m.tilt_reduction.value, "");
    found.not_negative(&subject, &of, "the seal minimum", m.seal_minimum_n_mm.value, " N/mm");
    found.not_negative(&subject, &of, "the height variation it closes", m.closes_mm, " mm");
    found.not_negative(&subject, &of, "the mass", m.mass_g, " g");
    if !(0.0..=100.0).contains(&m.hardness_shore_a) {
        let says = format!("the lip hardness of {of} is {} Shore A", m.hardness_shore_a);
        found.add(&subject, says, "enter a figure from 0 to 100, 30 to 60 is usual");
    }
    if m.allowed.is_empty() {
        found.add(&subject, format!("{of} is meant for no surface"), "choose at least one texture");
    }
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
}
