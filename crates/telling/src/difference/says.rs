//! Changes as sentences.

use super::{ChangeLine, values::Values};
use analysis::words::{self, Words};
use document::{
    Change, ChangeKind, CupId, FieldPath, LayoutId, MotionId, Project, Thing, list_in_words, told_with,
};
use glam::DVec2;
use serde_json::Value;
use units::Quantity;

/// The list of hoses to single cups in the file: its elements are found by the cup.
const BRANCHES: &str = "branches";

/// Every change as a line, with what it is about.
pub(super) fn lines(old: &Project, new: &Project, changes: Vec<Change>, words: Words<'_>) -> Vec<ChangeLine> {
    let telling = Telling { old: Values { project: old, words }, new: Values { project: new, words }, words };
    changes
        .into_iter()
        .map(|change| {
            let (layout, cups, motion) = about(&change.thing);
            let (says, name) = (telling.says(&change), telling.named(&change));
            let became = match change.kind {
                ChangeKind::Changed => telling.to(&change, false),
                ChangeKind::Added | ChangeKind::Removed => String::new(),
            };
            ChangeLine { says, name, became, layout, cups, motion, change }
        })
        .collect()
}

fn about(thing: &Thing) -> (Option<LayoutId>, Vec<CupId>, Option<MotionId>) {
    match thing {
        Thing::Layout(layout) | Thing::Tool(layout) => (Some(*layout), Vec::new(), None),
        Thing::Cup(layout, cup) => (Some(*layout), vec![*cup], None),
        Thing::Motion(motion) => (None, Vec::new(), Some(*motion)),
        Thing::Acceptance { layout, subject, motion, .. } => (Some(*layout), subject.clone(), *motion),
        Thing::Project
        | Thing::Site
        | Thing::Rules
        | Thing::Cycle
        | Thing::Sheet
        | Thing::Trial
        | Thing::Part(_)
        | Thing::Circuit(_)
        | Thing::Model(_)
        | Thing::Source(_)
        | Thing::Review => (None, Vec::new(), None),
    }
}

/// The kind of a thing, as the table of fields has it.
pub(super) fn kind(thing: &Thing) -> &'static str {
    match thing {
        Thing::Project => "project",
        Thing::Site => "site",
        Thing::Rules => "rules",
        Thing::Cycle => "cycle",
        Thing::Sheet => "sheet",
        Thing::Trial => "trial",
        Thing::Part(_) => "part",
        Thing::Layout(_) => "layout",
        Thing::Tool(_) => "tool",
        Thing::Cup(..) => "cup",
        Thing::Motion(_) => "motion",
        Thing::Circuit(_) => "circuit",
        Thing::Model(_) => "model",
        Thing::Source(_) => "source",
        Thing::Acceptance { .. } => "acceptance",
        Thing::Review => "review",
    }
}

/// A place as the file has it.
fn place(value: Option<&Value>) -> Option<DVec2> {
    let list = value?.as_array()?;
    Some(DVec2::new(list.first()?.as_f64()?, list.get(1)?.as_f64()?))
}

/// How far a cup was moved.
pub(super) fn shift(change: &Change) -> Option<DVec2> {
    let moved = matches!(change.thing, Thing::Cup(..)) && change.field.is("at");
    let by = place(change.to.as_ref())? - place(change.from.as_ref())?;
    (moved && by.is_finite()).then_some(by)
}

struct Telling<'a> {
    old: Values<'a>,
    new: Values<'a>,
    words: Words<'a>,
}

