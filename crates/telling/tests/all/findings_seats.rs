//! What the rules of the seats say, word for word, and that the remedy mends it.

use crate::common;
use crate::rules;

use analysis::Severity;
use common::*;
use document::{Cup, CupId, KeepOut, KeepOutId, Placement, Texture};
use geometry::Loop;
use glam::DVec2;
use rules::*;
use std::sync::Arc;

#[test]
fn overhang_names_the_edge_the_move_and_the_lip_that_fits() {
    let mut project = holding();
    edit_layout(&mut project, |layout| layout.cups[0].at = DVec2::new(18.8, 100.0));
    let report = check(&project);
    let finding = said(&report, "seat.overhang");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(finding.says, "C1 overhangs the edge by 6.2 mm.");
    assert_eq!(finding.remedy, "Move C1 by (6.2, 0.0) mm, or use a lip of 37.6 mm or less.");
    assert!((finding.figure.expect("a figure") + 6.2).abs() < 1e-9);
    assert_eq!(report.verdict.severity, Severity::Fail);
    assert_eq!(report.verdict.sentence, "Does not hold as drawn: C1 overhangs the edge by 6.2 mm");
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
        ["C3 overhangs the keep-out \u{201c}Logo\u{201d} by 15.0 mm.", "C1 overhangs the hole by 5.0 mm."]
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
    assert_eq!(finding.says, "C1 overhangs the edge by 20.0 mm.");
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
    assert_eq!(finding.says, "C1 has 1.0 mm of clearance to the edge; its placement needs 3.0 mm.");
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
fn compliance_lip_and_texture() {
    let mut project = holding();
    edit_part(&mut project, |part| part.uneven_mm = 5.0);
    let report = check(&project);
    let finding = said(&report, "seat.compliance");
    assert_eq!(finding.severity, Severity::Fail);
    assert_eq!(
        finding.says,
        "Sheet varies in height by 5.0 mm; round-50 (C1, C2, C3 and C4) has 3.0 mm of travel."
    );
    assert!(finding.remedy.starts_with("Use bellows: "), "{}", finding.remedy);
    assert_eq!(finding.subject.len(), 4);

    edit_part(&mut project, |part| part.uneven_mm = 1.0);
    let report = check(&project);
    assert!(find(&report, "seat.compliance").is_none());
    assert_eq!(
        said(&report, "seat.lip").says,
        "Sheet varies in height by 1.0 mm; the flat lip of round-50 (C1, C2, C3 and C4) seals up to 0.5 mm."
    );

    edit_part(&mut project, |part| part.surface.texture = Texture::Porous);
    let report = check(&project);
    assert_eq!(
        said(&report, "seat.texture").says,
        "Sheet has a porous surface; round-50 (C1, C2, C3 and C4) is meant for smooth."
    );
}
