//! Networks for tests: the same seed gives the same network.

use crate::*;
use units::VacuumLevel;

/// A small generator of numbers, so that tests need no other crate's and stay the same for ever.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(0xD1B5_4A32_D192_ED03))
    }

    fn next(&mut self) -> u64 {
        // xorshift64* (Marsaglia 2003, Vigna 2016; from memory).
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }

    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }
}

pub(crate) fn pump(flow_nl_min: f64, kpa: f64) -> Source {
    Source::pump(SourceCurve::linear(flow_nl_min, VacuumLevel::from_kpa(kpa)), 300.0)
}

fn random_curve(dice: &mut Dice) -> SourceCurve {
    let (flow, kpa) = (dice.between(20.0, 400.0), dice.between(25.0, 92.0));
    match dice.below(3) {
        0 => SourceCurve::linear(flow, VacuumLevel::from_kpa(kpa)),
        1 => SourceCurve::power(flow, VacuumLevel::from_kpa(kpa), dice.between(0.5, 4.0)),
        _ => {
            let (level, share) = (dice.between(0.2, 0.8), dice.between(0.0, 1.0));
            SourceCurve::from_points(&[(0.0, flow), (level * kpa, share * flow), (kpa, 0.0)]).unwrap()
        }
    }
}

fn random_line(dice: &mut Dice, kinetic: bool) -> Line {
    let bore = [2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 15.0, 25.0][dice.below(8)];
    let mut hose = Hose::new(dice.between(20.0, 4000.0), bore);
    if dice.chance(0.1) {
        hose.coil = Some(Coil { length_mm: 0.6 * hose.length_mm, diameter_mm: 15.0 * bore });
    }
    let kinds = [
        FittingKind::Elbow90,
        FittingKind::Elbow45,
        FittingKind::TeeRun,
        FittingKind::TeeBranch,
        FittingKind::SweptBranch,
        FittingKind::Straight,
        FittingKind::Stated { k: 1.5, k_low: 0.0 },
        FittingKind::Expansion { to_mm: 1.5 * bore },
    ];
    let mut line = Line { kinetic, ..Line::hose(hose) };
    for _ in 0..dice.below(4) {
        let kind = kinds[dice.below(kinds.len())];
        let own =
            if matches!(kind, FittingKind::Expansion { .. }) { bore } else { bore * dice.between(0.7, 1.0) };
        line = line.with(Fitting::new(kind, own));
    }
    line
}

fn random_restriction(dice: &mut Dice) -> Restriction {
    let conductance_dm3_s_bar = 10.0_f64.powf(dice.between(-1.5, 1.0));
    Restriction { conductance_dm3_s_bar, critical_ratio: dice.between(0.1, 0.6) }
}

fn random_kind(dice: &mut Dice, kinetic: bool) -> ElementKind {
    match dice.below(20) {
        0..=2 => ElementKind::Restrictor(random_restriction(dice)),
        3 => ElementKind::Filter(random_restriction(dice)),
        4 => ElementKind::Valve { through: random_restriction(dice), open: !dice.chance(0.2) },
        5 => ElementKind::CheckValve {
            through: random_restriction(dice),
            opening_kpa: [0.0, 0.0, 1.0, 3.0][dice.below(4)],
            seep: None,
        },
        6 => ElementKind::Line(Line::fittings(vec![Fitting::new(
            FittingKind::Elbow90,
            dice.between(3.0, 12.0),
        )])),
        _ => ElementKind::Line(random_line(dice, kinetic)),
    }
}

fn random_cup(dice: &mut Dice, name: &str, open: f64) -> Cup {
    let mut cup = Cup::tight(name, dice.between(1.5, 8.0));
    cup.open = dice.chance(open);
    let leak = match dice.below(10) {
        0..=2 => return cup,
        3..=7 => Leak::Porous {
            permeance_um_pa_s: 10.0_f64.powf(dice.between(-3.0, 1.5)),
            area_mm2: dice.between(80.0, 3000.0),
            inertia: if dice.chance(0.2) { 1e5 } else { 0.0 },
        },
        8 => Leak::LipGap {
            length_mm: dice.between(2.0, 100.0),
            gap_mm: dice.between(0.005, 0.1),
            lip_width_mm: 1.0,
        },
        _ => Leak::Hole { bore_mm: dice.between(0.1, 3.0), discharge: 0.7 },
    };
    cup.leaks.push(leak);
    cup
}

