//! What is written in an SVG: texts with their places, and the lines that the figures among them measure.
//!
//! The library below drops texts, since no letters are loaded; what they say is read from the elements themselves.

use super::SVG;
use crate::curve::Curve;
use crate::marks::{Markings, Text};
use crate::measured;
use glam::{DAffine2, DVec2};
use usvg::roxmltree::{Document, Node};

/// Letters of a text that is read: more is a note.
const MOST_LETTERS: usize = 400;
/// Texts of the document; `page` is the page in pixels, `map` from there to the drawing.
pub(super) struct Found(Vec<Text>);

impl Found {
    pub fn of(document: &Document<'_>, page: DVec2, map: &DAffine2) -> Self {
        let root = on_page(document.root_element(), page);
        let texts = document.descendants().filter(|node| node.has_tag_name((SVG, "text")));
        Self(texts.take(Markings::MOST).filter_map(|node| written(node, &(*map * root))).collect())
    }

    /// As marks of the drawing, with the lines that figures measure.
    pub fn markings(self, curves: &[(Curve, u32)]) -> Markings {
        let dimensions = measured::dimensions(&self.0, curves.iter().map(|(curve, _)| curve));
        Markings { texts: self.0, dimensions }
    }
}

fn written(node: Node<'_, '_>, map: &DAffine2) -> Option<Text> {
    const NOT_DRAWN: [&str; 6] = ["defs", "symbol", "clipPath", "mask", "pattern", "marker"];
    let hidden = |node: &Node<'_, '_>| {
        NOT_DRAWN.contains(&node.tag_name().name())
            || style(*node, "display").is_some_and(|value| value == "none")
            || style(*node, "visibility").is_some_and(|value| value == "hidden")
    };
    if node.ancestors().any(|node| hidden(&node)) {
        return None;
    }
    let says: String = node
        .descendants()
        .filter(|inner| inner.is_text())
        .flat_map(|inner| inner.text().unwrap_or("").chars().chain([' ']))
        .take(MOST_LETTERS)
        .collect();
    let says = says.split_whitespace().collect::<Vec<_>>().join(" ");
    if says.is_empty() {
        return None;
    }
    let own = node.ancestors().fold(DAffine2::IDENTITY, |inner, node| moved(node) * inner);
    let place = *map * own;
    let with_place = node.descendants().find(|inner| inner.has_attribute("x") || inner.has_attribute("y"));
    let figure = |name: &str| with_place.and_then(|node| number(node.attribute(name)?)).unwrap_or(0.0);
    let size = node.ancestors().find_map(|node| number(style(node, "font-size")?)).unwrap_or(16.0);
    let wide = Text::LETTER * size * says.chars().count() as f64;
    let before = match node.ancestors().find_map(|node| style(node, "text-anchor")) {
        Some("middle") => wide / 2.0,
        Some("end") => wide,
        _ => 0.0,
    };
    let at = DVec2::new(figure("x") - before, figure("y"));
    let middle = place.transform_point2(at + DVec2::new(wide / 2.0, -0.35 * size));
    let up = place.transform_vector2(DVec2::new(0.0, -size));
    let at = place.transform_point2(at);
    let all = at.is_finite() && middle.is_finite() && up.is_finite() && up != DVec2::ZERO;
    all.then_some(Text { at, says, layer: None, middle, up })
}

/// A property as an attribute or in the style.
fn style<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let declared = node.attribute("style").and_then(|style| {
        let pairs = style.split(';').filter_map(|pair| pair.split_once(':'));
        pairs.filter(|(key, _)| key.trim() == name).map(|(_, value)| value.trim()).next_back()
    });
    declared.or_else(|| node.attribute(name).map(str::trim))
}

/// The first figure of a list, without its unit: pixels, as an SVG counts inside.
fn number(text: &str) -> Option<f64> {
    let text = text.trim_start();
    let end =
        text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(text.len());
    text[..end].parse().ok().filter(|value: &f64| value.is_finite())
}

