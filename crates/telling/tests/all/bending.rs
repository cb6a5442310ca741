//! A part that is let bend: figures beside the rigid ones, their findings, the object.

use crate::common;

use analysis::{Analyst, BendingReport, Finding, Report, SagIs, Severity};
use common::*;
use document::{Attached, AttachedId, MassBy, Motion, MotionId, MotionKind, Project, Sourced};
use glam::DVec3;
use std::sync::Arc;

const G: f64 = 9.80665;

fn checked(project: &Project) -> Arc<Report> {
    Analyst::new().check_whole(project, layout(project))
}

fn bent(report: &Report) -> &BendingReport {
    report.bending.as_ref().expect("it bends").as_ref().expect("figures")
}

fn find<'r>(report: &'r Report, id: &str) -> Option<&'r Finding> {
    report.findings.iter().find(|finding| finding.rule == id)
}

/// Steel, 1600 x 600 mm, on two rows of three cups; its mass follows from its thickness.
fn sheet(thickness_mm: f64, required: f64) -> Project {
    let mut part = plate(1600.0, 600.0, 1.0);
    part.centre_of_gravity = None;
    part.thickness_mm = thickness_mm;
    part.mass = MassBy::Density { kg_m3: Sourced::stated(7850.0) };
    part.modulus_n_mm2 = Some(Sourced::stated(210_000.0));
    part.poisson = Some(Sourced::stated(0.3));
    let six = [(100., 100.), (800., 100.), (1500., 100.), (100., 500.), (800., 500.), (1500., 500.)];
    project(part, model("round-60", round(60.0), 1.0), &six, vec![still(1, "Lift", required)])
}

#[test]
fn a_part_without_a_modulus_is_rigid() {
    let mut project = sheet(1.0, 2.0);
    edit_part(&mut project, |part| part.modulus_n_mm2 = None);
    let report = checked(&project);
    assert!(report.bending.is_none());
    let says = &find(&report, "scope.not_checked").expect("told").says;
    assert_eq!(says, "Sheet flexing and the vacuum circuit are not checked.");
}

/// Four cups set alike about the middle share the weight alike however the sheet bends; its slope tilts their lips all the same.
#[test]
fn alike_pulls_do_not_make_a_sheet_as_good_as_rigid() {
    let mut project = sheet(1.0, 2.0);
    edit_layout(&mut project, |layout| {
        layout.cups.retain(|cup| cup.tag != "C2" && cup.tag != "C5");
    });
    let report = checked(&project);
    let bending = bent(&report);
    let lift = &bending.motions[0];
    assert_eq!(lift.cups.len(), 4);
    assert!(lift.cups.iter().all(|cup| (cup.load.pull - cup.rigid_pull_n).abs() < 1e-6 * cup.rigid_pull_n));
    let rigid = report.motions[0].outcome.as_ref().expect("a figure").factor;
    assert!(lift.factor.value < 0.9 * rigid, "{} {rigid}", lift.factor.value);
    assert!(!bending.as_good_as_rigid(), "{}", bending.from_rigid);
}

#[test]
fn a_thin_sheet_loads_its_middle_cups_more_and_sags() {
    let report = checked(&sheet(1.0, 2.0));
    let bending = bent(&report);
    let lift = &bending.motions[0];
    let pulls: Vec<f64> = lift.cups.iter().map(|cup| cup.load.pull).collect();
    let mass = 1.6 * 0.6 * 1e-3 * 7850.0;
    assert!((pulls.iter().sum::<f64>() - mass * G).abs() < 1e-6, "{pulls:?}");
    assert!(lift.cups.iter().all(|cup| (cup.rigid_pull_n - mass * G / 6.0).abs() < 1e-6));
    assert!(pulls[1] > 1.2 * pulls[0] && (pulls[1] / pulls[4] - 1.0).abs() < 1e-6, "{pulls:?}");
    assert!(!bending.as_good_as_rigid() && bending.relative_stiffness > 10.0);
    assert!(lift.sag_mm.abs() > 1.0 && lift.sag_is != SagIs::Small, "{lift:?}");
    let rigid = report.motions[0].outcome.as_ref().expect("a figure").factor;
    assert!(lift.factor.value < 0.9 * rigid, "{} {rigid}", lift.factor.value);
    assert!(
        ["C2", "C5"]
            .contains(&report.cups.iter().find(|c| c.id == lift.governing_cup).expect("a cup").tag.as_str())
    );
    let says = &find(&report, "scope.not_checked").expect("told").says;
    assert_eq!(says, "The vacuum circuit is not checked.");
    assert!(
        report.not_checked.iter().any(|(what, _)| what == "limit factor and lost zones as the part bends")
    );
}

