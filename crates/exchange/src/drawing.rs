//! Reading a drawing: what is asked, what comes back, and the way from bytes to parts.

use crate::curve::Curve;
use crate::diagnostics::{Diagnostic, Notes};
use crate::dxf::{self, Source, Trouble};
use crate::error::ImportError;
use crate::layer::{LayerInfo, LayerUse};
use crate::simplify::simplified;
use crate::watch::Watch;
use crate::{clean, svg};
use geometry::{Loop, Outline};
use sha2::{Digest, Sha256};
use std::path::Path;

/// Length unit of a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum DrawingUnit {
    /// mm
    Millimetre,
    /// cm
    Centimetre,
    /// m
    Metre,
    /// in
    Inch,
    /// ft
    Foot,
}

impl DrawingUnit {
    /// Every unit, in the order a menu shows them.
    pub const ALL: [DrawingUnit; 5] = [
        DrawingUnit::Millimetre,
        DrawingUnit::Centimetre,
        DrawingUnit::Metre,
        DrawingUnit::Inch,
        DrawingUnit::Foot,
    ];

    /// Millimetres in one of it.
    ///
    /// # Units
    /// mm
    ///
    /// ```
    /// assert_eq!(exchange::DrawingUnit::Inch.mm(), 25.4); // mm
    /// ```
    #[must_use]
    pub fn mm(self) -> f64 {
        match self {
            DrawingUnit::Millimetre => 1.0,
            DrawingUnit::Centimetre => 10.0,
            DrawingUnit::Metre => 1000.0,
            DrawingUnit::Inch => 25.4,
            DrawingUnit::Foot => 304.8,
        }
    }

    /// Its symbol: "mm", "in" ...
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            DrawingUnit::Millimetre => "mm",
            DrawingUnit::Centimetre => "cm",
            DrawingUnit::Metre => "m",
            DrawingUnit::Inch => "in",
            DrawingUnit::Foot => "ft",
        }
    }

    /// Its name: "millimetre", "inch" ...
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            DrawingUnit::Millimetre => "millimetre",
            DrawingUnit::Centimetre => "centimetre",
            DrawingUnit::Metre => "metre",
            DrawingUnit::Inch => "inch",
            DrawingUnit::Foot => "foot",
        }
    }

    /// Its name for many of it: "millimetres", "inches" ...
    #[must_use]
    pub fn plural(self) -> &'static str {
        match self {
            DrawingUnit::Millimetre => "millimetres",
            DrawingUnit::Centimetre => "centimetres",
            DrawingUnit::Metre => "metres",
            DrawingUnit::Inch => "inches",
            DrawingUnit::Foot => "feet",
        }
    }
}

/// Where the unit came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UnitFrom {
    /// The file says it.
    File,
    /// [`ImportOptions::unit`] says it.
    Option,
    /// From the size of what is drawn; a diagnostic says how. A view should ask.
    Guess,
}

/// How to read a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportOptions {
    /// Overrides what the file says.
    pub unit: Option<DrawingUnit>,
    /// Ends closer than this are joined, mm.
    pub gap_mm: f64,
    /// Layers to read; `None` = all that look like part geometry. A layer that is named is read whatever it looks like.
    pub layers: Option<Vec<String>>,
    /// Layers whose closed lines are keep-outs of the part that they lie on; `None` = those that are named so.
    pub keep_out_layers: Option<Vec<String>>,
    /// Read centre and hidden lines too, which are left out by the line type they are drawn with.
    pub keep_dashed: bool,
    /// Outlines are simplified to fewer lines and arcs no further than this from what is drawn, mm; 0 = as drawn.
    pub simplify_mm: f64,
}

impl Default for ImportOptions {
    /// The unit from the file, gaps up to 0.05 mm closed, all layers that look like part geometry.
    fn default() -> Self {
        Self {
            unit: None,
            gap_mm: 0.05,
            layers: None,
            keep_out_layers: None,
            keep_dashed: false,
            simplify_mm: 0.0,
        }
    }
}

/// What was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Name without folders.
    pub file_name: String,
    /// Checksum of the bytes, hexadecimal.
    pub sha256: String,
    /// Unit the drawing was read in; the parts are in mm whatever it is.
    pub unit: DrawingUnit,
    /// Who says so.
    pub unit_from: UnitFrom,
    /// Largest first.
    pub parts: Vec<ImportedPart>,
    /// Name and entity count of every layer in the file.
    pub layers: Vec<(String, usize)>,
    /// What is on each layer and what was done with it, in the same order.
    pub layer_infos: Vec<LayerInfo>,
    /// How much was read, joined and left over.
    pub counts: ImportCounts,
    /// Set when the size of the largest part hints at another unit.
    pub scale_check: Option<ScaleCheck>,
    /// What was mended, skipped or doubtful.
    pub diagnostics: Vec<Diagnostic>,
}

/// One part of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportedPart {
    /// "Part", or "Part 1", "Part 2" ... when there are several.
    pub name: String,
    /// Outer boundary and holes, all counter-clockwise, mm.
    pub outline: Outline,
    /// Where no lip may land.
    pub keep_outs: Vec<ImportedKeepOut>,
}

/// A keep-out of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportedKeepOut {
    /// Name of its layer, with a number when there are several.
    pub name: String,
    /// Its boundary, counter-clockwise, mm.
    pub area: Loop,
}

