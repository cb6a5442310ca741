//! How long the window waits for one step of a drag, and how that grows.
//!
//! `drag_step`: one cup moved by half a millimetre, everything else as it was: seats, loads, factors, findings.
//! `drag_a_cup_of_parts`: the same on a tool that carries several parts; `drag_one_of_parts`: one of the parts moved.
//! `cold`: the same project with nothing remembered.
//! Run with `cargo bench -p telling`.

#[path = "../tests/all/common/mod.rs"]
mod common;

use analysis::{Analyst, SlowFound, SlowJob, Watch};
use divan::Bencher;
use document::Project;
use std::sync::Arc;

fn main() {
    divan::main();
}

/// cups, vertices, motions.
const SIZES: [(usize, usize, usize); 2] = [(24, 1_000, 12), (400, 10_000, 24)];

fn drag(bencher: Bencher<'_, '_>, project: &Project) {
    let layout = common::layout(project);
    let mut analyst = Analyst::new();
    analyst.check(project, layout);
    let moved = |by: f64| {
        let mut moved = project.clone();
        common::edit_layout(&mut moved, |layout| {
            let middle = layout.cups.len() / 2;
            layout.cups[middle].at.x += by;
        });
        moved
    };
    let steps: Vec<Project> = (0..16).map(|i| moved(0.5 * f64::from(i))).collect();
    let mut step = 0;
    bencher.bench_local(|| {
        step = (step + 1) % steps.len();
        analyst.check(&steps[step], layout)
    });
}

#[divan::bench(args = SIZES)]
fn drag_step(bencher: Bencher<'_, '_>, (cups, vertices, motions): (usize, usize, usize)) {
    drag(bencher, &common::large(cups, vertices, motions));
}

/// One cup of a tool that carries so many parts dragged, and with it the region where it lands on all of them.
#[divan::bench(args = [1, 2, 4, 8])]
fn drag_a_cup_of_parts(bencher: Bencher<'_, '_>, parts: usize) {
    let mut project = common::large(24, 1_000, 12);
    common::carried(&mut project, parts);
    let layout = common::layout(&project);
    let (model, zone) = (project.models[0].id.clone(), project.layouts[0].cups[12].zone.clone());
    let mut analyst = Analyst::new();
    dragged(
        bencher,
        &project,
        |layout, by| layout.cups[12].at.x += by,
        |project| {
            analyst.check(project, layout);
            analyst.landing(project, layout, &model, 0.0, &zone)
        },
    );
}

/// One of so many parts dragged on the tool.
#[divan::bench(args = [2, 4, 8])]
fn drag_one_of_parts(bencher: Bencher<'_, '_>, parts: usize) {
    let mut project = common::large(24, 1_000, 12);
    common::carried(&mut project, parts);
    let layout = common::layout(&project);
    let mut analyst = Analyst::new();
    dragged(
        bencher,
        &project,
        |layout, by| layout.seats[1].at.x += by,
        |project| analyst.check(project, layout),
    );
}

/// The region where a cup lands on eight parts, put together anew: once when a drag begins.
#[divan::bench]
fn landing_on_parts(bencher: Bencher<'_, '_>) {
    let mut project = common::large(24, 1_000, 12);
    common::carried(&mut project, 8);
    let layout = common::layout(&project);
    let (model, zone) = (project.models[0].id.clone(), project.layouts[0].cups[12].zone.clone());
    let mut analyst = Analyst::new();
    analyst.check(&project, layout);
    let mut turn = 0.0;
    bencher.bench_local(|| {
        // A long lip has another region at every turn.
        turn += 0.25;
        let mut other = project.clone();
        Arc::make_mut(&mut other.models[0]).shape = geometry::LipShape::Long { length: 60.0, width: 30.0 };
        analyst.landing(&other, layout, &model, turn, &zone)
    });
}

fn dragged<R>(
    bencher: Bencher<'_, '_>,
    project: &Project,
    change: impl Fn(&mut document::Layout, f64),
    mut work: impl FnMut(&Project) -> R,
) {
    work(project);
    let moved = |by: f64| {
        let mut moved = project.clone();
        common::edit_layout(&mut moved, |layout| change(layout, by));
        moved
    };
    let steps: Vec<Project> = (0..16).map(|i| moved(0.5 * f64::from(i))).collect();
    let mut step = 0;
    bencher.bench_local(|| {
        step = (step + 1) % steps.len();
        work(&steps[step])
    });
}

