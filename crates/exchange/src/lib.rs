//! Drawings and tables in and out. Everything mended or skipped is a diagnostic; nothing is guessed silently.
//!
//! A drawing (DXF, ASCII or binary, SVG, or a page of a PDF) is read in three steps: the file's entities become *curves* in the
//! drawing's unit (blocks, symbols and transforms resolved, layers chosen), curves become lines and true arcs in mm
//! (bulges and arcs exactly, ellipses so closely that area and centroid are true to 1e-6, free curves within 0.01 mm), and
//! those are cleaned into parts: ends joined
//! within the gap, doubles dropped, loops nested into outer boundaries and holes by even-odd depth.
//!
//! ```
//! use exchange::{ImportOptions, read_drawing_bytes};
//!
//! let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="80mm" viewBox="0 0 120 80">
//!   <rect x="10" y="10" width="100" height="60"/><circle cx="60" cy="40" r="8"/></svg>"#;
//! let drawing = read_drawing_bytes("plate.svg", svg, &ImportOptions::default())?;
//! let outline = &drawing.parts[0].outline; // mm
//! assert_eq!(outline.holes.len(), 1);
//! # Ok::<(), exchange::ImportError>(())
//! ```
//!
//! Bounds: files over [`MOST_BYTES`] and drawings that come to more than [`MOST_ENTITIES`] entities or [`MOST_PIECES`]
//! lines and arcs are refused with one sentence, counted before blocks, arrays and symbols are expanded; blocks that
//! contain themselves or nest deeper than 32 likewise, SVG elements deeper than 100, figures beyond 1e9 and styles that
//! take long to apply too. Memory is bounded by these (under 1 GB is meant), time by work that grows little faster
//! than the number of entities; where lines lie across one another in very many places the search for crossings stops
//! and says so, and where thousands lie in one place the drawing is refused. A [`Watch`] follows a reading and stops it. A reader that fails leaves nothing behind: it returns an error and touches no project.
//!
//! Out again: [`layout_dxf`] writes a layout as a drawing; [`hole_table_csv`], [`hose_schedule_csv`], [`parts_list_csv`] and
//! [`findings_csv`] write tables; [`read_models_csv`] and [`sources_from_csv`] read a person's own cups and sources; [`compare_outline`] and [`reimport_edit`] take a newer drawing into a project.

mod choice;
mod clean;
mod csv_in;
mod csv_out;
mod curve;
mod diagnostics;
mod drawing;
mod dxf;
mod dxf_out;
mod error;
mod json;
mod layer;
mod level_curve;
mod marks;
mod measured;
mod messages;
mod models_csv;
mod pdf;
mod pick;
mod picture;
mod piece;
mod project;
mod reading;
mod reimport;
mod simplify;
mod sources_csv;
mod spline;
mod subpath;
mod svg;
mod tables;
mod told;
mod trace;
mod watch;
mod words;

pub use choice::{Choice, Instead};
pub use csv_in::{RowProblem, table_text};
pub use diagnostics::{Diagnostic, DiagnosticSeverity};
pub use drawing::{
    Drawing, DrawingUnit, ImportCounts, ImportOptions, ImportedKeepOut, ImportedPart, MOST_BYTES,
    MOST_ENTITIES, MOST_PIECES, ScaleCheck, UnitFrom,
};
pub use dxf::looks_like_dxf as is_dxf;
pub use dxf_out::{DxfOptions, DxfVersion, is_layout_dxf, layout_dxf};
pub use error::{ImportError, WIDEST_OFFERED};
pub use json::import_json;
pub use layer::{LayerGuess, LayerInfo, LayerUse};
pub use level_curve::read_level_curve;
pub use messages::{Message, SHOWN_FIRST, Weight, messages};
pub use models_csv::{models_csv, read_models_csv};
pub use pick::{PartRole, Role};
pub use picture::{ClosedLine, Lettering, Picture};
pub use project::{new_project_from_drawing, new_project_from_parts, seat_edit};
pub use reading::{read_drawing, read_drawing_bytes, read_drawing_bytes_watched, read_drawing_watched};
pub use reimport::{KeptArea, Moved, PlacedLip, Reimport, compare_outline, placed_lips, reimport_edit};
pub use simplify::{TolerancePreview, preview, simplified};
pub use sources_csv::{SourcesRead, sources_from_csv, sources_to_csv};
pub use tables::{findings_csv, hole_table_csv, hose_schedule_csv, parts_list_csv};
pub use told::{Alike, Told};

pub use trace::{MOST_SOURCE_DOTS, Scan, greys_of, is_picture, picture_bytes, picture_to_trace};
pub use watch::{Progress, Watch};

use drawing::{Format, Sketch, Sources};
