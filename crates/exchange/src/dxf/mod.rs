//! DXF files: scan, records, entities and the curves they draw, blocks.

mod blocks;
mod code_page;
mod colours;
mod contents;
mod decode;
mod entities;
mod layers;
#[cfg(test)]
mod recorded;
mod records;
mod scan;
mod shapes;
mod units;
mod writing;

pub(crate) use records::{Source, describe};

use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::error::ImportError;
use crate::picture::Picture;
use crate::{ImportOptions, Sketch};
use ::units::Worded;

/// What stopped the reading, before the file's name is added.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// The file ends there.
    Truncated(String),
    /// That cannot be read.
    Damaged(String),
    /// It is something else.
    NotADrawing(String),
    /// A block contains itself or nests too deep.
    Recursion(String),
    /// So many entities.
    TooMany(String),
    /// So many elements of an SVG, and how many are read.
    TooManyElements(String, usize),
    /// So many lines and arcs.
    TooManyPieces(String),
    /// So many lines in one place.
    TooMuchWork,
    /// That would take the reader of styles too long.
    TooLong(String),
    /// Somebody asked to stop.
    Stopped,
    /// Nothing to import, with the reason.
    Empty(Worded),
    /// No lines: what there is instead, the page and how many there are, and whether it is a picture.
    NoLines { says: String, page: usize, pages: usize, picture: bool },
    /// The outline of the part does not close: how, the gap (mm) that would close it, and what is drawn.
    Open { says: Worded, gap: f64, picture: Box<Picture> },
    /// Lines that close to nothing: how, and what is drawn.
    NothingCloses { says: Worded, picture: Box<Picture> },
}

impl Trouble {
    pub(crate) fn named(self, name: &str) -> ImportError {
        let name = name.to_owned();
        match self {
            Trouble::Truncated(place) => ImportError::Truncated { name, place },
            Trouble::Damaged(says) => ImportError::Damaged { name, says },
            Trouble::NotADrawing(says) => ImportError::NotADrawing { name, says },
            Trouble::Recursion(says) => ImportError::Recursion { name, says },
            Trouble::TooMany(found) => {
                ImportError::TooManyEntities { name, found, limit: crate::MOST_ENTITIES }
            }
            Trouble::TooManyElements(found, limit) => ImportError::TooManyEntities { name, found, limit },
            Trouble::TooManyPieces(found) => {
                ImportError::TooManyPieces { name, found, limit: crate::MOST_PIECES, what: "lines and arcs" }
            }
            Trouble::TooMuchWork => ImportError::TooMuchWork { name },
            Trouble::TooLong(says) => ImportError::TooLong { name, says },
            Trouble::Stopped => ImportError::Stopped { name },
            Trouble::Empty(says) => ImportError::NoOutline { name, says, picture: Box::default() },
            Trouble::NothingCloses { says, picture } => ImportError::NoOutline { name, says, picture },
            Trouble::NoLines { says, page, pages, picture } => {
                ImportError::NoLines { name, says, page, pages, picture }
            }
            Trouble::Open { says, gap, picture } => {
                ImportError::OpenOutline { name, says, gap_mm: gap, picture }
            }
        }
    }
}

/// Whether the bytes, which may be the first of many, start like a DXF file.
#[must_use]
pub fn looks_like_dxf(bytes: &[u8]) -> bool {
    if bytes.starts_with(scan::SENTINEL) {
        return true;
    }
    let mut pairs = scan::Pairs::new(bytes);
    // Comments (999) may come first.
    for _ in 0..1000 {
        match pairs.next() {
            Ok(Some(pair)) if pair.code == 999 => {}
            Ok(Some(pair)) => return pair.code == 0 && pair.value.is_ascii() && !pair.value.is_empty(),
            Err(Trouble::Truncated(_)) => return true,
            _ => return false,
        }
    }
    false
}

/// Whether the bytes start like a binary DXF file but for its line end: then figures are changed as well.
pub(crate) fn is_spoilt_binary(bytes: &[u8]) -> bool {
    let first_word = &scan::SENTINEL[..18];
    bytes.starts_with(first_word) && !bytes.starts_with(scan::SENTINEL)
}

/// Reads a DXF file into curves in the drawing's unit.
pub(crate) fn read(bytes: &[u8], options: &ImportOptions, notes: &mut Notes) -> Result<Sketch, Trouble> {
    let contents = records::read(bytes, notes)?;
    let said = units::of(contents.insert_units);
    let mut scale = 1.0;
    // A person who asks for another unit means the figures in the file.
    if let Some(said) = said.filter(|said| options.unit.is_none_or(|asked| asked == said.unit)) {
        scale = said.scale;
        if let Some(what) = said.sentence() {
            notes.add(DiagnosticSeverity::Mended, what, || "header, $INSUNITS".to_owned());
        }
    }
    let (root, blocks) = contents.drawing(notes);
    contents.tell_left_out(&blocks, notes);
    let layers::Choice { layers, edges_only } =
        layers::choose(&contents, &contents.tallies(&blocks), options, notes)?;
    let blocks::Placed { curves, sources, written, beside } =
        blocks::expand(contents, root, &layers, edges_only, scale, notes)?;
    let unit = said.map(|said| said.unit);
    Ok(Sketch { curves, sources, layers, written, beside, unit, unit_hint: None, pixels: None, page: None })
}
