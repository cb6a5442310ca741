//! What dust in the air makes of the level of a circuit.

/// Level at the worst cup against the hours since the filters were cleaned.
#[derive(Debug, Clone, PartialEq)]
pub struct DustReport {
    /// Hours at work and level at the worst cup, kPa.
    pub points: Vec<(f64, f64)>,
    /// Level that must be kept, kPa: the lowest at a cup that factors are worked out at.
    pub needed_kpa: f64,
    /// The filters must be cleaned after so many hours at the latest; `None` where the level is kept as far as was looked,
    /// the last of `points`.
    pub keeps_h: Option<f64>,
    /// They are cleaned after so many hours, as stated.
    pub cleaned_h: f64,
    /// Level at the worst cup just before, kPa; `None` where it is below all of `points`.
    pub level_at_cleaning_kpa: Option<f64>,
}
