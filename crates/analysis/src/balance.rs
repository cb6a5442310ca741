//! How well the cups are placed about the centre of gravity.

use crate::{loads::Case, lower::CupFacts, report::Balance};
use document::MotionId;
use glam::{DVec2, DVec3};
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

fn centres(cups: &[CupFacts]) -> Vec<DVec2> {
    cups.iter().map(|cup| cup.lip.at).collect()
}

/// Signed distance of the centre of gravity to the hull of the cups' centres, positive inside, mm.
pub(crate) fn hull_distance(cups: &[CupFacts], centre_of_gravity: DVec3) -> f64 {
    geometry::inside_hull(&centres(cups), centre_of_gravity.truncate())
}

/// Most loaded cup over the mean of all, for a motion that mainly pulls the cups away; `None` otherwise.
///
/// Where friction carries (a part on edge) the mean pull is next to nothing and the ratio says nothing, so a motion
/// counts only when the cups pull at least as much as the part's force across them.
fn most_over_mean(case: &Case) -> Option<f64> {
    let force = case.result.wrench.force;
    let mainly_pull = -force.z > 0.0 && -force.z >= force.truncate().length();
    mainly_pull.then(|| mechanics::most_over_mean(&case.result.loads)).flatten()
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
