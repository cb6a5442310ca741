//! What experience says of a circuit, as inequalities between two circuits that differ in one thing.
//!
//! The sayings are common practice, without a source; each inequality was proven or computed apart. Figures beside them come
//! from an independent solution (scipy's root finder on node pressures, same laws) and are met to 1e-6.

use crate::samples::{at_every_cup, levels, pump, star, with_hose};
use crate::*;
use proptest::prelude::*;
use units::VacuumLevel;

/// Area of a 50 mm cup, mm².
const AREA: f64 = 1_963.495_408_493_621;
/// Permeance of the part, µm/(Pa·s).
const PERMEANCE: f64 = 9.0;

fn part(permeance: f64) -> Option<Leak> {
    Some(Leak::porous(permeance, AREA))
}

/// Four 50 mm cups on a porous part, one source of 120 L/min ANR and 85 kPa, hoses of 1 m unless stated.
fn four(lengths_mm: [f64; 4], bore_mm: f64, k: f64) -> Network {
    star(&lengths_mm, bore_mm, k, pump(120.0, 85.0), part(PERMEANCE))
}

fn met(found: &[f64], pascal: &[f64]) {
    assert_eq!(found.len(), pascal.len());
    for (found, expected) in found.iter().zip(pascal) {
        // 1e-6 of the pressure, some 80 kPa.
        assert!((found * 1e3 - expected).abs() < 0.1, "{found} kPa, expected {expected} Pa");
    }
}

fn rises(values: &[f64]) -> bool {
    values.windows(2).all(|pair| pair[1] > pair[0])
}

fn falls(values: &[f64]) -> bool {
    values.windows(2).all(|pair| pair[1] < pair[0])
}

/// A larger bore never lowers a leaking cup's level (common practice, no source).
#[test]
fn a_larger_bore_deepens_a_leaking_cup_up_to_a_bound() {
    let found: Vec<f64> =
        [4.0, 6.0, 8.0, 10.0, 12.0].map(|bore| levels(&four([1000.0; 4], bore, 1.5))[0]).to_vec();
    assert!(rises(&found));
    met(&found, &[21_232.719_222, 22_640.355_097, 22_849.648_562, 22_900.165_108, 22_917.817_510]);
    // The bound: all four cups right at the source.
    let mut circuit = NetworkBuilder::new(Air::default());
    let cup = circuit.cup(Cup::tight("all four", 6.0).with_leak(Leak::porous(PERMEANCE, 4.0 * AREA)));
    circuit.source("source", circuit.cup_node(cup), pump(120.0, 85.0));
    assert!(found[4] < levels(&circuit.build().unwrap())[0]);
}

/// Equal hoses give equal levels, of unequal ones the shorter is better (common practice, no source).
#[test]
fn equal_hoses_give_equal_levels_and_of_unequal_ones_the_shorter_is_better() {
    let equal = levels(&four([1125.0; 4], 6.0, 1.5));
    assert!(equal.iter().all(|level| (level - equal[0]).abs() < 1e-9));
    met(&equal, &[22_611.800_575; 4]);
    let unequal = levels(&four([300.0, 600.0, 1200.0, 2400.0], 6.0, 1.5));
    assert!(falls(&unequal));
    met(&unequal, &[23_221.964_763, 22_988.318_002, 22_542.910_059, 21_729.246_418]);
}

/// A straight or swept fitting beats a 90 degree elbow (common practice, no source).
#[test]
fn straight_and_swept_fittings_beat_elbows_within_a_bound() {
    let networks = [0.6, 1.5, 3.0, 5.0].map(|k| four([1000.0; 4], 6.0, k));
    let found: Vec<f64> = networks.iter().map(|network| levels(network)[0]).collect();
    assert!(falls(&found));
    met(&found, &[22_672.790_265, 22_640.355_097, 22_586.634_702, 22_515.656_513]);
    // The rise of squared pressure from port to cup is at most that of the added loss at the higher flow.
    let rise = |network: &Network| {
        let solution = solve(network, None);
        let squared = |node: usize| (solution.nodes[node].unwrap().kpa() * 1e3).powi(2);
        (squared(1) - squared(0), kg_s_from_nl_min(solution.elements[0].flow_nl_min.unwrap()))
    };
    let ((low, flow), (high, _)) = (rise(&networks[1]), rise(&networks[2]));
    let area = std::f64::consts::FRAC_PI_4 * 6e-3_f64.powi(2);
    let bound = 1.5 * (flow / area).powi(2) * GAS_CONSTANT * 293.15;
    assert!(high > low && high - low <= bound);
    // Real fittings of one bore in the same order.
    let kinds =
        [FittingKind::Straight, FittingKind::SweptBranch, FittingKind::Elbow90, FittingKind::TeeBranch];
    let real = kinds.map(|kind| {
        let changed = four([1000.0; 4], 6.0, 0.0).edit(|circuit| {
            for id in circuit.element_ids() {
                if let Some(ElementKind::Line(line)) = circuit.element_mut(id).map(|e| &mut e.kind) {
                    line.fittings = vec![Fitting::new(kind, 6.0)];
                }
            }
        });
        levels(&changed.unwrap())[0]
    });
    assert!(real[0] > real[1] && real[1] > real[3] && real[0] > real[2] && real[2] > real[3]);
}

