//! Pages as a PDF: vector lines, selectable text, embedded subset fonts, and the same bytes every time.

use crate::SheetError;
use crate::outline::{Move, arc_cubics, circle_moves, moves};
use crate::page::{Item, Page, Pen, Text, Tone, Weight};
use crate::text_width::{baseline_start, face, shape};
use glam::DVec2;
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, Configuration, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::TagTree;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};

const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// A day of the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day {
    /// "2026".
    pub year: u16,
    /// 1 to 12.
    pub month: u8,
    /// 1 to 31.
    pub day: u8,
}

/// Vector PDF with selectable text and embedded subset fonts, tagged for screen readers as PDF/UA-1 asks (headings, tables,
/// drawings in words). The same pages give the same bytes: no date, no random identifier goes in.
///
/// # Errors
/// When there is no page, a page has no size, or the writer refuses a font.
pub fn to_pdf(pages: &[Page], title: &str) -> Result<Vec<u8>, SheetError> {
    write(pages, title, true, None)
}

/// The same as PDF/A-2a, for an archive; such a file carries the day on which it was made.
///
/// # Errors
/// As [`to_pdf`], and where something on a page does not go into an archive.
pub fn to_archival_pdf(pages: &[Page], title: &str, made: Day) -> Result<Vec<u8>, SheetError> {
    write(pages, title, true, Some(made))
}

pub(crate) fn write(
    pages: &[Page],
    title: &str,
    compress: bool,
    archived: Option<Day>,
) -> Result<Vec<u8>, SheetError> {
    let pdf = |error: KrillaError| SheetError::Pdf(format!("{error:?}"));
    let asked = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
    let asked = if archived.is_some() { asked.with_archival_validator(Archival::A2_A) } else { asked };
    let configuration = asked.finish().map_err(|error| SheetError::Pdf(format!("{error:?}")))?;
    match attempt(pages, title, compress, archived, configuration)? {
        Ok(bytes) => Ok(bytes),
        // A sheet that misses a rule of accessibility (a letter without meaning in a name) is better than none.
        Err(KrillaError::Validation(_)) if archived.is_none() => {
            attempt(pages, title, compress, archived, Configuration::default())?.map_err(pdf)
        }
        Err(error) => Err(pdf(error)),
    }
}

/// What the writer says of it comes apart from what is wrong with the pages.
fn attempt(
    pages: &[Page],
    title: &str,
    compress: bool,
    archived: Option<Day>,
    configuration: Configuration,
) -> Result<Result<Vec<u8>, KrillaError>, SheetError> {
    if pages.is_empty() {
        return Err(SheetError::NoPage);
    }
    let settings = SerializeSettings {
        compress_content_streams: compress,
        configuration,
        enable_tagging: true,
        ..SerializeSettings::default()
    };
    let mut document = Document::new_with(settings);
    let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
    let fonts = Fonts::new()?;
    let mut outline = Outline::new();
    for (index, page) in pages.iter().enumerate() {
        let [width, height] = page.size_mm;
        let paper = Paper { height, fonts: &fonts };
        let settings = PageSettings::from_wh(points(width), points(height))
            .ok_or(SheetError::PageSize { width, height })?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        for node in paper.tagged(&page.items, index, &mut surface) {
            tree.push(node);
        }
        surface.finish();
        sheet.finish();
        let to = |at: DVec2| XyzDestination::new(index, Point::from_xy(points(at.x), points(height - at.y)));
        let mut node = OutlineNode::new(page.name.clone(), to(DVec2::new(0.0, height)));
        for (title, at) in bookmarks(&page.items) {
            node.push_child(OutlineNode::new(title, to(at)));
        }
        outline.push_child(node);
    }
    document.set_outline(outline);
    document.set_tag_tree(tree);
    let metadata = match archived {
        Some(Day { year, month, day }) => {
            Metadata::new().creation_date(DateTime::new(year).month(month).day(day))
        }
        None => Metadata::new(),
    };
    // A document must have a title to be told from others.
    let title = if title.trim().is_empty() { "Layout sheet" } else { title };
    document.set_metadata(
        metadata
            .title(title.to_owned())
            .creator(concat!("cupwright ", env!("CARGO_PKG_VERSION")).to_owned())
            .producer("cupwright".to_owned())
            .language("en".to_owned()),
    );
    Ok(document.finish())
}

pub(crate) fn points(mm: f64) -> f32 {
    (mm * POINTS_PER_MM) as f32
}

fn bookmarks(items: &[Item]) -> Vec<(String, DVec2)> {
    items
        .iter()
        .flat_map(|item| match item {
            Item::Bookmark { title, at } => vec![(title.clone(), *at)],
            Item::Group { items, .. } | Item::Tagged { items, .. } => bookmarks(items),
            _ => Vec::new(),
        })
        .collect()
}

struct Fonts {
    regular: Font,
    semi_bold: Font,
    italic: Font,
}

