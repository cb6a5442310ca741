//! The program at work: random commands through the window, every state told to the parent after its frame.

use crate::hands::{Window, window_in};
use crate::telling::{Choices, Told, digest};
use document::Project;
use egui::{Key, Modifiers, Vec2};
use egui_kittest::kittest::Queryable as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Names the folder for the driven program; the program's own folder and the project's lie in it.
pub const FOLDER: &str = "FAULTS_FOLDER";
/// Begins its choices.
pub const SEED: &str = "FAULTS_DRIVER_SEED";

pub fn own_folder(folder: &Path) -> PathBuf {
    folder.join("own")
}
pub fn project_file(folder: &Path) -> PathBuf {
    folder.join("shared").join("layout.ron")
}

/// Changes in the journal of this very run: work that was taken up brings its own.
fn journalled(folder: &Path) -> usize {
    let mine = format!("cupwright-{}-", std::process::id());
    let entries = std::fs::read_dir(own_folder(folder).join("recovery")).unwrap();
    let journal = entries
        .map(|entry| entry.unwrap().path())
        .find(|path| path.file_name().is_some_and(|name| name.to_string_lossy().starts_with(&mine)))
        .unwrap();
    document::Journal::recover(&journal).unwrap().edits
}

/// A window and what was told of it.
struct Driver {
    window: Window<'static>,
    choices: Choices,
    known: Arc<Project>,
    /// Changes in the journal.
    changes: usize,
}

impl Driver {
    /// Starts the program with the file, and answers the offer to take up what a killed run left.
    fn start(folder: &Path, seed: u64) -> Self {
        let file = project_file(folder);
        let mut choices = Choices::new(seed);
        let window = window_in(Some(own_folder(folder)), Some(file));
        let known = window.state().project().clone();
        let mut driver = Self { window, choices: Choices::new(seed ^ 1), known, changes: 0 };
        if driver.shown("Recover unsaved work") {
            Told::Offered.say();
            let taken = !choices.one_in(4);
            Told::Answering { taken }.say();
            driver.press(if taken { "Recover" } else { "Discard" });
            // On a busy machine it is read beside the window for more than a moment.
            crate::hands::ready(&mut driver.window);
            // What other runs left stays where it is.
            if driver.shown("Recover unsaved work") {
                driver.press("Later");
            }
            driver.known = driver.window.state().project().clone();
            if taken {
                driver.changes = journalled(folder);
            }
        }
        Told::Committed(digest(&driver.known), driver.changes).say();
        Told::Ready.say();
        driver
    }

    fn shown(&self, label: &str) -> bool {
        self.window.query_by_label(label).is_some()
    }

    /// One frame; what it committed is told.
    fn step(&mut self) {
        self.window.step();
        let now = self.window.state().project();
        if !Arc::ptr_eq(now, &self.known) {
            let (before, after) = (digest(&self.known), digest(now));
            self.known = now.clone();
            // A change that changes nothing in the file is not recorded.
            if before != after {
                self.changes += 1;
                Told::Committed(after, self.changes).say();
            }
        }
    }

    fn steps(&mut self, count: usize) {
        for _ in 0..count {
            self.step();
        }
    }

    fn press(&mut self, label: &str) {
        if let Some(node) = self.window.query_all_by_label(label).next() {
            node.click();
        }
        self.steps(3);
    }

    fn key(&mut self, modifiers: Modifiers, key: Key) {
        self.window.key_press_modifiers(modifiers, key);
        self.steps(2);
    }

    fn tag(&mut self) -> Option<String> {
        let cups = &self.known.layouts[0].cups;
        let at = self.choices.below(cups.len());
        cups.get(at).map(|c| c.tag.clone())
    }

    fn pick_a_cup(&mut self) {
        if let Some(tag) = self.tag() {
            self.press(&format!("Cup {tag}"));
        }
    }

    fn nudge(&mut self) {
        let key = [Key::ArrowLeft, Key::ArrowRight, Key::ArrowUp, Key::ArrowDown][self.choices.below(4)];
        for _ in 0..=self.choices.below(3) {
            self.key(Modifiers::NONE, key);
        }
    }

