//! A steel sheet on 24 cups through 12 motions: from nothing, with one cup moved, and its ringing.
//!
//! Nodes are corners of triangles and middles of their sides: a thousand corners are some 4,000 nodes and 6,000 unknowns.

#![allow(clippy::expect_used, reason = "a benchmark whose sheet does not come about has nothing to time")]

use divan::{Bencher, black_box};
use flex::{Bending, FlexCup, Hung, Sheet, SheetInput, SheetLoad, Stroke};
use geometry::{LipShape, Loop, Outline};
use glam::{DVec2, DVec3};
use mechanics::{CupSpring, Instant, MoveProfile};
use std::sync::Arc;

fn main() {
    divan::main();
}

/// Corners of the mesh: the usual count, and the one of 12,000 unknowns.
const CORNERS: [usize; 2] = [1_000, 2_000];

fn outline() -> Outline {
    Outline {
        outer: Loop::rounded_rectangle(DVec2::ZERO, DVec2::new(1500.0, 900.0), 40.0),
        holes: vec![
            Loop::circle(DVec2::new(490.0, 450.0), 90.0),
            Loop::circle(DVec2::new(1010.0, 455.0), 60.0),
        ],
    }
}

fn sheet(outline: &Outline, corners: usize) -> Arc<Sheet> {
    let bending = Bending::Isotropic { modulus: 210_000.0, poisson: 0.3 };
    let input = SheetInput { outline, thickness: 1.0, bending, mass: 10.2, attached: &[], corners };
    Arc::new(Sheet::new(&input).expect("a plain sheet"))
}

fn cups() -> Vec<FlexCup> {
    let line = LipShape::Round { diameter: 50.0 };
    let at = |i: usize| DVec2::new(100.0 + 260.0 * (i % 6) as f64, 90.0 + 240.0 * (i / 6) as f64);
    (0..24)
        .map(|i| {
            let spring = CupSpring::along_lip(at(i), 0.0, 20.0, 10.0, &line.line(), 1.0);
            FlexCup { spring, line }
        })
        .collect()
}

fn loads(sheet: &Sheet) -> Vec<SheetLoad> {
    (0..12)
        .map(|i| {
            let mut instant = Instant::still(DVec3::new(0.0, 0.0, -9.80665));
            instant.acceleration = DVec3::new(1.0, 0.5 * f64::from(i), 0.3 * f64::from(i));
            instant.turn_acceleration = DVec3::new(0.1 * f64::from(i), 0.5, 0.0);
            SheetLoad::of(sheet, &instant)
        })
        .collect()
}

/// All that is shown of every motion: pulls, sag and where, gaps at the lips; the field of one.
fn figures(hung: &Hung, loads: &[SheetLoad]) -> f64 {
    let shares = hung.share(loads, &[]).expect("held");
    let sag = hung.sag(&shares);
    let gaps = hung.gaps(&shares);
    let field = hung.field(&shares[0]);
    shares[0].cups[0].pull + sag[0].most.0 + gaps[0][0] + field.at_corners(hung.sheet())[0]
}

#[divan::bench(args = CORNERS)]
fn mesh(bencher: Bencher, corners: usize) {
    let outline = outline();
    bencher.bench_local(|| flex::Mesh::new(black_box(&outline), corners, &[]));
}

#[divan::bench(args = CORNERS)]
fn mesh_and_factor(bencher: Bencher, corners: usize) {
    let outline = outline();
    bencher.bench_local(|| sheet(black_box(&outline), corners));
}

#[divan::bench(args = CORNERS)]
fn first_time(bencher: Bencher, corners: usize) {
    let outline = outline();
    let cups = cups();
    bencher.bench_local(|| {
        let sheet = sheet(black_box(&outline), corners);
        let hung = Hung::new(&sheet, &cups, None).expect("lips on the sheet");
        figures(&hung, &loads(&sheet))
    });
}

#[divan::bench(args = CORNERS)]
fn moved_cup(bencher: Bencher, corners: usize) {
    let outline = outline();
    let sheet = sheet(&outline, corners);
    let loads = loads(&sheet);
    let mut cups = cups();
    let mut hung = Hung::new(&sheet, &cups, None).expect("lips on the sheet");
    bencher.bench_local(|| {
        cups[7].spring.at.x += 0.1;
        hung = Hung::new(&sheet, &cups, Some(&hung)).expect("lips on the sheet");
        figures(&hung, &loads)
    });
}

#[divan::bench(args = CORNERS)]
fn lost_cup(bencher: Bencher, corners: usize) {
    let sheet = sheet(&outline(), corners);
    let loads = loads(&sheet);
    let hung = Hung::new(&sheet, &cups(), None).expect("lips on the sheet");
    bencher.bench_local(|| hung.share(&loads, black_box(&[5])).expect("held").len());
}

/// Three modes on 24 cups with equal fields between, whose lowest frequencies stand close together: slow to tell apart. Of the sheet's first ringing: its mass is worked out with them.
#[divan::bench(args = CORNERS)]
fn three_modes_first_time(bencher: Bencher, corners: usize) {
    let outline = outline();
    let cups = cups();
    bencher
        .with_inputs(|| Hung::new(&sheet(&outline, corners), &cups, None).expect("lips on the sheet"))
        .bench_local_values(|hung| hung.ring(3, &[]).expect("settles").modes[0].frequency);
}

#[divan::bench(args = CORNERS)]
fn three_modes(bencher: Bencher, corners: usize) {
    let sheet = sheet(&outline(), corners);
    let hung = Hung::new(&sheet, &cups(), None).expect("lips on the sheet");
    bencher.bench_local(|| hung.ring(3, &[]).expect("settles").modes[0].frequency);
}

/// On eight of the cups: frequencies stand further apart.
#[divan::bench(args = CORNERS)]
fn three_modes_on_eight_cups(bencher: Bencher, corners: usize) {
    let sheet = sheet(&outline(), corners);
    let cups: Vec<FlexCup> = cups().into_iter().step_by(3).collect();
    let hung = Hung::new(&sheet, &cups, None).expect("lips on the sheet");
    bencher.bench_local(|| hung.ring(3, &[]).expect("settles").modes[0].frequency);
}

#[divan::bench(args = CORNERS)]
fn what_a_stroke_leaves(bencher: Bencher, corners: usize) {
    let sheet = sheet(&outline(), corners);
    let hung = Hung::new(&sheet, &cups(), None).expect("lips on the sheet");
    let ring = hung.ring(3, &[]).expect("settles");
    let stroke = Stroke { profile: MoveProfile::Quintic, length: 800.0, time: 0.9 };
    bencher.bench_local(|| hung.response(&ring, black_box(&stroke), 0.01, 0.5).expect("a stroke").left);
}

#[divan::bench(args = CORNERS)]
fn moments_of_a_field(bencher: Bencher, corners: usize) {
    let sheet = sheet(&outline(), corners);
    let hung = Hung::new(&sheet, &cups(), None).expect("lips on the sheet");
    let shares = hung.share(&loads(&sheet), &[]).expect("held");
    bencher.bench_local(|| hung.field(&shares[0]).moments(&sheet).at_corners()[0].largest());
}
