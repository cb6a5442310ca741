//! Random networks, checked against the laws one by one.

use super::*;
use crate::network::ElementKind;
use crate::samples::{levels, pump, random_network, star};
use crate::*;
use units::AbsolutePressure;

/// How many random networks to solve: `CUPWRIGHT_NETWORKS` of them, or enough for every day.
fn count() -> u64 {
    std::env::var("CUPWRIGHT_NETWORKS").ok().and_then(|n| n.parse().ok()).unwrap_or(150)
}

/// Pressure lost in an element at its flow, by its own public law, against what stands between its ends, kPa.
fn check_law(network: &Network, element: usize, solution: &Solution) -> Result<(), String> {
    let placed = &network.spec().elements()[element];
    let figures = solution.elements[element];
    let flow = figures.flow_nl_min.unwrap();
    let (Some(from), Some(to)) = (solution.nodes[placed.from.index()], solution.nodes[placed.to.index()])
    else {
        return if flow == 0.0 { Ok(()) } else { Err("flows where nothing is known".into()) };
    };
    let (up, down) = if flow >= 0.0 { (from, to) } else { (to, from) };
    let air = network.air();
    let through = |restriction: &Restriction, opening: f64| {
        let ahead = AbsolutePressure::from_kpa((up.kpa() - opening).max(down.kpa()));
        let expected = restriction.flow(ahead, down, &air).nl_min;
        let most = restriction.flow(air.ambient, AbsolutePressure::from_kpa(0.0), &air).nl_min;
        // The law has a short laminar piece at no flow, and a difference lost in rounding says little about flow.
        if (flow.abs() - expected).abs() <= 1e-6 * expected + 1e-5 * most {
            Ok(())
        } else {
            Err(format!("{flow} L/min ANR, its law says {expected}"))
        }
    };
    match &placed.kind {
        ElementKind::Valve { open: false, .. } if flow == 0.0 => Ok(()),
        ElementKind::Valve { open: false, .. } => Err("flow through a shut valve".into()),
        ElementKind::Restrictor(r) | ElementKind::Filter(r) | ElementKind::Valve { through: r, .. } => {
            through(r, 0.0)
        }
        ElementKind::CheckValve { opening_kpa, .. }
            if flow <= 0.0 && from.kpa() - to.kpa() <= opening_kpa + 1e-3 =>
        {
            Ok(())
        }
        ElementKind::CheckValve { through: r, opening_kpa, .. } => through(r, *opening_kpa),
        ElementKind::Line(line) if line.kinetic => {
            let expected = line.flow(up, down, &air, Friction::Churchill);
            let close = (flow.abs() - expected.nl_min).abs() <= 1e-5 * expected.nl_min + 1e-6;
            // A difference lost in rounding says nothing about flow.
            if close || up.kpa() - down.kpa() < 1e-6 {
                Ok(())
            } else {
                Err(format!("{flow}, alone {}", expected.nl_min))
            }
        }
        ElementKind::Line(line) => {
            let lost: f64 =
                line.losses(flow, up, &air, Friction::Churchill).iter().map(|part| part.loss_kpa).sum();
            let there = up.kpa() - down.kpa();
            if (lost - there).abs() <= 1e-6 * there.abs() + 2e-6 {
                Ok(())
            } else {
                Err(format!("loses {lost} of {there} kPa"))
            }
        }
    }
}

/// Flow into every node, and the largest flow there, litres ANR per minute.
fn balances(network: &Network, solution: &Solution) -> Vec<(f64, f64)> {
    let mut sums = vec![(0.0, 0.0); network.spec().nodes().len()];
    let mut add = |node: NodeId, flow: f64| {
        let (sum, most): &mut (f64, f64) = &mut sums[node.index()];
        *sum += flow;
        *most = most.max(flow.abs());
    };
    for (placed, figures) in network.spec().elements().iter().zip(&solution.elements) {
        add(placed.from, -figures.flow_nl_min.unwrap());
        add(placed.to, figures.flow_nl_min.unwrap());
    }
    for (placed, figures) in network.spec().cups().iter().zip(&solution.cups) {
        add(placed.node, figures.entering_nl_min.unwrap());
    }
    for (placed, flow) in network.spec().leaks().iter().zip(&solution.leaks_nl_min) {
        add(placed.node, flow.unwrap());
    }
    for (placed, figures) in network.spec().sources().iter().zip(&solution.sources) {
        add(placed.node, -figures.flow_nl_min.unwrap());
    }
    sums
}

