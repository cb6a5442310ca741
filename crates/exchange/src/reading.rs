//! The way from the bytes of a drawing to its parts.

use crate::choice::{Choice, Instead};
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::drawing::{Drawing, ImportCounts, ImportOptions, ImportedPart, MOST_BYTES, Sketch, UnitFrom};
use crate::dxf::{self, Trouble};
use crate::error::ImportError;
use crate::layer::LayerUse;
use crate::pick::{Known, unit_choices};
use crate::simplify::simplified;
use crate::watch::Watch;
use crate::{clean, pdf, svg};
use sha2::{Digest, Sha256};
use std::path::Path;
use units::{Part, Worded};

/// Reads a DXF, SVG or PDF file, told apart by content first, name second.
///
/// # Errors
/// Every [`ImportError`]: each says what, where and what to do. Bad entities are no error but a diagnostic.
pub fn read_drawing(path: &Path, options: &ImportOptions) -> Result<Drawing, ImportError> {
    read_drawing_watched(path, options, &Watch::default())
}

/// As [`read_drawing`], followed and stopped through `watch`.
///
/// # Errors
/// As [`read_drawing`], and [`ImportError::Stopped`] soon after it was asked for.
pub fn read_drawing_watched(
    path: &Path,
    options: &ImportOptions,
    watch: &Watch,
) -> Result<Drawing, ImportError> {
    let shown = || path.display().to_string();
    let io = |source| ImportError::Io { path: shown(), source };
    let about = std::fs::metadata(path).map_err(io)?;
    if about.is_dir() {
        return Err(ImportError::Directory { path: shown() });
    }
    let name = path.file_name().map_or_else(shown, |n| n.to_string_lossy().into_owned());
    let limit = |bytes: u64| check_size(&name, bytes);
    limit(about.len())?;
    // A pipe or a file that grows has no size to trust: read one byte past the limit at most.
    let mut bytes = Vec::new();
    let mut file = std::io::Read::take(std::fs::File::open(path).map_err(io)?, MOST_BYTES + 1);
    loop {
        watch.go_on().map_err(|stopped| stopped.named(&name))?;
        let mut chunk = std::io::Read::take(std::io::Read::by_ref(&mut file), CHUNK);
        if std::io::Read::read_to_end(&mut chunk, &mut bytes).map_err(io)? == 0 {
            break;
        }
    }
    read_drawing_bytes_watched(&name, &bytes, options, watch)
}

/// Bytes read between two looks at whether to stop.
const CHUNK: u64 = 4 << 20;

fn check_size(name: &str, bytes: u64) -> Result<(), ImportError> {
    if bytes > MOST_BYTES {
        return Err(ImportError::TooLarge {
            name: name.to_owned(),
            megabytes: bytes.div_ceil(1_000_000),
            limit: MOST_BYTES / 1_000_000,
        });
    }
    Ok(())
}

/// As [`read_drawing`] from memory.
///
/// # Errors
/// Every [`ImportError`] but those of the file system.
pub fn read_drawing_bytes(name: &str, bytes: &[u8], options: &ImportOptions) -> Result<Drawing, ImportError> {
    read_drawing_bytes_watched(name, bytes, options, &Watch::default())
}

