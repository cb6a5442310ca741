//! A picture to trace and a datum for tests.

use document::{Datum, DatumOn, Traced};
use glam::DVec2;

/// A picture of which nothing but the head is looked at.
pub fn traced() -> Traced {
    let mut png = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x80\x00\x00\x00\x40".to_vec();
    png.extend([4, 0, 0, 0, 0]);
    let at = DVec2::new(-10.0, 12.5);
    let (name, png) = ("scan.png".to_owned(), png.into());
    Traced { name, png, at, turn_deg: -2.5, dot_mm: 0.25, strength: 0.35, locked: true }
}

/// A datum somewhere.
pub fn datum(x: f64) -> Datum {
    Datum { on: DatumOn::Hole, at: DVec2::new(x, 2.5) }
}
