//! Positions from the datum along the lower and left edge, as plain lines and texts: no program repairs those.

use super::shape::{Anchor, Canvas, LineType, Shape};
use document::{Layout, Part};
use glam::DVec2;

/// Positions closer than this (mm) share one figure.
const SAME: f64 = 0.005;

pub(super) fn add(canvas: &mut Canvas, part: &Part, layout: &Layout, height: f64) {
    let Some(edges) = part.outline.bounds() else { return };
    let Some(around) = canvas.bounds() else { return };
    let layer = canvas.layer("DIM", 8, LineType::Continuous);
    for vertical in [false, true] {
        // Along the axis and across it, in that order.
        let axes = |p: DVec2| if vertical { p.yx() } else { p };
        let back = axes;
        let datum = axes(part.datum_at()).x;
        let cups = layout.cups.iter().map(|c| axes(c.at).x);
        let values = distinct(cups.chain([axes(edges.min).x, axes(edges.max).x, datum]).collect());
        let from = axes(around.min).y - height;
        let spots = spread(&values, 1.5 * height);
        for (value, spot) in values.iter().zip(spots) {
            let foot = from - height;
            let path =
                [(*value, from), (*value, foot), (spot, foot - 2.0 * height), (spot, foot - 2.8 * height)];
            for pair in path.windows(2).filter(|p| p[0] != p[1]) {
                let end = |(x, y): (f64, f64)| back(DVec2::new(x, y));
                canvas.add(layer, Shape::Line(end(pair[0]), end(pair[1])));
            }
            // Turned by a right angle below, level at the left: both texts end at their line.
            let across = if vertical { -height / 2.0 } else { height / 2.0 };
            let at = back(DVec2::new(spot + across, foot - 3.1 * height));
            let turn_deg = if vertical { 0.0 } else { 90.0 };
            canvas.add(
                layer,
                Shape::Text { at, height, turn_deg, says: figure(*value - datum), anchor: Anchor::Right },
            );
        }
    }
}

use glam::Vec2Swizzles;

/// Sorted, with one of those that are nearly the same.
fn distinct(mut values: Vec<f64>) -> Vec<f64> {
    values.retain(|v| v.is_finite());
    values.sort_by(f64::total_cmp);
    values.dedup_by(|b, a| *b - *a < SAME);
    values
}

/// Places for labels at least `apart` from one another, as near as can be to where they belong (least squares).
fn spread(values: &[f64], apart: f64) -> Vec<f64> {
    // Runs of labels that push each other: how many, and the mean of where they would start.
    let mut runs: Vec<(usize, f64)> = Vec::new();
    for (i, value) in values.iter().enumerate() {
        let mut run = (1usize, value - i as f64 * apart);
        while let Some(&(count, start)) = runs.last() {
            if start <= run.1 {
                break;
            }
            runs.pop();
            let all = (count + run.0) as f64;
            run = (count + run.0, (start * count as f64 + run.1 * run.0 as f64) / all);
        }
        runs.push(run);
    }
    let starts = runs.iter().flat_map(|(count, start)| std::iter::repeat_n(*start, *count));
    starts.enumerate().map(|(i, start)| start + i as f64 * apart).collect()
}

/// A length as people write it: at most three decimals, no trailing noughts.
pub(super) fn figure(value: f64) -> String {
    let text = format!("{:.3}", value + 0.0);
    let text = units::trimmed(&text);
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_keep_their_distance_and_stay_near() {
        assert_eq!(spread(&[0.0, 100.0], 10.0), [0.0, 100.0]);
        assert_eq!(spread(&[50.0, 50.1, 50.2], 10.0).map_near(), [40.1, 50.1, 60.1]);
        let crowd: Vec<f64> = (0..40).map(|i| f64::from(i * i % 17) * 3.0).collect();
        let values = distinct(crowd);
        let spots = spread(&values, 7.0);
        assert!(spots.windows(2).all(|p| p[1] - p[0] > 7.0 - 1e-9));
    }

    trait Near {
        fn map_near(self) -> Vec<f64>;
    }
    impl Near for Vec<f64> {
        fn map_near(self) -> Vec<f64> {
            self.into_iter().map(|v| (v * 1e6).round() / 1e6).collect()
        }
    }

    #[test]
    fn figures_are_short() {
        assert_eq!(figure(120.5), "120.5");
        assert_eq!(figure(-0.000_01), "0");
        assert_eq!(figure(1e3), "1000");
        assert_eq!(figure(-12.3456), "-12.346");
    }
}
