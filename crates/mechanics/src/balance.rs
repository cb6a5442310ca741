//! How evenly the load lies on the cups.

use crate::group::CupLoad;
use glam::{DVec2, DVec3};

/// From the centre of the cups' stiffness to the centre of gravity, in the plan.
///
/// # Units
/// mm.
pub fn centroid_offset(group_centre: DVec2, centre_of_gravity: DVec3) -> DVec2 {
    centre_of_gravity.truncate() - group_centre
}

/// Extent of the cups in x and in y, with which a centroid offset is compared; zero without cups.
///
/// # Units
/// mm.
pub fn spread(points: &[DVec2]) -> DVec2 {
    let Some(&first) = points.first() else { return DVec2::ZERO };
    let (low, high) = points.iter().fold((first, first), |(low, high), &p| (low.min(p), high.max(p)));
    high - low
}

/// Largest pull over the mean pull; `None` unless the cups together are pulled (a part carried on edge has no mean pull
/// to compare with).
///
/// # Example
/// ```
/// use mechanics::{CupLoad, most_over_mean};
/// let pulls = [10.0, 20.0, 30.0].map(|pull| CupLoad { pull, ..Default::default() }); // N
/// assert_eq!(most_over_mean(&pulls), Some(1.5));
/// ```
pub fn most_over_mean(loads: &[CupLoad]) -> Option<f64> {
    let mean = loads.iter().map(|load| load.pull).sum::<f64>() / loads.len() as f64;
    let most = loads.iter().map(|load| load.pull).fold(f64::NEG_INFINITY, f64::max);
    let largest = loads.iter().map(|load| load.pull.abs().max(load.slide.length())).fold(0.0, f64::max);
    (mean > 1e-9 * largest).then(|| most / mean)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pull(pull: f64) -> CupLoad {
        CupLoad { pull, ..CupLoad::default() }
    }

    #[test]
    fn no_mean_pull_no_ratio() {
        assert_eq!(most_over_mean(&[]), None);
        assert_eq!(most_over_mean(&[pull(5.0), pull(-5.0)]), None);
        assert_eq!(most_over_mean(&[pull(-5.0), pull(-4.0)]), None);
        assert_eq!(most_over_mean(&[pull(7.0); 4]), Some(1.0));
    }

    #[test]
    fn offset_runs_from_the_cups_to_the_mass() {
        let offset = centroid_offset(DVec2::new(10.0, 0.0), DVec3::new(15.0, -3.0, -8.0));
        assert_eq!(offset, DVec2::new(5.0, -3.0));
    }

    #[test]
    fn spread_is_the_extent() {
        assert_eq!(spread(&[]), DVec2::ZERO);
        assert_eq!(spread(&[DVec2::new(-50.0, 4.0), DVec2::new(150.0, 4.0)]), DVec2::new(200.0, 0.0));
    }
}
