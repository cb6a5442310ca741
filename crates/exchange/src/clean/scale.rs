//! The unit of a drawing that does not say it, and sizes that look wrong.

use crate::curve::Curve;
use crate::diagnostics::{DiagnosticSeverity, Notes};
use crate::{DrawingUnit, ScaleCheck, UnitFrom};
use glam::DVec2;
use units::{Part, Quantity, Worded};

/// A part smaller than this (mm, larger side) is hardly picked up by a suction cup.
const SMALLEST_PART: f64 = 5.0;
/// A part larger than this (mm) is hardly moved by a robot.
const LARGEST_PART: f64 = 20_000.0;
/// Sizes (mm) that a unit is guessed into.
const USUAL: std::ops::RangeInclusive<f64> = 30.0..=6000.0;

fn extent(curves: &[(Curve, u32)]) -> DVec2 {
    let (mut min, mut max) = (DVec2::MAX, DVec2::MIN);
    for (curve, _) in curves {
        curve.outline_points(|p| (min, max) = (min.min(p), max.max(p)));
    }
    if min.x > max.x { DVec2::ZERO } else { max - min }
}

/// The unit to read the curves in: asked for, said by the file, or guessed from their size, which is a diagnostic.
pub(crate) fn unit_of(
    curves: &[(Curve, u32)],
    asked: Option<DrawingUnit>,
    said: Option<DrawingUnit>,
    hint: Option<&str>,
    notes: &mut Notes,
) -> (DrawingUnit, UnitFrom) {
    if let Some(unit) = asked {
        if let Some(said) = said.filter(|said| *said != unit) {
            let what =
                format!("read in {} as requested, though the file says {}", unit.plural(), said.plural());
            notes.add(DiagnosticSeverity::Warning, what, || "whole drawing".to_owned());
        }
        return (unit, UnitFrom::Option);
    }
    if let Some(unit) = said {
        return (unit, UnitFrom::File);
    }
    let size = extent(curves);
    let larger = size.max_element();
    // Millimetres unless the size would be odd and another unit makes it usual; the likelier first.
    let candidates = [DrawingUnit::Millimetre, DrawingUnit::Inch, DrawingUnit::Metre];
    let unit = candidates
        .into_iter()
        .find(|u| USUAL.contains(&(larger * u.mm())))
        .unwrap_or(DrawingUnit::Millimetre);
    if larger > 0.0 {
        let wide = if size.x >= size.y { "wide" } else { "high" };
        let other = if unit == DrawingUnit::Inch { DrawingUnit::Millimetre } else { DrawingUnit::Inch };
        let why = if USUAL.contains(&(larger * unit.mm())) {
            "because"
        } else {
            "though no unit makes the size usual:"
        };
        let says = hint.unwrap_or("the file does not say its unit");
        let what = Worded::new(
            "{}; read as {} {} the drawing would be {} {} ({} if in {})",
            [
                says.into(),
                unit.name().into(),
                why.into(),
                short(larger * unit.mm()),
                wide.into(),
                short(larger * other.mm()),
                other.plural().into(),
            ],
        );
        notes.add(DiagnosticSeverity::Warning, what, || "whole drawing".to_owned());
    }
    (unit, UnitFrom::Guess)
}

/// The unit of a drawing in pixels, by now in mm at 96 to the inch, which is told as the guess it is; `figures` of the
/// file's own are in one mm.
pub(crate) fn unit_of_pixels(
    curves: &[(Curve, u32)],
    figures: f64,
    notes: &mut Notes,
) -> (DrawingUnit, UnitFrom) {
    let size = extent(curves);
    let larger = size.max_element();
    if larger > 0.0 {
        let wide = if size.x >= size.y { "wide" } else { "high" };
        let what = Worded::new(
            "the file gives its size in pixels; read at 96 to the inch, so the drawing is {} {} ({} if \
            its numbers are millimetres)",
            [short(larger), wide.into(), short(larger * figures)],
        );
        notes.add(DiagnosticSeverity::Warning, what, || "whole drawing".to_owned());
    }
    (DrawingUnit::Millimetre, UnitFrom::Guess)
}

