use super::*;
use crate::samples::{lip, solid, springs};
use glam::DVec3;
use nalgebra::{Matrix6, Vector6};
use proptest::prelude::*;

fn wrench(force: DVec3, moment: DVec3) -> Wrench {
    Wrench { force, moment, about: DVec3::new(12.0, -7.0, 0.0) }
}

fn points(places: &[(f64, f64)]) -> Vec<CupSpring> {
    places.iter().map(|&(x, y)| CupSpring::point(DVec2::new(x, y), 10.0, 5.0)).collect()
}

/// What the shares add up to, about the wrench's point.
fn total(cups: &[CupSpring], loads: &[CupLoad], about: DVec3) -> Wrench {
    cups.iter().zip(loads).fold(Wrench::zero(about), |sum, (cup, load)| {
        let force = load.slide.extend(-load.pull);
        let arm = cup.at.extend(0.0) - about;
        Wrench {
            force: sum.force + force,
            moment: sum.moment + arm.cross(force) * MILLI + load.tilt.extend(load.twist),
            about,
        }
    })
}

fn close(a: &CupLoad, b: &CupLoad, size: f64) -> bool {
    (a.pull - b.pull).abs() <= size
        && (a.slide - b.slide).length() <= size
        && (a.tilt - b.tilt).length() <= size
        && (a.twist - b.twist).abs() <= size
}

#[test]
fn one_cup_takes_everything() {
    let (line, _) = lip(20.0, 0.0);
    let cup = CupSpring::along_lip(DVec2::new(100.0, 50.0), 0.3, 20.0, 10.0, &line, 0.5);
    // A round lip: k r²/2 against tilt, reduced by half, and k_l r² against twist.
    assert!((cup.tilt[0] - 0.5 * 20.0 * 400.0 / 2.0 * MILLI).abs() < 1e-12 && cup.tilt[0] == cup.tilt[1]);
    assert!((cup.twist - 10.0 * 400.0 * MILLI).abs() < 1e-12);
    let group = CupGroup::new(&[cup]).unwrap();
    let load = Wrench {
        force: DVec3::new(3.0, -4.0, -50.0),
        moment: DVec3::new(0.1, 0.2, 0.3),
        about: DVec3::new(100.0, 50.0, 0.0),
    };
    let expected =
        CupLoad { pull: 50.0, slide: DVec2::new(3.0, -4.0), tilt: DVec2::new(0.1, 0.2), twist: 0.3 };
    assert!(close(&group.share(&load)[0], &expected, 1e-12));
}

#[test]
fn two_cups_share_by_the_lever_rule_along_their_line_and_by_tilt_across_it() {
    let (line, _) = lip(20.0, 0.0);
    let cups = [-150.0, 150.0].map(|x| CupSpring::along_lip(DVec2::new(x, 0.0), 0.0, 20.0, 10.0, &line, 1.0));
    let group = CupGroup::new(&cups).unwrap();
    // 60 N hanging 30 mm off the line: each lip takes half the moment about the line.
    let load =
        Wrench { force: DVec3::new(0.0, 0.0, -60.0), moment: DVec3::ZERO, about: DVec3::new(0.0, 30.0, 0.0) };
    for share in group.share(&load) {
        assert!((share.pull - 30.0).abs() < 1e-12);
        assert!((share.tilt - DVec2::new(-60.0 * 0.030 / 2.0, 0.0)).length() < 1e-12);
    }
    // Along the line the cups' lever 150² k against their own tilt k r²/2 each.
    let load = Wrench { about: DVec3::new(75.0, 0.0, 0.0), ..load };
    let (k, tilt) = (20.0 * 150.0 * 150.0 * MILLI, cups[0].tilt[1]);
    let turn = 60.0 * 0.075 / (2.0 * k + 2.0 * tilt);
    let shares = group.share(&load);
    assert!((shares[1].pull - (30.0 + turn * 20.0 * 150.0)).abs() < 1e-9);
    assert!((shares[0].pull - (30.0 - turn * 20.0 * 150.0)).abs() < 1e-9);
    assert!((shares[0].tilt - DVec2::new(0.0, turn * tilt)).length() < 1e-12);
}

