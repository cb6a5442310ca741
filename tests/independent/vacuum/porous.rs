//! Topic D: air through the part.

use super::{case, cases, check, number};
use units::VacuumLevel;
use vacuum::{Air, Leak, kg_s_from_nl_min};

const RECORD: &str = include_str!("porous.json");
const COUNT: usize = 1;

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
}
