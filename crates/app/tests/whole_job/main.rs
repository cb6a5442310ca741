//! The whole job without a window: a drawing in, cups placed, checked, saved, reopened, a sheet out - the same figures
//! everywhere; the demos; and the command line as scripts see it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not as it should be"
)]

mod browser;
mod command_line;
mod demos;
mod exits;
mod outputs;
mod program;
mod proposals;
mod reviewed;

use analysis::{Analyst, Severity};
use document::{Cup, CupId, Edit, History};
use glam::DVec2;
use std::path::PathBuf;

fn drawing(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects").join(name)
}

/// A round cup of the built-in library.
fn model(size: f64, folds: u8) -> std::sync::Arc<document::CupModel> {
    let fits = |m: &&std::sync::Arc<document::CupModel>| {
        m.shape == geometry::LipShape::Round { diameter: size } && m.folds == folds
    };
    document::library().iter().find(fits).unwrap().clone()
}

#[test]
fn from_a_drawing_to_a_sheet_with_the_same_figures() {
    let read =
        exchange::read_drawing(&drawing("tray-blank.dxf"), &exchange::ImportOptions::default()).unwrap();
    assert_eq!(read.parts.len(), 1);
    let mut history = History::new(exchange::new_project_from_drawing(&read, "Whole job"));
    let layout = history.committed().layouts[0].id;
    let model = model(80.0, 1);
    history.apply(Edit::AddModel(model.clone())).unwrap();

    // Eight cups by hand, one of them hanging over the hole, as a first try does.
    let places = [
        (80.0, 80.0),
        (80.0, 400.0),
        (480.0, 400.0),
        (405.0, 250.0),
        (280.0, 80.0),
        (480.0, 80.0),
        (775.0, 165.0),
        (775.0, 65.0),
    ];
    let project = history.committed().clone();
    let circuit = project.circuits[0].id;
    let tags = project.next_tags(layout, places.len());
    let first = project.next_id();
    let cups = places
        .iter()
        .zip(tags)
        .zip(first..)
        .map(|((at, tag), id)| Cup {
            id: CupId(id),
            tag,
            model: model.id.clone(),
            at: DVec2::new(at.0, at.1),
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit,
            zone: "A".into(),
            locked: false,
        })
        .collect();
    history.apply(Edit::AddCups { layout, cups }).unwrap();

    let mut analyst = Analyst::new();
    let first_try = analyst.check(history.committed(), layout);
    assert_eq!(first_try.verdict.severity, Severity::Fail);
    let finding = first_try.findings.iter().find(|f| f.rule == "seat.overhang").unwrap();
    assert!(finding.says.contains("C4"), "{}", finding.says);

    // The remedy is carried out as the finding gives it, and the finding goes.
    let Some(analysis::Fix::MoveCups(to)) = finding.fix.clone() else { panic!("{finding:?} has no move") };
    history.apply(Edit::MoveCups { layout, to }).unwrap();
    let mended = analyst.check(history.committed(), layout);
    assert!(!mended.findings.iter().any(|f| f.rule == "seat.overhang"));

    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.ron");
    document::save(history.committed(), &file, None).unwrap();
    let (reopened, _) = document::open(&file).unwrap();
    assert_eq!(&reopened, &**history.committed());
    let cold = Analyst::new().check(&reopened, layout);
    assert_eq!(cold, mended, "a reopened project gives the same report to the last bit");

    // The sheet prints the report's figures: every factor and every tag is in its text.
    let options = sheet::SheetOptions { paper: sheet::Paper::A3, ..sheet::SheetOptions::default() };
    let pages = sheet::compose(&reopened, &cold, &options);
    let text: String = pages.iter().map(|p| p.describe()).collect();
    for motion in &cold.motions {
        let outcome = motion.outcome.as_ref().unwrap();
        assert!(text.contains(&format!("{:.2}", outcome.factor)), "{} {}", motion.name, outcome.factor);
    }
    for cup in &cold.cups {
        assert!(text.contains(&cup.tag));
    }
    let pdf = sheet::to_pdf(&pages, &reopened.name).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    assert_eq!(
        pdf,
        sheet::to_pdf(&sheet::compose(&reopened, &cold, &options), &reopened.name).unwrap(),
        "the same project prints the same bytes"
    );
    let csv = exchange::hole_table_csv(&reopened, &cold);
    assert_eq!(csv.lines().filter(|line| !line.starts_with("\"# ")).count(), 1 + places.len());
}

#[test]
fn undoing_everything_gives_the_project_back() {
    let read =
        exchange::read_drawing(&drawing("door-sheet.dxf"), &exchange::ImportOptions::default()).unwrap();
    let start = exchange::new_project_from_drawing(&read, "Undo");
    let mut history = History::new(start.clone());
    let layout = start.layouts[0].id;
    history.apply(Edit::AddModel(model(60.0, 0))).unwrap();
    for i in 0..5 {
        let project = history.committed().clone();
        let cup = Cup {
            id: CupId(project.next_id()),
            tag: project.next_tags(layout, 1).remove(0),
            model: model(60.0, 0).id.clone(),
            at: DVec2::new(100.0 * f64::from(i), 90.0),
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit: project.circuits[0].id,
            zone: "A".into(),
            locked: false,
        };
        history.apply(Edit::AddCups { layout, cups: vec![cup] }).unwrap();
    }
    let end = history.committed().clone();
    while history.undo().is_some() {}
    let numbers_stay = document::Project { last_id: start.last_id, ..(**history.committed()).clone() };
    assert_eq!(numbers_stay, start);
    while history.redo().is_some() {}
    assert_eq!(*history.committed(), end);
}
