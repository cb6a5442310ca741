//! Clearance against brute force, and what it promises.

use crate::common;

use common::{lip, plate, v};
use geometry::{Limit, Lip, LipShape, Loop, Outline, Segment, SoundSurface};
use glam::DVec2;
use proptest::prelude::*;
use std::sync::LazyLock;

/// How far a point is from leaving what it is on: from sound surface to the next boundary, off it (less than nought) to the
/// next sound surface. By points along every boundary and what each area says of them, one area after the other.
struct Brute {
    areas: Vec<(Loop, bool)>,
    /// Points of boundaries that have sound surface beside them.
    shores: Vec<DVec2>,
}

/// Between points along the boundaries, mm.
const STEP: f64 = 1.0;

impl Brute {
    fn new((outline, keep_outs): (Outline, Vec<Loop>)) -> Self {
        let areas: Vec<(Loop, bool)> = std::iter::once((outline.outer.clone(), true))
            .chain(outline.holes.iter().chain(&keep_outs).map(|area| (area.clone(), false)))
            .collect();
        let mut brute = Self { areas, shores: Vec::new() };
        for (area, _) in &brute.areas {
            for piece in area.segments() {
                let count = (piece.length() / STEP).ceil() as usize;
                for k in 0..count {
                    let share = (k as f64 + 0.5) / count as f64;
                    let (at, aside) = (piece.point_at(share), piece.direction_at(share).perp() * 1e-3);
                    if brute.sound(at + aside) || brute.sound(at - aside) {
                        brute.shores.push(at);
                    }
                }
            }
        }
        brute
    }

    fn sound(&self, point: DVec2) -> bool {
        self.areas.iter().all(|(area, inside)| area.contains(point) == *inside)
    }

    fn signed(&self, point: DVec2) -> f64 {
        let apart = self.shores.iter().map(|at| at.distance(point)).fold(f64::INFINITY, f64::min);
        if self.sound(point) { apart } else { -apart }
    }

    /// Smallest signed distance less depth over a grid of points of the lip.
    fn clearance(&self, lip: &Lip, steps: i32) -> f64 {
        let half = lip.shape.size() / 2.0;
        let mut least = f64::INFINITY;
        for i in -steps..=steps {
            for j in -steps..=steps {
                let local = half * v(f64::from(i), f64::from(j)) / f64::from(steps);
                let point = lip.at + DVec2::from_angle(lip.turn).rotate(local);
                let depth = lip.depth(point);
                if depth >= 0.0 {
                    least = least.min(self.signed(point) - depth);
                }
            }
        }
        least
    }
}

fn agrees((outline, keep_outs): (Outline, Vec<Loop>), brute: &Brute, lip: &Lip) -> Result<(), TestCaseError> {
    let found = SoundSurface::new(&outline, &keep_outs).clearance(lip);
    let found = found.ok_or_else(|| TestCaseError::fail("no result"))?.distance;
    let steps = 9;
    let grid = brute.clearance(lip, steps);
    // The grid misses the place by at most half a diagonal, and both distances change by at most that; the points along
    // a boundary miss the nearest by half a step.
    let miss = 2.0 * (lip.shape.size() / f64::from(2 * steps)).length() + 0.5 * STEP;
    prop_assert!(found <= grid + 0.5 * STEP, "{found} over {grid}");
    prop_assert!(found >= grid - miss, "{found} well under {grid}");
    Ok(())
}

