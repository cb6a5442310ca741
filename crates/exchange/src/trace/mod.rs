//! Pictures to trace: PNG, JPEG or a scanned page of a PDF as greys that a project keeps.
//!
//! What is kept is small: sixteen greys as PNG, at most [`Traced::MOST_BYTES`], so that a project stays one file that can be
//! sent. What is read is bounded: no picture of more than [`MOST_SOURCE_DOTS`] dots is unpacked, a PNG row by row, and it is
//! made smaller on the way.

mod greys;
mod jpeg;
mod page;
mod png;

use crate::Watch;
use crate::dxf::Trouble;
use crate::error::ImportError;
use document::Traced;
use glam::DVec2;
use greys::Greys;
use units::{Part, Worded};

/// Largest file that is read, bytes: a sheet in full colour has some ten million.
const MOST_BYTES: usize = 64_000_000;
/// Dots of a picture that is read: a sheet of A3 at 400 dots per inch has 31 million.
pub const MOST_SOURCE_DOTS: u64 = 40_000_000;
/// Millimetres of a dot where a picture says nothing: 96 to the inch, as screens have it (CSS; from memory).
const USUAL_DOT_MM: f64 = 25.4 / 96.0;

/// A picture that was made ready, and what is said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Scan {
    /// As the project keeps it, its corner at the origin.
    pub picture: Traced,
    /// How large it is taken and why, and what was done to it; sentences.
    pub told: Vec<Worded>,
}

/// How large a dot is, and how that is known.
enum Size {
    /// Of a page, which has a size.
    Page(f64),
    /// Stated in the picture.
    Stated(f64),
    Assumed,
}

/// Whether the bytes, which may be the first of many, are those of a picture that can be traced as it is.
#[must_use]
pub fn is_picture(bytes: &[u8]) -> bool {
    png::is(bytes) || jpeg::is(bytes)
}

/// The bytes of a picture's file, no more than one past those that are read.
///
/// # Errors
/// What the system says.
pub fn picture_bytes(path: &std::path::Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path)?;
    std::io::Read::read_to_end(&mut std::io::Read::take(file, MOST_BYTES as u64 + 1), &mut bytes)?;
    Ok(bytes)
}

/// Makes a PNG, a JPEG or a page of a PDF that is a scan ready to be traced.
///
/// # Errors
/// It is none of these, is damaged, or has more bytes or dots than are read: what, and what to do.
pub fn picture_to_trace(name: &str, bytes: &[u8], page: usize, watch: &Watch) -> Result<Scan, ImportError> {
    made(name, bytes, page, watch).map_err(|trouble| trouble.named(name))
}

fn made(name: &str, bytes: &[u8], page: usize, watch: &Watch) -> Result<Scan, Trouble> {
    if bytes.len() > MOST_BYTES {
        let limit = MOST_BYTES / 1_000_000;
        return Err(Trouble::TooLong(format!("the picture has more than {limit} MB, no more is read")));
    }
    let (read, size) = if png::is(bytes) {
        png::read(bytes, watch)?
    } else if jpeg::is(bytes) {
        jpeg::read(bytes)?
    } else if bytes.starts_with(b"%PDF") {
        page::read(bytes, page, watch)?
    } else {
        return Err(Trouble::NotADrawing(
            "it is no picture that can be traced; a PNG, a JPEG or a scanned page of a PDF can".to_owned(),
        ));
    };
    let mut told = Vec::new();
    let (dot, says) = match size {
        Size::Page(dot) => (dot, "as large as its page"),
        Size::Stated(dot) => (dot, "as large as the picture states"),
        Size::Assumed => (USUAL_DOT_MM, "at 96 dots to the inch, since it states none"),
    };
    let [wide, high] = read.source;
    let before = format!("{wide} × {high}");
    let (kept, png, fewer) = packed(read, watch)?;
    let dot_mm = dot * f64::from(fewer);
    let size = Part::Size(kept.map(|dots| f64::from(dots) * dot_mm));
    told.push(Worded::new(
        "It lies {}: {}. Set its scale by two places and their distance.",
        [says.into(), size],
    ));
    if fewer > 1 {
        told.push(format!("Of {before} dots {} × {} are kept, as greys.", kept[0], kept[1]).into());
    }
    let picture = Traced {
        name: name.to_owned(),
        png: png.into(),
        at: DVec2::ZERO,
        turn_deg: 0.0,
        dot_mm,
        strength: Traced::USUAL_STRENGTH,
        locked: false,
    };
    Ok(Scan { picture, told })
}

/// The PNG that is kept, its dots, and how many dots of the picture along a side one of them stands for.
fn packed(mut greys: Greys, watch: &Watch) -> Result<([u32; 2], Vec<u8>, u32), Trouble> {
    let mut fewer = greys.fewer;
    loop {
        watch.go_on()?;
        let png = png::written(&greys)?;
        if png.len() <= Traced::MOST_BYTES {
            return Ok(([greys.wide, greys.high], png, fewer));
        }
        greys = greys.halved();
        fewer *= 2;
    }
}

/// The greys of a picture that a project keeps, row by row from the top: 0 is black; `None` where it is damaged.
#[must_use]
pub fn greys_of(picture: &Traced) -> Option<(u32, u32, Vec<u8>)> {
    let [wide, high] = picture.dots()?;
    let (greys, _) = png::read(&picture.png, &Watch::default()).ok()?;
    (greys.wide == wide && greys.high == high).then_some((wide, high, greys.dots))
}

/// Refuses a picture that is never unpacked.
fn check_dots(wide: u32, high: u32) -> Result<(), Trouble> {
    let dots = u64::from(wide) * u64::from(high);
    if dots == 0 {
        return Err(Trouble::Damaged("it says that it has no dots".to_owned()));
    }
    if dots > MOST_SOURCE_DOTS {
        let limit = MOST_SOURCE_DOTS / 1_000_000;
        return Err(Trouble::TooLong(format!(
            "the picture has {wide} × {high} dots, of at most {limit} million are read; scan it with fewer to the inch"
        )));
    }
    Ok(())
}

#[cfg(test)]
mod tests;
