//! One number: decimals, groups of thousands, powers of ten.

use crate::ParseError;

/// Blanks that print as a thin gap within a number: thin, narrow no-break, no-break and figure space.
const GROUP_BLANKS: [char; 4] = ['\u{2009}', '\u{202F}', '\u{A0}', '\u{2007}'];

/// Whether a number may start here.
pub(crate) fn starts_number(text: &[char]) -> bool {
    match text {
        [c, ..] if c.is_ascii_digit() || vulgar_fraction(*c).is_some() => true,
        ['.' | ',', d, ..] => d.is_ascii_digit(),
        _ => false,
    }
}

/// The value of a one-character fraction such as ½.
pub(crate) fn vulgar_fraction(c: char) -> Option<f64> {
    let (over, under) = match c {
        '½' => (1.0, 2.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    };
    Some(over / under)
}

/// Reads the number at the start of `text`: its value and how many characters it takes.
///
/// With `comma`, a comma is the decimal mark; the other mark is taken as decimal too wherever it cannot separate
/// thousands, and refused where it could do both.
pub(crate) fn read(text: &[char], comma: bool) -> Result<(f64, usize), ParseError> {
    let mut figures = String::new(); // digits and marks, group blanks left out
    let mut grouped = false;
    let mut at = 0;
    while let Some(&c) = text.get(at) {
        if c.is_ascii_digit() || matches!(c, '.' | ',') {
            figures.push(c);
            at += 1;
        } else if GROUP_BLANKS.contains(&c) && group_follows(text, at) {
            grouped = true;
            at += 1;
        } else {
            break;
        }
    }
    let typed = || text[..at].iter().collect::<String>();
    let mut plain = to_plain(&figures, comma, grouped).map_err(|wrong| match wrong {
        Wrong::Malformed => ParseError::MalformedNumber { text: typed() },
        Wrong::Ambiguous { whole, decimal } => ParseError::AmbiguousMark { text: typed(), whole, decimal },
    })?;
    if let Some(length) = exponent_length(&text[at..]) {
        plain.extend(&text[at..at + length]);
        at += length;
    }
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok((value, at)),
        Ok(_) => Err(ParseError::TooLarge { text: text[..at].iter().collect() }),
        Err(_) => Err(ParseError::MalformedNumber { text: text[..at].iter().collect() }),
    }
}

/// Whether the blank at `at` stands before exactly three digits that end the number or a further group, and is
/// not the gap of "12 100/128".
fn group_follows(text: &[char], at: usize) -> bool {
    let digits = text[at + 1..].iter().take_while(|c| c.is_ascii_digit()).count();
    let after_digit = at > 0 && text[at - 1].is_ascii_digit();
    after_digit && digits == 3 && text.get(at + 4) != Some(&'/')
}

/// Length of "e-3" and the like; a letter that is not followed by digits belongs to what comes next.
fn exponent_length(text: &[char]) -> Option<usize> {
    let ['e' | 'E', rest @ ..] = text else { return None };
    let sign = usize::from(matches!(rest.first(), Some('+' | '-')));
    let digits = rest.get(sign..)?.iter().take_while(|c| c.is_ascii_digit()).count();
    (digits > 0).then_some(1 + sign + digits)
}

enum Wrong {
    Malformed,
    Ambiguous { whole: String, decimal: String },
}

/// Turns digits and marks into the form that the standard library reads.
fn to_plain(figures: &str, comma: bool, grouped: bool) -> Result<String, Wrong> {
    let (mark, other) = if comma { (',', '.') } else { ('.', ',') };
    let count = |c: char| figures.matches(c).count();
    let (decimal, group) = match (count(mark), count(other)) {
        (0, 0) => (None, None),
        (1, 0) => (Some(mark), None),
        (0, 1) => {
            if !grouped && is_grouped(figures, other) && !figures.starts_with('0') {
                let whole = figures.replace(other, "");
                return Err(Wrong::Ambiguous { whole, decimal: figures.replace(other, &mark.to_string()) });
            }
            (Some(other), None)
        }
        (_, 0) => (None, Some(mark)),
        (0, _) => (None, Some(other)),
        // Both marks: the last one is the decimal mark, whatever the preference.
        _ if figures.rfind(mark) > figures.rfind(other) => (Some(mark), Some(other)),
        _ => (Some(other), Some(mark)),
    };
    let (whole, part) = match decimal.and_then(|d| figures.split_once(d)) {
        Some((whole, part)) => (whole, part),
        None => (figures, ""),
    };
    let digits_only = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    let whole = match group {
        Some(_) if grouped => return Err(Wrong::Malformed),
        Some(g) if is_grouped(whole, g) => whole.replace(g, ""),
        Some(_) => return Err(Wrong::Malformed),
        None => whole.to_owned(),
    };
    if !digits_only(&whole) || !digits_only(part) || (whole.is_empty() && part.is_empty()) {
        return Err(Wrong::Malformed);
    }
    Ok(format!("{whole}.{part}0"))
}

/// Whether `mark` cuts the digits into a first group of one to three and further ones of three.
fn is_grouped(digits: &str, mark: char) -> bool {
    let mut groups = digits.split(mark);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len()) && groups.all(|g| g.len() == 3)
}

#[cfg(test)]
mod tests {
    use super::read;

    fn value(text: &str, comma: bool) -> Result<f64, String> {
        let chars: Vec<char> = text.chars().collect();
        let (value, length) = read(&chars, comma).map_err(|e| e.to_string())?;
        assert_eq!(length, chars.len(), "{text}");
        Ok(value)
    }

    #[test]
    fn both_decimal_marks_are_read() {
        for comma in [false, true] {
            for (text, expected) in [
                ("12", 12.0),
                ("1,5", 1.5),
                ("1.5", 1.5),
                (",5", 0.5),
                ("5.", 5.0),
                ("0,125", 0.125),
                ("0.125", 0.125),
                ("12,3456", 12.3456),
                ("1234,567", 1234.567),
                ("1,234.5", 1234.5),
                ("1.234,5", 1234.5),
                ("1,234,567", 1_234_567.0),
                ("1.234.567,25", 1_234_567.25),
                ("1\u{2009}234\u{202F}567,125", 1_234_567.125),
                ("1.5e-3", 0.0015),
                ("2E5", 2e5),
            ] {
                assert_eq!(value(text, comma), Ok(expected), "{text} (comma {comma})");
            }
        }
    }

    #[test]
    fn a_mark_that_may_be_either_is_refused() {
        assert_eq!(value("1.234", false), Ok(1.234));
        assert_eq!(value("1,234", true), Ok(1.234));
        assert_eq!(
            value("1,234", false),
            Err("\"1,234\" can be read as 1234 or as 1.234; write one of the two".to_owned())
        );
        assert_eq!(
            value("1.234", true),
            Err("\"1.234\" can be read as 1234 or as 1,234; write one of the two".to_owned())
        );
    }

    #[test]
    fn malformed_numbers_are_quoted() {
        for text in ["1.2.3", "1,2,3", "1,23.4,5", "12.34,567.8", "1..2", "1234,567,890"] {
            let said = value(text, false).unwrap_err();
            assert!(said.starts_with(&format!("\"{text}\" is not a number")), "{said}");
        }
        assert_eq!(value("1e999", false), Err("\"1e999\" is too large; type a smaller number".to_owned()));
    }
}
