//! Cost of the surface queries against the number of vertices of the outline.
//!
//! The outline is a disc of half a metre with a wavy edge, with ten round holes; four hundred lips lie on a grid over
//! it, so that some hang over the edge and some cover a hole.

use divan::{Bencher, black_box};
use geometry::{Lip, LipShape, Loop, Outline, SoundSurface, landing_region, section, triangulate, validate};
use glam::DVec2;

const SIZES: &[usize] = &[1_000, 3_000, 10_000, 30_000, 100_000];

fn part(vertices: usize) -> Outline {
    let step = std::f64::consts::TAU / vertices as f64;
    let edge = (0..vertices).map(|i| {
        let angle = i as f64 * step;
        (500.0 + 15.0 * (40.0 * angle).sin()) * DVec2::from_angle(angle)
    });
    let holes =
        (0..10).map(|i| Loop::circle(300.0 * DVec2::from_angle(f64::from(i) * 0.63), 20.0 + f64::from(i)));
    Outline { outer: Loop::polygon(edge), holes: holes.collect() }
}

fn lips(shape: LipShape) -> Vec<Lip> {
    (0..400)
        .map(|i| Lip {
            shape,
            at: 48.0 * DVec2::new(f64::from(i % 20) - 9.5, f64::from(i / 20) - 9.5),
            turn: f64::from(i),
        })
        .collect()
}

/// Lips all round the rim, their middles up to 60 mm off the part.
fn lips_over_the_rim(shape: LipShape) -> Vec<Lip> {
    (0..400)
        .map(|i| Lip {
            shape,
            at: (500.0 + 0.15 * f64::from(i)) * DVec2::from_angle(f64::from(i) * 0.7),
            turn: f64::from(i),
        })
        .collect()
}

fn main() {
    divan::main();
}

#[divan::bench(args = SIZES)]
fn index(bencher: Bencher, vertices: usize) {
    let part = part(vertices);
    bencher.bench(|| SoundSurface::new(black_box(&part), &[]));
}

fn clearances(bencher: Bencher, vertices: usize, shape: LipShape) {
    let surface = SoundSurface::new(&part(vertices), &[]);
    let lips = lips(shape);
    bencher.bench(|| {
        lips.iter().filter_map(|lip| surface.clearance(black_box(lip))).map(|c| c.distance).sum::<f64>()
    });
}

#[divan::bench(args = SIZES)]
fn clearance_of_400_round(bencher: Bencher, vertices: usize) {
    clearances(bencher, vertices, LipShape::Round { diameter: 40.0 });
}

#[divan::bench(args = SIZES)]
fn clearance_of_400_long(bencher: Bencher, vertices: usize) {
    clearances(bencher, vertices, LipShape::Long { length: 80.0, width: 30.0 });
}

#[divan::bench(args = SIZES)]
fn clearance_of_400_rectangles(bencher: Bencher, vertices: usize) {
    clearances(bencher, vertices, LipShape::Rectangle { length: 80.0, width: 50.0, corner: 10.0 });
}

#[divan::bench(args = SIZES)]
fn clearance_of_400_rectangles_over_the_rim(bencher: Bencher, vertices: usize) {
    let surface = SoundSurface::new(&part(vertices), &[]);
    let lips = lips_over_the_rim(LipShape::Rectangle { length: 80.0, width: 50.0, corner: 10.0 });
    bencher.bench(|| {
        lips.iter().filter_map(|lip| surface.clearance(black_box(lip))).map(|c| c.distance).sum::<f64>()
    });
}

#[divan::bench(args = SIZES)]
fn overhang_of_400_long(bencher: Bencher, vertices: usize) {
    let surface = SoundSurface::new(&part(vertices), &[]);
    let lips = lips(LipShape::Long { length: 80.0, width: 30.0 });
    bencher.bench(|| lips.iter().map(|lip| surface.overhang(black_box(lip)).len()).sum::<usize>());
}

#[divan::bench(args = &SIZES[..4])]
fn landing_of_a_round_lip(bencher: Bencher, vertices: usize) {
    let part = part(vertices);
    bencher.bench(|| landing_region(black_box(&part), &[], &LipShape::Round { diameter: 40.0 }, 0.0, 2.0));
}

#[divan::bench(args = &SIZES[..4])]
fn landing_of_a_long_lip(bencher: Bencher, vertices: usize) {
    let part = part(vertices);
    bencher.bench(|| {
        landing_region(black_box(&part), &[], &LipShape::Long { length: 80.0, width: 30.0 }, 0.4, 2.0)
    });
}

#[divan::bench(args = SIZES)]
fn section_of(bencher: Bencher, vertices: usize) {
    let part = part(vertices);
    bencher.bench(|| section(black_box(&part)));
}

#[divan::bench(args = SIZES)]
fn validation(bencher: Bencher, vertices: usize) {
    let part = part(vertices);
    bencher.bench(|| validate(black_box(&part)));
}

#[divan::bench(args = SIZES)]
fn triangulation(bencher: Bencher, vertices: usize) {
    let part = part(vertices);
    bencher.bench(|| triangulate(black_box(&part), 0.05));
}