/// A coil of spare hose hurts (common practice, no source).
#[test]
fn spare_hose_hurts_its_cup_more_when_coiled_and_helps_the_others() {
    let lengths = [1000.0, 2000.0, 4000.0, 6000.0];
    let networks = lengths.map(|spare| four([1000.0, 1000.0, 1000.0, spare], 6.0, 1.5));
    let of_it: Vec<f64> = networks.iter().map(|network| levels(network)[3]).collect();
    assert!(falls(&of_it));
    met(&of_it, &[22_640.355_097, 22_059.254_062, 21_026.899_864, 20_133.562_250]);
    let others = levels(&networks[3])[0];
    assert!(others > levels(&networks[0])[0]);
    met(&[others], &[23_169.643_670]);
    let coiled = networks[3].edit(|circuit| {
        let last = circuit.element_ids().last().unwrap();
        if let Some(ElementKind::Line(Line { hose: Some(hose), .. })) =
            circuit.element_mut(last).map(|e| &mut e.kind)
        {
            hose.coil = Some(Coil { length_mm: 5000.0, diameter_mm: 120.0 });
        }
    });
    let coiled = coiled.unwrap();
    assert!(levels(&coiled)[3] < of_it[3]);
    // Cutting the coil off brings back what a hose of 1 m gives.
    let cut = with_hose(&coiled, coiled.spec().element_ids().last().unwrap(), |hose| {
        hose.length_mm -= hose.coil.take().unwrap().length_mm;
    });
    met(&[levels(&cut)[3]], &[22_640.355_097]);
}

/// Eight 40 mm cups on a manifold of 9 mm bore, fed at one end by 0.5 m of 12 mm hose.
fn manifold() -> Network {
    let mut circuit = NetworkBuilder::new(Air::default());
    let source = circuit.node("source");
    circuit.source("source", source, pump(210.0, 85.0));
    let ports: Vec<NodeId> = (0..8).map(|i| circuit.node(&format!("P{i}"))).collect();
    for i in 1..8 {
        let channel = Line::hose(Hose::new(250.0, 9.0)).with(Fitting::stated(0.3, 9.0));
        circuit.line(&format!("channel {i}"), ports[i], ports[i - 1], channel);
    }
    for (i, &port) in ports.iter().enumerate() {
        let cup = circuit
            .cup(Cup::tight(&format!("C{i}"), 5.0).with_leak(Leak::porous(9.0, 1_256.637_061_435_917_2)));
        let leg = Line::hose(Hose::new(400.0, 6.0)).with(Fitting::stated(1.5, 6.0));
        circuit.line(&format!("leg {i}"), circuit.cup_node(cup), port, leg);
    }
    let feed = Line::hose(Hose::new(500.0, 12.0)).with(Fitting::stated(1.0, 12.0));
    let feed = circuit.line("feed", ports[0], source, feed);
    circuit.manifold("manifold", &ports, &[feed]);
    circuit.build().unwrap()
}

/// A manifold fed from both ends is more even (common practice, no source).
#[test]
fn a_manifold_fed_at_both_ends_is_more_even() {
    let one = manifold();
    // A second feed like the first, at the other end.
    let both = one.edit(|circuit| {
        let feed = circuit.elements[circuit.manifolds[0].feeds[0].index()].clone();
        let (first, last) = (circuit.manifolds[0].ports[0], *circuit.manifolds[0].ports.last().unwrap());
        let other = |node| if node == first { last } else { node };
        circuit.element("second feed", other(feed.from), other(feed.to), feed.kind);
    });
    let both = both.unwrap();
    let spread = |network: &Network| {
        let levels = levels(network);
        levels.iter().copied().fold(0.0, f64::max) - levels.iter().copied().fold(f64::INFINITY, f64::min)
    };
    assert!(spread(&both) < spread(&one));
    met(&[spread(&one), spread(&both)], &[2_310.370_318, 284.625_226]);
}

