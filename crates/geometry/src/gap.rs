//! Gap between two lips.

use glam::DVec2;

use crate::Lip;

/// Gap between two lips' outer lines, mm, negative = overlap depth; with the points that are nearest (first on `a`, then
/// on `b`; their distance is the size of the gap).
///
/// The overlap depth is the shortest shift of either lip that parts them.
///
/// # Source
/// Every lip is a convex core grown by a radius, so gap = signed distance of the origin from the Minkowski difference of
/// the cores, less both radii (Cameron & Culley, "Determining the minimum translational distance between two convex
/// polyhedra", IEEE ICRA 1986, from memory).
///
/// ```
/// use geometry::{Lip, LipShape, gap};
/// use glam::DVec2;
/// let lip = |x| Lip { shape: LipShape::Round { diameter: 40.0 }, at: DVec2::new(x, 0.0), turn: 0.0 };
/// assert_eq!(gap(&lip(0.0), &lip(55.0)).0, 15.0); // mm
/// assert_eq!(gap(&lip(0.0), &lip(30.0)).0, -10.0); // mm
/// ```
pub fn gap(a: &Lip, b: &Lip) -> (f64, DVec2, DVec2) {
    let (first, count_a) = a.core_corners();
    let (second, count_b) = b.core_corners();
    let (radius_a, radius_b) = (a.shape.core().radius, b.shape.core().radius);
    let mut pairs = Vec::with_capacity(count_a * count_b);
    for p in &first[..count_a] {
        for q in &second[..count_b] {
            pairs.push(Pair { apart: *p - *q, on_a: *p, on_b: *q });
        }
    }
    let corners = hull_of_pairs(&pairs);
    let Some(start) = corners.first() else { return (0.0, a.at, b.at) };
    let mut inside = corners.len() > 2;
    let mut best = (start.apart.length_squared(), *start, DVec2::ZERO);
    for (i, from) in corners.iter().enumerate() {
        let to = &corners[(i + 1) % corners.len()];
        let way = to.apart - from.apart;
        inside &= way.perp_dot(-from.apart) >= 0.0;
        let square = way.length_squared();
        let share = if square > 0.0 { (-from.apart.dot(way) / square).clamp(0.0, 1.0) } else { 0.0 };
        let foot = Pair {
            apart: from.apart.lerp(to.apart, share),
            on_a: from.on_a.lerp(to.on_a, share),
            on_b: from.on_b.lerp(to.on_b, share),
        };
        if i == 0 || foot.apart.length_squared() < best.0 {
            best = (foot.apart.length_squared(), foot, -way.perp());
        }
    }
    let (square, foot, outward) = best;
    let apart = square.sqrt();
    // From a towards b: against the difference when parted, along it when the cores overlap.
    let fallback = if outward != DVec2::ZERO { outward.normalize_or_zero() } else { DVec2::X };
    let towards = match (apart > 0.0, inside) {
        (false, _) => fallback,
        (true, true) => foot.apart / apart,
        (true, false) => -foot.apart / apart,
    };
    let distance = if inside { -apart } else { apart } - radius_a - radius_b;
    (distance, foot.on_a + towards * radius_a, foot.on_b - towards * radius_b)
}

/// A corner of the Minkowski difference and the two core corners it comes from.
#[derive(Debug, Clone, Copy)]
struct Pair {
    apart: DVec2,
    on_a: DVec2,
    on_b: DVec2,
}

/// Corners of the convex hull of the differences, counter-clockwise, keeping where each came from.
fn hull_of_pairs(pairs: &[Pair]) -> Vec<Pair> {
    let differences: Vec<DVec2> = pairs.iter().map(|pair| pair.apart).collect();
    let from = |corner: DVec2| pairs.iter().find(|pair| pair.apart == corner).copied();
    crate::hull(&differences).into_iter().filter_map(from).collect()
}
