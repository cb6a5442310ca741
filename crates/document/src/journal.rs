//! What was not saved survives a kill: every committed state is logged, and replayed on the next start.
//!
//! A journal is one file per running program. It starts with a line that says what it is; then come records, each a line
//! `record NUMBER NAME-BYTES BODY-BYTES KEPT-AT-START KEPT-AT-END CHECKSUM`, the name, a line break, the body and a line
//! break. The text of the project after the record is: the first `KEPT-AT-START` bytes of the text before it, the body, the
//! last `KEPT-AT-END` bytes of the text before it. The checksum covers the numbers, the name and that whole text, so that a
//! record that reads well is right. The first record keeps nothing; its name is the path of the file that was opened.

mod records;

use crate::{FileError, Project, file, from_text, to_text};
use records::Damage;
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
/// # use document::{Journal, Part, PartId, Project};
/// let folder = tempfile::tempdir().unwrap();
/// let mut project = Project::new("Tray line 2", Part::from_outline(PartId(1), "Tray blank", Arc::default()));
/// let mut journal = Journal::start(folder.path(), None, &project).unwrap();
/// project.name = "Tray line 3".into();
/// journal.record("Rename project", &project).unwrap();
/// drop(journal); // as a kill leaves it
///
/// let left = Journal::left_behind(folder.path());
/// let recovered = Journal::recover(&left[0]).unwrap();
/// assert_eq!(recovered.project, project);
/// assert_eq!(recovered.edits, 1);
/// ```
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    opened: String,
    file: Arc<File>,
    bytes: u64,
    begin_again_bytes: u64,
    number: usize,
    text: String,
    flusher: Flusher,
}

/// What came out of a journal.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovered {
    /// As it was after the last change that could be replayed.
    pub project: Project,
    /// The file it was opened from, if any.
    pub opened: Option<PathBuf>,
    /// How many changes were replayed.
    pub edits: usize,
    /// Name of the last one.
    pub last: Option<String>,
    /// What could not be replayed.
    pub problem: Option<String>,
}

impl Journal {
    /// Starts a journal in `folder` (made when missing) for a project opened from `opened`.
    ///
    /// # Errors
    /// The folder or file cannot be made or written.
    pub fn start(folder: &Path, opened: Option<&Path>, project: &Project) -> Result<Self, FileError> {
        Self::start_at(folder, opened, project, 0, "")
    }
    /// As [`Journal::start`] for a project that no file holds as it is: recovered, imported. It counts as one change, called
    /// `name`, so that it is offered for recovery even when nothing was done to it since.
    ///
    /// # Errors
    /// As [`Journal::start`].
    pub fn start_unsaved(
        folder: &Path,
        opened: Option<&Path>,
        project: &Project,
        name: &str,
    ) -> Result<Self, FileError> {
        Self::start_at(folder, opened, project, 1, name)
    }
    fn start_at(
        folder: &Path,
        opened: Option<&Path>,
        project: &Project,
        number: usize,
        name: &str,
    ) -> Result<Self, FileError> {
        fs::create_dir_all(folder).map_err(|e| FileError::from_io("write", &e, folder))?;
        file::sweep(folder, ".");
        let path = folder.join(unused_name());
        let opened = opened.map(|p| fs::canonicalize(p).unwrap_or_else(|_| p.to_owned()));
        let opened = opened.map_or_else(String::new, |p| file::shown(&p));
        let text = to_text(project);
        let (file, bytes) = begin(&path, &opened, number, name, &text)?;
        let flusher = Flusher::start(&path)?;
        let begin_again_bytes = BEGIN_AGAIN_BYTES;
        let mut journal = Self { path, opened, file, bytes, begin_again_bytes, number, text, flusher };
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
        if text == self.text {
            return Ok(());
        }
        let number = self.number + 1;
        let record = records::encode(number, name, &self.text, &text);
        let room = self.bytes + record.len() as u64 <= self.begin_again_bytes;
        if room && (&*self.file).write_all(record.as_bytes()).is_ok() {
            self.bytes += record.len() as u64;
        } else {
            // Also after a failed write: half a record at the end would hide all that follow it. Where that fails too, the
            // next record tries it again.
            self.bytes = self.begin_again_bytes;
            let (file, bytes) = begin(&self.path, &self.opened, number, name, &text)?;
            (self.file, self.bytes) = (file, bytes);
            // A text that is large itself would otherwise start the file again at every change.
            self.begin_again_bytes = BEGIN_AGAIN_BYTES.max(4 * bytes);
        }
        (self.number, self.text) = (number, text);
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
    /// Nothing can be recovered: the journal is then renamed to `.corrupt` and kept. A journal of a newer program
    /// is left as it is.
    pub fn recover(journal: &Path) -> Result<Recovered, FileError> {
        let bytes = read_all(journal)?;
        let replay = match records::replay(&bytes) {
            Ok(replay) => replay,
            Err(says) => return Err(set_aside(journal, says)),
        };
        let project = match from_text(&replay.text, &file::shown(journal)) {
            Ok(project) => project,
            Err(newer @ FileError::Newer { .. }) => return Err(newer),
            Err(other) => return Err(set_aside(journal, other.to_string())),
        };
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
        let opened = (!replay.opened.is_empty()).then(|| PathBuf::from(replay.opened));
        Ok(Recovered { project, opened, edits: replay.number, last: replay.last, problem })
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

/// A new locked journal in place of any at this path, with one record.
fn begin(
    path: &Path,
    opened: &str,
    number: usize,
    name: &str,
    text: &str,
) -> Result<(Arc<File>, u64), FileError> {
    let refused = |e: &std::io::Error| FileError::from_io("write", e, path);
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut new =
        tempfile::Builder::new().prefix(".").suffix(".part").tempfile_in(folder).map_err(|e| refused(&e))?;
    // Held until the program ends, however it ends. A file system without locks is told by the process number instead.
    let _ = new.as_file().try_lock();
    let contents = records::first(opened, number, name, text);
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
