//! Sentences whose figures get their units when they are read.

use crate::{Quantity, UnitChoice, choice::unit_of, fixed, show_size, trimmed};

/// What stands in one place of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// Words, as they are.
    Text(String),
    /// A figure of a quantity, in its base unit, with every digit where those are few.
    Figure(f64, Quantity),
    /// A length (mm) that was measured or worked out: no finer than lengths are customarily told.
    Length(f64),
    /// Width and height, mm: "400 × 250 mm".
    Size([f64; 2]),
    /// A place, mm: "(12.5, 40) mm".
    Place([f64; 2]),
    /// A sentence within another.
    Said(Worded),
}

impl Part {
    fn says(&self, choice: &UnitChoice) -> String {
        let (scale, unit) = unit_of(Quantity::Length, choice);
        let length = |mm: f64, finer: usize| {
            let places = crate::show::decimals(Quantity::Length, choice) + finer;
            trimmed(&fixed(mm / scale, places, choice)).to_owned()
        };
        match self {
            Self::Text(text) => text.clone(),
            Self::Figure(value, quantity) => show_size(*value, *quantity, choice).to_string(),
            Self::Length(mm) => format!("{} {unit}", length(*mm, 0)),
            Self::Size([wide, high]) => format!("{} × {} {unit}", length(*wide, 0), length(*high, 0)),
            Self::Place([x, y]) => {
                let apart = choice.between();
                format!("({}{apart}{}) {unit}", length(*x, FINER_PLACE), length(*y, FINER_PLACE))
            }
            Self::Said(worded) => worded.says(choice),
        }
    }
}

/// Decimals of a place beyond those of a length: a gap in a drawing is found by them.
const FINER_PLACE: usize = 2;

impl From<&str> for Part {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}
impl From<&String> for Part {
    fn from(text: &String) -> Self {
        Self::Text(text.clone())
    }
}
impl From<String> for Part {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}
impl From<Worded> for Part {
    fn from(worded: Worded) -> Self {
        Self::Said(worded)
    }
}
impl From<(f64, Quantity)> for Part {
    fn from((value, quantity): (f64, Quantity)) -> Self {
        Self::Figure(value, quantity)
    }
}

/// A sentence of whoever knows no choice of units; its figures are printed once somebody reads it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worded(Vec<Part>);

impl Worded {
    /// Words without a figure.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Self(vec![Part::Text(text.into())])
    }

    /// A sentence with a part in each place that its pattern leaves, "{}"; parts without a place go to the end.
    ///
    /// # Units
    /// Figures are in the base unit of their quantity.
    ///
    /// ```
    /// use units::{Quantity, UnitChoice, Worded};
    ///
    /// let hose = Worded::new("hose {}, {} long", [(6.0, Quantity::Length).into(), (400.0, Quantity::Length).into()]);
    /// assert_eq!(hose.says(&UnitChoice::default()), "hose 6 mm, 400 mm long");
    /// assert_eq!(hose.says(&UnitChoice::inch_pound()), "hose 0.236 in, 15.748 in long");
    /// ```
    #[must_use]
    pub fn new(pattern: &str, parts: impl IntoIterator<Item = Part>) -> Self {
        let mut parts = parts.into_iter();
        let mut out = Vec::new();
        let mut pieces = pattern.split("{}").peekable();
        while let Some(piece) = pieces.next() {
            if !piece.is_empty() {
                out.push(Part::Text(piece.to_owned()));
            }
            if pieces.peek().is_some() {
                out.extend(parts.next());
            }
        }
        out.extend(parts);
        Self(out)
    }

    /// With another at its end.
    #[must_use]
    pub fn and(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }

    /// Several, with a text between each and the next.
    #[must_use]
    pub fn joined(all: impl IntoIterator<Item = Self>, between: &str) -> Self {
        let mut out = Self::default();
        for one in all {
            if !out.0.is_empty() {
                out.0.push(Part::Text(between.to_owned()));
            }
            out.0.extend(one.0);
        }
        out
    }

    /// Whether it says nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// As it reads in the units picked; a figure as [`show_size`] prints it.
    #[must_use]
    pub fn says(&self, choice: &UnitChoice) -> String {
        self.0.iter().map(|part| part.says(choice)).collect()
    }
}

impl From<String> for Worded {
    fn from(text: String) -> Self {
        Self(vec![Part::Text(text)])
    }
}
impl From<&str> for Worded {
    fn from(text: &str) -> Self {
        Self::text(text)
    }
}
impl From<Part> for Worded {
    fn from(part: Part) -> Self {
        Self(vec![part])
    }
}

/// In the base units, for whoever has no choice of units: an object of figures, a table, a test.
impl std::fmt::Display for Worded {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.says(&UnitChoice::default()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_is_read_in_the_units_picked() {
        let says = Worded::new(
            "{} passes {} at {}",
            ["a filter".into(), (0.3, Quantity::Conductance).into(), (-20.0, Quantity::Temperature).into()],
        );
        assert_eq!(says.says(&UnitChoice::default()), "a filter passes 0.3 dm³/(s·bar) at \u{2212}20 °C");
        let comma = UnitChoice { decimal_comma: true, ..UnitChoice::inch_pound() };
        assert_eq!(says.says(&comma), "a filter passes 0,0425 scfm/psi at \u{2212}4 °F");
    }

    #[test]
    fn sizes_places_and_lengths_are_as_fine_as_they_are_measured() {
        let says = Worded::new(
            "{} at {}: {}",
            [Part::Size([400.04, 250.0]), Part::Place([-0.0, 12.3456]), Part::Length(3.04)],
        );
        assert_eq!(says.to_string(), "400 × 250 mm at (0, 12.346) mm: 3 mm");
        assert_eq!(says.says(&UnitChoice::inch_pound()), "15.75 × 9.843 in at (0, 0.48605) in: 0.12 in");
        let comma = UnitChoice { decimal_comma: true, ..UnitChoice::default() };
        let within = Worded::new("a {}", [says.into()]);
        assert_eq!(within.says(&comma), "a 400 × 250 mm at (0; 12,346) mm: 3 mm");
    }

    #[test]
    fn parts_and_places_need_not_match() {
        let units = UnitChoice::default();
        assert_eq!(Worded::new("a {} b {}", ["1".into()]).says(&units), "a 1 b ");
        assert_eq!(Worded::new("a", ["1".into(), "2".into()]).says(&units), "a12");
        let both = Worded::joined([Worded::text("a"), Worded::text("b")], "; ");
        assert_eq!(both.says(&units), "a; b");
        assert!(Worded::default().is_empty() && Worded::joined([], "; ").is_empty());
    }
}
