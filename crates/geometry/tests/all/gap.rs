//! The gap between two lips against brute force, and what it promises.

use crate::common;

use common::{lip, v};
use geometry::{Lip, LipShape, gap};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn agrees_with_points_along_both_lines(a in lip(), b in lip()) {
        let (found, on_a, on_b) = gap(&a, &b);
        prop_assert!((on_a.distance(on_b) - found.abs()).abs() < 1e-9);
        let deepest = b.outline().flatten(0.01).iter().map(|p| a.depth(*p))
            .chain(a.outline().flatten(0.01).iter().map(|p| b.depth(*p)))
            .fold(f64::NEG_INFINITY, f64::max);
        if found > 0.02 {
            let dense = |l: &Lip| l.outline().segments().flat_map(|s| (0..300).map(move |k| s.point_at(f64::from(k) / 300.0))).collect::<Vec<_>>();
            let least = dense(&b).iter().map(|p| -a.depth(*p)).fold(f64::INFINITY, f64::min);
            prop_assert!(found <= least + 1e-9 && found > least - 0.5, "{found} against {least}");
            prop_assert!(deepest < 0.0);
        }
        if deepest > 0.02 {
            prop_assert!(found < 0.0, "{found} though {deepest} deep");
        }
    }

    #[test]
    fn is_the_shift_that_brings_them_to_touch(a in lip(), b in lip()) {
        let (found, on_a, on_b) = gap(&a, &b);
        let touching = Lip { at: b.at + (on_a - on_b), ..b };
        prop_assert!(gap(&a, &touching).0.abs() < 1e-6, "{found} left {}", gap(&a, &touching).0);
        let (back, ..) = gap(&b, &a);
        prop_assert!((back - found).abs() < 1e-9);
    }

    #[test]
    fn changes_no_faster_than_a_lip_moves(a in lip(), b in lip(), x in -3.0..3.0, y in -3.0..3.0) {
        let moved = Lip { at: b.at + v(x, y), ..b };
        prop_assert!((gap(&a, &b).0 - gap(&a, &moved).0).abs() <= v(x, y).length() + 1e-9);
    }
}

#[test]
fn crossed_long_lips_part_by_the_shorter_way() {
    let shape = LipShape::Long { length: 100.0, width: 20.0 };
    let a = Lip { shape, at: v(0.0, 0.0), turn: 0.0 };
    let b = Lip { shape, at: v(0.0, 30.0), turn: std::f64::consts::FRAC_PI_2 };
    // Spines cross 10 from the upright one's lower end: up by 10 and both half widths.
    assert!((gap(&a, &b).0 + 30.0).abs() < 1e-9);
    let same = gap(&a, &a);
    assert!((same.0 + 20.0).abs() < 1e-9, "{same:?}");
    assert!((same.1.distance(same.2) - 20.0).abs() < 1e-9);
}

#[test]
fn a_lip_inside_another_overlaps() {
    let large = Lip {
        shape: LipShape::Rectangle { length: 100.0, width: 60.0, corner: 10.0 },
        at: v(0.0, 0.0),
        turn: 0.0,
    };
    let small = Lip { shape: LipShape::Round { diameter: 10.0 }, at: v(0.0, 5.0), turn: 0.0 };
    // Out over the nearer long side: 30 - 5 + 5.
    assert!((gap(&large, &small).0 + 30.0).abs() < 1e-9);
}
