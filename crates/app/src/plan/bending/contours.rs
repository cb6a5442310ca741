//! Contour lines over triangles.

use analysis::SagMap;
use glam::DVec2;

/// Steps of about an even count between the least and the largest figure: 1, 2 or 5 times a power of ten.
pub(super) fn step(span: f64, about: f64) -> f64 {
    let rough = span / about;
    if !(rough.is_finite() && rough > 0.0) {
        return 0.0;
    }
    let power = 10f64.powf(rough.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0].into_iter().find(|times| times * power >= rough).unwrap_or(10.0);
    times * power
}

/// Pieces of the line of one figure, triangle by triangle.
pub(super) fn line(map: &SagMap, values: &[f64], level: f64) -> Vec<[DVec2; 2]> {
    let mut pieces = Vec::new();
    for corners in &map.triangles {
        let at = corners.map(|corner| map.points[corner as usize]);
        let over = corners.map(|corner| values[corner as usize] - level);
        let mut ends = [DVec2::ZERO; 3];
        let mut count = 0;
        for (a, b) in [(0, 1), (1, 2), (2, 0)] {
            // A corner on the line counts as above it, so that the line neither ends nor doubles there.
            if (over[a] < 0.0) != (over[b] < 0.0) {
                ends[count] = at[a].lerp(at[b], over[a] / (over[a] - over[b]));
                count += 1;
            }
        }
        if count == 2 {
            pieces.push([ends[0], ends[1]]);
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        assert_eq!(
            [step(3.2, 6.0), step(9.0, 6.0), step(0.07, 6.0)].map(|s| (s * 1e6).round()),
            [1e6, 2e6, 2e4]
        );
        assert_eq!(step(0.0, 6.0), 0.0);
    }

    /// Over a plane the line of a figure is straight and as long as the square is wide.
    #[test]
    fn a_plane_has_straight_lines() {
        let points = vec![DVec2::ZERO, DVec2::X, DVec2::ONE, DVec2::Y];
        let map = SagMap { points, triangles: vec![[0, 1, 2], [0, 2, 3]] };
        let values: Vec<f64> = map.points.iter().map(|p| 2.0 * p.y).collect();
        let pieces = line(&map, &values, 0.5);
        let length: f64 = pieces.iter().map(|[a, b]| a.distance(*b)).sum();
        assert!((length - 1.0).abs() < 1e-12 && pieces.iter().flatten().all(|p| (p.y - 0.25).abs() < 1e-12));
        assert!(line(&map, &values, 3.0).is_empty());
    }
}
