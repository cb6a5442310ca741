//! Lips, cups and loads for the tests.

use crate::{CupLoad, CupSpring, LipStrength};
use geometry::{LipLine, LipShape};
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

/// Two half circles of radius `r` and straights of length `straight`, by the textbook integrals.
pub(crate) fn lip(r: f64, straight: f64) -> (LipLine, LipShape) {
    let half = straight / 2.0;
    let shape = if straight > 0.0 {
        LipShape::Long { length: 2.0 * r + straight, width: 2.0 * r }
    } else {
        LipShape::Round { diameter: 2.0 * r }
    };
    // No textbook integral: held against quadrature where the lip is at home.
    let LipLine { mean_radius, radius_across, .. } = shape.line();
    let line = LipLine {
        length: TAU * r + 2.0 * straight,
        area: PI * r * r + 2.0 * r * straight,
        ix: PI * r.powi(3) + 2.0 * straight * r * r,
        iy: PI * r.powi(3) + 8.0 * half * r * r + TAU * r * half * half + straight.powi(3) / 6.0,
        mean_radius,
        radius_across,
        half_length: r + half,
        half_width: r,
    };
    (line, shape)
}

/// A lip at 60 kPa with friction 0.5 and nothing held back.
pub(crate) fn strength(r: f64, straight: f64) -> LipStrength {
    let (line, shape) = lip(r, straight);
    LipStrength {
        vacuum_force: 0.06 * line.area,
        line,
        turn: 0.0,
        shape,
        friction: 0.5,
        slide_share: 1.0,
        seal_minimum: 0.0,
    }
}

pub(crate) fn flat() -> impl Strategy<Value = DVec2> {
    [-1.0..1.0f64, -1.0..1.0f64].prop_map(DVec2::from_array)
}

pub(crate) fn solid() -> impl Strategy<Value = DVec3> {
    [-1.0..1.0f64, -1.0..1.0f64, -1.0..1.0f64].prop_map(DVec3::from_array)
}

/// Loads of a size that the lips above meet a few times.
pub(crate) fn cup_load() -> impl Strategy<Value = CupLoad> {
    (-20.0..40.0f64, flat(), flat(), -0.3..0.3f64).prop_map(|(pull, slide, tilt, twist)| CupLoad {
        pull,
        slide: slide * 15.0,
        tilt: tilt * 0.3,
        twist,
    })
}

pub(crate) fn any_strength() -> impl Strategy<Value = LipStrength> {
    (8.0..40.0f64, prop_oneof![Just(0.0), 1.0..80.0f64], -3.0..3.0f64, 0.1..1.0f64, 0.0..0.05f64).prop_map(
        |(r, straight, turn, friction, seal_minimum)| LipStrength {
            turn,
            friction,
            slide_share: 0.9,
            seal_minimum,
            ..strength(r, straight)
        },
    )
}

/// Cups within half a metre of the datum, with lips on them.
pub(crate) fn springs(cups: std::ops::Range<usize>) -> impl Strategy<Value = Vec<CupSpring>> {
    let stiff = (1.0..50.0f64, 1.0..50.0f64, 0.1..1.0f64);
    let lever = prop_oneof![Just(0.0), Just(25.0), 0.0..80.0f64];
    let one = (flat(), -3.0..3.0f64, stiff, 8.0..40.0f64, 0.0..60.0f64, lever);
    let spring = one.prop_map(|(at, turn, (axial, lateral, reduction), r, straight, lever)| {
        CupSpring::along_lip(at * 500.0, turn, axial, lateral, &lip(r, straight).0, reduction)
            .with_side_lever(lever)
    });
    prop::collection::vec(spring, cups)
}