#[test]
fn a_thick_plate_is_as_good_as_rigid_and_nothing_is_said() {
    let report = checked(&sheet(40.0, 0.1));
    let bending = bent(&report);
    assert!(bending.as_good_as_rigid() && bending.relative_stiffness < 1.0, "{bending:?}");
    let rigid = report.motions[0].outcome.as_ref().expect("a figure").factor;
    assert!((bending.motions[0].factor.value / rigid - 1.0).abs() < 0.05);
    assert!(
        report.findings.iter().all(|finding| !finding.rule.starts_with("flex.")),
        "{:?}",
        report.findings
    );
}

#[test]
fn a_factor_that_holds_rigid_and_not_bent_fails() {
    let loose = checked(&sheet(1.0, 2.0));
    let rigid = loose.motions[0].outcome.as_ref().expect("a figure").factor;
    let required = 0.5 * (rigid + bent(&loose).motions[0].factor.value);
    let report = checked(&sheet(1.0, required));
    assert!(find(&report, "factor.under_required").is_none_or(|f| f.severity != Severity::Fail));
    let finding = find(&report, "flex.factor").expect("told");
    assert_eq!((finding.severity, finding.motion), (Severity::Fail, Some(MotionId(1))));
    assert!(finding.says.starts_with("Lift holds, as the part bends, "), "{}", finding.says);
    assert!(finding.says.contains("where a rigid part would give it"), "{}", finding.says);
    assert!(finding.remedy.starts_with("Put a cup near ("), "{}", finding.remedy);
    assert_eq!(report.verdict.severity, Severity::Fail);
    let says = &report.verdict.sentence;
    assert!(
        says.contains("the required factor as the part bends: ") && says.contains("; as a rigid part "),
        "{says}"
    );
    assert_eq!(report.governing().expect("a figure").1, bent(&report).motions[0].factor.value / required);
}

#[test]
fn sag_is_watched_above_the_limit_only() {
    let mut project = sheet(1.0, 0.1);
    let sag = bent(&checked(&project)).motions[0].sag_mm.abs();
    project.rules.sag_watch_mm = 1.01 * sag;
    assert!(find(&checked(&project), "flex.sag").is_none());
    project.rules.sag_watch_mm = 0.99 * sag;
    let report = checked(&project);
    let finding = find(&report, "flex.sag").expect("told");
    assert_eq!(finding.severity, Severity::Watch);
    assert!(
        finding.says.starts_with("The part sags by ") && finding.says.contains(" at lift, ("),
        "{}",
        finding.says
    );
}

#[test]
fn a_lip_that_does_not_close_the_bend_fails() {
    let mut project = sheet(1.0, 0.1);
    let widest = |report: &Report| bent(report).motions[0].cups.iter().map(|c| c.gap_mm).fold(0.0, f64::max);
    let report = checked(&project);
    assert!(widest(&report) > 0.0 && find(&report, "flex.gap").is_none());
    Arc::make_mut(&mut project.models[0]).closes_mm = 0.9 * widest(&report);
    let report = checked(&project);
    let finding = find(&report, "flex.gap").expect("told");
    assert_eq!(finding.severity, Severity::Fail);
    assert!(finding.says.starts_with("The part bends away from the lip of C"), "{}", finding.says);
}

#[test]
fn what_stands_in_the_way_is_told() {
    let mut project = sheet(1.0, 0.1);
    edit_layout(&mut project, |layout| layout.cups[0].at.x = 10.0);
    let report = checked(&project);
    assert!(bent(&report).motions[0].cups.iter().all(|cup| cup.id != bent(&report).off[0]));
    assert_eq!(bent(&report).motions[0].cups.len(), 5);
    let finding = find(&report, "flex.not_checked").expect("told");
    assert_eq!(finding.severity, Severity::NotChecked);
    assert_eq!(
        finding.says,
        "Bending at C1 is not checked: its lip does not lie fully on the part. The other bending results are \
        without it."
    );
    // Nothing that is left holds: then there is no figure at all.
    edit_layout(&mut project, |layout| layout.cups.iter_mut().for_each(|cup| cup.at.x = 10.0));
    let report = checked(&project);
    assert!(matches!(report.bending, Some(Err(_))));
    let finding = find(&report, "flex.not_checked").expect("told");
    assert_eq!(finding.says, "Bending is not checked: no lip lies fully on the part.");
    let says = &find(&report, "scope.not_checked").expect("told").says;
    assert_eq!(says, "Sheet flexing and the vacuum circuit are not checked.");
}

