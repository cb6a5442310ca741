//! Hands for the window tests: press, drag and type as a person does, then wait until the window is at rest.

use app::{
    Cupwright, Setup,
    files::{FileKind, FilePicker},
};
use egui::{Key, Modifiers, Pos2, Vec2};
use egui_kittest::{Harness, kittest::Queryable as _};
use std::path::PathBuf;

pub type Window<'a> = Harness<'a, Cupwright>;

/// A file let go over the window.
#[derive(Debug)]
pub struct Dropped(pub PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &std::path::Path {
        &self.0
    }
    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

/// Never answers: the tests type their paths.
struct NoPicker;

impl FilePicker for NoPicker {
    fn open(&mut self, _: FileKind) -> Option<PathBuf> {
        None
    }
    fn save(&mut self, _: FileKind, _: &str) -> Option<PathBuf> {
        None
    }
}

pub fn build(
    folder: Option<PathBuf>,
    open: Option<PathBuf>,
    size: [f32; 2],
    scale: f32,
    theme: egui::Theme,
) -> Window<'static> {
    let app = Cupwright::new(Setup { picker: Box::new(NoPicker), folder, open });
    let mut window = Harness::builder()
        .with_size(Vec2::from(size))
        .with_pixels_per_point(scale)
        .with_theme(theme)
        .with_step_dt(0.05)
        .with_max_steps(60)
        .build_ui_state(|ui, app: &mut Cupwright| app.ui(ui), app);
    ready(&mut window);
    window
}

/// The demo at a usual size.
pub fn window() -> Window<'static> {
    window_in(None, None)
}

/// With a folder for preferences and journal, and a file to open.
pub fn window_in(folder: Option<PathBuf>, open: Option<PathBuf>) -> Window<'static> {
    build(folder, open, [1440.0, 900.0], 1.0, egui::Theme::Light)
}

/// The demo at another size.
pub fn sized(size: [f32; 2], scale: f32, theme: egui::Theme) -> Window<'static> {
    build(None, None, size, scale, theme)
}

/// Lets everything settle; notices keep a clock of their own, so a fixed number of frames will do.
pub fn ready(window: &mut Window<'_>) {
    window.run_steps(6);
    // A file is read beside the window; on a busy machine that takes a while. What was read in the last of these
    // frames may have begun to read another file, which only the next frame draws.
    let start = std::time::Instant::now();
    let mut still = 0;
    while still < 2 {
        let reads = window.query_by_label_contains("You can cancel; nothing is changed").is_some();
        still = if reads { 0 } else { still + 1 };
        if reads {
            assert!(start.elapsed().as_secs() < 120, "still reading");
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
        window.run_steps(if reads { 6 } else { 1 });
    }
}

/// Goes on until a label is there: for what is found out beside the window.
pub fn appears(window: &mut Window<'_>, label: &str) {
    let start = std::time::Instant::now();
    while window.query_by_label(label).is_none() {
        assert!(start.elapsed().as_secs() < 60, "{label} does not appear");
        std::thread::sleep(std::time::Duration::from_millis(20));
        window.run_steps(2);
    }
}

pub fn click(window: &mut Window<'_>, label: &str) {
    // A person scrolls to what is not in sight.
    window.get_by_label(label).scroll_to_me();
    ready(window);
    window.get_by_label(label).click();
    ready(window);
}

/// Lays a source and hoses out over the cups of a circuit and unfolds every part of its form.
pub fn lay_out(window: &mut Window<'_>) {
    click(window, "source and hoses…");
    unfold(window);
}

/// Unfolds every part of the form of the circuit.
pub fn unfold(window: &mut Window<'_>) {
    for part in [
        "Main hose",
        "Manifold",
        "Hose to each cup",
        "Valves, filters, cells",
        "Leaks and losses",
        "Switching and release",
    ] {
        if window.query_by_label(part).is_some() {
            click(window, part);
        }
    }
}

/// A click at a place.
pub fn at(window: &mut Window<'_>, place: Pos2) {
    window.hover_at(place);
    window.step();
    window.drag_at(place);
    window.step();
    window.drop_at(place);
    ready(window);
}

pub fn drag(window: &mut Window<'_>, from: Pos2, to: Pos2) {
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for i in 1..=6 {
        window.hover_at(from + (to - from) * (i as f32 / 6.0));
        window.step();
    }
    window.drop_at(to);
    ready(window);
}

pub fn cup_centre(window: &Window<'_>, tag: &str) -> Pos2 {
    window.get_by_label(&format!("Cup {tag}")).rect().center()
}

/// Replaces what a field holds and presses Enter.
pub fn type_into(window: &mut Window<'_>, label: &str, text: &str) {
    window.get_by_label(label).focus();
    ready(window);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.step();
    window.get_by_label(label).type_text(text);
    window.step();
    window.key_press(Key::Enter);
    ready(window);
}

/// Runs a command by words of it.
pub fn run_command(window: &mut Window<'_>, words: &str) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    ready(window);
    window.get_by_label("Find a command").type_text(words);
    window.step();
    window.key_press(Key::Enter);
    ready(window);
}

/// Steps until the slow figures belong to the plan.
pub fn settle(window: &mut Window<'_>) {
    // What the hand did last is only an event in a queue: the plan has to have it before its figures are waited for.
    ready(window);
    let ctx = window.ctx.clone();
    window.state_mut().settle(&ctx);
    ready(window);
}
