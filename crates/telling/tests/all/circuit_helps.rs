//! What is said to help gives what it promises once it is made.

use crate::common;

use analysis::{Analyst, CircuitSlow, HelpChange, HosePart, Report};
use common::circuits::{PERMEANCE, ejector, fed, feed, line, manifold, supply};
use document::{
    Arrangement, BranchLine, Coil, CupId, FittingKind, FittingUse, Line, LineLength, Project, Restriction,
    Sourced, Supply, ZoneValve,
};
use proptest::prelude::*;
use std::sync::Arc;

/// What a promise may be off by, kPa: what two solves of one circuit from different starts leave.
const KEPT: f64 = 1e-4;

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, project.layouts[0].id)
}

fn slow(report: &Report) -> &CircuitSlow {
    report.circuits[0].slow.as_ref().expect("slow figures")
}

/// Leaking cups behind a manifold fed at one end, thin hoses with elbows, tees and a coil, at a feed that is too low.
fn poor() -> Project {
    let mut project = fed();
    Arc::make_mut(&mut project.parts[0]).permeance_um_pa_s = Some(Sourced::stated(PERMEANCE));
    let source = ejector();
    let mut supply = supply(&source);
    supply.feed_kpa = Sourced::stated(350.0);
    supply.manifold = Some(manifold(6, 6.0));
    let fittings = [(FittingKind::Elbow90, 2), (FittingKind::TeeBranch, 1), (FittingKind::Straight, 1)];
    let used = fittings.map(|(kind, count)| FittingUse::new(kind, count)).to_vec();
    supply.main.bore_mm = 5.0;
    supply.main.fittings = used.clone();
    supply.main.coil = Some(Coil { turns: 6.0, diameter_mm: 40.0 });
    supply.branch.fittings = used;
    supply.branches = vec![document::BranchLine {
        cup: project.layouts[0].cups[0].id,
        line: document::Line { length: LineLength::Typed { mm: 900.0 }, ..line(3.0) },
    }];
    feed(&mut project, source, supply);
    project
}

#[test]
fn every_help_that_can_be_made_gives_the_level_it_promises() {
    let project = poor();
    let circuit = project.circuits[0].id;
    let helps = slow(&whole(&project)).helps.clone();
    let mut made = 0;
    for help in &helps {
        let says = help.change.says(&units::UnitChoice::default());
        let Some(edit) = help.change.edit(&project, circuit, "2026-03-12") else {
            // Hoses whose length follows from the plan.
            assert!(matches!(help.change, HelpChange::Shorter(_)), "{says} cannot be made");
            continue;
        };
        let after = edit.apply(&project).expect(&says);
        let level = whole(&after).circuits[0].worst_cup().expect("cups").level_kpa;
        assert!((level - help.worst_level_kpa_to).abs() < KEPT, "{says}: {level} {help:?}");
        made += 1;
        // Made once, it has nothing more to change.
        assert!(!matches!(help.change, HelpChange::Shorter(_)), "the branches' lengths are of both kinds");
        assert_eq!(help.change.edit(&after, circuit, "2026-03-12"), None, "{says}");
    }
    assert!(made >= 8, "{made} of {helps:#?}");
    for wanted in [
        HelpChange::Uncoiled(HosePart::Main),
        HelpChange::Swept(HosePart::Main),
        HelpChange::WideBends(HosePart::Main),
        HelpChange::FedAtBothEnds,
        HelpChange::Feed { from_kpa: 350.0, to_kpa: 500.0 },
    ] {
        assert!(helps.iter().any(|help| help.change == wanted), "{wanted:?} is not among {helps:#?}");
    }
}

#[test]
fn fittings_that_become_alike_are_counted_together() {
    let project = poor();
    let edit =
        HelpChange::WideBends(HosePart::Branches).edit(&project, project.circuits[0].id, "").expect("elbows");
    assert_eq!(edit.name(&project), "Apply branches with wide bends instead of 90° elbows");
    let after = edit.apply(&project).expect("a circuit");
    let fittings = &after.circuits[0].supply.as_ref().expect("a supply").branch.fittings;
    let counts: Vec<_> = fittings.iter().map(|f| (f.kind, f.count)).collect();
    assert_eq!(counts, [(FittingKind::WideBend, 2), (FittingKind::TeeBranch, 1), (FittingKind::Straight, 1)]);
}

