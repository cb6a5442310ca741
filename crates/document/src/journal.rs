//! What was not saved survives a kill: every committed state is logged, and replayed on the next start.
//!
//! A journal is one file per running program. It starts with a line that says what it is; then come records, each a line
//! `record KIND NUMBER NAME-BYTES BODY-BYTES KEPT-AT-START KEPT-AT-END CHECKSUM`, the name, a line break, the body and a line
//! break. The text of the project after the record is: the first `KEPT-AT-START` bytes of the text before it, the body, the
//! last `KEPT-AT-END` bytes of the text before it. The checksum covers kind, numbers, name and that whole text, so that a
//! record that reads well is right. The number counts changes that are not saved. The first record keeps nothing; its name,
//! and that of a record of kind `saved`, is the path of the project's file and the file's stamp.

mod records;

use crate::{FileError, History, Project, Stamp, file, from_text, history::same, to_text};
pub(crate) use records::Step;
use records::{Damage, Kind};
use std::{
    fs::{self, File, TryLockError},
    io::{Read, Write},
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicU64, Ordering},
        mpsc,
    },
    thread::JoinHandle,
};

const ENDING: &str = "journal";
/// A journal longer than this is begun again with the state it has reached.
const BEGIN_AGAIN_BYTES: u64 = 8 * 1024 * 1024;
/// A journal is never longer than its limit and the two texts around it.
const MOST_BYTES: u64 = 256 * 1024 * 1024;

/// Append-only log of committed states next to nothing else the user owns; replayed after a kill.
///
/// What [`Journal::record`] was given is in the system's hands when it returns and outlives a kill of the program; a
/// thread of its own takes it on to the disk at once, so that a power cut costs at most the last moment.
///
/// The file is locked while the program runs: a journal that nobody holds was left behind.
///
/// ```
/// # use std::sync::Arc;
/// # use document::{Edit, History, Journal, Part, PartId, Project};
/// let folder = tempfile::tempdir().unwrap();
/// let project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
/// let mut history = History::new(project.clone());
/// let mut journal = Journal::start(folder.path(), None, &history).unwrap();
/// history.apply(Edit::RenameProject("Tray line 3".into())).unwrap();
/// journal.record("Rename project", history.committed()).unwrap();
/// drop(journal); // as a kill leaves it
///
/// let left = Journal::left_behind(folder.path());
/// let recovered = Journal::recover(&left[0]).unwrap();
/// assert_eq!((recovered.project.name.as_str(), recovered.edits), ("Tray line 3", 1));
/// let mut again = History::replayed(&recovered);
/// again.undo();
/// assert_eq!((&**again.committed(), again.unsaved()), (&project, false));
/// ```
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    opened: String,
    stamp: String,
    file: Arc<File>,
    bytes: u64,
    begin_again_bytes: u64,
    /// Changes that are committed and not saved.
    number: usize,
    /// As last recorded.
    text: String,
    /// The committed state, while what was recorded last is under way.
    committed: Option<String>,
    flusher: Flusher,
}

/// What came out of a journal.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovered {
    /// As it was after the last change that could be replayed.
    pub project: Project,
    /// The file it was opened from or saved to last, if any.
    pub opened: Option<PathBuf>,
    /// That file as it was then.
    pub stamp: Option<Stamp>,
    /// How many changes there are that were not saved.
    pub edits: usize,
    /// Name of the last one.
    pub last: Option<String>,
    /// What could not be replayed.
    pub problem: Option<String>,
    /// The journal is damaged, and not just cut short as by the end of the program.
    pub damaged: bool,
    /// The text of `project` as it was found.
    pub(crate) text: String,
    /// States in their order, as far back as they are held.
    pub(crate) steps: Vec<Step>,
    /// What the file held.
    pub(crate) saved: Option<String>,
}

