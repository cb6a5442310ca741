//! Topic E, case 12: weight along and across the cups' axis under tilt.

use super::{case, cases, check, number, numbers};
use glam::{DMat3, DVec3};
use mechanics::{Body, Instant, gravity_when_tilted, load};

const RECORD: &str = include_str!("weight_split.json");

#[test]
fn e12_weight_under_tilt() {
    let cases = cases(RECORD, 1);
    let e12 = case(&cases, "E12");
    let inputs = &e12["inputs"];
    let body = Body { mass: number(&inputs["mass_kg"]), centre: DVec3::ZERO, inertia: DMat3::ZERO };
    for toward in [0.0, 1.0, -2.5_f64] {
        let forces: Vec<DVec3> = numbers(&inputs["tilt_deg"])
            .into_iter()
            .map(|tilt| {
                let gravity = gravity_when_tilted(number(&inputs["g_m_s2"]), tilt.to_radians(), toward);
                load(&body, &Instant::still(gravity), DVec3::ZERO).force
            })
            .collect();
        check("E12", "normal_N", e12, &forces.iter().map(|force| -force.z).collect::<Vec<_>>());
        let in_plane: Vec<f64> = forces.iter().map(|force| force.truncate().length()).collect();
        check("E12", "in_plane_N", e12, &in_plane);
        // All of it towards the side that is lowest.
        for (force, size) in forces.iter().zip(in_plane) {
            assert!((force.x * toward.cos() + force.y * toward.sin() - size).abs() < 1e-9);
        }
    }
}
