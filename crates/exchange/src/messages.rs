//! What is told of a drawing, for a person: alike things together, what needs an answer first.

use crate::choice::{Choice, Instead};
use crate::diagnostics::{Diagnostic, DiagnosticSeverity};
use crate::drawing::Drawing;
use crate::told::Alike;
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
    let mut groups: Vec<(Option<Alike>, Message, Vec<String>)> = Vec::new();
    for d in &drawing.diagnostics {
        let (alike, apart) = (d.what.alike(), d.what.apart(d.count, units));
        let own = of_diagnostic(d, units);
        let found = groups.iter_mut().find(|(other, message, _)| {
            let same = if alike.is_some() { *other == alike } else { message.says == own.says };
            same && message.weight == own.weight
        });
        match found {
            Some((_, message, kinds)) => {
                message.count += d.count;
                kinds.extend(apart);
            }
            None => groups.push((alike, own, apart.into_iter().collect())),
        }
    }
    all.extend(groups.into_iter().map(|(alike, mut message, kinds)| {
        const NAMED: usize = 6;
        if let Some(alike) = alike.filter(|_| kinds.len() > 1) {
            let more = if kinds.len() > NAMED { ", …" } else { "" };
            let first: Vec<&str> = kinds.iter().take(NAMED).map(String::as_str).collect();
            message.says = format!("{}: {}{more}", alike.says(), first.join(", "));
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
