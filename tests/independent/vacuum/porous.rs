//! Topic D: air through the part.

use super::{case, cases, check, number};
use units::VacuumLevel;
use vacuum::{
    Air, Leak, incompressible_excess, kg_s_from_nl_min, permeance_from_bendtsen, permeance_from_gurley,
};

const RECORD: &str = include_str!("porous.json");
const COUNT: usize = 3;

#[test]
fn d01_d02_permeance_from_tests_of_paper() {
    let cases = cases(RECORD, COUNT);
    let gurley = case(&cases, "D01");
    let time = number(&gurley["inputs"]["t_s"]);
    check(gurley, "P_first_principles_um_per_Pa_s", permeance_from_gurley(time));
    check(gurley, "constant_first_principles", permeance_from_gurley(time) * time);
    let bendtsen = case(&cases, "D02");
    let flow = number(&bendtsen["inputs"]["q_mL_per_min"]);
    check(bendtsen, "P_um_per_Pa_s", permeance_from_bendtsen(flow));
    check(bendtsen, "constant", permeance_from_bendtsen(flow) / flow);
}

#[test]
fn d04_leak_under_a_cup() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "D04");
    let inputs = &case["inputs"];
    let air = Air::default();
    let area = std::f64::consts::FRAC_PI_4 * (number(&inputs["cup_d_m"]) * 1e3).powi(2);
    let inside = VacuumLevel::from_kpa(number(&inputs["vacuum_Pa"]) * 1e-3).absolute(air.ambient);
    let flow = Leak::porous(number(&inputs["P_um_per_Pa_s"]), area).nl_min(inside, &air);
    check(case, "mass_flow_kg_per_s", kg_s_from_nl_min(flow));
    check(case, "flow_ANR_dm3_per_min", flow);
    let naive = kg_s_from_nl_min(flow) * (1.0 + incompressible_excess(inside, &air));
    check(case, "naive_incompressible_kg_per_s", naive);
}
