//! What is told of a drawing, for a person: alike things together, what needs an answer first.

use crate::choice::{Choice, Instead};
use crate::diagnostics::{Diagnostic, DiagnosticSeverity};
use crate::drawing::Drawing;
use glam::DVec2;
use units::UnitChoice;

/// How much a message matters, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Weight {
    /// The size or shape of the part hangs on an answer.
    Ask,
    /// Something is doubtful: a person should look.
    Check,
    /// Decided for a person, with an alternative.
    Chosen,
    /// Put right.
    Mended,
    /// Left out on purpose.
    Skipped,
}

impl Weight {
    /// One word for the front of a line: "ask", "check" ...
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Weight::Ask => "ask",
            Weight::Check => "check",
            Weight::Chosen => "chosen",
            Weight::Mended => "repaired",
            Weight::Skipped => "skipped",
        }
    }
}

/// One thing that is told, or several alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Message {
    /// How much it matters.
    pub weight: Weight,
    /// The sentence, without a full stop.
    pub says: String,
    /// The alternative and the way to it.
    pub other: Option<(String, Instead)>,
    /// How many times.
    pub count: usize,
    /// The first place, in words; may be empty.
    pub place: String,
    /// The first place, mm.
    pub at: Option<DVec2>,
}

/// Lines that are shown before the rest is asked for.
pub const SHOWN_FIRST: usize = 10;

/// All that is told of a drawing, in the units picked, the worst first; what differs only in where it is, or in the kind of what was left out,
/// is one message.
///
/// ```
/// # let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 80"><rect width="90" height="60"/></svg>"#;
/// let drawing = exchange::read_drawing_bytes("plate.svg", svg, &exchange::ImportOptions::default())?;
/// assert_eq!(exchange::messages(&drawing, &units::UnitChoice::default())[0].weight, exchange::Weight::Ask); // its unit
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn messages(drawing: &Drawing, units: &UnitChoice) -> Vec<Message> {
    let mut all: Vec<Message> = drawing.choices.iter().map(|c| of_choice(c, units)).collect();
    let mut groups: Vec<(String, Message, Vec<String>)> = Vec::new();
    for d in &drawing.diagnostics {
        let (key, kind) = key(d, units);
        let found = groups.iter_mut().find(|(k, m, _)| *k == key && m.weight == weight(d.severity));
        match found {
            Some((_, message, kinds)) => {
                message.count += d.count;
                kinds.extend(kind);
            }
            None => groups.push((key, of_diagnostic(d, units), kind.into_iter().collect())),
        }
    }
    all.extend(groups.into_iter().map(|(key, mut message, kinds)| {
        const NAMED: usize = 6;
        if kinds.len() > 1 {
            let more = if kinds.len() > NAMED { ", …" } else { "" };
            let first: Vec<&str> = kinds.iter().take(NAMED).map(String::as_str).collect();
            message.says = format!("{key}: {}{more}", first.join(", "));
        }
        message
    }));
    all.sort_by_key(|m| m.weight);
    all
}

fn weight(severity: DiagnosticSeverity) -> Weight {
    match severity {
        DiagnosticSeverity::Warning => Weight::Check,
        DiagnosticSeverity::Mended => Weight::Mended,
        DiagnosticSeverity::Skipped => Weight::Skipped,
    }
}

fn of_choice(c: &Choice, units: &UnitChoice) -> Message {
    Message {
        weight: if c.doubtful { Weight::Ask } else { Weight::Chosen },
        says: c.says.says(units),
        other: Some((c.other.says(units), c.instead)),
        count: 1,
        place: String::new(),
        at: c.at,
    }
}

fn of_diagnostic(d: &Diagnostic, units: &UnitChoice) -> Message {
    Message {
        weight: weight(d.severity),
        says: d.what.says(units),
        other: None,
        count: d.count,
        place: d.place.says(units),
        at: d.at,
    }
}

/// What alike messages have in common, and what tells this one from them.
fn key(d: &Diagnostic, units: &UnitChoice) -> (String, Option<String>) {
    let says = d.what.says(units);
    let what = says.as_str();
    if let Some(of) = what.strip_suffix(" left out: it draws no outline") {
        return ("left out, as it draws no outline".to_owned(), Some(format!("{} {of}", d.count)));
    }
    if let Some((of, why)) = what.split_once(" left out: it seems to carry ") {
        let carries = why.split_once(',').map_or(why, |(carries, _)| carries);
        return ("left out by what their names say".to_owned(), Some(format!("{of} ({carries})")));
    }
    if let Some((of, why)) = what.split_once(" left out: drawn as a ") {
        let why = why.split_once(';').map_or(why, |(why, _)| why);
        return ("left out by the way they are drawn".to_owned(), Some(format!("{} {of} as {why}", d.count)));
    }
    for open in [" left out: it does not close", " left out: it branches off"] {
        if what.contains(open) {
            return ("lines that belong to no outline left out".to_owned(), Some(first_of(what, d, units)));
        }
    }
    (says, None)
}

/// The ends of an open line.
fn first_of(what: &str, d: &Diagnostic, units: &UnitChoice) -> String {
    what.split_once("open ends at ").map_or_else(|| d.place.says(units), |(_, ends)| ends.to_owned())
}