/// Sweeps, turning, a mass below the sheet: what is remembered while a cup is dragged equals what is worked out anew.
#[test]
fn a_dragged_cup_gives_what_a_cold_check_gives() {
    let mut project = sheet(1.0, 1.0);
    let kinds = [MotionKind::LevelCarry, MotionKind::Swing, MotionKind::TurnOver];
    project.motions = kinds
        .iter()
        .enumerate()
        .map(|(i, kind)| Arc::new(Motion::preset(MotionId(10 + i as u32), *kind)))
        .collect();
    edit_part(&mut project, |part| {
        part.attached.push(Attached {
            id: AttachedId(900),
            name: "Motor".to_owned(),
            mass_kg: 2.0,
            at: DVec3::new(600.0, 350.0, -60.0),
            size: DVec3::new(80.0, 60.0, 100.0),
            turn_deg: 0.0,
        });
    });
    let mut analyst = Analyst::new();
    for step in 0..4 {
        edit_layout(&mut project, |layout| layout.cups[1].at.x = 800.0 + 7.0 * f64::from(step));
        let (warm, cold) = (analyst.check_whole(&project, layout(&project)), checked(&project));
        assert_eq!(bent(&warm).motions.len(), 3);
        for (a, b) in bent(&warm).motions.iter().zip(&bent(&cold).motions) {
            assert!((a.factor.value / b.factor.value - 1.0).abs() < 1e-9);
            assert!((a.sag_mm - b.sag_mm).abs() < 1e-9 * b.sag_mm.abs());
        }
    }
}

#[test]
fn without_a_motion_there_is_nothing_to_bend_by() {
    let mut project = sheet(1.0, 1.0);
    project.motions.clear();
    let report = checked(&project);
    assert!(report.bending.is_none() && report.ringing.is_none());
    assert!(report.verdict.sentence.starts_with("No result yet: there is no motion"), "{:?}", report.verdict);
}

#[test]
fn assumed_figures_of_the_material_are_listed() {
    let mut project = sheet(1.0, 1.0);
    edit_part(&mut project, |part| {
        part.modulus_n_mm2 = Some(Sourced::assumed(210_000.0));
        part.poisson = None;
    });
    let report = checked(&project);
    let listed = |what: &str| report.assumptions.iter().any(|assumed| assumed.what.starts_with(what));
    assert!(
        listed("modulus of elasticity of Sheet") && listed("Poisson's ratio of Sheet"),
        "{:?}",
        report.assumptions
    );
}

#[test]
fn the_object_tells_it_as_the_schema_says() {
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../schema/check.schema.json")).expect("a JSON text");
    let schema = jsonschema::draft202012::new(&schema).expect("a schema");
    for x in [800.0, 10.0] {
        let mut project = sheet(1.0, 1.0);
        edit_layout(&mut project, |layout| {
            let moved = if x == 10.0 { layout.cups.len() } else { 2 };
            layout.cups.iter_mut().take(moved).skip(usize::from(moved == 2)).for_each(|cup| cup.at.x = x);
        });
        let text = telling::to_json("a.ron", &project, &[checked(&project)]);
        let object: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let wrong: Vec<String> = schema.iter_errors(&object).map(|error| error.to_string()).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
        let bending = &object["layouts"][0]["bending"];
        assert_eq!(bending["not_checked"].is_string(), x == 10.0, "{bending}");
        assert_eq!(bending["motions"].is_array(), x == 800.0, "{bending}");
    }
}

/// Side by side, in a table of many projects and in print: the factor of the part as it bends, as in the verdict.
#[test]
fn layouts_are_set_side_by_side_as_the_part_bends() {
    let mut project = sheet(1.0, 0.5);
    let first = project.layouts[0].clone();
    let mut second = document::Layout::clone(&first);
    second.id = document::LayoutId(900);
    second.name = "Two fewer".into();
    second.cups.retain(|cup| cup.tag != "C2" && cup.tag != "C5");
    project.layouts.push(second.into());
    project.last_id = 1000;
    let ids = [first.id, document::LayoutId(900)];
    let mut analyst = Analyst::new();
    let sides = analysis::sides(&mut analyst, &project, &ids);
    for side in &sides {
        let (governing, ratio) = side.report.governing().expect("a figure");
        let rigid = governing.outcome.as_ref().expect("a figure").factor / governing.required_factor;
        assert!(ratio < 0.95 * rigid, "the case says nothing where both are one: {ratio} {rigid}");
        assert_eq!(side.least_ratio().expect("a figure").0, ratio);
        let reserve = side.report.bent_reserve.as_ref().expect("it bends").as_ref().expect("figures");
        let worst = side.worst_loss().expect("losses");
        let least = reserve.motions[0].lost.iter().filter(|lost| lost.holds == worst.holds);
        let least = least.map(|lost| lost.factor.unwrap_or(0.0)).fold(f64::INFINITY, f64::min);
        assert!((worst.factor.unwrap_or(0.0) - least).abs() <= 1e-6 * least, "{worst:?} {least}");
        assert_eq!(side.range_of(governing), reserve.motions[0].range);
        assert!(side.worst_zone().is_none(), "a lost zone is not worked out as it bends");
        let line = telling::batch_line("a.ron", &project, std::slice::from_ref(&side.report));
        assert_eq!(line.figure, Some(ratio));
    }
    let compared = telling::compare(&mut analyst, &project, &ids);
    let row = |name: &str| compared.rows.iter().find(|row| row.name == name);
    assert!(row("Largest sag").is_some());
    assert!(compared.notes.iter().all(|note| !note.contains("sag of the sheet")), "{:?}", compared.notes);
    assert!(compared.notes.iter().any(|note| note.contains("limit factor and envelope as the part bends")));
}
