//! Which figures make sense, as the [registry](crate::registry) has it: checked when a file is opened, when a figure is entered
//! and when two projects are merged.
//!
//! A file with a figure outside its row opens and is not altered: the figure is a [`Problem`](crate::Problem), and nothing is
//! worked out with it. An edit that brings one in is refused.

use crate::registry::{Field, field};
use crate::{
    Circuit, Cup, CupModel, Layout, Motion, Part, Pin, Project, Remark, Rules, Seat, SourceModel, Tool,
    Trial, numbers,
};
use numbers::{At, Each};
use std::{collections::HashSet, sync::Arc};
use units::UnitChoice;

/// A figure outside the range of its field.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// Which field.
    pub field: &'static Field,
    /// Of what: "cup C4 of Layout A"; empty where the name of the field says it all.
    pub of: String,
    /// The figure, in the file's unit; not finite where a file or a sum of two made it so.
    pub value: f64,
}
impl OutOfRange {
    /// What is wrong, a sentence without a full stop: "the thickness of part Tray blank is 0 mm".
    pub fn says(&self, units: &UnitChoice) -> String {
        let value = self.field.measure.exact(self.value, units);
        match self.of.as_str() {
            "" => format!("{} is {value}", self.field.the()),
            of => format!("{} of {of} is {value}", self.field.the()),
        }
    }
    /// What to enter, and why nothing else.
    pub fn remedy(&self, units: &UnitChoice) -> String {
        format!("enter {} ({})", self.field.range(units), self.field.why(units))
    }
    fn is_same(&self, other: &Self) -> bool {
        self.field.key == other.field.key && self.value.to_bits() == other.value.to_bits()
    }
}

