//! From a project through the engines to the sheet: what stands on the paper is what the report says.

use analysis::{Analyst, Report};
use document::{Cup, CupId, Layout, Part, PartId, Project};
use glam::dvec2;
use sheet::{Page, Paper, SheetOptions, compose, to_pdf, to_png, to_svg};
use std::path::PathBuf;
use std::sync::Arc;

fn plate() -> Project {
    let model = document::library().iter().find(|m| &*m.id.0 == "round-40-flat-medium").unwrap();
    let mut project = Project::new("Cover plate", Part::rectangle(PartId(1), "Cover plate", 600.0, 400.0));
    let circuit = project.circuits[0].id;
    let cups = [(80.0, 80.0), (520.0, 80.0), (520.0, 320.0), (80.0, 320.0)];
    let cups: Vec<Cup> = cups
        .iter()
        .enumerate()
        .map(|(index, (x, y))| Cup {
            id: CupId(100 + index as u32),
            tag: format!("C{}", index + 1),
            model: model.id.clone(),
            at: dvec2(*x, *y),
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit,
            zone: "A".to_owned(),
            locked: false,
        })
        .collect();
    project.layouts[0] = Arc::new(Layout { cups, ..Layout::clone(&project.layouts[0]) });
    project.models = vec![model.clone()];
    project.last_id = 200;
    project
}

fn words(pages: &[Page]) -> Vec<String> {
    pages.iter().flat_map(Page::texts).map(|text| text.text.clone()).collect()
}

fn sheet_of(project: &Project, paper: Paper) -> (Arc<Report>, Vec<Page>) {
    let report = Analyst::new().check(project, project.layouts[0].id);
    let pages = compose(project, &report, &SheetOptions { paper, ..SheetOptions::default() });
    (report, pages)
}

#[test]
fn prints_the_figures_of_the_report() {
    let project = plate();
    let (report, pages) = sheet_of(&project, Paper::A3);
    let words = words(&pages);
    for motion in &report.motions {
        let factor = motion.outcome.as_ref().unwrap().factor;
        assert!(words.contains(&motion.name), "{}", motion.name);
        assert!(words.contains(&format!("{factor:.2}")), "{} has {factor}", motion.name);
    }
    for cup in &report.cups {
        assert!(words.contains(&cup.tag));
        assert!(words.contains(&cup.model));
    }
    let all = words.join(" ");
    assert!(all.contains(&report.verdict.sentence), "{}", report.verdict.sentence);
    let mark = project.fingerprint();
    assert!(all.contains(&format!("{mark}, not issued yet")), "no mark {mark}");
}

/// Turned over, weight helps: the sheet says that it was not multiplied. Hanging level, there is nothing to say.
#[test]
fn says_how_a_factor_is_counted() {
    let mut project = plate();
    let mut over = document::Motion::clone(&project.motions[0]);
    over.tilt_deg = 180.0;
    over.acceleration = glam::DVec3::new(0.0, 4.3, 0.0);
    let says = |project: &Project| {
        let (_, pages) = sheet_of(project, Paper::A3);
        words(&pages).join(" ")
    };
    let counted = "factor with the motion multiplied, the weight counted at 90 % where it helps.";
    project.motions = vec![project.motions[0].clone()];
    assert!(!says(&project).contains("multiplied, the weight"));
    project.motions = vec![Arc::new(over)];
    let says = says(&project);
    assert!(says.contains(counted), "{says}");
}

/// Stamp and finding name the same fields, and go together.
#[test]
fn a_blank_field_is_a_finding_and_stamps_the_sheet() {
    let mut project = plate();
    type Field = fn(&mut document::SheetFields) -> &mut String;
    let fields: [(&str, Field); 5] = [
        ("legal owner", |sheet| &mut sheet.owner),
        ("identification number", |sheet| &mut sheet.number),
        ("created by", |sheet| &mut sheet.created_by),
        ("approved by", |sheet| &mut sheet.approved_by),
        ("date of issue", |sheet| &mut sheet.date),
    ];
    for (_, field) in fields {
        "as stated".clone_into(field(&mut project.sheet));
    }
    let (report, pages) = sheet_of(&project, Paper::A3);
    let found = |report: &Report| report.findings.iter().find(|f| f.rule == "sheet.fields").cloned();
    assert_eq!(found(&report), None);
    assert!(!words(&pages).iter().any(|word| word == "not for issue"));
    for (name, field) in fields {
        let mut blank = project.clone();
        field(&mut blank.sheet).clear();
        let (report, pages) = sheet_of(&blank, Paper::A3);
        let finding = found(&report).unwrap();
        assert!(finding.says.contains(name), "{}", finding.says);
        let words = words(&pages);
        assert!(words.contains(&format!("not stated: {name}")), "{name}");
        assert!(words.join(" ").contains(&finding.says), "{name}");
        let stamps = words.iter().filter(|word| *word == "not for issue").count();
        assert!(stamps >= pages.len(), "{stamps} stamps on {} pages", pages.len());
    }
}

#[test]
fn a_lip_over_the_edge_is_marked_with_its_figure() {
    let mut project = plate();
    Arc::make_mut(&mut project.layouts[0]).cups[0].at = dvec2(12.0, 80.0);
    let (report, pages) = sheet_of(&project, Paper::A3);
    let over = -report.cups[0].clearance.unwrap().distance;
    assert!((over - 8.0).abs() < 1e-6, "{over}");
    let words = words(&pages);
    assert!(words.contains(&"8.0 over the edge".to_owned()));
    assert!(!words.iter().any(|word| word == "meets the required factor as modelled"));
}

/// The demo projects are the sheets that a new user sees first; with `CUPWRIGHT_SHEETS=folder` they are written there.
#[test]
fn every_demo_project_makes_a_sheet_on_every_paper() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let look = std::env::var_os("CUPWRIGHT_SHEETS").map(PathBuf::from);
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "ron") {
            continue;
        }
        seen += 1;
        let (project, _) = document::open(&path).unwrap();
        for layout in &project.layouts {
            let report = Analyst::new().check(&project, layout.id);
            for paper in [Paper::A4, Paper::A3] {
                let pages = compose(&project, &report, &SheetOptions { paper, ..SheetOptions::default() });
                let words = words(&pages);
                for cup in &layout.cups {
                    assert!(words.contains(&cup.tag), "{} {}", path.display(), cup.tag);
                }
                let pdf = to_pdf(&pages, &project.name).unwrap();
                if let Some(look) = &look {
                    let stem = path.file_stem().unwrap().to_string_lossy();
                    let name = look.join(format!("demo-{stem}-{paper:?}"));
                    std::fs::write(name.with_extension("pdf"), pdf).unwrap();
                    std::fs::write(name.with_extension("svg"), to_svg(&pages[0])).unwrap();
                    std::fs::write(name.with_extension("png"), to_png(&pages[0], 110.0).unwrap()).unwrap();
                }
            }
        }
    }
    assert!(seen >= 5, "only {seen} demo projects");
}
