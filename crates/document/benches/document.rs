//! How long edits, the file and the journal take, and how it grows with cups and vertices.

use divan::{Bencher, black_box};
use document::{
    Arrangement, Cup, CupId, Edit, FIRST_ZONE, Journal, Part, PartId, Project, difference, from_text,
    library, merge, open, save, to_text,
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
    let Ok(mut journal) = Journal::start(folder.path(), None, &document::History::new(project.clone()))
    else {
        return;
    };
    let mut x = 0.0;
    bencher.bench_local(|| {
        x += 1.0;
        moved(&project, x).apply(&project).map(|next| journal.record("Move C1", &next))
    });
    journal.finish();
}

/// Cups and vertices: a large tool, and an outline with as many vertices as are taken in.
const REVIEWED: [(u32, u32); 2] = [(200, 5_000), (24, 100_000)];

/// The project as it is shared, and as read from two files of it, with nothing shared.
fn two_sides(size: (u32, u32)) -> Option<[Project; 3]> {
    let base = project(size);
    let read = |project: &Project| from_text(&to_text(project), "oval.ron").ok();
    let mine = read(&moved(&base, 7.0).apply(&base).ok()?)?;
    let theirs = read(&Edit::RenameProject("Other".to_owned()).apply(&base).ok()?)?;
    Some([base, mine, theirs])
}

/// After an edit in the window: the outline is shared.
#[divan::bench(args = REVIEWED)]
fn difference_to_a_moved_cup(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let old = project(size);
    let Ok(new) = moved(&old, 7.0).apply(&old) else { return };
    bencher.bench(|| difference(black_box(&old), &new));
}

#[divan::bench(args = REVIEWED)]
fn difference_of_two_files(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let Some([old, new, _]) = two_sides(size) else { return };
    bencher.bench(|| difference(black_box(&old), &new));
}

#[divan::bench(args = REVIEWED)]
fn merge_of_three_files(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let Some([base, mine, theirs]) = two_sides(size) else { return };
    bencher.bench(|| merge(black_box(&base), &mine, &theirs).project(&[]));
}

/// Both added a cup under one number.
#[divan::bench(args = REVIEWED)]
fn merge_with_numbers_to_change(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let Some([base, mine, theirs]) = two_sides(size) else { return };
    let add = |to: &Project, x: f64| {
        let layout = &to.layouts[0];
        let (id, at) = (CupId(to.next_id()), DVec2::new(x, 90.0));
        let cup = Cup { id, at, tag: "C900".to_owned(), ..layout.cups[0].clone() };
        Edit::AddCups { layout: layout.id, cups: vec![cup] }.apply(to)
    };
    let (Ok(mine), Ok(theirs)) = (add(&mine, 4.0), add(&theirs, 5.0)) else { return };
    bencher.bench(|| merge(black_box(&base), &mine, &theirs).project(&[]));
}

/// Three issued revisions of it, the outline in the file once.
#[divan::bench(args = REVIEWED)]
fn read_text_with_three_revisions(bencher: Bencher<'_, '_>, size: (u32, u32)) {
    let mut issued = project(size);
    for index in ["A", "B", "C"] {
        let [on, by, what, program] = ["2026-03-01", "", "", ""].map(str::to_owned);
        let issue = Edit::Issue { index: index.to_owned(), on, by, what, program };
        let Ok(next) = issue.apply(&issued) else { return };
        issued = next;
    }
    let text = to_text(&issued);
    bencher.bench(|| from_text(black_box(&text), "oval.ron"));
}
