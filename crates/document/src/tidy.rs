//! Takes the noise of binary arithmetic (0.30000000000000004) off numbers before they enter the project, so that the
//! file shows what a person meant. Reading and writing never change a number.

use crate::{Cup, Part, numbers};
use geometry::{Loop, Outline, Vertex};
use glam::DVec2;
use std::sync::Arc;

/// The double nearest to the value with thirteen significant digits: the noise that arithmetic leaves is gone, and what was typed
/// is kept to better than a trillionth of it. Less than a trillionth is noise beside nothing: zero.
pub(crate) fn number(value: f64) -> f64 {
    const DIGITS: i32 = 13;
    let size = value.abs();
    if size < 1e-12 {
        return 0.0;
    }
    // In this range the product is a whole number below 2^53 and the power is exact, so the quotient is the nearest double.
    if (1e-6..1e9).contains(&size) {
        let scale = 10f64.powi(DIGITS - 1 - size.log10().floor() as i32);
        return (value * scale).round() / scale;
    }
    if value.is_finite() { format!("{value:.12e}").parse().unwrap_or(value) } else { value }
}

fn each(_: numbers::At<'_>, value: &mut f64) {
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
        assert_eq!(number(0.1 - 0.0999), 0.0001);
        assert_eq!(number(1.0e20), 1.0e20);
        assert_eq!(number(f64::INFINITY), f64::INFINITY);
        assert!(number(f64::NAN).is_nan());
    }

    proptest::proptest! {
        #[test]
        fn what_is_tidy_stays_and_nothing_moves_far(value in -1e7..1e7_f64) {
            let tidied = number(value);
            proptest::prop_assert_eq!(number(tidied), tidied);
            proptest::prop_assert!((tidied - value).abs() <= 1e-12 * value.abs().max(1.0));
        }
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
