//! What each rule says, word for word, and that its remedy mends it.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that cannot go on stops here")]

mod common;

use analysis::{Analyst, Finding, Fix, Report, Severity, catalogue, rule};
use common::*;
use document::{
    Accepted, Cup, CupId, KeepOut, KeepOutId, Motion, Placement, Project, Sourced, Texture, Worst,
};
use geometry::{LipShape, Loop};
use glam::{DVec2, DVec3};
use std::sync::Arc;

fn check(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

fn find<'r>(report: &'r Report, id: &str) -> Option<&'r Finding> {
    report.findings.iter().find(|finding| finding.rule == id)
}

fn said<'r>(report: &'r Report, id: &str) -> &'r Finding {
    find(report, id).unwrap_or_else(|| panic!("no {id} among {:#?}", report.findings))
}

/// Four round cups of 50 mm under 4 kg, level and still.
fn holding() -> Project {
    with_motions(vec![still(1, "Lift", 2.0)])
}

fn with_motions(motions: Vec<Motion>) -> Project {
    project(
        plate(600.0, 400.0, 4.0),
        model("round-50", round(50.0), 1.0),
        &corners((300.0, 200.0), 200.0, 100.0),
        motions,
    )
}

fn apply(project: &mut Project, fix: &Fix) {
    let Fix::MoveCups(moves) = fix;
    edit_layout(project, |layout| {
        for (id, at) in moves {
            for cup in layout.cups.iter_mut().filter(|cup| cup.id == *id) {
                cup.at = *at;
            }
        }
    });
}

fn stop(id: u32, name: &str, required: f64, acceleration: f64) -> Motion {
    let mut stop = still(id, name, required);
    stop.acceleration = DVec3::new(acceleration, 0.0, 0.0);
    stop.worst = Worst::Direction;
    stop
}

#[test]
fn without_cups_nothing_is_called_in_order() {
    let mut project = holding();
    std::sync::Arc::make_mut(&mut project.layouts[0]).cups.clear();
    let report = check(&project);
    assert_eq!(report.verdict.severity, Severity::NotChecked);
    assert_eq!(report.verdict.detail, "Nothing to check yet.");
}

#[test]
fn in_order_says_so_and_names_what_is_not_checked() {
    let report = check(&holding());
    assert_eq!(report.verdict.severity, Severity::Ok);
    assert_eq!(
        report.verdict.sentence,
        "Meets the required factor as modelled: least is 9.73 of 2.00, the lip of C1 opening at lift"
    );
    assert_eq!(report.verdict.detail, "Nothing to mend.");
    assert_eq!(said(&report, "scope.not_checked").severity, Severity::NotChecked);
    assert!(report.not_checked.iter().any(|(what, _)| what == "limit factor"));
}

#[test]
fn overhang_names_the_edge_the_move_and_the_lip_that_fits() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at = DVec2::new(18.8, 100.0));
    let report = check(&project);
    let finding = said(&report, "seat.overhang");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(finding.says, "C1 hangs 6.2 mm over the edge.");
    assert_eq!(finding.remedy, "Move C1 by (6.2, 0.0) mm, or use a lip of 37.6 mm or less.");
    assert!((finding.figure.expect("a figure") + 6.2).abs() < 1e-9);
    assert_eq!(report.verdict.severity, Severity::Fail);
    assert_eq!(report.verdict.sentence, "Does not hold as drawn: C1 hangs 6.2 mm over the edge");
    assert_eq!(report.verdict.cup, Some(CupId(101)));
    apply(&mut project, finding.fix.as_ref().expect("a move"));
    assert!(find(&check(&project), "seat.overhang").is_none());
}

#[test]
fn a_move_to_the_left_has_a_true_minus() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[1].at = DVec2::new(581.2, 100.0));
    assert!(said(&check(&project), "seat.overhang").remedy.starts_with("Move C2 by (\u{2212}6.2, 0.0) mm"));
}

