//! The sheet's letters: which glyphs a text becomes, how wide it is, and where its ink lies.
//!
//! One shaping serves the layout, the PDF and the picture, so a text is exactly as wide as the layout took it to be.

use crate::page::{Anchor, Text, Weight};
use glam::DVec2;
use harfrust::{Direction, Feature, ShapeOptions, ShapePlan, ShaperData, Tag, UnicodeBuffer, script};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, GlyphId, MetadataProvider};
use std::cell::RefCell;
use std::collections::{HashMap, HashSet};
use std::ops::Range;
use std::sync::OnceLock;

const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-Regular.ttf");
const SEMI_BOLD: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-SemiBold.ttf");
const ITALIC: &[u8] = include_bytes!("../../../assets/fonts/SourceSans3-Italic.ttf");

/// Height of a capital letter over the em of the family; what lines text up with symbols.
pub(crate) const CAP_HEIGHT: f64 = 0.66;
/// Room for tails below the baseline, over the em.
pub(crate) const DESCENT: f64 = 0.2;

/// Ligatures would merge letters that a reader may want to select one by one.
const FEATURES: [Feature; 1] = [Feature { tag: Tag::new(b"liga"), value: 0, start: 0, end: u32::MAX }];

/// One cut of the family, read once.
pub(crate) struct Face {
    pub bytes: &'static [u8],
    pub font: FontRef<'static>,
    shaper: ShaperData,
    plan: ShapePlan,
    em: f64,
}

/// One glyph of a shaped text; lengths in em, `range` in bytes of the text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ShapedGlyph {
    pub id: u32,
    pub advance: f64,
    pub offset: DVec2,
    pub range: Range<usize>,
}

pub(crate) fn face(weight: Weight) -> &'static Face {
    static FACES: OnceLock<[Face; 3]> = OnceLock::new();
    #[allow(clippy::expect_used, reason = "the fonts are compiled in, and a test reads each")]
    let read = |bytes: &'static [u8]| {
        let font = FontRef::new(bytes).expect("compiled-in font");
        let em = f64::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em);
        let shaper = ShaperData::new(&font);
        let plan = ShapePlan::new(
            &shaper.shaper(&font).build(),
            Direction::LeftToRight,
            Some(script::LATIN),
            None,
            &FEATURES,
        );
        Face { bytes, shaper, plan, font, em }
    };
    let faces = FACES.get_or_init(|| [read(REGULAR), read(SEMI_BOLD), read(ITALIC)]);
    match weight {
        Weight::Regular => &faces[0],
        Weight::SemiBold => &faces[1],
        Weight::Italic => &faces[2],
    }
}

/// Glyphs of a text from left to right.
pub(crate) fn shape(text: &str, weight: Weight) -> Vec<ShapedGlyph> {
    let face = face(weight);
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.set_direction(Direction::LeftToRight);
    buffer.set_script(script::LATIN);
    let shaper = face.shaper.shaper(&face.font).build();
    let shaped = shaper.shape(buffer, ShapeOptions::new().plan(Some(&face.plan)).features(&FEATURES));
    let starts: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    let positions = shaped.glyph_positions();
    shaped
        .glyph_infos()
        .iter()
        .zip(positions)
        .enumerate()
        .map(|(index, (info, position))| {
            let start = starts[index];
            let end = starts[index..].iter().copied().find(|s| *s > start).unwrap_or(text.len());
            ShapedGlyph {
                id: info.glyph_id,
                advance: f64::from(position.x_advance) / face.em,
                offset: DVec2::new(f64::from(position.x_offset), f64::from(position.y_offset)) / face.em,
                range: start..end,
            }
        })
        .collect()
}

/// Width of a text set at `size` mm.
///
/// # Units
/// mm.
///
/// ```
/// use sheet::{text_width, Weight};
/// let narrow = text_width("C1", Weight::Regular, 3.0);
/// assert!(narrow > 2.5 && narrow < 4.0);
/// // Digits are equally wide, so columns of figures line up.
/// assert_eq!(text_width("111", Weight::Regular, 3.0), text_width("808", Weight::Regular, 3.0));
/// ```
pub fn text_width(text: &str, weight: Weight, size: f64) -> f64 {
    em_width(text, weight) * size
}