impl Journal {
    /// Starts a journal in `folder` (made when missing) for a project opened from `file`, with what was done to it so far. A
    /// project that no file holds as it is (recovered, imported) counts as one change, so that it is offered for recovery even
    /// when nothing was done to it since.
    ///
    /// # Errors
    /// The folder or file cannot be made or written.
    pub fn start(folder: &Path, file: Option<(&Path, &Stamp)>, history: &History) -> Result<Self, FileError> {
        fs::create_dir_all(folder).map_err(|e| FileError::from_io("write", &e, folder))?;
        file::sweep(folder, ".");
        let path = folder.join(unused_name());
        let opened = file.map_or_else(String::new, |(path, _)| whole(path));
        let stamp = file.map_or_else(String::new, |(_, stamp)| stamp.to_line());
        let states: Vec<(&str, &Arc<Project>)> = history.states().collect();
        let saved_at =
            history.saved().and_then(|saved| states.iter().rposition(|(_, state)| same(state, saved)));
        let mut number = usize::from(saved_at.is_none());
        let mut text = states.first().map_or_else(String::new, |(_, base)| to_text(base));
        let unsaved = if number > 0 { "Not saved yet" } else { "" };
        let mut contents = records::first(&opened, &stamp, number, unsaved, &text);
        for (at, (name, state)) in states.iter().enumerate() {
            if at > 0 {
                let after = to_text(state);
                number += 1;
                contents += &records::encode(Kind::Change, number, name, &text, &after);
                text = after;
            }
            if saved_at == Some(at) && number > 0 {
                number = 0;
                contents +=
                    &records::encode(Kind::Saved, 0, &records::of_file(&opened, &stamp), &text, &text);
            }
        }
        let (file, bytes) = begin(&path, &contents)?;
        let flusher = Flusher::start(&path)?;
        // What is long from its start would otherwise be begun again at every change.
        let begin_again_bytes = BEGIN_AGAIN_BYTES.max(4 * bytes);
        let committed = None;
        let mut journal =
            Self { path, opened, stamp, file, bytes, begin_again_bytes, number, text, committed, flusher };
        journal.flusher.flush(&journal.file);
        Ok(journal)
    }
    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }
    /// Records that the project is now this; `name` is what the change is called. A state already recorded is passed over.
    ///
    /// # Errors
    /// The file cannot be written, or what was recorded before did not reach the disk. The next record starts from
    /// what is in the file, so one refusal loses nothing later.
    pub fn record(&mut self, name: &str, project: &Project) -> Result<(), FileError> {
        let text = to_text(project);
        match self.committed.take() {
            Some(committed) if committed == text => self.append(Kind::PutBack, self.number, name, text),
            None if text == self.text => Ok(()),
            _ => self.append(Kind::Change, self.number + 1, name, text),
        }
    }
    /// Records a change that is under way and not committed, such as a drag: the next record takes its place.
    ///
    /// # Errors
    /// As [`Journal::record`].
    pub fn record_under_way(&mut self, name: &str, project: &Project) -> Result<(), FileError> {
        let text = to_text(project);
        if text == self.text {
            return Ok(());
        }
        let committed = self.committed.take().unwrap_or_else(|| self.text.clone());
        let number = self.number + 1;
        let outcome = self.append(Kind::UnderWay, number, name, text);
        // A journal begun anew with it holds it as if it were committed.
        if self.number != number {
            self.committed = Some(committed);
        }
        outcome
    }
    /// Records that the project, as it is, is in this file now.
    ///
    /// # Errors
    /// As [`Journal::record`].
    pub fn saved(&mut self, path: &Path, stamp: &Stamp, project: &Project) -> Result<(), FileError> {
        (self.opened, self.stamp) = (whole(path), stamp.to_line());
        self.committed = None;
        let name = records::of_file(&self.opened, &self.stamp);
        self.append(Kind::Saved, 0, &name, to_text(project))
    }
    fn append(&mut self, mut kind: Kind, number: usize, name: &str, text: String) -> Result<(), FileError> {
        let record = records::encode(kind, number, name, &self.text, &text);
        let room = self.bytes + record.len() as u64 <= self.begin_again_bytes;
        if room && (&*self.file).write_all(record.as_bytes()).is_ok() {
            self.bytes += record.len() as u64;
        } else {
            // Also after a failed write: half a record at the end would hide all that follow it. Where that fails too, the
            // next record tries it again.
            self.bytes = self.begin_again_bytes;
            let last = if number > 0 { name } else { "" };
            let contents = records::first(&self.opened, &self.stamp, number, last, &text);
            let (file, bytes) = begin(&self.path, &contents)?;
            (self.file, self.bytes, kind) = (file, bytes, Kind::State);
            // A text that is large itself would otherwise start the file again at every change.
            self.begin_again_bytes = BEGIN_AGAIN_BYTES.max(4 * bytes);
        }
        self.text = text;
        if kind != Kind::UnderWay {
            self.number = number;
        }
        self.flusher.flush(&self.file);
        if self.flusher.failed.swap(false, Ordering::Relaxed) {
            let why = "an earlier change did not reach the disk".to_owned();
            return Err(FileError::Other {
                doing: "write the recovery journal",
                why,
                path: file::shown(&self.path),
            });
        }
        Ok(())
    }
    /// Saved or closed in order: nothing to recover.
    pub fn finish(self) {
        // One that cannot be removed is offered for recovery next time: a nuisance, not a loss.
        let _ = fs::remove_file(&self.path);
    }
    /// Journals left behind by programs that did not end in order and are gone, oldest first.
    pub fn left_behind(folder: &Path) -> Vec<PathBuf> {
        let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
        let journals =
            entries.flatten().map(|e| e.path()).filter(|p| p.extension().is_some_and(|e| e == ENDING));
        let mut left: Vec<_> = journals.filter(|p| p.is_file() && !held(p)).collect();
        left.sort_by_key(|p| (fs::metadata(p).and_then(|m| m.modified()).ok(), p.clone()));
        left
    }
    /// Replays a journal up to the first record that cannot be read, and says what was lost. The journal stays where it is
    /// until [`Journal::discard`]; when it was damaged a copy with the ending `.corrupt` is kept beside it.
    ///
    /// # Errors
    /// Nothing can be recovered: the journal is then renamed to `.corrupt` and kept. A journal in a format that this program does
    /// not read is left as it is.
    pub fn recover(journal: &Path) -> Result<Recovered, FileError> {
        let bytes = read_all(journal)?;
        let replay = match records::replay(&bytes) {
            Ok(replay) => replay,
            Err(says) => return Err(set_aside(journal, says)),
        };
        let project = match from_text(replay.text(), &file::shown(journal)) {
            Ok(project) => project,
            Err(other @ (FileError::Newer { .. } | FileError::Older { .. })) => return Err(other),
            Err(other) => return Err(set_aside(journal, other.to_string())),
        };
        let damaged = matches!(replay.damage, Some(Damage::Wrong { .. }));
        let problem = replay.damage.map(|damage| match damage {
            Damage::CutShort => {
                "the last change was being written when the program ended; it is lost".to_owned()
            }
            Damage::Wrong { at } => {
                let kept = aside(journal);
                let kept =
                    fs::copy(journal, &kept).map(|_| format!("; a copy was kept: {}", file::shown(&kept)));
                let kept = kept.unwrap_or_default();
                format!("the journal is damaged at byte {at}, changes after that place are lost{kept}")
            }
        });
        let text = replay.text().to_owned();
        let opened = (!replay.opened.is_empty()).then(|| PathBuf::from(replay.opened));
        let stamp = Stamp::from_line(&replay.stamp);
        let (edits, last, saved) = (replay.number, replay.last, replay.saved);
        Ok(Recovered {
            project,
            opened,
            stamp,
            edits,
            last,
            problem,
            damaged,
            text,
            steps: replay.steps.into(),
            saved,
        })
    }
    /// Removes a journal that was recovered or that nobody wants.
    pub fn discard(journal: &Path) {
        // One that cannot be removed is offered again next time.
        let _ = fs::remove_file(journal);
    }
}

