//! Text to value: a small calculator that knows units.
//!
//! ```text
//! sum     = product { ("+" | "-") product }
//! product = signed { ("*" | "/") signed }
//! signed  = { "+" | "-" } ( "(" sum ")" [unit] | reading )
//! reading = number [unit] { number [smaller unit] }      1' 6 1/2", 2 kg 300 g
//! number  = decimal [blank integer "/" integer] | decimal "/" decimal (before a unit)
//! ```

use crate::choice::zero_of;
use crate::error::ParseError;
use crate::table::{self, Unit};
use crate::{Quantity, UnitChoice, number, unit_of};

mod reading;
mod unit;

/// Longest text read; a field holds far less.
const LONGEST: usize = 200;
/// Deepest nesting of brackets.
const DEEPEST: usize = 24;
/// Longest piece quoted in a message.
const QUOTED: usize = 40;

/// Reads "12 1/2 in", "3/8\"", "1' 6", "240+15", "2*(120+5) mm", "1,5 kg", "0.6 bar" into the base unit; a bare
/// number is in the unit the person picked.
///
/// - Each unit belongs to the number or the bracket before it: "240 + 15 in" is 240 of the unit picked and 15 in.
/// - Whole number, blank and fraction are one number: "12 1/2 in". A hyphen is a minus: "12-1/2" is 11.5.
/// - Comma and point are both decimal marks. A number like "1,234", which could be either, is refused unless the
///   comma is the picked decimal mark (and "1.234" if it is). Thin blanks may separate thousands.
/// - A vacuum level typed with a minus sign is read as a gauge shows it: "-0.6 bar" is a level of 60 kPa. It may
///   be typed in per cent of the standard atmosphere.
/// - Absolute pressures and vacuum levels do not mix: "40 kPa abs" is refused where a level is expected.
///
/// # Units
/// The result is in the quantity's base unit, see [`Quantity::base_unit`]. It is always finite.
///
/// # Errors
/// [`ParseError`] quotes the piece that cannot be read and says what would do.
///
/// ```
/// use units::{parse, Quantity, UnitChoice};
///
/// let metric = UnitChoice::default();
/// assert_eq!(parse("2*(120+5)", Quantity::Length, &metric), Ok(250.0)); // mm
/// assert_eq!(parse("-60 %", Quantity::VacuumLevel, &metric), Ok(60.795)); // kPa
/// let refused = parse("5 kg", Quantity::Length, &metric).unwrap_err();
/// assert_eq!(
///     refused.to_string(),
///     "\"5 kg\" is a mass where a length is expected; use mm, cm, m, in or ft",
/// );
/// ```
pub fn parse(text: &str, quantity: Quantity, choice: &UnitChoice) -> Result<f64, ParseError> {
    if text.chars().count() > LONGEST {
        return Err(ParseError::TooLong { limit: LONGEST });
    }
    let typed: Vec<char> = text.chars().collect();
    let read: Vec<char> = typed.iter().copied().map(plain_char).collect();
    let mut reader = Reader { typed: &typed, text: &read, at: 0, quantity, choice };
    reader.skip_blanks();
    if reader.peek().is_none() {
        return Err(ParseError::Empty { quantity });
    }
    let start = reader.at;
    let gauge = quantity == Quantity::VacuumLevel && reader.peek() == Some('-');
    let value = reader.sum(0)?;
    reader.skip_blanks();
    match reader.peek() {
        None => {}
        Some(')') => {
            return Err(ParseError::UnpairedBracket { text: reader.quote(start, reader.text.len()) });
        }
        Some(c) if c == '(' || number::starts_number(&reader.text[reader.at..]) => {
            return Err(ParseError::SideBySide { text: reader.quote(start, reader.text.len()) });
        }
        Some(_) => return Err(reader.not_a_number()),
    }
    let base = reader.finite(reader.in_base(value), start)?;
    // Adding zero turns a negative zero into a plain one.
    Ok(if gauge { base.abs() } else { base } + 0.0)
}

