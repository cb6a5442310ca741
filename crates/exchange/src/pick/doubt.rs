//! Whether the unit is in doubt: by the size of the part, how round its lengths are, and the sizes of its holes.

use super::told;
use crate::choice::Choice;
use crate::{DrawingUnit, UnitFrom};
use glam::DVec2;
use units::Worded;

/// Sizes (mm, larger side) of what suction cups mostly carry, and those still likely.
const USUAL: std::ops::RangeInclusive<f64> = 30.0..=3500.0;
const LIKELY: std::ops::RangeInclusive<f64> = 10.0..=6000.0;
/// Units that a drawing is made in.
const UNITS: [DrawingUnit; 4] =
    [DrawingUnit::Millimetre, DrawingUnit::Inch, DrawingUnit::Centimetre, DrawingUnit::Metre];
/// Points by which another unit has to lead for a doubt in what the file says.
const LEAD: i32 = 2;

/// Whether lengths are round in a unit: halves of a millimetre, or sixty-fourths and hundredths of an inch.
fn round(lengths: &[f64], unit: DrawingUnit) -> bool {
    let near = |v: f64| (v - v.round()).abs() <= 0.02;
    let metric = |l: f64| l * unit.mm() >= 0.5 && near(2.0 * l * unit.mm());
    let imperial = |l: f64| near(64.0 * l) || near(100.0 * l);
    let count =
        lengths.iter().filter(|l| metric(**l) || (unit == DrawingUnit::Inch && imperial(**l))).count();
    !lengths.is_empty() && 5 * count >= 4 * lengths.len()
}

fn points(figures: f64, lengths: &[f64], unit: DrawingUnit) -> i32 {
    let size = figures * unit.mm();
    let usual = if USUAL.contains(&size) { 2 } else { i32::from(LIKELY.contains(&size)) };
    usual + i32::from(round(lengths, unit))
}

/// Other units that the drawing may be in, the likeliest first; `size` (mm) is that of the part, `lengths` (mm) others of
/// it, diameters of holes among them. Nothing where the file says a unit that fits.
pub(crate) fn unit_choices(size: DVec2, lengths: &[f64], unit: DrawingUnit, from: UnitFrom) -> Vec<Choice> {
    let figures = size.max_element() / unit.mm();
    if from == UnitFrom::Option || !(figures > 0.0 && figures.is_finite()) {
        return Vec::new();
    }
    let lengths: Vec<f64> = lengths.iter().chain([&size.x, &size.y]).map(|l| l / unit.mm()).collect();
    let own = points(figures, &lengths, unit);
    let mut others: Vec<(i32, DrawingUnit)> =
        UNITS.into_iter().filter(|u| *u != unit).map(|u| (points(figures, &lengths, u), u)).collect();
    others.sort_by_key(|(points, _)| -points);
    let usual = |u: DrawingUnit| USUAL.contains(&(figures * u.mm()));
    let asked: Vec<(i32, DrawingUnit)> = match from {
        UnitFrom::Guess => others.into_iter().filter(|(points, u)| *points >= 2 && usual(*u)).collect(),
        _ => others.into_iter().filter(|(points, _)| *points >= own + LEAD).take(2).collect(),
    };
    let asked = if asked.is_empty() && from == UnitFrom::Guess && unit != DrawingUnit::Millimetre {
        vec![(0, DrawingUnit::Millimetre)]
    } else {
        asked
    };
    let said = match from {
        UnitFrom::Guess => "the file does not say its unit",
        _ => "the unit of the file is in doubt",
    };
    let choice = |(_, other): (i32, DrawingUnit)| {
        let says = Worded::new(
            "{}: read in {}, the part is {}",
            [said.into(), unit.plural().into(), told::size(size)],
        );
        told::other_unit(says, unit, other, size)
    };
    asked.into_iter().map(choice).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::choice::Instead;

    fn asked(size: (f64, f64), holes: &[f64], unit: DrawingUnit, from: UnitFrom) -> Vec<DrawingUnit> {
        let size = DVec2::new(size.0, size.1);
        let unit_of = |c: Choice| match c.instead {
            Instead::Unit(unit) => Some(unit),
            _ => None,
        };
        unit_choices(size, holes, unit, from).into_iter().filter_map(unit_of).collect()
    }

    #[test]
    fn what_the_file_says_is_doubted_where_another_unit_fits_better() {
        use DrawingUnit::{Centimetre, Inch, Metre, Millimetre};
        let file = UnitFrom::File;
        assert_eq!(asked((10160.0, 6350.0), &[304.8], Inch, file), [Millimetre]);
        assert_eq!(asked((15.748, 9.8425), &[0.4724], Millimetre, file)[0], Inch);
        assert_eq!(asked((400_000.0, 250_000.0), &[12_000.0], Metre, file)[0], Millimetre);
        // What fits is not doubted.
        assert!(asked((304.8, 152.4), &[25.4], Inch, file).is_empty());
        assert!(asked((25.0, 15.0), &[4.0], Millimetre, file).is_empty());
        assert!(asked((400.0, 250.0), &[12.0], Millimetre, file).is_empty());
        // Small figures without a unit may be centimetres.
        assert!(asked((40.0, 25.0), &[1.2], Millimetre, UnitFrom::Guess).contains(&Centimetre));
        assert!(asked((400.0, 250.0), &[12.0], Millimetre, UnitFrom::Guess).is_empty());
    }
}