fn any_line(bores: &'static [f64]) -> impl Strategy<Value = Line> {
    let length = prop_oneof![
        (0.0..300.0f64).prop_map(|slack_mm| LineLength::Plan { slack_mm }),
        (100.0..2000.0f64).prop_map(|mm| LineLength::Typed { mm }),
    ];
    let kind = prop::sample::select(vec![
        FittingKind::Elbow90,
        FittingKind::TeeRun,
        FittingKind::TeeBranch,
        FittingKind::Straight,
        FittingKind::SweptBranch,
    ]);
    let fitting = (kind, 1..4u32).prop_map(|(kind, count)| FittingUse::new(kind, count));
    let coil = prop::option::of((2.0..10.0f64, 20.0..60.0f64))
        .prop_map(|coil| coil.map(|(turns, diameter_mm)| Coil { turns, diameter_mm }));
    (prop::sample::select(bores), length, prop::collection::vec(fitting, 0..3), coil)
        .prop_map(|(bore_mm, length, fittings, coil)| Line { bore_mm, length, fittings, coil })
}

fn through() -> impl Strategy<Value = Restriction> {
    (0.2..4.0f64, 0.2..0.5f64).prop_map(|(c_dm3_s_bar, b)| Restriction { c_dm3_s_bar, b })
}

/// Any circuit over the six cups: sources central, in line or at the cups, with and without manifold, zones with valves,
/// filter, restrictors and check valves.
fn any_circuit() -> impl Strategy<Value = Project> {
    let lines =
        (any_line(&[5.0, 6.0, 8.0]), any_line(&[2.5, 4.0, 6.0]), prop::option::of(any_line(&[3.0, 4.0])));
    let arrangement = prop::sample::select(vec![
        Arrangement::Central,
        Arrangement::Central,
        Arrangement::InLine,
        Arrangement::PerCup,
    ]);
    let ways = (
        prop::option::of(through()),
        any::<bool>(),
        prop::option::of(through()),
        prop::collection::vec((through(), any::<bool>()), 0..3),
        prop::option::of((6..8u32, 6.0..10.0f64)),
    );
    let leaks = (0.2..2.0f64, 5.0..40.0f64, prop::sample::select(vec![350.0, 420.0, 500.0]));
    (lines, arrangement, ways, leaks).prop_map(|((main, branch, own), arrangement, ways, leaks)| {
        let (restrictor, check_valve_at_cup, filter, valves, held) = ways;
        let (permeance, gap, feed_kpa) = leaks;
        let mut project = fed();
        Arc::make_mut(&mut project.parts[0]).permeance_um_pa_s = Some(Sourced::stated(permeance));
        let layout = Arc::make_mut(&mut project.layouts[0]);
        let zones = ["left", "right"];
        for cup in layout.cups.iter_mut().filter(|_| !valves.is_empty()) {
            cup.zone = zones[usize::from(cup.at.x > 250.0)].to_owned();
        }
        let of_cup: CupId = layout.cups[1].id;
        let source = ejector();
        let valve = |(zone, (restriction, check_valve)): (&&str, (Restriction, bool))| ZoneValve {
            zone: (*zone).to_owned(),
            restriction,
            check_valve,
            manifold: None,
        };
        let new = Supply {
            arrangement,
            main,
            branch,
            branches: own.map(|line| BranchLine { cup: of_cup, line }).into_iter().collect(),
            restrictor,
            check_valve_at_cup,
            filter,
            valves: zones.iter().zip(valves).map(valve).collect(),
            manifold: held.map(|(ports, bore)| manifold(ports, bore)),
            feed_kpa: Sourced::stated(feed_kpa),
            lip_gap_um: Sourced::stated(gap),
            ..supply(&source)
        };
        feed(&mut project, source, new);
        project
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_offered_is_what_taking_it_gives(project in any_circuit()) {
        let circuit = project.circuits[0].id;
        let report = whole(&project);
        prop_assume!(report.circuits[0].slow.is_some());
        for help in &slow(&report).helps {
            let says = help.change.says(&units::UnitChoice::default());
            let Some(edit) = help.change.edit(&project, circuit, "2026-03-12") else { continue };
            let after = edit.apply(&project).expect(&says);
            let level = Analyst::new().check(&after, after.layouts[0].id).circuits[0].worst_cup().expect("cups").level_kpa;
            prop_assert!((level - help.worst_level_kpa_to).abs() < KEPT, "{says}: {level} {help:?}");
        }
    }
}