/// Width in em. A layout tries several arrangements with the same words, so widths are remembered.
fn em_width(text: &str, weight: Weight) -> f64 {
    const MOST: usize = 20_000;
    thread_local! {
        static KNOWN: RefCell<[HashMap<String, f64>; 3]> = RefCell::default();
    }
    KNOWN.with_borrow_mut(|known| {
        let known = &mut known[weight as usize];
        if let Some(width) = known.get(text) {
            return *width;
        }
        let width = shape(text, weight).iter().map(|glyph| glyph.advance).sum();
        if known.len() >= MOST {
            known.clear();
        }
        known.insert(text.to_owned(), width);
        width
    })
}

/// Whether the sheet's fonts can print this character.
pub fn has_glyph(character: char) -> bool {
    static KNOWN: OnceLock<HashSet<u32>> = OnceLock::new();
    let known = KNOWN.get_or_init(|| {
        let of = |weight: Weight| -> HashSet<u32> {
            face(weight)
                .font
                .charmap()
                .mappings()
                .filter(|(_, id)| id.to_u32() != 0)
                .map(|(c, _)| c)
                .collect()
        };
        let (semi_bold, italic) = (of(Weight::SemiBold), of(Weight::Italic));
        of(Weight::Regular).into_iter().filter(|c| semi_bold.contains(c) && italic.contains(c)).collect()
    });
    (' '..='~').contains(&character) || known.contains(&u32::from(character))
}

/// A text that the fonts can print: line breaks and tabs become spaces, the diameter sign becomes the letter that
/// drawings use for it, and what has no glyph becomes a question mark.
pub fn printable(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\u{2300}' => 'Ø',
            c if c.is_whitespace() || c.is_control() => ' ',
            c if has_glyph(c) => c,
            _ => '?',
        })
        .collect()
}

/// The rectangle that a text's ink fills, mm on the page: lower left and upper right corner; `None` for blank text.
pub fn ink_bounds(text: &Text) -> Option<[DVec2; 2]> {
    let face = face(text.weight);
    let metrics = face.font.glyph_metrics(Size::unscaled(), LocationRef::default());
    let (mut low, mut high) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let mut pen = 0.0;
    for glyph in shape(&text.text, text.weight) {
        let origin = DVec2::new(pen, 0.0) + glyph.offset;
        if let Some(b) = metrics.bounds(GlyphId::new(glyph.id)).filter(|b| b.x_max > b.x_min) {
            low = low.min(origin + DVec2::new(b.x_min.into(), b.y_min.into()) / face.em);
            high = high.max(origin + DVec2::new(b.x_max.into(), b.y_max.into()) / face.em);
        }
        pen += glyph.advance;
    }
    if low.x > high.x {
        return None;
    }
    let back = DVec2::new(anchor_share(text.anchor) * pen, 0.0);
    let turn = DVec2::from_angle(text.turn_deg.to_radians());
    let corners = [low, DVec2::new(high.x, low.y), high, DVec2::new(low.x, high.y)]
        .map(|corner| text.at + turn.rotate((corner - back) * text.size));
    Some(corners.iter().fold([DVec2::INFINITY, DVec2::NEG_INFINITY], |[low, high], corner| {
        [low.min(*corner), high.max(*corner)]
    }))
}

/// Share of the width that lies before the anchor.
pub(crate) fn anchor_share(anchor: Anchor) -> f64 {
    match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => 0.5,
        Anchor::End => 1.0,
    }
}

/// Where the first glyph's origin stands: the anchor point moved back along the baseline.
pub(crate) fn baseline_start(text: &Text) -> DVec2 {
    let width = text_width(&text.text, text.weight, text.size);
    let along = DVec2::from_angle(text.turn_deg.to_radians());
    text.at - along * width * anchor_share(text.anchor)
}

