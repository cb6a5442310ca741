//! Findings as a whole: their order, acceptance, units, the catalogue, and the rules of inputs.

use crate::common;
use crate::rules;

use analysis::{Analyst, Severity, catalogue, rule};
use common::{circuits::*, *};
use document::{Accepted, CupId, Sourced};
use geometry::Loop;
use glam::{DVec2, DVec3};
use rules::*;
use std::sync::Arc;

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
        "Meets the required factor as modelled, at least 4.87 times: C1 loses its seal first at lift, factor \
        9.73 of the 2.00 required"
    );
    assert_eq!(report.verdict.detail, "Factors are at 60.0 kPa, the stated level. No finding fails.");
    assert_eq!(said(&report, "scope.not_checked").severity, Severity::NotChecked);
    assert!(report.not_checked.iter().any(|(what, _)| what == "limit factor"));
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
    let finding = said(&report, "input.motion");
    assert_eq!(finding.motion, Some(document::MotionId(2)));
    assert_eq!(finding.says, "The pivot of motion Swing is 1e308 mm.");
    assert_eq!(report.verdict.severity, Severity::Fail);
    assert!(
        report.verdict.sentence.starts_with("Some motions have no result: "),
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
            "Friction 0.50 of the lips on Sheet is assumed. From 0.35 to 0.65, the factor of stop goes from \
            {:.2} to {:.2}; 2.00 is required.",
            at(0.35),
            at(0.65)
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
    assert!(finding.remedy.starts_with("About 3 of the 4 cups are enough"), "{}", finding.remedy);
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
        seat: None,
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
    assert_eq!(finding.says, "C1 overhangs the edge by 0.244 in.");
    assert!((finding.figure.expect("a figure") + 6.2).abs() < 1e-9);
    let mut analyst = Analyst::new();
    assert!(said(&analyst.check(&project, layout(&project)), "seat.overhang").says.contains("6.2 mm"));
    analyst.set_units(inch);
    assert!(said(&analyst.check(&project, layout(&project)), "seat.overhang").says.contains("0.244 in"));
}

#[test]
fn every_rule_is_in_the_catalogue_and_explained() {
    let catalogue = catalogue();
    assert_eq!(catalogue.len(), 57);
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

#[test]
fn blank_fields_of_the_title_block_are_advice_until_they_are_filled_in() {
    let mut project = holding();
    let mut analyst = Analyst::new();
    let report = analyst.check(&project, layout(&project));
    let finding = said(&report, "sheet.fields");
    assert_eq!((finding.severity, &finding.subject[..], finding.motion), (Severity::Advice, &[][..], None));
    assert_eq!(
        finding.says,
        "The title block does not state: legal owner, identification number, created by, approved by, date of issue."
    );
    assert_eq!(
        finding.remedy,
        "Fill in legal owner, identification number, created by, approved by and date of issue before the \
        sheet is issued; until then every page is stamped not for issue."
    );
    assert_eq!(report.verdict.severity, Severity::Ok, "no result depends on it");
    let fields = &mut project.sheet;
    for field in [&mut fields.owner, &mut fields.number, &mut fields.created_by, &mut fields.date] {
        *field = "x".to_owned();
    }
    // The same analyst sees the fields change.
    let report = analyst.check(&project, layout(&project));
    assert_eq!(said(&report, "sheet.fields").says, "The title block does not state: approved by.");
    project.sheet.approved_by = "A. Berg".to_owned();
    project.sheet.title.clear();
    assert!(
        find(&analyst.check(&project, layout(&project)), "sheet.fields").is_none(),
        "the project has a name"
    );
    project.name = " ".to_owned();
    assert_eq!(
        said(&analyst.check(&project, layout(&project)), "sheet.fields").says,
        "The title block does not state: title."
    );
    edit_layout(&mut project, |layout| layout.cups.clear());
    assert!(find(&check(&project), "sheet.fields").is_none(), "nothing to hand out yet");
}

#[test]
fn a_level_is_judged_once_for_the_finding_the_plan_and_the_json() {
    let severities = |project: &document::Project| {
        let report = check(project);
        let finding = find(&report, "circuit.level").map(|finding| finding.severity);
        let cups: Vec<Severity> = report.circuits[0].cups.iter().map(|cup| cup.against_wanted).collect();
        (finding, cups)
    };
    let set = |project: &mut document::Project, wanted: f64| {
        Arc::make_mut(&mut project.circuits[0]).level_kpa = Sourced::stated(wanted);
    };
    let mut project = fed();
    set(&mut project, 60.0);
    assert_eq!(severities(&project), (None, vec![Severity::Ok; 6]));
    set(&mut project, DEEPEST + 1.0);
    assert_eq!(severities(&project), (Some(Severity::Fail), vec![Severity::Fail; 6]));
    // Between the least and the deepest level of the cups only some fall short.
    let mut project = leaking();
    edit_layout(&mut project, |layout| layout.cups[5].at = DVec2::new(560.0, 360.0));
    edit_supply(&mut project, |supply| supply.branch = line(2.0));
    let levels: Vec<f64> = check(&project).circuits[0].cups.iter().map(|cup| cup.level_kpa).collect();
    let least = levels.iter().copied().fold(f64::INFINITY, f64::min);
    let most = levels.iter().copied().fold(0.0, f64::max);
    assert!(most > least + 0.01, "{levels:?}");
    set(&mut project, 0.5 * (least + most));
    let (finding, cups) = severities(&project);
    assert_eq!(finding, Some(Severity::Fail));
    for (level, severity) in levels.iter().zip(&cups) {
        let below = *level < 0.5 * (least + most);
        assert_eq!(*severity, if below { Severity::Fail } else { Severity::Ok }, "{level}");
    }
    // Reached with little to spare: short wide hoses lose next to nothing on the way.
    let mut project = leaking();
    edit_supply(&mut project, |supply| supply.branch = line(12.0));
    let report = check(&project);
    set(&mut project, report.circuits[0].worst_cup().expect("a cup").level_kpa - 0.01);
    let (finding, cups) = severities(&project);
    assert_eq!((finding, cups), (Some(Severity::Watch), vec![Severity::Watch; 6]));
}
