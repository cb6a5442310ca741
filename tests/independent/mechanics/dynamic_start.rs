//! Topic D, case 13: how much a sudden start adds to an acceleration.

use super::{case, cases, check, numbers};
use glam::{DMat3, DVec3};
use mechanics::{Body, Instant, LoadCase, load, sudden_start_amplification};

const RECORD: &str = include_str!("dynamic_start.json");

#[test]
fn d13_step_and_ramp_of_an_acceleration() {
    let cases = cases(RECORD, 1);
    let d13 = case(&cases, "D13");
    let found: Vec<f64> =
        numbers(&d13["inputs"]["t_rise_over_T"]).into_iter().map(sudden_start_amplification).collect();
    check("D13", "R_d", d13, &found);
}

/// The case's note: a sudden start doubles m a, not m g, when the part already hangs at rest.
#[test]
fn d13_a_sudden_lift_doubles_the_inertia_and_not_the_weight() {
    let body = Body { mass: 3.0, centre: DVec3::ZERO, inertia: DMat3::ZERO };
    let lift =
        Instant { acceleration: DVec3::new(0.0, 0.0, 2.0), ..Instant::still(DVec3::new(0.0, 0.0, -9.80665)) };
    let sudden = LoadCase::single(lift).with_inertia_times(sudden_start_amplification(0.0));
    let pull = -load(&body, &sudden.fixed, DVec3::ZERO).force.z;
    assert!((pull - 3.0 * (9.80665 + 2.0 * 2.0)).abs() < 1e-12);
}
