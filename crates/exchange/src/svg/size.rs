//! The physical size of an SVG, from `width`, `height` and `viewBox` of its root.

use crate::DrawingUnit;
use glam::DVec2;
use usvg::roxmltree::Document;

/// Pixels in an inch, as CSS fixes it.
const DPI: f64 = 96.0;

/// How the library's pixels become the drawing's unit.
pub(super) struct Frame {
    /// Drawing units in one pixel.
    pub(super) units_per_px: f64,
    /// Unit that the file states.
    pub(super) said: Option<DrawingUnit>,
    /// What is so when it states none.
    pub(super) hint: Option<String>,
    /// When it states pixels: how many of its own figures are in one mm.
    pub(super) pixels: Option<f64>,
}

/// Decides the frame; `size` is the page in pixels, `asked` the unit a person asked for.
pub(super) fn frame(document: &Document<'_>, size: DVec2, asked: Option<DrawingUnit>) -> Frame {
    let root = document.root_element();
    let unit = ["width", "height"].into_iter().find_map(|a| suffix(root.attribute(a)?));
    // Numbers as they stand in the file: the view box undone.
    let own = root.attribute("viewBox").and_then(view_box).map_or(1.0, |view| (view / size).max_element());
    let (said, per_px) = match unit {
        Some("mm") => (Some(DrawingUnit::Millimetre), 25.4 / DPI),
        Some("cm") => (Some(DrawingUnit::Centimetre), 2.54 / DPI),
        Some("in" | "pt" | "pc") => (Some(DrawingUnit::Inch), 1.0 / DPI),
        Some("px") if asked.is_none() => {
            let per_px = 25.4 / DPI;
            return Frame { units_per_px: per_px, said: None, hint: None, pixels: Some(own / per_px) };
        }
        _ => (None, own),
    };
    match asked {
        // A person who asks for another unit means the numbers in the file.
        Some(asked) if said != Some(asked) => Frame { units_per_px: own, said, hint: None, pixels: None },
        _ => {
            let hint = said.is_none().then(|| "the file gives its size in no unit of length".to_owned());
            Frame { units_per_px: per_px, said, hint, pixels: None }
        }
    }
}

fn suffix(length: &str) -> Option<&str> {
    let unit = length.trim().trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'));
    // "1e2mm": an exponent is part of the number.
    let unit = unit.strip_prefix(['e', 'E']).map_or(unit, |rest| {
        let after = rest.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+'));
        if after.len() < rest.len() { after } else { unit }
    });
    ["mm", "cm", "in", "pt", "pc", "px"].into_iter().find(|u| *u == unit.trim())
}

fn view_box(text: &str) -> Option<DVec2> {
    let mut numbers =
        text.split([' ', ',', '\t', '\n', '\r']).filter(|t| !t.is_empty()).map(str::parse::<f64>);
    let (_, _) = (numbers.next()?.ok()?, numbers.next()?.ok()?);
    let view = DVec2::new(numbers.next()?.ok()?, numbers.next()?.ok()?);
    (view.is_finite() && view.min_element() > 0.0).then_some(view)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(root: &str, size: DVec2, asked: Option<DrawingUnit>) -> (f64, Option<DrawingUnit>) {
        let text = format!("<svg {root}/>");
        let document = Document::parse(&text).expect("well-formed");
        let frame = frame(&document, size, asked);
        (frame.units_per_px, frame.said)
    }

    #[test]
    fn unit_of_the_root_is_taken() {
        let px = DVec2::new(96.0, 48.0);
        assert_eq!(
            of("width='25.4mm' height='12.7mm'", px, None),
            (25.4 / 96.0, Some(DrawingUnit::Millimetre))
        );
        assert_eq!(of("width='1e0 in'", px, None), (1.0 / 96.0, Some(DrawingUnit::Inch)));
        assert_eq!(of("width='72pt'", px, None), (1.0 / 96.0, Some(DrawingUnit::Inch)));
        // No unit: the numbers of the view box stand.
        assert_eq!(of("width='96' viewBox='0 0 192 96'", px, None), (2.0, None));
        assert_eq!(of("", px, None), (1.0, None));
    }

    #[test]
    fn asking_for_another_unit_takes_the_numbers_in_the_file() {
        let px = DVec2::new(96.0, 96.0);
        let root = "width='25.4mm' viewBox='0 0 10 10'";
        assert_eq!(of(root, px, Some(DrawingUnit::Inch)).0, 10.0 / 96.0);
        assert_eq!(of(root, px, Some(DrawingUnit::Millimetre)).0, 25.4 / 96.0);
    }
}
