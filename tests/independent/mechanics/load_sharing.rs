//! Topic A: rigid plate on springs.
//!
//! Axes differ from ours in sign: N is our pull, so that P is a force of -P along z, "Mx" = sum(N y) is minus our moment
//! about x, "My" = sum(N x) is our moment about y. Lengths of any unit are taken as mm, forces as N, moments as N·mm.

use super::{case, cases, check, check_published, number, numbers, points};
use glam::{DMat3, DVec2, DVec3};
use mechanics::{
    Arrangement, Body, CupGroup, CupLoad, CupSpring, GroupError, Instant, Wrench, arrangement, load,
};
use serde_json::Value;

const RECORD: &str = include_str!("load_sharing.json");
const COUNT: usize = 7;

fn springs(at: &Value, stiffness: &Value) -> Vec<CupSpring> {
    points(at).into_iter().zip(numbers(stiffness)).map(|(at, k)| CupSpring::point(at, k, k)).collect()
}

/// P, Mx, My of the record.
fn pulling(p: f64, mx: f64, my: f64) -> Wrench {
    Wrench { force: DVec3::new(0.0, 0.0, -p), moment: DVec3::new(-mx, my, 0.0) * 1e-3, about: DVec3::ZERO }
}

fn pulls(loads: &[CupLoad]) -> Vec<f64> {
    loads.iter().map(|load| load.pull).collect()
}

/// Checks N_i, N_max, N_min and the sum, whichever the case states, and returns the pulls.
fn check_pulls(id: &str, lengths: &str, p: &str, moments: [&str; 2]) -> Vec<f64> {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, id);
    let inputs = &case["inputs"];
    let group = CupGroup::new(&springs(&inputs[lengths], &inputs["k_rel"])).unwrap();
    let wrench = pulling(number(&inputs[p]), number(&inputs[moments[0]]), number(&inputs[moments[1]]));
    let found = pulls(&group.share(&wrench));
    check(id, "N_i", case, &found);
    check(id, "N_max", case, &[found.iter().copied().fold(f64::NEG_INFINITY, f64::max)]);
    check(id, "N_min", case, &[found.iter().copied().fold(f64::INFINITY, f64::min)]);
    found
}

/// Checks the elastic vector method: Tx_i, Ty_i and their resultants.
fn check_slides(id: &str, lengths: &str, force: [&str; 2], moment: &str) {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, id);
    let inputs = &case["inputs"];
    let group = CupGroup::new(&springs(&inputs[lengths], &inputs["kt_rel"])).unwrap();
    let wrench = Wrench {
        force: DVec3::new(number(&inputs[force[0]]), number(&inputs[force[1]]), 0.0),
        moment: DVec3::new(0.0, 0.0, number(&inputs[moment]) * 1e-3),
        about: DVec3::ZERO,
    };
    let loads = group.share(&wrench);
    let of = |part: fn(&CupLoad) -> f64| loads.iter().map(part).collect::<Vec<_>>();
    check(id, "Tx_i", case, &of(|load| load.slide.x));
    check(id, "Ty_i", case, &of(|load| load.slide.y));
    let resultants = of(|load| load.slide.length());
    check(id, "R_i", case, &resultants);
    // "rounding" of the elastic case is meant relative to neat numbers in the record's own unit.
    let rounding = number(&case["published_values"]["rounding"]).max(1e-6);
    check_published(id, case, "R_i", rounding, &resultants);
}

#[test]
fn a1_four_supports_with_biaxial_eccentricity() {
    let found = check_pulls("A1", "xy_ft", "P_ton", ["Mx_tonft", "My_tonft"]);
    let cases = cases(RECORD, COUNT);
    let a1 = case(&cases, "A1");
    check("A1", "sum_N", a1, &[found.iter().sum()]);
    check_published("A1", a1, "N_i", 0.5, &found);
    // The wrong route of the same thread: corner stresses of a solid area times the area of a quarter.
    for (found, wrong) in found.iter().zip([69.0, 31.0, 19.0, -19.0]) {
        assert!((found - wrong).abs() > 1.0, "{found} is what the wrong route gives");
    }
}

#[test]
fn a2_four_bolts_in_eccentric_shear() {
    check_slides("A2", "xy_mm", ["Fx_N", "Fy_N"], "Mz_Nmm");
}

#[test]
fn a3_asymmetric_group_with_product_of_inertia() {
    let found = check_pulls("A3", "xy_mm", "P_N", ["Mx_Nmm", "My_Nmm"]);
    let cases = cases(RECORD, COUNT);
    let a3 = case(&cases, "A3");
    check("A3", "sum_N", a3, &[found.iter().sum()]);
    let without = &a3["check_without_product"];
    let wrong = numbers(&without["N_i_wrong_N"]);
    let error = found.iter().zip(&wrong).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    assert!((error - number(&without["max_abs_error_N"])).abs() < 0.005, "{error}");
}

#[test]
fn a4_three_stiffnesses() {
    let cases = cases(RECORD, COUNT);
    let a4 = case(&cases, "A4");
    let found = check_pulls("A4", "xy_mm", "P_N", ["Mx_Nmm", "My_Nmm"]);
    check("A4", "sum_N", a4, &[found.iter().sum()]);
}

#[test]
fn a5_six_fasteners_by_the_elastic_vector_method() {
    check_slides("A5", "xy_in", ["Fx_kip", "Fy_kip"], "Mz_kipin");
}

#[test]
fn a9_contacts_in_line_are_singular_and_say_so() {
    let cases = cases(RECORD, COUNT);
    let a9 = case(&cases, "A9");
    let inputs = &a9["inputs"];
    let cups = springs(&inputs["xy_mm"], &inputs["k_rel"]);
    let error = CupGroup::new(&cups).unwrap_err();
    let GroupError::InLine { through, direction } = error else { panic!("{error}") };
    // Pull and tipping along the line are carried, tipping about it is not: rank 2 of 3.
    assert_eq!(number(&a9["expected"]["rank_of_3x3"]["value"]), 2.0);
    assert!((through - DVec2::new(0.0, 100.0)).length() < 1e-9 && direction.perp_dot(DVec2::X).abs() < 1e-12);
    assert!(matches!(arrangement(&points(&inputs["xy_mm"])), Arrangement::InLine { .. }));
}

#[test]
fn a11_panel_on_a_vertical_face() {
    let cases = cases(RECORD, COUNT);
    let a11 = case(&cases, "A11");
    let inputs = &a11["inputs"];
    let group = CupGroup::new(&springs(&inputs["xy_mm"], &inputs["k_rel"])).unwrap();
    let offset = number(&inputs["cg_offset_from_cup_plane_mm"]);
    let panel = Body {
        mass: number(&inputs["mass_kg"]),
        centre: DVec3::new(0.0, 0.0, -offset), // the part hangs on the side away from the tool
        inertia: DMat3::ZERO,
    };
    let hanging = Instant::still(DVec3::new(0.0, -number(&inputs["g_m_s2"]), 0.0));
    let loads = group.share(&load(&panel, &hanging, group.centre().extend(0.0)));
    check("A11", "N_i", a11, &pulls(&loads));
    for load in &loads {
        check("A11", "shear_each_N", a11, &[load.slide.length()]);
    }
}
