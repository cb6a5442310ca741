//! What the rules of factors, arrangement and balance say, word for word, and that the remedy mends it.

use crate::common;
use crate::rules;

use analysis::{Finding, Severity};
use common::*;
use document::{Motion, Project, Sourced};
use geometry::LipShape;
use glam::{DVec2, DVec3};
use rules::*;
use std::sync::Arc;

#[test]
fn a_factor_under_required_names_what_would_do_each_of_which_does() {
    // F = 95.4 N each; at 8 m/s² in every direction N = 19.6 N, T = 16 N: f = F / (N + T / 0.45).
    let mut project = with_motions(vec![stop(1, "Emergency stop", 2.0, 8.0)]);
    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(8.0) });
    let report = check(&project);
    let finding = said(&report, "factor.under_required");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(finding.says, "Emergency stop holds 1.73 of the 2.00 required: C1 slides first.");
    assert_eq!(
        report.verdict.sentence,
        "Holds 0.86 times the required factor: C1 slides first at emergency stop, factor 1.73 of the 2.00 \
        required"
    );
    assert_eq!(report.verdict.detail, "Factors are at 60.0 kPa, the stated level. 1 fails.");
    // Level 60 x 2/1.73 = 69.4 kPa up to the next tenth; lip 50 x sqrt(2/1.73) = 53.8 mm up to the next millimetre;
    // friction mu with T / (0.9 mu) = F/2 - N; acceleration with T = 0.45 (F/2 - N).
    let force = holds(50.0, LEVEL);
    let (pull, slide) = (8.0 * 9.806_65 / 4.0, 16.0);
    let ratio = 2.0 * (pull + slide / 0.45) / force;
    let up = |value: f64, step: f64| (value / step).ceil() * step;
    let expected = format!(
        "One of: a vacuum level of {:.1} kPa; lips of {:.1} mm; friction of {:.2}: a cleaner surface or a \
        lip with more grip; at most {:.2} m/s² of acceleration; about 5 cups like the present 4, if they \
        share the load equally; try their positions, since a cup that draws load can lower the factor.",
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
    assert_eq!(finding.says, "Lift holds 9.73 of the 9.00 required: C1 loses its seal first.");
    assert_eq!(finding.remedy, "1.06 times the vacuum force would leave 15 % to spare.");
    assert_eq!(report.verdict.severity, Severity::Watch);

    edit_part(&mut project, |part| part.mass = document::MassBy::Stated { kg: Sourced::stated(60.0) });
    let report = check(&project);
    assert_eq!(
        report.verdict.sentence,
        "Drops at lift, 0.07 times the required factor: C1 loses its seal first, factor 0.65 of the 9.00 \
        required"
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
    assert_eq!(remedies[6], "Needs 1.23 times the vacuum force; fix lift 8 first, then check again.");
    assert_eq!(remedies[7], "Needs 1.13 times the vacuum force; fix lift 8 first, then check again.");
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
    assert!(finding.remedy.starts_with("Add a cup off the line, for example at (300.0, "));

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
    assert!(report.verdict.sentence.starts_with("No result yet: "), "{}", report.verdict.sentence);

    edit_layout(&mut project, |layout| layout.cups.truncate(1));
    Arc::make_mut(&mut project.models[0]).tilt_reduction = Sourced::stated(1.0);
    assert!(said(&check(&project), "arrangement.few").says.starts_with("C1 carries the part alone: "));
}

/// Two cups hold a part 10 mm off their line, stopped in every direction. A slide governs, along the line, for there the
/// mass beside the line twists as well; what tips about the line is most when it is stopped straight across. By hand: the
/// weight's moment and the mass's at the depth of the centre of gravity.
#[test]
fn what_tips_about_the_line_is_the_most_of_the_whole_motion() {
    let mut project = holding();
    edit_layout(&mut project, |layout| {
        layout.cups.truncate(2);
        layout.cups[0].at = DVec2::new(270.0, 190.0);
        layout.cups[1].at = DVec2::new(330.0, 190.0);
    });
    edit_part(&mut project, |part| {
        part.centre_of_gravity = Some(Sourced::stated(DVec3::new(300.0, 200.0, -2.0)));
    });
    project.motions = vec![Arc::new(stop(1, "Stop", 2.0, 8.0))];
    let report = check(&project);
    let outcome = report.motions[0].outcome.as_ref().expect("a figure");
    let by_hand = 4.0 * 9.80665 * 0.010 + 4.0 * 8.0 * 0.002;
    // The instant that governs tips about the line by less.
    assert!(outcome.wrench.moment.x.abs() < 0.9 * by_hand, "{:?}", outcome.wrench);
    let finding = said(&report, "arrangement.few");
    assert!(finding.says.contains(" the 0.46 N·m that tip"), "{}", finding.says);
    let figure = finding.figure.expect("a moment");
    assert!((figure - by_hand).abs() < 1e-6, "{figure} {by_hand}");
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
        "The centre of gravity is (40.0, 0.0) mm from the cups\u{2019} centre, 20 % of half their extent."
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
    assert!(uneven.says.starts_with("C2 carries "), "{}", uneven.says);
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
        "Space the cups 1.64 times as far from their centre, or allow at most 4.90 m/s\u{b2} of acceleration."
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
    let remedy = "Space the cups 1.84 times as far from their centre, or allow at most 4.90 m/s\u{b2} of acceleration.";
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