/// A value on the way: a plain number until it meets a unit.
#[derive(Debug, Clone, Copy)]
struct Value {
    number: f64,
    /// `number` is in base units.
    has_unit: bool,
    /// A reading in °F or K, with which nothing can be calculated.
    is_reading: bool,
}

struct Reader<'a> {
    /// As typed, for quoting.
    typed: &'a [char],
    /// The same with look-alikes replaced, character for character.
    text: &'a [char],
    at: usize,
    quantity: Quantity,
    choice: &'a UnitChoice,
}

/// Replaces characters that look like, and mean, one of the plain ones.
fn plain_char(c: char) -> char {
    match c {
        '\u{2212}' | '\u{2013}' | '\u{2010}' | '\u{2011}' | '\u{FE63}' | '\u{FF0D}' => '-',
        '\u{FF0B}' => '+',
        '×' | '✕' | '⨯' | '∗' => '*',
        '⋅' | '∙' | '•' | '‧' => '·',
        '÷' | '∕' | '⁄' => '/',
        '′' | '’' | '‘' | 'ʹ' => '\'',
        '″' | '”' | '“' | 'ʺ' => '"',
        'º' | '˚' => '°',
        'μ' => 'µ',
        '\u{200B}' | '\u{2060}' | '\u{FEFF}' => ' ',
        other => other,
    }
}

impl<'a> Reader<'a> {
    fn peek(&self) -> Option<char> {
        self.text.get(self.at).copied()
    }

    fn skip_blanks(&mut self) {
        self.at += unit::blanks(&self.text[self.at..]);
    }

    /// The typed text from one place to another, shortened for a message.
    fn quote(&self, from: usize, to: usize) -> String {
        let piece: String = self.typed[from..to].iter().collect();
        let piece = piece.trim();
        if piece.chars().count() <= QUOTED {
            piece.to_owned()
        } else {
            piece.chars().take(QUOTED - 1).chain(['…']).collect()
        }
    }

    fn not_a_number(&self) -> ParseError {
        let length = self.text[self.at..].iter().position(|c| c.is_whitespace()).unwrap_or(QUOTED).max(1);
        let end = (self.at + length).min(self.text.len());
        ParseError::NotANumber { text: self.quote(self.at, end), quantity: self.quantity }
    }

    fn finite(&self, number: f64, from: usize) -> Result<f64, ParseError> {
        if number.is_finite() {
            Ok(number)
        } else {
            Err(ParseError::TooLarge { text: self.quote(from, self.at) })
        }
    }

    /// A plain number counts in the picked unit.
    fn in_base(&self, value: Value) -> f64 {
        if value.has_unit {
            value.number
        } else {
            let zero = zero_of(self.quantity, self.choice);
            // A reading with a zero of its own keeps its digits: 32.18 less 32 is 0.18.
            let number = if zero == 0.0 { value.number } else { table::above(value.number, zero) };
            table::scaled(number, unit_of(self.quantity, self.choice).0)
        }
    }

    fn sum(&mut self, depth: usize) -> Result<Value, ParseError> {
        let start = self.at;
        let mut left = self.product(depth)?;
        loop {
            self.skip_blanks();
            let sign = match self.peek() {
                Some('+') => 1.0,
                Some('-') => -1.0,
                _ => return Ok(left),
            };
            self.at += 1;
            let right = self.product(depth)?;
            self.no_reading(left, right, start)?;
            let has_unit = left.has_unit || right.has_unit;
            let number = if has_unit {
                self.in_base(left) + sign * self.in_base(right)
            } else {
                left.number + sign * right.number
            };
            left = Value { number: self.finite(table::tidied(number), start)?, has_unit, is_reading: false };
        }
    }

