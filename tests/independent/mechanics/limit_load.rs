//! Topic C: the largest load of a group as a cone programme, against closed forms and independent solvers.

use super::{case, cases, check, numbers, points};
use glam::DVec3;
use mechanics::{Contact, Limit, LimitSolver, Wrench};
use serde_json::Value;

const RECORD: &str = include_str!("limit_strength.json");
const COUNT: usize = 9;

fn wrench(entries: &[f64]) -> Wrench {
    Wrench {
        force: DVec3::new(entries[0], entries[1], entries[2]),
        moment: DVec3::new(entries[3], entries[4], entries[5]) * 1e-3,
        about: DVec3::ZERO,
    }
}

fn contacts(case: &Value) -> Vec<Contact> {
    let inputs = &case["inputs"];
    let (forces, frictions) = (numbers(&inputs["F_N"]), numbers(&inputs["mu"]));
    let rings = inputs["ring_radius_mm"].as_array().map(|_| numbers(&inputs["ring_radius_mm"]));
    points(&inputs["xy_mm"])
        .into_iter()
        .enumerate()
        .map(|(i, at)| match &rings {
            Some(radii) => Contact::ring(at, forces[i], frictions[i], radii[i]),
            None => Contact::point(at, forces[i], frictions[i]),
        })
        .collect()
}

fn limit(case: &Value) -> Limit {
    let inputs = &case["inputs"];
    let [fixed, scaled] = ["wrench_fixed", "wrench_w"].map(|name| wrench(&numbers(&inputs[name])));
    LimitSolver::new(&contacts(case)).solve(&fixed, &scaled)
}

#[test]
fn every_case_has_the_limit_that_was_found_elsewhere() {
    let mut solved = 0;
    for case in cases(RECORD, COUNT) {
        let id = case["id"].as_str().unwrap();
        if case["expected"]["status"]["value"] == "infeasible" {
            assert_eq!(limit(&case), Limit::Infeasible, "{id}");
            continue;
        }
        let Limit::Solved(found) = limit(&case) else { panic!("{id}: {:?}", limit(&case)) };
        check(id, "lambda_max", &case, &[found]);
        // The friction cone replaced by a polygon within and one around it, by a linear programme.
        if let Some(bounds) = case["expected"]["lambda_lp_inner_outer_64gon"]["value"].as_array() {
            let (inner, outer) = (bounds[0].as_f64().unwrap(), bounds[1].as_f64().unwrap());
            assert!(found >= inner * (1.0 - 1e-6) && found <= outer * (1.0 + 1e-6), "{id}: {found}");
        }
        solved += 1;
    }
    assert_eq!(solved, 8);
}

#[test]
fn c13_a_load_turned_about_or_lightened_is_carried_again() {
    let cases = cases(RECORD, COUNT);
    let c13 = case(&cases, "C13");
    let mut solver = LimitSolver::new(&contacts(c13));
    let [fixed, scaled] = ["wrench_fixed", "wrench_w"].map(|name| wrench(&numbers(&c13["inputs"][name])));
    // 80 N hang off the cups' middle, at one of them; 20 N there are all that it carries.
    let lighter = Wrench { force: fixed.force * 0.2, ..fixed };
    assert!(matches!(solver.solve(&lighter, &scaled), Limit::Solved(_)));
    assert_eq!(solver.solve(&fixed, &scaled), Limit::Infeasible);
    let pressed = Wrench { force: -fixed.force, ..fixed };
    assert!(matches!(solver.solve(&pressed, &scaled), Limit::Solved(times) if times > 0.0));
}
