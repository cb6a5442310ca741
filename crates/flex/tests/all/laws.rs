//! What holds for every sheet: statics, its limits, symmetry, and that what is kept equals what is worked out anew.

use crate::record::{cup, polygon};
use flex::{Attached, Bending, FlexCup, FlexError, Footprint, Hung, Share, Sheet, SheetInput, SheetLoad};
use geometry::{LipShape, Loop, Outline};
use glam::{DMat3, DVec2, DVec3};
use mechanics::{Body, CupGroup, CupLoad, CupSpring, Instant, load};
use proptest::prelude::*;
use std::sync::Arc;

pub const STEEL: Bending = Bending::Isotropic { modulus: 210_000.0, poisson: 0.3 };

pub fn made(
    outline: &Outline,
    thickness: f64,
    bending: Bending,
    mass: f64,
    attached: &[Attached],
    corners: usize,
) -> Arc<Sheet> {
    Arc::new(Sheet::new(&SheetInput { outline, thickness, bending, mass, attached, corners }).unwrap())
}

/// A bracket with arcs, a hole and no symmetry.
pub fn bracket() -> Outline {
    Outline {
        outer: Loop {
            vertices: [
                (0., 0., 0.),
                (900., 0., 0.3),
                (900., 300., 0.),
                (500., 400., 0.),
                (480., 700., 0.2),
                (0., 650., 0.),
            ]
            .map(|(x, y, bulge)| geometry::Vertex { at: DVec2::new(x, y), bulge })
            .to_vec(),
        },
        holes: vec![Loop::circle(DVec2::new(300.0, 380.0), 55.0)],
    }
}

pub fn six() -> Vec<FlexCup> {
    let round = LipShape::Round { diameter: 50.0 };
    let long = LipShape::Long { length: 90.0, width: 35.0 };
    let of = |x: f64, y: f64, turn: f64, axial: f64, line: LipShape, lever: f64| {
        let at = DVec2::new(x, y);
        let spring =
            CupSpring::along_lip(at, turn, axial, 0.7 * axial, &line.line(), 0.8).with_side_lever(lever);
        FlexCup { spring, line }
    };
    vec![
        of(80.0, 80.0, 0.0, 12.0, round, 20.0),
        of(450.0, 90.0, 0.6, 22.0, long, 12.0),
        of(850.0, 150.0, 1.2, 15.0, long, 0.0),
        of(430.0, 450.0, 0.0, 9.0, round, 20.0),
        of(90.0, 560.0, 0.3, 14.0, round, 25.0),
        of(380.0, 620.0, -0.4, 18.0, long, 16.0),
    ]
}

fn instants() -> Vec<Instant> {
    let g = DVec3::new(0.0, 0.0, -9.80665);
    let pivot = DVec3::new(-300.0, 150.0, 400.0);
    vec![
        Instant::still(g),
        Instant { acceleration: DVec3::new(2.0, -1.0, 3.0), ..Instant::still(g) },
        Instant {
            acceleration: DVec3::new(-3.0, 1.5, 1.0),
            turn_rate: DVec3::new(0.8, -1.1, 1.5),
            turn_acceleration: DVec3::new(3.0, -2.0, 4.0),
            pivot,
            ..Instant::still(DVec3::new(3.0, -5.0, -7.5))
        },
    ]
}

pub fn attached() -> Vec<Attached> {
    let footprint = Some(Footprint { size: DVec2::new(120.0, 80.0), turn: 0.4, stiff: false });
    vec![
        Attached { mass: 1.3, at: DVec2::new(600.0, 220.0), height: -70.0, footprint: None },
        Attached { mass: 2.1, at: DVec2::new(200.0, 150.0), height: -40.0, footprint },
    ]
}

