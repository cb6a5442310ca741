//! One reading: a number, its unit, and the smaller units that complete it.

use super::{Reader, Value, unit};
use crate::error::ParseError;
use crate::{number, table};

impl Reader<'_> {
    /// A number with its unit, and the smaller units behind it: 1' 6", 2 kg 300 g.
    pub(super) fn reading(&mut self, sign: f64) -> Result<Value, ParseError> {
        let start = self.at;
        let first = self.number()?;
        let Some(unit) = self.unit(start)? else {
            return Ok(Value { number: sign * first, has_unit: false, is_reading: false });
        };
        // The sign goes first: -40 °F is a reading of minus forty.
        let mut value = self.with_unit(sign * first, unit, start)?;
        let mut larger = unit;
        loop {
            self.skip_blanks();
            if !number::starts_number(&self.text[self.at..]) {
                return Ok(value);
            }
            let from = self.at;
            let mut count = self.number()?;
            let smaller = match self.unit(from)? {
                Some(unit) => Some(unit),
                // 1' 6 is one foot six, as it is said, and 1' 1/2 one foot and a half inch.
                None => {
                    count = self.bare_fraction(count, from)?;
                    unit::next_smaller(self.quantity, larger)
                }
            };
            // A smaller unit completes the larger one: 1' 14" or 1 in 3 mm is more likely a slip.
            let smaller = match smaller {
                Some(unit) if unit::divides_evenly(larger, unit) && count * unit.scale < larger.scale => unit,
                _ => return Err(self.side_by_side(start)),
            };
            value.number = self.finite(table::tidied(value.number + sign * count * smaller.scale), start)?;
            larger = smaller;
        }
    }

    /// "1/2" behind feet, where nothing but the slash says that it is a fraction and not a division of the whole.
    fn bare_fraction(&mut self, over: f64, from: usize) -> Result<f64, ParseError> {
        let after_slash = self.text.get(self.at + 1);
        if self.peek() != Some('/') || !after_slash.is_some_and(char::is_ascii_digit) {
            return Ok(over);
        }
        self.at += 1;
        let under = self.decimal()?;
        if over < under { self.quotient(over, under, from) } else { Err(self.side_by_side(0)) }
    }

    fn side_by_side(&self, start: usize) -> ParseError {
        ParseError::SideBySide { text: self.quote(start, self.at) }
    }

    /// A decimal, a whole number with a fraction behind a blank, or a fraction that a unit follows.
    fn number(&mut self) -> Result<f64, ParseError> {
        let start = self.at;
        if let Some(fraction) = self.peek().and_then(number::vulgar_fraction) {
            self.at += 1;
            return Ok(fraction);
        }
        let first = self.decimal()?;
        let is_whole = self.text[start..self.at].iter().all(char::is_ascii_digit);
        let mark = self.at;
        self.skip_blanks();
        if is_whole {
            if let Some(fraction) = self.peek().and_then(number::vulgar_fraction) {
                self.at += 1;
                return Ok(first + fraction);
            }
            if self.at > mark
                && let Some(fraction) = self.whole_fraction(start)?
            {
                return Ok(first + fraction);
            }
        }
        // "3/8 in": the unit belongs to the fraction, nothing is divided by 8 in.
        if self.peek() == Some('/') {
            self.at += 1;
            self.skip_blanks();
            if number::starts_number(&self.text[self.at..]) {
                let under = self.decimal()?;
                let end = self.at;
                self.skip_blanks();
                if self.peek().is_some_and(|c| unit::starts_unit(&self.text[self.at..], c)) {
                    self.at = end;
                    return self.quotient(first, under, start);
                }
            }
        }
        self.at = mark;
        Ok(first)
    }

    /// "1/2" of "12 1/2", if that is what stands here.
    fn whole_fraction(&mut self, start: usize) -> Result<Option<f64>, ParseError> {
        let rest = &self.text[self.at..];
        let over = rest.iter().take_while(|c| c.is_ascii_digit()).count();
        let under = rest.iter().skip(over + 1).take_while(|c| c.is_ascii_digit()).count();
        if over == 0 || under == 0 || rest.get(over) != Some(&'/') {
            return Ok(None);
        }
        let top = self.decimal()?;
        self.at += 1;
        let bottom = self.decimal()?;
        self.quotient(top, bottom, start).map(Some)
    }

    fn decimal(&mut self) -> Result<f64, ParseError> {
        let (value, length) = number::read(&self.text[self.at..], self.choice.decimal_comma)?;
        self.at += length;
        Ok(value)
    }

    fn quotient(&self, top: f64, bottom: f64, start: usize) -> Result<f64, ParseError> {
        if bottom == 0.0 {
            return Err(ParseError::DividesByZero { text: self.quote(start, self.at) });
        }
        self.finite(top / bottom, start)
    }
}
