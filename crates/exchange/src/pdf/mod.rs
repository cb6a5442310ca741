//! Drawings printed as PDF: the lines and curves of one page, at the page's own size.
//!
//! A PDF knows no part and no unit but the point: what is read is what was drawn on the paper, in millimetres of paper. The
//! scale of the drawing is then found as for any other (printed dimensions, title block), or typed. Nothing of pictures is
//! read: a page that is a scan says so.

mod device;
mod filters;
mod guard;
mod words;

use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::drawing::{DrawingUnit, Format, Sketch, Sources};
use crate::dxf::Trouble;
use crate::layer::{self, LayerUse};
use crate::marks::Markings;
use crate::measured;
use crate::picture::Beside;
use crate::watch::Stage;
use crate::{ImportOptions, MOST_ENTITIES};
use device::{Taken, Taker};
use glam::DAffine2;
use hayro_interpret::font::FontData;
use hayro_interpret::hayro_syntax::{DecryptionError, LoadPdfError, Pdf, page::Page};
use hayro_interpret::kurbo::{Affine, Rect};
use hayro_interpret::{
    Context, Device, InterpreterCache, InterpreterSettings, RenderContent, TransformExt, interpret_page,
};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// Millimetres in a point, the unit of a page.
const POINT: f64 = 25.4 / 72.0;

/// Letters for texts whose own are not in the file: only what they say is read, never how they look.
const LETTERS: &[u8] = include_bytes!("../../../../assets/fonts/SourceSans3-Regular.ttf");

/// Reads one page into curves, mm of paper from its lower left corner.
pub(crate) fn read(bytes: &[u8], options: &ImportOptions, notes: &mut Notes) -> Result<Sketch, Trouble> {
    notes.watch.enter(Stage::Entities)?;
    guard::check(bytes, notes.watch)?;
    let (asked, watch) = (options.page.max(1), notes.watch);
    let taken = caught(|| {
        on_page(bytes, asked, |page, pages| {
            let size = size_of(page);
            let mut taker = Taker::new(size, watch);
            interpret(page, size, &mut taker);
            Ok(Taken { page: asked, pages, ..taker.finish() })
        })
    })?;
    finish(taken, options, notes)
}

/// Hands what a page draws to a device, in mm of paper from its lower left corner; its size, mm.
pub(crate) fn with_page(
    bytes: &[u8],
    page: usize,
    watch: &crate::Watch,
    device: &mut impl for<'d> Device<'d>,
) -> Result<[f64; 2], Trouble> {
    guard::check(bytes, watch)?;
    caught(|| {
        on_page(bytes, page.max(1), |page, _| {
            let size = size_of(page);
            interpret(page, size, device);
            Ok(size)
        })
    })
}

/// The reader behind is given bounded bytes; a panic in it must not reach the user all the same. It cannot be told to stop,
/// so a device ends it by unwinding, see [`device::Stopped`].
fn caught<T>(read: impl FnOnce() -> Result<T, Trouble>) -> Result<T, Trouble> {
    match catch_unwind(AssertUnwindSafe(read)) {
        Ok(read) => read,
        Err(payload) => match payload.downcast::<device::Stopped>() {
            Ok(stopped) => Err(stopped.0),
            Err(_) => Err(Trouble::Damaged("its page cannot be calculated".to_owned())),
        },
    }
}

/// Opens a page, counted from 1, and how many there are.
fn on_page<T>(
    bytes: &[u8],
    asked: usize,
    read: impl FnOnce(&Page<'_>, usize) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    let pdf = Pdf::new(bytes.to_vec()).map_err(|error| match error {
        LoadPdfError::Decryption(DecryptionError::PasswordProtected) => Trouble::NotADrawing(
            "it is a PDF locked with a password; print it to a new PDF without one".to_owned(),
        ),
        LoadPdfError::Decryption(_) => {
            Trouble::NotADrawing("it is a PDF locked in a way that is not read".to_owned())
        }
        LoadPdfError::Invalid => Trouble::Damaged("no page of the PDF can be found".to_owned()),
    })?;
    let pages = pdf.pages();
    let count = pages.len();
    let Some(page) = pages.get(asked - 1) else {
        let pages = if count == 1 { "1 page".to_owned() } else { format!("{count} pages") };
        return Err(Trouble::Empty(format!("page {asked} was asked for, and the PDF has {pages}").into()));
    };
    read(page, count)
}

/// Width and height of a page as it is shown, mm.
fn size_of(page: &Page<'_>) -> [f64; 2] {
    let scale = POINT * user_unit(page);
    let (width, height) = page.render_dimensions();
    [f64::from(width) * scale, f64::from(height) * scale]
}

