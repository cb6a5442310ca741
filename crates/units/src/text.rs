//! Texts with figures in them.

use crate::UnitChoice;

/// The text with a capital at its start.
///
/// ```
/// assert_eq!(units::capital("öl on the lip"), "Öl on the lip");
/// assert_eq!(units::capital(""), "");
/// ```
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A printed number without the noughts at the end of its decimals, and without its mark where none is left.
///
/// ```
/// use units::trimmed;
///
/// assert_eq!(["100.0", "0,250", "100", "12.5"].map(trimmed), ["100", "0,25", "100", "12.5"]);
/// ```
#[must_use]
pub fn trimmed(number: &str) -> &str {
    const MARKS: [char; 2] = ['.', ','];
    if number.contains(MARKS) { number.trim_end_matches('0').trim_end_matches(MARKS) } else { number }
}

impl UnitChoice {
    /// A number printed with a point, with the decimal mark picked.
    ///
    /// ```
    /// let comma = units::UnitChoice { decimal_comma: true, ..Default::default() };
    /// assert_eq!(comma.marked("12.5"), "12,5");
    /// assert_eq!(units::UnitChoice::default().marked("12.5"), "12.5");
    /// ```
    #[must_use]
    pub fn marked(&self, number: &str) -> String {
        if self.decimal_comma { number.replace('.', ",") } else { number.to_owned() }
    }

    /// What stands between two figures of a list: a semicolon where a comma would be read as a decimal mark.
    #[must_use]
    pub fn between(&self) -> &'static str {
        if self.decimal_comma { "; " } else { ", " }
    }
}
