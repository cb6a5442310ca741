//! How long edits, the file and the journal take, and how it grows with cups and vertices.

use divan::{Bencher, black_box};
use document::{
    Arrangement, Cup, CupId, Edit, FIRST_ZONE, Journal, Part, PartId, Project, from_text, library, open,
    save, to_text,
};
use geometry::{Loop, Outline};
use glam::DVec2;
use std::sync::Arc;

fn main() {
    divan::main();
}

/// Cups and vertices: a common job and the largest one that is to stay smooth.
const SIZES: [(u32, u32); 3] = [(24, 1_000), (100, 3_000), (400, 10_000)];

/// An oval with this many vertices and a row of cups.
fn project((cups, vertices): (u32, u32)) -> Project {
    let points = (0..vertices).map(|i| {
        let turn = std::f64::consts::TAU * f64::from(i) / f64::from(vertices);
        DVec2::new(1000.0 * turn.cos(), 800.0 * turn.sin())
    });
    let outline = Arc::new(Outline { outer: Loop::polygon(points), holes: Vec::new() });
    let start = Project::new("Oval", Part::from_outline(PartId(1), "Oval", outline));
    let (layout, circuit) = (start.layouts[0].id, start.circuits[0].id);
    let model = library()[0].clone();
    let cups = (0..cups).map(|i| Cup {
        id: CupId(start.next_id() + i),
        tag: format!("C{}", i + 1),
        model: model.id.clone(),
        at: DVec2::new(f64::from(i) * 2.5, 0.25),
        turn_deg: 0.0,
        height_mm: 0.0,
        circuit,
        zone: FIRST_ZONE.into(),
        locked: false,
    });
    let edits = vec![Edit::AddCups { layout, cups: cups.collect() }];
    let place = Edit::Together { name: String::new(), edits: [vec![Edit::AddModel(model)], edits].concat() };
    place.apply(&start).unwrap_or(start)
}
fn moved(project: &Project, x: f64) -> Edit {
    let layout = &project.layouts[0];
    Edit::MoveCups { layout: layout.id, to: vec![(layout.cups[0].id, DVec2::new(x, 3.0))] }
}

#[divan::bench(args = SIZES)]
fn move_one_cup(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let project = project(size);
    let edit = moved(&project, 7.0);
    bencher.bench(|| black_box(&edit).apply(&project));
}

#[divan::bench(args = SIZES)]
fn problems_of_the_layout(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let project = project(size);
    bencher.bench(|| black_box(&project).layout_problems(project.layouts[0].id));
}

/// Which cup hangs on which port, and every hose: asked for in each step of a drag.
#[divan::bench(args = SIZES)]
fn route_the_hoses(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let project = project(size);
    let (layout, circuit) = (project.layouts[0].id, project.circuits[0].id);
    let feed = project.feed_circuit(layout, circuit, Arrangement::Central);
    let Some(Ok(fed)) = feed.map(|edit| edit.apply(&project)) else { return };
    bencher.bench(|| black_box(&fed).routing(layout, circuit));
}

#[divan::bench(args = SIZES)]
fn write_text(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let project = project(size);
    bencher.bench(|| to_text(black_box(&project)));
}

#[divan::bench(args = SIZES)]
fn read_text(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let text = to_text(&project(size));
    bencher.bench(|| from_text(black_box(&text), "oval.ron"));
}

/// With what it takes to reach the disk.
#[divan::bench(args = SIZES, sample_count = 20, sample_size = 1)]
fn save_and_open(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let Ok(folder) = tempfile::tempdir() else { return };
    let path = folder.path().join("oval.ron");
    let project = project(size);
    let mut x = 0.0;
    bencher.bench_local(|| {
        x += 1.0;
        moved(&project, x).apply(&project).map(|next| save(&next, &path, None).map(|_| open(&path)))
    });
}

/// What the window waits for after each change.
#[divan::bench(args = SIZES, sample_count = 50, sample_size = 1)]
fn journal_a_move(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let Ok(folder) = tempfile::tempdir() else { return };
    let project = project(size);
    let Ok(mut journal) = Journal::start(folder.path(), None, &project) else { return };
    let mut x = 0.0;
    bencher.bench_local(|| {
        x += 1.0;
        moved(&project, x).apply(&project).map(|next| journal.record("Move C1", &next))
    });
    journal.finish();
}