/// Breaks a text into lines no wider than `width`; a word that is too long alone is broken within.
pub fn wrap(text: &str, weight: Weight, size: f64, width: f64) -> Vec<String> {
    // Words are measured one by one, since they come again and their widths are remembered.
    let space = text_width(" ", weight, size);
    let mut lines: Vec<String> = Vec::new();
    let (mut line, mut used) = (String::new(), 0.0);
    for word in text.split_whitespace() {
        let wide = text_width(word, weight, size);
        if !line.is_empty() && used + space + wide <= width {
            line.push(' ');
            line.push_str(word);
            used += space + wide;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if wide <= width {
            (line, used) = (word.to_owned(), wide);
            continue;
        }
        for c in word.chars() {
            line.push(c);
            if text_width(&line, weight, size) > width && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::replace(&mut line, c.to_string()));
            }
        }
        used = text_width(&line, weight, size);
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// A text cut with an ellipsis so that it is no wider than `width`; unchanged when it fits.
pub fn cut_to(text: &str, weight: Weight, size: f64, width: f64) -> String {
    if text_width(text, weight, size) <= width {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while !kept.is_empty() {
        kept.pop();
        let shorter: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if text_width(&shorter, weight, size) <= width {
            return shorter;
        }
    }
    String::new()
}

/// The largest size down to `least` at which a text is no wider than `width`, and the text, cut where even that is
/// too wide.
pub fn fit(text: &str, weight: Weight, size: f64, least: f64, width: f64) -> (String, f64) {
    let natural = text_width(text, weight, size);
    if natural <= width {
        return (text.to_owned(), size);
    }
    let smaller = (size * width / natural * 0.999).max(least);
    (cut_to(text, weight, smaller, width), smaller)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn kerning_brings_letters_together() {
        let apart: f64 = ["A", "V"].iter().map(|c| text_width(c, Weight::Regular, 10.0)).sum();
        assert!(text_width("AV", Weight::Regular, 10.0) < apart - 0.1);
    }
    #[test]
    fn ink_of_a_turned_text_stands_upright() {
        let text = |turn_deg| Text {
            at: DVec2::new(50.0, 50.0),
            text: "120.0".to_owned(),
            size: 4.0,
            weight: Weight::Regular,
            tone: crate::Tone::Ink,
            anchor: Anchor::End,
            turn_deg,
        };
        let [low, high] = ink_bounds(&text(0.0)).unwrap();
        assert!(high.x <= 50.0 && low.x < 42.0 && low.y > 49.9 && high.y < 53.0);
        let [low, high] = ink_bounds(&text(90.0)).unwrap();
        assert!(high.y <= 50.0 && low.y < 42.0 && high.x < 50.1 && low.x > 47.0);
        assert_eq!(ink_bounds(&Text { text: "  ".to_owned(), ..text(0.0) }), None);
    }
    #[test]
    fn what_has_no_glyph_is_replaced() {
        assert_eq!(printable("⌀ 40\n東"), "Ø 40 ?");
    }
    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn wrapped_lines_fit_and_lose_nothing(text in "[a-zA-Z0-9 .,]{0,120}", width in 8.0..60.0_f64) {
            let lines = wrap(&text, Weight::Regular, 3.0, width);
            for line in &lines {
                // Kerning against a space may add a hair.
                prop_assert!(text_width(line, Weight::Regular, 3.0) <= width + 0.05, "{line:?}");
            }
            let squeezed = |text: &str| text.split_whitespace().collect::<String>();
            prop_assert_eq!(squeezed(&lines.concat()), squeezed(&text));
        }
        #[test]
        fn fitted_text_fits(text in "[a-zA-Z0-9 ]{1,60}", width in 5.0..80.0_f64) {
            let (says, size) = fit(&text, Weight::SemiBold, 4.0, 2.0, width);
            prop_assert!(text_width(&says, Weight::SemiBold, size) <= width + 1e-9);
            prop_assert!((2.0..=4.0).contains(&size));
        }
    }
}
