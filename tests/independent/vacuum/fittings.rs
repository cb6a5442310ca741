//! Topic C: fittings.

use super::{case, cases, check_value, number};
use serde_json::Value;
use vacuum::{Fitting, FittingKind, LossMethod};

const RECORD: &str = include_str!("fittings.json");
const COUNT: usize = 3;

fn millimetres(value: &Value) -> f64 {
    number(value) * 1e3
}

#[test]
fn c01_multiples_of_the_fully_rough_factor() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "C01");
    for row in case["expected"]["table"].as_array().unwrap() {
        let bore = millimetres(&row["D_m"]);
        // A standard elbow has 30 of them.
        let factor = Fitting::new(FittingKind::Elbow90, bore).k() / 30.0;
        check_value(case, "fT", &row["fT"], factor);
        let near = number(&case["tolerance"]["rel_fT_vs_lib"]);
        assert!((factor / number(&row["fT_crane_lib"]) - 1.0).abs() < near);
        let bend = |radius_over_bore| FittingKind::Bend { radius_over_bore };
        for (name, kind) in [
            ("elbow90_std_30fT", FittingKind::Elbow90),
            ("tee_run_20fT", FittingKind::TeeRun),
            ("tee_branch_60fT", FittingKind::TeeBranch),
            ("elbow45_16fT", FittingKind::Elbow45),
            ("bend_r1_20fT", bend(1.0)),
            ("bend_r1_5_14fT", bend(1.5)),
            ("bend_r3_12fT", bend(3.0)),
        ] {
            check_value(case, name, &row[name], Fitting::new(kind, bore).k());
        }
    }
}

#[test]
fn c02_bends_by_radius() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "C02");
    for row in case["expected"]["table"].as_array().unwrap() {
        let kind = FittingKind::Bend { radius_over_bore: number(&row["r_over_D"]) };
        check_value(case, "K", &row["K"], Fitting::new(kind, millimetres(&row["D_m"])).k());
    }
}

#[test]
fn c04_two_constants_of_an_elbow() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "C04");
    let bore = number(&case["inputs"]["D_inch"]) * 25.4;
    let elbow = Fitting { method: LossMethod::TwoK, ..Fitting::new(FittingKind::Elbow90, bore) };
    for (re, k) in
        super::numbers(&case["inputs"]["Re"]).into_iter().zip(case["expected"]["K"].as_array().unwrap())
    {
        check_value(case, "K", k, elbow.k() + elbow.k_low() / re);
    }
}