/// A plate of which much is unsound: a strip along an edge and over a corner, areas over holes and over one another, holes
/// that cross the edge, an area within another, two that share a side.
fn patched() -> (Outline, Vec<Loop>) {
    let holes = vec![
        Loop::circle(v(200.0, 150.0), 30.0),
        Loop::circle(v(400.0, 220.0), 25.0),
        Loop::rectangle(v(100.0, 60.0), v(140.0, 90.0)),
    ];
    let keep_outs = vec![
        Loop::rectangle(v(0.0, 0.0), v(18.0, 300.0)),
        Loop::rectangle(v(-5.0, 280.0), v(120.0, 310.0)),
        Loop::regular(v(225.0, 160.0), 25.0, 6, 0.2),
        Loop::rectangle(v(215.0, 90.0), v(260.0, 150.0)),
        Loop::rectangle(v(140.0, 60.0), v(170.0, 90.0)),
        Loop::rectangle(v(105.0, 65.0), v(120.0, 80.0)),
        Loop::circle(v(330.0, 60.0), 30.0),
        Loop::circle(v(330.0, 60.0), 12.0),
        Loop::circle(v(365.0, 60.0), 20.0),
    ];
    (Outline { outer: Loop::rectangle(v(0.0, 0.0), v(400.0, 300.0)), holes }, keep_outs)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn agrees_with_brute_force(lip in lip()) {
        static BRUTE: LazyLock<Brute> = LazyLock::new(|| Brute::new(plate()));
        agrees(plate(), &BRUTE, &lip)?;
    }

    #[test]
    fn agrees_with_brute_force_where_unsound_areas_overlap(lip in lip()) {
        static BRUTE: LazyLock<Brute> = LazyLock::new(|| Brute::new(patched()));
        agrees(patched(), &BRUTE, &lip)?;
    }

    #[test]
    fn changes_no_faster_than_the_lip_moves_where_unsound_areas_overlap(
        lip in lip(), x in -5.0..5.0, y in -5.0..5.0,
    ) {
        let (outline, keep_outs) = patched();
        let surface = SoundSurface::new(&outline, &keep_outs);
        let by = v(x, y);
        let before = surface.clearance(&lip).unwrap().distance;
        let after = surface.clearance(&Lip { at: lip.at + by, ..lip }).unwrap().distance;
        prop_assert!((after - before).abs() <= by.length() + 2e-4, "{before} to {after} over {}", by.length());
    }

    #[test]
    fn changes_no_faster_than_the_lip_moves(lip in lip(), x in -5.0..5.0, y in -5.0..5.0) {
        let (outline, keep_outs) = plate();
        let surface = SoundSurface::new(&outline, &keep_outs);
        let by = v(x, y);
        let before = surface.clearance(&lip).unwrap().distance;
        let after = surface.clearance(&Lip { at: lip.at + by, ..lip }).unwrap().distance;
        prop_assert!((after - before).abs() <= by.length() + 2e-4, "{before} to {after} over {}", by.length());
    }

    #[test]
    fn points_lie_on_lip_and_boundary(lip in lip()) {
        let (outline, keep_outs) = plate();
        let found = SoundSurface::new(&outline, &keep_outs).clearance(&lip).unwrap();
        let boundary = match found.limit {
            Limit::Edge => &outline.outer,
            Limit::Hole(i) => &outline.holes[i],
            Limit::KeepOut(i) => &keep_outs[i],
        };
        prop_assert!(boundary.nearest_point(found.on_boundary).unwrap().1 < 1e-6);
        let depth = lip.depth(found.on_lip);
        prop_assert!(depth > -1e-6 && (depth < 1e-6 || found.distance < 0.0), "{depth} below the lip's line");
        prop_assert!((found.on_lip.distance(found.on_boundary) - found.distance.abs()).abs() < 1e-6);
    }

    #[test]
    fn same_after_shift_turn_and_mirror(lip in lip(), turn in -3.0..3.0, mirror: bool, x in -1e4..1e4, y in -1e4..1e4) {
        let (outline, keep_outs) = plate();
        let before = SoundSurface::new(&outline, &keep_outs).clearance(&lip).unwrap().distance;
        let moved = outline.transformed(turn, mirror, v(x, y));
        let areas: Vec<Loop> = keep_outs.iter().map(|k| k.transformed(turn, mirror, v(x, y))).collect();
        let at = Loop::polygon([lip.at]).transformed(turn, mirror, v(x, y)).vertices[0].at;
        let turned = if mirror { std::f64::consts::PI - lip.turn + turn } else { lip.turn + turn };
        let after = SoundSurface::new(&moved, &areas).clearance(&Lip { at, turn: turned, ..lip }).unwrap().distance;
        prop_assert!((before - after).abs() < 2e-4, "{before} became {after}");
    }

    #[test]
    fn positive_exactly_when_nothing_hangs_over(lip in lip()) {
        let (outline, keep_outs) = plate();
        let surface = SoundSurface::new(&outline, &keep_outs);
        let distance = surface.clearance(&lip).unwrap().distance;
        let pieces = surface.overhang(&lip);
        if distance > 1e-6 {
            prop_assert!(pieces.is_empty());
        }
        let line = lip.shape.line().length;
        let sum: f64 = pieces.iter().map(|p| p.length).sum();
        prop_assert!(sum <= line + 1e-6);
        for piece in &pieces {
            for point in &piece.points {
                prop_assert!(lip.depth(*point).abs() < 0.011);
            }
        }
        // Against counting points along the line.
        let many = 300;
        let flat = lip.outline();
        let mut off = 0.0;
        for segment in flat.segments() {
            for k in 0..many {
                if !surface.contains(segment.point_at((f64::from(k) + 0.5) / f64::from(many))) {
                    off += segment.length() / f64::from(many);
                }
            }
        }
        prop_assert!((off - sum).abs() < 0.02 * line, "{sum} against {off}");
    }
}