/// A source of its own keeps each cup apart from the others (common practice, no source).
#[test]
fn a_source_at_each_cup_beats_the_longest_hose_and_keeps_the_others_when_one_opens() {
    let central = four([300.0, 600.0, 1200.0, 2400.0], 6.0, 1.5);
    let mut circuit = NetworkBuilder::new(central.air());
    for placed in central.spec().cups() {
        let cup = circuit.cup(placed.cup.clone());
        circuit.source(&format!("source of {}", placed.cup.name), circuit.cup_node(cup), pump(30.0, 85.0));
    }
    let own = circuit.build().unwrap();
    let least = |levels: Vec<f64>| levels.into_iter().fold(f64::INFINITY, f64::min);
    assert!(least(levels(&own)) > least(levels(&central)));
    let with_one_open = |network: &Network| cups_open(network, &[CupId(0)]).worst.unwrap().1.kpa();
    assert!(with_one_open(&own) > 2.0 * with_one_open(&central));
    // The others do not notice.
    assert!((with_one_open(&own) - levels(&own)[1]).abs() < 1e-6);
}

/// A source at the cup evacuates fastest (common practice, no source).
#[test]
fn a_source_close_to_the_cup_evacuates_fastest() {
    let times: Vec<f64> = [50.0, 500.0, 1000.0, 2000.0]
        .map(|length| {
            let network = star(&[length], 6.0, 1.5, pump(60.0, 85.0), None)
                .edit(|circuit| circuit.cup_mut(CupId(0)).unwrap().held_volume_cm3 = 300.0);
            let network = network.unwrap();
            let how = Evacuation { shares: vec![0.7], ..Evacuation::default() };
            let time = evacuate(&network, &how).unwrap().all_at_share(0).unwrap();
            // No faster than all the air at the source itself.
            let volume = network.volumes_cm3().iter().sum();
            let curve = SourceCurve::linear(60.0, VacuumLevel::from_kpa(85.0));
            let (air, level) = (Air::default(), VacuumLevel::from_kpa(0.7 * 85.0));
            let bound =
                emptying_time_s(volume, &curve, 0.0, air.ambient, level.absolute(air.ambient), &air).unwrap();
            assert!(time >= 0.999 * bound, "{time} {bound}");
            time
        })
        .to_vec();
    assert!(rises(&times), "{times:?}");
}

/// A porous part needs flow, a sealed one depth (common practice, no source).
#[test]
fn a_porous_part_needs_flow_and_a_tight_one_depth() {
    let with =
        |source: Source, permeance: f64| levels(&star(&[500.0, 500.0], 8.0, 1.0, source, part(permeance)))[0];
    let (flow, depth) = (|| pump(300.0, 60.0), || pump(90.0, 90.0));
    assert!(with(flow(), 20.0) > with(depth(), 20.0));
    assert!(with(flow(), 0.1) < with(depth(), 0.1));
}

/// A more porous part leaves less everywhere (common practice, no source).
#[test]
fn a_more_porous_part_gives_less_everywhere() {
    let found: Vec<f64> = [1.0, 3.0, 9.0, 20.0]
        .map(|permeance| levels(&star(&[1000.0; 4], 6.0, 1.5, pump(120.0, 85.0), part(permeance)))[0])
        .to_vec();
    assert!(falls(&found));
    met(&found, &[69_337.960_977, 47_453.507_321, 22_640.355_097, 11_326.051_642]);
}

/// Feed pressures of 345 to 415 kPa (50 to 60 psi) are where ejectors for low feed work; others lose there (common practice, no
/// source).
#[test]
fn low_feed_is_for_ejectors_made_for_it() {
    let row = |feed_kpa, free_flow_nl_min, ultimate_kpa, consumption_nl_min| FeedRow {
        feed_kpa,
        free_flow_nl_min,
        ultimate_kpa,
        consumption_nl_min,
    };
    let usual = Ejector {
        shape: CurveShape::Linear,
        rows: vec![row(300.0, 35.0, 45.0, 52.0), row(400.0, 55.0, 68.0, 65.0), row(550.0, 75.0, 87.0, 84.0)],
    };
    let low = Ejector {
        shape: CurveShape::Linear,
        rows: vec![row(300.0, 55.0, 75.0, 62.0), row(400.0, 70.0, 88.0, 77.0), row(550.0, 72.0, 84.0, 100.0)],
    };
    let network = |ejector: &Ejector, feed: f64| {
        star(&[500.0, 500.0], 6.0, 1.0, Source::ejector(ejector.clone(), feed), part(1.0))
    };
    for feed in [345.0, 380.0, 415.0] {
        assert!(levels(&network(&low, feed))[0] > levels(&network(&usual, feed))[0]);
    }
    assert!(levels(&network(&usual, 380.0))[0] < levels(&network(&usual, 550.0))[0]);
}

