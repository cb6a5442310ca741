//! Topic G: altitude, normal litres, energy.

use super::{case, cases, check, check_value, number, numbers, pascal};
use units::{VacuumLevel, standard_atmosphere};
use vacuum::{
    Air, Compressor, Cup, CurveShape, Ejector, Evacuation, FeedRow, Leak, NetworkBuilder, Picking,
    Restriction, Source, SourceCurve, kg_s_from_nl_min, pick_cost, solve,
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
    let ambient = standard_atmosphere(number(&high["inputs"]["h_geometric_m"]));
    let air = Air { ambient, ..Air::default() };
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
fn g06_compressed_air() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "G06");
    let inputs = &case["inputs"];
    let compressor = Compressor {
        line_kpa: number(&inputs["feed_gauge_Pa"]) * 1e-3,
        inlet: pascal(number(&inputs["inlet_Pa"])),
        efficiency: number(&inputs["overall_efficiency"]),
    };
    check(case, "adiabatic_kWh_per_m3", compressor.isentropic_kwh_m3());
    check(case, "electric_kWh_per_m3", compressor.electric_kwh_m3());
    check(case, "electric_kWh_per_60m3", compressor.electric_kwh_m3() * 60.0);
    // The year as picks of one second under vacuum each.
    let consumption_nl_min = number(&inputs["consumption_ANR_dm3_per_min"]);
    let row = FeedRow { feed_kpa: 500.0, free_flow_nl_min: 60.0, ultimate_kpa: 80.0, consumption_nl_min };
    let mut circuit = NetworkBuilder::new(Air::default());
    let cup = circuit.cup(Cup::tight("C1", 4.0));
    let ejector = Ejector { shape: CurveShape::Linear, rows: vec![row] };
    circuit.source("ejector", circuit.cup_node(cup), Source::ejector(ejector, 500.0));
    let picking = Picking {
        vacuum_s: 1.0,
        picks_per_year: number(&inputs["hours_per_year"]) * number(&inputs["duty"]) * 3600.0,
        saving: None,
        reaction_s: 0.0,
        motors_run_s: None,
        blown_nl: 0.0,
        evacuation: Evacuation::default(),
        compressor,
        price_per_kwh: number(&inputs["price_per_kWh"]),
    };
    let cost = pick_cost(&circuit.build().unwrap(), &picking).unwrap();
    check(case, "annual_m3", cost.air_per_year_m3);
    check(case, "annual_cost", cost.price_per_year);
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
    let cubic_feet_a_minute = cubic_metres * 60.0 / 0.3048_f64.powi(3);
    check(case, "flow_cfm_free_air", cubic_feet_a_minute);
    // The figure of the sheet's table, rounded there; quoted from memory.
    check_value(case, "published", &case["tolerance"]["published"], cubic_feet_a_minute);
}

#[test]
fn g09_what_a_nozzle_uses() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "G09");
    let inputs = &case["inputs"];
    let expected = case["expected"]["q_ANR_dm3_per_min"].as_array().unwrap();
    for (feed, expected) in numbers(&inputs["feed_gauge_Pa"]).into_iter().zip(expected) {
        let (bore, discharge) = (number(&inputs["nozzle_d_mm"]), number(&inputs["Cd"]));
        // Choked at the absolute feed pressure.
        let (air, nozzle) = (Air::default(), Restriction::orifice(bore, discharge));
        let found = nozzle.flow(pascal(feed + air.ambient.kpa() * 1e3), pascal(0.0), &air);
        check_value(case, "q_ANR_dm3_per_min", expected, found.nl_min);
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