/// A round lip of 60 mm beside an edge along which 20 mm are unsound, by shifts along x that bring all of it onto sound
/// surface: from x = 5 it is 15 mm to the strip's end and 30 mm more, whatever the strip lies over.
#[test]
fn a_lip_hangs_over_all_unsound_areas_at_once() {
    let sheet = |holes| Outline { outer: Loop::rectangle(v(0.0, 0.0), v(400.0, 300.0)), holes };
    let strip = |from: f64, to: f64| Loop::rectangle(v(from, 0.0), v(to, 300.0));
    let lip = Lip { shape: LipShape::Round { diameter: 60.0 }, at: v(5.0, 150.0), turn: 0.0 };
    for (outline, keep_outs) in [
        // Flush with the edge, over it, in two that overlap, in two that share a side, as a hole over the edge.
        (sheet(vec![]), vec![strip(0.0, 20.0)]),
        (sheet(vec![]), vec![strip(-1.0, 20.0)]),
        (sheet(vec![]), vec![strip(-1.0, 12.0), strip(8.0, 20.0)]),
        (sheet(vec![]), vec![strip(0.0, 6.0), strip(6.0, 20.0)]),
        (sheet(vec![strip(-1.0, 20.0)]), vec![]),
        (sheet(vec![strip(1.0, 20.0)]), vec![strip(-3.0, 4.0)]),
        // Drawn a ten-thousandth short of the edge, of one another.
        (sheet(vec![]), vec![strip(1e-4, 20.0)]),
        (sheet(vec![]), vec![strip(0.0, 6.0), strip(6.0001, 20.0)]),
    ] {
        let surface = SoundSurface::new(&outline, &keep_outs);
        for (shape, turn, reach) in [
            (lip.shape, 0.0, 30.0),
            (LipShape::Long { length: 100.0, width: 60.0 }, std::f64::consts::FRAC_PI_2, 30.0),
            (LipShape::Rectangle { length: 60.0, width: 80.0, corner: 5.0 }, 0.0, 30.0),
        ] {
            let found = surface.clearance(&Lip { shape, turn, ..lip }).unwrap();
            assert!((found.distance - (5.0 - 20.0 - reach)).abs() < 2e-4, "{shape:?}: {found:?}");
            assert!((found.on_boundary.x - 20.0).abs() < 1e-6, "{found:?}");
        }
    }
    // No sound surface at all: the figure of what lies nearest, rather than none.
    let covered = SoundSurface::new(&sheet(vec![]), &[Loop::rectangle(v(-9.0, -9.0), v(409.0, 309.0))]);
    assert!(covered.clearance(&lip).unwrap().distance < -30.0);
}

#[test]
fn slides_over_an_edge_evenly() {
    let sheet = Outline::solid(Loop::rectangle(v(0.0, 0.0), v(400.0, 300.0)));
    let surface = SoundSurface::new(&sheet, &[]);
    let shapes = [
        LipShape::Round { diameter: 40.0 },
        LipShape::Long { length: 90.0, width: 30.0 },
        LipShape::Rectangle { length: 80.0, width: 50.0, corner: 8.0 },
        LipShape::Rectangle { length: 80.0, width: 50.0, corner: 0.0 },
    ];
    for shape in shapes {
        for turn in [0.0, 0.3, std::f64::consts::FRAC_PI_2, 2.5] {
            // How far the lip reaches towards the edge at x = 0.
            let reach = shape.support(DVec2::from_angle(-turn).rotate(DVec2::NEG_X));
            for k in -60..70 {
                let x = f64::from(k) * 1.5;
                let lip = Lip { shape, at: v(x, 150.0), turn };
                let found = surface.clearance(&lip).unwrap();
                assert!(
                    (found.distance - (x - reach)).abs() < 1e-6,
                    "{shape:?} turned {turn} at {x}: {found:?}"
                );
                assert_eq!(found.limit, Limit::Edge);
            }
        }
    }
}

#[test]
fn slides_over_a_slanting_edge_evenly() {
    // The middle on sound surface and an end hanging over, as well as all the rest.
    let shapes = [
        LipShape::Long { length: 90.0, width: 30.0 },
        LipShape::Rectangle { length: 80.0, width: 30.0, corner: 20.0 },
        LipShape::Rectangle { length: 80.0, width: 50.0, corner: 8.0 },
    ];
    for slant in [0.1, 0.37, 1.0, 2.0] {
        let sheet = Outline::solid(Loop::rectangle(v(0.0, 0.0), v(400.0, 300.0)));
        let surface = SoundSurface::new(&sheet.transformed(slant, false, v(7.0, -3.0)), &[]);
        for shape in shapes {
            for turn in [0.0, 0.3, 0.9, 2.5] {
                let reach = shape.support(DVec2::from_angle(-turn).rotate(DVec2::NEG_X));
                for k in -40..50 {
                    let x = f64::from(k) * 1.7;
                    let at = DVec2::from_angle(slant).rotate(v(x, 150.0)) + v(7.0, -3.0);
                    let found = surface.clearance(&Lip { shape, at, turn: turn + slant }).unwrap();
                    let wrong = (found.distance - (x - reach)).abs();
                    assert!(wrong < 1e-6, "{shape:?} turned {turn} at {x} of an edge at {slant}: {found:?}");
                }
            }
        }
    }
}