/// The rigid part of the crate below, from the same pieces.
fn rigid_shares(
    sheet: &Sheet,
    outline: &Outline,
    mass: f64,
    cups: &[FlexCup],
    instant: &Instant,
) -> Vec<CupLoad> {
    let section = geometry::section(outline).unwrap();
    let thin = geometry::MassProperties::plate(&section, 0.0, mass);
    let mut pieces = vec![(mass, section.centroid.extend(-0.5 * sheet.thickness()), thin.inertia)];
    for a in attached() {
        let own = match a.footprint {
            None => DMat3::ZERO,
            Some(f) => {
                let flat = geometry::MassProperties::block(a.mass, DVec3::ZERO, f.size.extend(0.0)).inertia;
                let turn = DMat3::from_rotation_z(f.turn);
                turn * flat * turn.transpose()
            }
        };
        pieces.push((a.mass, a.at.extend(a.height), own));
    }
    let total: f64 = pieces.iter().map(|p| p.0).sum();
    let centre = pieces.iter().map(|p| p.0 * p.1).sum::<DVec3>() / total;
    let inertia = pieces.iter().fold(DMat3::ZERO, |sum, (m, at, own)| {
        let d = *at - centre;
        let outer = DMat3::from_cols(d * d.x, d * d.y, d * d.z);
        sum + *own + *m * (DMat3::from_diagonal(DVec3::splat(d.length_squared())) - outer)
    });
    let body = Body { mass: total, centre, inertia };
    let group = CupGroup::new(&cups.iter().map(|c| c.spring).collect::<Vec<_>>()).unwrap();
    group.share(&load(&body, instant, group.centre().extend(0.0)))
}

fn sheet_load(sheet: &Sheet, cups: &[FlexCup], rigid: &[CupLoad], instant: &Instant) -> SheetLoad {
    let springs: Vec<CupSpring> = cups.iter().map(|c| c.spring).collect();
    SheetLoad::of(sheet, instant).with_slides(sheet, &springs, rigid)
}

/// Weight, acceleration, turning, masses off the sheet, side loads at their levers: a very stiff sheet shares as a rigid part.
#[test]
fn a_very_stiff_sheet_shares_as_a_rigid_part() {
    let outline = bracket();
    let stiff = Bending::Isotropic { modulus: 2.1e14, poisson: 0.3 };
    let sheet = made(&outline, 2.0, stiff, 7.5, &attached(), 400);
    let cups = six();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    for instant in instants() {
        let rigid = rigid_shares(&sheet, &outline, 7.5, &cups, &instant);
        let load = sheet_load(&sheet, &cups, &rigid, &instant);
        let found = hung.share(&[load], &[]).unwrap().remove(0);
        let pull = rigid.iter().map(|r| r.pull.abs()).fold(0.0, f64::max);
        let tilt = rigid.iter().map(|r| r.tilt.length()).fold(0.0, f64::max);
        for (own, rigid) in found.cups.iter().zip(&rigid) {
            assert!((own.pull - rigid.pull).abs() < 1e-6 * pull, "{own:?} {rigid:?}");
            assert!((own.tilt - rigid.tilt).length() < 1e-6 * tilt, "{own:?} {rigid:?}");
        }
    }
}

/// Equal panels round equal cups on a very soft sheet: each cup takes its panel's weight, as far as panels without an edge go.
#[test]
fn a_very_soft_sheet_gives_each_cup_what_lies_round_it() {
    let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(1400.0, 1400.0)));
    let soft = Bending::Isotropic { modulus: 210.0, poisson: 0.0 };
    let sheet = made(&outline, 1.0, soft, 15.4, &[], 1500);
    let place = |i: usize| DVec2::new(100.0 + 200.0 * (i % 7) as f64, 100.0 + 200.0 * (i / 7) as f64);
    let cups: Vec<FlexCup> = (0..49).map(|i| cup(place(i), 20.0, 50.0, 0.0)).collect();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    assert!(hung.relative_stiffness() > 1e4);
    let share = hung.share(&[SheetLoad::even(&sheet, 9.80665)], &[]).unwrap().remove(0);
    let panel = 15.4 * 9.80665 / 49.0;
    for row in 2..5 {
        for column in 2..5 {
            let pull = share.cups[7 * row + column].pull;
            assert!((pull / panel - 1.0).abs() < 0.05, "{row} {column}: {pull} {panel}");
        }
    }
    assert!((share.cups[24].pull / panel - 1.0).abs() < 0.02, "{} {panel}", share.cups[24].pull);
    // Rigid, every cup would take the same; here the corner differs from the middle.
    assert!((share.cups[8].pull / panel - 1.0).abs() > 0.05);
}

fn same(a: &Share, b: &Share, within: f64) {
    let largest = b.cups.iter().map(|c| c.pull.abs()).fold(0.0, f64::max);
    for (a, b) in a.cups.iter().zip(&b.cups) {
        assert!((a.pull - b.pull).abs() <= within * largest, "{a:?} {b:?}");
        assert!((a.tilt - b.tilt).length() <= within * largest, "{a:?} {b:?}");
        assert!((a.sink - b.sink).abs() <= within * b.sink.abs().max(1e-3), "{a:?} {b:?}");
    }
}

