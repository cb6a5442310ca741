//! Topic E: evacuation and release of one volume, followed as a network.

use super::{case, cases, check, number, pascal};
use serde_json::Value;
use units::VacuumLevel;
use vacuum::{
    Air, Change, Cup, Event, Follow, Leak, NORMAL_DENSITY, Network, NetworkBuilder, Restriction, Source,
    SourceCurve, SourceId, Stop, Watch, emptying_time_s, follow, solve,
};

const RECORD: &str = include_str!("transients.json");
const COUNT: usize = 4;
/// What a course followed in steps may be off a closed form; the records' own tolerance of it is 1e-6 but for E01.
const FOLLOWED: f64 = 1e-6;

fn level(pa: f64) -> VacuumLevel {
    VacuumLevel::from_kpa((101_325.0 - pa) * 1e-3)
}

fn vessel(inputs: &Value, curve: SourceCurve) -> NetworkBuilder {
    let mut circuit = NetworkBuilder::new(Air::default());
    let vessel = circuit.vessel("vessel", number(&inputs["V_m3"]) * 1e6);
    circuit.cup_at(Cup::tight("C1", 4.0), vessel);
    circuit.source("source", vessel, Source::pump(curve, 0.0));
    circuit
}

fn linear(inputs: &Value) -> SourceCurve {
    let level = VacuumLevel::from_kpa(number(&inputs["vmax_Pa"]) * 1e-3);
    SourceCurve::linear(number(&inputs["q0_ANR_m3_per_s"]) * 6e4, level)
}

/// Time to a pressure from the atmosphere.
fn time_to(
    network: &Network,
    pa: f64,
    rising: bool,
    from: Option<&vacuum::State>,
    events: Vec<Event>,
) -> f64 {
    let watches = vec![Watch { cup: network.spec().cup_ids().next().unwrap(), level: level(pa), rising }];
    // At the step that is taken where nobody asks for another.
    let how = Follow { events, watches, until_s: 20.0, stop: Stop::AllReached, ..Follow::default() };
    follow(network, from, &how).reached[0].at_s.unwrap()
}

fn by_hand(inputs: &Value, curve: &SourceCurve) -> f64 {
    let leak = inputs["leak_kg_per_s"].as_f64().map_or(0.0, vacuum::nl_min_from_kg_s);
    let (volume, air) = (number(&inputs["V_m3"]) * 1e6, Air::default());
    emptying_time_s(volume, curve, leak, air.ambient, pascal(number(&inputs["p1_Pa"])), &air).unwrap()
}

#[test]
fn e01_e02_e03_evacuation() {
    let cases = cases(RECORD, COUNT);
    // A constant volume flow down to nothing: a straight curve whose deepest level is the whole atmosphere.
    let constant = case(&cases, "E01");
    let inputs = &constant["inputs"];
    let rt = vacuum::GAS_CONSTANT * 293.15;
    let free_m3_s = number(&inputs["S_m3_per_s"]) * 101_325.0 / (NORMAL_DENSITY * rt);
    let curve = SourceCurve::linear(free_m3_s * 6e4, VacuumLevel::from_kpa(101.325));
    let network = vessel(inputs, curve.clone()).build().unwrap();
    check(constant, "t_s", by_hand(inputs, &curve));
    let followed = time_to(&network, number(&inputs["p1_Pa"]), true, None, Vec::new());
    assert!((followed / by_hand(inputs, &curve) - 1.0).abs() < FOLLOWED);

    let ejector = case(&cases, "E02");
    let inputs = &ejector["inputs"];
    let network = vessel(inputs, linear(inputs)).build().unwrap();
    check(ejector, "t_s", time_to(&network, number(&inputs["p1_Pa"]), true, None, Vec::new()));
    check(ejector, "t_s", by_hand(inputs, &linear(inputs)));
    check(ejector, "p_ultimate_Pa", solve(&network, None).nodes[0].unwrap().kpa() * 1e3);

    let leaking = case(&cases, "E03");
    let inputs = &leaking["inputs"];
    let mut circuit = vessel(inputs, linear(inputs));
    let flow = Leak::Flow { nl_min: vacuum::nl_min_from_kg_s(number(&inputs["leak_kg_per_s"])) };
    let cup = circuit.cup_ids().next().unwrap();
    circuit.cup_mut(cup).unwrap().leaks.push(flow);
    let network = circuit.build().unwrap();
    check(leaking, "t_s", by_hand(inputs, &linear(inputs)));
    check(leaking, "p_equilibrium_Pa", solve(&network, None).nodes[0].unwrap().kpa() * 1e3);
    check(leaking, "t_s", time_to(&network, number(&inputs["p1_Pa"]), true, None, Vec::new()));
}

#[test]
fn e06_release() {
    let cases = cases(RECORD, COUNT);
    let case = case(&cases, "E06");
    let inputs = &case["inputs"];
    let vent = Restriction {
        conductance_dm3_s_bar: number(&inputs["C_m3_per_s_Pa"]) * 1e8,
        critical_ratio: number(&inputs["b"]),
    };
    let (from, air) = (pascal(number(&inputs["p0_Pa"])), Air::default());
    let share = pascal(0.95 * number(&inputs["p_ambient"]));
    // Evacuated by a source without leak, which then lets the air back.
    let curve = SourceCurve::linear(60.0, from.level(air.ambient));
    let mut circuit = vessel(inputs, curve);
    let source = circuit.source_ids().next().unwrap();
    circuit.source_mut(source).unwrap().source.way_back = Some(vent);
    let network = circuit.build().unwrap();
    let evacuated = solve(&network, None).state;
    let stop =
        |source: SourceId| Event { at_s: 0.0, change: Change::SourceRunning { source, running: false } };
    let time = time_to(&network, share.kpa() * 1e3, false, Some(&evacuated), vec![stop(source)]);
    check(case, "t_to_95pct_ambient_s", time);
}
