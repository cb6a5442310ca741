//! What is written on a drawing: texts and dimensions. They draw no outline, but say which line is the part and how large
//! it is.

use crate::DrawingUnit;
use glam::{DAffine2, DVec2};

/// Texts and dimensions with places in the drawing's unit.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Markings {
    pub(crate) texts: Vec<Text>,
    pub(crate) dimensions: Vec<Dimension>,
}

/// A text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Text {
    /// Where it begins.
    pub(crate) at: DVec2,
    pub(crate) says: String,
    /// Index of its layer, where it has one.
    pub(crate) layer: Option<u32>,
    /// The middle of its letters.
    pub(crate) middle: DVec2,
    /// From line to line of its letters, pointing up; nothing where that is not known.
    pub(crate) up: DVec2,
}

impl Text {
    /// Width of a letter over its height, on average (common practice, no source).
    pub(crate) const LETTER: f64 = 0.55;

    /// About how wide it is; its letters are counted.
    pub(crate) fn wide(&self) -> f64 {
        Self::LETTER * self.up.length() * self.says.chars().count() as f64
    }

    /// The same elsewhere.
    pub(crate) fn moved(&self, map: &DAffine2) -> Self {
        Self {
            at: map.transform_point2(self.at),
            middle: map.transform_point2(self.middle),
            up: map.transform_vector2(self.up),
            ..self.clone()
        }
    }
}

/// A length that is measured and printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Dimension {
    /// The two places it is measured between.
    pub(crate) ends: [DVec2; 2],
    /// What is measured, in the drawing's unit.
    pub(crate) measured: f64,
    /// What is printed, where it is a figure.
    pub(crate) printed: Option<Figure>,
}

/// A figure as it is printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Figure {
    pub(crate) value: f64,
    /// Half of its last digit.
    pub(crate) within: f64,
    /// The unit that it states.
    pub(crate) unit: Option<DrawingUnit>,
}

impl Markings {
    /// Texts kept, at most: more are a table or a parts list, and no more is learned from them.
    pub(crate) const MOST: usize = 20_000;

    /// The same in another unit, `scale` of it in one of the drawing's.
    pub(crate) fn scaled(mut self, scale: f64) -> Self {
        let map = DAffine2::from_scale(DVec2::splat(scale));
        self.texts.iter_mut().for_each(|t| *t = t.moved(&map));
        for d in &mut self.dimensions {
            d.ends = d.ends.map(|end| end * scale);
            d.measured *= scale;
        }
        self
    }
}

/// The first figure of a dimension's text: "400", "\u{d8}80", "R 20", "4x %%c12,5 H7", "400\u{b1}0.1".
pub(crate) fn figure_in(text: &str) -> Option<Figure> {
    let text = without_codes(text);
    let mut rest = text.as_str();
    loop {
        let start = rest.find(|c: char| c.is_ascii_digit())?;
        let from = &rest[start..];
        let digits = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
        let end = from.find(|c| !digits(c)).unwrap_or(from.len());
        let number = from[..end].trim_end_matches(['.', ',']);
        let after = from[end..].trim_start();
        // "4x" counts, it does not measure.
        if after.starts_with(['x', 'X', '\u{d7}']) && !number.contains(['.', ',']) {
            rest = &after[after.chars().next().map_or(0, char::len_utf8)..];
            continue;
        }
        let number = number.replace(',', ".");
        let decimals = number.split_once('.').map_or(0, |(_, d)| d.len());
        let whole: f64 = number.parse().ok()?;
        let (fraction, after) = fraction_in(whole, decimals, &from[end..]);
        let (value, within) = match fraction {
            Some(value) => (value, 1.0 / 128.0),
            None => (whole, 0.5 * 0.1f64.powi(decimals as i32)),
        };
        return (value > 0.0 && value < 1e7 && decimals < 9).then(|| Figure {
            value,
            within,
            unit: unit_stated(after),
        });
    }
}

