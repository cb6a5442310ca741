//! The program is killed at any moment of its work; nothing acknowledged may be lost and nothing unreadable may be left.

use crate::driver::{FOLDER, SEED, own_folder, project_file};
use crate::telling::{Choices, Digest, Told, digest};
use document::Journal;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant, SystemTime};

/// A project that takes a while to write: a demo with a second part of many corners.
pub fn prepare(folder: &Path) {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-projects/moulded-tray.ron");
    let mut project = document::open(&demo).unwrap().0;
    let corners = 4000;
    let at = |i: usize| {
        let angle = std::f64::consts::TAU * i as f64 / f64::from(corners);
        let radius = 400.0 + 20.0 * f64::from(i as u32 % 7);
        glam::DVec2::new((500.0 + radius * angle.cos()).round(), (500.0 + radius * angle.sin()).round())
    };
    let vertices: Vec<geometry::Vertex> =
        (0..corners as usize).map(|i| geometry::Vertex { at: at(i), bulge: 0.0 }).collect();
    let outline = geometry::Outline { outer: geometry::Loop { vertices }, holes: Vec::new() };
    let part = document::Part::from_outline(document::PartId(99), "Many corners", outline.into());
    project.parts.push(part.into());
    for folder in [own_folder(folder), project_file(folder).parent().unwrap().to_owned()] {
        std::fs::create_dir_all(folder).unwrap();
    }
    document::save(&project, &project_file(folder), None).unwrap();
}

/// What is known of a run from what it told.
#[derive(Debug, Clone, Default)]
struct Known {
    ready: bool,
    /// Last committed, and changes in its journal.
    committed: Option<(Digest, usize)>,
    /// Announced and not yet told to be done.
    saving: Option<Digest>,
    answering: Option<bool>,
    saved: usize,
    /// Last told to be on the disk.
    on_disk: Option<Digest>,
}

impl Known {
    fn hear(&mut self, told: Told) {
        match told {
            Told::Offered => {}
            Told::Answering { taken } => self.answering = Some(taken),
            Told::Ready => self.ready = true,
            Told::Committed(digest, changes) => self.committed = Some((digest, changes)),
            Told::Saving(digest) => self.saving = Some(digest),
            Told::Saved(digest) => {
                self.on_disk = Some(digest);
                self.committed = Some((digest, 0));
                self.saving = None;
                self.saved += 1;
            }
        }
    }
}

struct Run {
    child: Child,
    lines: Receiver<Told>,
    known: Known,
}

impl Run {
    fn start(folder: &Path, seed: u64) -> Self {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "driver::the_driven_program_tells_what_is_on_the_disk", "--nocapture"])
            .env(FOLDER, folder)
            .env(SEED, seed.to_string())
            .stdout(Stdio::piped())
            .stderr(std::fs::File::create(folder.join("said")).unwrap())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let (tell, lines) = channel();
        std::thread::spawn(move || {
            let mut line = String::new();
            while out.read_line(&mut line).is_ok_and(|read| read > 0) {
                if let Some(told) = Told::heard(&line)
                    && tell.send(told).is_err()
                {
                    break;
                }
                line.clear();
            }
        });
        Self { child, lines, known: Known::default() }
    }

    /// Listens until `enough`, or until the time is over; false when the program ended by itself.
    fn listen(&mut self, until: Instant, enough: impl Fn(&Known) -> bool) -> bool {
        while !enough(&self.known) {
            let left = until.saturating_duration_since(Instant::now());
            match self.lines.recv_timeout(left) {
                Ok(told) => self.known.hear(told),
                Err(RecvTimeoutError::Timeout) => return true,
                Err(RecvTimeoutError::Disconnected) => return false,
            }
        }
        true
    }

    fn kill(mut self) -> (Known, u32) {
        let process = self.child.id();
        self.child.kill().unwrap();
        self.child.wait().unwrap();
        // What it said before it died is still in the pipe.
        while let Ok(told) = self.lines.recv() {
            self.known.hear(told);
        }
        (self.known, process)
    }
}