#[test]
fn holes_and_keep_outs_are_named() {
    let mut project = holding();
    edit_part(&mut project, |part| {
        let outline = Arc::make_mut(&mut part.outline);
        outline.holes.push(Loop::circle(DVec2::new(100.0, 140.0), 20.0));
        part.keep_outs.push(KeepOut {
            id: KeepOutId(50),
            name: "Logo".to_owned(),
            area: Arc::new(Loop::rectangle(DVec2::new(510.0, 280.0), DVec2::new(560.0, 320.0))),
        });
    });
    let report = check(&project);
    let says: Vec<&str> =
        report.findings.iter().filter(|f| f.rule == "seat.overhang").map(|f| f.says.as_str()).collect();
    assert_eq!(
        says,
        ["C3 hangs 15.0 mm over the keep-out \u{201c}Logo\u{201d}.", "C1 hangs 5.0 mm over the hole."]
    );
    let mut mended = project.clone();
    for finding in report.findings.iter().filter(|f| f.rule == "seat.overhang") {
        apply(&mut mended, finding.fix.as_ref().expect("a move"));
    }
    assert!(find(&check(&mended), "seat.overhang").is_none());
}

#[test]
fn a_locked_cup_is_not_moved() {
    let mut project = holding();
    edit_layout(&mut project, |layout| {
        layout.cups[0].at.x = 18.8;
        layout.cups[0].locked = true;
    });
    let report = check(&project);
    let finding = said(&report, "seat.overhang");
    assert!(finding.fix.is_none());
    assert!(finding.remedy.starts_with("Unlock C1 first. Move C1"));
}

#[test]
fn a_lip_larger_than_the_part_has_no_place() {
    let project = project(
        plate(60.0, 40.0, 0.1),
        model("round-80", round(80.0), 1.0),
        &[(30.0, 20.0)],
        vec![still(1, "Lift", 2.0)],
    );
    let report = check(&project);
    let finding = said(&report, "seat.overhang");
    assert_eq!(finding.says, "C1 hangs 20.0 mm over the edge.");
    assert_eq!(finding.remedy, "No place on the part has room for this lip; use a lip of 40.0 mm or less.");
    assert!(finding.fix.is_none());
}

#[test]
fn clearance_asks_for_what_the_placement_needs() {
    let mut project = holding();
    edit_part(&mut project, |part| {
        part.placement = Placement { position_mm: 2.0, turn_deg: 0.0, drawing_mm: 1.0 };
    });
    edit_layout(&mut project, |layout| layout.cups[0].at = DVec2::new(26.0, 100.0));
    let report = check(&project);
    let finding = said(&report, "seat.clearance");
    assert_eq!(finding.severity, Severity::Watch);
    assert_eq!(finding.says, "C1 has 1.0 mm to the edge; its placement needs 3.0 mm.");
    assert_eq!(finding.remedy, "Move C1 by (2.0, 0.0) mm, or use a lip of 46.0 mm or less.");
    apply(&mut project, finding.fix.as_ref().expect("a move"));
    assert!(find(&check(&project), "seat.clearance").is_none());
}

#[test]
fn overlap_fails_and_near_lips_are_watched() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[1].at = DVec2::new(140.0, 100.0));
    let report = check(&project);
    let finding = said(&report, "seat.overlap");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(finding.says, "C1 and C2 overlap by 10.0 mm.");
    assert_eq!(finding.remedy, "Move C2 by (12.0, 0.0) mm. Centres 52.0 mm apart would leave 2.0 mm.");
    apply(&mut project, finding.fix.as_ref().expect("a move"));
    assert!(find(&check(&project), "seat.overlap").is_none());

    edit_layout(&mut project, |layout| layout.cups[1].at = DVec2::new(151.0, 100.0));
    let report = check(&project);
    let finding = said(&report, "seat.overlap");
    assert_eq!(finding.severity, Severity::Watch);
    assert_eq!(finding.says, "C1 and C2 are 1.0 mm apart; lips spread under load.");
}

