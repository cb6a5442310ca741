//! Topic B: tubes.

use super::{case, cases, check, check_value, number, numbers, pascal};
use serde_json::Value;
use vacuum::{Air, Friction, Hose, Line, LineFlow, Regime, Restriction};

const RECORD: &str = include_str!("tubes.json");
const COUNT: usize = 6;

fn tube(inputs: &Value) -> Line {
    let mm = |name: &str| inputs[name].as_f64().map(|m| m * 1e3);
    let (length, bore) = (mm("L_m").unwrap(), mm("D_m").unwrap());
    let roughness_mm = mm("eps_m").unwrap_or(0.0);
    let line = Line::hose(Hose { roughness_mm, ..Hose::new(length, bore) });
    match inputs["K_inf"].as_f64() {
        Some(k) if k > 0.0 => line.with(vacuum::Fitting::stated(k, bore)),
        _ => line,
    }
}

fn through(line: &Line, inputs: &Value) -> LineFlow {
    let (from, to) = (pascal(number(&inputs["p1_Pa"])), pascal(number(&inputs["p2_Pa"])));
    line.flow(from, to, &Air::default(), Friction::Churchill)
}

#[test]
fn b01_laminar() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "B01");
    let flow = through(&tube(&case["inputs"]), &case["inputs"]);
    check(case, "mass_flow_kg_per_s", flow.kg_s);
    check(case, "Re", flow.reynolds);
    assert_eq!(flow.regime, Regime::Laminar);
}

#[test]
fn b03_b04_turbulent_with_and_without_acceleration() {
    let cases = cases(RECORD, COUNT);
    for name in ["B03", "B04"] {
        let case = case(&cases, name);
        let line = tube(&case["inputs"]);
        let flow = through(&line, &case["inputs"]);
        check(case, "mass_flow_R1_kg_per_s", flow.kg_s);
        check(case, "Re", flow.reynolds);
        let inputs = &case["inputs"];
        let rough = number(&inputs["eps_m"]) / number(&inputs["D_m"]);
        check(case, "f_Darcy", Friction::Churchill.factor(flow.reynolds, rough));
        let accelerated = through(&line.with_acceleration(), &case["inputs"]);
        check(case, "mass_flow_with_2ln_term_kg_per_s", accelerated.kg_s);
        assert_eq!(accelerated.regime, Regime::Turbulent);
    }
}

#[test]
fn b07_friction_factors() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "B07");
    let table = case["expected"]["table"].as_array().unwrap();
    assert_eq!(table.len(), 36);
    for row in table {
        let (re, rough) = (number(&row["Re"]), number(&row["eps_over_D"]));
        let factor = Friction::Churchill.factor(re, rough);
        check_value(case, "churchill", &row["churchill"], factor);
        // Colebrook's law is another one: within 3.2 % of Churchill's from Re 4000 up.
        if let Some(colebrook) = row["colebrook"].as_f64() {
            assert!((factor / colebrook - 1.0).abs() < 0.032);
        }
    }
}

#[test]
fn b09_a_short_hose_chokes() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "B09");
    let line = tube(&case["inputs"]);
    let choked = through(&line.clone().with_acceleration(), &case["inputs"]);
    check(case, "mass_flow_choked_kg_per_s", choked.kg_s);
    check(case, "critical_outlet_pressure_Pa", choked.outlet.kpa() * 1e3);
    assert_eq!(choked.regime, Regime::Choked);
    check(case, "R1_flow_no_acceleration", through(&line, &case["inputs"]).kg_s);
    let bore = number(&case["inputs"]["D_m"]) * 1e3;
    let with_exit = line.with(vacuum::Fitting::stated(1.0, bore));
    check(case, "R1_flow_with_exit_K1", through(&with_exit, &case["inputs"]).kg_s);
}

#[test]
fn b11_a_tube_is_no_restriction() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "B11");
    let air = Air::default();
    for row in case["expected"]["table"].as_array().unwrap() {
        let bore = number(&row["D_m"]) * 1e3;
        let line = Line::hose(Hose::new(number(&row["L_m"]) * 1e3, bore))
            .with(vacuum::Fitting::stated(number(&case["inputs"]["K_inf"]), bore));
        let conductance = |line: &Line| {
            let flow = line.flow(air.ambient, pascal(1e-3), &air, Friction::Churchill);
            flow.nl_min / 60.0 / (air.ambient.kpa() * 1e-2)
        };
        check_value(case, "C_from_R1_dm3", &row["C_from_R1_dm3"], conductance(&line));
        let accelerated = conductance(&line.clone().with_acceleration());
        check_value(case, "C_with_acceleration_dm3", &row["C_with_acceleration_dm3"], accelerated);
        let (from, to) = (pascal(30e3), pascal(29e3));
        let tube = line.flow(from, to, &air, Friction::Churchill).kg_s;
        check_value(case, "flow_30_29kPa_R1", &row["flow_30_29kPa_R1"], tube);
        let element = Restriction {
            conductance_dm3_s_bar: number(&row["C_correlation_dm3"]),
            critical_ratio: number(&row["b_correlation"]),
        };
        let fitted = element.flow(from, to, &air).kg_s;
        check_value(case, "flow_30_29kPa_from_ISO_element", &row["flow_30_29kPa_from_ISO_element"], fitted);
        check_value(case, "ratio", &row["ratio"], fitted / tube);
        let off = number(&case["tolerance"]["rel_correlation_vs_R1"]);
        assert!((element.conductance_dm3_s_bar / conductance(&line) - 1.0).abs() < off);
    }
    assert_eq!(numbers(&case["inputs"]["cases"][0]), [0.004, 1.0]);
}
