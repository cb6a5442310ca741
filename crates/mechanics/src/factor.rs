//! How many times a load could be carried.

/// Which limit is met first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LipLimit {
    /// The lip starts to leak.
    Seal,
    /// The lip slides or twists on the part.
    Slide,
}

/// Largest multiple of a load that the lip meets, and the limit that ends it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    /// Infinite when no multiple fails the lip (it is pressed on), 0 when it holds nothing; never NaN, never negative.
    pub value: f64,
    /// The limit with the smaller factor; the seal when both are equal.
    pub limit: LipLimit,
}

impl Factor {
    /// The smaller of what the two limits allow.
    pub(crate) fn of(available: (f64, f64), demand: (f64, f64)) -> Self {
        let seal = multiple(available.0, demand.0);
        let slide = multiple(available.1, demand.1);
        if slide < seal {
            Self { value: slide, limit: LipLimit::Slide }
        } else {
            Self { value: seal, limit: LipLimit::Seal }
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
        assert_eq!(Factor::of((6.0, 8.0), (2.0, 4.0)), Factor { value: 2.0, limit: LipLimit::Slide });
        assert_eq!(Factor::of((6.0, 8.0), (3.0, 4.0)), Factor { value: 2.0, limit: LipLimit::Seal });
    }
}
