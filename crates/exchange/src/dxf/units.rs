//! What `$INSUNITS` says.

use crate::DrawingUnit;

/// Unit for an `$INSUNITS` value, and how many of that unit one drawing unit is; `None` for 0 (not said) and values
/// that no part is drawn in (miles, light years).
///
/// # Source
/// DXF reference, header variable `$INSUNITS`; from memory.
pub(super) fn of(insert_units: Option<i64>) -> Option<(DrawingUnit, f64)> {
    Some(match insert_units? {
        1 => (DrawingUnit::Inch, 1.0),
        2 => (DrawingUnit::Foot, 1.0),
        4 => (DrawingUnit::Millimetre, 1.0),
        5 => (DrawingUnit::Centimetre, 1.0),
        6 => (DrawingUnit::Metre, 1.0),
        // Microinches, mils, yards, microns, decimetres: read in the nearest unit a person would pick.
        8 => (DrawingUnit::Inch, 1e-6),
        9 => (DrawingUnit::Inch, 1e-3),
        10 => (DrawingUnit::Foot, 3.0),
        13 => (DrawingUnit::Millimetre, 1e-3),
        14 => (DrawingUnit::Centimetre, 10.0),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn silent_and_astronomical_units_are_not_taken() {
        assert_eq!(of(None), None);
        assert_eq!(of(Some(0)), None);
        assert_eq!(of(Some(18)), None);
        assert_eq!(of(Some(4)), Some((DrawingUnit::Millimetre, 1.0)));
        // A mil is a thousandth of an inch.
        assert_eq!(of(Some(9)), Some((DrawingUnit::Inch, 1e-3)));
    }
}