#[test]
fn many_cups_at_one_point_end_in_findings_not_in_a_long_wait() {
    let mut project = holding();
    edit_layout(&mut project, |layout| {
        let first = layout.cups[0].clone();
        layout.cups =
            (0..300).map(|i| Cup { id: CupId(2000 + i), tag: format!("C{i}"), ..first.clone() }).collect();
    });
    let report = check(&project);
    assert_eq!(report.verdict.severity, Severity::Fail);
    assert!(find(&report, "seat.overlap").is_some());
}

#[test]
fn a_factor_under_required_names_what_would_do_each_of_which_does() {
    // F = 95.4 N each; at 8 m/s² in every direction N = 19.6 N, T = 16 N: f = F / (N + T / 0.45).
    let mut project = with_motions(vec![stop(1, "Emergency stop", 2.0, 8.0)]);
    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(8.0) });
    let report = check(&project);
    let finding = said(&report, "factor.under_required");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(finding.says, "Emergency stop holds 1.73 of the 2.00 required: C1 slides first.");
    assert_eq!(report.verdict.sentence, "Holds 1.73 of the 2.00 required: C1 slides first at emergency stop");
    assert_eq!(report.verdict.detail, "1 to mend.");
    // Level 60 x 2/1.73 = 69.4 kPa up to the next tenth; lip 50 x sqrt(2/1.73) = 53.8 mm up to the next millimetre;
    // friction mu with T / (0.9 mu) = F/2 - N; acceleration with T = 0.45 (F/2 - N).
    let force = holds(50.0, LEVEL);
    let (pull, slide) = (8.0 * 9.806_65 / 4.0, 16.0);
    let ratio = 2.0 * (pull + slide / 0.45) / force;
    let up = |value: f64, step: f64| (value / step).ceil() * step;
    let expected = format!(
        "One of: a vacuum level of {:.1} kPa; lips of {:.1} mm; friction of {:.2}: a cleaner surface or a lip with \
         more grip; at most {:.2} m/s² of acceleration; about 5 cups like the present 4.",
        up(60.0 * ratio, 0.1),
        up(50.0 * ratio.sqrt(), 1.0),
        up(slide / (0.9 * (force / 2.0 - pull)), 0.01),
        ((0.45 * (force / 2.0 - pull) / 2.0) * 100.0).floor() / 100.0,
    );
    assert_eq!(finding.remedy, expected);

    let holds_then = |project: &Project| {
        find(&check(project), "factor.under_required").is_none_or(|f| f.severity != Severity::Fail)
    };
    let mut deeper = project.clone();
    let circuit = document::Circuit {
        level_kpa: Sourced::stated(up(60.0 * ratio, 0.1)),
        ..document::Circuit::clone(&deeper.circuits[0])
    };
    deeper.circuits[0] = Arc::new(circuit);
    assert!(holds_then(&deeper));
    let mut larger = project.clone();
    Arc::make_mut(&mut larger.models[0]).shape = round(up(50.0 * ratio.sqrt(), 1.0));
    assert!(holds_then(&larger));
    let mut slower = project;
    let limit = ((0.45 * (force / 2.0 - pull) / 2.0) * 100.0).floor() / 100.0;
    slower.motions = vec![Arc::new(stop(1, "Emergency stop", 2.0, limit))];
    assert!(holds_then(&slower));
}

#[test]
fn a_factor_with_little_to_spare_is_watched_and_below_one_it_drops() {
    let mut project = with_motions(vec![still(1, "Lift", 9.0)]);
    let report = check(&project);
    let finding = said(&report, "factor.under_required");
    assert_eq!(finding.severity, Severity::Watch);
    assert_eq!(finding.says, "Lift holds 9.73 of the 9.00 required: the lip of C1 opens first.");
    assert_eq!(finding.remedy, "1.06 times the vacuum force would leave 15 % to spare.");
    assert_eq!(report.verdict.severity, Severity::Watch);

    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(60.0) });
    let report = check(&project);
    assert_eq!(
        report.verdict.sentence,
        "Drops at lift: the lip of C1 opens first, holding 0.65 of the 9.00 required"
    );
}