/// As [`read_drawing_bytes`], followed and stopped through `watch`.
///
/// # Errors
/// As [`read_drawing_bytes`], and [`ImportError::Stopped`] soon after it was asked for.
pub fn read_drawing_bytes_watched(
    name: &str,
    bytes: &[u8],
    options: &ImportOptions,
    watch: &Watch,
) -> Result<Drawing, ImportError> {
    check_size(name, bytes.len() as u64)?;
    let mut notes = Notes::new(watch);
    let named = |trouble: Trouble| trouble.named(name);
    let sketch = match told_by(name, bytes).map_err(named)? {
        Kind::Dxf => dxf::read(bytes, options, &mut notes).map_err(named)?,
        Kind::Svg => svg::read(bytes, options, &mut notes).map_err(named)?,
        Kind::Pdf => pdf::read(bytes, options, &mut notes).map_err(named)?,
    };
    let (pixels, page) = (sketch.pixels, sketch.page);
    if page.is_none() && options.page > 1 {
        let what =
            format!("page {} was asked for, but only a PDF has pages: all of it was read", options.page);
        notes.add(DiagnosticSeverity::Warning, what, || "whole drawing".to_owned());
    }
    let figures = match (pixels, &sketch.unit_hint, options.unit) {
        (Some(_), _, _) => Figures::Pixels,
        (None, Some(_), None) => Figures::Bare,
        _ => Figures::Lengths,
    };
    let noted = notes.count();
    let (unit, unit_from) = match pixels {
        Some(figures) => clean::unit_of_pixels(&sketch.curves, figures, &mut notes),
        None => {
            let hint = sketch.unit_hint.as_deref();
            clean::unit_of(&sketch.curves, options.unit, sketch.unit, hint, &mut notes)
        }
    };
    let about_unit = noted..notes.count();
    // A gap that is not a number joins nothing; one of many millimetres would eat the outline.
    let gap = if options.gap_mm.is_finite() { options.gap_mm.clamp(0.0, 100.0) } else { 0.0 };
    let Sketch { curves, sources, layers, written, beside, .. } = sketch;
    let keeps_out =
        |source: &u32| layers[sources.entries[*source as usize].layer as usize].used == LayerUse::KeepOut;
    let (keep_outs, curves): (Vec<_>, Vec<_>) = if layers.iter().any(|l| l.used == LayerUse::KeepOut) {
        curves.into_iter().partition(|(_, source)| keeps_out(source))
    } else {
        (Vec::new(), curves)
    };
    let mut counts = ImportCounts { curves: curves.len(), ..ImportCounts::default() };
    let marks = written.scaled(unit.mm());
    let known = Known { options, marks: &marks, unit, about_unit, watch };
    let cleaned = clean::clean(curves, &sources, &known, gap, &mut counts, &mut notes).map_err(named)?;
    let clean::Cleaned { mut parts, mut choices, mut picture, scale } = cleaned;
    picture.with(beside, &marks.texts, unit.mm() * scale, scale);
    if options.simplify_mm > 0.0 {
        for part in &mut parts {
            watch.go_on().map_err(named)?;
            part.outline = simplified(&part.outline, options.simplify_mm);
        }
    }
    counts.segments = parts.iter().flat_map(|p| p.outline.loops()).map(|l| l.vertices.len()).sum();
    clean::add_keep_outs(keep_outs, &sources, unit.mm(), gap, scale, &mut parts, &marks.texts, &mut notes)
        .map_err(named)?;
    if let Some(part) = parts.first() {
        // Where dimensions told the scale, how many pixels an inch has is no question any more.
        let figures = if scale == 1.0 || figures == Figures::Lengths { figures } else { Figures::Lengths };
        let doubts = size_choices(part, unit, unit_from, figures, options);
        choices.splice(0..0, doubts);
    }
    if let Some([page, pages]) = page.filter(|[_, pages]| *pages > 1) {
        let other = if page < pages { page + 1 } else { 1 };
        choices.push(Choice {
            says: format!("page {page} of {pages} was read").into(),
            other: format!("read page {other}").into(),
            instead: Instead::Page(other),
            at: None,
            doubtful: true,
        });
    }
    let side = |part: &ImportedPart| part.outline.bounds().map(|b| b.size().max_element());
    let scale_check = parts.first().and_then(side).and_then(|side| clean::scale_check(side, unit));
    for part in &parts {
        if let Some(side) = side(part) {
            clean::odd_size(&part.name, side, unit, &mut notes);
        }
    }
    let sha256 = Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect();
    Ok(Drawing {
        file_name: name.to_owned(),
        sha256,
        unit,
        unit_from,
        parts,
        layers: layers.iter().map(|l| (l.name.clone(), l.entities)).collect(),
        layer_infos: layers,
        counts,
        scale_check,
        diagnostics: notes.finish(),
        choices,
        scale,
        picture,
    })
}

/// Holes whose widths say something of the unit.
const MEASURED: usize = 200;

/// What the figures of a file stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Figures {
    /// Lengths, in a unit that it says or not.
    Lengths,
    /// An SVG says pixels.
    Pixels,
    /// An SVG says nothing.
    Bare,
}

