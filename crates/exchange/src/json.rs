//! The `import --json` object.

use crate::{DiagnosticSeverity, Drawing, ImportedPart, UnitFrom};
use geometry::{Loop, Segment};
use serde::Serialize;

#[cfg(test)]
#[path = "../../telling/src/json/published.rs"]
mod published;

/// Version of the object's keys; raised when one is renamed or dropped.
const FORMAT: u32 = 1;

/// Lengths in mm, areas in mm². Keys may be added; none is renamed or dropped without raising `format`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[cfg_attr(test, schemars(title = "cupwright import --json"))]
struct Import<'a> {
    #[cfg_attr(test, schemars(extend("const" = FORMAT)))]
    format: u32,
    /// File name without folders.
    drawing: &'a str,
    /// Checksum of the file.
    #[cfg_attr(test, schemars(extend("pattern" = "^[0-9a-f]{64}$")))]
    sha256: &'a str,
    /// Unit the drawing was read in.
    #[cfg_attr(test, schemars(extend("enum" = ["mm", "cm", "m", "in", "ft"])))]
    unit: &'a str,
    /// Who says so.
    #[cfg_attr(test, schemars(extend("enum" = ["file", "option", "guess"])))]
    unit_from: &'a str,
    /// The one used as the part first, then the largest first; views, details and pictures last.
    parts: Vec<Part<'a>>,
    /// Every layer of the file, in its order.
    layers: Vec<Layer<'a>>,
    /// How many times as large as drawn the parts are.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    scale: f64,
    /// What was decided, each with what else could be meant.
    choices: Vec<Decided>,
    /// Warnings first, then what was repaired, then what was skipped.
    diagnostics: Vec<Note<'a>>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Part<'a> {
    name: &'a str,
    /// What it was read as.
    #[cfg_attr(test, schemars(extend("enum" = ["part", "view", "detail", "picture"])))]
    role: &'a str,
    /// Without the holes.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    area_mm2: f64,
    /// Outline and holes.
    #[cfg_attr(test, schemars(extend("exclusiveMinimum" = 0)))]
    perimeter_mm: f64,
    holes: usize,
    /// x0, y0, x1, y1, from the drawing's origin.
    bounds_mm: [f64; 4],
    /// True arcs among the segments.
    arcs: usize,
    /// Lines and arcs of outline and holes.
    #[cfg_attr(test, schemars(range(min = 2)))]
    segments: usize,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Decided {
    #[cfg_attr(test, schemars(length(min = 1)))]
    says: String,
    /// What else could be meant.
    #[cfg_attr(test, schemars(length(min = 1)))]
    other: String,
    /// Argument of `cupwright import` that selects the other.
    argument: String,
    /// Size or shape of the part depends on it.
    doubtful: bool,
    /// x, y; null where it is no place of the drawing.
    at_mm: Option<[f64; 2]>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Layer<'a> {
    name: &'a str,
    entities: usize,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Note<'a> {
    #[cfg_attr(test, schemars(extend("enum" = ["mended", "skipped", "warning"])))]
    severity: &'a str,
    #[cfg_attr(test, schemars(length(min = 1)))]
    what: String,
    /// Entity, layer, handle, line, or coordinates in mm.
    r#where: String,
    #[cfg_attr(test, schemars(range(min = 1)))]
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
        format: FORMAT,
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
                says: c.says.to_string(),
                other: c.other.to_string(),
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
                what: d.what.to_string(),
                r#where: d.place.to_string(),
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

fn part(part: &ImportedPart) -> Part<'_> {
    let outline = &part.outline;
    let area = |boundary: &Loop| boundary.signed_area().abs();
    let segments = || outline.loops().flat_map(Loop::segments);
    let bounds = outline.bounds();
    let [min, max] = bounds.map_or_else(Default::default, |bounds| [bounds.min, bounds.max]);
    Part {
        name: &part.name,
        role: part.role.label(),
        area_mm2: tidy(area(&outline.outer) - outline.holes.iter().map(area).sum::<f64>()),
        perimeter_mm: tidy(outline.loops().map(Loop::perimeter).sum()),
        holes: outline.holes.len(),
        bounds_mm: [min.x, min.y, max.x, max.y].map(tidy),
        arcs: segments().filter(|segment| matches!(segment, Segment::Arc { .. })).count(),
        segments: segments().count(),
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_schema_of_import_is_made_of_its_keys_and_refuses_what_it_did() {
        super::published::holds::<super::Import<'_>>("import");
        super::published::refuses::<super::Import<'_>>(include_str!("../schema/refused/import.txt"));
    }
}
