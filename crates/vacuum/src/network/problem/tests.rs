use crate::samples::pump;
use crate::*;
use units::{AbsolutePressure, VacuumLevel};

/// One cup on one hose, to be spoilt.
fn circuit() -> (NetworkBuilder, ElementId, CupId) {
    let mut circuit = NetworkBuilder::new(Air::default());
    let port = circuit.node("port");
    circuit.source("pump", port, pump(90.0, 85.0));
    let cup = circuit.cup(Cup::tight("C1", 4.0));
    let hose = circuit.line("H1", circuit.cup_node(cup), port, Line::hose(Hose::new(500.0, 6.0)));
    (circuit, hose, cup)
}

fn says(circuit: NetworkBuilder) -> Vec<String> {
    circuit.build().unwrap_err().iter().map(ToString::to_string).collect()
}

fn hose(circuit: &mut NetworkBuilder, id: ElementId) -> &mut Hose {
    match &mut circuit.element_mut(id).unwrap().kind {
        ElementKind::Line(line) => line.hose.as_mut().unwrap(),
        _ => panic!("no hose"),
    }
}

#[test]
fn nothing_is_wrong_with_a_plain_circuit() {
    assert!(circuit().0.build().is_ok());
}

#[test]
fn figures_that_cannot_be_are_named_with_their_place() {
    let spoilt = |spoil: &dyn Fn(&mut Hose)| {
        let (mut circuit, id, _) = circuit();
        spoil(hose(&mut circuit, id));
        says(circuit)
    };
    assert_eq!(spoilt(&|hose| hose.bore_mm = 0.0), ["hose \"H1\": its bore is 0 mm; it must be more than 0"]);
    assert_eq!(
        spoilt(&|hose| hose.length_mm = -5.0),
        ["hose \"H1\": its length is -5 mm; it must be more than 0"]
    );
    assert_eq!(
        spoilt(&|hose| hose.length_mm = f64::NAN),
        ["hose \"H1\": its length is NaN mm; it must be more than 0"]
    );
    assert_eq!(
        spoilt(&|hose| hose.coil = Some(Coil { length_mm: 900.0, diameter_mm: 80.0 })),
        ["hose \"H1\": 900 mm of it are wound up, but it is 500 mm long; wind up no more than there is"]
    );
    assert_eq!(
        spoilt(&|hose| hose.coil = Some(Coil { length_mm: 100.0, diameter_mm: 5.0 })),
        ["hose \"H1\": its coil is 5 mm wide; a hose of 6 mm bore needs at least twice that"]
    );
    let (mut with_cup, _, cup) = circuit();
    with_cup.cup_mut(cup).unwrap().leaks.push(Leak::porous(-1.0, 100.0));
    assert_eq!(says(with_cup), ["cup \"C1\": its permeance is -1 µm/(Pa·s); it must be more than 0"]);
    let (mut with_valve, _, cup) = circuit();
    let node = with_valve.cup_node(cup);
    let through = Restriction { conductance_dm3_s_bar: 0.0, critical_ratio: 0.3 };
    with_valve.element("V1", node, NodeId(0), ElementKind::Valve { through, open: true });
    assert_eq!(says(with_valve), ["valve \"V1\": its conductance is 0 dm³/(s·bar); it must be more than 0"]);
    let (mut with_fitting, id, _) = circuit();
    if let ElementKind::Line(line) = &mut with_fitting.element_mut(id).unwrap().kind {
        line.fittings.push(Fitting::new(FittingKind::Expansion { to_mm: 4.0 }, 6.0));
    }
    assert_eq!(
        says(with_fitting),
        ["hose \"H1\": its fitting 1 joins 6 mm to 4 mm; state its loss at the smaller bore"]
    );
}

#[test]
fn a_source_that_is_none_is_named() {
    let with = |source: Source| {
        let (mut circuit, _, _) = circuit();
        circuit.source_mut(SourceId(0)).unwrap().source = source;
        says(circuit)
    };
    let rising = CurveShape::Points(vec![(0.0, 1.0), (0.5, 1.2), (1.0, 0.0)]);
    let curve = SourceCurve { free_flow_nl_min: 50.0, ultimate: VacuumLevel::from_kpa(80.0), shape: rising };
    assert_eq!(
        with(Source::pump(curve, 100.0)),
        [
            "source \"pump\": the flow of its curve rises to 60 L/min ANR at 40 kPa; a source draws less the deeper the level"
        ]
    );
    assert_eq!(
        with(pump(50.0, 120.0)),
        ["source \"pump\": its deepest level is 120.0 kPa, more than the atmosphere of 101.3 kPa"]
    );
    assert_eq!(
        with(Source::pump(SourceCurve::linear(50.0, VacuumLevel::from_kpa(60.0)), -1.0)),
        ["source \"pump\": its power is -1 W; it must not be negative"]
    );
}

#[test]
fn connections_that_lead_nowhere_are_named() {
    let (mut lone, _, _) = circuit();
    lone.cup(Cup::tight("C2", 4.0));
    assert_eq!(says(lone), ["cup \"C2\" is connected to nothing; lead a hose from it to its source"]);

    let (mut ring, _, _) = circuit();
    let nodes: Vec<NodeId> = (0..6).map(|i| ring.node(&format!("R{i}"))).collect();
    for i in 0..6 {
        ring.line(&format!("ring {i}"), nodes[i], nodes[(i + 1) % 6], Line::hose(Hose::new(100.0, 6.0)));
    }
    assert_eq!(
        says(ring),
        ["no source is connected to \"R0\", \"R1\", \"R2\", \"R3\" and 2 more; connect one, or remove them"]
    );

    let (mut back, _, cup) = circuit();
    let node = back.cup_node(cup);
    back.line("H2", node, node, Line::hose(Hose::new(100.0, 6.0)));
    assert_eq!(says(back), ["hose \"H2\" begins and ends at \"C1\"; lead it to another node or remove it"]);

    let (mut strange, _, _) = circuit();
    strange.leak("hole", NodeId(99), Leak::Hole { bore_mm: 1.0, discharge: 0.7 });
    assert_eq!(says(strange), ["leak \"hole\" is on a node that this circuit does not have"]);
    assert_eq!(
        says(NetworkBuilder::new(Air::default())),
        ["the circuit has no nodes; place a cup and a source"]
    );
}

#[test]
fn names_are_told_once_each() {
    let (mut circuit, _, cup) = circuit();
    let node = circuit.cup_node(cup);
    for _ in 0..2 {
        circuit.line("H1", node, NodeId(0), Line::hose(Hose::new(100.0, 6.0)));
    }
    assert_eq!(says(circuit), ["two elements are named \"H1\"; give each its own name"]);
}

#[test]
fn air_out_of_this_world_is_refused() {
    let thin = Air { ambient: AbsolutePressure::from_kpa(1.0), temperature_c: 20.0 };
    assert_eq!(
        says(NetworkBuilder::new(thin)).last().unwrap(),
        "the air is 1 kPa at 20 °C; the circuit is solved from 20 to 200 kPa and -60 to 120 °C"
    );
}
