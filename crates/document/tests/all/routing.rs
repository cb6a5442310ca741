//! What hangs on what, how long each hose is, and the circuit that one click gives.
use crate::common;

use document::*;
use glam::{DVec2, DVec3};
use proptest::prelude::*;
use std::{collections::BTreeSet, sync::Arc};

/// The source sits at four fifths of the height of the flange: 150 mm and the cups' posts of 10 mm.
const SOURCE_Z: f64 = 128.0;

/// A project with round cups at these places, in these zones, on one circuit with this supply.
fn cups_at(places: &[(f64, f64, &str)]) -> Project {
    let part = Part::rectangle(PartId(1), "Sheet", 1000.0, 600.0);
    let mut p = Project::new("Test", part);
    let model = library().iter().find(|m| &*m.id.0 == "round-40-flat-medium").unwrap().clone();
    let circuit = p.circuits[0].id;
    let cups = places.iter().zip(100..).map(|((x, y, zone), id)| Cup {
        id: CupId(id),
        tag: format!("C{}", id - 99),
        model: model.id.clone(),
        at: DVec2::new(*x, *y),
        turn_deg: 0.0,
        height_mm: 10.0,
        circuit,
        zone: (*zone).into(),
        locked: false,
    });
    let (layout, cups) = (p.layouts[0].id, cups.collect());
    let edits = vec![Edit::AddModel(model), Edit::AddCups { layout, cups }];
    p = Edit::Together { name: String::new(), edits }.apply(&p).unwrap();
    p
}
fn fed(p: &Project, arrangement: Arrangement, change: impl FnOnce(&mut Supply)) -> Project {
    let (layout, circuit) = (p.layouts[0].id, p.circuits[0].id);
    let mut p = p.feed_circuit(layout, circuit, arrangement).unwrap().apply(p).unwrap();
    let circuit = Arc::make_mut(&mut p.circuits[0]);
    change(Arc::make_mut(circuit.supply.as_mut().unwrap()));
    p
}
fn routing(p: &Project) -> Routing {
    p.routing(p.layouts[0].id, p.circuits[0].id).unwrap()
}
/// From the lips to where the hose comes on: body and post.
fn connection(p: &Project) -> f64 {
    p.models[0].height_mm + 10.0
}

#[test]
fn hoses_of_a_manifold_are_measured_on_the_plan() {
    let p = cups_at(&[(400.0, 300.0, "A"), (600.0, 300.0, "A")]);
    let p = fed(&p, Arrangement::Central, |s| {
        s.at = DVec3::new(500.0, 100.0, 120.0);
        s.manifold = Some(Manifold {
            at: DVec2::new(500.0, 300.0),
            turn_deg: 0.0,
            length_mm: 100.0,
            bore_mm: 12.0,
            ports: 2,
            fed: Fed::OneEnd,
        });
        s.main.length = LineLength::Plan { slack_mm: 80.0 };
        s.branch.length = LineLength::Plan { slack_mm: 40.0 };
        s.branch.coil = Some(Coil { turns: 2.0, diameter_mm: 50.0 });
    });
    let Routing { runs } = routing(&p);
    let [run] = &runs[..] else { panic!("{runs:?}") };
    let [main] = run.mains[..] else { panic!("{run:?}") };
    // Both ends are as far: the first is taken. 200 mm down the plan, 50 mm across.
    assert_eq!((main.to, main.at_last_port), (DVec3::new(450.0, 300.0, 120.0), false));
    assert!((main.length_mm - (200f64.hypot(50.0) + 80.0)).abs() < 1e-9);
    // Ports 50 mm apart, 25 mm from the ends; the coil comes on top.
    let drop = 120.0 - connection(&p);
    let branch = 75.0 + drop + 40.0 + 2.0 * std::f64::consts::PI * 50.0;
    for (b, port) in run.branches.iter().zip([0, 1]) {
        assert_eq!(b.port, Some(port));
        assert!((b.length_mm - branch).abs() < 1e-9, "{b:?}");
    }
    // Cups go to the ports on their own side, whatever order they were placed in.
    let swapped = cups_at(&[(600.0, 300.0, "A"), (400.0, 300.0, "A")]);
    let Project { circuits, sources, .. } = p;
    let ports: Vec<_> =
        routing(&Project { circuits, sources, ..swapped }).runs[0].branches.iter().map(|b| b.port).collect();
    assert_eq!(ports, [Some(1), Some(0)]);
}