    fn drag_a_cup(&mut self) {
        let Some(from) = self.tag().and_then(|tag| {
            self.window.query_by_label(&format!("Cup {tag}")).map(|node| node.rect().center())
        }) else {
            return;
        };
        let to = from + Vec2::new(self.choices.below(80) as f32 - 40.0, self.choices.below(80) as f32 - 40.0);
        self.window.hover_at(from);
        self.step();
        self.window.drag_at(from);
        self.step();
        for part in 1..=3 {
            self.window.hover_at(from + (to - from) * (part as f32 / 3.0));
            self.step();
        }
        self.window.drop_at(to);
        self.steps(2);
    }

    fn place_a_cup(&mut self) {
        let Some(model) = self.known.models.first().map(|m| m.name.clone()) else { return };
        self.press(&format!("Place {model}"));
        let Some(plan) = self.window.query_by_label("Plan").map(|node| node.rect()) else { return };
        let at = plan.center()
            + Vec2::new(self.choices.below(300) as f32 - 150.0, self.choices.below(200) as f32 - 100.0);
        self.window.hover_at(at);
        self.step();
        self.window.drag_at(at);
        self.step();
        self.window.drop_at(at);
        self.steps(2);
        self.key(Modifiers::NONE, Key::Escape);
    }

    fn type_into(&mut self, label: &str, text: &str) {
        let Some(node) = self.window.query_all_by_label(label).next() else { return };
        node.focus();
        self.steps(2);
        self.window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        self.step();
        if let Some(node) = self.window.query_all_by_label(label).next() {
            node.type_text(text);
        }
        self.step();
        self.key(Modifiers::NONE, Key::Enter);
    }

    /// Saves as a person does, wherever the work came from.
    fn save(&mut self) {
        Told::Saving(digest(&self.known)).say();
        self.window.key_press_modifiers(Modifiers::COMMAND, Key::S);
        self.steps(2);
        // Work that was taken up knows its file, and that another run saved it since.
        if self.shown("The file has changed since you opened it") {
            self.press("Replace theirs");
        }
        if self.unsaved() {
            // Nothing here stands in the way of saving: whatever did is told by the words on the screen.
            let said: Vec<String> =
                self.window.query_all_by_label_contains(" ").map(|n| format!("{n:?}")).collect();
            panic!("not saved:\n{}", said.join("\n"));
        }
        self.changes = 0;
        Told::Saved(digest(&self.known)).say();
    }

    /// Whether the window says that something is not on the disk: else it shows the file's name and nothing behind it.
    fn unsaved(&self) -> bool {
        self.window.query_all_by_label("layout.ron").next().is_none()
    }

    /// Something a person might do next.
    fn anything(&mut self) {
        if self.shown("Someone changed this file") {
            self.press("Keep mine");
        }
        match self.choices.below(16) {
            0 | 1 => {
                self.pick_a_cup();
                self.nudge();
            }
            2 => self.nudge(),
            3 | 4 => self.drag_a_cup(),
            5 => self.place_a_cup(),
            6 => {
                self.pick_a_cup();
                self.key(Modifiers::NONE, Key::Delete);
            }
            7 | 8 => self.key(Modifiers::COMMAND, Key::Z),
            9 => self.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z),
            10 => {
                self.pick_a_cup();
                let x = 20 + self.choices.below(300);
                self.type_into("X, mm", &x.to_string());
            }
            11 => {
                let kilograms = 1 + self.choices.below(12);
                self.type_into("Payload, kg", &kilograms.to_string());
            }
            _ => self.save(),
        }
    }
}

/// Driven by a parent until it is killed; on its own for a while, in a folder of its own: then what it told must be what is
/// on the disk.
#[test]
fn the_driven_program_tells_what_is_on_the_disk() {
    if let (Ok(folder), Ok(seed)) = (std::env::var(FOLDER), std::env::var(SEED)) {
        let mut driver = Driver::start(Path::new(&folder), seed.parse().unwrap());
        loop {
            driver.anything();
        }
    }
    let folder = tempfile::tempdir().unwrap();
    crate::kills::prepare(folder.path());
    let mut driver = Driver::start(folder.path(), 7);
    for _ in 0..12 {
        driver.anything();
    }
    let last = driver.known.clone();
    let journals = || document::Journal::left_behind(&own_folder(folder.path()).join("recovery"));
    assert!(journals().is_empty(), "the journal of a running program is its own");
    let changes = driver.changes;
    // Dropped without closing, as a kill leaves it.
    drop(driver);
    let [journal] = journals().try_into().unwrap();
    let found = document::Journal::recover(&journal).unwrap();
    assert_eq!((&found.project, found.edits, found.problem), (&*last, changes, None));
}
