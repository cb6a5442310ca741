//! One row for every field that a person can set: what it is called, what it measures, which figures make sense, what is taken
//! where nobody gave one, and why. Forms, sentences, checks on reading and entering, the list of what is assumed, differences,
//! merges and tables read it here; a name or a range is written nowhere else.

mod circuit;
mod model;
mod motion;
mod part;
mod path;
mod project;
mod tool;

pub use path::{Told, list_in_words, told, told_with};

use std::{collections::HashMap, sync::LazyLock};
use units::{Quantity, UnitChoice};

/// A field of the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Kind of thing and name in the file: "part.thickness_mm".
    pub key: &'static str,
    /// What it is called, without an article: "thickness".
    pub name: &'static str,
    /// Where a form has room for less: "C" for the sonic conductance.
    short: &'static str,
    /// One of several in a thing: "a corner", not "the corner".
    one_of_many: bool,
    /// What it measures.
    pub measure: Measure,
    /// Smallest figure that makes sense, in the file's unit.
    pub least: f64,
    /// Largest figure that makes sense, in the file's unit.
    pub most: f64,
    /// Why it ends there, or what is usual: a clause.
    why: &'static str,
    why_figures: Figures,
    /// What it is, for whoever fills in a form; empty where the name says it.
    help: &'static str,
    help_figures: Figures,
    /// Why the figure that stands there where nobody gave one is what it is; empty where there is none. Where no source is
    /// named it is common practice, no source.
    pub usual: &'static str,
}

/// What stands in the places "{}" of a text, each in the base unit of its quantity.
type Figures = &'static [(f64, Quantity)];

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// A number in the quantity's base unit.
    Of(Quantity),
    /// A number; times this it is in the quantity's base unit.
    Scaled(Quantity, f64),
    /// A number in a unit that nobody picks.
    Fixed(&'static str),
    /// A plain number.
    Plain,
    /// A word of a list of choices, or of a longer list; yes and no.
    Choice,
    /// What a person wrote.
    Text,
    /// A part, by its number.
    Part,
    /// A circuit, by its number.
    Circuit,
    /// A cup model, by its id.
    Model,
    /// A source, by its id.
    Source,
}
/// Which way a limit is rounded, so that it lies within the range.
#[derive(Clone, Copy)]
enum Round {
    Up,
    Down,
}

impl Measure {
    /// The quantity that a person picks the unit of, and how many of its base unit one of the file is; a plain number is a ratio.
    pub fn in_base(self) -> (Quantity, f64) {
        match self {
            Self::Of(quantity) => (quantity, 1.0),
            Self::Scaled(quantity, times) => (quantity, times),
            _ => (Quantity::Ratio, 1.0),
        }
    }
    /// A figure with its unit, as many digits as it has.
    pub(crate) fn exact(self, value: f64, units: &UnitChoice) -> String {
        if value.is_nan() {
            return "not a number".to_owned();
        }
        if value.is_infinite() {
            return "without limit".to_owned();
        }
        let (quantity, times) = self.in_base();
        self.with_unit(units::show_exact(value * times, quantity, units))
    }
    /// A limit to three figures.
    fn limit(self, value: f64, way: Round, units: &UnitChoice) -> String {
        let (quantity, times) = self.in_base();
        self.with_unit(match way {
            Round::Up => units::show_at_least(value * times, quantity, units),
            Round::Down => units::show_at_most(value * times, quantity, units),
        })
    }
    fn with_unit(self, shown: units::Shown) -> String {
        let shown = units::Shown { number: shown.number.replace('-', "\u{2212}"), ..shown };
        match self {
            Self::Fixed(unit) => format!("{} {unit}", shown.number),
            _ => shown.to_string(),
        }
    }
}