/// Six cups on 0.6 m of hose, the first off the part.
fn one_of_six_open(bore_mm: f64) -> Network {
    let mut circuit = NetworkBuilder::new(Air::default());
    let port = circuit.node("port");
    circuit.source("source", port, pump(240.0, 85.0));
    for i in 0..6 {
        let mut cup = Cup::tight(&format!("C{i}"), 6.0).with_leak(Leak::porous(2.0, 1_256.637_061_435_917_2));
        cup.open = i == 0;
        cup.discharge = 0.8;
        let cup = circuit.cup(cup);
        let hose = Line::hose(Hose::new(600.0, bore_mm)).with(Fitting::stated(1.5, bore_mm));
        circuit.line(&format!("H{i}"), circuit.cup_node(cup), port, hose);
    }
    circuit.build().unwrap()
}

/// The opposite of the first saying with a cup open on a shared source (common practice, no source).
#[test]
fn with_a_cup_open_a_larger_bore_harms_the_others_and_a_restrictor_helps_them() {
    let others = [4.0, 6.0, 8.0].map(|bore| levels(&one_of_six_open(bore))[1]);
    assert!(falls(&others), "{others:?}");
    met(&others, &[46_706.867_305, 27_349.543_162, 18_917.018_907]);
    let through = Restriction { conductance_dm3_s_bar: 0.3, critical_ratio: 0.4 };
    let restricted = at_every_cup(&one_of_six_open(6.0), &ElementKind::Restrictor(through));
    let helped = levels(&restricted)[1];
    // 44 262.630 Pa; to 2e-5, the restrictor's own law being laminar at next to no flow here.
    assert!((helped - (101_325.0 - 44_262.630_451) * 1e-3).abs() < 1e-3 && helped > 2.0 * others[1]);
    // On the part, the same bores deepen every cup.
    let held = |bore| levels(&one_of_six_open(bore).with_cup_open(CupId(0), false))[1];
    assert!(held(4.0) < held(6.0) && held(6.0) < held(8.0));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Another leak, or a larger one, raises no pressure's level anywhere, whatever the network.
    #[test]
    fn more_leak_never_deepens_any_node(seed in 0..10_000_u64, bore in 0.2..5.0_f64, pick in 0..100_usize) {
        let network = crate::samples::random_network(seed);
        let node = NodeId(pick % network.spec().nodes().len());
        let leaking = network.edit(|circuit| {
            circuit.leak("hole", node, Leak::Hole { bore_mm: bore, discharge: 0.7 });
        }).unwrap();
        let (before, after) = (solve(&network, None), solve(&leaking, None));
        prop_assert!(before.status != Status::NotConverged && after.status != Status::NotConverged);
        for (a, b) in before.nodes.iter().zip(&after.nodes) {
            if let (Some(a), Some(b)) = (a, b) {
                prop_assert!(b.kpa() >= a.kpa() - 1e-3, "{} to {}", a.kpa(), b.kpa());
            }
        }
    }

    /// Opening up one hose never lowers what a single source draws.
    #[test]
    fn a_wider_hose_never_draws_less_in_all(
        lengths in prop::collection::vec(100.0..4000.0_f64, 2..7), wider in 1.05..2.0_f64, at in 0..7_usize,
    ) {
        let network = star(&lengths, 5.0, 1.0, pump(150.0, 80.0), part(4.0));
        let at = ElementId(at % lengths.len());
        let changed = with_hose(&network, at, |hose| hose.bore_mm = 5.0 * wider);
        let drawn = |network: &Network| solve(network, None).sources[0].flow_nl_min.unwrap();
        prop_assert!(drawn(&changed) >= drawn(&network) - 1e-6);
        // Its own cup gains, or at least loses nothing.
        prop_assert!(levels(&changed)[at.index()] >= levels(&network)[at.index()] - 1e-6);
    }

    /// Numbering and direction say nothing.
    #[test]
    fn order_and_direction_change_nothing(lengths in prop::collection::vec(100.0..4000.0_f64, 2..7)) {
        let forward = levels(&star(&lengths, 5.0, 1.0, pump(150.0, 80.0), part(4.0)));
        let turned: Vec<f64> = lengths.iter().rev().copied().collect();
        let network = star(&turned, 5.0, 1.0, pump(150.0, 80.0), part(4.0)).edit(|circuit| {
            for element in &mut circuit.elements {
                std::mem::swap(&mut element.from, &mut element.to);
            }
        });
        let backward = levels(&network.unwrap());
        for (a, b) in forward.iter().zip(backward.iter().rev()) {
            prop_assert!((a - b).abs() < 1e-8);
        }
    }
}