#[test]
fn a_long_lip_resists_tilt_about_its_width_more_and_turns_with_the_cup() {
    let (line, _) = lip(15.0, 60.0);
    let along_y = CupSpring::along_lip(DVec2::ZERO, std::f64::consts::FRAC_PI_2, 20.0, 10.0, &line, 1.0);
    assert!(along_y.tilt[1] > along_y.tilt[0]);
    let along_x = CupSpring { turn: 0.0, at: DVec2::new(300.0, 0.0), ..along_y };
    let cups = [along_y, along_x];
    let load = wrench(DVec3::ZERO, DVec3::new(1.0, 0.0, 0.0));
    let shares = CupGroup::new(&cups).unwrap().share(&load);
    // About x the cup that lies along y is the stiffer one.
    let ratio = shares[0].tilt.x / shares[1].tilt.x;
    assert!((ratio - along_y.tilt[1] / along_y.tilt[0]).abs() < 1e-9);
}

#[test]
fn symmetric_cups_share_alike() {
    let cups = points(&[(-100.0, -80.0), (100.0, -80.0), (100.0, 80.0), (-100.0, 80.0)]);
    let group = CupGroup::new(&cups).unwrap();
    let load = Wrench { force: DVec3::new(8.0, 0.0, -40.0), moment: DVec3::ZERO, about: DVec3::ZERO };
    for share in group.share(&load) {
        let expected = CupLoad { pull: 10.0, slide: DVec2::new(2.0, 0.0), ..CupLoad::default() };
        assert!(close(&share, &expected, 1e-12));
    }
}

/// A beam of length H between ends that stay square has 12 EI/H³ against a shift of one end, 6 EI/H² between shift and turn
/// and 4 EI/H against a turn (slope-deflection; any text on structures). The part turns and shifts three such beams; the
/// lips get what the beams' end forces are.
#[test]
fn a_tall_cup_is_a_beam_between_square_ends() {
    let (ei, tall) = (2.0e5, 60.0); // N·mm², mm
    let (shear, coupled, bend) = (12.0 * ei / 60f64.powi(3), 6.0 * ei / 3600.0, 4.0 * ei / tall);
    let cup = |x: f64, y: f64| {
        let point = CupSpring::point(DVec2::new(x, y), 30.0, shear);
        CupSpring { tilt: [ei / tall * MILLI; 2], ..point }.with_side_lever(tall / 2.0)
    };
    let cups = [cup(-100.0, 0.0), cup(100.0, 0.0), cup(0.0, 150.0)];
    let (shift, turn) = (0.4, 0.003); // mm along x, rad about y
    let each = [-100.0, 100.0, 0.0].map(|x| (30.0 * x * turn, shear * shift + coupled * turn));
    let moment = coupled * shift + bend * turn; // N·mm about y, on each lip
    let load = Wrench {
        // About the datum: the pulls' levers along x, the lips' moments, and the slides' levers along y.
        force: DVec3::new(3.0 * each[0].1, 0.0, each.iter().map(|e| -e.0).sum()),
        moment: DVec3::new(0.0, 3.0 * moment + 2.0 * 100.0 * 100.0 * 30.0 * turn, -150.0 * each[2].1) * MILLI,
        about: DVec3::ZERO,
    };
    for (share, (pull, slide)) in CupGroup::new(&cups).unwrap().share(&load).iter().zip(each) {
        assert!((share.pull - pull).abs() < 1e-9, "{share:?} {pull}");
        assert!((share.slide - DVec2::new(slide, 0.0)).length() < 1e-9, "{share:?} {slide}");
        assert!((share.tilt - DVec2::new(0.0, moment * MILLI)).length() < 1e-9, "{share:?} {moment}");
    }
}

