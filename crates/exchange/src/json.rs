//! The `import --json` object.

use crate::piece::{self, Piece};
use crate::{DiagnosticSeverity, Drawing, ImportedPart, UnitFrom};
use geometry::Loop;
use serde::Serialize;

#[derive(Serialize)]
struct Import<'a> {
    format: u32,
    drawing: &'a str,
    sha256: &'a str,
    unit: &'a str,
    unit_from: &'a str,
    parts: Vec<Part<'a>>,
    layers: Vec<Layer<'a>>,
    scale: f64,
    choices: Vec<Decided<'a>>,
    diagnostics: Vec<Note<'a>>,
}

#[derive(Serialize)]
struct Part<'a> {
    name: &'a str,
    role: &'a str,
    area_mm2: f64,
    perimeter_mm: f64,
    holes: usize,
    bounds_mm: [f64; 4],
    arcs: usize,
    segments: usize,
}

#[derive(Serialize)]
struct Decided<'a> {
    says: &'a str,
    other: &'a str,
    argument: String,
    doubtful: bool,
    at_mm: Option<[f64; 2]>,
}

#[derive(Serialize)]
struct Layer<'a> {
    name: &'a str,
    entities: usize,
}

#[derive(Serialize)]
struct Note<'a> {
    severity: &'a str,
    what: &'a str,
    r#where: &'a str,
    count: usize,
}

/// The `import --json` object, on one line; its schema is `crates/exchange/schema/import.schema.json`.
///
/// Two runs over one file give the same bytes. Figures are rounded to a millionth (mm, mm²), which is finer than any
/// drawing.
///
/// ```
/// # let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
/// #   <rect width="100" height="60"/></svg>"#;
/// let drawing = exchange::read_drawing_bytes("plate.svg", svg, &exchange::ImportOptions::default())?;
/// assert!(exchange::import_json(&drawing).starts_with(r#"{"format":1,"drawing":"plate.svg""#));
/// # Ok::<(), exchange::ImportError>(())
/// ```
#[must_use]
pub fn import_json(drawing: &Drawing) -> String {
    let import = Import {
        format: 1,
        drawing: &drawing.file_name,
        sha256: &drawing.sha256,
        unit: drawing.unit.symbol(),
        unit_from: match drawing.unit_from {
            UnitFrom::File => "file",
            UnitFrom::Option => "option",
            UnitFrom::Guess => "guess",
        },
        parts: drawing.parts.iter().map(part).collect(),
        layers: drawing.layers.iter().map(|(name, entities)| Layer { name, entities: *entities }).collect(),
        scale: tidy(drawing.scale),
        choices: drawing
            .choices
            .iter()
            .map(|c| Decided {
                says: &c.says,
                other: &c.other,
                argument: c.instead.argument(),
                doubtful: c.doubtful,
                at_mm: c.at.map(|at| at.to_array().map(tidy)),
            })
            .collect(),
        diagnostics: drawing
            .diagnostics
            .iter()
            .map(|d| Note {
                severity: match d.severity {
                    DiagnosticSeverity::Mended => "mended",
                    DiagnosticSeverity::Skipped => "skipped",
                    DiagnosticSeverity::Warning => "warning",
                },
                what: &d.what,
                r#where: &d.place,
                count: d.count,
            })
            .collect(),
    };
    // Plain strings and finite numbers always serialise.
    serde_json::to_string(&import).unwrap_or_default()
}

fn tidy(value: f64) -> f64 {
    // Adding zero turns -0.0 into 0.0.
    (value * 1e6).round() / 1e6 + 0.0
}

fn pieces(l: &Loop) -> Vec<Piece> {
    let n = l.vertices.len();
    (0..n)
        .map(|i| Piece { from: l.vertices[i].at, to: l.vertices[(i + 1) % n].at, bulge: l.vertices[i].bulge })
        .collect()
}

fn part(part: &ImportedPart) -> Part<'_> {
    let outer = pieces(&part.outline.outer);
    let holes: Vec<Vec<Piece>> = part.outline.holes.iter().map(pieces).collect();
    let all = || outer.iter().chain(holes.iter().flatten());
    let area = piece::area(&outer).abs() - holes.iter().map(|h| piece::area(h).abs()).sum::<f64>();
    let (min, max) = piece::bounds(&outer).unwrap_or_default();
    Part {
        name: &part.name,
        role: part.role.label(),
        area_mm2: tidy(area),
        perimeter_mm: tidy(all().map(Piece::length).sum()),
        holes: holes.len(),
        bounds_mm: [min.x, min.y, max.x, max.y].map(tidy),
        arcs: all().filter(|p| !p.is_straight()).count(),
        segments: all().count(),
    }
}