impl Part {
    /// The first figure of the part, its outline or its keep-outs that is out of its range.
    pub fn out_of_range(&self) -> Option<OutOfRange> {
        first(|out| part(self, out))
    }
}
impl CupModel {
    /// The first figure of the model that is out of its range.
    pub fn out_of_range(&self) -> Option<OutOfRange> {
        first(|out| model(self, out))
    }
}
impl Rules {
    /// Every limit with its row, in the order of the file.
    pub fn numbers(mut self) -> Vec<(&'static Field, f64)> {
        let mut found = Vec::new();
        numbers::rules(&mut self, &mut |at, value| found.extend(field(at.key).map(|field| (field, *value))));
        found
    }
    /// With one limit at another figure, by its key: "rules.gap_watch_mm".
    #[must_use]
    pub fn with(mut self, key: &str, figure: f64) -> Self {
        numbers::rules(&mut self, &mut |at, value| {
            if at.key == key {
                *value = figure;
            }
        });
        self
    }
}
fn first(look: impl FnOnce(Out<'_>)) -> Option<OutOfRange> {
    let mut first = None;
    look(&mut |out| {
        first.get_or_insert(out);
    });
    first
}

/// Figures out of their range, as they are found.
pub(crate) type Out<'a> = &'a mut dyn FnMut(OutOfRange);

fn look(at: At<'_>, value: f64, of: &str, out: Out<'_>) {
    // A number without a row has no limits; a test walks the file and fails on one.
    let Some(field) = field(at.key).filter(|field| !field.allows(value)) else { return };
    let of = match (at.within, of) {
        ("", of) | (of, "") => of.to_owned(),
        (within, of) => format!("{within} {of}"),
    };
    out(OutOfRange { field, of, value });
}
/// Figures out of range of a thing that [`numbers`] can list.
pub(crate) fn thing<T: Clone>(thing: &T, visit: impl Fn(&mut T, Each<'_>), of: &str, out: Out<'_>) {
    visit(&mut thing.clone(), &mut |at, value| look(at, *value, of, out));
}
/// As [`thing`] for a cup, without a copy of it: it is asked in every step of a drag.
pub(crate) fn cup(cup: &Cup, layout: &str, out: Out<'_>) {
    let numbers = [
        ("cup.at", cup.at.x),
        ("cup.at", cup.at.y),
        ("cup.turn_deg", cup.turn_deg),
        ("cup.height_mm", cup.height_mm),
    ];
    for (key, value) in numbers {
        if field(key).is_some_and(|field| !field.allows(value)) {
            look(numbers::own(key), value, &format!("cup {} of {layout}", cup.tag), out);
        }
    }
}
/// A part with its outline and keep-outs; of its vertices only the first that is out of range.
pub(crate) fn part(part: &Part, out: Out<'_>) {
    let of = format!("part {}", part.name);
    thing(part, numbers::part, &of, out);
    vertices(part, &of, out);
}
fn vertices(part: &Part, of: &str, out: Out<'_>) {
    let (Some(at), Some(bulge)) = (field("part.outline.at"), field("part.outline.bulge")) else { return };
    let outline = &*part.outline;
    let holes = outline.holes.iter().map(|hole| (hole, "a hole"));
    let keep_outs = part.keep_outs.iter().map(|k| (&*k.area, k.name.as_str()));
    for (boundary, name) in std::iter::once((&outline.outer, "the outline")).chain(holes).chain(keep_outs) {
        for v in &boundary.vertices {
            let numbers = [(at, v.at.x), (at, v.at.y), (bulge, v.bulge)];
            if let Some((field, value)) = numbers.into_iter().find(|(field, value)| !field.allows(*value)) {
                out(OutOfRange { field, of: format!("{name} of {of}"), value });
                return;
            }
        }
    }
}
pub(crate) fn tool(tool: &Tool, layout: &str, out: Out<'_>) {
    thing(tool, numbers::tool, &format!("the tool of {layout}"), out);
}
pub(crate) fn seat(seat: &Seat, layout: &str, out: Out<'_>) {
    thing(seat, numbers::seat, &format!("a part on the tool of {layout}"), out);
}
pub(crate) fn motion(motion: &Motion, out: Out<'_>) {
    thing(motion, numbers::motion, &format!("motion {}", motion.name), out);
}
pub(crate) fn model(model: &CupModel, out: Out<'_>) {
    thing(model, numbers::model, &format!("cup model {}", model.name), out);
}
pub(crate) fn source(source: &SourceModel, out: Out<'_>) {
    thing(source, numbers::source, &format!("source {}", source.name), out);
}
pub(crate) fn circuit(circuit: &Circuit, out: Out<'_>) {
    thing(circuit, numbers::circuit, &circuit.name, out);
}
pub(crate) fn trial(trial: &Trial, out: Out<'_>) {
    thing(trial, numbers::trial, "", out);
}

/// The first figure out of range in `after` that `before` has not.
pub(crate) fn brought_in(before: &Project, after: &Project) -> Option<OutOfRange> {
    let (mut found, mut known) = (Vec::new(), Vec::new());
    all(after, Some(before), &mut |out| found.push(out));
    if found.is_empty() {
        return None;
    }
    all(before, None, &mut |out| known.push(out));
    found.into_iter().find(|new| !known.iter().any(|old| new.is_same(old)))
}
/// Figures out of range, but for what another project shares.
fn all(p: &Project, other: Option<&Project>, out: Out<'_>) {
    /// Things that are not the same object in the other project.
    fn new<'a, T>(list: &'a [Arc<T>], other: Option<&[Arc<T>]>) -> impl Iterator<Item = &'a T> {
        let shared: HashSet<*const T> = other.unwrap_or_default().iter().map(Arc::as_ptr).collect();
        list.iter().filter(move |thing| !shared.contains(&Arc::as_ptr(thing))).map(Arc::as_ref)
    }
    if other.is_none_or(|o| o.site != p.site) {
        thing(&p.site, numbers::site, "the site", out);
    }
    if other.is_none_or(|o| o.rules != p.rules) {
        thing(&p.rules, numbers::rules, "", out);
    }
    if other.is_none_or(|o| o.sheet != p.sheet) {
        thing(&p.sheet, numbers::sheet, "", out);
    }
    if other.is_none_or(|o| o.cycle != p.cycle) {
        thing(&p.cycle, numbers::cycle, "the cycle", out);
    }
    if other.is_none_or(|o| o.question != p.question) {
        thing(&*p.question, numbers::question, "the question", out);
    }
    if other.is_none_or(|o| !Arc::ptr_eq(&o.trial, &p.trial)) {
        trial(&p.trial, out);
    }
    new(&p.parts, other.map(|o| &*o.parts)).for_each(|x| part(x, out));
    new(&p.layouts, other.map(|o| &*o.layouts)).for_each(|x| layout(x, out));
    new(&p.motions, other.map(|o| &*o.motions)).for_each(|x| motion(x, out));
    new(&p.circuits, other.map(|o| &*o.circuits)).for_each(|x| circuit(x, out));
    new(&p.models, other.map(|o| &*o.models)).for_each(|x| model(x, out));
    new(&p.sources, other.map(|o| &*o.sources)).for_each(|x| source(x, out));
    if other.is_none_or(|o| !Arc::ptr_eq(&o.review, &p.review)) {
        p.review.remarks.iter().for_each(|x| remark(x, out));
    }
}
/// The place that a remark is about: no figure that anything is worked out from, so that a file with one far off opens.
fn remark(remark: &Remark, out: Out<'_>) {
    let Pin::Place(_, at) = remark.pin else { return };
    let of = format!("remark {}", remark.id);
    for along in at.to_array() {
        look(numbers::own("remark.pin.Place"), along, &of, out);
    }
}
fn layout(layout: &Layout, out: Out<'_>) {
    layout.cups.iter().for_each(|x| cup(x, &layout.name, out));
    layout.seats.iter().for_each(|x| seat(x, &layout.name, out));
    tool(&layout.tool, &layout.name, out);
}