#[test]
fn of_many_short_motions_the_worst_are_worked_out_and_the_others_point_to_them() {
    let motions = (1..=8).map(|i| still(i, &format!("Lift {i}"), 10.0 + f64::from(i))).collect();
    let report = check(&with_motions(motions));
    let remedies: Vec<&str> = report
        .findings
        .iter()
        .filter(|f| f.rule == "factor.under_required")
        .map(|f| f.remedy.as_str())
        .collect();
    assert_eq!(remedies.len(), 8);
    assert!(remedies[..4].iter().all(|remedy| remedy.starts_with("One of: ")), "{remedies:#?}");
    // 9.73 of 11 and of 12: F / (m g) is of first degree in the vacuum force.
    assert_eq!(remedies[6], "Needs 1.23 times the vacuum force; mend lift 8 first and see what is left.");
    assert_eq!(remedies[7], "Needs 1.13 times the vacuum force; mend lift 8 first and see what is left.");
}

#[test]
fn one_cup_and_cups_in_line() {
    let mut project = holding();
    edit_layout(&mut project, |layout| {
        layout.cups.truncate(2);
        layout.cups[0].at = DVec2::new(100.0, 190.0);
        layout.cups[1].at = DVec2::new(500.0, 190.0);
    });
    let report = check(&project);
    let finding = said(&report, "arrangement.few");
    assert_eq!(finding.severity, Severity::Watch);
    // 4 kg at 10 mm off the line: 0.39 N·m.
    assert_eq!(
        finding.says,
        "C1 and C2 are in line: only the lips\u{2019} tilt carries the 0.39 N·m that tip about their line."
    );
    assert!(finding.remedy.starts_with("Add a cup off the line, for instance at (300.0, "));

    let mut balanced = project.clone();
    edit_layout(&mut balanced, |layout| layout.cups.iter_mut().for_each(|cup| cup.at.y = 200.0));
    let says = said(&check(&balanced), "arrangement.few").says.clone();
    assert_eq!(
        says,
        "C1 and C2 are in line: only the lips\u{2019} tilt would carry a tipping moment about their line."
    );

    // Without any tilt stiffness nothing carries it.
    Arc::make_mut(&mut project.models[0]).tilt_reduction = Sourced::stated(0.0);
    let report = check(&project);
    let finding = said(&report, "arrangement.few");
    assert_eq!(finding.severity, Severity::Fail);
    assert!(report.motions[0].outcome.is_err());
    assert!(report.verdict.sentence.starts_with("No figure yet: "), "{}", report.verdict.sentence);

    edit_layout(&mut project, |layout| layout.cups.truncate(1));
    Arc::make_mut(&mut project.models[0]).tilt_reduction = Sourced::stated(1.0);
    assert!(said(&check(&project), "arrangement.few").says.starts_with("C1 carries the part alone: "));
}

#[test]
fn balance_offset_hull_and_uneven_come_with_the_shift() {
    let mut project = holding();
    let centre = |project: &mut Project, x: f64| {
        edit_part(project, |part| part.centre_of_gravity = Some(Sourced::stated(DVec3::new(x, 200.0, 0.0))));
    };
    centre(&mut project, 340.0);
    let report = check(&project);
    let finding = said(&report, "balance.offset");
    assert_eq!(
        finding.says,
        "The centre of gravity is (40.0, 0.0) mm from the cups\u{2019} centre, 20 % of their half extent."
    );
    assert_eq!(finding.remedy, "Shift the cups by (40.0, 0.0) mm.");
    apply(&mut project, finding.fix.as_ref().expect("a shift"));
    assert!(find(&check(&project), "balance.offset").is_none());

    let mut far = holding();
    centre(&mut far, 520.0);
    let report = check(&far);
    assert_eq!(said(&report, "balance.hull").says, "The centre of gravity is 20.0 mm outside the cups.");
    assert_eq!(said(&report, "balance.hull").severity, Severity::Fail);
    // The shift would take C2 and C3 off the part.
    assert!(said(&report, "balance.hull").remedy.contains("C2 and C3 would then lack clearance"));
    let uneven = said(&report, "balance.uneven");
    assert!(uneven.says.starts_with("C2 takes "), "{}", uneven.says);
}