#[test]
fn a_lip_around_a_small_hole_is_negative_by_the_shift_that_clears_it() {
    let sheet = Outline {
        outer: Loop::rectangle(v(0.0, 0.0), v(400.0, 300.0)),
        holes: vec![Loop::circle(v(200.0, 150.0), 3.0)],
    };
    let surface = SoundSurface::new(&sheet, &[]);
    let at = |shape, x: f64| surface.clearance(&Lip { shape, at: v(x, 150.0), turn: 0.0 }).unwrap();
    let round = at(LipShape::Round { diameter: 40.0 }, 205.0);
    assert!((round.distance + 18.0).abs() < 1e-9); // 20 + 3 - 5
    assert_eq!(round.limit, Limit::Hole(0));
    let long = at(LipShape::Long { length: 100.0, width: 40.0 }, 205.0);
    assert!((long.distance + 23.0).abs() < 1e-6); // 20 + 3
    let square = at(LipShape::Rectangle { length: 100.0, width: 60.0, corner: 0.0 }, 190.0);
    assert!((square.distance + 33.0).abs() < 1e-6); // 30 + 3
    let beside = at(LipShape::Rectangle { length: 100.0, width: 60.0, corner: 0.0 }, 240.0);
    assert!((beside.distance + 13.0).abs() < 1e-6); // 50 + 3 - 40
}

#[test]
fn arcs_are_arcs() {
    let disc = Outline::solid(Loop::circle(v(0.0, 0.0), 100.0));
    let surface = SoundSurface::new(&disc, &[]);
    let lip = Lip { shape: LipShape::Round { diameter: 40.0 }, at: v(30.0, 40.0), turn: 0.0 };
    assert!((surface.clearance(&lip).unwrap().distance - 30.0).abs() < 1e-12);
    let long = Lip { shape: LipShape::Long { length: 100.0, width: 20.0 }, at: v(0.0, 30.0), turn: 0.0 };
    // The spine's ends are 40 out and 30 up, 50 from the centre.
    assert!((surface.clearance(&long).unwrap().distance - 40.0).abs() < 1e-12);
}

#[test]
fn answers_nothing_rather_than_a_number_that_is_none() {
    let surface = SoundSurface::new(&Outline::default(), &[]);
    let lip = Lip { shape: LipShape::Round { diameter: 40.0 }, at: v(30.0, 40.0), turn: 0.0 };
    assert_eq!(surface.clearance(&lip), None);
    assert!(surface.overhang(&lip).is_empty());
    assert_eq!(surface.rays(v(0.0, 0.0)), [None; 4]);
    let sheet = SoundSurface::new(&Outline::solid(Loop::rectangle(v(0.0, 0.0), v(9.0, 9.0))), &[]);
    assert_eq!(sheet.clearance(&Lip { at: v(f64::NAN, 0.0), ..lip }), None);
    assert_eq!(sheet.clearance(&Lip { shape: LipShape::Round { diameter: f64::INFINITY }, ..lip }), None);
}

#[test]
fn rays_reach_the_next_boundary() {
    let (outline, keep_outs) = plate();
    let surface = SoundSurface::new(&outline, &keep_outs);
    let [right, left, up, down] = surface.rays(v(60.0, 120.0));
    assert!((right.unwrap() - 35.0).abs() < 1e-9);
    assert!((left.unwrap() - 60.0).abs() < 1e-9);
    assert!((up.unwrap() - 117.0).abs() < 1e-9);
    assert!((down.unwrap() - 120.0).abs() < 1e-9);
    assert_eq!(surface.rays(v(-50.0, 400.0)), [None; 4]);
}

#[test]
fn a_ray_through_a_corner_counts_once() {
    let diamond = Loop::polygon([v(0.0, -10.0), v(10.0, 0.0), v(0.0, 10.0), v(-10.0, 0.0)]);
    let disc = Loop::circle(v(0.0, 0.0), 10.0);
    for boundary in [&diamond, &disc, &disc.reversed(), &disc.transformed(1.0, false, v(0.0, 0.0))] {
        for y in [-10.5, 0.0, 10.5] {
            for x in [-20.0, 0.0, 20.0] {
                assert_eq!(boundary.contains(v(x, y)), x == 0.0 && y == 0.0, "{x} {y}");
            }
        }
        for segment in boundary.segments() {
            let Segment::Arc { sweep, .. } = segment else { continue };
            assert!((sweep.abs() - std::f64::consts::PI).abs() < 1e-12);
        }
    }
}
