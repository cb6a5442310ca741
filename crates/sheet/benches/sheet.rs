//! Time to lay out and write a sheet of 100 cups.

use analysis::{Analyst, Report};
use divan::Bencher;
use document::{Cup, CupId, Layout, Part, PartId, Project};
use glam::dvec2;
use sheet::{Paper, SheetOptions, compose, to_pdf, to_png, to_svg};
use std::sync::Arc;
use units::UnitChoice;

fn main() {
    divan::main();
}

fn hundred() -> (Project, Arc<Report>) {
    let mut project = Project::new("Panel", Part::rectangle(PartId(1), "Panel", 1500.0, 1000.0));
    let models = document::library();
    let circuit = project.circuits[0].id;
    let cups = (0..100u32)
        .map(|index| Cup {
            id: CupId(1000 + index),
            tag: format!("C{}", index + 1),
            model: models[3].id.clone(),
            at: dvec2(60.0 + f64::from(index % 10) * 150.0, 50.0 + f64::from(index / 10) * 100.0),
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit,
            zone: "A".to_owned(),
            locked: false,
        })
        .collect();
    project.layouts[0] = Arc::new(Layout { cups, ..Layout::clone(&project.layouts[0]) });
    project.models = vec![models[3].clone()];
    project.last_id = 2000;
    let report = Analyst::new().check(&project, project.layouts[0].id);
    (project, report)
}

fn options() -> SheetOptions {
    SheetOptions::default()
}

#[divan::bench]
fn compose_100_cups(bencher: Bencher) {
    let (project, report) = hundred();
    bencher.bench(|| compose(&project, &report, &options()));
}

#[divan::bench]
fn compose_and_pdf_100_cups(bencher: Bencher) {
    let (project, report) = hundred();
    bencher.bench(|| to_pdf(&compose(&project, &report, &options()), "Panel"));
}

#[divan::bench]
fn svg_100_cups(bencher: Bencher) {
    let (project, report) = hundred();
    let pages = compose(&project, &report, &options());
    bencher.bench(|| to_svg(&pages[0]));
}

#[divan::bench(sample_count = 10)]
fn png_150_dpi_100_cups(bencher: Bencher) {
    let (project, report) = hundred();
    let pages = compose(&project, &report, &options());
    bencher.bench(|| to_png(&pages[0], 150.0));
}
