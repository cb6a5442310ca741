//! Group codes of the two releases.

use super::DxfVersion;
use super::shape::{Anchor, Canvas, Shape};
use super::tables;
use geometry::Bounds;
use glam::DVec2;
use std::fmt::{Display, Write};

/// Pairs of group code and value, with handles where the release has them.
pub(super) struct Pairs {
    pub text: String,
    pub version: DxfVersion,
    next: u32,
}

impl Pairs {
    pub fn new(version: DxfVersion) -> Self {
        Self { text: String::new(), version, next: tables::FIRST_FREE }
    }

    pub fn modern(&self) -> bool {
        self.version == DxfVersion::R2000
    }

    pub fn put(&mut self, code: u16, value: impl Display) {
        // Writing to a text cannot fail.
        let _ = write!(self.text, "{code}\n{value}\n");
    }

    pub fn number(&mut self, code: u16, value: f64) {
        self.put(code, number(value));
    }

    pub fn point(&mut self, code: u16, at: DVec2) {
        self.number(code, at.x);
        self.number(code + 10, at.y);
    }

    /// Z = 0 as well.
    pub fn point3(&mut self, code: u16, at: DVec2) {
        self.point(code, at);
        self.number(code + 20, 0.0);
    }

    /// Only in release 2000.
    pub fn class(&mut self, name: &str) {
        if self.modern() {
            self.put(100, name);
        }
    }

    /// A handle of its own, and the owner's; only in release 2000.
    pub fn handle(&mut self, owner: u32) -> u32 {
        let handle = self.next;
        if self.modern() {
            self.next += 1;
            self.put(5, format_args!("{handle:X}"));
            self.owner(owner);
        }
        handle
    }

    /// A handle that is fixed, and the owner's; only in release 2000.
    pub fn fixed(&mut self, handle: u32, owner: u32) {
        if self.modern() {
            self.put(5, format_args!("{handle:X}"));
            self.owner(owner);
        }
    }

    pub fn owner(&mut self, owner: u32) {
        self.put(330, format_args!("{owner:X}"));
    }
}

/// The whole file.
pub(super) fn write(canvas: &Canvas, version: DxfVersion) -> String {
    // The number for the next handle stands in the header, so what follows is written first.
    let mut body = Pairs::new(version);
    tables::classes(&mut body);
    let records = tables::tables(&mut body, canvas);
    tables::blocks(&mut body, canvas, &records);
    body.put(0, "SECTION");
    body.put(2, "ENTITIES");
    for (layer, shape) in &canvas.shapes {
        entity(&mut body, canvas, tables::MODEL_SPACE, *layer, shape);
    }
    body.put(0, "ENDSEC");
    tables::objects(&mut body);
    body.put(0, "EOF");
    let mut head = Pairs::new(version);
    header(&mut head, canvas.bounds(), body.next);
    head.text + &body.text
}

fn header(pairs: &mut Pairs, bounds: Option<Bounds>, next_handle: u32) {
    let bounds = bounds.unwrap_or(Bounds { min: DVec2::ZERO, max: DVec2::ONE });
    let variable = |pairs: &mut Pairs, name: &str, code: u16, value: &dyn Display| {
        pairs.put(9, name);
        pairs.put(code, value);
    };
    pairs.put(0, "SECTION");
    pairs.put(2, "HEADER");
    let release = if pairs.modern() { "AC1015" } else { "AC1009" };
    variable(pairs, "$ACADVER", 1, &release);
    variable(pairs, "$DWGCODEPAGE", 3, &"ANSI_1252");
    if pairs.modern() {
        variable(pairs, "$HANDSEED", 5, &format_args!("{next_handle:X}"));
    }
    for (name, at) in [("$EXTMIN", bounds.min), ("$EXTMAX", bounds.max)] {
        pairs.put(9, name);
        pairs.point3(10, at);
    }
    // Millimetres.
    variable(pairs, "$INSUNITS", 70, &4);
    variable(pairs, "$MEASUREMENT", 70, &1);
    variable(pairs, "$LUNITS", 70, &2);
    variable(pairs, "$LTSCALE", 40, &"1.0");
    pairs.put(0, "ENDSEC");
}

fn begin(pairs: &mut Pairs, owner: u32, kind: &str, layer: &str) {
    pairs.put(0, kind);
    pairs.handle(owner);
    pairs.class("AcDbEntity");
    pairs.put(8, layer);
}