    fn product(&mut self, depth: usize) -> Result<Value, ParseError> {
        let start = self.at;
        let mut left = self.signed(depth)?;
        loop {
            self.skip_blanks();
            let divides = match self.peek() {
                Some('*' | '·') => false,
                Some('x' | 'X') if unit::is_times(&self.text[self.at..]) => false,
                Some('/') => true,
                _ => return Ok(left),
            };
            self.at += 1;
            let right = self.signed(depth)?;
            self.no_reading(left, right, start)?;
            if right.has_unit && (left.has_unit || divides) {
                let text = self.quote(start, self.at);
                return Err(ParseError::TwoUnits { text, quantity: self.quantity });
            }
            if divides && right.number == 0.0 {
                return Err(ParseError::DividesByZero { text: self.quote(start, self.at) });
            }
            let number = if divides { left.number / right.number } else { left.number * right.number };
            let has_unit = left.has_unit || right.has_unit;
            left = Value { number: self.finite(table::tidied(number), start)?, has_unit, is_reading: false };
        }
    }

    fn no_reading(&self, left: Value, right: Value, start: usize) -> Result<(), ParseError> {
        if left.is_reading || right.is_reading {
            return Err(ParseError::ReadingInSum { text: self.quote(start, self.at) });
        }
        Ok(())
    }

    fn signed(&mut self, depth: usize) -> Result<Value, ParseError> {
        let mut sign = 1.0;
        loop {
            self.skip_blanks();
            match self.peek() {
                Some('-') => sign = -sign,
                Some('+') => {}
                _ => break,
            }
            self.at += 1;
        }
        match self.peek() {
            Some('(') => self.bracket(sign, depth),
            _ if number::starts_number(&self.text[self.at..]) => self.reading(sign),
            Some(')') => Err(ParseError::UnpairedBracket { text: self.quote(0, self.text.len()) }),
            Some(_) => Err(self.not_a_number()),
            None => {
                Err(ParseError::NotANumber { text: self.quote(0, self.text.len()), quantity: self.quantity })
            }
        }
    }

    fn bracket(&mut self, sign: f64, depth: usize) -> Result<Value, ParseError> {
        if depth == DEEPEST {
            return Err(ParseError::TooDeep { limit: DEEPEST });
        }
        let start = self.at;
        self.at += 1;
        let inner = self.sum(depth + 1)?;
        self.skip_blanks();
        if self.peek() != Some(')') {
            return Err(match self.peek() {
                None => ParseError::UnpairedBracket { text: self.quote(start, self.at) },
                Some(_) if number::starts_number(&self.text[self.at..]) || self.peek() == Some('(') => {
                    ParseError::SideBySide { text: self.quote(start, self.text.len()) }
                }
                Some(_) => self.not_a_number(),
            });
        }
        self.at += 1;
        match self.unit(start)? {
            None if inner.is_reading && sign < 0.0 => {
                Err(ParseError::ReadingInSum { text: self.quote(start, self.at) })
            }
            None => Ok(Value { number: sign * inner.number, ..inner }),
            Some(_) if inner.has_unit => Err(ParseError::UnitTwice { text: self.quote(start, self.at) }),
            Some(unit) => self.with_unit(sign * inner.number, unit, start),
        }
    }

    fn with_unit(&self, number: f64, unit: &Unit, start: usize) -> Result<Value, ParseError> {
        let number = self.finite(table::scaled(number - unit.zero, unit.scale), start)?;
        Ok(Value { number, has_unit: true, is_reading: unit.zero != 0.0 })
    }

    /// The unit that stands here, if any; `start` is where its number begins.
    fn unit(&mut self, start: usize) -> Result<Option<&'a Unit>, ParseError> {
        let before = self.at;
        self.skip_blanks();
        let rest = &self.text[self.at..];
        if !self.peek().is_some_and(|c| unit::starts_unit(rest, c)) {
            self.at = before;
            return Ok(None);
        }
        match unit::longest_match(rest, self.quantity) {
            unit::Match::Expected { index, length } => {
                self.at += length;
                Ok(table::units(self.quantity).get(index))
            }
            unit::Match::Other { quantity, length } => Err(ParseError::WrongQuantity {
                text: self.quote(start, self.at + length),
                found: quantity,
                expected: self.quantity,
            }),
            unit::Match::None { length } => Err(ParseError::UnknownUnit {
                text: self.quote(self.at, self.at + length),
                quantity: self.quantity,
            }),
        }
    }
}

#[cfg(test)]
mod tests;
