//! Convex hull and the signed distance to it.

use geo::ConvexHull;
use glam::DVec2;

use crate::Segment;

/// Places further out than this have no hull that doubles can tell the sides of: products of such coordinates overflow.
const FARTHEST: f64 = 1e150;

/// Convex hull of points, counter-clockwise; two points for points in line, one for a single place. Points that are not
/// numbers, or further out than any coordinate can be multiplied, are passed over.
pub fn hull(points: &[DVec2]) -> Vec<DVec2> {
    let coords: Vec<geo::Coord> =
        points.iter().filter(|p| within_reach(**p)).map(|p| geo::Coord { x: p.x, y: p.y }).collect();
    let polygon = geo::MultiPoint::from(coords).convex_hull();
    let mut corners: Vec<DVec2> = polygon.exterior().coords().map(|c| DVec2::new(c.x, c.y)).collect();
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    corners.dedup();
    if corners.len() == 3 && (corners[1] - corners[0]).perp_dot(corners[2] - corners[0]) == 0.0 {
        corners.remove(1);
    }
    corners
}

fn within_reach(p: DVec2) -> bool {
    p.is_finite() && p.abs().max_element() <= FARTHEST
}

/// Signed distance of a place to the convex hull of points, mm, positive inside. Degenerate hulls (point, line) give a
/// distance <= 0; no point at all gives minus infinity.
pub fn inside_hull(points: &[DVec2], at: DVec2) -> f64 {
    let corners = hull(points);
    if corners.is_empty() {
        return f64::NEG_INFINITY;
    }
    let mut apart = f64::INFINITY;
    let mut inside = corners.len() > 2;
    for (i, from) in corners.iter().enumerate() {
        let to = corners[(i + 1) % corners.len()];
        apart = apart.min(Segment::Line { from: *from, to }.nearest(at).distance(at));
        inside &= (to - *from).perp_dot(at - *from) >= 0.0;
    }
    if inside { apart } else { -apart }
}

/// Whether a place lies in the convex hull of points, or nearer to a line between two of them than `within`, mm. Makes no hull, so it
/// is the quicker one for few points and the slower one for many.
///
/// ```
/// use glam::DVec2;
/// let points = [(0.0, 0.0), (300.0, 0.0), (0.0, 200.0)].map(DVec2::from);
/// assert!(geometry::is_in_hull(&points, DVec2::new(90.0, 60.0), 1e-6));
/// assert!(!geometry::is_in_hull(&points, DVec2::new(290.0, 190.0), 1e-6));
/// ```
pub fn is_in_hull(points: &[DVec2], at: DVec2, within: f64) -> bool {
    // Outside, one of the points is the last as they are seen from there: all others are on one side of it.
    let last = |from: &DVec2| {
        let ray = *from - at;
        points.iter().all(|to| {
            let other = *to - at;
            let across = ray.perp_dot(other);
            let between = ray.dot(other) <= 0.0 && across.abs() <= within * ray.distance(other);
            across >= 0.0 && !between
        })
    };
    points.iter().all(|p| p.is_finite()) && !points.iter().any(last)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn with_and_without_the_hull_a_place_is_in_it_or_not(
            points in prop::collection::vec([-9..9i32, -9..9i32], 3..9),
            at in [-9..9i32, -9..9i32],
        ) {
            let point = |[x, y]: [i32; 2]| DVec2::new(f64::from(x), f64::from(y));
            let points: Vec<DVec2> = points.into_iter().map(point).collect();
            prop_assume!(hull(&points).len() > 2);
            prop_assert_eq!(is_in_hull(&points, point(at), 1e-9), inside_hull(&points, point(at)) >= -1e-9);
        }
    }

    #[test]
    fn what_cannot_be_multiplied_has_no_hull_and_holds_nothing() {
        for far in [1e308, -1e308, 1e160, f64::NAN, f64::INFINITY] {
            let points = [DVec2::new(far, far), DVec2::new(-far, far), DVec2::new(0.0, far), DVec2::ZERO];
            assert!(hull(&points).len() <= 1, "{far}");
            assert!(inside_hull(&points, DVec2::new(5.0, 5.0)) < 0.0, "{far}");
        }
    }
}