/// A cup dragged over the rim, so that the nearest landing point is looked for in every step.
#[divan::bench(args = SIZES)]
fn drag_over_the_edge(bencher: Bencher<'_, '_>, (cups, vertices, motions): (usize, usize, usize)) {
    let mut project = common::large(cups, vertices, motions);
    common::edit_layout(&mut project, |layout| {
        let middle = layout.cups.len() / 2;
        layout.cups[middle].at = glam::DVec2::new(-20.0, 400.0);
    });
    drag(bencher, &project);
}

/// A sheet so heavy that every motion is short, so that remedies are worked out in every step.
#[divan::bench(args = SIZES)]
fn drag_too_heavy(bencher: Bencher<'_, '_>, (cups, vertices, motions): (usize, usize, usize)) {
    let mut project = common::large(cups, vertices, motions);
    common::edit_part(&mut project, |part| part.thickness_mm *= 12.0);
    drag(bencher, &project);
}

/// A part that bends, dragged: its figures are worked out beside the frame, so the step is that of a rigid one.
#[divan::bench]
fn drag_bending(bencher: Bencher<'_, '_>) {
    drag(bencher, &bending());
}

/// What a moved cup costs beside the frame: three more answers of the sheet and every motion anew.
#[divan::bench]
fn bending_after_a_move(bencher: Bencher<'_, '_>) {
    followed(bencher, &|slow| slow.is_followed());
}

/// All that follows a part that bends: ringing, stress, lost cups, ranges, one more cup.
#[divan::bench(sample_count = 10)]
fn bending_whole(bencher: Bencher<'_, '_>) {
    followed(bencher, &|slow| analysis::Slow::OF_BENDING.contains(&slow));
}

fn bending() -> Project {
    let mut project = common::large(24, 1_000, 12);
    common::edit_part(&mut project, |part| {
        part.modulus_n_mm2 = Some(document::Sourced::assumed(210_000.0));
        part.thickness_mm = 1.0;
        part.mass = document::MassBy::Density { kg_m3: document::Sourced::stated(7850.0) };
        part.centre_of_gravity = None;
    });
    project
}

fn followed(bencher: Bencher<'_, '_>, wanted: &(dyn Fn(analysis::Slow) -> bool + Sync)) {
    let project = bending();
    let layout = common::layout(&project);
    let mut analyst = Analyst::new();
    analyst.check_whole(&project, layout);
    let mut at = 0.0;
    bencher.bench_local(|| {
        at = (at + 0.5) % 8.0;
        let mut moved = project.clone();
        common::edit_layout(&mut moved, |layout| {
            let middle = layout.cups.len() / 2;
            layout.cups[middle].at.x += at + 0.25;
        });
        let job = analyst.slow_job(&moved, layout).and_then(|job| job.only(wanted));
        if let Some(job) = job {
            job.run(&Watch::default(), &mut |found| analyst.take_slow(found));
        }
    });
}

#[divan::bench(args = [25, 50, 100, 200, 400, 800])]
fn drag_by_cups(bencher: Bencher<'_, '_>, cups: usize) {
    drag(bencher, &common::large(cups, 1_000, 12));
}

#[divan::bench(args = [500, 1_000, 2_000, 4_000, 8_000, 16_000])]
fn drag_by_vertices(bencher: Bencher<'_, '_>, vertices: usize) {
    drag(bencher, &common::large(24, vertices, 12));
}

#[divan::bench(args = SIZES)]
fn nothing_changed(bencher: Bencher<'_, '_>, (cups, vertices, motions): (usize, usize, usize)) {
    let project = common::large(cups, vertices, motions);
    let layout = common::layout(&project);
    let mut analyst = Analyst::new();
    analyst.check(&project, layout);
    bencher.bench_local(|| analyst.check(&project, layout));
}

#[divan::bench(args = SIZES, sample_count = 10)]
fn cold(bencher: Bencher<'_, '_>, (cups, vertices, motions): (usize, usize, usize)) {
    let project = common::large(cups, vertices, motions);
    let layout = common::layout(&project);
    bencher.bench_local(|| Analyst::new().check(&project, layout));
}