/// Counts over all kills.
#[derive(Debug, Default)]
struct Tally {
    starting: usize,
    /// Killed between the announcement of a save and its acknowledgement: the old file was there, or the new one.
    within_save_old: usize,
    within_save_new: usize,
    cut_short: usize,
    /// Killed after a change was recorded and before the program could say so.
    ahead: usize,
    /// Killed between the journal before a save and the one after it.
    between: usize,
    saves: usize,
    most_strays: usize,
    most_journals: usize,
}

struct Folder {
    path: PathBuf,
    /// Unsaved work in journals: owed until it is taken up or thrown away.
    owed: Vec<Digest>,
    on_disk: Digest,
    tally: Tally,
}

impl Folder {
    fn recovery(&self) -> PathBuf {
        own_folder(&self.path).join("recovery")
    }

    /// Looks at everything that a kill left.
    fn judge(&mut self, known: &Known, process: u32) -> Result<(), String> {
        self.disk(known)?;
        let mine = format!("cupwright-{process}-");
        let mut own = Vec::new();
        let mut kept = Vec::new();
        for journal in Journal::left_behind(&self.recovery()) {
            let found = Journal::recover(&journal).map_err(|e| format!("unreadable journal: {e}"))?;
            if found.problem.as_ref().is_some_and(|p| !p.contains("was being written")) {
                return Err(format!("damaged journal: {:?}", found.problem));
            }
            self.tally.cut_short += usize::from(found.problem.is_some());
            let name = journal.file_name().unwrap_or_default().to_string_lossy().into_owned();
            kept.push((digest(&found.project), found.edits));
            if name.starts_with(&mine) {
                own.extend(kept.last().copied());
            }
        }
        if own.len() > 1 {
            return Err(format!("{} journals of one run", own.len()));
        }
        self.last_work(known, own.first().copied())?;
        // Work that earlier runs left is there until a run took it up and has it in its own journal. One is offered at a
        // start: no more than that one may be gone.
        let lost: Vec<_> = self.owed.iter().filter(|owed| kept.iter().all(|k| k.0 != **owed)).collect();
        let offered = match known.answering {
            None => 0,
            Some(false) => 1,
            Some(true) => usize::from(known.committed.is_some()),
        };
        if lost.len() > offered {
            return Err(format!("work from runs before is lost: {lost:?}, {kept:?} is kept"));
        }
        self.owed = kept.into_iter().filter(|k| k.1 > 0).map(|k| k.0).collect();
        self.tally.most_journals = self.tally.most_journals.max(self.owed.len());
        Ok(())
    }

    /// The file is whole, and what was saved or was being saved.
    fn disk(&mut self, known: &Known) -> Result<(), String> {
        let file = project_file(&self.path);
        let found = document::open(&file).map_err(|e| format!("unreadable file: {e}"))?;
        let found = digest(&found.0);
        let expected = [Some(known.on_disk.unwrap_or(self.on_disk)), known.saving];
        if !expected.contains(&Some(found)) {
            return Err(format!("the file holds {found}, expected one of {expected:?}"));
        }
        if known.saving.is_some_and(|saving| saving != known.on_disk.unwrap_or(self.on_disk)) {
            let new = known.saving == Some(found);
            self.tally.within_save_new += usize::from(new);
            self.tally.within_save_old += usize::from(!new);
        }
        self.on_disk = found;
        let previous = document::previous_path(&file);
        if previous.exists() {
            document::open(&previous).map_err(|e| format!("unreadable previous version: {e}"))?;
        }
        Ok(())
    }

    /// The last work that was acknowledged is in the journal, or on the disk.
    fn last_work(&mut self, known: &Known, journal: Option<(Digest, usize)>) -> Result<(), String> {
        let Some((last, changes)) = known.committed else { return Ok(()) };
        let Some((kept, edits)) = journal else {
            // Between the journal before a save and the one after it the file itself holds everything.
            self.tally.between += 1;
            return if self.on_disk == last {
                Ok(())
            } else {
                Err(format!("no journal, and {last} is not saved"))
            };
        };
        let fresh_after_saving = edits == 0 && kept == self.on_disk && known.saving == Some(kept);
        if edits == changes + 1 {
            self.tally.ahead += 1;
        } else if !(fresh_after_saving || (edits == changes && kept == last)) {
            return Err(format!("{last} after {changes} changes was told, {kept} after {edits} is kept"));
        }
        Ok(())
    }