/// One entity of the block with that record.
pub(super) fn entity(pairs: &mut Pairs, canvas: &Canvas, owner: u32, layer: usize, shape: &Shape) {
    let layer = canvas.layers[layer].name.as_str();
    match shape {
        Shape::Insert { block, at, turn_deg } => {
            begin(pairs, owner, "INSERT", layer);
            pairs.class("AcDbBlockReference");
            pairs.put(2, &canvas.blocks[*block].name);
            pairs.point3(10, *at);
            if *turn_deg != 0.0 {
                pairs.number(50, *turn_deg);
            }
        }
        Shape::Line(a, b) => {
            begin(pairs, owner, "LINE", layer);
            pairs.class("AcDbLine");
            pairs.point3(10, *a);
            pairs.point3(11, *b);
        }
        Shape::Circle(centre, radius) => {
            begin(pairs, owner, "CIRCLE", layer);
            pairs.class("AcDbCircle");
            pairs.point3(10, *centre);
            pairs.number(40, *radius);
        }
        Shape::Closed(vertices) if pairs.modern() => {
            begin(pairs, owner, "LWPOLYLINE", layer);
            pairs.class("AcDbPolyline");
            pairs.put(90, vertices.len());
            pairs.put(70, 1);
            for v in vertices {
                pairs.point(10, v.at);
                if v.bulge != 0.0 {
                    pairs.put(42, format_args!("{:?}", v.bulge));
                }
            }
        }
        Shape::Closed(vertices) => {
            begin(pairs, owner, "POLYLINE", layer);
            pairs.put(66, 1);
            pairs.point3(10, DVec2::ZERO);
            pairs.put(70, 1);
            for v in vertices {
                pairs.put(0, "VERTEX");
                pairs.put(8, layer);
                pairs.point3(10, v.at);
                if v.bulge != 0.0 {
                    pairs.put(42, format_args!("{:?}", v.bulge));
                }
            }
            pairs.put(0, "SEQEND");
            pairs.put(8, layer);
        }
        Shape::Text { at, height, turn_deg, says, anchor } => {
            begin(pairs, owner, "TEXT", layer);
            pairs.class("AcDbText");
            pairs.point3(10, *at);
            pairs.number(40, *height);
            pairs.put(1, plain(says));
            if *turn_deg != 0.0 {
                pairs.number(50, *turn_deg);
            }
            pairs.put(7, "STANDARD");
            if *anchor != Anchor::Left {
                pairs.put(72, if *anchor == Anchor::Middle { 1 } else { 2 });
                pairs.point3(11, *at);
            }
            pairs.class("AcDbText");
        }
    }
}

/// Finer than any drawing (mm), and free of the noise of arithmetic.
const STEP: f64 = 1e-9;

fn number(value: f64) -> String {
    let tidy = (value / STEP).round() * STEP;
    // Dividing by a power of ten rounds again: the nearer of the two is written.
    let tidy = if value.abs() < 1e6 { (value / STEP).round() / 1e9 } else { tidy };
    let written = if (tidy - value).abs() <= STEP { tidy } else { value };
    // Adding zero turns -0.0 into 0.0.
    format!("{:?}", written + 0.0)
}

/// A text in the characters that both releases take: others as `\U+XXXX`, no control characters, no codes.
fn plain(says: &str) -> String {
    let mut out = String::with_capacity(says.len());
    for c in says.replace("%%", "% %").chars() {
        match c {
            '^' => out.push_str("^ "),
            '\\' => out.push('/'),
            ' '..='~' => out.push(c),
            c if c.is_control() => out.push(' '),
            c => match u16::try_from(u32::from(c)) {
                Ok(code) => {
                    let _ = write!(out, "\\U+{code:04X}");
                }
                Err(_) => out.push('?'),
            },
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_exact_to_a_billionth_and_free_of_noise() {
        assert_eq!(number(584.199_999_999_999_9), "584.2");
        assert_eq!(number(-0.0), "0.0");
        assert_eq!(number(12.0), "12.0");
        assert_eq!(number(1.0 / 3.0), "0.333333333");
        assert_eq!(number(123_456_789.25), "123456789.25");
    }

    #[test]
    fn texts_are_plain() {
        assert_eq!(plain("Tür 5 × 3"), "T\\U+00FCr 5 \\U+00D7 3");
        assert_eq!(plain("100%%d ^J a\\P\tb\n"), "100% %d ^ J a/P b ");
        assert_eq!(plain("\u{1f600}"), "?");
    }
}