#[test]
fn a_moved_cup_solved_from_what_is_kept_equals_the_cold_solution() {
    let sheet = made(&bracket(), 1.0, STEEL, 3.9, &attached(), 700);
    let mut cups = six();
    let mut hung = Hung::new(&sheet, &cups, None).unwrap();
    let loads: Vec<SheetLoad> = instants().iter().map(|i| SheetLoad::of(&sheet, i)).collect();
    for (moved, by) in [(1, DVec2::new(7.0, -3.0)), (4, DVec2::new(-20.0, 31.0)), (1, DVec2::new(-7.0, 3.0))]
    {
        cups[moved].spring.at += by;
        hung = Hung::new(&sheet, &cups, Some(&hung)).unwrap();
        let cold = Hung::new(&sheet, &cups, None).unwrap();
        let (warm_shares, cold_shares) = (hung.share(&loads, &[]).unwrap(), cold.share(&loads, &[]).unwrap());
        for (a, b) in warm_shares.iter().zip(&cold_shares) {
            same(a, b, 1e-9);
        }
        let (a, b) = (hung.sag(&warm_shares), cold.sag(&cold_shares));
        for (a, b) in a.iter().zip(&b) {
            assert!((a.largest().0 / b.largest().0 - 1.0).abs() < 1e-9);
        }
    }
}

#[test]
fn a_lost_cup_is_as_if_it_had_never_been() {
    let sheet = made(&bracket(), 1.0, STEEL, 3.9, &[], 700);
    let cups = six();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    let load = [SheetLoad::even(&sheet, 9.80665)];
    for lost in 0..cups.len() {
        let found = hung.share(&load, &[lost]).unwrap().remove(0);
        assert_eq!(found.cups[lost].pull, 0.0);
        let mut fewer = cups.clone();
        fewer.remove(lost);
        let without = Hung::new(&sheet, &fewer, None).unwrap();
        let expected = without.share(&load, &[]).unwrap().remove(0);
        let mut left = found.clone();
        left.cups.remove(lost);
        same(&left, &expected, 1e-8);
        let sag = |h: &Hung, s: &Share| h.sag(std::slice::from_ref(s))[0].largest().0;
        assert!((sag(&hung, &found) / sag(&without, &expected) - 1.0).abs() < 1e-8);
    }
}

#[test]
fn no_load_has_no_share() {
    let hung = Hung::new(&made(&bracket(), 1.0, STEEL, 3.9, &[], 200), &six(), None).unwrap();
    let shares = hung.share(&[], &[]).unwrap();
    assert!(shares.is_empty() && hung.sag(&shares).is_empty() && hung.gaps(&shares).is_empty());
}

/// Mirrored twice: pulls, sag and frequencies of what lies mirrored agree.
#[test]
fn what_is_symmetric_comes_out_symmetric() {
    let outline = Outline {
        outer: Loop::rounded_rectangle(DVec2::new(-500.0, -300.0), DVec2::new(500.0, 300.0), 60.0),
        holes: vec![Loop::circle(DVec2::ZERO, 70.0)],
    };
    let sheet = made(&outline, 0.8, STEEL, 3.7, &[], 900);
    assert_eq!(sheet.mesh().mirrored, [true, true]);
    let cups: Vec<FlexCup> =
        [(-380., -210.), (380., -210.), (380., 210.), (-380., 210.), (0., -210.), (0., 210.)]
            .map(|at| cup(at.into(), 22.0, 14.0, 3000.0))
            .to_vec();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    let share = hung.share(&[SheetLoad::even(&sheet, 9.80665)], &[]).unwrap().remove(0);
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
    for (a, b) in [(0, 1), (0, 2), (0, 3), (4, 5)] {
        assert!(close(share.cups[a].pull, share.cups[b].pull), "{share:?}");
        assert!(close(share.cups[a].slope.x.abs(), share.cups[b].slope.x.abs()) || a == 4, "{share:?}");
    }
    let field = hung.field(&share);
    let most = field.at_corners(&sheet).iter().fold(0.0_f64, |m, w| m.max(w.abs()));
    for p in [(13.0, 280.0), (311.0, 77.0), (450.0, 250.0)].map(DVec2::from) {
        let w = field.deflection(&sheet, p).unwrap();
        for q in [DVec2::new(-p.x, p.y), DVec2::new(p.x, -p.y), -p] {
            assert!((field.deflection(&sheet, q).unwrap() - w).abs() <= 1e-9 * most, "{p} {q}");
        }
    }
}