fn interpret(page: &Page<'_>, size: [f64; 2], device: &mut impl for<'d> Device<'d>) {
    let scale = POINT * user_unit(page);
    let place = Affine::scale(scale) * page.initial_transform(false).to_kurbo();
    let settings = InterpreterSettings {
        font_resolver: Arc::new(|_| {
            let font: FontData = Arc::new(LETTERS);
            Some((font, 0))
        }),
        cmap_resolver: Arc::new(|_| None),
        warning_sink: Arc::new(|_| {}),
        // Remarks of viewers are no part of the drawing.
        render_content: RenderContent::PAGE,
    };
    let cache = InterpreterCache::new();
    let whole = Rect::new(0.0, 0.0, size[0], size[1]);
    let mut context = Context::new(place, whole, &cache, page.xref(), settings);
    interpret_page(page, &mut context, device);
}

/// Points in a unit of the page: 1 but for very large sheets (ISO 32000-1, table 30, UserUnit; from memory).
fn user_unit(page: &Page<'_>) -> f64 {
    let unit = page.raw().get::<f32>(b"UserUnit").map_or(1.0, f64::from);
    if unit.is_finite() && unit > 0.0 && unit < 1e5 { unit } else { 1.0 }
}

/// Where else to look in a PDF of several pages.
fn other_page(page: usize, pages: usize) -> String {
    match page < pages {
        true => format!("; the PDF has {pages} pages, the next one is page {}", page + 1),
        false if pages > 1 => format!("; the PDF has {pages} pages, the first one is page 1"),
        false => String::new(),
    }
}

fn finish(taken: Taken, options: &ImportOptions, notes: &mut Notes) -> Result<Sketch, Trouble> {
    let Taken { mut curves, mut entries, mut layers, colours, texts, left_out, page, pages } = taken;
    let place = || format!("page {page}");
    if curves.is_empty() {
        let picture = left_out.pictures > 0;
        let says = if picture {
            format!(
                "page {page} is a picture (a scan), which has no lines; ask for the drawing as DXF, SVG or as a PDF \
                 printed from the drawing program, or lay the page under the plan and trace it (in the window: Menu, \
                 Part, Picture to trace…){}",
                other_page(page, pages)
            )
        } else {
            format!("page {page} has no lines{}", other_page(page, pages))
        };
        return Err(Trouble::NoLines { says, page, pages, picture });
    }
    if curves.len() > MOST_ENTITIES {
        return Err(Trouble::TooMany(format!("more than {MOST_ENTITIES}")));
    }
    let mut say = |count: usize, one: &str, many: &str| {
        if count > 0 {
            let what = if count == 1 { format!("1 {one}") } else { format!("{count} {many}") };
            notes.add(DiagnosticSeverity::Skipped, format!("{what} left out"), place);
        }
    };
    say(left_out.pictures, "picture", "pictures");
    say(left_out.fills, "filled shape without an edge", "filled shapes without an edge");
    say(left_out.outside, "line outside what is shown", "lines outside what is shown");
    say(left_out.cut, "line that is shown in part only", "lines that are shown in part only");
    let mut infos = layer::of_paths(&layers, entries.iter().map(|entry| entry.layer));
    infos.iter_mut().zip(&colours).for_each(|(info, colour)| info.colour = *colour);
    layer::pick(&mut infos, options, "layer", notes).map_err(|says| Trouble::Empty(says.into()))?;
    let used = |source: u32| infos[entries[source as usize].layer as usize].used;
    let dimensions = measured::dimensions(&texts, curves.iter().map(|(curve, _)| curve));
    let mut beside = Beside::default();
    curves.retain(|(curve, source)| {
        let keep = used(*source) != LayerUse::LeftOut;
        if !keep {
            beside.curve(curve, &DAffine2::IDENTITY);
        }
        keep
    });
    let line = |source: u32| entries[source as usize].line.other_than_edge();
    if !options.keep_dashed {
        let mut dashed = 0;
        curves.retain(|(curve, source)| {
            let keep = line(*source).is_none();
            dashed += usize::from(!keep);
            if !keep {
                beside.curve(curve, &DAffine2::IDENTITY);
            }
            keep
        });
        if dashed > 0 {
            let what =
                if dashed == 1 { "1 dashed line".to_owned() } else { format!("{dashed} dashed lines") };
            let says = format!("{what} left out: hidden edges and centre lines are drawn so");
            notes.add(DiagnosticSeverity::Skipped, says, place);
        }
    }
    Ok(Sketch {
        curves,
        sources: Sources {
            entries: std::mem::take(&mut entries),
            layers: std::mem::take(&mut layers),
            format: Format::Pdf(page),
        },
        layers: infos,
        written: Markings { texts, dimensions },
        beside,
        unit: Some(DrawingUnit::Millimetre),
        unit_hint: None,
        pixels: None,
        page: Some([page, pages]),
    })
}