/// A deep part whose centre of gravity lies 200 mm below the lips, carried with these motions.
fn deep(motions: Vec<Motion>) -> Project {
    let mut project = with_motions(motions);
    edit_part(&mut project, |part| {
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(300.0, 200.0, -200.0)));
    });
    project
}

fn widened(project: &Project, times: f64) -> Project {
    let mut wider = project.clone();
    let centre = DVec2::new(300.0, 200.0);
    edit_layout(&mut wider, |layout| {
        layout.cups.iter_mut().for_each(|cup| cup.at = centre + (cup.at - centre) * times);
    });
    wider
}

#[test]
fn a_motion_that_tips_the_part_off_the_cups_is_watched() {
    let mut forward = still(1, "Forward", 2.0);
    forward.acceleration = DVec3::new(0.0, 8.0, 0.0);
    let project = deep(vec![still(2, "Lift", 2.0), forward.clone()]);
    let report = check(&project);
    assert_eq!(report.balance.as_ref().map(|balance| balance.inside_hull), Some(true));
    let finding = said(&report, "balance.hull");
    assert_eq!(finding.severity, Severity::Watch);
    assert_eq!(finding.motion, Some(forward.id));
    // The line of action through the centre of gravity meets the lips 200 x 8 / g beside it; the cups reach 100 mm.
    let beside = 200.0 * 8.0 / units::STANDARD_GRAVITY;
    assert!((finding.figure.expect("a figure") - (100.0 - beside)).abs() < 1e-9);
    assert_eq!(finding.limit, Some(0.0));
    assert_eq!(finding.says, "At forward the pull of the part acts 63.2 mm outside the cups.");
    // 163.2 / 100 times as wide, or 8 x 100 / 163.2 m/s².
    assert_eq!(
        finding.remedy,
        "Set the cups 1.64 times as far from their centre, or allow at most 4.90 m/s\u{b2} of acceleration."
    );
    // One cause, one finding: the most loaded cup is not told of besides.
    assert_eq!(report.balance.as_ref().and_then(|b| b.most_over_mean_motion), Some(forward.id));
    assert!(find(&report, "balance.uneven").is_none());

    assert!(find(&check(&widened(&project, 1.63)), "balance.hull").is_some());
    let wider = check(&widened(&project, 1.64));
    assert!(find(&wider, "balance.hull").is_none());
    assert!(find(&wider, "balance.uneven").is_some(), "inside, and still uneven");
    let mut slower = forward.clone();
    slower.acceleration.y = 4.90;
    assert!(find(&check(&deep(vec![slower])), "balance.hull").is_none());
}

#[test]
fn the_remedies_of_a_tipping_sweep_hold_in_every_direction() {
    let any = stop(1, "Stop", 2.0, 8.0);
    let project = deep(vec![any.clone(), stop(2, "Hard stop", 2.0, 9.0)]);
    let report = check(&project);
    let hulls: Vec<&Finding> = report.findings.iter().filter(|f| f.rule == "balance.hull").collect();
    let [finding] = hulls[..] else { panic!("one finding for both motions: {hulls:#?}") };
    assert!(
        finding.says.starts_with("At hard stop, and in one more motion, the pull of the part acts "),
        "{}",
        finding.says
    );
    // 200 x 9 / g = 183.5 mm across, where the cups reach 100.
    let remedy =
        "Set the cups 1.84 times as far from their centre, or allow at most 4.90 m/s\u{b2} of acceleration.";
    assert_eq!(finding.remedy, remedy);
    assert!(find(&check(&widened(&project, 1.84)), "balance.hull").is_none());
    assert!(find(&check(&deep(vec![stop(1, "Stop", 2.0, 4.90)])), "balance.hull").is_none());
}

