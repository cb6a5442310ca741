//! How many times a load could be carried.

/// Which limit is met first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LipLimit {
    /// The lip starts to leak.
    Seal,
    /// The lip slides or twists on the part.
    Slide,
}

/// What is multiplied until a limit is met. A factor is the smallest of all three.
///
/// Weight that presses a part on must not be multiplied into a help, so the motion - whatever accelerations and turning
/// do - is also multiplied alone, with the weight counted once, and with the weight counted as if it were a little less
/// ([`LoadCase::favourable_weight`](crate::LoadCase::favourable_weight)).
///
/// # Source
/// The principle of EN 1990, ultimate limit state EQU: permanent actions that help are not multiplied, and counted with
/// 0.9 (clause and value from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reading {
    /// Weight and motion alike.
    WholeLoad,
    /// The motion, with the weight once.
    WeightOnce,
    /// The motion, with the share of the weight that may be counted on where it helps.
    FavourableWeight,
}

impl Reading {
    /// Whether the weight is left alone while the motion is multiplied.
    pub fn keeps_weight(self) -> bool {
        self != Self::WholeLoad
    }

    /// How many times the weight is counted at a multiple `times` of the rest.
    pub fn weight_times(self, times: f64, favourable_weight: f64) -> f64 {
        match self {
            Self::WholeLoad => times,
            Self::WeightOnce => 1.0,
            Self::FavourableWeight => favourable_weight,
        }
    }
}

/// Largest multiple of a load that the lip meets, and the limit that ends it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    /// Infinite when no multiple fails the lip (it is pressed on), 0 when it holds nothing, or gravity alone is too much
    /// for it while the motion is multiplied; never NaN, never negative.
    pub value: f64,
    /// The limit with the smaller factor; the seal when both are equal.
    pub limit: LipLimit,
    /// What was multiplied to get there.
    pub reading: Reading,
}

impl Factor {
    /// Of a lip that holds nothing.
    pub(crate) const NOTHING: Self = Self { value: 0.0, limit: LipLimit::Seal, reading: Reading::WholeLoad };

    /// The smaller of what the two limits allow of the whole load.
    pub(crate) fn of(available: (f64, f64), demand: (f64, f64)) -> Self {
        let seal = multiple(available.0, demand.0);
        let slide = multiple(available.1, demand.1);
        let reading = Reading::WholeLoad;
        if slide < seal {
            Self { value: slide, limit: LipLimit::Slide, reading }
        } else {
            Self { value: seal, limit: LipLimit::Seal, reading }
        }
    }
}

/// Largest multiple of `demand` within `available`.
fn multiple(available: f64, demand: f64) -> f64 {
    if available.is_nan() || demand.is_nan() || available <= 0.0 {
        0.0 // not known to hold anything
    } else if demand <= 0.0 {
        f64::INFINITY
    } else {
        available / demand
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_available_holds_nothing_and_no_demand_never_fails() {
        assert_eq!(multiple(-1.0, 5.0), 0.0);
        assert_eq!(multiple(0.0, -5.0), 0.0);
        assert_eq!(multiple(5.0, -5.0), f64::INFINITY);
        assert_eq!(multiple(5.0, f64::INFINITY), 0.0);
        assert_eq!(multiple(f64::NAN, 1.0), 0.0);
        assert_eq!(multiple(5.0, f64::NAN), 0.0);
        assert_eq!(multiple(6.0, 2.0), 3.0);
    }

    #[test]
    fn the_smaller_limit_governs() {
        let reading = Reading::WholeLoad;
        let slide = Factor { value: 2.0, limit: LipLimit::Slide, reading };
        assert_eq!(Factor::of((6.0, 8.0), (2.0, 4.0)), slide);
        assert_eq!(Factor::of((6.0, 8.0), (3.0, 4.0)), Factor { limit: LipLimit::Seal, ..slide });
    }
}