/// What an element moves its contents by.
fn moved(node: Node<'_, '_>) -> DAffine2 {
    let matrix = node.attribute("transform").and_then(|text| text.parse::<svgtypes::Transform>().ok());
    let matrix = matrix.map_or(DAffine2::IDENTITY, |t| {
        DAffine2::from_cols(DVec2::new(t.a, t.b), DVec2::new(t.c, t.d), DVec2::new(t.e, t.f))
    });
    // An inner svg stands at its own place.
    let inner = node.has_tag_name((SVG, "svg")) && node.parent_element().is_some();
    let at = |name: &str| if inner { node.attribute(name).and_then(number).unwrap_or(0.0) } else { 0.0 };
    DAffine2::from_translation(DVec2::new(at("x"), at("y"))) * matrix
}

/// From the figures of the root to its pixels: the view box in the middle of the page (SVG 1.1, 7.8, the usual alignment).
fn on_page(root: Node<'_, '_>, page: DVec2) -> DAffine2 {
    let Some(view) = root.attribute("viewBox").and_then(|text| text.parse::<svgtypes::ViewBox>().ok()) else {
        return DAffine2::IDENTITY;
    };
    let size = DVec2::new(view.w, view.h);
    let both = page / size;
    let apart = root.attribute("preserveAspectRatio").is_some_and(|text| text.trim().starts_with("none"));
    let scale = if apart { both } else { DVec2::splat(both.min_element()) };
    let shift = (page - size * scale) / 2.0 - DVec2::new(view.x, view.y) * scale;
    DAffine2::from_scale_angle_translation(scale, 0.0, shift)
}

#[cfg(test)]
mod tests {
    use crate::{ImportOptions, Instead, read_drawing_bytes};

    /// A plate drawn at 1:2 with its dimensions, in millimetres of paper.
    fn plate(texts: &str) -> String {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='297mm' height='210mm' viewBox='0 0 297 210'>\
             <rect x='40' y='40' width='200' height='125' fill='none' stroke='black'/>\
             <line x1='40' y1='180' x2='240' y2='180' stroke='black' stroke-width='0.2'/>\
             <line x1='25' y1='40' x2='25' y2='165' stroke='black' stroke-width='0.2'/>{texts}</svg>"
        )
    }

    fn size(texts: &str) -> (glam::DVec2, Vec<Instead>) {
        let read = read_drawing_bytes("plate.svg", plate(texts).as_bytes(), &ImportOptions::default());
        let read = read.expect("a plate");
        let size = read.parts[0].outline.bounds().expect("an outline").size();
        (size, read.choices.into_iter().map(|choice| choice.instead).collect())
    }

    #[test]
    fn figures_beside_lines_tell_the_scale() {
        let dimensions = "<text x='140' y='178' font-size='5' text-anchor='middle'>400</text>\
            <g transform='translate(22 102) rotate(-90)'><text style='font-size:5px;text-anchor:middle'><tspan x='0' y='0'>250</tspan></text></g>";
        let (found, choices) = size(dimensions);
        assert!((found - glam::DVec2::new(400.0, 250.0)).abs().max_element() < 1e-3, "{found}");
        assert!(choices.iter().any(|choice| matches!(choice, Instead::Scale(by) if (by - 1.0).abs() < 1e-9)));
    }

    #[test]
    fn figures_that_agree_or_are_none_change_nothing() {
        for texts in [
            "<text x='140' y='178' font-size='5' text-anchor='middle'>200</text>",
            "<text x='140' y='178' font-size='5'>R 400</text><text x='60' y='178' font-size='5'>400</text>",
            "<defs><text x='140' y='178' font-size='5'>400</text></defs>",
            "<text x='140' y='178' font-size='5' display='none'>400</text>",
        ] {
            let (found, _) = size(texts);
            assert!((found.x - 200.0).abs() < 1e-3, "{texts}: {found}");
        }
    }

    #[test]
    fn a_scale_in_the_title_block_is_read_from_an_svg_too() {
        let (_, choices) = size("<text x='200' y='205' font-size='4'>SCALE 1:2</text>");
        assert!(choices.iter().any(|choice| matches!(choice, Instead::Scale(_))), "{choices:?}");
    }
}
