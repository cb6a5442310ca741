//! What is written on a page: letters put together to texts, for the scale in a title block and the dimensions.

use crate::marks::{Markings, Text};
use glam::DVec2;

/// A letter further from the end of the one before than this share of its height begins a text of its own.
const APART: f64 = 1.2;
/// A gap wider than this share of the height is a blank.
const BLANK: f64 = 0.22;

/// Texts as they are put together.
#[derive(Debug, Default)]
pub(super) struct Words {
    texts: Vec<Text>,
    /// Where the last letter ends, and its height.
    last: Option<(DVec2, f64)>,
}

impl Words {
    /// A letter from `at` to `end` of its baseline, `height` tall, mm of paper.
    pub fn letter(&mut self, says: &str, at: DVec2, end: DVec2, height: f64) {
        if !(at.is_finite() && end.is_finite() && height.is_finite() && height > 0.0) {
            return;
        }
        let gap = self.last.filter(|(_, tall)| (tall / height - 1.0).abs() < 0.3).map(|(from, _)| at - from);
        let along = (end - at).normalize_or_zero();
        let joins = gap.is_some_and(|gap| {
            gap.dot(along).abs() < APART * height && gap.perp_dot(along).abs() < 0.2 * height
        });
        if !joins {
            if self.texts.len() < Markings::MOST {
                let up = along.perp() * height;
                self.texts.push(Text { at, says: says.to_owned(), layer: None, middle: at, up });
            }
        } else if let Some(text) = self.texts.last_mut() {
            if gap.is_some_and(|gap| gap.dot(along) > BLANK * height) && !text.says.ends_with(' ') {
                text.says.push(' ');
            }
            text.says.push_str(says);
        }
        if let Some(text) = self.texts.last_mut() {
            text.middle = (text.at + end) / 2.0 + 0.35 * text.up;
        }
        self.last = Some((end, height));
    }

    pub fn finish(mut self) -> Vec<Text> {
        self.texts.retain(|text| !text.says.trim().is_empty());
        self.texts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_one_line_are_one_text_and_gaps_are_blanks() {
        let mut words = Words::default();
        let mut x = 10.0;
        for (letter, before) in [("S", 0.0), ("c", 0.0), ("1", 1.0), (":", 0.0), ("5", 0.1), ("A", 40.0)] {
            x += before;
            words.letter(letter, DVec2::new(x, 5.0), DVec2::new(x + 2.0, 5.0), 3.5);
            x += 2.0;
        }
        words.letter("B", DVec2::new(x, 9.0), DVec2::new(x + 2.0, 9.0), 3.5);
        let texts = words.finish();
        assert!((texts[0].middle - DVec2::new(15.55, 6.225)).length() < 1e-9, "{}", texts[0].middle);
        let says: Vec<String> = texts.into_iter().map(|text| text.says).collect();
        assert_eq!(says, ["Sc 1:5", "A", "B"]);
    }
}
