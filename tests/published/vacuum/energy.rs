//! Topic G: altitude, normal litres, energy.

use super::{case, cases, check, check_value, number, numbers, pascal};
use units::{VacuumLevel, standard_atmosphere};
use vacuum::{
    Air, Cup, Leak, NetworkBuilder, Restriction, Source, SourceCurve, kg_s_from_nl_min,
    nozzle_consumption_nl_min, solve,
};

const RECORD: &str = include_str!("energy.json");
const COUNT: usize = 7;

#[test]
fn g01_g03_altitude() {
    let cases = cases(RECORD, COUNT);
    let atmosphere = case(&cases, "G01");
    for row in atmosphere["expected"]["table"].as_array().unwrap() {
        let here = standard_atmosphere(number(&row["h_geometric_m"]));
        check_value(atmosphere, "p_Pa", &row["p_Pa"], here.kpa() * 1e3);
    }
    let high = case(&cases, "G03");
    let air = Air::at_altitude(number(&high["inputs"]["h_geometric_m"]));
    check(high, "p_ambient_Pa", air.ambient.kpa() * 1e3);
    let share = number(&high["inputs"]["vacuum_pct"]) / 100.0;
    let curve = SourceCurve::linear(60.0, VacuumLevel::from_kpa(share * 101.325));
    let level = Source::pump(curve, 0.0).deepest(&air).unwrap().kpa();
    check(high, "vacuum_Pa", level * 1e3);
    let area_mm2 = std::f64::consts::FRAC_PI_4 * (number(&high["inputs"]["cup_d_m"]) * 1e3).powi(2);
    check(high, "force_N", level * area_mm2 * 1e-3);
}

#[test]
fn g04_normal_litres() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "G04");
    let flow = number(&case["inputs"]["q_ANR_dm3_per_min"]);
    check(case, "m_kg_per_s_iso", kg_s_from_nl_min(flow));
}

#[test]
fn g08_a_hole_in_a_pressure_line() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "G08");
    let inputs = &case["inputs"];
    let kelvin = number(&inputs["T_K"]);
    let air = Air { temperature_c: kelvin - 273.15, ..Air::default() };
    let psi = 6_894.757;
    let line = pascal(number(&inputs["p_gauge_psi"]) * psi + 101_325.0);
    let hole = Restriction::orifice(number(&inputs["d_mm"]), number(&inputs["Cd"]));
    let flow = hole.flow(line, air.ambient, &air);
    assert!(flow.choked);
    // Free air at the atmosphere and temperature of the place, in cubic feet a minute.
    let cubic_metres = flow.kg_s * vacuum::GAS_CONSTANT * kelvin / 101_325.0;
    check(case, "flow_cfm_free_air", cubic_metres * 60.0 / 0.3048_f64.powi(3));
}

#[test]
fn g09_what_a_nozzle_uses() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "G09");
    let inputs = &case["inputs"];
    let expected = case["expected"]["q_ANR_dm3_per_min"].as_array().unwrap();
    for (feed, expected) in numbers(&inputs["feed_gauge_Pa"]).into_iter().zip(expected) {
        let (bore, discharge) = (number(&inputs["nozzle_d_mm"]), number(&inputs["Cd"]));
        let found = nozzle_consumption_nl_min(bore, discharge, feed * 1e-3, &Air::default());
        check_value(case, "q_ANR_dm3_per_min", expected, found);
    }
}

#[test]
fn g10_a_source_against_a_porous_part() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "G10");
    let inputs = &case["inputs"];
    let area = std::f64::consts::FRAC_PI_4 * (number(&inputs["cup_d_m"]) * 1e3).powi(2);
    let leak = Leak::porous(number(&inputs["P_um"]), area);
    let mut circuit = NetworkBuilder::new(Air::default());
    let cup = circuit.cup(Cup::tight("C1", 4.0).with_leak(leak));
    let level = VacuumLevel::from_kpa(number(&inputs["vmax_Pa"]) * 1e-3);
    let curve = SourceCurve::linear(number(&inputs["q0_ANR_m3_per_s"]) * 6e4, level);
    circuit.source("source", circuit.cup_node(cup), Source::pump(curve, 0.0));
    let solution = solve(&circuit.build().unwrap(), None);
    check(case, "p_Pa", solution.nodes[0].unwrap().kpa() * 1e3);
    check(case, "vacuum_kPa", solution.cups[0].level.unwrap().kpa());
    check(case, "flow_kg_per_s", kg_s_from_nl_min(solution.cups[0].entering_nl_min.unwrap()));
}