/// What reading came to, for a dialog that shows what a gap or a choice of layers does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ImportCounts {
    /// Lines, arcs and curves read from the chosen layers, blocks resolved.
    pub curves: usize,
    /// Ends of lines and arcs that met no other exactly, before gaps were closed.
    pub open_ends: usize,
    /// Gaps closed.
    pub gaps_closed: usize,
    /// Lines and arcs left out because they close to nothing.
    pub left_open: usize,
    /// Lines and arcs of the outlines.
    pub segments: usize,
}

/// A doubt about the unit of a drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScaleCheck {
    /// "this part would be 30.5 m long: read it in millimetres?"
    pub says: String,
    /// The unit in which the part would have a usual size.
    pub unit: DrawingUnit,
}

/// Largest file that is read, bytes: 256 MB.
pub const MOST_BYTES: u64 = 256_000_000;
/// Most entities of a drawing, with blocks and symbols resolved.
pub const MOST_ENTITIES: usize = 1_000_000;
/// Most lines and arcs that the entities come to, curves and polylines cut up.
pub const MOST_PIECES: usize = 1_000_000;

/// Curves of a drawing before cleaning.
pub(crate) struct Sketch {
    pub(crate) curves: Vec<(Curve, u32)>,
    pub(crate) sources: Sources,
    pub(crate) layers: Vec<LayerInfo>,
    /// What the file says.
    pub(crate) unit: Option<DrawingUnit>,
    /// What is so instead of "the file does not say its unit".
    pub(crate) unit_hint: Option<String>,
    /// When the file is in pixels, which the curves have been turned into mm from: its own figures in one mm.
    pub(crate) pixels: Option<f64>,
}

/// Which kind of file sources stand in, for how they are named.
#[derive(Debug)]
pub(crate) enum Format {
    DxfText,
    DxfBinary,
    /// With the id of every source, as an SVG names its elements.
    Svg(Vec<String>),
}

/// Where curves come from.
#[derive(Debug)]
pub(crate) struct Sources {
    pub(crate) entries: Vec<Source>,
    pub(crate) layers: Vec<String>,
    pub(crate) format: Format,
}

impl Sources {
    /// Kind of an entity: "LINE", "path" ...
    pub(crate) fn kind(&self, source: u32) -> &'static str {
        self.entries.get(source as usize).map_or("curve", |s| s.kind)
    }

    /// Where an entity stands, for people.
    pub(crate) fn place(&self, source: u32) -> String {
        let Some(entry) = self.entries.get(source as usize) else { return String::new() };
        let layer = self.layers.get(entry.layer as usize).map_or("", String::as_str);
        match &self.format {
            Format::DxfText => dxf::describe(entry, layer, false),
            Format::DxfBinary => dxf::describe(entry, layer, true),
            Format::Svg(ids) => match ids.get(source as usize).filter(|id| !id.is_empty()) {
                Some(id) => format!("{} \"{id}\"", entry.kind),
                None => format!("{} number {}", entry.kind, entry.place),
            },
        }
    }

    /// Whether the format writes circles in pieces, so that these are to be put together again.
    pub(crate) fn rounds_cut_up(&self) -> bool {
        matches!(self.format, Format::Svg(_))
    }
}

/// Reads a DXF or SVG file, told apart by content first, name second.
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
    };
    let (unit, unit_from) = match sketch.pixels {
        Some(figures) => clean::unit_of_pixels(&sketch.curves, figures, &mut notes),
        None => {
            let hint = sketch.unit_hint.as_deref();
            clean::unit_of(&sketch.curves, options.unit, sketch.unit, hint, &mut notes)
        }
    };
    // A gap that is not a number joins nothing; one of many millimetres would eat the outline.
    let gap = if options.gap_mm.is_finite() { options.gap_mm.clamp(0.0, 100.0) } else { 0.0 };
    let Sketch { curves, sources, layers, .. } = sketch;
    let keeps_out =
        |source: &u32| layers[sources.entries[*source as usize].layer as usize].used == LayerUse::KeepOut;
    let (keep_outs, curves): (Vec<_>, Vec<_>) = if layers.iter().any(|l| l.used == LayerUse::KeepOut) {
        curves.into_iter().partition(|(_, source)| keeps_out(source))
    } else {
        (Vec::new(), curves)
    };
    let mut counts = ImportCounts { curves: curves.len(), ..ImportCounts::default() };
    let mut parts = clean::clean(curves, &sources, unit.mm(), gap, &mut counts, &mut notes).map_err(named)?;
    if options.simplify_mm > 0.0 {
        for part in &mut parts {
            watch.go_on().map_err(named)?;
            part.outline = simplified(&part.outline, options.simplify_mm);
        }
    }
    counts.segments = parts.iter().flat_map(|p| p.outline.loops()).map(|l| l.vertices.len()).sum();
    clean::add_keep_outs(keep_outs, &sources, unit.mm(), gap, &mut parts, &mut notes).map_err(named)?;
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
    })
}

enum Kind {
    Dxf,
    Svg,
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
            "it is a binary DXF file whose line ends were changed on its way, as a transfer in text mode does, and \
             with them its figures"
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
    if start.starts_with(b"%PDF") {
        return not("it is a PDF");
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