fn check(network: &Network, solution: &Solution) -> Result<(), String> {
    if solution.status == Status::NotConverged {
        return Err("did not converge".into());
    }
    for (node, (sum, most)) in balances(network, solution).into_iter().enumerate() {
        if sum.abs() > 1e-6 * most + 1e-4 {
            return Err(format!("node {node}: {sum} L/min ANR too much of {most}"));
        }
    }
    for (element, placed) in network.spec().elements().iter().enumerate() {
        check_law(network, element, solution).map_err(|what| format!("{}: {what}", placed.name))?;
    }
    for (placed, figures) in network.spec().cups().iter().zip(&solution.cups) {
        let Some(inside) = solution.nodes[placed.node.index()] else { continue };
        let leaks: Vec<Leak> =
            if placed.cup.open { vec![placed.cup.open_hole()] } else { placed.cup.leaks.clone() };
        let expected: f64 = leaks.iter().map(|leak| leak.nl_min(inside, &network.air())).sum();
        let found = figures.entering_nl_min.unwrap();
        if (found - expected).abs() > 1e-6 * expected.abs() + 1e-2 {
            return Err(format!("{}: {found} L/min ANR enter, its leaks say {expected}", placed.cup.name));
        }
    }
    Ok(())
}

#[test]
fn random_networks_are_solved_and_every_law_holds() {
    let mut wrong = Vec::new();
    let mut steps = Vec::new();
    for seed in 0..count() {
        let network = random_network(seed);
        let solution = solve(&network, None);
        if let Err(what) = check(&network, &solution) {
            wrong.push(format!("network {seed}: {what}"));
        }
        steps.push(solution.steps);
    }
    steps.sort_unstable();
    println!(
        "steps: median {}, 99 % {}, most {}",
        steps[steps.len() / 2],
        steps[steps.len() * 99 / 100],
        steps[steps.len() - 1]
    );
    let listed = wrong.iter().take(20).cloned().collect::<Vec<_>>().join("\n");
    assert!(wrong.is_empty(), "{} of {}:\n{listed}", wrong.len(), count());
}

/// The way through time alone, without Newton's shortcut, finds the same pressures.
#[test]
fn the_long_way_finds_the_same() {
    for seed in 0..count() / 5 {
        let network = random_network(seed);
        let quick = solve(&network, None);
        let laws = Laws::new(&network);
        let known = known(&laws);
        let mut iteration = Iteration::new(&laws, &network.pattern, &known);
        let mut state = iteration.start(None);
        rest::to_rest(&mut iteration, &mut state).unwrap_or_else(|_| panic!("network {seed}"));
        settle(&laws, &known, &mut state);
        for (a, b) in state.squared.iter().zip(&quick.state.squared) {
            assert!((a.sqrt() - b.sqrt()).abs() < 1.0, "network {seed}: {} Pa, {} Pa", a.sqrt(), b.sqrt());
        }
    }
}

/// Starting from the answer of another network changes nothing but the time taken.
#[test]
fn a_warm_start_gives_the_same_answer() {
    for seed in 0..40 {
        let network = random_network(seed);
        let cups: Vec<_> = network.spec().cup_ids().collect();
        let Some(&cup) = cups.first() else { continue };
        let changed = network.with_cup_open(cup, true);
        let (cold, warm) = (solve(&changed, None), solve(&changed, Some(&solve(&network, None).state)));
        for (a, b) in cold.nodes.iter().zip(&warm.nodes) {
            assert_eq!(a.is_some(), b.is_some());
            let (Some(a), Some(b)) = (a, b) else { continue };
            assert!((a.kpa() - b.kpa()).abs() < 1e-4, "network {seed}");
        }
    }
}

#[test]
fn nothing_decides_a_tight_circuit_whose_source_stands_still() {
    let network = star(&[300.0, 600.0], 6.0, 1.0, pump(60.0, 80.0).stopped(), None);
    let solution = solve(&network, None);
    assert_eq!(
        solution.says(&network),
        "the pressure at \"port\", \"C1\", \"C2\" is undetermined: nothing leaks there and no running source draws there"
    );
    assert!(solution.cups.iter().all(|cup| cup.level.is_none()));
}