#[test]
fn outside_the_cups_is_told_once_and_only_where_the_part_pulls() {
    let mut forward = still(1, "Forward", 2.0);
    forward.acceleration = DVec3::new(0.0, 8.0, 0.0);
    let mut project = deep(vec![forward]);
    edit_part(&mut project, |part| {
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(300.0, 320.0, -200.0)));
    });
    let report = check(&project);
    let hulls: Vec<&Finding> = report.findings.iter().filter(|f| f.rule == "balance.hull").collect();
    let [finding] = hulls[..] else { panic!("one finding: {hulls:#?}") };
    assert_eq!((finding.severity, finding.motion), (Severity::Fail, None));

    // On edge the line of action runs along the lips: where it meets their plane says nothing.
    let mut edge = still(1, "On edge", 2.0);
    edge.tilt_deg = 60.0;
    edge.lowest_deg = -90.0;
    assert!(find(&check(&deep(vec![edge])), "balance.hull").is_none());
}

#[test]
fn compliance_lip_and_texture() {
    let mut project = holding();
    edit_part(&mut project, |part| part.uneven_mm = 5.0);
    let report = check(&project);
    let finding = said(&report, "seat.compliance");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(
        finding.says,
        "Sheet varies in height by 5.0 mm; round-50 (C1, C2, C3 and C4) travels 3.0 mm."
    );
    assert!(finding.remedy.starts_with("Use bellows: "), "{}", finding.remedy);
    assert_eq!(finding.subject.len(), 4);

    edit_part(&mut project, |part| part.uneven_mm = 1.0);
    let report = check(&project);
    assert!(find(&report, "seat.compliance").is_none());
    assert_eq!(
        said(&report, "seat.lip").says,
        "Sheet varies in height by 1.0 mm; the flat lip of round-50 (C1, C2, C3 and C4) closes 0.5 mm."
    );

    edit_part(&mut project, |part| part.surface.texture = Texture::Porous);
    let report = check(&project);
    assert_eq!(
        said(&report, "seat.texture").says,
        "Sheet has a porous surface; round-50 (C1, C2, C3 and C4) is meant for smooth."
    );
}

#[test]
fn a_long_cup_alone_is_weak_across() {
    let mut part = plate(300.0, 200.0, 1.0);
    part.centre_of_gravity = Some(Sourced::stated(DVec3::new(150.0, 100.0, -30.0)));
    part.friction = Sourced::stated(1.5);
    let mut sideways = still(1, "Sideways", 2.0);
    sideways.acceleration = DVec3::new(0.0, 8.0, 0.0);
    let long = model("long", LipShape::Long { length: 90.0, width: 30.0 }, 1.0);
    let project = project(part, long, &[(150.0, 100.0)], vec![sideways]);
    let report = check(&project);
    let finding = said(&report, "long.alone");
    assert!(
        finding.says.starts_with("C1 is one long cup alone, and sideways rolls it open across its length"),
        "{}",
        finding.says
    );
    assert!(finding.remedy.contains("Two round cups of "), "{}", finding.remedy);
    // Along its length it is strong.
    let mut along = project;
    let mut motion = Motion::clone(&along.motions[0]);
    motion.acceleration = DVec3::new(8.0, 0.0, 0.0);
    along.motions = vec![Arc::new(motion)];
    assert!(find(&check(&along), "long.alone").is_none());
}

