//! Takes what a page draws: lines and curves with the line they are drawn with, letters, and how many pictures.

use super::words::Words;
use crate::MOST_ENTITIES;
use crate::Watch;
use crate::curve::Curve;
use crate::dxf::{Source, Trouble};
use crate::layer::Line;
use crate::marks::Text;
use crate::subpath::{Step, subpaths};
use glam::DVec2;
use hayro_interpret::font::GlyphRun;
use hayro_interpret::hayro_cmap::BfString;
use hayro_interpret::hayro_syntax::object::{Dict, String as PdfString};
use hayro_interpret::kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape};
use hayro_interpret::{
    BlendMode, ClipPath, Device, DrawMode, DrawProps, Image, ImageDrawProps, Paint, SoftMask, StrokeProps,
};
use std::collections::HashMap;

/// Why the reader is ended in the middle; thrown through it, since it cannot be told to stop.
pub(super) struct Stopped(pub Trouble);

/// Calls that a page may make: drawings have some hundred thousand.
const MOST_CALLS: usize = 20_000_000;
/// Calls between two looks at whether to stop.
const LOOK: usize = 1_024;

/// What was not taken.
#[derive(Debug, Default)]
pub(super) struct LeftOut {
    pub pictures: usize,
    pub fills: usize,
    pub outside: usize,
    pub cut: usize,
}

/// What was taken of a page.
pub(super) struct Taken {
    pub curves: Vec<(Curve, u32)>,
    pub entries: Vec<Source>,
    pub layers: Vec<String>,
    /// Of each layer, that of its first line.
    pub colours: Vec<Option<[u8; 3]>>,
    pub texts: Vec<Text>,
    pub left_out: LeftOut,
    pub page: usize,
    pub pages: usize,
}

/// A path that is filled and has no edge; taken where a page has nothing else.
type Filled = Vec<(Vec<Curve>, u32)>;

pub(super) struct Taker<'w> {
    watch: &'w Watch,
    calls: usize,
    size: [f64; 2],
    curves: Vec<(Curve, u32)>,
    entries: Vec<Source>,
    layers: Vec<String>,
    colours: Vec<Option<[u8; 3]>>,
    index: HashMap<String, u32>,
    /// The layer of each marked content that is open, where it has one.
    marked: Vec<Option<u32>>,
    /// Whether the page has layers of its own.
    layered: bool,
    /// Boxes that are seen through, each within the one before.
    seen: Vec<Rect>,
    words: Words,
    filled: Filled,
    left_out: LeftOut,
}

impl<'w> Taker<'w> {
    /// For a page of that size, mm.
    pub fn new(size: [f64; 2], watch: &'w Watch) -> Self {
        Self {
            watch,
            calls: 0,
            size,
            curves: Vec::new(),
            entries: Vec::new(),
            layers: Vec::new(),
            colours: Vec::new(),
            index: HashMap::new(),
            marked: Vec::new(),
            layered: false,
            seen: Vec::new(),
            words: Words::default(),
            filled: Vec::new(),
            left_out: LeftOut::default(),
        }
    }

    pub fn finish(mut self) -> Taken {
        let filled = std::mem::take(&mut self.filled);
        if self.curves.is_empty() {
            // Some programs fill every shape; a page of fills alone is read by their edges.
            for (curves, layer) in filled {
                self.push(curves, layer, Line::Through);
            }
        } else {
            self.left_out.fills = filled.len();
        }
        Taken {
            curves: self.curves,
            entries: self.entries,
            layers: self.layers,
            colours: self.colours,
            texts: self.words.finish(),
            left_out: self.left_out,
            page: 1,
            pages: 1,
        }
    }

    /// Counts a call, and ends the reading where it is asked for or too long.
    fn call(&mut self) {
        self.calls += 1;
        if self.calls > MOST_CALLS || self.curves.len() > MOST_ENTITIES {
            stop(Trouble::TooMany(format!("more than {MOST_ENTITIES}")));
        }
        if self.calls.is_multiple_of(LOOK)
            && let Err(trouble) = self.watch.go_on()
        {
            stop(trouble);
        }
    }