#[test]
fn a_flow_that_nothing_takes_away_has_no_steady_state() {
    let network =
        star(&[300.0, 600.0], 6.0, 1.0, pump(60.0, 80.0).stopped(), Some(Leak::Flow { nl_min: 1.0 }));
    let solution = solve(&network, None);
    assert!(matches!(&solution.status, Status::Undetermined { nodes } if nodes.len() == 3));
    // A running source takes it away.
    assert!(levels(&network.with_all_sources_running(true)).iter().all(|level| *level > 70.0));
}

#[test]
fn one_zone_undetermined_leaves_the_figures_of_the_other() {
    let mut circuit = NetworkBuilder::new(Air::default());
    let port = circuit.node("port");
    circuit.source("source", port, pump(60.0, 80.0));
    for (name, open) in [("on", true), ("off", false)] {
        let cup = circuit.cup(Cup::tight(name, 4.0));
        let through = Restriction { conductance_dm3_s_bar: 2.0, critical_ratio: 0.3 };
        circuit.element(name, circuit.cup_node(cup), port, ElementKind::Valve { through, open });
    }
    let network = circuit.build().unwrap();
    let solution = solve(&network, None);
    assert_eq!(solution.status, Status::Undetermined { nodes: vec![NodeId(2)] });
    assert!((solution.cups[0].level.unwrap().kpa() - 80.0).abs() < 1e-9);
    assert_eq!((solution.cups[1].level, solution.cups[1].entering_nl_min), (None, Some(0.0)));
}

#[test]
fn a_stopped_source_with_a_way_back_lets_the_level_go() {
    let way = Restriction { conductance_dm3_s_bar: 1.0, critical_ratio: 0.3 };
    let network = star(&[300.0, 600.0], 6.0, 1.0, pump(60.0, 80.0).stopped().with_way_back(way), None);
    assert!(levels(&network).iter().all(|level| level.abs() < 1e-9));
}

/// A check valve keeps a source's neighbours from being emptied through it, and lets air pass the right way.
#[test]
fn check_valves_pass_one_way() {
    let mut circuit = NetworkBuilder::new(Air::default());
    let (cup_side, port) = (circuit.node("manifold"), circuit.node("port"));
    let through = Restriction { conductance_dm3_s_bar: 2.0, critical_ratio: 0.3 };
    let valve = circuit.element(
        "check",
        cup_side,
        port,
        ElementKind::CheckValve { through, opening_kpa: 2.0, seep: None },
    );
    circuit.source("source", port, pump(60.0, 80.0));
    circuit.cup_at(Cup::tight("C1", 4.0).with_leak(Leak::porous(1.0, 1000.0)), cup_side);
    let right = circuit.clone().build().unwrap();
    let solution = solve(&right, None);
    let loss = solution.elements[valve.index()].loss_kpa.unwrap();
    assert!(loss > 2.0 && loss < 10.0, "{loss}");
    // The wrong way round the cup stays at the atmosphere.
    circuit.element_mut(valve).unwrap().from = port;
    circuit.element_mut(valve).unwrap().to = cup_side;
    let wrong = circuit.build().unwrap();
    let solution = solve(&wrong, None);
    assert!(solution.cups[0].level.unwrap().kpa().abs() < 1e-3);
    assert_eq!(solution.elements[valve.index()].regime, Some(Regime::Closed));
    // Without any leak it is known without iteration.
    let tight = wrong.edit(|spec| spec.cup_mut(CupId(0)).unwrap().leaks.clear()).unwrap();
    let solution = solve(&tight, None);
    assert_eq!(solution.status, Status::Solved);
    assert_eq!(solution.cups[0].level.unwrap().kpa(), 0.0);
    assert_eq!(solution.sources[0].level.map(|level| level.kpa().round()), Some(80.0));
}