/// Doubts about the size of a part: other units, or pixels and how many to the inch.
fn size_choices(
    part: &ImportedPart,
    unit: crate::DrawingUnit,
    from: UnitFrom,
    figures: Figures,
    options: &ImportOptions,
) -> Vec<Choice> {
    let Some(bounds) = part.outline.outer.bounds() else { return Vec::new() };
    let size = bounds.size();
    let told = |by: f64| Part::Size((size * by).to_array());
    let pixels = |says: &str, dpi: &str, by: f64| Choice {
        says: Worded::new("{} the part is {}", [says.into(), told(1.0)]),
        other: Worded::new("read pixels at {} to the inch, {}", [dpi.into(), told(by)]),
        instead: Instead::Scale(by),
        at: None,
        doubtful: true,
    };
    // Programs for printing write 72 to the inch, browsers 96.
    match figures {
        Figures::Pixels if options.scale.is_some() => return Vec::new(),
        Figures::Pixels => {
            return vec![pixels("the file is in pixels: at 96 to the inch", "72", 96.0 / 72.0)];
        }
        Figures::Bare if options.scale.is_none() && unit == crate::DrawingUnit::Millimetre => {
            let says = "the file gives its size in no unit of length: in millimetres";
            return [("96", 25.4 / 96.0), ("72", 25.4 / 72.0)].map(|(dpi, by)| pixels(says, dpi, by)).into();
        }
        Figures::Bare | Figures::Lengths => {}
    }
    let holes = part.outline.holes.iter().take(MEASURED).filter_map(geometry::Loop::bounds);
    let lengths: Vec<f64> = holes.map(|b| b.size().x).collect();
    unit_choices(size, &lengths, unit, from)
}

enum Kind {
    Dxf,
    Svg,
    Pdf,
}

/// How far into a file the `<svg` of an SVG is looked for (comments and a document type may come first).
const HEAD: usize = 65_536;

fn told_by(name: &str, bytes: &[u8]) -> Result<Kind, Trouble> {
    let not = |says: &str| Err(Trouble::NotADrawing(says.to_owned()));
    let start = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes).trim_ascii_start();
    let head = &bytes[..bytes.len().min(HEAD)];
    let holds = |word: &[u8]| head.windows(word.len()).any(|w| w == word);
    if start.is_empty() {
        return not("the file is empty");
    }
    if dxf::looks_like_dxf(bytes) {
        return Ok(Kind::Dxf);
    }
    if dxf::is_spoilt_binary(bytes) {
        return Err(Trouble::Damaged(
            "it is a binary DXF file whose line ends were changed, as a transfer in text mode does, and its \
            figures with them"
                .to_owned(),
        ));
    }
    if start.starts_with(b"<") {
        return if holds(b"<svg") || holds(b":svg") || name.to_lowercase().ends_with(".svg") {
            Ok(Kind::Svg)
        } else {
            not("it is a marked-up text without an svg element")
        };
    }
    if start.starts_with(&[0x1f, 0x8b]) {
        return not("it is compressed; unpack it first");
    }
    if start.starts_with(b"PK") {
        return not("it is an archive; unpack it first");
    }
    if crate::is_picture(bytes) {
        let says = "it is a picture, which has no lines; lay it under the plan and trace it (in the window: Menu, Part, \
                    Picture to trace…)";
        return Err(Trouble::NoLines { says: says.to_owned(), page: 1, pages: 1, picture: true });
    }
    if start.starts_with(b"%PDF") {
        return Ok(Kind::Pdf);
    }
    if start.starts_with(b"AC10") {
        return not("it is a DWG file, which only its own programs read");
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return not("it is text in UTF-16; save it as UTF-8");
    }
    let named_dxf = name.to_lowercase().ends_with(".dxf");
    let binary = head.contains(&0);
    not(match (named_dxf, binary) {
        (true, _) => "it is named like a DXF file, but does not begin with a group code",
        (false, true) => "it holds neither DXF group codes nor an svg element, but binary data",
        (false, false) => "it holds neither DXF group codes nor an svg element",
    })
}