/// A name that no other journal has: process, and a count within it, and the time so that a reused process number is told apart.
fn unused_name() -> String {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    format!("cupwright-{}-{}-{count}.{ENDING}", std::process::id(), since.as_millis())
}

/// A path in full, as the journal names it.
fn whole(path: &Path) -> String {
    file::shown(&fs::canonicalize(path).unwrap_or_else(|_| path.to_owned()))
}

/// A new locked journal with these contents in place of any at this path.
fn begin(path: &Path, contents: &str) -> Result<(Arc<File>, u64), FileError> {
    let refused = |e: &std::io::Error| FileError::from_io("write", e, path);
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut new =
        tempfile::Builder::new().prefix(".").suffix(".part").tempfile_in(folder).map_err(|e| refused(&e))?;
    // Held until the program ends, however it ends. A file system without locks is told by the process number instead.
    let _ = new.as_file().try_lock();
    new.write_all(contents.as_bytes()).map_err(|e| refused(&e))?;
    let file = new.persist(path).map_err(|e| refused(&e.error))?;
    Ok((Arc::new(file), contents.len() as u64))
}

/// Whether a running program holds this journal.
fn held(path: &Path) -> bool {
    let Ok(file) = File::options().read(true).write(true).open(path) else { return false };
    match file.try_lock() {
        Ok(()) => false,
        Err(TryLockError::WouldBlock) => true,
        Err(TryLockError::Error(_)) => {
            let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
            let process = name.split('-').nth(1).and_then(|id| id.parse::<u32>().ok());
            process.is_some_and(|id| Path::new("/proc").join(id.to_string()).exists())
        }
    }
}

