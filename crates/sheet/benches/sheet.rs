//! Time to lay out and write a sheet of 100 cups in two zones with every figure worked out: slow ones, frame, robot load.

use analysis::{Analyst, Report};
use divan::Bencher;
use document::{Cup, CupId, FrameId, FramePiece, FrameShape, Layout, Part, PartId, Project, Tool};
use glam::dvec2;
use sheet::{SheetOptions, compose, to_pdf, to_picture, to_png, to_svg};
use std::sync::Arc;

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
            zone: if index % 10 < 5 { "A" } else { "B" }.to_owned(),
            locked: false,
        })
        .collect();
    let frame = (0..10u32)
        .map(|row| FramePiece {
            id: FrameId(3000 + row),
            name: format!("Rail {}", row + 1),
            at: dvec2(30.0, 50.0 + f64::from(row) * 100.0),
            turn_deg: 0.0,
            height_mm: 80.0,
            shape: FrameShape::Rail {
                length_mm: 1440.0,
                width_mm: 40.0,
                pitch_mm: 30.0,
                first_mm: 30.0,
                kg_m: 1.6,
            },
        })
        .collect();
    let tool = Arc::new(Tool { frame, ..Tool::default() });
    project.layouts[0] = Arc::new(Layout { cups, tool, ..Layout::clone(&project.layouts[0]) });
    project.models = vec![models[3].clone()];
    project.last_id = 4000;
    let report = Analyst::new().check_whole(&project, project.layouts[0].id);
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

/// What a print preview asks for.
#[divan::bench(sample_count = 10)]
fn picture_1400_dots_wide_100_cups(bencher: Bencher) {
    let (project, report) = hundred();
    let pages = compose(&project, &report, &options());
    bencher.bench(|| to_picture(&pages[0], 1400));
}

#[divan::bench(sample_count = 10)]
fn png_150_dpi_100_cups(bencher: Bencher) {
    let (project, report) = hundred();
    let pages = compose(&project, &report, &options());
    bencher.bench(|| to_png(&pages[0], 150.0));
}
