//! Figures beyond any drawing, looked for before an SVG is handed on.
//!
//! The library cuts an arc into curves by its radius; one of 1e38 comes to millions of curves and takes minutes.

use crate::dxf::Trouble;
use usvg::roxmltree::{Document, Node};

/// Largest figure that is read, in whatever unit it stands: a million kilometres in millimetres.
const FURTHEST: f64 = 1e9;

/// Attributes whose figures place or size something.
const PLACING: [&str; 18] = [
    "d",
    "points",
    "transform",
    "viewBox",
    "width",
    "height",
    "x",
    "y",
    "x1",
    "y1",
    "x2",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "font-size",
];

/// Properties in style sheets that do; a font size because lengths may be given in it.
const PLACING_PROPERTIES: [&str; 4] = ["transform", "transform-origin", "font-size", "font"];

/// Refuses a drawing that holds a figure which places or sizes something beyond reason.
pub(super) fn check(document: &Document<'_>) -> Result<(), Trouble> {
    for node in document.descendants().filter(Node::is_element) {
        let attributes = node.attributes().filter_map(|a| match a.name() {
            "style" => declared_too_large(a.value()),
            name if PLACING.contains(&name) => too_large(a.value()),
            _ => None,
        });
        let sheet = (node.tag_name().name() == "style").then(|| node.text().and_then(declared_too_large));
        if let Some(figure) = attributes.chain(sheet.flatten()).next() {
            let id = node.attribute("id").map_or(String::new(), |id| format!(" \"{id}\""));
            let line = document.text_pos_at(node.range().start).row;
            return Err(Trouble::Damaged(format!(
                "{}{id}, line {line}, contains the number {}; numbers up to 1e9 are read",
                node.tag_name().name(),
                figure.chars().take(24).collect::<String>()
            )));
        }
    }
    Ok(())
}

/// The first figure among declarations of a style that is too large.
fn declared_too_large(style: &str) -> Option<&str> {
    style
        .split([';', '{', '}'])
        .filter_map(|declaration| declaration.split_once(':'))
        .filter(|(property, _)| PLACING_PROPERTIES.contains(&property.trim()))
        .find_map(|(_, value)| too_large(value))
}

/// The first figure in a text that is too large, without its sign.
fn too_large(text: &str) -> Option<&str> {
    let mut rest = text;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit() || c == '.') {
        rest = &rest[start..];
        let length = figure(rest.as_bytes());
        let (found, after) = rest.split_at(length.max(1));
        if found.parse::<f64>().is_ok_and(|v| v > FURTHEST) {
            return Some(found);
        }
        rest = after;
    }
    None
}

/// Bytes of the figure that a text begins with: digits, at most one point, an exponent if it has digits.
fn figure(text: &[u8]) -> usize {
    let digits = |from: usize| text[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let mut length = digits(0);
    if text.get(length) == Some(&b'.') {
        length += 1;
        length += digits(length);
    }
    if matches!(text.get(length), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(text.get(length + 1), Some(b'+' | b'-')));
        let exponent = digits((length + 1 + sign).min(text.len()));
        if exponent > 0 {
            length += 1 + sign + exponent;
        }
    }
    length
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_cut_as_paths_write_them() {
        assert_eq!(too_large("M1.5.5e3-2e+9L0 0"), Some("2e+9"));
        assert_eq!(too_large("M0 0h1e400"), Some("1e400"));
        assert_eq!(too_large("12345678901mm"), Some("12345678901"));
        // At the limit, two figures that touch, an exponent without digits, texts without figures.
        for fine in ["1e9", "999999999.999999999.9", "1e", "8em", ".", "1e-99", "", "é9ß"] {
            assert_eq!(too_large(fine), None, "{fine}");
        }
    }

    #[test]
    fn styles_are_looked_at_by_property() {
        assert_eq!(declared_too_large("fill:red; font-size : 2e30px"), Some("2e30"));
        assert_eq!(declared_too_large("circle { transform: scale(1e30) }"), Some("1e30"));
        assert_eq!(declared_too_large("fill:url(#p12345678901);stroke-miterlimit:1e10"), None);
    }
}