/// Whether a larger side (mm) hints at another unit than the one that was read: of an unlikely size, which another unit
/// would make usual. Units that drawings are made in, the likelier first.
pub(crate) fn scale_check(larger_side: f64, unit: DrawingUnit) -> Option<ScaleCheck> {
    if (SMALLEST_PART..=LARGEST_PART).contains(&larger_side) {
        return None;
    }
    let figures = larger_side / unit.mm();
    let candidates =
        [DrawingUnit::Millimetre, DrawingUnit::Inch, DrawingUnit::Metre, DrawingUnit::Centimetre];
    let other = candidates.into_iter().find(|u| *u != unit && USUAL.contains(&(figures * u.mm())))?;
    let says = Worded::new("this part would be {} long: {} file?", [short(larger_side), other.name().into()]);
    Some(ScaleCheck { says, unit: other })
}

/// Warns of a part that is too large or too small to be likely.
pub(crate) fn odd_size(name: &str, larger_side: f64, unit: DrawingUnit, notes: &mut Notes) {
    let odd = if larger_side > LARGEST_PART {
        "large"
    } else if larger_side < SMALLEST_PART {
        "small"
    } else {
        return;
    };
    let check = match scale_check(larger_side, unit) {
        Some(check) => Worded::new(
            "{} would make it {}",
            [check.unit.plural().into(), short(larger_side / unit.mm() * check.unit.mm())],
        ),
        None => format!("check that the drawing is in {}", unit.plural()).into(),
    };
    let what = Worded::new(
        "{} is {} for a part to be picked up: {}; {}",
        [name.into(), odd.into(), short(larger_side), check.into()],
    );
    notes.add(DiagnosticSeverity::Warning, what, || name.to_owned());
}

/// A length to four significant figures at most, mm.
fn short(mm: f64) -> Part {
    let step = 10f64.powi(if mm > 0.0 { mm.log10().floor() as i32 - 3 } else { 0 }.clamp(-6, 0));
    (units::tidied((mm / step).round() * step), Quantity::Length).into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::Stretch;
    use crate::piece::Piece;

    fn guess(width: f64) -> (DrawingUnit, String) {
        let line = Curve::Single(Stretch::Piece(Piece::line(DVec2::ZERO, DVec2::new(width, 1e-3))));
        let watch = crate::watch::Watch::default();
        let mut notes = Notes::new(&watch);
        let (unit, from) = unit_of(&[(line, 0)], None, None, None, &mut notes);
        assert_eq!(from, UnitFrom::Guess);
        (unit, notes.finish()[0].what.to_string())
    }

    #[test]
    fn unlikely_sizes_name_the_unit_that_fits() {
        let check = |side, unit| scale_check(side, unit).map(|c| (c.says.to_string(), c.unit));
        let metres = "this part would be 30480 mm long: millimetre file?".to_owned();
        assert_eq!(check(1200.0 * 25.4, DrawingUnit::Inch), Some((metres, DrawingUnit::Millimetre)));
        let tiny = "this part would be 2 mm long: inch file?".to_owned();
        assert_eq!(check(2.0, DrawingUnit::Millimetre), Some((tiny, DrawingUnit::Inch)));
        assert_eq!(check(840.0, DrawingUnit::Millimetre), None);
        assert_eq!(check(1e9, DrawingUnit::Millimetre), None);
    }

    #[test]
    fn guess_takes_millimetres_where_they_fit() {
        let (unit, says) = guess(840.0);
        assert_eq!(unit, DrawingUnit::Millimetre);
        assert_eq!(
            says,
            "the file does not say its unit; read as millimetre because the drawing would be 840 mm wide \
            (21336 mm if in inches)"
        );
        assert_eq!(guess(12.5).0, DrawingUnit::Inch);
        assert_eq!(guess(0.84).0, DrawingUnit::Metre);
        assert_eq!(guess(1e7).0, DrawingUnit::Millimetre);
    }
}
