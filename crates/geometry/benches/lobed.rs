//! Clearances and the landing region on a lobed blank with two elliptical holes, for comparison with other libraries on
//! the same outline and number of cups.

use divan::{Bencher, black_box};
use geometry::{Lip, LipShape, Loop, Outline, SoundSurface, landing_region};
use glam::DVec2;
use std::f64::consts::TAU;

/// Vertices of the outer boundary, cups.
const SIZES: [(usize, usize); 3] = [(1_000, 24), (5_000, 200), (10_000, 400)];
const LIP: LipShape = LipShape::Round { diameter: 50.0 };

fn main() {
    divan::main();
}

fn part(vertices: usize) -> Outline {
    let around = |count: usize| (0..count).map(move |i| TAU * i as f64 / count as f64);
    let outer = Loop::polygon(around(vertices).map(|t| {
        let r = 800.0 * (1.0 + 0.15 * (7.0 * t).sin() + 0.02 * (90.0 * t).sin());
        DVec2::new(1.4 * r * t.cos(), r * t.sin())
    }));
    let holes = [(-400.0, 0.0), (400.0, 100.0)]
        .map(|(x, y)| {
            Loop::polygon(around(100).map(|a| DVec2::new(200.0 * a.cos() + x, 120.0 * a.sin() + y)))
        })
        .into();
    Outline { outer, holes }
}

/// Spread evenly over the part and a little beyond it, without a pattern (additive recurrence of the plastic number).
fn lips(count: usize) -> Vec<Lip> {
    (0..count)
        .map(|i| {
            let share = DVec2::new(0.754_877_666_246_693, 0.569_840_290_998_053) * i as f64;
            let at = (share - share.floor() - 0.5) * DVec2::new(2200.0, 1600.0);
            Lip { shape: LIP, at, turn: 0.0 }
        })
        .collect()
}

#[divan::bench(args = SIZES)]
fn clearances(bencher: Bencher, (vertices, cups): (usize, usize)) {
    let surface = SoundSurface::new(&part(vertices), &[]);
    let lips = lips(cups);
    bencher.bench(|| {
        lips.iter().filter_map(|lip| surface.clearance(black_box(lip))).map(|c| c.distance).sum::<f64>()
    });
}

#[divan::bench(args = SIZES)]
fn landing(bencher: Bencher, (vertices, _): (usize, usize)) {
    let part = part(vertices);
    bencher.bench(|| landing_region(black_box(&part), &[], &LIP, 0.0, 0.0));
}