fn read_all(journal: &Path) -> Result<Vec<u8>, FileError> {
    let refused = |e: std::io::Error| FileError::from_io("read", &e, journal);
    let about = fs::metadata(journal).map_err(refused)?;
    if about.is_dir() {
        return Err(FileError::IsFolder { path: file::shown(journal) });
    }
    if !about.is_file() {
        return Err(FileError::NotAFile { path: file::shown(journal) });
    }
    let mut bytes = Vec::new();
    File::open(journal).and_then(|f| f.take(MOST_BYTES).read_to_end(&mut bytes)).map_err(refused)?;
    Ok(bytes)
}

fn aside(journal: &Path) -> PathBuf {
    let mut name = journal.as_os_str().to_owned();
    name.push(".corrupt");
    name.into()
}
fn set_aside(journal: &Path, says: String) -> FileError {
    let kept = aside(journal);
    let path = if fs::rename(journal, &kept).is_ok() { kept } else { journal.to_owned() };
    FileError::JournalDamaged { says, path: file::shown(&path) }
}

/// Takes what was written on to the disk without keeping the window waiting.
#[derive(Debug)]
struct Flusher {
    wake: Option<mpsc::Sender<Arc<File>>>,
    thread: Option<JoinHandle<()>>,
    failed: Arc<AtomicBool>,
}
impl Flusher {
    fn start(journal: &Path) -> Result<Self, FileError> {
        let (wake, woken) = mpsc::channel::<Arc<File>>();
        let failed = Arc::new(AtomicBool::new(false));
        let tell = failed.clone();
        let flush = move || {
            while let Ok(mut file) = woken.recv() {
                // What piled up while the disk was busy is one flush.
                while let Ok(later) = woken.try_recv() {
                    file = later;
                }
                if file.sync_data().is_err() {
                    tell.store(true, Ordering::Relaxed);
                }
            }
        };
        let thread = std::thread::Builder::new().name("journal".to_owned()).spawn(flush);
        let thread = thread.map_err(|e| FileError::from_io("write", &e, journal))?;
        Ok(Self { wake: Some(wake), thread: Some(thread), failed })
    }
    fn flush(&mut self, file: &Arc<File>) {
        if let Some(wake) = &self.wake {
            // The thread ends only after this end of the channel is dropped.
            let _ = wake.send(file.clone());
        }
    }
}
impl Drop for Flusher {
    fn drop(&mut self) {
        self.wake = None;
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

#[cfg(test)]
mod tests;