/// A fraction behind or in place of a whole number, "15 3/4", "15-3/4", "3/4": its value, and what stands behind.
fn fraction_in(whole: f64, decimals: usize, behind: &str) -> (Option<f64>, &str) {
    const LARGEST: f64 = 128.0;
    let digits = |text: &str| text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let over = |upper: f64, text: &str| -> Option<(f64, usize)> {
        let below = text.strip_prefix('/')?;
        let lower: f64 = below[..digits(below)].parse().ok()?;
        (upper < lower && lower <= LARGEST).then(|| (upper / lower, 1 + digits(below)))
    };
    if decimals > 0 {
        return (None, behind);
    }
    if let Some((value, length)) = over(whole, behind) {
        return (Some(value), &behind[length..]);
    }
    let next = behind.trim_start_matches([' ', '-']);
    if next.len() == behind.len() {
        return (None, behind);
    }
    let upper = next[..digits(next)].parse().ok();
    match upper.and_then(|upper: f64| over(upper, &next[digits(next)..])) {
        Some((value, length)) => (Some(whole + value), &next[digits(next) + length..]),
        None => (None, behind),
    }
}

/// The unit written behind a figure.
fn unit_stated(behind: &str) -> Option<DrawingUnit> {
    let behind = behind.trim_start();
    if behind.starts_with(['"', '\u{2033}', '\u{201d}']) || behind.starts_with("''") {
        return Some(DrawingUnit::Inch);
    }
    // "M8" is a thread.
    let word: String = behind.chars().take_while(|c| c.is_alphanumeric()).collect::<String>().to_lowercase();
    match word.as_str() {
        "in" | "inch" | "inches" | "zoll" | "pouce" | "pouces" | "pulg" => Some(DrawingUnit::Inch),
        "mm" => Some(DrawingUnit::Millimetre),
        "cm" => Some(DrawingUnit::Centimetre),
        "m" => Some(DrawingUnit::Metre),
        _ => None,
    }
}

/// A text without the codes that say how it looks: "\\A1;{\\H0.7x;400}" becomes "400", "%%c80" "80".
pub(crate) fn without_codes(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '{' | '}' => {}
            '%' if chars.peek() == Some(&'%') => {
                chars.next();
                chars.next();
            }
            '\\' => match chars.next() {
                // A line break, a blank that does not break, a letter that would be a code.
                Some('P' | 'p' | '~') => out.push(' '),
                Some(escaped @ ('\\' | '{' | '}')) => out.push(escaped),
                Some('L' | 'l' | 'O' | 'o' | 'K' | 'k' | 'N' | 'X') => {}
                // Stacked: a fraction, or the limits of a tolerance, which measure nothing.
                Some('S') => {
                    let stacked: String = chars.by_ref().take(64).take_while(|c| *c != ';').collect();
                    if !stacked.contains('^') {
                        out.push(' ');
                        out.push_str(&stacked.replace('#', "/"));
                    }
                }
                // Others go on to a semicolon.
                Some(_) => {
                    let _ = chars.by_ref().take(64).find(|c| *c == ';');
                }
                None => {}
            },
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_of_dimension_texts() {
        let figure = |text: &str| figure_in(text).map(|f| (f.value, (f.within * 1e6).round() / 1e6));
        assert_eq!(figure("400"), Some((400.0, 0.5)));
        assert_eq!(figure("%%c80"), Some((80.0, 0.5)));
        assert_eq!(figure("\u{d8}80,5 H7"), Some((80.5, 0.05)));
        assert_eq!(figure("4x \u{d8}12"), Some((12.0, 0.5)));
        assert_eq!(figure("\\A1;{\\H0.7x;400.25}"), Some((400.25, 0.005)));
        assert_eq!(figure("(400)"), Some((400.0, 0.5)));
        assert_eq!(figure("400\u{b1}0.1"), Some((400.0, 0.5)));
        assert_eq!(figure("<>"), None);
        assert_eq!(figure("0"), None);
        assert_eq!(figure(""), None);
        assert_eq!(figure("15 3/4\""), Some((15.75, 0.007813)));
        assert_eq!(figure("3/4"), Some((0.75, 0.007813)));
        assert_eq!(figure("15{\\S3/4;}"), Some((15.75, 0.007813)));
        assert_eq!(figure("400\\S+0.1^-0.2;"), Some((400.0, 0.5)));
        // No fractions: a count, a range, a date.
        assert_eq!(figure("12 / 3"), Some((12.0, 0.5)));
        assert_eq!(figure("400 - 402"), Some((400.0, 0.5)));
        let unit = |text: &str| figure_in(text).and_then(|f| f.unit);
        assert_eq!(unit("16\""), Some(DrawingUnit::Inch));
        assert_eq!(unit("15-3/4 in."), Some(DrawingUnit::Inch));
        assert_eq!(unit("400 mm"), Some(DrawingUnit::Millimetre));
        assert_eq!(unit("400 max"), None);
        assert_eq!(unit("12 M8"), None);
    }
}