/// What is not symmetric about the level and upright lines, such as a diagonal, is met as far as the mesh goes.
#[test]
fn a_diagonal_is_met_within_the_mesh() {
    let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(600.0, 600.0)));
    let sheet = made(&outline, 0.8, STEEL, 2.26, &[], 900);
    let cups: Vec<FlexCup> =
        [(90., 200.), (200., 90.), (510., 510.)].map(|at| cup(at.into(), 22.0, 14.0, 0.0)).to_vec();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    let share = hung.share(&[SheetLoad::even(&sheet, 9.80665)], &[]).unwrap().remove(0);
    assert!((share.cups[0].pull / share.cups[1].pull - 1.0).abs() < 1e-9); // statics
    let field = hung.field(&share);
    let w = |x: f64, y: f64| field.deflection(&sheet, DVec2::new(x, y)).unwrap();
    assert!((w(50.0, 400.0) / w(400.0, 50.0) - 1.0).abs() < 1e-3);
}

/// Twice as stiff along x, cups in two columns: it sags less than a sheet that is as soft both ways, more than a stiff one. A
/// strip across the stiff way follows the beam of that way.
#[test]
fn board_bends_by_the_stiffness_of_its_way() {
    let strip = |turn: f64| {
        let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(1000.0, 100.0)));
        let board = Bending::Orthotropic { along: 4e4, across: 1e4, poisson: 0.0, twist: None, turn };
        let sheet = made(&outline, 4.0, board, 0.2, &[], 700);
        let rigid = f64::INFINITY;
        let cups: Vec<FlexCup> = [(5.0, 25.0), (5.0, 75.0), (995.0, 25.0), (995.0, 75.0)]
            .map(|at| cup(at.into(), 1.0, rigid, 0.0))
            .to_vec();
        let hung = Hung::new(&sheet, &cups, None).unwrap();
        let share = hung.share(&[SheetLoad::even(&sheet, 9.80665)], &[]).unwrap();
        hung.sag(&share)[0].most.0
    };
    let beam = |d: f64| {
        let (l, q) = (990.0_f64, 0.2 * 9.80665 / (1000.0 * 100.0));
        5.0 / 384.0 * q * l.powi(4) / d
    };
    assert!((strip(0.0) / beam(4e4) - 1.0).abs() < 0.01, "{} {}", strip(0.0), beam(4e4));
    assert!((strip(std::f64::consts::FRAC_PI_2) / beam(1e4) - 1.0).abs() < 0.01);
}

/// A block spread over its footprint sags less than its mass in a point, and a stiff one less again.
#[test]
fn a_block_spreads_and_stiffens() {
    let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(800.0, 600.0)));
    let sag = |footprint| {
        let block = Attached { mass: 3.0, at: DVec2::new(400.0, 300.0), height: -20.0, footprint };
        let sheet = made(&outline, 1.0, STEEL, 3.768, &[block], 900);
        let cups: Vec<FlexCup> = [(100., 100.), (700., 100.), (700., 500.), (100., 500.)]
            .map(|at| cup(at.into(), 20.0, 20.0, 0.0))
            .to_vec();
        let hung = Hung::new(&sheet, &cups, None).unwrap();
        let share = hung.share(&[SheetLoad::even(&sheet, 9.80665)], &[]).unwrap();
        assert!((share[0].cups.iter().map(|c| c.pull).sum::<f64>() - 6.768 * 9.80665).abs() < 1e-8);
        hung.sag(&share)[0].most.0
    };
    let of = |stiff| Some(Footprint { size: DVec2::new(300.0, 200.0), turn: 0.0, stiff });
    let (point, spread, stiff) = (sag(None), sag(of(false)), sag(of(true)));
    assert!(spread < 0.95 * point && stiff < 0.9 * spread, "{point} {spread} {stiff}");
}