#[test]
fn bad_inputs_are_said_and_leave_no_figure() {
    let mut project = holding();
    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(-1.0) });
    let report = check(&project);
    assert_eq!(said(&report, "input.part").severity, Severity::Fail);
    assert!(report.motions[0].outcome.is_err());
    assert!(report.part.is_none());

    let mut project = holding();
    edit_part(&mut project, |part| {
        let bow = [(0.0, 0.0), (600.0, 400.0), (600.0, 0.0), (0.0, 400.0)].map(|(x, y)| DVec2::new(x, y));
        part.outline = Arc::new(geometry::Outline { outer: Loop::polygon(bow), holes: Vec::new() });
    });
    let report = check(&project);
    assert!(
        said(&report, "input.part").says.starts_with("Part Sheet: the outer boundary "),
        "{:?}",
        report.findings
    );
    assert!(report.part.is_none() && report.motions[0].outcome.is_err());

    let mut motion = still(2, "Nothing asked", 0.0);
    motion.required_factor = 0.0;
    let report = check(&with_motions(vec![still(1, "Lift", 2.0), motion]));
    let finding = said(&report, "input.motion");
    assert_eq!(finding.motion, Some(document::MotionId(2)));
    assert!(
        finding.says.ends_with('.') && finding.says.starts_with("The required factor"),
        "{}",
        finding.says
    );
    assert!(report.motions[0].outcome.is_ok());
    assert!(report.motions[1].outcome.is_err());

    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[2].model = document::ModelId::from("not-there"));
    let report = check(&project);
    assert_eq!(said(&report, "input.cup").subject, [CupId(103)]);
    assert!(report.motions[0].outcome.is_err());
    assert_eq!(report.cups.len(), 3);
}

#[test]
fn a_motion_beyond_computing_has_no_figure_and_says_so() {
    let mut far = still(2, "Swing", 2.0);
    far.turn_rate_deg_s = DVec3::new(0.0, 0.0, 90.0);
    far.pivot_mm = DVec3::new(1e308, 0.0, 0.0);
    let report = check(&with_motions(vec![still(1, "Lift", 2.0), far]));
    assert!(report.motions[0].outcome.is_ok() && report.motions[1].outcome.is_err());
    let finding = said(&report, "scope.not_checked");
    assert_eq!(finding.motion, Some(document::MotionId(2)));
    assert!(
        finding.says.starts_with("Swing has no factor: its loads are beyond what can be computed"),
        "{}",
        finding.says
    );
    assert_eq!(report.verdict.severity, Severity::Fail);
    assert!(
        report.verdict.sentence.starts_with("Some motions have no figure: "),
        "{}",
        report.verdict.sentence
    );
}

#[test]
fn assumed_friction_is_a_range_and_is_listed() {
    let mut project = with_motions(vec![stop(1, "Stop", 2.0, 8.0)]);
    edit_part(&mut project, |part| part.friction = Sourced::assumed(0.5));
    let report = check(&project);
    let finding = said(&report, "assumed.friction");
    assert_eq!(finding.severity, Severity::Advice);
    let at = |mu: f64| holds(50.0, LEVEL) / (9.806_65 + 8.0 / (0.9 * mu));
    assert_eq!(
        finding.says,
        format!(
            "Friction 0.50 of the lips on Sheet is assumed. From 0.40 to 0.60, stop would hold from {:.2} to {:.2} of \
             the 2.00 required.",
            at(0.4),
            at(0.6)
        )
    );
    assert!(report.assumptions.iter().any(|a| a.what == "friction of the lips on Sheet" && a.value == 0.5));
    edit_part(&mut project, |part| part.friction = Sourced::measured(0.5, "2026-01-31"));
    let report = check(&project);
    assert!(find(&report, "assumed.friction").is_none());
    assert!(report.assumptions.iter().all(|a| !a.what.contains("friction")));
}