/// What the lever adds, by statics alone: a level force at the height of the middle of the cups leaves every pull alone and
/// tilts every lip by its slide times the lever; the same force at the lips' height is tipped by that lever, and the pulls
/// carry it.
#[test]
fn side_load_on_tall_cups_tilts_the_lips_and_tips_the_part() {
    let h = 30.0;
    let cups: Vec<_> = [(-200.0, -100.0), (200.0, -100.0), (200.0, 100.0), (-200.0, 100.0)]
        .map(|(x, y)| CupSpring::point(DVec2::new(x, y), 20.0, 10.0).with_side_lever(h))
        .into();
    let group = CupGroup::new(&cups).unwrap();
    let sideways = |height: f64| Wrench {
        force: DVec3::new(40.0, 0.0, 0.0),
        moment: DVec3::ZERO,
        about: DVec3::new(0.0, 0.0, height),
    };
    // The part swings up on the side that it is dragged to, and the other side pulls more.
    for (height, pull) in [(h, 0.0), (0.0, 40.0 * h / (4.0 * 200.0))] {
        for (cup, share) in cups.iter().zip(group.share(&sideways(height))) {
            // The part is dragged towards x: the lip presses less on that side, a moment about +y.
            assert!((share.tilt - DVec2::new(0.0, 10.0 * h * MILLI)).length() < 1e-12);
            assert!((share.slide - DVec2::new(10.0, 0.0)).length() < 1e-12);
            assert!((share.pull + pull * cup.at.x.signum()).abs() < 1e-9, "{height} {share:?}");
        }
    }
    // A lone cup gets what statics gives it, whatever the lever.
    let (line, _) = lip(20.0, 0.0);
    let alone = CupSpring::along_lip(DVec2::ZERO, 0.0, 20.0, 10.0, &line, 0.5).with_side_lever(h);
    let share = CupGroup::new(&[alone]).unwrap().share(&sideways(50.0))[0];
    assert!((share.tilt - DVec2::new(0.0, 40.0 * 0.050)).length() < 1e-12, "{share:?}");
}

#[test]
fn a_free_motion_is_named() {
    let at = DVec2::new(40.0, 30.0);
    assert_eq!(CupGroup::new(&[]).unwrap_err(), GroupError::Empty);
    assert_eq!(CupGroup::new(&points(&[(40.0, 30.0)])).unwrap_err(), GroupError::AtOnePoint { at });
    assert_eq!(CupGroup::new(&points(&[(40.0, 30.0); 3])).unwrap_err(), GroupError::AtOnePoint { at });
    let row = points(&[(0.0, 0.0), (100.0, 100.0), (250.0, 250.0)]);
    let GroupError::InLine { through, direction } = CupGroup::new(&row).unwrap_err() else {
        panic!("not in line")
    };
    assert!((through - DVec2::splat(350.0 / 3.0)).length() < 1e-9);
    assert!(direction.perp_dot(DVec2::ONE).abs() < 1e-12);
    let stiff = |tilt: [f64; 2], twist: f64| CupSpring { tilt, twist, ..CupSpring::point(at, 1.0, 1.0) };
    assert_eq!(CupGroup::new(&[stiff([1.0, 1.0], 0.0)]).unwrap_err(), GroupError::TwistsFreely { at });
    let GroupError::TiltsFreely { direction, .. } = CupGroup::new(&[stiff([0.0, 1.0], 1.0)]).unwrap_err()
    else {
        panic!("does not tilt freely")
    };
    assert!(direction.perp_dot(DVec2::X).abs() < 1e-12);
    assert!(CupGroup::new(&[stiff([1.0, 1.0], 1.0)]).is_ok());
}

#[test]
fn a_lever_of_a_millionth_is_none_and_a_lever_of_a_ten_thousandth_is_one() {
    let row = |stray: f64| points(&[(-500.0, 0.0), (0.0, stray), (500.0, 0.0)]);
    assert!(matches!(CupGroup::new(&row(1e-4)), Err(GroupError::InLine { .. })));
    assert!(CupGroup::new(&row(0.1)).is_ok());
    // Cups that a turn of the layout has put at one point to within rounding.
    let near = [(1e4, 0.3), (1e4, 0.1 + 0.2), (1e4 + 1e-11, 0.3)];
    assert!(matches!(CupGroup::new(&points(&near)), Err(GroupError::AtOnePoint { .. })));
}