#[test]
fn a_manifold_is_fed_at_the_nearer_end_or_at_both() {
    let p = cups_at(&[(400.0, 300.0, "A"), (600.0, 300.0, "A")]);
    let fed_from = |x: f64, fed_at: Fed| {
        let p = fed(&p, Arrangement::Central, |s| {
            s.at = DVec3::new(x, 100.0, 120.0);
            s.manifold.as_mut().unwrap().fed = fed_at;
        });
        routing(&p).runs.remove(0).mains
    };
    assert_eq!(fed_from(0.0, Fed::OneEnd).iter().map(|m| m.at_last_port).collect::<Vec<_>>(), [false]);
    assert_eq!(fed_from(900.0, Fed::OneEnd).iter().map(|m| m.at_last_port).collect::<Vec<_>>(), [true]);
    let both = fed_from(900.0, Fed::BothEnds);
    assert_eq!(both.iter().map(|m| m.at_last_port).collect::<Vec<_>>(), [true, false]);
    assert!(both[0].length_mm < both[1].length_mm, "the first is the nearer");
}

#[test]
fn without_a_manifold_branches_part_amid_the_cups() {
    let p = cups_at(&[(200.0, 100.0, "A"), (400.0, 100.0, "A"), (300.0, 400.0, "A")]);
    let p = fed(&p, Arrangement::Central, |s| s.manifold = None);
    let run = routing(&p).runs.remove(0);
    assert_eq!(run.mains[0].to, DVec3::new(300.0, 200.0, SOURCE_Z));
    assert!(run.branches.iter().all(|b| b.from == run.mains[0].to && b.port.is_none()));
}

#[test]
fn sources_of_their_own_need_no_main_hose() {
    let p = cups_at(&[(200.0, 100.0, "A"), (400.0, 100.0, "B")]);
    let on_cup = routing(&fed(&p, Arrangement::PerCup, |_| {}));
    assert_eq!(on_cup.runs.len(), 1);
    assert!(on_cup.runs[0].mains.is_empty());
    assert!(on_cup.runs[0].branches.iter().all(|b| b.length_mm == 0.0 && b.from == b.to));
    let p = fed(&p, Arrangement::InLine, |s| s.branch.length = LineLength::Plan { slack_mm: 150.0 });
    let in_line = routing(&p);
    assert!(in_line.runs[0].branches.iter().all(|b| b.length_mm == SOURCE_Z - connection(&p) + 150.0));
}

#[test]
fn a_branch_of_its_own_counts_for_its_cup_only() {
    let p = cups_at(&[(200.0, 100.0, "A"), (400.0, 100.0, "A")]);
    let p = fed(&p, Arrangement::Central, |s| {
        let line = Line { length: LineLength::Typed { mm: 777.0 }, ..s.branch.clone() };
        s.branches = vec![BranchLine { cup: CupId(101), line }];
    });
    let lengths: Vec<f64> = routing(&p).runs[0].branches.iter().map(|b| b.length_mm).collect();
    assert!(lengths[0] != 777.0 && lengths[1] == 777.0, "{lengths:?}");
    // It goes with the cup.
    let (layout, cups) = (p.layouts[0].id, vec![CupId(101)]);
    let without = Edit::RemoveCups { layout, cups }.apply(&p).unwrap();
    assert!(without.circuits[0].supply.as_ref().unwrap().branches.is_empty());
}

#[test]
fn zones_share_a_manifold_in_pieces_or_have_their_own() {
    let p = cups_at(&[
        (700.0, 300.0, "A"),
        (800.0, 300.0, "A"),
        (900.0, 300.0, "A"),
        (100.0, 300.0, "B"),
        (200.0, 300.0, "B"),
        (500.0, 300.0, "C"),
    ]);
    let shared = fed(&p, Arrangement::Central, |s| {
        // C is always on.
        s.valves.retain(|v| v.zone != "C");
        s.manifold.as_mut().unwrap().ports = 8;
        s.manifold.as_mut().unwrap().length_mm = 200.0;
    });
    let runs = routing(&shared).runs;
    let cups = |run: &Run| run.branches.iter().map(|b| b.cup.0).collect::<Vec<_>>();
    assert_eq!(
        runs.iter().map(|r| (r.valve, cups(r))).collect::<Vec<_>>(),
        [(Some(0), vec![100, 101, 102]), (Some(1), vec![103, 104]), (None, vec![105]),]
    );
    // B lies first along the manifold, C in the middle; A, the last, has the two ports left over.
    let pieces: Vec<_> = runs.iter().map(|r| r.manifold.unwrap()).collect();
    assert_eq!(pieces.iter().map(|m| m.ports).collect::<Vec<_>>(), [5, 2, 1]);
    assert!(pieces[1].at.x < pieces[2].at.x && pieces[2].at.x < pieces[0].at.x);
    assert_eq!(pieces.iter().map(|m| m.length_mm).sum::<f64>(), 200.0);
    assert_eq!(pieces[1].ends()[1], pieces[2].ends()[0]);
    let own = fed(&p, Arrangement::Central, |s| {
        let m = s.manifold.unwrap();
        s.valves[1].manifold = Some(Manifold { at: DVec2::new(150.0, 250.0), ports: 2, ..m });
    });
    let runs = routing(&own).runs;
    assert_eq!(runs[1].manifold.unwrap().at.x, 150.0);
    assert_eq!(runs[0].manifold.unwrap().ports + runs[2].manifold.unwrap().ports, 6);
}

