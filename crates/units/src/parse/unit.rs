//! Which unit stands at a place in the text.

use crate::table::{self, Unit};
use crate::{Quantity, number};

/// What the characters at a place name.
pub(super) enum Match {
    /// A unit of the expected quantity: its place in the table and the characters it takes.
    Expected { index: usize, length: usize },
    /// A unit of another quantity.
    Other { quantity: Quantity, length: usize },
    /// No unit known; the word takes so many characters.
    None { length: usize },
}

/// Number of blanks, thin ones included, at the start.
pub(super) fn blanks(text: &[char]) -> usize {
    text.iter().take_while(|c| c.is_whitespace()).count()
}

/// Whether a unit, rather than a sign of arithmetic, starts here.
pub(super) fn starts_unit(text: &[char], first: char) -> bool {
    (first.is_alphabetic() || matches!(first, '°' | '%' | '\'' | '"' | 'µ' | '$' | '€')) && !is_times(text)
}

/// Whether "x" stands for × here: "2 x 120".
pub(super) fn is_times(text: &[char]) -> bool {
    let Some(rest) = text.strip_prefix(&['x']).or_else(|| text.strip_prefix(&['X'])) else { return false };
    let rest = &rest[blanks(rest)..];
    number::starts_number(rest) || rest.first() == Some(&'(')
}

/// The longest unit name that stands here. On a tie the expected quantity wins.
pub(super) fn longest_match(text: &[char], expected: Quantity) -> Match {
    let mut found = Match::None { length: word_length(text) };
    let mut longest = 0;
    let others = Quantity::ALL.into_iter().filter(|q| *q != expected);
    for quantity in std::iter::once(expected).chain(others) {
        for (index, unit) in table::units(quantity).iter().enumerate() {
            for name in unit.names {
                let Some(length) = match_length(name, text) else { continue };
                if length <= longest || !ends_here(text, length) {
                    continue;
                }
                longest = length;
                found = if quantity == expected {
                    Match::Expected { index, length }
                } else {
                    Match::Other { quantity, length }
                };
            }
        }
    }
    found
}

/// How many characters of the text a name takes, in any case and with the spellings that stand for `²`, `³`, `·`.
fn match_length(name: &str, text: &[char]) -> Option<usize> {
    let mut at = 0;
    for wanted in name.chars() {
        let rest = &text[at..];
        at += match wanted {
            '²' => power_length(rest, '²', '2')?,
            '³' => power_length(rest, '³', '3')?,
            '·' => match rest.first() {
                Some('*' | '·' | '.' | '-') => 1,
                _ => blanks(rest),
            },
            ' ' => blanks(rest),
            letter => {
                let typed = *rest.first()?;
                let same = typed == letter || typed.to_lowercase().eq(letter.to_lowercase());
                if same { 1 } else { return None }
            }
        };
    }
    Some(at)
}

/// Length of `²`, `2` or `^2` at the start.
fn power_length(text: &[char], raised: char, digit: char) -> Option<usize> {
    match text {
        [c, ..] if *c == raised || *c == digit => Some(1),
        ['^', c, ..] if *c == digit => Some(2),
        _ => None,
    }
}

/// Whether a name of this length is the whole unit, and not the start of a longer word such as "m/s".
fn ends_here(text: &[char], length: usize) -> bool {
    let last = length.checked_sub(1).and_then(|i| text.get(i));
    match text.get(length..) {
        None | Some([]) => true,
        Some(['²' | '³' | '^' | '°' | '%' | '_', ..]) => false,
        Some(['/' | '*' | '·', next, ..]) => !next.is_alphabetic(),
        Some([c, ..]) if c.is_alphabetic() => false,
        Some([c, ..]) if c.is_ascii_digit() => {
            // "1ft6in" and 1'6" go on with a smaller unit; "mm2" does not.
            matches!(last, Some('\'' | '"' | '°'))
                || text[length..]
                    .iter()
                    .find(|c| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '/')))
                    .is_some_and(|c| c.is_alphabetic() || matches!(c, '"' | '\''))
        }
        Some(_) => true,
    }
}

/// How many characters a message should quote as the unknown unit.
fn word_length(text: &[char]) -> usize {
    let in_word = |at: usize| match text[at] {
        // A product of units, but not a product with what follows the unit.
        '/' | '*' | '·' => text.get(at + 1).is_some_and(|c| c.is_alphabetic()),
        c => c.is_alphanumeric() || matches!(c, '^' | '°' | '%' | '_' | '\'' | '"' | '$' | '€'),
    };
    (0..text.len()).take_while(|at| in_word(*at)).count().max(1)
}

/// Whether the larger unit is a whole number, and more than one, of the smaller: ft and in, kg and g, not in and mm.
pub(super) fn divides_evenly(larger: &Unit, smaller: &Unit) -> bool {
    let ratio = larger.scale / smaller.scale;
    let both_plain = larger.zero == 0.0 && smaller.zero == 0.0;
    both_plain && ratio > 1.5 && (ratio - ratio.round()).abs() < 1e-9 * ratio
}

/// The unit meant by a bare number behind a larger one: feet and inches, degrees and minutes.
pub(super) fn next_smaller(quantity: Quantity, larger: &Unit) -> Option<&'static Unit> {
    let name = match larger.names.first() {
        Some(&"ft") => "in",
        Some(&"°") => "'",
        _ => return None,
    };
    table::units(quantity).iter().find(|u| u.names.first() == Some(&name))
}