/// Whatever a person types that passes the check: a figure is there and finite, or it is not there.
#[test]
fn extreme_figures_give_no_nan() {
    let mut solved = 0;
    for length in [1e-3, 1.0, 1e4, 1e8] {
        for bore in [0.05, 1.0, 25.0, 1e3] {
            for permeance in [1e-6, 1.0, 1e4] {
                for flow in [1e-3, 100.0, 1e6] {
                    let leak = Some(Leak::porous(permeance, 1000.0));
                    let network = star(&[length, 2.0 * length], bore, 1.0, pump(flow, 85.0), leak);
                    for network in [network.with_cup_open(CupId(0), true), network] {
                        let solution = solve(&network, None);
                        let finite = |value: Option<f64>| value.is_none_or(f64::is_finite);
                        assert!(solution.nodes.iter().all(|p| finite(p.map(|p| p.kpa()))));
                        assert!(
                            solution.elements.iter().all(|e| finite(e.flow_nl_min) && finite(e.loss_kpa))
                        );
                        solved += usize::from(solution.status == Status::Solved);
                    }
                }
            }
        }
    }
    assert_eq!(solved, 288);
}

#[test]
fn a_similar_network_lends_its_order_and_the_answer_is_the_same() {
    for seed in 0..40 {
        let network = random_network(seed);
        let again = network.spec().clone().build_after(&network).unwrap();
        assert!(std::sync::Arc::ptr_eq(&again.pattern, &network.pattern));
        assert_eq!(solve(&again, None), solve(&network, None), "{seed}");
        // Another connection makes an order of its own; a fault is told all the same.
        let mut more = network.spec().clone();
        let (last, new) = (NodeId(more.nodes().len() - 1), more.node("new"));
        more.line("to the new node", new, last, Line::hose(Hose::new(100.0, 4.0)));
        let grown = more.build_after(&network).unwrap();
        assert!(!std::sync::Arc::ptr_eq(&grown.pattern, &network.pattern));
        let mut wrong = network.spec().clone();
        wrong.node_mut(NodeId(0)).unwrap().volume_cm3 = -1.0;
        assert!(wrong.build_after(&network).is_err());
    }
}

#[test]
fn a_pressure_is_kept_in_place_as_by_an_edit() {
    let network = star(&[500.0, 900.0], 4.0, 1.0, pump(60.0, 85.0), Some(Leak::porous(1.0, 1000.0)));
    let at = AbsolutePressure::from_kpa(55.0);
    let mut kept = network.clone();
    assert!(kept.hold(NodeId(0), at));
    let edited = network.edit(|circuit| circuit.hold(NodeId(0), at)).unwrap();
    assert_eq!(solve(&kept, None), solve(&edited, None));
    assert!(!kept.hold(NodeId(99), at) && !kept.hold(NodeId(0), AbsolutePressure::from_kpa(0.0)));
}

/// The manifold of the benchmark, 101 nodes. Figures from an independent program: scipy's root finder on the node pressures, with
/// the same laws (residual 4e-16 kg/s), met to 1e-9.
#[test]
fn a_manifold_of_fifty_cups_as_a_root_finder_solves_it() {
    let mut circuit = NetworkBuilder::new(Air::default());
    let port = circuit.node("source");
    circuit.source("pump", port, pump(400.0, 85.0));
    let mut before = port;
    for i in 0..50 {
        let here = circuit.node(&format!("P{i}"));
        let channel = Line::hose(Hose::new(60.0, 12.0)).with(Fitting::new(FittingKind::TeeRun, 12.0));
        circuit.line(&format!("channel {i}"), here, before, channel);
        let leak = Leak::porous(0.4 + 0.2 * (i % 5) as f64, 1256.0);
        let cup = circuit.cup(Cup::tight(&format!("C{i}"), 4.0).with_leak(leak));
        let hose = Line::hose(Hose::new(300.0 + 40.0 * (i % 7) as f64, 6.0))
            .with(Fitting::new(FittingKind::Elbow90, 6.0))
            .with(Fitting::new(FittingKind::TeeBranch, 6.0));
        circuit.line(&format!("hose {i}"), circuit.cup_node(cup), here, hose);
        before = here;
    }
    let network = circuit.build().unwrap();
    let solution = solve(&network, None);
    let at_source = solution.nodes[0].unwrap().level(network.air().ambient).kpa();
    assert!((at_source - 58.997_010_143_4).abs() < 1e-9 * at_source, "{at_source}");
    let last = levels(&network)[49];
    assert!((last - 53.470_228_330_2).abs() < 1e-9 * last, "{last}");
}