impl Telling<'_> {
    fn says(&self, change: &Change) -> String {
        let name = self.named(change);
        match change.kind {
            ChangeKind::Added => format!("{name} added{}", self.more(change, change.to.as_ref(), &self.new)),
            ChangeKind::Removed => {
                format!("{name} removed{}", self.more(change, change.from.as_ref(), &self.old))
            }
            ChangeKind::Changed => self.cup(change, &name).unwrap_or_else(|| self.field(change, &name)),
        }
    }

    /// What is added or gone in a few words.
    fn more(&self, change: &Change, value: Option<&Value>, side: &Values<'_>) -> String {
        let of = |key: &str| value.and_then(|value| value.get(key));
        let text = |key: &str| side.text(kind(&change.thing), &FieldPath::of(key), of(key), false);
        match &change.thing {
            Thing::Cup(..) => format!(" at {}, {}", text("at"), text("model")),
            Thing::Layout(_) => {
                let cups = of("cups").and_then(Value::as_array).map_or(0, Vec::len);
                let many = if cups == 1 { "cup" } else { "cups" };
                format!(", {cups} {many} on {}", text("part"))
            }
            Thing::Motion(_) => format!(", required factor {}", text("required_factor")),
            Thing::Acceptance { .. } => format!(", reason {}", text("reason")),
            _ => String::new(),
        }
    }

    /// What is said of a cup in words of its own.
    fn cup(&self, change: &Change, name: &str) -> Option<String> {
        let Thing::Cup(..) = change.thing else { return None };
        let (from, to) = (self.from(change, false), self.to(change, false));
        match change.field.own()? {
            "at" => {
                let by = shift(change)?;
                let (was, is) = (place(change.from.as_ref())?, place(change.to.as_ref())?);
                let mut by = self.words.length(by.length());
                if by == self.words.length(0.0) {
                    by = format!("less than {}", self.words.length(super::LITTLE_MM));
                }
                let ((was, _), (is, unit)) = (self.words.bare_pair(was), self.words.bare_pair(is));
                let is = format!("{is} {unit}");
                Some(format!("{name} moved {by}: from {was} to {is}"))
            }
            "turn_deg" => {
                let turn = change.to.as_ref()?.as_f64()? - change.from.as_ref()?.as_f64()?;
                let way = if turn < 0.0 { "clockwise" } else { "counter-clockwise" };
                let by = self.words.figure(turn.abs(), Quantity::Angle);
                Some(format!("{name} turned {by} {way}: from {from} to {to}"))
            }
            "model" => Some(format!("{name} has another model: {to} instead of {from}")),
            "circuit" => Some(format!("{name} is on {to} instead of {from}")),
            "locked" => Some(format!("{name} {}", if to == "yes" { "locked" } else { "unlocked" })),
            "tag" => Some(format!(
                "{} renamed to {}",
                change.from.as_ref()?.as_str()?,
                change.to.as_ref()?.as_str()?
            )),
            _ => None,
        }
    }

    fn from(&self, change: &Change, exact: bool) -> String {
        self.old.text(kind(&change.thing), &change.field, change.from.as_ref(), exact)
    }

    fn to(&self, change: &Change, exact: bool) -> String {
        self.new.text(kind(&change.thing), &change.field, change.to.as_ref(), exact)
    }

    /// With the tag of a cup in place of its number.
    fn field_name(&self, change: &Change) -> String {
        let tag = |list: &str, of: &str| {
            let cup = CupId(of.parse().ok().filter(|_| list == BRANCHES)?);
            let mut layouts = self.new.project.layouts.iter().chain(&self.old.project.layouts);
            let held = layouts.find_map(|layout| layout.cups.iter().find(|held| held.id == cup))?;
            Some(format!("branch of {}", held.tag))
        };
        told_with(kind(&change.thing), &change.field, &tag).name
    }

    /// A cup by its tag alone, everything else with its kind, as a sentence starts.
    fn named(&self, change: &Change) -> String {
        let Thing::Cup(layout, id) = change.thing else { return words::capital(&change.called) };
        let held = [self.new.project, self.old.project].into_iter().find_map(|project| {
            project.layout(layout)?.cups.iter().find(|cup| cup.id == id).map(|cup| cup.tag.clone())
        });
        held.unwrap_or_else(|| words::capital(&change.called))
    }

    fn field(&self, change: &Change, name: &str) -> String {
        if change.field.is_order() {
            return format!("{name}: the {} are in another order", list_in_words(&change.field));
        }
        let field = self.field_name(change);
        let (from, to) = (self.from(change, false), self.to(change, false));
        // What the fields of an element of a list are, as far as they can be told.
        let being = |what: &str| if what.is_empty() { String::new() } else { format!(", {what}") };
        match (&change.from, &change.to) {
            (None, Some(_)) if change.field.is_element() => format!("{name}: {field} added{}", being(&to)),
            (Some(_), None) if change.field.is_element() => {
                format!("{name}: {field} removed{}", being(&from))
            }
            (None, Some(_)) => format!("{name}: {field} set to {to}"),
            (Some(_), None) => format!("{name}: {field} removed, was {from}"),
            _ if from != to => format!("{name}: {field} from {from} to {to}"),
            _ => {
                let (from, to) = (self.from(change, true), self.to(change, true));
                if from == to {
                    format!("{name}: {field} changed")
                } else {
                    format!("{name}: {field} from {from} to {to}")
                }
            }
        }
    }
}