#[test]
fn one_click_gives_a_circuit_without_a_problem_and_one_undo_takes_it_back() {
    let plain = cups_at(&[(200.0, 100.0, "A"), (800.0, 100.0, "A"), (500.0, 500.0, "B")]);
    for arrangement in Arrangement::ALL {
        let mut history = History::new(plain.clone());
        let (layout, circuit) = (plain.layouts[0].id, plain.circuits[0].id);
        history.apply(plain.feed_circuit(layout, circuit, *arrangement).unwrap()).unwrap();
        let p = history.committed();
        assert_eq!(p.problems(), []);
        assert_eq!(p.sources.len(), 1);
        assert_eq!(history.undo_name(), Some(&*format!("Feed Circuit 1 from {}", arrangement.label())));
        assert_eq!(from_text(&to_text(p), "p.ron").as_ref(), Ok(&**p));
        history.undo();
        assert_eq!(**history.committed(), plain);
    }
    let two_zones = fed(&plain, Arrangement::Central, |_| {});
    let supply = two_zones.circuits[0].supply.as_ref().unwrap();
    assert_eq!(
        supply.valves.iter().map(|v| (&*v.zone, v.check_valve)).collect::<Vec<_>>(),
        [("A", true), ("B", true)]
    );
    // What lets air through gets a source for flow.
    let mut porous = plain;
    Arc::make_mut(&mut porous.parts[0]).permeance_um_pa_s = Some(Sourced::stated(0.5));
    let source = fed(&porous, Arrangement::Central, |_| {}).sources[0].clone();
    assert!(source.id.0.contains("flow"), "{}", source.id);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Every cup has a port of its own where there are enough; hoses do not depend on the order of the cups, and no
    /// exchange of two ports makes less hose.
    #[test]
    fn ports_are_given_out_well(
        places in proptest::collection::vec((-500.0..500.0f64, -300.0..300.0f64), 1..9),
        spare in 0u32..5,
        turn in 0.0..180.0f64,
    ) {
        let places: Vec<_> = places.iter().map(|(x, y)| (*x, *y, "A")).collect();
        let n = places.len() as u32;
        let change = |s: &mut Supply| {
            let at = DVec2::new(20.0, 30.0);
            let (length_mm, ports) = (30.0 * f64::from(n + spare), n + spare);
            s.manifold =
                Some(Manifold { at, turn_deg: turn, length_mm, bore_mm: 12.0, ports, fed: Fed::OneEnd });
        };
        let run = |places: &[(f64, f64, &str)]| {
            routing(&fed(&cups_at(places), Arrangement::Central, change)).runs.remove(0)
        };
        let forward = run(&places);
        let ports: BTreeSet<u32> = forward.branches.iter().map(|b| b.port.unwrap()).collect();
        prop_assert_eq!(ports.len(), places.len());
        prop_assert!(ports.iter().all(|p| *p < n + spare));
        let total = |run: &Run| run.branches.iter().map(|b| b.length_mm).sum::<f64>();
        let mut back = places.clone();
        back.reverse();
        prop_assert!((total(&forward) - total(&run(&back))).abs() < 1e-6);
        let manifold = forward.manifold.unwrap();
        for b in &forward.branches {
            prop_assert!((manifold.port(b.port.unwrap()) - b.from.truncate()).length() < 1e-9);
            // A free port that is nearer would have been taken, unless a hose would cross.
            let along = |p: DVec2| (p - manifold.at).dot(DVec2::from_angle(turn.to_radians()));
            for free in (0..n + spare).filter(|p| !ports.contains(p)) {
                let crosses = forward.branches.iter().any(|o| {
                    (along(o.to.truncate()) - along(b.to.truncate()))
                        * (f64::from(o.port.unwrap()) - f64::from(free)) < 0.0
                });
                let there = manifold.port(free).distance(b.to.truncate());
                let here = b.from.truncate().distance(b.to.truncate());
                prop_assert!(crosses || there >= here - 1e-9);
            }
        }
    }

    /// However absurd the figures, nothing panics and nothing is lost.
    #[test]
    fn any_project_is_routed(p in common::project()) {
        for layout in &p.layouts {
            for circuit in &p.circuits {
                let routing = p.routing(layout.id, circuit.id);
                prop_assert_eq!(routing.is_some(), circuit.supply.is_some());
                let manifolds = routing.iter().flat_map(|r| &r.runs).filter_map(|r| r.manifold);
                prop_assert!(manifolds.into_iter().all(|m| (1..=256).contains(&m.ports)));
                let cups = routing.map_or(0, |r| r.runs.iter().map(|r| r.branches.len()).sum::<usize>());
                prop_assert_eq!(cups, if circuit.supply.is_some() { layout.cups_of(circuit.id).count() } else { 0 });
            }
        }
    }
}
