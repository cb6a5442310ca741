//! One page as a picture, drawn from the same items and the same letters as the PDF.

use crate::SheetError;
use crate::outline::{Move, arc_cubics, circle_moves, moves};
use crate::page::{Item, Page, Pen, Text, Tone};
use crate::pdf::polyline_moves;
use crate::text_width::{baseline_start, face, shape};
use glam::DVec2;
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{GlyphId, MetadataProvider};
use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Mask, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash, Transform,
};

/// Pictures above this many pixels are refused rather than exhausting memory.
const MOST_PIXELS: f64 = 1.0e8;

/// A page as dots, for a preview.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Dots across.
    pub width: u32,
    /// Dots down.
    pub height: u32,
    /// Red, green, blue, opacity of every dot, row by row from the top; the paper is opaque.
    pub rgba: Vec<u8>,
}

/// One page as a picture `width` dots wide: what a preview shows.
///
/// # Errors
/// As [`to_png`].
///
/// ```
/// # use sheet::{Page, to_picture};
/// let page = Page { name: String::new(), size_mm: [210.0, 297.0], items: Vec::new() };
/// let picture = to_picture(&page, 420)?;
/// assert_eq!((picture.width, picture.height), (420, 594));
/// # Ok::<(), sheet::SheetError>(())
/// ```
pub fn to_picture(page: &Page, width: u32) -> Result<Picture, SheetError> {
    let drawn = painted(page, f64::from(width) / page.size_mm[0] * 25.4)?;
    Ok(Picture { width: drawn.width(), height: drawn.height(), rgba: drawn.take() })
}

/// One page as a PNG picture at `dpi` dots per inch.
///
/// # Errors
/// When the page has no size, or so many dots were asked for that the picture would not fit in memory.
pub fn to_png(page: &Page, dpi: f64) -> Result<Vec<u8>, SheetError> {
    painted(page, dpi)?.encode_png().map_err(|error| SheetError::Png(error.to_string()))
}

fn painted(page: &Page, dpi: f64) -> Result<Pixmap, SheetError> {
    let [width, height] = page.size_mm;
    let dots = dpi / 25.4;
    let size = [width * dots, height * dots].map(f64::round);
    if !size.iter().all(|side| side.is_finite() && *side >= 1.0) {
        return Err(SheetError::PageSize { width, height });
    }
    if size[0] * size[1] > MOST_PIXELS {
        return Err(SheetError::TooManyDots { dpi, width, height });
    }
    let mut picture =
        Pixmap::new(size[0] as u32, size[1] as u32).ok_or(SheetError::PageSize { width, height })?;
    let [r, g, b] = Tone::Paper.rgb();
    picture.fill(Color::from_rgba8(r, g, b, 255));
    let mut painter = Painter { picture, height, dots };
    painter.draw(&page.items, None);
    Ok(painter.picture)
}

struct Painter {
    picture: Pixmap,
    height: f64,
    dots: f64,
}

