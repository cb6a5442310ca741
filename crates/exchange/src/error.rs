//! Why a drawing could not be read.

use crate::Picture;
use units::{Quantity, UnitChoice, Worded};

/// What keeps a drawing from being imported: one sentence that says what, where and what to do.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// The operating system refused.
    #[error("could not read the drawing: {source}; check that the file exists and may be read: {path}")]
    Io {
        /// What was asked for.
        path: String,
        /// What the system answered.
        source: std::io::Error,
    },
    /// A directory stands where a file should.
    #[error("this is a directory, not a drawing; name a DXF, SVG or PDF file in it: {path}")]
    Directory {
        /// What was asked for.
        path: String,
    },
    /// More bytes than are ever read into memory.
    #[error(
        "the drawing is too large: {megabytes} MB, at most {limit} MB are read; \
         export only the layers with the part's outline: {name}"
    )]
    TooLarge {
        /// File name.
        name: String,
        /// Its size, MB (10⁶ bytes).
        megabytes: u64,
        /// Most that is read, MB.
        limit: u64,
    },
    /// Neither DXF nor SVG nor PDF.
    #[error(
        "not a drawing: {says}; export the part as DXF (ASCII or binary), as SVG, or print it as PDF: {name}"
    )]
    NotADrawing {
        /// File name.
        name: String,
        /// What was found instead.
        says: String,
    },
    /// The end is missing.
    #[error("the drawing is cut off: it ends {place}; copy or export it again: {name}")]
    Truncated {
        /// File name.
        name: String,
        /// Where it ends.
        place: String,
    },
    /// Something in the middle cannot be read.
    #[error("the drawing is damaged: {says}; export it again: {name}")]
    Damaged {
        /// File name.
        name: String,
        /// What was found, and where.
        says: String,
    },
    /// A block or symbol contains itself, or nests too deep.
    #[error("{says}; explode or purge it in the drawing program and export again: {name}")]
    Recursion {
        /// File name.
        name: String,
        /// Which one, and how.
        says: String,
    },
    /// More entities than are ever expanded.
    #[error(
        "the drawing has too many entities: {found} with all that it repeats, at most {limit} are read; \
         export only the layers with the part's outline: {name}"
    )]
    TooManyEntities {
        /// File name.
        name: String,
        /// How many there would be ("more than …" where counting was stopped).
        found: String,
        /// Most that are read.
        limit: usize,
    },
    /// So many lines lie near one another that sorting them out would take long.
    #[error(
        "the drawing has thousands of lines or arcs in one place, which would take too long to sort out; leave out the \
         layers with hatching, text or a mesh: {name}"
    )]
    TooMuchWork {
        /// File name.
        name: String,
    },
    /// More parts, lines and arcs than a project file holds, or than are worked with.
    #[error(
        "the drawing has {found}, at most {limit} {what} are read; export only the layers with the part's \
        outline, or with fewer lines in place of curves: {name}"
    )]
    TooManyPieces {
        /// File name.
        name: String,
        /// How many there would be ("more than …" where counting was stopped).
        found: String,
        /// Most that are read.
        limit: usize,
        /// "lines and arcs".
        what: &'static str,
    },
    /// A style sheet or an element that takes the reader of styles too long.
    #[error("{says}; leave that out, or export the drawing in a plainer form: {name}")]
    TooLong {
        /// File name.
        name: String,
        /// What and where.
        says: String,
    },
    /// Somebody asked to stop.
    #[error("reading was stopped: {name}")]
    Stopped {
        /// File name.
        name: String,
    },
    /// There is nothing to import.
    #[error("{}", no_outline(says, name))]
    NoOutline {
        /// File name.
        name: String,
        /// What was found instead, with the open ends, and what to do.
        says: Worded,
        /// What is drawn, with its open ends; empty where nothing is.
        picture: Box<Picture>,
    },
    /// There are no lines to import, but perhaps a picture to trace.
    #[error("{says}: {name}")]
    NoLines {
        /// File name.
        name: String,
        /// What there is instead, and what to do.
        says: String,
        /// The page that was looked at, from 1.
        page: usize,
        /// How many the file has; 1 for a picture.
        pages: usize,
        /// Whether it is a picture that can be laid under the plan.
        picture: bool,
    },
    /// The part's outline does not close, and nothing else is taken in its place.
    #[error("{}", open_outline(says, *gap_mm, name))]
    OpenOutline {
        /// File name.
        name: String,
        /// Which outline, and where it is open.
        says: Worded,
        /// The gap that closes it, mm.
        gap_mm: f64,
        /// What is drawn, with the ends that should meet.
        picture: Box<Picture>,
    },
}

/// Widest gap (mm) that is offered to be joined: a wider one is a missing line.
pub const WIDEST_OFFERED: f64 = 50.0;

impl ImportError {
    /// The sentence in the units a person picked.
    #[must_use]
    pub fn says(&self, units: &UnitChoice) -> String {
        match self {
            Self::NoOutline { name, says, .. } => no_outline(says, name).says(units),
            Self::OpenOutline { name, says, gap_mm, .. } => open_outline(says, *gap_mm, name).says(units),
            other => other.to_string(),
        }
    }
}

fn no_outline(says: &Worded, name: &str) -> Worded {
    Worded::new("no closed outline found: {}: {}", [says.clone().into(), name.into()])
}

fn open_outline(says: &Worded, gap_mm: f64, name: &str) -> Worded {
    let join = if gap_mm > WIDEST_OFFERED {
        Worded::default()
    } else {
        Worded::new(", or join ends within {}, which closes it", [(gap_mm, Quantity::Length).into()])
    };
    Worded::new("{}; draw what is missing{}: {}", [says.clone().into(), join.into(), name.into()])
}
