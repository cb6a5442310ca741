//! Takes the noise of binary arithmetic (0.30000000000000004) off numbers before they enter the project, so that the
//! file shows what a person meant. Reading and writing never change a number.

use crate::{Part, numbers};
use geometry::{Loop, Outline, Vertex};
use glam::DVec2;
use std::{collections::HashSet, sync::Arc};

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

/// Numbers that were there before, bit by bit: what an edit does not touch stays as it is, to the last digit.
#[derive(Default)]
struct Kept(HashSet<u64>);
impl Kept {
    fn of<T: Clone>(before: Option<&T>, visit: impl Fn(&mut T, numbers::Each<'_>)) -> Self {
        let mut kept = Self::default();
        if let Some(before) = before {
            visit(&mut before.clone(), &mut |_, value| {
                kept.0.insert(value.to_bits());
            });
        }
        kept
    }
    fn number(&self, value: f64) -> f64 {
        if self.0.contains(&value.to_bits()) { value } else { number(value) }
    }
}

pub(crate) fn point(p: DVec2) -> DVec2 {
    DVec2::new(number(p.x), number(p.y))
}
/// Tidy numbers of anything that [`numbers`] can list, but for those it had before.
pub(crate) fn thing<T: Clone>(
    mut thing: T,
    before: Option<&T>,
    visit: impl Fn(&mut T, numbers::Each<'_>),
) -> T {
    let kept = Kept::of(before, &visit);
    visit(&mut thing, &mut |_, value| *value = kept.number(*value));
    thing
}

fn boundary(shared: &Loop, kept: &Kept) -> Option<Loop> {
    // The bulge is a pure number: its digits set how true an arc stays, so it is kept.
    let vertex = |v: &Vertex| Vertex {
        at: DVec2::new(kept.number(v.at.x), kept.number(v.at.y)),
        bulge: v.bulge + 0.0,
    };
    let tidied: Vec<Vertex> = shared.vertices.iter().map(vertex).collect();
    (tidied != shared.vertices).then_some(Loop { vertices: tidied })
}

/// Places of the corners of a part's outline and keep-outs.
fn corners(part: &Part) -> Kept {
    let loops = std::iter::once(&part.outline.outer).chain(&part.outline.holes);
    let loops = loops.chain(part.keep_outs.iter().map(|k| &*k.area));
    Kept(loops.flat_map(|l| &l.vertices).flat_map(|v| v.at.to_array()).map(f64::to_bits).collect())
}

/// A part with tidy numbers, but for those it had before; what is tidy already stays shared. Folders in front of the drawing's
/// name are dropped.
pub(crate) fn part(part: Part, before: Option<&Part>) -> Part {
    let mut part = thing(part, before, numbers::part);
    let same = |before: &&Part| {
        let areas = |part: &Part| part.keep_outs.iter().map(|k| Arc::as_ptr(&k.area)).collect::<Vec<_>>();
        Arc::ptr_eq(&before.outline, &part.outline) && areas(before) == areas(&part)
    };
    if before.as_ref().is_none_or(|before| !same(before)) {
        let kept = before.map(corners).unwrap_or_default();
        tidy_boundaries(&mut part, &kept);
    }
    if let Some(drawing) = &mut part.drawing {
        drawing.file_name = file_name(&drawing.file_name).to_owned();
    }
    part
}

fn tidy_boundaries(part: &mut Part, kept: &Kept) {
    let boundary = |shared: &Loop| boundary(shared, kept);
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
        let tidied = part(given, None);
        assert!(Arc::ptr_eq(&tidied.outline, &outline));
        assert_eq!(tidied.drawing.unwrap().file_name, "tray.dxf");
        assert_eq!(file_name("C:\\drawings\\a.svg"), "a.svg");
    }
}