impl Field {
    /// As a form labels it: "Thickness".
    pub fn label(&self) -> String {
        // A symbol stays as it is written: "b" is another quantity than "B".
        if self.short.len() == 1 {
            return self.short.to_owned();
        }
        let name = if self.short.is_empty() { self.name } else { self.short };
        let mut letters = name.chars();
        letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
    }
    /// In a sentence: "the thickness", "a corner".
    pub fn the(&self) -> String {
        let article = match (self.one_of_many, self.name.starts_with(['a', 'e', 'i', 'o', 'u'])) {
            (false, _) => "the",
            (true, false) => "a",
            (true, true) => "an",
        };
        format!("{article} {}", self.name)
    }
    /// Whether it holds a number with a range.
    pub fn is_number(&self) -> bool {
        self.least.is_finite()
    }
    /// Whether a figure makes sense here, in the file's unit.
    pub fn allows(&self, value: f64) -> bool {
        (self.least..=self.most).contains(&value)
    }
    /// A figure of it with its unit, "2.5 mm".
    pub fn shown(&self, value: f64, units: &UnitChoice) -> String {
        self.measure.exact(value, units)
    }
    /// "0.1 mm to 5000 mm".
    pub fn range(&self, units: &UnitChoice) -> String {
        let least = self.measure.limit(self.least, Round::Up, units);
        let most = self.measure.limit(self.most, Round::Down, units);
        format!("{least} to {most}")
    }

    /// Why the range ends there, or what is usual: a clause.
    pub fn why(&self, units: &UnitChoice) -> String {
        with_figures(self.why, self.why_figures, units)
    }
    /// What it is, for whoever fills in a form; empty where the name says it.
    pub fn help(&self, units: &UnitChoice) -> String {
        with_figures(self.help, self.help_figures, units)
    }

    const fn helped(self, help: &'static str) -> Self {
        Self { help, ..self }
    }
    /// Figures of the help.
    const fn help_at(self, help_figures: Figures) -> Self {
        Self { help_figures, ..self }
    }
    /// Figures of the reason.
    const fn why_at(self, why_figures: Figures) -> Self {
        Self { why_figures, ..self }
    }
    const fn usual(self, usual: &'static str) -> Self {
        Self { usual, ..self }
    }
    const fn short(self, short: &'static str) -> Self {
        Self { short, ..self }
    }
    /// One of several that a thing has.
    const fn each(self) -> Self {
        Self { one_of_many: true, ..self }
    }
}

const fn number(
    key: &'static str,
    name: &'static str,
    measure: Measure,
    (least, most): (f64, f64),
    why: &'static str,
) -> Field {
    Field {
        key,
        name,
        short: "",
        one_of_many: false,
        measure,
        least,
        most,
        why,
        why_figures: &[],
        help: "",
        help_figures: &[],
        usual: "",
    }
}
const fn other(key: &'static str, name: &'static str, measure: Measure) -> Field {
    number(key, name, measure, (f64::NEG_INFINITY, f64::INFINITY), "")
}
const fn text(key: &'static str, name: &'static str) -> Field {
    other(key, name, Measure::Text)
}
const fn choice(key: &'static str, name: &'static str) -> Field {
    other(key, name, Measure::Choice)
}

/// No part and no tool is longer than this, mm.
const LONGEST: f64 = 1e5;
/// The atmosphere at sea level is 101.325 kPa (ISO 2533, from memory): no level is deeper.
const DEEPEST: f64 = 101.3;
const DAY: f64 = 86_400.0;

const IN_REACH: &str = "no part and no tool is over {}";
const REACH: Figures = &[(100.0, Quantity::Altitude)];
const HEAVY: &str = "nothing that cups carry weighs {}";
const WEIGHT: Figures = &[(1e5, Quantity::Mass)];
const TURNS: &str = "a whole turn is the same position";
const BELOW_ATMOSPHERE: &str = "no level is deeper than the atmosphere at sea level";
const RUBBER: &str = "no rubber has more on a dry surface";
const A_DAY: &str = "nothing is held for over a day";
const FEED: &str = "compressed air for tools has up to {}";
const FED: Figures = &[(1000.0, Quantity::FeedPressure)];