    /// Strays of kills are few, and go: they are made to look a day old, as the next morning finds them.
    fn strays(&mut self) -> usize {
        let mut count = 0;
        let yesterday = SystemTime::now() - Duration::from_secs(24 * 3600);
        for folder in [project_file(&self.path).parent().unwrap().to_owned(), self.recovery()] {
            for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
                let name = entry.file_name().to_string_lossy().into_owned();
                if name.ends_with(".part") {
                    count += 1;
                    let file = std::fs::File::options().write(true).open(entry.path()).unwrap();
                    file.set_modified(yesterday).unwrap();
                } else {
                    let known = ["layout.ron", "layout.ron.previous"].contains(&name.as_str());
                    assert!(known || name.ends_with(".journal") || name.ends_with(".in-use"), "{name}");
                }
            }
        }
        self.tally.most_strays = self.tally.most_strays.max(count);
        count
    }
}

fn number(variable: &str, otherwise: usize) -> usize {
    std::env::var(variable).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

#[test]
fn killed_at_any_moment_it_loses_nothing_that_was_acknowledged() {
    let kills = number("FAULTS_KILLS", 10);
    let mut choices = Choices::new(number("FAULTS_SEED", 1) as u64);
    let kept = tempfile::tempdir().unwrap();
    prepare(kept.path());
    let on_disk = digest(&document::open(&project_file(kept.path())).unwrap().0);
    let mut folder =
        Folder { path: kept.path().to_owned(), owed: Vec::new(), on_disk, tally: Tally::default() };
    let begun = Instant::now();
    let patience = Duration::from_secs(120);
    let mut unsaved_runs = 0;
    for kill in 0..kills {
        let mut run = Run::start(&folder.path, kill as u64 ^ choices.below(1 << 30) as u64);
        // Mostly at work, often while it saves, sometimes while it starts.
        let alive = match choices.below(8) {
            0 => {
                folder.tally.starting += 1;
                let at = Instant::now() + Duration::from_millis(choices.below(1500) as u64);
                run.listen(at, |known| known.ready)
            }
            1..=3 => {
                let saves = choices.below(4);
                let saving =
                    run.listen(Instant::now() + patience, |k| k.saved == saves && k.saving.is_some());
                std::thread::sleep(Duration::from_micros(choices.below(60_000) as u64));
                saving
            }
            _ => {
                let ready = run.listen(Instant::now() + patience, |known| known.ready);
                let at = Instant::now() + Duration::from_micros(choices.below(1_000_000) as u64);
                ready && run.listen(at, |_| false)
            }
        };
        if !alive {
            // Status or signal tells a fault of the program from a hand that ended it.
            let how = run.child.wait().unwrap();
            let said = std::fs::read_to_string(kept.path().join("said")).unwrap_or_default();
            let kept = kept.keep();
            panic!("kill {kill}: the program ended by itself, {how}; left in {}\n{said}", kept.display());
        }
        let (known, process) = run.kill();
        if let Err(wrong) = folder.judge(&known, process) {
            let kept = kept.keep();
            panic!("kill {kill}: {wrong}\n{known:?}\nwhat was left is in {}", kept.display());
        }
        folder.tally.saves += known.saved;
        unsaved_runs = if known.saved > 0 { 0 } else { unsaved_runs + 1 };
        let strays = folder.strays();
        // A save leaves two at most and a journal one, until the next save or start.
        assert!(
            strays <= 3 * (unsaved_runs + 1),
            "kill {kill}: {strays} strays after {unsaved_runs} runs without a save"
        );
    }
    println!("{kills} kills in {:.0} s: {:?}", begun.elapsed().as_secs_f64(), folder.tally);
}