#[divan::bench(args = SIZES)]
fn rename_the_part(bencher: Bencher<'_, '_>, (cups, vertices, motions): (usize, usize, usize)) {
    let project = common::large(cups, vertices, motions);
    let layout = common::layout(&project);
    let mut renamed = project.clone();
    Arc::make_mut(&mut renamed.parts[0]).name = "Another name".to_owned();
    let mut analyst = Analyst::new();
    let mut step = false;
    bencher.bench_local(|| {
        step = !step;
        analyst.check(if step { &project } else { &renamed }, layout)
    });
}

/// The slow figures on the worker, nothing taken over: limit load, every cup lost, ranges.
#[divan::bench(args = [(24, 1), (24, 12), (60, 4)], sample_count = 5)]
fn slow(bencher: Bencher<'_, '_>, (cups, motions): (usize, usize)) {
    let project = common::large(cups, 1_000, motions);
    let layout = common::layout(&project);
    bencher.with_inputs(|| Analyst::new().slow_job(&project, layout)).bench_local_values(|job| job.map(run));
}

fn run(job: SlowJob) -> Vec<SlowFound> {
    let mut found = Vec::new();
    job.run(&Watch::default(), &mut |figure| found.push(figure));
    found
}

/// As [`drag_step`], on a part that air comes through, with all cups on one circuit that is solved in every step.
#[divan::bench(args = [24, 400])]
fn drag_with_a_circuit(bencher: Bencher<'_, '_>, cups: usize) {
    drag(bencher, &with_circuit(cups));
}

/// Slow figures of that layout, with every cup open in turn, evacuation, cost and what would help.
#[divan::bench(args = [24, 400], sample_count = 3)]
fn slow_figures_with_a_circuit(bencher: Bencher<'_, '_>, cups: usize) {
    let project = with_circuit(cups);
    let layout = common::layout(&project);
    let job = Analyst::new().slow_job(&project, layout);
    bencher.bench_local(|| job.clone().map(run));
}

/// Everything of very many cups, the slow figures within their bounds.
#[divan::bench(args = [1_000, 3_000, 10_000], sample_count = 1)]
fn whole_of_many(bencher: Bencher<'_, '_>, cups: usize) {
    let project = common::large(cups, 1_000, 3);
    let layout = common::layout(&project);
    bencher.bench_local(|| Analyst::new().check_whole(&project, layout));
}

/// A landing place looked for under each of so many cups, all over one of 1,000 holes or more.
#[divan::bench(args = [(100, 1_000), (1_000, 1_000), (1_000, 4_000)], sample_count = 3)]
fn cups_over_holes(bencher: Bencher<'_, '_>, (cups, holes): (usize, usize)) {
    let mut project = common::large(cups, 1_000, 1);
    common::edit_part(&mut project, |part| {
        let outline = Arc::make_mut(&mut part.outline);
        let columns = (holes as f64).sqrt().ceil() as usize;
        outline.holes = (0..holes)
            .map(|i| {
                let place = glam::DVec2::new((i % columns) as f64, (i / columns) as f64);
                geometry::Loop::circle(glam::DVec2::new(200.0, 150.0) + place * (800.0 / columns as f64), 3.0)
            })
            .collect();
    });
    let layout = common::layout(&project);
    bencher.bench_local(|| Analyst::new().check(&project, layout));
}

/// The reviewer's checklist from a report that is there.
#[divan::bench(args = [24, 400])]
fn checklist(bencher: Bencher<'_, '_>, cups: usize) {
    let project = with_circuit(cups);
    let report = Analyst::new().check(&project, common::layout(&project));
    let units = units::UnitChoice::default();
    bencher.bench_local(|| telling::questions(&project, &report, &units));
}

/// Two revisions with one cup moved, both sides worked out whole.
#[divan::bench(args = [(24, 4)], sample_count = 3)]
fn difference(bencher: Bencher<'_, '_>, (cups, motions): (usize, usize)) {
    let old = common::large(cups, 1_000, motions);
    let mut new = old.clone();
    common::edit_layout(&mut new, |layout| layout.cups[0].at.x += 5.0);
    bencher.bench_local(|| telling::difference(&mut Analyst::new(), &old, &new));
}

fn with_circuit(cups: usize) -> Project {
    let mut project = common::large(cups, 1_000, 12);
    common::edit_part(&mut project, |part| {
        part.permeance_um_pa_s = Some(document::Sourced::stated(0.2));
    });
    let source = common::circuits::pump();
    let mut supply = common::circuits::supply(&source);
    supply.manifold = (cups <= 100).then(|| common::circuits::manifold(cups as u32, 12.0));
    common::circuits::feed(&mut project, source, supply);
    project
}
