//! What `$INSUNITS` says.

use crate::DrawingUnit;

/// What `$INSUNITS` comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Said {
    pub(super) unit: DrawingUnit,
    /// How many of that unit one drawing unit is.
    pub(super) scale: f64,
    /// Its name for many and for one of it, when it is not a unit that we show.
    pub(super) converted: Option<(&'static str, &'static str)>,
}

impl Said {
    /// The conversion as a sentence.
    pub(super) fn sentence(&self) -> Option<String> {
        let (many, one) = self.converted?;
        Some(format!(
            "the file is in {many}; converted to {}, 1 {one} = {} {}",
            self.unit.plural(),
            self.scale,
            self.unit.symbol()
        ))
    }
}

/// Unit for an `$INSUNITS` value; `None` for 0 (not said) and values that no part is drawn in (miles, light years).
///
/// # Source
/// DXF reference, header variable `$INSUNITS`; from memory.
pub(super) fn of(insert_units: Option<i64>) -> Option<Said> {
    let plain = |unit| Said { unit, scale: 1.0, converted: None };
    let rare = |unit, scale, many, one| Said { unit, scale, converted: Some((many, one)) };
    Some(match insert_units? {
        1 => plain(DrawingUnit::Inch),
        2 => plain(DrawingUnit::Foot),
        4 => plain(DrawingUnit::Millimetre),
        5 => plain(DrawingUnit::Centimetre),
        6 => plain(DrawingUnit::Metre),
        // Read in the nearest unit a person would pick.
        8 => rare(DrawingUnit::Inch, 1e-6, "microinches", "microinch"),
        9 => rare(DrawingUnit::Inch, 1e-3, "mils", "mil"),
        10 => rare(DrawingUnit::Foot, 3.0, "yards", "yard"),
        13 => rare(DrawingUnit::Millimetre, 1e-3, "microns", "micron"),
        14 => rare(DrawingUnit::Centimetre, 10.0, "decimetres", "decimetre"),
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
        assert_eq!(of(Some(4)).map(|s| (s.unit, s.scale)), Some((DrawingUnit::Millimetre, 1.0)));
        // A mil is a thousandth of an inch.
        assert_eq!(of(Some(9)).map(|s| (s.unit, s.scale)), Some((DrawingUnit::Inch, 1e-3)));
    }
}