    fn layer(&mut self, name: &str) -> u32 {
        if let Some(at) = self.index.get(name) {
            return *at;
        }
        let at = self.layers.len() as u32;
        self.layers.push(name.to_owned());
        self.colours.push(None);
        self.index.insert(name.to_owned(), at);
        at
    }

    /// The page's own layer, or, on a page without any, one for each width of line: outlines are drawn thick.
    fn layer_of(&mut self, width_mm: Option<f64>) -> u32 {
        if let Some(layer) = self.marked.iter().rev().find_map(|layer| *layer) {
            return layer;
        }
        if self.layered {
            return self.layer("no layer");
        }
        match width_mm {
            Some(width) => {
                let width = units::figure(width, 2);
                self.layer(&format!("{width} mm wide"))
            }
            None => self.layer("filled"),
        }
    }

    fn push(&mut self, curves: Vec<Curve>, layer: u32, line: Line) {
        let place = self.calls as u64;
        for curve in curves {
            self.curves.push((curve, self.entries.len() as u32));
            self.entries.push(Source { kind: "path", layer, line, handle: 0, place });
        }
    }

    /// How much of a box is seen; a line's width counts for nothing.
    fn shown(&self, of: Rect) -> Shown {
        let Some(seen) = self.seen.last() else { return Shown::Whole };
        let slack = 0.5 + 2e-3 * of.width().max(of.height());
        let wide = seen.inflate(slack, slack);
        if wide.x0 <= of.x0 && wide.y0 <= of.y0 && wide.x1 >= of.x1 && wide.y1 >= of.y1 {
            Shown::Whole
        } else if of.x1 < seen.x0 || of.x0 > seen.x1 || of.y1 < seen.y0 || of.y0 > seen.y1 {
            Shown::Nothing
        } else {
            Shown::Part
        }
    }

    /// A rectangle over the whole page is its ground.
    fn is_ground(&self, of: Rect) -> bool {
        let slack = 0.01 * self.size[0].max(self.size[1]);
        of.x0 <= slack && of.y0 <= slack && of.x1 >= self.size[0] - slack && of.y1 >= self.size[1] - slack
    }
}

enum Shown {
    Whole,
    Part,
    Nothing,
}

/// Ends the reading; caught where the reader is called. No message is printed on the way.
fn stop(trouble: Trouble) -> ! {
    std::panic::resume_unwind(Box::new(Stopped(trouble)))
}