#[test]
fn bad_numbers_are_refused_with_their_place() {
    let good = points(&[(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)]);
    let with = |change: fn(&mut CupSpring)| {
        let mut cups = good.clone();
        change(&mut cups[1]);
        CupGroup::new(&cups).unwrap_err()
    };
    assert!(matches!(with(|c| c.axial = -1.0), GroupError::BadInput { cup: 1, what: "axial stiffness", .. }));
    assert!(matches!(with(|c| c.at.y = f64::NAN), GroupError::BadInput { cup: 1, what: "y", .. }));
    assert!(matches!(with(|c| c.twist = f64::INFINITY), GroupError::BadInput { cup: 1, .. }));
    assert!(matches!(with(|c| c.side_lever = f64::NAN), GroupError::BadInput { cup: 1, .. }));
    let none = |change: fn(&mut CupSpring)| {
        let mut cups = good.clone();
        cups.iter_mut().for_each(change);
        CupGroup::new(&cups).unwrap_err()
    };
    assert_eq!(none(|c| c.axial = 0.0), GroupError::NoPull);
    assert_eq!(none(|c| c.lateral = 0.0), GroupError::NoSlide);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn the_shares_add_up_to_the_load(cups in springs(1..30), f in solid(), m in solid()) {
        let load = wrench(f * 100.0, m * 20.0);
        let shares = CupGroup::new(&cups).unwrap().share(&load);
        let sum = total(&cups, &shares, load.about);
        prop_assert!((sum.force - load.force).length() < 1e-9 * load.force.length());
        // Moments against the load's own: its moment and its force at the reach of the cups.
        let size = load.moment.length() + 0.5 * load.force.length();
        prop_assert!((sum.moment - load.moment).length() < 1e-9 * size);
    }

    /// A general 6x6 stiffness about the datum, solved by elimination, gives the same shares.
    #[test]
    fn a_general_six_by_six_agrees(cups in springs(1..12), f in solid(), m in solid()) {
        let load = wrench(f * 100.0, m * 20.0);
        let here = load.moved_to(DVec3::ZERO);
        // Motion of the part (three shifts mm, three turns rad) to motion at a cup, by the cross product.
        let at_cup = |cup: &CupSpring| {
            let (x, y) = (cup.at.x, cup.at.y);
            let mut to = Matrix6::<f64>::identity();
            (to[(0, 5)], to[(1, 5)], to[(2, 3)], to[(2, 4)]) = (-y, x, y, -x);
            to
        };
        let spring = |cup: &CupSpring| {
            let (s, c) = cup.turn.sin_cos();
            let [a, b] = cup.tilt.map(|tilt| tilt / MILLI); // N·mm/rad
            let mut k = Matrix6::<f64>::zeros();
            (k[(0, 0)], k[(1, 1)], k[(2, 2)], k[(5, 5)]) = (cup.lateral, cup.lateral, cup.axial, cup.twist / MILLI);
            // A shift of the lip by u and a turn by t move the point at the height h by (u.x + h t.y, u.y - h t.x).
            let h = cup.side_lever;
            (k[(0, 4)], k[(4, 0)], k[(1, 3)], k[(3, 1)]) =
                (cup.lateral * h, cup.lateral * h, -cup.lateral * h, -cup.lateral * h);
            let lean = cup.lateral * h * h;
            (k[(3, 3)], k[(4, 4)]) = (a * c * c + b * s * s + lean, a * s * s + b * c * c + lean);
            k[(3, 4)] = (a - b) * s * c;
            k[(4, 3)] = k[(3, 4)];
            k
        };
        let stiffness = cups.iter().fold(Matrix6::zeros(), |sum, cup| {
            let to = at_cup(cup);
            sum + to.transpose() * spring(cup) * to
        });
        let moment = here.moment / MILLI;
        let right = Vector6::new(here.force.x, here.force.y, here.force.z, moment.x, moment.y, moment.z);
        let motion = stiffness.full_piv_lu().solve(&right).unwrap();
        for (cup, share) in cups.iter().zip(CupGroup::new(&cups).unwrap().share(&load)) {
            let g = spring(cup) * (at_cup(cup) * motion);
            let expected = CupLoad {
                pull: -g[2],
                slide: DVec2::new(g[0], g[1]),
                tilt: DVec2::new(g[3], g[4]) * MILLI,
                twist: g[5] * MILLI,
            };
            prop_assert!(close(&share, &expected, 1e-6), "{share:?} {expected:?}");
        }
    }

    #[test]
    fn shift_turn_and_order_change_nothing(
        cups in springs(2..12), f in solid(), m in solid(), turn in -3.0..3.0f64,
        x in -1e4..1e4f64, y in -1e4..1e4f64,
    ) {
        let load = wrench(f * 100.0, m * 20.0);
        let before = CupGroup::new(&cups).unwrap().share(&load);
        let (by, shift) = (glam::DMat3::from_rotation_z(turn), DVec3::new(x, y, 0.0));
        let rotate = |v: DVec2| (by * v.extend(0.0)).truncate();
        let moved: Vec<_> = cups
            .iter()
            .rev()
            .map(|cup| CupSpring { at: rotate(cup.at) + shift.truncate(), turn: cup.turn + turn, ..*cup })
            .collect();
        let moved_load =
            Wrench { force: by * load.force, moment: by * load.moment, about: by * load.about + shift };
        let after = CupGroup::new(&moved).unwrap().share(&moved_load);
        for (a, b) in before.iter().zip(after.iter().rev()) {
            let turned = CupLoad { slide: rotate(a.slide), tilt: rotate(a.tilt), ..*a };
            prop_assert!(close(&turned, b, 1e-6 * (1.0 + a.pull.abs())), "{turned:?} {b:?}");
        }
    }

    #[test]
    fn a_row_of_points_is_singular_wherever_it_lies(
        turn in -3.2..3.2f64, x in -1e4..1e4f64, y in -1e4..1e4f64,
        places in prop::collection::vec(-500.0..500.0f64, 2..9),
    ) {
        prop_assume!(places.iter().any(|p| (p - places[0]).abs() > 5.0));
        let along = DVec2::from_angle(turn);
        let row: Vec<_> =
            places.iter().map(|&p| CupSpring::point(DVec2::new(x, y) + p * along, 10.0, 5.0)).collect();
        let error = CupGroup::new(&row).unwrap_err();
        let in_line = matches!(&error, GroupError::InLine { direction, .. } if direction.perp_dot(along).abs() < 1e-6);
        prop_assert!(in_line, "{error}");
    }

    /// Clapeyron: no other share in balance stores less energy in the springs.
    #[test]
    fn no_other_share_in_balance_stores_less_energy(seed in prop::collection::vec(-1.0..1.0f64, 5)) {
        let cups = points(&[(0.0, 0.0), (300.0, 10.0), (280.0, 210.0), (-20.0, 190.0), (140.0, 90.0)]);
        let load = wrench(DVec3::new(0.0, 0.0, -70.0), DVec3::new(1.0, 2.0, 0.0));
        let shares = CupGroup::new(&cups).unwrap().share(&load);
        // A self-balanced disturbance of the pulls: the seed less its share as a load on the same cups.
        let disturbing = cups.iter().zip(&seed).fold(Wrench::zero(DVec3::ZERO), |sum, (cup, &d)| {
            let force = DVec3::new(0.0, 0.0, -d);
            Wrench { force: sum.force + force, moment: sum.moment + cup.at.extend(0.0).cross(force) * MILLI, ..sum }
        });
        let plain = CupGroup::new(&cups).unwrap().share(&disturbing);
        let energy = |pulls: &mut dyn Iterator<Item = f64>| pulls.map(|p| p * p).sum::<f64>();
        let least = energy(&mut shares.iter().map(|s| s.pull));
        let other = energy(&mut shares.iter().zip(&seed).zip(&plain).map(|((s, d), p)| s.pull + d - p.pull));
        prop_assert!(other >= least - 1e-9);
    }
}
