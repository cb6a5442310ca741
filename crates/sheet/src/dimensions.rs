//! Ordinate dimensions: one figure per row and column, from the datum, spread so that none lies on another.

use crate::page::{Anchor, Item, Pen, Text, Tone, Weight};
use crate::style::THIN;
use crate::text_width::{CAP_HEIGHT, text_width};
use glam::{DVec2, dvec2};

/// A position on the paper and the figure that belongs to it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ordinate {
    /// Along the axis, mm of paper.
    pub at: f64,
    pub figure: String,
    pub bold: bool,
}

/// Room beside the part for tick, jog and figure: where each begins, going away from the part.
const TICK: f64 = 1.6;
const JOG: f64 = 3.2;
const JOG_END: f64 = 6.4;
const FIGURE: f64 = 8.2;

/// How far the figures reach from the part.
pub(crate) fn reach(figures: &[Ordinate], size: f64) -> f64 {
    let widest = figures.iter().map(|o| text_width(&o.figure, weight(o.bold), size)).fold(0.0, f64::max);
    FIGURE + widest
}
fn weight(bold: bool) -> Weight {
    if bold { Weight::SemiBold } else { Weight::Regular }
}
/// Least distance between two figures' middles.
pub(crate) fn pitch(size: f64) -> f64 {
    size * 1.02
}

/// Which side of the part the figures stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// Left of the part, for y.
    Left,
    /// Under the part, for x.
    Below,
}

/// Figures along one side. `edge` is that side's place across the axis; figures stay within `from..to` along it.
pub(crate) fn draw(
    ordinates: &[Ordinate],
    side: Side,
    edge: f64,
    from: f64,
    to: f64,
    size: f64,
) -> Vec<Item> {
    let wanted: Vec<f64> = ordinates.iter().map(|o| o.at).collect();
    let placed = spread(&wanted, pitch(size), from, to);
    let at = |along: f64, away: f64| match side {
        Side::Left => dvec2(edge - away, along),
        Side::Below => dvec2(along, edge - away),
    };
    let pen = Pen::solid(THIN, Tone::Second);
    let mut items = Vec::new();
    for (ordinate, placed) in ordinates.iter().zip(placed) {
        let points: Vec<DVec2> = if (placed - ordinate.at).abs() < 0.02 {
            vec![at(ordinate.at, TICK), at(ordinate.at, FIGURE - 0.9)]
        } else {
            vec![at(ordinate.at, TICK), at(ordinate.at, JOG), at(placed, JOG_END), at(placed, FIGURE - 0.9)]
        };
        items.push(Item::Polyline { points, closed: false, pen });
        let middle = size * CAP_HEIGHT / 2.0;
        let (at, turn_deg) = match side {
            Side::Left => (at(placed - middle, FIGURE), 0.0),
            Side::Below => (at(placed + middle, FIGURE), 90.0),
        };
        items.push(Item::Text(Text {
            at,
            text: ordinate.figure.clone(),
            size,
            weight: weight(ordinate.bold),
            tone: Tone::Ink,
            anchor: Anchor::End,
            turn_deg,
        }));
    }
    items
}

/// Places nearest to the wanted ones (least squares) with at least `gap` between neighbours, within `from..to` as far
/// as they fit there; `wanted` ascending.
///
/// # Source
/// Isotonic regression by pooling adjacent violators (Barlow, Bartholomew, Bremner, Brunk, Statistical inference under
/// order restrictions, 1972, section 1.2; from memory) on the wanted places less `i·gap`; bounds by clamping.
pub(crate) fn spread(wanted: &[f64], gap: f64, from: f64, to: f64) -> Vec<f64> {
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for (index, at) in wanted.iter().enumerate() {
        pools.push((at - index as f64 * gap, 1));
        while let [.., (before, n), (last, m)] = pools[..] {
            if before <= last {
                break;
            }
            pools.truncate(pools.len() - 2);
            pools.push(((before * n as f64 + last * m as f64) / (n + m) as f64, n + m));
        }
    }
    let most = to - wanted.len().saturating_sub(1) as f64 * gap;
    pools
        .iter()
        .flat_map(|(value, count)| std::iter::repeat_n(value.min(most).max(from), *count))
        .enumerate()
        .map(|(index, at)| at + index as f64 * gap)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn leaves_alone_what_does_not_collide() {
        assert_eq!(spread(&[0.0, 5.0, 9.0], 3.0, 0.0, 20.0), [0.0, 5.0, 9.0]);
        assert_eq!(spread(&[], 3.0, 0.0, 20.0), Vec::<f64>::new());
    }
    #[test]
    fn parts_a_pair_evenly_and_stays_inside() {
        assert_eq!(spread(&[5.0, 5.0], 3.0, 0.0, 20.0), [3.5, 6.5]);
        assert_eq!(spread(&[0.0, 0.0], 3.0, 0.0, 20.0), [0.0, 3.0]);
        assert_eq!(spread(&[20.0, 20.0], 3.0, 0.0, 20.0), [17.0, 20.0]);
    }
    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn never_closer_than_the_gap_and_in_order(mut wanted in prop::collection::vec(0.0..100.0_f64, 0..40)) {
            wanted.sort_by(f64::total_cmp);
            let placed = spread(&wanted, 2.0, 0.0, 100.0);
            prop_assert_eq!(placed.len(), wanted.len());
            for pair in placed.windows(2) {
                prop_assert!(pair[1] - pair[0] > 2.0 - 1e-9);
            }
            for at in &placed {
                prop_assert!((-1e-9..=100.0 + 1e-9).contains(at));
            }
        }
        #[test]
        fn no_nudge_of_a_whole_pool_comes_nearer(wanted in prop::collection::vec(0.0..50.0_f64, 2..12), by in -0.5..0.5_f64) {
            let mut wanted = wanted;
            wanted.sort_by(f64::total_cmp);
            let placed = spread(&wanted, 3.0, -1e6, 1e6);
            let cost = |p: &[f64]| p.iter().zip(&wanted).map(|(a, b)| (a - b).powi(2)).sum::<f64>();
            let moved: Vec<f64> = placed.iter().map(|p| p + by).collect();
            prop_assert!(cost(&placed) <= cost(&moved) + 1e-9);
        }
    }
}
