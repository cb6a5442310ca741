//! Takes the noise of binary arithmetic (0.30000000000000004) off numbers before they enter the project, so that the
//! file shows what a person meant. Reading and writing never change a number.

use crate::{Cup, Part, numbers};
use geometry::{Loop, Outline, Vertex};
use glam::DVec2;
use std::sync::Arc;

/// The double nearest to the value with nine decimals: a thousandth of a nanometre for lengths in mm, far below any drawing
/// and far above the noise. Numbers too large for that to be exact are left alone.
pub(crate) fn number(value: f64) -> f64 {
    const NINE: f64 = 1e9;
    // Beyond this the product is no longer a whole number that a double can hold.
    const LARGEST: f64 = 4e6;
    // A small figure keeps its digits: nine decimals would cost it precision, and noise shows only beside a whole part.
    const SMALLEST: f64 = 1e-3;
    if value.abs() >= LARGEST
        || (value != 0.0 && value.abs() < SMALLEST && value.abs() > 1e-9)
        || value.is_nan()
    {
        return value;
    }
    // Adding zero turns -0 into 0.
    (value * NINE).round() / NINE + 0.0
}

fn each(_: &str, value: &mut f64) {
    *value = number(*value);
}

pub(crate) fn point(p: DVec2) -> DVec2 {
    DVec2::new(number(p.x), number(p.y))
}
pub(crate) fn cup(mut cup: Cup) -> Cup {
    numbers::cup(&mut cup, &mut each);
    cup
}
/// Tidy numbers of anything that [`numbers`] can list.
pub(crate) fn thing<T>(mut thing: T, visit: impl Fn(&mut T, numbers::Each<'_>)) -> T {
    visit(&mut thing, &mut each);
    thing
}

fn vertex(v: &Vertex) -> Vertex {
    // The bulge is a pure number: its digits set how true an arc stays, so it is kept.
    Vertex { at: point(v.at), bulge: v.bulge + 0.0 }
}
fn boundary(shared: &Loop) -> Option<Loop> {
    let tidied: Vec<Vertex> = shared.vertices.iter().map(vertex).collect();
    (tidied != shared.vertices).then_some(Loop { vertices: tidied })
}

/// A part with tidy numbers; what is tidy already stays shared. Folders in front of the drawing's name are dropped.
pub(crate) fn part(mut part: Part) -> Part {
    numbers::part(&mut part, &mut each);
    let outer = boundary(&part.outline.outer);
    let holes: Vec<Option<Loop>> = part.outline.holes.iter().map(boundary).collect();
    if outer.is_some() || holes.iter().any(Option::is_some) {
        let Outline { outer: old_outer, holes: old_holes } = &*part.outline;
        part.outline = Arc::new(Outline {
            outer: outer.unwrap_or_else(|| old_outer.clone()),
            holes: holes
                .into_iter()
                .zip(old_holes)
                .map(|(new, old)| new.unwrap_or_else(|| old.clone()))
                .collect(),
        });
    }
    for keep_out in &mut part.keep_outs {
        if let Some(tidied) = boundary(&keep_out.area) {
            keep_out.area = Arc::new(tidied);
        }
    }
    if let Some(drawing) = &mut part.drawing {
        drawing.file_name = file_name(&drawing.file_name).to_owned();
    }
    part
}

/// The last component of a path of any system.
pub(crate) fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn noise_goes_and_what_was_meant_stays() {
        assert_eq!(number(0.1 + 0.2), 0.3);
        assert_eq!(number(12.5 * 25.400000000000002), 317.5);
        assert_eq!(number(-1e-17).to_bits(), 0.0_f64.to_bits());
        assert_eq!(number(0.000_123_456_789_123), 0.000_123_456_789_123);
        assert_eq!(number(1.0e20), 1.0e20);
        assert!(number(f64::NAN).is_nan());
    }

    #[test]
    fn tidy_outlines_stay_shared() {
        let outline = Arc::new(Outline {
            outer: Loop {
                vertices: vec![Vertex { at: DVec2::new(1.5, 2.0), bulge: 0.414_213_562_373_095_03 }],
            },
            holes: vec![],
        });
        let mut given = Part::from_outline(crate::PartId(1), "P", outline.clone());
        given.drawing = Some(crate::DrawingOrigin {
            file_name: "/home/someone/tray.dxf".into(),
            sha256: String::new(),
            unit: "mm".into(),
        });
        let tidied = part(given);
        assert!(Arc::ptr_eq(&tidied.outline, &outline));
        assert_eq!(tidied.drawing.unwrap().file_name, "tray.dxf");
        assert_eq!(file_name("C:\\drawings\\a.svg"), "a.svg");
    }
}
