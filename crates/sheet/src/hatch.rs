//! Hatching worked out as lines, so that no writer needs to clip.

use crate::page::{Item, Pen, Tone};
use glam::DVec2;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

/// Directions and spacing of hatching.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pattern {
    pub angles: &'static [f64],
    /// mm between lines.
    pub step: f64,
}

/// Areas where no lip may land.
pub(crate) const KEEP_OUT: Pattern = Pattern { angles: &[FRAC_PI_4], step: 1.7 };

/// Of the zones in their order; patterns come again when there are more zones, with wider steps.
pub(crate) fn of_zone(index: usize) -> Pattern {
    const ANGLES: [&[f64]; 6] = [
        &[FRAC_PI_4],
        &[0.0],
        &[PI - FRAC_PI_4],
        &[FRAC_PI_2],
        &[FRAC_PI_4, PI - FRAC_PI_4],
        &[0.0, FRAC_PI_2],
    ];
    Pattern { angles: ANGLES[index % ANGLES.len()], step: 0.85 * (1.0 + 0.7 * (index / ANGLES.len()) as f64) }
}

/// No paper reaches as far, mm: nothing is hatched beyond, however far away a corner lies.
const FARTHEST: f64 = 4000.0;

/// Lines of a pattern inside closed shapes, even-odd, so that a shape inside another is left clear. Lines hang on one
/// grid of the page, so that neighbouring areas line up.
pub(crate) fn lines(shapes: &[Vec<DVec2>], pattern: Pattern, tone: Tone) -> Vec<Item> {
    let pen = Pen::solid(0.12, tone);
    let mut items = Vec::new();
    for angle in pattern.angles {
        let along = DVec2::from_angle(*angle);
        let across = along.perp();
        let corners = shapes.iter().flatten();
        let (low, high) = corners
            .map(|p| p.dot(across))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
        let (low, high) = (low.max(-FARTHEST), high.min(FARTHEST));
        if !(low.is_finite() && high.is_finite()) {
            continue;
        }
        let mut index = (low / pattern.step).ceil() as i64;
        while index as f64 * pattern.step < high {
            let level = index as f64 * pattern.step;
            let mut cuts: Vec<f64> =
                shapes.iter().flat_map(|shape| crossings(shape, along, across, level)).collect();
            cuts.sort_by(f64::total_cmp);
            for pair in cuts.chunks_exact(2).filter(|pair| pair[1] - pair[0] > 0.15) {
                let at = |t: f64| along * t.clamp(-FARTHEST, FARTHEST) + across * level;
                items.push(Item::Line { from: at(pair[0]), to: at(pair[1]), pen });
            }
            index += 1;
        }
    }
    items
}

/// Where a line at a level crosses a closed shape, as places along it.
fn crossings(shape: &[DVec2], along: DVec2, across: DVec2, level: f64) -> Vec<f64> {
    (0..shape.len())
        .filter_map(|index| {
            let (a, b) = (shape[index], shape[(index + 1) % shape.len()]);
            let (da, db) = (a.dot(across) - level, b.dot(across) - level);
            ((da > 0.0) != (db > 0.0)).then(|| (a + (b - a) * (da / (da - db))).dot(along))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::dvec2;
    use proptest::prelude::*;

    fn square(side: f64) -> Vec<DVec2> {
        vec![dvec2(0.0, 0.0), dvec2(side, 0.0), dvec2(side, side), dvec2(0.0, side)]
    }
    #[test]
    fn a_corner_far_away_costs_no_more_than_paper() {
        for far in [1e6, 1e30, -1e308] {
            let shape = vec![dvec2(0.0, 0.0), dvec2(10.0, 0.0), dvec2(10.0, 10.0), dvec2(0.0, far)];
            let drawn = lines(&[shape], KEEP_OUT, Tone::Second);
            assert!(drawn.len() < 10_000, "{far} {}", drawn.len());
        }
    }
    #[test]
    fn level_lines_fill_a_square_and_leave_its_hole() {
        let pattern = Pattern { angles: &[0.0], step: 2.0 };
        let hole: Vec<DVec2> = square(4.0).iter().map(|p| *p + 3.0).collect();
        let drawn = lines(&[square(10.0), hole], pattern, Tone::Second);
        // Levels 0 (the lower edge), 2, 8 are whole; 4 and 6 are cut by the hole into two pieces each.
        assert_eq!(drawn.len(), 7, "{drawn:?}");
    }
    #[test]
    fn the_first_zones_differ() {
        for a in 0..12 {
            for b in 0..a {
                assert_ne!(of_zone(a), of_zone(b), "zones {a} and {b}");
            }
        }
    }
    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]
        #[test]
        fn never_leaves_a_disc(x in -50.0..50.0_f64, y in -50.0..50.0_f64, r in 0.5..20.0_f64, zone in 0..8_usize) {
            let centre = dvec2(x, y);
            let disc: Vec<DVec2> = (0..48)
                .map(|i| centre + DVec2::from_angle(f64::from(i) * std::f64::consts::TAU / 48.0) * r)
                .collect();
            for item in lines(&[disc], of_zone(zone), Tone::Second) {
                let Item::Line { from, to, .. } = item else { panic!("not a line") };
                prop_assert!(from.distance(centre) < r + 1e-9 && to.distance(centre) < r + 1e-9);
            }
        }
    }
}