impl Painter {
    fn point(&self, at: DVec2) -> (f32, f32) {
        ((at.x * self.dots) as f32, ((self.height - at.y) * self.dots) as f32)
    }
    fn path(&self, moves: &[Move]) -> Option<Path> {
        let mut builder = PathBuilder::new();
        for step in moves {
            match *step {
                Move::To(at) => {
                    let (x, y) = self.point(at);
                    builder.move_to(x, y);
                }
                Move::Line(at) => {
                    let (x, y) = self.point(at);
                    builder.line_to(x, y);
                }
                Move::Cubic(a, b, at) => {
                    let ((ax, ay), (bx, by), (x, y)) = (self.point(a), self.point(b), self.point(at));
                    builder.cubic_to(ax, ay, bx, by, x, y);
                }
                Move::Close => builder.close(),
            }
        }
        builder.finish()
    }
    fn draw(&mut self, items: &[Item], mask: Option<&Mask>) {
        for item in items {
            match item {
                Item::Line { from, to, pen } => {
                    self.stroke(&[Move::To(*from), Move::Line(*to)], Some(pen), None, mask);
                }
                Item::Polyline { points, closed, pen } => {
                    self.stroke(&polyline_moves(points, *closed), Some(pen), None, mask);
                }
                Item::Path { contours, pen, fill } => {
                    self.stroke(&moves(contours), pen.as_ref(), *fill, mask);
                }
                Item::Circle { centre, radius, pen, fill } => {
                    self.stroke(&circle_moves(*centre, *radius), pen.as_ref(), *fill, mask);
                }
                Item::Arc { centre, radius, start, sweep, pen } => {
                    let mut along = vec![Move::To(*centre + DVec2::from_angle(*start) * *radius)];
                    arc_cubics(*centre, *radius, *start, *sweep, &mut along);
                    self.stroke(&along, Some(pen), None, mask);
                }
                Item::Text(text) => self.text(text, mask),
                Item::Group { clip, items, .. } => {
                    let clip = clip.as_ref().and_then(|contours| self.path(&moves(contours)));
                    match clip {
                        None => self.draw(items, mask),
                        Some(path) => {
                            let mut inner = mask.cloned().or_else(|| {
                                let mut all = Mask::new(self.picture.width(), self.picture.height())?;
                                all.invert();
                                Some(all)
                            });
                            if let Some(inner) = &mut inner {
                                inner.intersect_path(&path, FillRule::EvenOdd, true, Transform::identity());
                            }
                            self.draw(items, inner.as_ref());
                        }
                    }
                }
                Item::Tagged { items, .. } => self.draw(items, mask),
                Item::Bookmark { .. } => {}
            }
        }
    }
    fn stroke(&mut self, moves: &[Move], pen: Option<&Pen>, fill: Option<Tone>, mask: Option<&Mask>) {
        let Some(path) = self.path(moves) else { return };
        if let Some(tone) = fill {
            self.picture.fill_path(&path, &paint(tone), FillRule::EvenOdd, Transform::identity(), mask);
        }
        if let Some(pen) = pen {
            let pattern: Vec<f32> = pen.dash.pattern().iter().map(|mm| (*mm * self.dots) as f32).collect();
            let stroke = Stroke {
                width: (pen.width * self.dots) as f32,
                line_cap: LineCap::Butt,
                line_join: LineJoin::Miter,
                dash: StrokeDash::new(pattern, 0.0),
                ..Stroke::default()
            };
            self.picture.stroke_path(&path, &paint(pen.tone), &stroke, Transform::identity(), mask);
        }
    }
    fn text(&mut self, text: &Text, mask: Option<&Mask>) {
        let face = face(text.weight);
        let outlines = face.font.outline_glyphs();
        let along = DVec2::from_angle(text.turn_deg.to_radians());
        let mut origin = baseline_start(text);
        let mut letters = Letters { builder: PathBuilder::new(), paper: self, origin, along };
        for glyph in shape(&text.text, text.weight) {
            letters.origin = origin + along.rotate(glyph.offset * text.size);
            if let Some(outline) = outlines.get(GlyphId::new(glyph.id)) {
                let settings = DrawSettings::unhinted(Size::new(text.size as f32), LocationRef::default());
                // A glyph that cannot be drawn leaves a gap; the fonts are compiled in and tested.
                let _ = outline.draw(settings, &mut letters);
            }
            origin += along * glyph.advance * text.size;
        }
        if let Some(path) = letters.builder.finish() {
            self.picture.fill_path(&path, &paint(text.tone), FillRule::Winding, Transform::identity(), mask);
        }
    }
}

/// Takes a glyph's outline in mm to the picture.
struct Letters<'a> {
    builder: PathBuilder,
    paper: &'a Painter,
    origin: DVec2,
    along: DVec2,
}

impl Letters<'_> {
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        let local = DVec2::new(x.into(), y.into());
        self.paper.point(self.origin + self.along.rotate(local))
    }
}

impl OutlinePen for Letters<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.move_to(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.line_to(x, y);
    }
    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        let ((cx, cy), (x, y)) = (self.at(cx, cy), self.at(x, y));
        self.builder.quad_to(cx, cy, x, y);
    }
    fn curve_to(&mut self, ax: f32, ay: f32, bx: f32, by: f32, x: f32, y: f32) {
        let ((ax, ay), (bx, by), (x, y)) = (self.at(ax, ay), self.at(bx, by), self.at(x, y));
        self.builder.cubic_to(ax, ay, bx, by, x, y);
    }
    fn close(&mut self) {
        self.builder.close();
    }
}

fn paint(tone: Tone) -> Paint<'static> {
    let [r, g, b] = tone.rgb();
    let mut paint = Paint::default();
    paint.set_color_rgba8(r, g, b, 255);
    paint
}