#[test]
fn far_too_many_cups_is_advice() {
    let report = check(&holding());
    let finding = said(&report, "cups.many");
    assert_eq!(finding.severity, Severity::Advice);
    assert!(finding.remedy.starts_with("About 3 of the 4 cups would do"), "{}", finding.remedy);
}

#[test]
fn accepted_findings_stay_but_do_not_judge() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
    project.accepted.push(Accepted {
        rule: "seat.overhang".to_owned(),
        subject: vec![CupId(101)],
        motion: None,
        layout: layout(&project),
        reason: "Lip trimmed there".to_owned(),
        by: String::new(),
        on: String::new(),
    });
    let report = check(&project);
    let finding = said(&report, "seat.overhang");
    assert_eq!(finding.accepted.as_deref(), Some("Lip trimmed there"));
    assert!(std::ptr::eq(finding, report.findings.last().expect("findings")));
    assert_ne!(report.verdict.severity, Severity::Fail);
    assert!(report.verdict.detail.ends_with("1 accepted."), "{}", report.verdict.detail);
    // In another layout, or about another cup, it does not count.
    project.accepted[0].subject = vec![CupId(102)];
    assert_eq!(check(&project).verdict.severity, Severity::Fail);
}

#[test]
fn sorted_by_urgency_then_by_how_far_off() {
    let mut project = with_motions(vec![stop(1, "Stop", 4.0, 8.0), still(2, "Lift", 9.0)]);
    edit_layout(&mut project, |layout| {
        layout.cups[0].at.x = 18.8;
        layout.cups[1].at.x = 595.0;
    });
    let report = check(&project);
    let ranks: Vec<Severity> = report.findings.iter().map(|finding| finding.severity).collect();
    assert!(ranks.windows(2).all(|pair| pair[0] >= pair[1]), "{ranks:?}");
    let overhangs: Vec<CupId> =
        report.findings.iter().filter(|f| f.rule == "seat.overhang").map(|f| f.subject[0]).collect();
    assert_eq!(overhangs, [CupId(102), CupId(101)]);
}

#[test]
fn sentences_follow_the_units_and_never_promise() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
    let inch = units::UnitChoice { length: units::LengthUnit::Inch, ..units::UnitChoice::default() };
    let report = Analyst::with_units(inch).check(&project, layout(&project));
    let finding = said(&report, "seat.overhang");
    assert_eq!(finding.says, "C1 hangs 0.244 in over the edge.");
    assert!((finding.figure.expect("a figure") + 6.2).abs() < 1e-9);
    let mut analyst = Analyst::new();
    assert!(said(&analyst.check(&project, layout(&project)), "seat.overhang").says.contains("6.2 mm"));
    analyst.set_units(inch);
    assert!(said(&analyst.check(&project, layout(&project)), "seat.overhang").says.contains("0.244 in"));
}

#[test]
fn every_rule_is_in_the_catalogue_and_explained() {
    let catalogue = catalogue();
    assert_eq!(catalogue.len(), 30);
    for info in catalogue {
        assert!(
            !info.title.is_empty() && info.explains.ends_with('.') && !info.remedy.is_empty(),
            "{}",
            info.id
        );
        let words = format!("{} {} {} {} {}", info.title, info.explains, info.fail, info.watch, info.remedy);
        assert!(!words.to_lowercase().contains("safe"), "{}", info.id);
    }
    assert_eq!(rule("input.part").map(|info| info.id), Some("input.*"));
    assert_eq!(rule("seat.overhang").map(|info| info.id), Some("seat.overhang"));
    assert!(rule("no.such").is_none());
    let mut project = with_motions(vec![stop(1, "Stop", 4.0, 8.0), still(2, "Lift", 0.0)]);
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 18.8);
    for finding in &check(&project).findings {
        assert!(rule(finding.rule).is_some(), "{} is not in the catalogue", finding.rule);
        assert!(!format!("{} {}", finding.says, finding.remedy).to_lowercase().contains("safe"));
    }
}