const fn length(
    key: &'static str,
    name: &'static str,
    (least, most): (f64, f64),
    why: &'static str,
) -> Field {
    number(key, name, Measure::Of(Quantity::Length), (least, most), why)
}
const fn place(key: &'static str, name: &'static str) -> Field {
    length(key, name, (-LONGEST, LONGEST), IN_REACH).why_at(REACH)
}
const fn turn(key: &'static str, name: &'static str) -> Field {
    number(key, name, Measure::Of(Quantity::Angle), (-3600.0, 3600.0), TURNS)
}
const fn level(key: &'static str, name: &'static str, least: f64) -> Field {
    number(key, name, Measure::Of(Quantity::VacuumLevel), (least, DEEPEST), BELOW_ATMOSPHERE)
}
const fn bore(key: &'static str, name: &'static str) -> Field {
    length(key, name, (0.01, 1000.0), "a bore lets air through, and none is wider than {}")
        .why_at(&[(1000.0, Quantity::Length)])
}
const fn time(key: &'static str, name: &'static str, range: (f64, f64), why: &'static str) -> Field {
    number(key, name, Measure::Of(Quantity::Time), range, why)
}

/// Every row; limits are wide: they part what a person may mean from what is a slip of the finger, of the unit or of another
/// program, and they keep every product and square of a figure far from the end of what a double holds. Where a reason names no
/// source, it is common practice, no source.
static ALL: LazyLock<Vec<Field>> = LazyLock::new(|| {
    [part::FIELDS, tool::FIELDS, motion::FIELDS, model::FIELDS, circuit::FIELDS, project::FIELDS].concat()
});

/// A row for every number that a file can hold, and for words and choices ([`Field::is_number`] tells which).
///
/// ```
/// let thickness = document::fields().iter().find(|field| field.key == "part.thickness_mm").ok_or("no such field")?;
/// assert!(thickness.allows(3.0) && !thickness.allows(0.0) && !thickness.allows(f64::NAN));
/// assert_eq!(thickness.the(), "the thickness");
/// # Ok::<(), &str>(())
/// ```
pub fn fields() -> &'static [Field] {
    &ALL
}

/// The row of a field by its key; `None` where there is none.
pub fn field(key: &str) -> Option<&'static Field> {
    static ROWS: LazyLock<HashMap<&str, &Field>> =
        LazyLock::new(|| ALL.iter().map(|field| (field.key, field)).collect());
    ROWS.get(key).copied()
}

/// What a field is called, by its key: "thickness".
pub fn name_of(key: &'static str) -> &'static str {
    field(key).map_or(key, |field| field.name)
}

/// What a field is, for whoever fills in a form, by its key.
pub fn help_of(key: &str, units: &UnitChoice) -> String {
    field(key).map_or_else(String::new, |field| field.help(units))
}

fn with_figures(text: &str, figures: Figures, units: &UnitChoice) -> String {
    units::Worded::new(text, figures.iter().map(|figure| (*figure).into())).says(units)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_spelled_for_label_and_sentence() {
        for field in ALL.iter() {
            assert!(!field.name.starts_with("the ") && !field.name.ends_with('.'), "{}", field.key);
            assert_eq!(field.name, field.name.trim(), "{}", field.key);
            assert!(field.label().chars().count() <= 34, "{} is a long label", field.label());
        }
        assert_eq!(field("part.outline.at").map(Field::the).as_deref(), Some("a corner"));
        assert_eq!(field("part.uneven_mm").map(Field::label).as_deref(), Some("Height variation"));
        assert_eq!(field("circuit.supply.restriction.b").map(Field::label).as_deref(), Some("b"));
    }

    #[test]
    fn every_place_of_a_text_has_its_figure() {
        for field in ALL.iter() {
            for (text, figures) in [(field.why, field.why_figures), (field.help, field.help_figures)] {
                assert_eq!(text.matches("{}").count(), figures.len(), "{}: {text}", field.key);
            }
        }
        let most = field("model.closes_mm").map(|field| field.why(&UnitChoice::inch_pound()));
        assert_eq!(most.as_deref(), Some("no lip seals a gap of 39.37 in"));
    }

    #[test]
    fn no_key_stands_twice() {
        let mut keys: Vec<&str> = ALL.iter().map(|field| field.key).collect();
        keys.sort_unstable();
        assert!(keys.windows(2).all(|pair| pair[0] != pair[1]));
    }
}
