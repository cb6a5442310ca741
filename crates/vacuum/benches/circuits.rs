//! A circuit while it is being drawn: steady state cold and warm, each cup lost, evacuation.

#![allow(clippy::expect_used, reason = "a benchmark may stop when its own circuit is wrong")]

use divan::{Bencher, black_box};
use units::VacuumLevel;
use vacuum::*;

fn main() {
    divan::main();
}

fn pump(flow_nl_min: f64) -> Source {
    Source::pump(SourceCurve::linear(flow_nl_min, VacuumLevel::from_kpa(85.0)), 500.0)
}

/// A manifold of so many ports, each with a cup on a hose of its own length: two nodes a port, and one for the source.
fn manifold(cups: usize, flow_nl_min: f64) -> NetworkBuilder {
    let mut circuit = NetworkBuilder::new(Air::default());
    let port = circuit.node("source");
    circuit.source("pump", port, pump(flow_nl_min));
    let mut before = port;
    for i in 0..cups {
        let here = circuit.vessel(&format!("P{i}"), 5.0);
        let channel = Line::hose(Hose::new(60.0, 12.0)).with(Fitting::new(FittingKind::TeeRun, 12.0));
        circuit.line(&format!("channel {i}"), here, before, channel);
        let leak = Leak::porous(0.4 + 0.2 * (i % 5) as f64, 1256.0);
        let cup = circuit.cup(Cup::tight(&format!("C{i}"), 4.0).with_leak(leak).with_volume(12.0, 9.0));
        let hose = Line::hose(Hose::new(300.0 + 40.0 * (i % 7) as f64, 6.0))
            .with(Fitting::new(FittingKind::Elbow90, 6.0))
            .with(Fitting::new(FittingKind::TeeBranch, 6.0));
        circuit.line(&format!("hose {i}"), circuit.cup_node(cup), here, hose);
        before = here;
    }
    circuit
}

/// The same with a restrictor at every cup, one cup in eight off the part, a second source at the far end.
fn mixed(cups: usize) -> NetworkBuilder {
    let mut circuit = manifold(cups, 900.0);
    let through = Restriction { conductance_dm3_s_bar: 0.3, critical_ratio: 0.4 };
    for cup in circuit.cup_ids().collect::<Vec<_>>() {
        // Its hose begins behind the restrictor now.
        let inside = circuit.cup_node(cup);
        let behind = circuit.node("behind");
        for element in circuit.element_ids().collect::<Vec<_>>() {
            if let Some(hose) = circuit.element_mut(element).filter(|e| e.from == inside) {
                hose.from = behind;
            }
        }
        circuit.restrictor("restrictor", inside, behind, through);
    }
    for cup in circuit.cup_ids().step_by(8) {
        circuit.cup_mut(cup).expect("a cup").open = true;
    }
    let far = circuit.cup_node(circuit.cup_ids().last().expect("a cup"));
    circuit.source("second pump", far, pump(200.0));
    circuit
}

#[divan::bench]
fn hundred_nodes_cold(bencher: Bencher) {
    let circuit = manifold(50, 400.0);
    bencher.with_inputs(|| circuit.clone()).bench_values(|circuit| {
        let network = circuit.build().expect("a circuit");
        solve(black_box(&network), None)
    });
}

#[divan::bench]
fn hundred_nodes_warm(bencher: Bencher) {
    let network = manifold(50, 400.0).build().expect("a circuit");
    let state = solve(&network, None).state;
    // One hose a little longer, as while a cup is dragged.
    let dragged = shorter_hose(&network, network.spec().element_ids().nth(31).expect("a hose"), 250.0);
    let dragged = dragged.expect("a longer hose");
    bencher.bench(|| solve(black_box(&dragged), Some(black_box(&state))));
}

#[divan::bench]
fn hundred_nodes_tight(bencher: Bencher) {
    let mut circuit = manifold(50, 400.0);
    for cup in circuit.cup_ids() {
        circuit.cup_mut(cup).expect("a cup").leaks.clear();
    }
    let network = circuit.build().expect("a circuit");
    bencher.bench(|| solve(black_box(&network), None));
}

#[divan::bench]
fn restrictors_and_open_cups_cold(bencher: Bencher) {
    let network = mixed(40).build().expect("a circuit");
    bencher.bench(|| solve(black_box(&network), None));
}

#[divan::bench]
fn each_of_forty_cups_lost(bencher: Bencher) {
    let network = manifold(40, 400.0).build().expect("a circuit");
    bencher.bench(|| each_cup_open(black_box(&network)));
}

#[divan::bench]
fn two_seconds_of_evacuation_of_forty_cups(bencher: Bencher) {
    let network = manifold(40, 400.0).build().expect("a circuit");
    let how = Follow { until_s: 2.0, ..Follow::default() };
    bencher.bench(|| follow(black_box(&network), None, &how));
}

#[divan::bench]
fn forty_cups_seal_one_after_the_other(bencher: Bencher) {
    let network = manifold(40, 400.0).build().expect("a circuit");
    let sealing = network.spec().cup_ids().enumerate().map(|(i, cup)| (cup, 0.01 * i as f64)).collect();
    let how = Evacuation { sealing, until_s: 2.0, ..Evacuation::default() };
    bencher.bench(|| evacuate(black_box(&network), &how));
}

#[divan::bench(sample_count = 10)]
fn what_helps_most_of_a_circuit_of_twenty_cups(bencher: Bencher) {
    let network = manifold(20, 200.0).build().expect("a circuit");
    bencher.bench(|| {
        let hoses = network.spec().element_ids();
        let changes: Vec<Network> =
            hoses.filter_map(|hose| shorter_hose(black_box(&network), hose, 50.0)).collect();
        rank(&network, &changes, false)
    });
}

/// Every single fault of a circuit of twenty cups tried against one recorded evacuation.
#[divan::bench(sample_count = 3)]
fn causes_of_a_curve_of_twenty_cups(bencher: Bencher) {
    let network = manifold(20, 200.0).build().expect("a circuit");
    let cup = network.spec().cup_ids().last().expect("a cup");
    let how = Follow { until_s: 1.0, ..Follow::default() };
    let course = follow(&network, None, &how);
    let read = |sample: &Sample| Some((sample.time_s, *sample.levels.get(cup.index())?));
    let points = course.samples.iter().step_by(4).filter_map(read).collect();
    let courses = vec![Course { at: Gauge::Cup(cup), kind: CourseKind::Evacuation, points }];
    let measured = Measured { courses, ..Measured::default() };
    bencher.bench(|| rank_causes(black_box(&network), &measured));
}
