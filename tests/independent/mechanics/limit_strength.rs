//! Topic C: largest load of a group, however the cups share it.
//!
//! Our factor follows the springs' share until the first lip fails, so it can never promise more: at the largest load
//! of every case some lip is at its limit or beyond, a factor of at most 1. Where the springs' share happens to be the
//! best one the factor is 1 exactly. The wrench acts on the part and so, by the part, on the cups: our signs.

use super::{case, cases, number, numbers, points};
use geometry::{LipLine, LipShape};
use glam::DVec3;
use mechanics::{CupGroup, CupSpring, LipStrength, Wrench};
use serde_json::Value;
use std::f64::consts::PI;

const RECORD: &str = include_str!("limit_strength.json");
const COUNT: usize = 9;

/// A round line; point contacts get one as well, which springs without tilt and twist never load.
fn ring(radius: f64) -> (LipLine, LipShape) {
    let second = PI * radius.powi(3);
    let line = LipLine {
        length: 2.0 * PI * radius,
        area: PI * radius * radius,
        ix: second,
        iy: second,
        mean_radius: radius,
        radius_across: radius / 2.0,
        half_length: radius,
        half_width: radius,
    };
    (line, LipShape::Round { diameter: 2.0 * radius })
}

fn wrench(fixed: &[f64], scaled: &[f64], times: f64) -> Wrench {
    let part = |i: usize| fixed[i] + times * scaled[i];
    Wrench {
        force: DVec3::new(part(0), part(1), part(2)),
        moment: DVec3::new(part(3), part(4), part(5)) * 1e-3,
        about: DVec3::ZERO,
    }
}

/// The first lip's factor under the fixed wrench plus `times` the scaled one; `None` for contacts that springs without tilt and
/// twist leave free to turn: one cup, two cups.
fn factor(case: &Value, times: f64) -> Option<f64> {
    let inputs = &case["inputs"];
    let (forces, frictions) = (numbers(&inputs["F_N"]), numbers(&inputs["mu"]));
    let rings = inputs["ring_radius_mm"].as_array().map(|radii| radii.iter().map(number).collect::<Vec<_>>());
    let mut springs = Vec::new();
    let mut strengths = Vec::new();
    for (i, at) in points(&inputs["xy_mm"]).into_iter().enumerate() {
        let (line, shape) = ring(rings.as_ref().map_or(1.0, |radii| radii[i]));
        let point = CupSpring::point(at, 10.0, 10.0);
        springs.push(match &rings {
            // Without tilt: these contacts carry none.
            Some(_) => {
                CupSpring { twist: CupSpring::along_lip(at, 0.0, 10.0, 10.0, &line, 0.0).twist, ..point }
            }
            None => point,
        });
        strengths.push(LipStrength {
            vacuum_force: forces[i],
            line,
            turn: 0.0,
            shape,
            friction: frictions[i],
            slide_share: 1.0,
            seal_minimum: 0.0,
        });
    }
    let load = wrench(&numbers(&inputs["wrench_fixed"]), &numbers(&inputs["wrench_w"]), times);
    let loads = CupGroup::new(&springs).ok()?.share(&load);
    let factors = loads.iter().zip(&strengths).map(|(load, lip)| lip.factor(load).value);
    Some(factors.fold(f64::INFINITY, f64::min))
}

#[test]
fn the_first_lip_never_promises_more_than_any_share_can_carry() {
    let mut limited = 0;
    for case in cases(RECORD, COUNT) {
        let Some(limit) = case["expected"]["lambda_max"]["value"].as_f64() else { continue };
        let Some(found) = factor(&case, limit) else { continue };
        assert!(found > 0.0 && found <= 1.0 + 1e-5, "{}: {found}", case["id"]);
        limited += 1;
    }
    assert_eq!(limited, 6);
}

#[test]
fn it_promises_as_much_where_the_springs_share_best() {
    let cases = cases(RECORD, COUNT);
    // Rows that release at once; three cups, which statics alone decides.
    for id in ["C2", "C3", "C5"] {
        let case = case(&cases, id);
        let found = factor(case, number(&case["expected"]["lambda_max"]["value"])).unwrap();
        assert!((found - 1.0).abs() < 1e-5, "{id}: {found}");
    }
    // Friction: the upper row is unloaded by tipping and slides first, 150 N/(7.5 N + 25 N/0.5) against 3.0.
    let hanging = factor(case(&cases, "C6"), 1.0).unwrap();
    assert!((hanging - 150.0 / 57.5).abs() < 1e-9, "{hanging}");
}

#[test]
fn c13_a_weight_that_is_too_much_has_a_factor_below_one() {
    let cases = cases(RECORD, COUNT);
    let infeasible = case(&cases, "C13");
    assert_eq!(infeasible["expected"]["status"]["value"], "infeasible");
    let alone = factor(infeasible, 0.0).unwrap();
    assert!(alone > 0.0 && alone < 60.0 / 80.0 + 1e-9, "{alone}");
}