impl Fonts {
    fn new() -> Result<Self, SheetError> {
        let read = |weight| Font::new(face(weight).bytes.into(), 0).ok_or(SheetError::Font);
        Ok(Self {
            regular: read(Weight::Regular)?,
            semi_bold: read(Weight::SemiBold)?,
            italic: read(Weight::Italic)?,
        })
    }
    fn get(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular.clone(),
            Weight::SemiBold => self.semi_bold.clone(),
            Weight::Italic => self.italic.clone(),
        }
    }
}

pub(crate) struct Paper<'a> {
    pub height: f64,
    fonts: &'a Fonts,
}

impl Paper<'_> {
    fn point(&self, at: DVec2) -> (f32, f32) {
        (points(at.x), points(self.height - at.y))
    }
    pub(crate) fn path(&self, moves: &[Move]) -> Option<Path> {
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
    pub(crate) fn draw(&self, items: &[Item], surface: &mut Surface) {
        for item in items {
            self.draw_item(item, surface);
        }
    }
    pub(crate) fn draw_item(&self, item: &Item, surface: &mut Surface) {
        let mut stroke = |moves: &[Move], pen: Option<&Pen>, fill: Option<Tone>| {
            let Some(path) = self.path(moves) else { return };
            surface.set_fill(fill.map(fill_of));
            surface.set_stroke(pen.map(stroke_of));
            if pen.is_some() || fill.is_some() {
                surface.draw_path(&path);
            }
        };
        match item {
            Item::Line { from, to, pen } => {
                stroke(&[Move::To(*from), Move::Line(*to)], Some(pen), None);
            }
            Item::Polyline { points, closed, pen } => {
                stroke(&polyline_moves(points, *closed), Some(pen), None);
            }
            Item::Path { contours, pen, fill } => stroke(&moves(contours), pen.as_ref(), *fill),
            Item::Circle { centre, radius, pen, fill } => {
                stroke(&circle_moves(*centre, *radius), pen.as_ref(), *fill);
            }
            Item::Arc { centre, radius, start, sweep, pen } => {
                let mut along = vec![Move::To(*centre + DVec2::from_angle(*start) * *radius)];
                arc_cubics(*centre, *radius, *start, *sweep, &mut along);
                stroke(&along, Some(pen), None);
            }
            Item::Text(text) => self.draw_text(text, surface),
            Item::Group { clip, items, .. } => {
                let clip = clip.as_ref().and_then(|contours| self.path(&moves(contours)));
                if let Some(path) = &clip {
                    surface.push_clip_path(path, &FillRule::EvenOdd);
                }
                self.draw(items, surface);
                if clip.is_some() {
                    surface.pop();
                }
            }
            Item::Tagged { items, .. } => self.draw(items, surface),
            Item::Bookmark { .. } => {}
        }
    }
    fn draw_text(&self, text: &Text, surface: &mut Surface) {
        let glyphs: Vec<KrillaGlyph> = shape(&text.text, text.weight)
            .into_iter()
            .map(|glyph| {
                KrillaGlyph::new(
                    GlyphId::new(glyph.id),
                    glyph.advance as f32,
                    glyph.offset.x as f32,
                    glyph.offset.y as f32,
                    0.0,
                    glyph.range,
                    None,
                )
            })
            .collect();
        if glyphs.is_empty() {
            return;
        }
        let (x, y) = self.point(baseline_start(text));
        surface.set_fill(Some(fill_of(text.tone)));
        surface.set_stroke(None);
        let turned = text.turn_deg != 0.0;
        let start = if turned {
            let (sin, cos) = text.turn_deg.to_radians().sin_cos();
            // y runs down in the writer's axes, so a counter-clockwise turn has its sine's sign changed.
            let (s, c) = (sin as f32, cos as f32);
            surface.push_transform(&Transform::from_row(c, -s, s, c, x, y));
            Point::from_xy(0.0, 0.0)
        } else {
            Point::from_xy(x, y)
        };
        let size = points(text.size);
        surface.draw_glyphs(start, &glyphs, self.fonts.get(text.weight), &text.text, size, false);
        if turned {
            surface.pop();
        }
    }
}

pub(crate) fn polyline_moves(points: &[DVec2], closed: bool) -> Vec<Move> {
    let mut out: Vec<Move> = points
        .iter()
        .enumerate()
        .map(|(index, at)| if index == 0 { Move::To(*at) } else { Move::Line(*at) })
        .collect();
    if closed && !out.is_empty() {
        out.push(Move::Close);
    }
    out
}

fn colour(tone: Tone) -> rgb::Color {
    let [r, g, b] = tone.rgb();
    rgb::Color::new(r, g, b)
}
fn fill_of(tone: Tone) -> Fill {
    Fill { paint: colour(tone).into(), rule: FillRule::EvenOdd, ..Fill::default() }
}
fn stroke_of(pen: &Pen) -> Stroke {
    let pattern = pen.dash.pattern();
    Stroke {
        paint: colour(pen.tone).into(),
        width: points(pen.width),
        line_cap: LineCap::Butt,
        line_join: LineJoin::Miter,
        dash: (!pattern.is_empty())
            .then(|| StrokeDash { array: pattern.iter().map(|mm| points(*mm)).collect(), offset: 0.0 }),
        ..Stroke::default()
    }
}