/// A tree with some loops, of 2 to 100 nodes, one to three sources, cups tight, leaking and open.
pub(crate) fn random_network(seed: u64) -> Network {
    let mut dice = Dice::new(seed);
    let count = 2 + dice.below(99);
    let kinetic = dice.chance(0.3);
    let open = [0.0, 0.05, 0.3][dice.below(3)];
    let mut circuit = NetworkBuilder::new(Air::default());
    let nodes: Vec<NodeId> =
        (0..count).map(|i| circuit.vessel(&format!("N{i}"), dice.between(0.0, 50.0))).collect();
    for i in 1..count {
        let reach = if dice.chance(0.5) { i } else { i.min(4) };
        let parent = i - 1 - dice.below(reach);
        let kind = random_kind(&mut dice, kinetic);
        circuit.element(&format!("E{i}"), nodes[i], nodes[parent], kind);
    }
    for extra in 0..dice.below(1 + count / 5) {
        let (a, b) = (dice.below(count), dice.below(count));
        if a != b {
            let kind = random_kind(&mut dice, kinetic);
            circuit.element(&format!("X{extra}"), nodes[a], nodes[b], kind);
        }
    }
    for (i, &node) in nodes.iter().enumerate().skip(1) {
        if dice.chance(0.5) {
            let cup = random_cup(&mut dice, &format!("C{i}"), open);
            circuit.cup_at(cup, node);
        }
    }
    for i in 0..1 + dice.below(3) {
        let node = if i == 0 { 0 } else { dice.below(count) };
        let mut source = Source::pump(random_curve(&mut dice), 100.0);
        if i > 0 && dice.chance(0.2) {
            source = source.stopped();
            if dice.chance(0.5) {
                source = source.with_way_back(random_restriction(&mut dice));
            }
        }
        circuit.source(&format!("S{i}"), nodes[node], source);
    }
    circuit.build().unwrap()
}

/// Cups on a star of hoses of the same bore and one fitting; lengths in mm. Names C1, C2 ...
pub(crate) fn star(lengths_mm: &[f64], bore_mm: f64, k: f64, source: Source, leak: Option<Leak>) -> Network {
    let mut circuit = NetworkBuilder::new(Air::default());
    let port = circuit.node("port");
    circuit.source("source", port, source);
    for (i, &length) in lengths_mm.iter().enumerate() {
        let mut cup = Cup::tight(&format!("C{}", i + 1), 6.0).with_volume(10.0, 10.0);
        cup.leaks.extend(leak);
        let cup = circuit.cup(cup);
        let line = Line::hose(Hose::new(length, bore_mm)).with(Fitting::stated(k, bore_mm));
        circuit.line(&format!("H{}", i + 1), circuit.cup_node(cup), port, line);
    }
    circuit.build().unwrap()
}

/// The same with such an element at every cup, between it and all that is connected to it.
pub(crate) fn at_every_cup(network: &Network, kind: &ElementKind) -> Network {
    let changed = network.edit(|circuit| {
        for cup in 0..circuit.cups.len() {
            let inside = circuit.cups[cup].node;
            let behind = circuit.node(&format!("behind {cup}"));
            for element in &mut circuit.elements {
                for end in [&mut element.from, &mut element.to] {
                    if *end == inside {
                        *end = behind;
                    }
                }
            }
            circuit.element(&format!("at {cup}"), inside, behind, kind.clone());
        }
    });
    changed.unwrap()
}

/// The same with one hose otherwise.
pub(crate) fn with_hose(network: &Network, element: ElementId, change: impl FnOnce(&mut Hose)) -> Network {
    let changed = network.edit(|circuit| {
        let kind = &mut circuit.element_mut(element).unwrap().kind;
        let ElementKind::Line(Line { hose: Some(hose), .. }) = kind else { panic!("no hose") };
        change(hose);
    });
    changed.unwrap()
}

/// Levels at all cups, kPa.
pub(crate) fn levels(network: &Network) -> Vec<f64> {
    let solution = solve(network, None);
    assert_eq!(solution.status, Status::Solved);
    solution.cups.iter().map(|cup| cup.level.unwrap().kpa()).collect()
}