#[test]
fn one_more_cup_goes_where_the_sheet_sags_most() {
    let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(1200.0, 600.0)));
    let sheet = made(&outline, 1.0, STEEL, 5.65, &[], 900);
    let cups: Vec<FlexCup> = [(100., 80.), (1100., 80.), (1100., 520.), (100., 520.)]
        .map(|at| cup(at.into(), 25.0, 20.0, 0.0))
        .to_vec();
    let hung = Hung::new(&sheet, &cups, None).unwrap();
    let shares = hung.share(&[SheetLoad::even(&sheet, 9.80665)], &[]).unwrap();
    let more = hung.with_one_more(&shares, &cups[0], Some).unwrap().unwrap();
    assert!((more.at.x - 600.0).abs() < 60.0, "{more:?}");
    assert!(more.after < 0.55 * more.before, "{more:?}");
    assert!((more.before - hung.sag(&shares)[0].largest().0.abs()).abs() < 1e-12);
    let beside = hung.with_one_more(&shares, &cups[0], |p| (p.x < 300.0).then_some(p)).unwrap().unwrap();
    assert!(beside.at.x < 300.0 && beside.after > more.after);
    assert_eq!(hung.with_one_more(&shares, &cups[0], |_| None).unwrap(), None);
}

#[test]
fn what_no_cup_holds_is_told() {
    let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(800.0, 600.0)));
    let sheet = made(&outline, 1.0, STEEL, 3.768, &[], 300);
    let load = [SheetLoad::even(&sheet, 9.80665)];
    let on = |places: &[(f64, f64)], tilt: f64| {
        let cups: Vec<FlexCup> = places.iter().map(|at| cup((*at).into(), 20.0, 20.0, tilt)).collect();
        Hung::new(&sheet, &cups, None)
    };
    let row = on(&[(100., 300.), (400., 300.), (700., 300.)], 0.0).unwrap();
    assert_eq!(row.share(&load, &[]).unwrap_err(), FlexError::NotHeld { cups: 3 });
    assert!(on(&[(100., 300.), (400., 300.), (700., 300.)], 500.0).unwrap().share(&load, &[]).is_ok());
    assert_eq!(on(&[], 0.0).unwrap().share(&load, &[]).unwrap_err(), FlexError::NotHeld { cups: 0 });
    assert_eq!(row.share(&load, &[0, 1, 2]).unwrap_err(), FlexError::NotHeld { cups: 0 });
    let off = on(&[(100., 300.), (790., 300.)], 0.0).err().unwrap();
    assert!(matches!(off, FlexError::LipOff { cup: 1, .. }), "{off}");
    assert!(off.to_string().starts_with("the lip of cup 2 does not lie fully on the sheet"));
    assert!(matches!(on(&[(f64::NAN, 1.0)], 0.0).err().unwrap(), FlexError::BadInput { .. }));
}