impl<'a> Device<'a> for Taker<'_> {
    fn draw_path(&mut self, path: &BezPath, props: DrawProps<'a>, mode: &DrawMode) {
        self.call();
        let stroke = match mode {
            DrawMode::Stroke(stroke) | DrawMode::FillAndStroke(_, stroke) => Some(stroke),
            DrawMode::Fill(_) => None,
            DrawMode::Invisible => return,
        };
        let placed = props.transform * path.clone();
        let bounds = placed.bounding_box();
        if !bounds.is_finite() {
            return;
        }
        match self.shown(bounds) {
            Shown::Whole => {}
            Shown::Part if stroke.is_none() => return,
            Shown::Part => return self.left_out.cut += 1,
            Shown::Nothing => return self.left_out.outside += 1,
        }
        let curves = curves(&placed);
        let Some(stroke) = stroke else {
            if !self.is_ground(bounds) && self.filled.len() < MOST_ENTITIES {
                let layer = self.layer_of(None);
                self.filled.push((curves, layer));
            }
            return;
        };
        let scale = props.transform.determinant().abs().sqrt();
        let layer = self.layer_of(Some(f64::from(stroke.line_width) * scale));
        if let (slot @ None, Paint::Color(colour)) = (&mut self.colours[layer as usize], &props.paint) {
            let [red, green, blue, _] = colour.to_rgba().to_rgba8();
            *slot = Some([red, green, blue]);
        }
        self.push(curves, layer, line_of(stroke));
    }

    fn push_clip_path(&mut self, clip: &ClipPath) {
        self.call();
        let of = clip.path.bounding_box();
        let within = self.seen.last().map_or(of, |seen| seen.intersect(of));
        self.seen.push(within);
    }

    fn pop_clip(&mut self) {
        self.seen.pop();
    }

    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'a>>, _: BlendMode) {
        self.call();
    }

    fn pop_transparency_group(&mut self) {}

    fn draw_glyph_run(&mut self, run: &GlyphRun<'_, 'a>, props: DrawProps<'a>, _: &DrawMode) {
        for glyph in run.glyphs() {
            self.call();
            let Some(says) = glyph.as_unicode() else { continue };
            let place = props.transform * glyph.transform();
            let at = point(place * Point::ZERO);
            let advance = advance(glyph, place);
            let height = point(place * Point::new(0.0, 1000.0)).distance(at);
            let end = at + advance.unwrap_or(DVec2::new(0.5 * height, 0.0));
            match says {
                BfString::Char(c) => self.words.letter(c.encode_utf8(&mut [0; 4]), at, end, height),
                BfString::String(s) => self.words.letter(&s, at, end, height),
            }
        }
    }

    fn draw_image(&mut self, _: Image<'a, '_>, _: ImageDrawProps<'a>) {
        self.call();
        self.left_out.pictures += 1;
    }

    fn begin_marked_content(&mut self, tag: &[u8], properties: Option<&Dict<'_>>) {
        self.call();
        let name = properties
            .filter(|_| tag == b"OC")
            .and_then(|properties| properties.get::<PdfString<'_>>(b"Name"))
            .map(|name| text(name.as_bytes()));
        let layer = name.filter(|name| !name.trim().is_empty()).map(|name| {
            self.layered = true;
            self.layer(name.trim())
        });
        self.marked.push(layer);
    }

    fn end_marked_content(&mut self) {
        self.marked.pop();
    }
}

/// From where a letter begins to where the next does, on the page.
fn advance(glyph: &hayro_interpret::font::Glyph<'_>, place: Affine) -> Option<DVec2> {
    let hayro_interpret::font::Glyph::Outline(outline) = glyph else { return None };
    let width = f64::from(outline.advance_width()?);
    Some(point(place * Point::new(width, 0.0)) - point(place * Point::ZERO))
}

fn point(at: Point) -> DVec2 {
    DVec2::new(at.x, at.y)
}

/// A text string of a PDF: UTF-16 with a mark, UTF-8 with one, else a letter a byte, of which the first 128 are ASCII (ISO
/// 32000-1, 7.9.2.2, from memory).
fn text(bytes: &[u8]) -> String {
    match bytes {
        [0xfe, 0xff, rest @ ..] => {
            let units: Vec<u16> = rest.chunks_exact(2).map(|b| u16::from_be_bytes([b[0], b[1]])).collect();
            String::from_utf16_lossy(&units)
        }
        [0xef, 0xbb, 0xbf, rest @ ..] => String::from_utf8_lossy(rest).into_owned(),
        bytes => bytes.iter().map(|b| char::from(*b)).collect(),
    }
}

/// What dashes say: long and short ones a centre line, one kind a hidden edge.
fn line_of(stroke: &StrokeProps) -> Line {
    let dashes: Vec<f32> = stroke.dash_array.iter().copied().filter(|dash| *dash > 0.0).collect();
    match dashes.len() {
        0 => Line::Through,
        1..=3 => Line::Hidden,
        _ => Line::Centre,
    }
}

/// Subpaths as curves, mm of paper.
fn curves(path: &BezPath) -> Vec<Curve> {
    subpaths(path.elements().iter().map(|element| match *element {
        PathEl::MoveTo(to) => Step::Move(point(to)),
        PathEl::LineTo(to) => Step::Line(point(to)),
        PathEl::QuadTo(c, to) => Step::Quad(point(c), point(to)),
        PathEl::CurveTo(a, b, to) => Step::Cubic(point(a), point(b), point(to)),
        PathEl::ClosePath => Step::Close,
    }))
}
