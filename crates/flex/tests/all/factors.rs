//! The worst instant of a motion with the shares of a sheet that bends.

use crate::laws::{STEEL, attached, bracket, made, six};
use flex::{Bending, FlexCup, Hung};
use glam::{DMat3, DVec3};
use mechanics::{
    Body, CupGroup, CupSpring, Instant, LipStrength, LoadCase, Sharing, Sweep, load, worst_case,
    worst_case_shared,
};
use std::f64::consts::TAU;

/// A body with a stated centre of gravity, which is not the sheet's own.
const BODY: Body = Body {
    mass: 11.3,
    centre: DVec3::new(330.0, 310.0, -14.0),
    inertia: DMat3::from_cols(
        DVec3::new(5.2e5, 1.1e5, 0.0),
        DVec3::new(1.1e5, 7.4e5, 0.0),
        DVec3::new(0.0, 0.0, 1.26e6),
    ),
};

fn lips(cups: &[FlexCup]) -> Vec<LipStrength> {
    let of = |c: &FlexCup| {
        let line = c.line.line();
        LipStrength {
            vacuum_force: 0.06 * line.area,
            line,
            turn: c.spring.turn,
            shape: c.line,
            friction: 0.5,
            slide_share: 0.86,
            seal_minimum: 0.0,
        }
    };
    cups.iter().map(of).collect()
}

fn cases() -> Vec<LoadCase> {
    let still = Instant::still(DVec3::new(0.0, 0.0, -9.80665));
    let sweep = Sweep {
        gravity_along: DVec3::ZERO,
        gravity_across: DVec3::ZERO,
        acceleration_along: DVec3::new(3.0, 0.0, 0.0),
        acceleration_across: DVec3::new(0.0, 3.0, 0.0),
        from: 0.0,
        to: TAU,
    };
    let turning = Instant {
        acceleration: DVec3::new(0.0, 1.0, 2.0),
        turn_rate: DVec3::new(0.5, 0.0, 1.0),
        turn_acceleration: DVec3::new(2.0, 1.0, 0.0),
        pivot: DVec3::new(-200.0, 0.0, 300.0),
        ..still
    };
    vec![LoadCase::single(still), LoadCase::swept(still, sweep), LoadCase::single(turning)]
}

fn group(cups: &[FlexCup]) -> CupGroup {
    CupGroup::new(&cups.iter().map(|c| c.spring).collect::<Vec<CupSpring>>()).unwrap()
}

#[test]
fn a_very_stiff_sheet_has_the_factors_of_a_rigid_part() {
    let cups = six();
    let stiff = Bending::Isotropic { modulus: 2.1e14, poisson: 0.3 };
    let sheet = made(&bracket(), 2.0, stiff, 7.9, &attached(), 300);
    let rigid = group(&cups);
    let flex = Hung::new(&sheet, &cups, None).unwrap().group(&rigid).unwrap();
    for case in cases() {
        let expected = worst_case(&BODY, &case, &rigid, &lips(&cups));
        let found = worst_case_shared(&BODY, &case, &flex, &lips(&cups));
        assert_eq!(found.governing, expected.governing);
        let (a, b) = (found.factor().value, expected.factor().value);
        assert!((a / b - 1.0).abs() < 1e-5, "{a} {b}");
    }
}

/// However soft the sheet, pulls, slides, tilts and twists add up to the wrench, a stated centre of gravity included.
#[test]
fn shares_of_a_soft_sheet_add_up_to_the_wrench() {
    let cups = six();
    let sheet = made(&bracket(), 0.6, STEEL, 2.4, &attached(), 300);
    let rigid = group(&cups);
    let flex = Hung::new(&sheet, &cups, None).unwrap().group(&rigid).unwrap();
    for case in cases() {
        let instant = case.at(0.7);
        let wrench = load(&BODY, &instant, DVec3::ZERO);
        let shares = flex.share_of(&instant, &wrench);
        let (mut force, mut moment) = (DVec3::ZERO, DVec3::ZERO);
        for (share, cup) in shares.iter().zip(&cups) {
            let own = share.slide.extend(-share.pull);
            force += own;
            moment += cup.spring.at.extend(0.0).cross(own) / 1e3 + share.tilt.extend(share.twist);
        }
        assert!((force - wrench.force).length() < 1e-8 * wrench.force.length());
        assert!(
            (moment - wrench.moment).length() < 1e-8 * wrench.moment.length(),
            "{moment} {}",
            wrench.moment
        );
        // The same by the figures of one load.
        let own = flex.hung().share(&[flex.load(&instant, &wrench)], &[]).unwrap().remove(0);
        for (a, b) in own.cups.iter().zip(&shares) {
            assert!((a.pull - b.pull).abs() < 1e-8 * wrench.force.length());
            assert!((a.tilt - b.tilt).length() < 1e-8 * wrench.force.length());
        }
        let differs = rigid
            .share(&wrench)
            .iter()
            .zip(&shares)
            .any(|(r, f)| (r.pull - f.pull).abs() > 0.02 * r.pull.abs());
        assert!(differs, "a soft sheet shares as a rigid one");
    }
}
