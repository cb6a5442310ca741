//! What is said to help gives what it promises once it is made.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that cannot go on stops here")]

mod common;

use analysis::{Analyst, CircuitDepth, HelpChange, HosePart, Report};
use common::circuits::{PERMEANCE, ejector, fed, feed, line, manifold, supply};
use document::{Coil, FittingKind, FittingUse, LineLength, Project, Sourced};
use std::sync::Arc;

fn whole(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, project.layouts[0].id)
}

fn depth(report: &Report) -> &CircuitDepth {
    report.circuits[0].depth.as_ref().expect("slow figures")
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
    let used = fittings.map(|(kind, count)| FittingUse { kind, count }).to_vec();
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
    let helps = depth(&whole(&project)).helps.clone();
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
        // A second feed has its own way on the plan.
        let within = if help.change == HelpChange::FedAtBothEnds { 1.5 } else { 0.02 };
        assert!((level - help.worst_level_kpa_to).abs() < within, "{says}: {level} {help:?}");
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
    assert_eq!(
        edit.name(&project),
        "Take branches with straight fittings and a wide bend instead of 90° elbows"
    );
    let after = edit.apply(&project).expect("a circuit");
    let fittings = &after.circuits[0].supply.as_ref().expect("a supply").branch.fittings;
    let counts: Vec<_> = fittings.iter().map(|f| (f.kind, f.count)).collect();
    assert_eq!(counts, [(FittingKind::Straight, 3), (FittingKind::TeeBranch, 1)]);
}
