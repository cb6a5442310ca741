//! Reading a drawing: what is asked, and what comes back.

use crate::choice::Choice;
use crate::curve::Curve;
use crate::diagnostics::Diagnostic;
use crate::dxf::{self, Source};
use crate::layer::LayerInfo;
use crate::marks::Markings;
use crate::pick::PartRole;
use crate::picture::{Beside, Picture};
use geometry::{Loop, Outline};
use glam::DVec2;

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
    /// Wider gaps, of up to 2 mm, are closed too where that alone closes an outline; which ones is told.
    pub auto_gap: bool,
    /// Layers to read; `None` = all that look like part geometry. A layer that is named is read whatever it looks like.
    pub layers: Option<Vec<String>>,
    /// Layers whose closed lines are keep-outs of the part that they lie on; `None` = those that are named so.
    pub keep_out_layers: Option<Vec<String>>,
    /// Read centre and hidden lines too, which are left out by the line type they are drawn with.
    pub keep_dashed: bool,
    /// Outlines are simplified to fewer lines and arcs no further than this from what is drawn, mm; 0 = as drawn.
    pub simplify_mm: f64,
    /// The first part is the innermost closed line around this place, mm; `None` = told from frames, views and the rest.
    pub inside: Option<DVec2>,
    /// Only closed lines within this box are read: two opposite corners, mm.
    pub within: Option<[DVec2; 2]>,
    /// How many times as large as drawn the parts are; `None` = by dimensions and title block.
    pub scale: Option<f64>,
    /// The page of a PDF, from 1.
    pub page: usize,
    /// Closed lines around these places (mm) become holes of the first part, or are none any more.
    pub toggled: Vec<DVec2>,
    /// The part is cut along what runs across it from edge to edge, as parts are that have a cut in common.
    pub divide: bool,
}

impl Default for ImportOptions {
    /// The unit from the file, gaps up to 0.05 mm closed and those up to 2 mm that close an outline, all layers that look
    /// like part geometry, the part told from what is around it.
    fn default() -> Self {
        Self {
            unit: None,
            gap_mm: 0.05,
            auto_gap: true,
            layers: None,
            keep_out_layers: None,
            keep_dashed: false,
            simplify_mm: 0.0,
            inside: None,
            within: None,
            scale: None,
            page: 1,
            toggled: Vec::new(),
            divide: false,
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
    /// The one taken as the part first, then the largest first; views, details and pictures come last.
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
    /// What was decided, each with its alternative.
    pub choices: Vec<Choice>,
    /// How many times as large as drawn the parts are.
    pub scale: f64,
    /// All that is drawn, for a person to look at.
    pub picture: Picture,
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
    /// What it is: a part, or a view of the first.
    pub role: PartRole,
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
#[derive(Debug, Clone, PartialEq)]
pub struct ScaleCheck {
    /// "this part would be 30480 mm long: millimetre file?"
    pub says: units::Worded,
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
    /// Texts and dimensions, in the drawing's unit.
    pub(crate) written: Markings,
    /// What is drawn besides and not read, in the drawing's unit.
    pub(crate) beside: Beside,
    /// What the file says.
    pub(crate) unit: Option<DrawingUnit>,
    /// What is so instead of "the file does not say its unit".
    pub(crate) unit_hint: Option<String>,
    /// When the file is in pixels, which the curves have been turned into mm from: its own figures in one mm.
    pub(crate) pixels: Option<f64>,
    /// Of a PDF: the page, and how many there are.
    pub(crate) page: Option<[usize; 2]>,
}

/// Which kind of file sources stand in, for how they are named.
#[derive(Debug)]
pub(crate) enum Format {
    DxfText,
    DxfBinary,
    /// With the id of every source, as an SVG names its elements.
    Svg(Vec<String>),
    /// This page of a PDF.
    Pdf(usize),
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

    /// Name of the layer of an entity.
    pub(crate) fn layer(&self, source: u32) -> Option<&str> {
        let entry = self.entries.get(source as usize)?;
        self.layers.get(entry.layer as usize).map(String::as_str)
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
            Format::Pdf(page) => {
                format!("{} number {} on page {page}, layer {layer}", entry.kind, entry.place)
            }
        }
    }

    /// Whether the format writes circles in pieces, so that these are to be put together again.
    pub(crate) fn rounds_cut_up(&self) -> bool {
        matches!(self.format, Format::Svg(_) | Format::Pdf(_))
    }
}
