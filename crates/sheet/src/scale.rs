//! Scales of ISO 5455 and the check bar that goes with one.

use units::{LengthUnit, UnitChoice};

/// A drawing scale: lengths on the paper over lengths of the part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    paper: f64,
    part: f64,
}

/// What the check bar stands for.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckBar {
    /// Length on the part, mm.
    pub part_mm: f64,
    /// Length on the paper, mm.
    pub paper_mm: f64,
}

impl Scale {
    /// Paper length over part length.
    pub fn ratio(&self) -> f64 {
        self.paper / self.part
    }
    /// The largest recommended scale at which a width and height of the part fit into the room there is.
    ///
    /// # Units
    /// mm of the part and mm of paper.
    ///
    /// # Source
    /// ISO 5455:1979, 4: 50:1, 20:1, 10:1, 5:1, 2:1, 1:1, 1:2, 1:5, 1:10 ... (from memory), continued in the same steps.
    ///
    /// ```
    /// let scale = sheet::Scale::fitting([840.0, 480.0], [200.0, 200.0]);
    /// assert_eq!(scale.to_string(), "1:5");
    /// ```
    pub fn fitting(part: [f64; 2], room: [f64; 2]) -> Self {
        let fits = |scale: &Self| (0..2).all(|i| part[i] * scale.ratio() <= room[i].max(1.0));
        [50.0, 20.0, 10.0, 5.0, 2.0]
            .iter()
            .map(|enlarged| Self { paper: *enlarged, part: 1.0 })
            .chain((0..9).flat_map(|power| {
                [1.0, 2.0, 5.0].map(|step| Self { paper: 1.0, part: step * 10f64.powi(power) })
            }))
            .find(fits)
            .unwrap_or(Self { paper: 1.0, part: 1.0e9 })
    }
    /// The largest ratio at all at which a width and height of the part fit into the room there is; for a screen.
    ///
    /// # Units
    /// mm of the part and mm of the room.
    pub(crate) fn filling(part: [f64; 2], room: [f64; 2]) -> Self {
        let ratio = (0..2).map(|i| room[i].max(1.0) / part[i].max(1e-6)).fold(f64::INFINITY, f64::min);
        Self { paper: ratio, part: 1.0 }
    }
    /// A bar of 100 mm (4 in) on the paper, to check a print with a ruler, and what it stands for on the part.
    pub fn check_bar(&self, units: &UnitChoice) -> CheckBar {
        let paper_mm = match units.length {
            LengthUnit::Millimetre => 100.0,
            LengthUnit::Inch => 4.0 * 25.4,
        };
        CheckBar { part_mm: paper_mm / self.ratio(), paper_mm }
    }
}

impl std::fmt::Display for Scale {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}", self.paper, self.part)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[test]
    fn picks_the_recommended_scale_that_fits() {
        // ISO 5455:1979 table of recommended scales (from memory).
        let cases = [
            ([20.0, 20.0], "10:1"),
            ([150.0, 100.0], "1:1"),
            ([210.0, 100.0], "1:2"),
            ([840.0, 480.0], "1:5"),
            ([3000.0, 80.0], "1:20"),
            ([2.0e6, 10.0], "1:10000"),
        ];
        for (part, scale) in cases {
            assert_eq!(Scale::fitting(part, [200.0, 200.0]).to_string(), scale, "{part:?}");
        }
    }
    #[test]
    fn check_bar_is_one_length_of_the_paper_at_every_scale() {
        let mm = UnitChoice::default();
        let inch = UnitChoice { length: LengthUnit::Inch, ..mm };
        let scale = Scale::fitting([840.0, 480.0], [200.0, 200.0]);
        assert_eq!(scale.check_bar(&mm), CheckBar { part_mm: 500.0, paper_mm: 100.0 });
        assert!((scale.check_bar(&inch).part_mm - 20.0 * 25.4).abs() < 1e-9);
    }
}
