//! A move that is offered lands, whatever the lip, its turn and the part.

use crate::common;

use analysis::{Analyst, Fix, Report};
use common::*;
use document::{Cup, CupId, KeepOut, KeepOutId, Placement, Project};
use geometry::{LipShape, Loop};
use glam::DVec2;
use proptest::prelude::*;
use std::sync::Arc;

fn check(project: &Project) -> Arc<Report> {
    Analyst::new().check(project, layout(project))
}

fn shape() -> impl Strategy<Value = LipShape> {
    prop_oneof![
        (10.0..80.0f64).prop_map(round),
        (10.0..40.0f64, 1.2..4.0f64)
            .prop_map(|(width, times)| LipShape::Long { length: width * times, width }),
        (20.0..60.0f64, 1.0..2.5f64, 0.0..0.5f64).prop_map(|(width, times, corner)| LipShape::Rectangle {
            length: width * times,
            width,
            corner: width * corner,
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, max_shrink_iters: 100, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_move_that_is_offered_lands(
        shape in shape(),
        x in -80.0..680.0f64,
        y in -80.0..480.0f64,
        turn in -90.0..90.0f64,
        position_mm in 0.0..4.0f64,
        turn_tolerance in 0.0..0.6f64,
    ) {
        let mut project = project(plate(600.0, 400.0, 3.0), model("lip", shape, 1.0), &[(x, y)], vec![still(1, "Lift", 2.0)]);
        edit_part(&mut project, |part| {
            part.placement = Placement { position_mm, turn_deg: turn_tolerance, drawing_mm: 0.2 };
            let outline = Arc::make_mut(&mut part.outline);
            outline.outer = Loop::rounded_rectangle(DVec2::ZERO, DVec2::new(600.0, 400.0), 40.0);
            outline.holes = vec![
                Loop::circle(DVec2::new(200.0, 200.0), 30.0),
                Loop::rectangle(DVec2::new(380.0, 120.0), DVec2::new(430.0, 280.0)).reversed(),
            ];
            let area = Arc::new(Loop::circle(DVec2::new(300.0, 330.0), 25.0));
            part.keep_outs = vec![KeepOut { id: KeepOutId(40), name: String::new(), area }];
        });
        edit_layout(&mut project, |layout| layout.cups[0].turn_deg = turn);
        let report = check(&project);
        let seat = report.findings.iter().find(|f| f.rule == "seat.overhang" || f.rule == "seat.clearance");
        let cup = report.cups[0].clone();
        let distance = cup.clearance.expect("a boundary").distance;
        let Some(finding) = seat else {
            prop_assert!(distance >= cup.required_clearance_mm - 1e-5);
            return Ok(());
        };
        prop_assert!(distance < cup.required_clearance_mm);
        // There is always room for these lips somewhere on this part.
        let Some(Fix::MoveCups(moves)) = &finding.fix else {
            return Err(TestCaseError::fail(format!("no move: {finding:?}")));
        };
        let at = moves[0].1;
        // What is printed is what the program does.
        if let Some((_, rest)) = finding.remedy.split_once("by (") {
            let figures: Vec<f64> = rest[..rest.find(')').expect("a pair")]
                .split(", ")
                .map(|figure| figure.replace('\u{2212}', "-").parse().expect("a figure"))
                .collect();
            prop_assert!((DVec2::new(x + figures[0], y + figures[1]) - at).length() < 1e-6, "{finding:?}");
        }
        edit_layout(&mut project, |layout| layout.cups[0].at = at);
        let after = check(&project);
        let left = after.findings.iter().find(|f| f.rule == "seat.overhang" || f.rule == "seat.clearance");
        prop_assert!(left.is_none(), "{left:?} after {finding:?}");
        // The landing region shown while dragging agrees, up to its chords.
        let mut analyst = Analyst::new();
        let region = analyst.landing_region(&project, layout(&project), &project.models[0].id, turn).expect("a region");
        let nearest = region.nearest(DVec2::new(x, y)).expect("some room");
        prop_assert!(at.distance(DVec2::new(x, y)) <= nearest.distance(DVec2::new(x, y)) * 1.2 + 0.2);
        // What hangs over is drawn while it does.
        let drawn = analyst.overhang(&project, layout(&project), CupId(101));
        prop_assert!(drawn.is_empty(), "{drawn:?}");
    }
}

#[test]
fn what_hangs_over_is_drawn() {
    let mut project =
        project(plate(600.0, 400.0, 3.0), model("lip", round(50.0), 1.0), &[(10.0, 200.0)], vec![]);
    let mut analyst = Analyst::new();
    // The lip's circle is cut by x = 0 at 10 mm from its centre: an arc of 2 acos(10/25) radius 25 mm.
    let length: f64 =
        analyst.overhang(&project, layout(&project), CupId(101)).iter().map(|piece| piece.length).sum();
    assert!((length - 2.0 * (0.4f64).acos() * 25.0).abs() < 0.1, "{length}");
    edit_layout(&mut project, |layout| layout.cups.push(Cup { id: CupId(300), ..layout.cups[0].clone() }));
    assert!(analyst.overhang(&project, layout(&project), CupId(999)).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A fix that moves a cup lands on the person's grid and mends what it is for, whatever the step and wherever the cup is.
    #[test]
    fn fixes_that_move_cups_land_on_the_grid_and_still_fix(
        x in 0.0..600.0_f64,
        y in 0.0..400.0_f64,
        beside in (-60.0..60.0_f64, -60.0..60.0_f64),
        step in 0.5..20.0_f64,
        tolerance in 0.0..4.0_f64,
    ) {
        let mut part = plate(600.0, 400.0, 4.0);
        part.placement.position_mm = tolerance;
        let places = [(x, y), ((x + beside.0).clamp(5.0, 595.0), (y + beside.1).clamp(5.0, 395.0)), (450.0, 300.0)];
        let project = project(part, model("Round 40", round(40.0), 1.0), &places, vec![still(11, "Lift", 2.0)]);
        let mut analyst = analysis::Analyst::new();
        analyst.set_step(Some(step));
        let report = analyst.check(&project, layout(&project));
        for finding in report.findings.iter().filter(|f| f.rule.starts_with("seat.")) {
            let Some(analysis::Fix::MoveCups(to)) = &finding.fix else { continue };
            // Two cups are parted along the grid where there is room for it.
            for (_, at) in to.iter().filter(|_| finding.rule != "seat.overlap") {
                let off = (*at / step - (*at / step).round()).abs().max_element();
                prop_assert!(off < 1e-6, "{}: {} to {at} is no whole step of {step}", finding.rule, finding.remedy);
            }
            let mut mended = project.clone();
            crate::rules::apply(&mut mended, finding.fix.as_ref().expect("a move"));
            let after = analyst.check(&mended, layout(&mended));
            let same = |f: &&analysis::Finding| f.rule == finding.rule && f.subject == finding.subject;
            prop_assert!(!after.findings.iter().any(|f| same(&f)), "{} {}", finding.says, finding.remedy);
        }
        // Without a grid fixes are as near as can be printed.
        analyst.set_step(None);
        prop_assert_eq!(&analyst.check(&project, layout(&project)).findings, &analysis::Analyst::new().check(&project, layout(&project)).findings);
    }
}
