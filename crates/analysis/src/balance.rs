//! How well the cups are placed about the centre of gravity.

use crate::{loads::Case, lower::CupFacts, report::Balance};
use document::MotionId;
use glam::{DVec2, DVec3};
use mechanics::Wrench;
use std::sync::Arc;

/// A point this near the hull's edge counts as inside, mm.
const ON_HULL: f64 = 1e-6;

/// Centre of the cups' axial stiffness, mm.
pub(crate) fn cup_centre(cups: &[CupFacts]) -> Option<DVec2> {
    let total: f64 = cups.iter().map(|cup| cup.spring.axial).sum();
    let weighted: DVec2 = cups.iter().map(|cup| cup.lip.at * cup.spring.axial).sum();
    (total > 0.0).then(|| weighted / total)
}

/// Half the extent of the cups along each axis, mm: what the centroid offset is held against.
pub(crate) fn spread(cups: &[CupFacts]) -> DVec2 {
    0.5 * mechanics::spread(&centres(cups))
}

/// The corners of the hull of the cups' centres, mm.
pub(crate) fn hull(cups: &[CupFacts]) -> Vec<DVec2> {
    geometry::hull(&centres(cups))
}

fn centres(cups: &[CupFacts]) -> Vec<DVec2> {
    cups.iter().map(|cup| cup.lip.at).collect()
}

/// Signed distance of the centre of gravity to the hull of the cups' centres, positive inside, mm.
pub(crate) fn hull_distance(cups: &[CupFacts], centre_of_gravity: DVec3) -> f64 {
    geometry::inside_hull(&centres(cups), centre_of_gravity.truncate())
}

/// Whether a load mainly pulls the cups away: at least as much as it goes across them.
///
/// Where friction carries (a part on edge) there is next to no pull, and neither its mean nor where it acts says
/// anything.
pub(crate) fn mainly_pulls(load: &Wrench) -> bool {
    -load.force.z > 0.0 && -load.force.z >= load.force.truncate().length()
}

/// Signed distance, mm, positive inside, from where a load pulls to the hull of the cups' centres; `None` for a load
/// that does not mainly pull. A distance within rounding of the hull counts as inside.
pub(crate) fn pull_inside(hull: &[DVec2], load: &Wrench) -> Option<f64> {
    let at = load.centre_of_pull().filter(|at| mainly_pulls(load) && at.is_finite())?;
    let distance = geometry::inside_hull(hull, at);
    Some(if distance < -ON_HULL { distance } else { distance.max(0.0) })
}

/// Most loaded cup over the mean of all, at the instant that governs a motion which mainly pulls; `None` otherwise.
fn most_over_mean(case: &Case) -> Option<f64> {
    mainly_pulls(&case.result.wrench).then(|| mechanics::most_over_mean(&case.result.loads)).flatten()
}

/// Balance of the layout; `None` without cups.
pub(crate) fn balance(
    cups: &[CupFacts],
    centre_of_gravity: DVec3,
    cases: &[(MotionId, Option<Arc<Case>>)],
) -> Option<Balance> {
    let centre = cup_centre(cups)?;
    let mut uneven: Option<(f64, MotionId)> = None;
    for (id, case) in cases {
        if let Some(ratio) = case.as_deref().and_then(most_over_mean)
            && uneven.is_none_or(|(most, _)| ratio > most * (1.0 + 1e-9))
        {
            uneven = Some((ratio, *id));
        }
    }
    Some(Balance {
        cup_centre: centre,
        centroid_offset: mechanics::centroid_offset(centre, centre_of_gravity),
        spread: spread(cups),
        inside_hull: hull_distance(cups, centre_of_gravity) >= -ON_HULL,
        most_over_mean: uneven.map(|(ratio, _)| ratio),
        most_over_mean_motion: uneven.map(|(_, id)| id),
    })
}