#[test]
fn dishing_lies_between_its_bounds_and_grows_with_the_lip() {
    let dish = |diameter| flex::dishing(&STEEL, 0.8, &LipShape::Round { diameter }, 60.0).unwrap();
    assert!((dish(80.0).held / dish(40.0).held - 16.0).abs() < 1e-9);
    assert!(dish(40.0).free > dish(40.0).held && dish(40.0).stress_free > dish(40.0).stress_held);
    let round = dish(40.0);
    let long = flex::dishing(&STEEL, 0.8, &LipShape::Long { length: 160.0, width: 40.0 }, 60.0).unwrap();
    assert!(long.held > round.held && long.free > round.free);
    assert!(flex::dishing(&STEEL, 0.0, &LipShape::Round { diameter: 40.0 }, 60.0).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Forces and moments of the cups balance the load, whatever sheet, cups and motion; answers add up.
    #[test]
    fn cups_balance_every_load(
        width in 300.0..1500.0_f64,
        height in 250.0..1200.0_f64,
        thickness in 0.3..6.0_f64,
        places in proptest::collection::vec((0.1..0.9_f64, 0.12..0.88_f64), 3..9),
        axial in 1.0..80.0_f64,
        a in prop::array::uniform3(-6.0..6.0_f64),
        e in prop::array::uniform2(-8.0..8.0_f64),
    ) {
        let outline = polygon(&[(0., 0.), (width, 0.), (width, height), (0., height)].map(DVec2::from));
        let mass = 7.85e-6 * width * height * thickness;
        let sheet = made(&outline, thickness, STEEL, mass, &[], 200);
        let cups: Vec<FlexCup> = places
            .iter()
            .map(|(x, y)| cup(DVec2::new(x * width, y * height), 20.0, axial, 200.0 * axial))
            .collect();
        let hung = Hung::new(&sheet, &cups, None).unwrap();
        let mut instant = Instant::still(DVec3::new(0.0, 0.0, -9.80665));
        instant.acceleration = DVec3::from(a);
        instant.turn_acceleration = DVec3::new(e[0], e[1], 0.0);
        let load = SheetLoad::of(&sheet, &instant);
        let share = hung.share(std::slice::from_ref(&load), &[]).unwrap().remove(0);
        // Of the body about the origin, with its mass in the sheet's middle and none of its loads in the plane.
        let section = geometry::section(&outline).unwrap();
        let centre = section.centroid;
        let down = mass * (9.80665 + a[2] + (e[0] * centre.y - e[1] * centre.x) / 1e3);
        let pulls: f64 = share.cups.iter().map(|c| c.pull).sum();
        let scale = share.cups.iter().map(|c| c.pull.abs()).sum::<f64>().max(mass);
        prop_assert!((pulls - down).abs() <= 1e-8 * scale, "{} {}", pulls, down);
        // Moments about the origin: cups about x and y against the load's, Σ pull × place plus tilts.
        let about_y: f64 = share.cups.iter().zip(&cups).map(|(s, c)| s.pull * c.spring.at.x / 1e3 + s.tilt.y).sum();
        let rho = mass / section.area;
        let xx = section.iy + section.area * centre.x * centre.x;
        let xy = section.ixy + section.area * centre.x * centre.y;
        let expected = (mass * (9.80665 + a[2]) * centre.x + rho * (e[0] * xy - e[1] * xx) / 1e3) / 1e3;
        prop_assert!((about_y - expected).abs() <= 1e-8 * scale * width, "{} {}", about_y, expected);
        let doubled = hung.share(&[load.plus(1.0, &load)], &[]).unwrap().remove(0);
        for (one, two) in share.cups.iter().zip(&doubled.cups) {
            prop_assert!((two.pull - 2.0 * one.pull).abs() <= 1e-8 * scale);
        }
    }

    /// Stiffer sheets share more like rigid parts, frequencies never fall, and the sag of any place stays finite.
    #[test]
    fn stiffer_rings_higher(thickness in 0.4..3.0_f64, axial in 5.0..50.0_f64) {
        let outline = Outline::solid(Loop::rectangle(DVec2::ZERO, DVec2::new(900.0, 500.0)));
        let frequency = |modulus: f64| {
            let sheet = made(&outline, thickness, Bending::Isotropic { modulus, poisson: 0.3 }, 3.5, &[], 200);
            let cups: Vec<FlexCup> = [(120., 100.), (800., 120.), (760., 420.), (130., 390.)]
                .map(|at| cup(at.into(), 25.0, axial, 0.0))
                .to_vec();
            Hung::new(&sheet, &cups, None).unwrap().ring(2, &[]).unwrap().modes[0].frequency
        };
        let (soft, stiff) = (frequency(70_000.0), frequency(210_000.0));
        prop_assert!(soft <= stiff * (1.0 + 1e-9), "{} {}", soft, stiff);
    }

    /// Any outline gives figures or a sentence, and never stops the program.
    #[test]
    fn any_outline_gives_a_sheet_or_a_sentence(
        corners in proptest::collection::vec((-200.0..800.0_f64, -200.0..600.0_f64, -0.6..0.6_f64), 0..9),
        hole in (0.0..500.0_f64, 0.0..400.0_f64, 0.0..120.0_f64),
        thickness in prop_oneof![Just(0.0), Just(f64::NAN), 0.1..5.0_f64],
    ) {
        let outline = Outline {
            outer: Loop {
                vertices: corners.iter().map(|(x, y, b)| geometry::Vertex { at: DVec2::new(*x, *y), bulge: *b }).collect(),
            },
            holes: vec![Loop::circle(DVec2::new(hole.0, hole.1), hole.2)],
        };
        let input = SheetInput { outline: &outline, thickness, bending: STEEL, mass: 2.0, attached: &[], corners: 150 };
        match Sheet::new(&input) {
            Ok(sheet) => {
                prop_assert!((sheet.mass() - 2.0).abs() < 1e-9);
                let middle = sheet.mesh().points[0];
                let cups = [cup(middle, 0.001, 10.0, 10.0)];
                if let Ok(hung) = Hung::new(&Arc::new(sheet), &cups, None) {
                    let load = SheetLoad::even(hung.sheet(), 9.80665);
                    if let Ok(share) = hung.share(&[load], &[]) {
                        prop_assert!((share[0].cups[0].pull - 2.0 * 9.80665).abs() < 1e-5, "{:?}", share[0].cups);
                    }
                }
            }
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }
}
