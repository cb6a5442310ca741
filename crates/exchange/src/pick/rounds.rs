//! Circles by what they are for: pitch circles of bolts, countersinks, threads.

use super::Role;
use super::shapes::Shapes;
use crate::clean::Loose;
use glam::DVec2;
use rstar::{AABB, RTree, primitives::GeomWithData};

/// Centres looked at in one drawing, at most.
const MOST_LOOKED_AT: usize = 2_000_000;
/// Holes whose centres lie on a circle make it a pitch circle.
const ON_PITCH: usize = 3;

/// Concentric circles of one hole.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sunk {
    pub(super) outer: usize,
    pub(super) centre: DVec2,
    /// Diameters, mm, the largest first.
    pub(super) diameters: Vec<f64>,
}

/// Marks circles that run through the centres of three or more others, all of one size: bolts stand there.
pub(super) fn pitch_circles(shapes: &Shapes, roles: &mut [Role]) -> Vec<usize> {
    let centres = (0..shapes.all.len())
        .filter(|i| roles[*i] == Role::Edge)
        .filter_map(|i| Some((i, shapes.all[i].circle?)));
    let circles: Vec<(usize, (DVec2, f64))> = centres.collect();
    let tree = RTree::bulk_load(
        circles.iter().map(|(i, (c, r))| GeomWithData::new(c.to_array(), (*i, *r))).collect(),
    );
    let mut left = MOST_LOOKED_AT;
    let mut found = Vec::new();
    for (i, (centre, radius)) in &circles {
        // A pitch circle lies in something.
        if shapes.parents[*i].is_none() {
            continue;
        }
        let reach = DVec2::splat(radius * 1.001);
        let near = AABB::from_corners((*centre - reach).to_array(), (*centre + reach).to_array());
        let mut on: Vec<f64> = Vec::new();
        for other in tree.locate_in_envelope(near) {
            if left == 0 {
                return found;
            }
            left -= 1;
            let (j, r) = other.data;
            let off = DVec2::from(*other.geom()).distance(*centre) - radius;
            if j != *i && off.abs() <= 2e-3 * radius && r < 0.5 * radius {
                on.push(r);
            }
        }
        on.sort_by(f64::total_cmp);
        let alike = on.first().zip(on.last()).is_some_and(|(a, b)| b - a <= 0.02 * b);
        if on.len() >= ON_PITCH && alike {
            roles[*i] = Role::Pitch;
            found.push(*i);
        }
    }
    found
}

/// Marks the smaller of concentric circles within a part: the hole is taken at its widest, where a lip finds no support.
pub(super) fn sunk_holes(shapes: &Shapes, roles: &mut [Role]) -> Vec<Sunk> {
    let mut found = Vec::new();
    for outer in 0..shapes.all.len() {
        let (Some((centre, radius)), Role::Edge) = (shapes.all[outer].circle, roles[outer]) else { continue };
        // A disc with a hole is a part, unless it lies in one.
        let mut around = shapes.parents[outer];
        while let Some(p) = around.filter(|p| roles[*p] != Role::Edge) {
            around = shapes.parents[p];
        }
        if around.is_none() {
            continue;
        }
        let about = |c: usize| {
            let same = |(at, _): &(DVec2, f64)| at.distance(centre) <= 0.01 * radius;
            shapes.all[c].circle.filter(same).map(|(_, r)| r)
        };
        let (mut inner, mut at) = (Vec::new(), outer);
        while let [only] = shapes.children[at][..] {
            let Some(r) = about(only) else { break };
            inner.push((only, 2.0 * r));
            at = only;
        }
        // Rings in rings in rings are a target or a lens, not a hole; an island far smaller is a part of its own.
        let sunk = !inner.is_empty() && inner.len() <= 3 && shapes.children[at].is_empty();
        if sunk && is_countersink(2.0 * radius, &inner) {
            inner.iter().for_each(|(i, _)| roles[*i] = Role::Sunk);
            let diameters = std::iter::once(2.0 * radius).chain(inner.iter().map(|i| i.1)).collect();
            found.push(Sunk { outer, centre, diameters });
        }
    }
    found
}

/// Largest diameter of a countersink or counterbore whose bore may be much smaller, mm: for a screw of 36 mm. Larger ones
/// are told where the step is narrow.
///
/// # Source
/// Common practice (heads of socket screws are 1.5 times the thread, countersunk heads twice), no source.
const WIDEST_SUNK: f64 = 80.0;
/// Bore against rim: the least of a screw's, and of a wide step.
const LEAST_BORE: (f64, f64) = (0.25, 0.7);

fn is_countersink(rim: f64, inner: &[(usize, f64)]) -> bool {
    let least = if rim <= WIDEST_SUNK { LEAST_BORE.0 } else { LEAST_BORE.1 };
    inner.iter().all(|(_, d)| (least * rim..=0.97 * rim).contains(d))
}

/// Whether an open line is the three quarters of a circle that a thread is drawn with, about the centre of a hole.
pub(super) fn is_thread(chain: &[Loose], centres: &RTree<GeomWithData<[f64; 2], f64>>) -> bool {
    let mut sweep = 0.0;
    let Some(arc) = chain.first().and_then(|l| l.piece.arc()) else { return false };
    for l in chain {
        let Some(a) = l.piece.arc() else { return false };
        if a.centre.distance(arc.centre) > 0.02 * arc.radius
            || (a.radius - arc.radius).abs() > 0.02 * arc.radius
        {
            return false;
        }
        sweep += a.sweep.abs().to_degrees();
    }
    let reach = DVec2::splat(0.05 * arc.radius);
    let near = AABB::from_corners((arc.centre - reach).to_array(), (arc.centre + reach).to_array());
    let ratio = |r: f64| (0.6..=1.6).contains(&(r / arc.radius));
    (225.0..=330.0).contains(&sweep) && centres.locate_in_envelope(near).take(20).any(|c| ratio(c.data))
}

/// Centres and radii of circles, to look in.
pub(super) fn centres(shapes: &Shapes) -> RTree<GeomWithData<[f64; 2], f64>> {
    let circles = shapes.all.iter().filter_map(|s| s.circle);
    RTree::bulk_load(circles.map(|(c, r)| GeomWithData::new(c.to_array(), r)).collect())
}
