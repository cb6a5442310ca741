//! Wall time of a frame of the whole window while a cup is dragged, sixty frames a second: alone, and beside a search for a layout that
//! has every core. The column *slowest* is the frame that a person would see late: 16.7 ms is one dropped.
//!
//! A sheet of 1,000 vertices with 24 cups in 12 motions; the search looks for 24 cups of which any one may be lost. Run with
//! `cargo bench -p app --bench beside`.

#![expect(clippy::unwrap_used, reason = "a bench may end at once when its set-up fails")]

#[path = "../../telling/tests/all/common/mod.rs"]
mod common;

use app::{
    Cupwright, Setup,
    files::{FileKind, FilePicker},
};
use egui::{Pos2, Vec2};
use egui_kittest::{Harness, kittest::Queryable as _};
use std::{
    path::PathBuf,
    time::{Duration, Instant},
};

fn main() {
    divan::main();
}

type Window = Harness<'static, Cupwright>;

struct NoPicker;

impl FilePicker for NoPicker {
    fn open(&mut self, _: FileKind) -> Option<PathBuf> {
        None
    }
    fn save(&mut self, _: FileKind, _: &str) -> Option<PathBuf> {
        None
    }
}

const CUPS: usize = 24;
const MOTIONS: usize = 12;
const TICK: Duration = Duration::from_micros(16_667);

fn window() -> (tempfile::TempDir, Window) {
    let mut project = common::large(CUPS, 1_000, MOTIONS);
    project.question = std::sync::Arc::new(document::Question {
        models: vec![project.models[0].id.clone()],
        count: document::HowMany::Exactly(CUPS),
        one_lost: true,
        ..document::Question::clone(&project.question)
    });
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("beside.ron");
    document::save(&project, &file, None).unwrap();
    let app = Cupwright::new(Setup { picker: Box::new(NoPicker), folder: None, open: Some(file) });
    let mut window = Harness::builder()
        .with_size(Vec2::new(1600.0, 1000.0))
        .with_max_steps(60)
        .build_ui_state(|ui, app: &mut Cupwright| app.ui(ui), app);
    let ctx = window.ctx.clone();
    while window.query_by_label("Cup C1").is_none() {
        window.step();
    }
    window.state_mut().settle(&ctx);
    window.key_press_modifiers(egui::Modifiers::COMMAND | egui::Modifiers::SHIFT, egui::Key::P);
    window.run_steps(6);
    (folder, window)
}

/// Frames of a drag, each begun on a tick of a screen.
fn frames(
    bencher: divan::Bencher<'_, '_>,
    (_folder, mut window): (tempfile::TempDir, Window),
    searches: bool,
) {
    let from = window.get_by_label("Cup C1").rect().center();
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    let mut tick = Instant::now();
    let mut step = 0;
    let window = std::cell::RefCell::new(window);
    let wait = || {
        // The search goes on through all frames; one that ends is asked again.
        let mut window = window.borrow_mut();
        if searches && window.query_by_label("Propose").is_some() {
            window.get_by_label("Propose").click();
            window.step();
        }
        step += 1;
        window.hover_at(from + Vec2::angled(step as f32 * 0.1) * 20.0);
        let now = Instant::now();
        tick = (tick + TICK).max(now);
        std::thread::sleep(tick - now);
    };
    bencher.with_inputs(wait).bench_local_values(|()| {
        let mut window = window.borrow_mut();
        window.step();
        let output = window.output();
        window.ctx.tessellate(output.shapes.clone(), output.pixels_per_point)
    });
    window.borrow_mut().drop_at(Pos2::ZERO);
}

/// Nothing else to do.
#[divan::bench(sample_count = 300, sample_size = 1)]
fn alone(bencher: divan::Bencher<'_, '_>) {
    frames(bencher, window(), false);
}

/// While layouts are looked for.
#[divan::bench(sample_count = 300, sample_size = 1)]
fn beside_a_search(bencher: divan::Bencher<'_, '_>) {
    let (folder, mut window) = window();
    window.get_by_label("Propose").click();
    window.run_steps(6);
    frames(bencher, (folder, window), true);
}
